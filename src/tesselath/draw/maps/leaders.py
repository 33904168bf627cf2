"""Leaders: a place outside for the lettering of pieces too small to hold it.

Comes in: the small pieces, what must stay free of them, the outline of the field. Goes out: for
each a label lying level, in free space, and the line that leads to it. Where all is full the label
goes farther out.

Labels try places all round their piece, the nearest free one wins; beyond the edge of the field
is better than on another piece::

    ------+
     |  / |
     |_/*----- C 57      no label lies on another, nor does a line run through one
    ------+
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from tesselath.draw.maps.labels import Label, LabelSizes, Wanted, label_size
from tesselath.draw.paper import Corners, Point
from tesselath.shape import Outline

__all__ = ["Leader", "lead_out"]

_DIRECTIONS = np.radians(np.arange(0.0, 360.0, 15.0))
_RINGS = 28
#: A mm of leader across other pieces counts as much as these outside.
_ACROSS = 2.0


@dataclass(frozen=True, slots=True)
class Leader:
    """A label outside its piece, the line to it, and whether it lies on other pieces."""

    label: Label
    start: Point
    end: Point
    on_pieces: bool


def lead_out(
    wanted: Sequence[Wanted],
    *,
    sizes: LabelSizes,
    taken: Sequence[Corners],
    edges: Sequence[Corners],
    closed: Sequence[Corners],
    field: Outline,
) -> list[Leader]:
    """Find a free place for the lettering of pieces too small to hold it.

    Parameters
    ----------
    wanted : sequence of Wanted
        The pieces and what is written on them.
    sizes : LabelSizes
        The sizes of the lettering; as large as there is room [mm].
    taken : sequence of corners
        What no label may lie on and no leader may cross: other lettering [mm].
    edges : sequence of corners
        Lines that no label may lie across: the edges of opening and frame [mm].
    closed : sequence of corners
        Where no label may lie, though leaders may cross it: rulers [mm].
    field : array (n, 2)
        The outline within which labels lie on other pieces [mm].

    Returns
    -------
    list of Leader
        One a piece, in their order.
    """
    inside = shapely.Polygon(field)
    shapely.prepare(inside)
    starts = [_heart(one.outline) for one in wanted]
    away = [inside.boundary.distance(shapely.Point(start)) for start in starts]
    edge_lines = shapely.union_all(
        [shapely.LineString(edge) for edge in edges] + [shapely.Polygon(area) for area in closed]
    )
    shapely.prepare(edge_lines)
    busy = _Busy(
        inside,
        edge_lines,
        shapely.STRtree([shapely.Polygon(corners) for corners in taken]),
        shapely.STRtree([shapely.Point(start) for start in starts]),
        (),
    )
    leaders: dict[int, Leader] = {}
    for n in sorted(range(len(wanted)), key=lambda n: (round(away[n], 3), n)):
        leaders[n] = _lead(wanted[n], starts[n], sizes, busy)
        busy = replace(busy, leaders=(*busy.leaders, leaders[n]))
    return [leaders[n] for n in range(len(wanted))]


@dataclass(frozen=True, slots=True)
class _Busy:
    """What is there already: the field, edges, lettering, and the leaders found so far."""

    field: shapely.Polygon
    edges: BaseGeometry
    lettering: shapely.STRtree
    #: The hearts of the pieces to which leaders run, which must stay in sight.
    hearts: shapely.STRtree
    leaders: tuple[Leader, ...]

    def meet_lettering(self, shapes: NDArray[np.object_]) -> NDArray[np.bool_]:
        """Tell which shapes meet lettering, that of leaders included."""
        boxes = [_box(leader.label) for leader in self.leaders]
        return _meet(self.lettering, shapes) | _meet(shapely.STRtree(boxes), shapes)

    def meet_lines(self, shapes: NDArray[np.object_]) -> NDArray[np.bool_]:
        """Tell which shapes meet a leader's line."""
        lines = [shapely.LineString([leader.start, leader.end]) for leader in self.leaders]
        return _meet(shapely.STRtree(lines), shapes)


