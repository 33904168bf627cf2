"""A part at full size: an outline to lay a piece on, with its measures where they belong.

Comes in: a part as it lies at the saw, the room at hand. Goes out: items and the room they take.
What is too long is broken in the middle, what is too wide is drawn smaller and says so, and what is
tiny is drawn again many times as large, to be read.

Fence edge above, show face up, the grain's arrow to the stop end::

        6 in                               27 in
     ___________                 ________~  ~________
    /45  <---  /                |  <---  ~  ~        |
   /___A______/                 |________~  ~________|
        6 in
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees, hypot

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from tesselath.draw.maps import corner_triangle, inside_spans, stop_corner
from tesselath.draw.paper import (
    INK,
    Circle,
    Fill,
    Item,
    Line,
    Point,
    Polygon,
    Stroke,
    Tape,
    Text,
    moved,
    text_outline,
    text_width,
    without_ease,
)
from tesselath.measure import ALIKE, ANGLE_ALIKE, reading_angle, show_angle, show_number
from tesselath.parts import Part
from tesselath.shape import as_point

__all__ = ["Drawn", "draw_full_size"]

_OUTLINE = Stroke(0.25, INK)
_FINE = Stroke(0.18, "#444444")
_CAP, _MARK = 2.2, 4.0
#: Air round the outline for the measures, and the width of a break in it [mm].
_ASIDE, _ABOVE, _BREAK = 5.0, 9.0, 9.0
#: A part that holds no circle of this width is drawn again, larger [mm].
_TINY = 11.0
#: So high it is drawn at the most, for a sliver across the grain to stay on its card [mm].
_TALLEST = 75.0
_LARGER = (2.0, 3.0, 5.0, 10.0, 20.0, 50.0)
_SMALLER = (2.0, 4.0, 5.0, 10.0, 20.0, 50.0)


@dataclass(frozen=True, slots=True)
class Drawn:
    """A part as drawn, lower left corner of its box at the origin, and what is said of it [mm]."""

    items: tuple[Item, ...]
    width: float
    height: float
    words: tuple[str, ...]


def draw_full_size(part: Part, *, room: tuple[float, float], tape: Tape, tint: str) -> Drawn:
    """Draw a part at full size.

    Source: common practice; a break in a drawing keeps both ends true to size.
    """
    shape = np.asarray(part.shape, dtype=float)
    wide, high = room[0] - 2 * _ASIDE, room[1] - 2 * _ABOVE
    length, width = (float(span) for span in np.ptp(shape, axis=0))
    if length <= room[0] and width <= high:
        whole = _whole(part, tape, tint, wide=wide)
        if whole.width <= room[0]:
            return whole
    cuts = _break(shape, wide) if length > wide else None
    if width > high or cuts is None:
        scale = next(
            (s for s in _SMALLER if length / s <= wide and width / s <= high), length / wide
        )
        picture = _picture(part, tape, tint, scale=1.0 / scale)
        said = f"Drawn at 1:{show_number(scale, decimals=1)}, NOT full size: too large for a page."
        return _boxed(picture, (said,))
    picture = _picture(part, tape, tint, cuts=cuts)
    missing = tape.show(cuts[1] - cuts[0])
    return _boxed(picture, (f"Too long for the page: {missing} is left out at the break.",))


def _whole(part: Part, tape: Tape, tint: str, *, wide: float) -> Drawn:
    """Draw a part whole; a tiny one again beside it, larger."""
    shape = shapely.Polygon(part.shape)
    least = 2.0 * shapely.maximum_inscribed_circle(shape, tolerance=0.1).length
    length = float(np.ptp(part.shape[:, 0]))
    width = float(np.ptp(part.shape[:, 1]))
    fits = [
        s
        for s in _LARGER
        if least * s <= 2 * _TINY and length * (1 + s) <= wide and width * s <= _TALLEST
    ]
    if least >= _TINY or not fits:
        return _boxed(_picture(part, tape, tint), ())
    small = _boxed(_picture(part, tape, tint, bare=True), ())
    large = _boxed(_picture(part, tape, tint, scale=fits[-1]), ())
    items = (
        *moved(small.items, 0.0, (large.height - small.height) / 2),
        *moved(large.items, small.width + 2.0, 0.0),
    )
    said = f"Left: full size. Right: {show_number(fits[-1], decimals=0)} times as large."
    return Drawn(items, small.width + 2.0 + large.width, max(small.height, large.height), (said,))


def _break(shape: NDArray[np.float64], wide: float) -> tuple[float, float] | None:
    """Say from where to where a long part is left out; None if a corner lies there."""
    low, high = float(shape[:, 0].min()), float(shape[:, 0].max())
    shown = (wide - _BREAK) / 2
    cuts = low + shown, high - shown
    inside = (shape[:, 0] > cuts[0] - _BREAK) & (shape[:, 0] < cuts[1] + _BREAK)
    return None if inside.any() else cuts


def _picture(
    part: Part,
    tape: Tape,
    tint: str,
    *,
    scale: float = 1.0,
    cuts: tuple[float, float] | None = None,
    bare: bool = False,
) -> list[Item]:
    """Draw the outline, its break, its grain and its measures; or the outline bare."""
    true = np.asarray(part.shape, dtype=float)
    drawn = _laid(true, scale, cuts)
    width = float(np.ptp(drawn[:, 1]))
    items: list[Item] = [Polygon((drawn,), Fill(tint))]
    taken: list[BaseGeometry] = []
    gap = shapely.Polygon()
    if cuts is None:
        role = "card-outline" if scale == 1.0 else "enlarged"
        items.append(Polygon((drawn,), stroke=_OUTLINE, role=role))
    else:
        broken, gap = _broken(drawn, cuts[0])
        items += broken
        taken.append(gap)
    if part.handed_pair is not None:
        triangle = corner_triangle(drawn, stop_corner(part), width=width)
        items.append(Polygon((triangle,), Fill(INK), role="long-point"))
        taken.append(shapely.Polygon(triangle))
    if bare:
        return items
    grain = _grain(part, drawn, gap)
    items += grain
    taken += [
        shapely.LineString(run).buffer(0.8)
        for item in grain
        if isinstance(item, Line)
        for run in item.runs
    ]
    plain = without_ease(true, tape.mark / 2)
    labels = _Labels(drawn, taken)
    _angles(labels, _laid(plain, scale, cuts), plain)
    _sides(labels, _laid(plain, scale, cuts), plain, tape)
    labels.mark(part.mark)
    return [*items, *labels.items]


def _laid(
    shape: NDArray[np.float64], scale: float, cuts: tuple[float, float] | None
) -> NDArray[np.float64]:
    """Bring corners to the drawing: to scale, or with both ends drawn together to the break."""
    if cuts is None:
        return shape * scale
    step = cuts[1] - cuts[0] - _BREAK
    return shape - np.where(shape[:, :1] > cuts[0], (step, 0.0), (0.0, 0.0))


def _broken(drawn: NDArray[np.float64], cut: float) -> tuple[list[Item], shapely.Polygon]:
    """Draw both ends of a long part with a break between them."""
    low, high = float(drawn[:, 1].min()), float(drawn[:, 1].max())
    steps = np.linspace(low - 1.5, high + 1.5, 9)
    lean = np.where(np.arange(9) % 2, 0.8, -0.8)
    left = np.column_stack([cut + lean, steps])
    right = np.column_stack([cut + _BREAK + lean, steps])
    gap = shapely.Polygon(np.concatenate([left, right[::-1]]))
    ring = shapely.LineString(np.concatenate([drawn, drawn[:1]]))
    runs = tuple(
        shapely.get_coordinates(run)
        for run in shapely.get_parts(shapely.line_merge(shapely.difference(ring, gap)))
    )
    return [
        Polygon((shapely.get_coordinates(gap)[:-1],), Fill("#ffffff")),
        Line(runs, _OUTLINE, role="card-outline"),
        Line((left, right), _FINE, role="break"),
    ], gap


def _grain(part: Part, drawn: NDArray[np.float64], gap: shapely.Polygon) -> list[Item]:
    """Draw the grain near the fence edge, its arrow to the stop end."""
    low, high = float(drawn[:, 1].min()), float(drawn[:, 1].max())
    level = high - 0.24 * (high - low)
    spans = inside_spans(drawn, level, 0.0)
    if not spans:
        return []
    left, right = max(spans, key=lambda span: span[1] - span[0])
    room = right - left
    # The corners keep their angles: the line stays to the middle.
    left, right = left + 0.27 * room, right - 0.27 * room
    if not gap.is_empty:
        left, right = (right - 30.0, right) if part.stop_side == "right" else (left, left + 30.0)
    if right - left < 2.0:
        return []
    size = min(2.2, 0.3 * (right - left))
    tip, back = (right, right - size) if part.stop_side == "right" else (left, left + size)
    head = ((tip, level), (back, level + 0.32 * size), (back, level - 0.32 * size))
    return [
        Line((((left, level), (right, level)),), Stroke(0.3, INK), role="grain"),
        Polygon((head,), Fill(INK), role="grain"),
    ]


class _Labels:
    """Lettering that finds a free place: near its wish, on nothing that is there already."""

    def __init__(self, outline: NDArray[np.float64], taken: Sequence[BaseGeometry]) -> None:
        self.shape = shapely.Polygon(outline)
        self.edge = self.shape.exterior
        self.taken = list(taken)
        self.items: list[Item] = []

    def mark(self, mark: str) -> None:
        """Set the part's mark in the middle of it, if there is room; the card has it above."""
        circle = shapely.maximum_inscribed_circle(self.shape, tolerance=0.2)
        middles = [shapely.get_coordinates(s)[0] for s in (self.shape.centroid, circle)]
        spots = [
            (float(at[0]) + dx, float(at[1]) + dy)
            for at in middles
            for dx in (0.0, -9.0, 9.0)
            for dy in (0.0, -1.5, -3.0, 1.5, 3.0)
        ]
        for cap in (_MARK, 3.0, 2.5):
            for spot in spots:
                text = Text(mark, spot, cap, weight=600, role="part-letter")
                if self._free(text, inside=True):
                    self._put(text)
                    return

    def put(
        self, words: str, tries: Sequence[Point], angle: float, start: Point, near: float
    ) -> None:
        """Set words at the first free place; one that is not near is led to."""
        for at in tries:
            text = Text(words, at, _CAP, angle=angle, role="measure")
            if self._free(text):
                self._put(text)
                if hypot(at[0] - start[0], at[1] - start[1]) > near:
                    self._lead(text, start)
                return

    def _lead(self, text: Text, start: Point) -> None:
        box = shapely.Polygon(text_outline(text, air=0.3))
        line = shapely.difference(shapely.LineString([start, text.at]), box)
        if line.is_empty:
            return
        ends = shapely.get_coordinates(line)
        self.items += [
            Line((ends,), _FINE, role="leader"),
            Circle(start, 0.35, Fill(INK), role="leader"),
        ]
        self.taken.append(line)

    def _free(self, text: Text, *, inside: bool = False) -> bool:
        box = shapely.Polygon(text_outline(text, air=0.5))
        if inside and not self.shape.contains(box):
            return False
        return not self.edge.intersects(box) and not any(box.intersects(t) for t in self.taken)

    def _put(self, text: Text) -> None:
        self.items.append(text)
        self.taken.append(shapely.Polygon(text_outline(text, air=0.3)))


