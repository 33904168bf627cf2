"""What stands round the field: frame, directions, row numbers, rulers, dimensions, centre lines.

Comes in: a plan drawn to scale, the pens, how lengths are printed. Goes out: the items of each
layer, and the box they fill.

Row numbers and rulers hug the opening, on the frame where it is wide enough; words and
dimensions stand outside::

                 BACK
          +----------------+
     L    | +1 |//////| +1 |    R
     E    |  0 |//////|  0 |    I        seen from above, show face up
     F    | -1 |//////| -1 |    G
     T    +--8--4--0--4--8-+    HT
                FRONT
          |<----- 58 in -->|
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely

from tesselath.draw.maps.frame import FrameShape, is_box
from tesselath.draw.maps.rows import RowMark, mark_rows
from tesselath.draw.paper import (
    Circle,
    Corners,
    Item,
    Line,
    Pens,
    Point,
    Stroke,
    Tape,
    Text,
    box_outline,
    draw_dimension,
    draw_ruler,
    ruler_depth,
    text_width,
)
from tesselath.field import Piece
from tesselath.shape import Outline, as_point

__all__ = ["Surround", "draw_centre_lines", "draw_surround", "draw_trim_line", "texts_of"]

_SIDES = ("left", "right", "bottom", "top")
_WORDS = {"left": "LEFT", "right": "RIGHT", "bottom": "FRONT", "top": "BACK"}
_LEFT, _BOTTOM, _RIGHT, _TOP = range(4)
_AIR = 0.6  # between neighbours, in base heights


@dataclass(frozen=True, slots=True)
class Surround:
    """What stands round the field: items, and the box they fill (left, bottom, right, top)."""

    rows: tuple[Item, ...]
    rulers: tuple[Item, ...]
    words: tuple[Item, ...]
    dimensions: tuple[Item, ...]
    box: tuple[float, float, float, float]
    #: Where the rulers lie; other lettering there would be read as theirs.
    ruled: tuple[Corners, ...]

    @property
    def items(self) -> tuple[Item, ...]:
        """All of it."""
        return self.rows + self.rulers + self.words + self.dimensions


@dataclass(slots=True)
class _Bands:
    """How much of each side is taken: on the frame, and outside it."""

    opening: tuple[float, float, float, float]
    frame: tuple[float, float, float, float]
    inner: dict[str, float] = field(default_factory=lambda: dict.fromkeys(_SIDES, 0.0))
    outer: dict[str, float] = field(default_factory=lambda: dict.fromkeys(_SIDES, 0.0))

    def take(self, side: str, depth: float) -> float:
        """Take a band next to the opening, on the frame if it has room; give its near edge."""
        n, out = _where(side)
        room = out * (self.frame[n] - self.opening[n])
        if self.inner[side] + depth <= room:
            edge = self.opening[n] + out * self.inner[side]
            self.inner[side] += depth
            return edge
        return self.take_outside(side, depth)

    def take_outside(self, side: str, depth: float) -> float:
        """Take a band outside the frame; give its near edge."""
        n, out = _where(side)
        edge = self.frame[n] + out * self.outer[side]
        self.outer[side] += depth
        return edge

    @property
    def box(self) -> tuple[float, float, float, float]:
        """The box of all that is taken."""
        left, bottom, right, top = self.frame
        return (
            left - self.outer["left"],
            bottom - self.outer["bottom"],
            right + self.outer["right"],
            top + self.outer["top"],
        )


def draw_surround(
    opening: Outline,
    *,
    frame: FrameShape | None,
    field: tuple[float, float, float, float],
    field_pieces: Sequence[Piece],
    pens: Pens,
    tape: Tape,
) -> Surround:
    """Draw what stands round the field."""
    inner = shapely.Polygon(opening).bounds
    outer = shapely.Polygon(frame.outer).bounds if frame else inner
    bands = _Bands(inner, outer)
    for side in _SIDES:  # strips under the frame take the first band
        n, out = _where(side)
        bands.take(side, max(0.0, out * (field[n] - inner[n])))
    rows = _rows(field_pieces, opening, bands, pens)
    rulers: list[Item] = []
    ruled: list[Corners] = []
    for side in ("bottom", "left"):
        span = (inner[_LEFT], inner[_RIGHT]) if side == "bottom" else (inner[_BOTTOM], inner[_TOP])
        depth = ruler_depth(side, span=span, tape=tape, pens=pens)
        edge = bands.take(side, depth)
        rulers += draw_ruler(side, edge=edge, span=span, tape=tape, pens=pens)
        ruled.append(_band(side, edge, depth, span))
    words = tuple(_word(side, bands, pens) for side in _SIDES)
    dimensions = _dimensions(opening, bands, ruled=ruled, pens=pens, tape=tape)
    return Surround(tuple(rows), tuple(rulers), words, tuple(dimensions), bands.box, tuple(ruled))


def draw_centre_lines(
    box: tuple[float, float, float, float], *, pens: Pens, free: Sequence[Corners]
) -> Line:
    """Draw the two centre lines across a box, broken where lettering stands in their way."""
    left, bottom, right, top = box
    over = 0.7 * pens.base
    both = shapely.MultiLineString(
        [[(left - over, 0.0), (right + over, 0.0)], [(0.0, bottom - over), (0.0, top + over)]]
    )
    boxes = np.array([shapely.Polygon(corners) for corners in free], dtype=object)
    busy = shapely.union_all(boxes[shapely.intersects(both, boxes)])
    runs = [
        tuple(map(tuple, shapely.get_coordinates(part).tolist()))
        for part in shapely.get_parts(shapely.difference(both, busy))
        if part.length > min(pens.base, 0.1 * pens.strip)
    ]
    return Line(tuple(sorted(runs)), pens.centre, role="centre-line")


def draw_trim_line(opening: Outline, *, pens: Pens) -> tuple[Item, ...]:
    """Draw the line to which the glued field is trimmed, with scissors on its front edge."""
    ring = np.concatenate([opening, opening[:1]])
    start = min(range(len(opening)), key=lambda n: (opening[n][1] + opening[n][0], n))
    (x1, y1), (x2, y2) = ring[start].tolist(), ring[start + 1].tolist()
    x, y = x1 + 0.08 * (x2 - x1), y1 + 0.08 * (y2 - y1)
    return (
        Line((ring,), pens.trim, role="trim-line"),
        *_scissors((x, y), size=2.2 * pens.base, colour=pens.trim.colour),
    )


def texts_of(items: Iterable[Item]) -> list[Text]:
    """Give the lettering among items."""
    return [item for item in items if isinstance(item, Text)]


def _band(side: str, edge: float, depth: float, span: tuple[float, float]) -> Corners:
    """Give the corners of a band beside an edge."""
    near, far = sorted((edge, edge + _where(side)[1] * depth))
    if side in ("bottom", "top"):
        return box_outline(span[0], near, span[1] - span[0], far - near)
    return box_outline(near, span[0], far - near, span[1] - span[0])


def _where(side: str) -> tuple[int, float]:
    """Give which coordinate of a box a side is, and the direction outward."""
    return {"left": (0, -1.0), "bottom": (1, -1.0), "right": (2, 1.0), "top": (3, 1.0)}[side]


def _rows(pieces: Sequence[Piece], opening: Outline, bands: _Bands, pens: Pens) -> list[Item]:
    cap = 0.9 * pens.base
    marks = mark_rows(pieces, opening=opening, cap=cap)
    items: list[Item] = []
    for side in _SIDES:
        on_side = [mark for mark in marks if mark.side == side]
        if not on_side:
            continue
        upright = side in ("bottom", "top")
        wide = cap if upright else max(text_width(mark.text, cap, 600) for mark in on_side)
        depth = wide + 2 * _AIR * pens.base
        edge = bands.take(side, depth)
        # Where the field does not reach its box, the number stands at the field's own edge.
        beyond = edge + _where(side)[1] * depth / 2 - bands.opening[_where(side)[0]]
        items += [_row_text(mark, mark.edge + beyond, cap) for mark in on_side]
    return items


def _row_text(mark: RowMark, middle: float, cap: float) -> Text:
    at = (mark.at, middle) if mark.side in ("bottom", "top") else (middle, mark.at)
    return Text(mark.text, at, cap, weight=600, colour="#444444", role="row-number")


def _word(side: str, bands: _Bands, pens: Pens) -> Text:
    """Print the word of a side along it; at the sides it is read from the right."""
    cap = 1.5 * pens.base
    depth = cap + 2.4 * pens.base
    middle = bands.take_outside(side, depth) + _where(side)[1] * depth / 2
    level = side in ("bottom", "top")
    at: Point = (0.0, middle) if level else (middle, 0.0)
    return Text(_WORDS[side], at, cap, angle=0.0 if level else 90.0, weight=600, role="direction")


def _dimensions(
    opening: Outline, bands: _Bands, *, ruled: Sequence[Corners], pens: Pens, tape: Tape
) -> list[Item]:
    """Draw the opening's sizes and the overall sizes; all four sides of one out of square."""
    items: list[Item] = []
    if len(opening) == 4 and not is_box(opening):
        # Its corners stand level with the last figures of the rulers, in front and at the left.
        (_, front), (left, _) = (np.asarray(band).min(axis=0) for band in ruled)
        beyond = {"bottom": float(front), "left": float(left)}
        for start, end in zip(opening, np.roll(opening, -1, axis=0), strict=True):
            items += _dimension(
                as_point(start), as_point(end), "opening", bands, pens, tape, beyond=beyond
            )
    else:
        items += _two_sizes(bands.opening, "opening", bands, pens, tape)
    if bands.frame != bands.opening:
        items += _two_sizes(bands.frame, "overall", bands, pens, tape)
    for side in _SIDES:
        bands.take_outside(side, 0.8 * pens.base)
    return items