def _meet(tree: shapely.STRtree, shapes: NDArray[np.object_]) -> NDArray[np.bool_]:
    met = np.zeros(len(shapes), dtype=bool)
    met[tree.query(shapes, predicate="intersects")[0]] = True
    return met


def _lead(wanted: Wanted, start: Point, sizes: LabelSizes, busy: _Busy) -> Leader:
    """Try generous lettering beyond the edge close by, then modest and least lettering anywhere."""
    generous, modest = max(sizes.least, sizes.most), max(sizes.least, 0.5 * sizes.most)
    for cap, reach, outside in (
        (generous, 12.0, True),
        (modest, 12.0, True),
        (modest, 6.0, False),
        (sizes.least, 12.0, False),
        (sizes.least, 50.0, False),
        (sizes.least, 1000.0, False),
    ):
        leader = _try(wanted, start, cap, sizes, busy, reach=reach, outside=outside)
        if leader is not None:
            return leader
    last = _try(wanted, start, sizes.least, sizes, busy, reach=1000.0, outside=True, cross=True)
    if last is None:  # there is always room far out, for a label of a few mm
        raise ValueError("no room for a label even far beyond the edge")
    return last


def _try(
    wanted: Wanted,
    start: Point,
    cap: float,
    sizes: LabelSizes,
    busy: _Busy,
    *,
    reach: float,
    outside: bool,
    cross: bool = False,
) -> Leader | None:
    """Find the cheapest free place within a reach, in heights of the label; None if all is full."""
    width, height = label_size(wanted.letter, wanted.number, cap, sizes=sizes)
    far = np.geomspace(0.6 * height, reach * height, _RINGS)[:, None]
    x = (start[0] + (far + width / 2) * np.cos(_DIRECTIONS)).ravel()
    y = (start[1] + (far + height / 2) * np.sin(_DIRECTIONS)).ravel()
    places = np.column_stack([x, y])
    spots = shapely.box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
    ends = _ends(start, places, width, height)
    paths = shapely.linestrings([[start, end] for end in ends])
    on_pieces = shapely.intersects(busy.field, spots)
    free = ~(shapely.intersects(busy.edges, spots) | (on_pieces if outside else False))
    free &= ~_meet(busy.hearts, spots)
    free[free] = ~(busy.meet_lines(spots[free]) | busy.meet_lettering(spots[free]))
    if not cross:
        free[free] = ~(busy.meet_lines(paths[free]) | busy.meet_lettering(paths[free]))
    across = np.zeros(len(paths))
    across[free] = shapely.length(shapely.intersection(paths[free], busy.field))
    if outside and not cross:
        free &= across <= 2.5 * height
    if not free.any():
        return None
    cost = shapely.length(paths) + _ACROSS * across + np.where(on_pieces, 3 * height, 0.0)
    best = int(np.where(free, cost, np.inf).argmin())
    at = (float(places[best, 0]), float(places[best, 1]))
    label = Label(
        at, 0.0, wanted.letter, wanted.number, cap, sizes.number(cap), False, width, height
    )
    return Leader(label, start, ends[best], bool(on_pieces[best]))


def _box(label: Label) -> shapely.Polygon:
    (x, y), half, high = label.at, label.width / 2, label.height / 2
    return shapely.box(x - half, y - high, x + half, y + high)


def _ends(start: Point, places: NDArray[np.float64], width: float, height: float) -> list[Point]:
    """Give where a line from the start meets each box."""
    ends = []
    for x, y in places.tolist():
        dx, dy = start[0] - x, start[1] - y
        shrink = min(
            width / 2 / abs(dx) if dx else np.inf, height / 2 / abs(dy) if dy else np.inf, 1.0
        )
        ends.append((x + dx * shrink, y + dy * shrink))
    return ends


def _heart(outline: Outline) -> Point:
    """Give the point of a piece that is farthest from its sides."""
    shape = shapely.Polygon(outline)
    width = hypot(*np.ptp(outline, axis=0))
    circle = shapely.maximum_inscribed_circle(shape, tolerance=width / 100)
    point = shapely.get_point(circle, 0)
    return float(point.x), float(point.y)