def _angles(labels: _Labels, drawn: NDArray[np.float64], true: NDArray[np.float64]) -> None:
    """Write each corner's angle inside it where it fits; a right angle gets a small square."""
    inside = _inner_angles(true)
    for n, angle in enumerate(inside):
        here = drawn[n]
        ways = [_unit(drawn[n - 1] - here), _unit(drawn[(n + 1) % len(drawn)] - here)]
        sides = [hypot(*(drawn[n - 1] - here)), hypot(*(drawn[(n + 1) % len(drawn)] - here))]
        if abs(angle - 90.0) <= ANGLE_ALIKE:
            size = min(2.2, *(0.3 * side for side in sides))
            corner = (
                here + size * ways[0],
                here + size * (ways[0] + ways[1]),
                here + size * ways[1],
            )
            labels.items.append(Line((np.array(corner),), _FINE, role="right-angle"))
            labels.taken.append(shapely.Polygon([here, *corner]))
            continue
        middle = _unit(ways[0] + ways[1]) if angle < 180.0 else -_unit(ways[0] + ways[1])
        reach = np.concatenate([np.arange(1.5, 16.0, 0.5), -np.arange(1.5, 30.0, 0.5)])
        tries = [as_point(here + away * middle) for away in reach]
        near = 14.0 if angle < 60.0 else 8.0
        labels.put(show_angle(angle), tries, 0.0, as_point(here), near)