def _two_sizes(
    box: tuple[float, float, float, float], words: str, bands: _Bands, pens: Pens, tape: Tape
) -> list[Item]:
    """Measure a box along its front and its right-hand side."""
    left, bottom, right, top = box
    return [
        *_dimension((left, bottom), (right, bottom), words, bands, pens, tape),
        *_dimension((right, bottom), (right, top), words, bands, pens, tape),
    ]


def _dimension(
    start: Point,
    end: Point,
    words: str,
    bands: _Bands,
    pens: Pens,
    tape: Tape,
    beyond: Mapping[str, float] | None = None,
) -> tuple[Item, ...]:
    """Measure an edge outside the side that it faces."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    side = ("bottom" if dx > 0 else "top") if abs(dx) > abs(dy) else "right" if dy > 0 else "left"
    n, out = _where(side)
    line = bands.take_outside(side, 2.8 * pens.base) + out * 2.0 * pens.base
    near = start[n % 2]
    clear = abs((beyond or {}).get(side, near) - near)
    return draw_dimension(
        start, end, away=abs(line - near), tape=tape, pens=pens, words=words, clear=clear
    )


def _scissors(at: Point, *, size: float, colour: str) -> tuple[Item, ...]:
    """Draw small scissors that cut to the right."""
    x, y = at
    pen = Stroke(size / 14, colour, ends="round")
    ring = 0.17 * size
    blades = tuple(
        ((x - 0.30 * size, y - lean * 0.16 * size), (x + 0.55 * size, y + lean * 0.16 * size))
        for lean in (1.0, -1.0)
    )
    rings = tuple(
        Circle((x - 0.45 * size, y - lean * 0.22 * size), ring, stroke=pen, role="trim-line")
        for lean in (1.0, -1.0)
    )
    return (Line(blades, pen, role="trim-line"), *rings)