def _sides(
    labels: _Labels, drawn: NDArray[np.float64], true: NDArray[np.float64], tape: Tape
) -> None:
    """Write each side's length along it, outside."""
    top = float(true[:, 1].max())
    for n in range(len(true)):
        m = (n + 1) % len(true)
        length = float(hypot(*(true[m] - true[n])))
        if length <= ALIKE:
            continue
        on_fence = max(abs(true[n, 1] - top), abs(true[m, 1] - top)) <= ALIKE
        words = tape.show(length)
        way = _unit(drawn[m] - drawn[n])
        out = np.array([way[1], -way[0]])
        side = float(hypot(*(drawn[m] - drawn[n])))
        if on_fence and side > text_width(f"edge {words}", _CAP) + 2.0:
            words = f"edge {words}"
        angle = reading_angle(degrees(atan2(way[1], way[0])) % 180.0)
        middle = (drawn[n] + drawn[m]) / 2
        # Beside the middle first; far out only when all along the side is taken.
        places = [
            (away + 0.3 * abs(slide) * side, away, slide)
            for away in (*np.arange(_CAP / 2 + 0.9, 6.0, 0.7), *np.arange(6.0, 30.0, 2.0))
            for slide in (0.0, 0.12, -0.12, 0.25, -0.25)
        ]
        tries = [
            as_point(middle + slide * side * way + away * out) for _, away, slide in sorted(places)
        ]
        labels.put(words, tries, angle, as_point(middle), max(6.0, 0.3 * side))


def _inner_angles(shape: NDArray[np.float64]) -> list[float]:
    """Give the angle inside each corner [degrees]."""
    after = np.roll(shape, -1, axis=0) - shape
    before = np.roll(shape, 1, axis=0) - shape
    turn = np.degrees(np.arctan2(before[:, 1], before[:, 0]) - np.arctan2(after[:, 1], after[:, 0]))
    return [float(angle) for angle in turn % 360.0]


def _boxed(items: Sequence[Item], words: tuple[str, ...]) -> Drawn:
    """Move a drawing to the corner of its box, with a little air."""
    points: list[NDArray[np.float64]] = []
    for item in items:
        match item:
            case Line():
                points += [np.asarray(run, dtype=float) for run in item.runs]
            case Polygon():
                points += [np.asarray(outline, dtype=float) for outline in item.outlines]
            case Text():
                points.append(np.asarray(text_outline(item, air=0.3)))
            case Circle():
                points.append(np.asarray([item.centre]))
    corners = np.concatenate(points)
    (left, bottom), (right, top) = corners.min(axis=0) - 1.0, corners.max(axis=0) + 1.0
    placed = moved(items, -float(left), -float(bottom))
    return Drawn(placed, float(right - left), float(top - bottom), words)


def _unit(way: NDArray[np.float64]) -> NDArray[np.float64]:
    length = float(hypot(*way))
    return way / length if length > 0.0 else way
