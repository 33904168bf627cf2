"""Leaders: a place outside for the lettering of pieces too small to hold it.

Comes in: the small pieces, what must stay free of them, the outline of the field.
Goes out: for each a label lying level, in free space, and the line that leads to it.
Refuses: nothing; where all is full the label goes farther out.

Labels try places all round their piece, the nearest free one wins; beyond the edge of the field
is better than on another piece::

    ------+
     |  / |
     |_/*----- C 57      no label lies on another, nor does a line run through one
    ------+
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np
import shapely
from numpy.typing import NDArray

from tesselath.draw.labels import Label, LabelSizes, Wanted, label_size
from tesselath.draw.sheet import Corners, Point
from tesselath.outlines import Outline

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
    field: Outline,
) -> list[Leader]:
    """Find a free place for the lettering of pieces too small to hold it.

    Parameters
    ----------
    wanted : sequence of Wanted
        The pieces and what is written on them.
    sizes : LabelSizes
        The sizes of the lettering; the least is used [mm].
    taken : sequence of corners
        What no label may lie on and no leader may cross: other lettering [mm].
    edges : sequence of corners
        Lines that no label may lie across: the edges of opening and frame [mm].
    field : array (n, 2)
        The outline within which labels lie on other pieces [mm].

    Returns
    -------
    list of Leader
        One a piece, in their order.

    Raises
    ------
    ValueError
        If a piece has no area.

    Notes
    -----
    Source: own derivation.
    """
    inside = shapely.Polygon(field)
    shapely.prepare(inside)
    rings = shapely.union_all([shapely.LineString(edge) for edge in edges])
    boxes = [shapely.Polygon(corners) for corners in taken]
    lines: list[shapely.LineString] = []
    starts = [_heart(one.outline) for one in wanted]
    order = sorted(range(len(wanted)), key=lambda n: (inside.boundary.distance(
        shapely.Point(starts[n])), n))  # fmt: skip
    leaders: dict[int, Leader] = {}
    for n in order:
        leader = _lead(wanted[n], starts[n], sizes, boxes, lines, rings, inside)
        width, height = leader.label.width, leader.label.height
        x, y = leader.label.at
        boxes.append(shapely.box(x - width / 2, y - height / 2, x + width / 2, y + height / 2))
        lines.append(shapely.LineString([leader.start, leader.end]))
        leaders[n] = leader
    return [leaders[n] for n in range(len(wanted))]


def _lead(
    wanted: Wanted,
    start: Point,
    sizes: LabelSizes,
    boxes: Sequence[shapely.Polygon],
    lines: Sequence[shapely.LineString],
    rings: shapely.Geometry,
    inside: shapely.Polygon,
) -> Leader:
    cap = sizes.least
    width, height = label_size(wanted.letter, wanted.number, cap, sizes=sizes)
    reach, places = height, np.empty(0)
    free = np.zeros(0, dtype=bool)
    busy, drawn = shapely.union_all(boxes), shapely.union_all(lines)
    shapely.prepare([busy, drawn, rings])
    while not free.any():
        reach *= 4.0
        far = np.geomspace(0.8 * height, reach, _RINGS)[:, None]
        x = (start[0] + (far + width / 2) * np.cos(_DIRECTIONS)).ravel()
        y = (start[1] + (far + height / 2) * np.sin(_DIRECTIONS)).ravel()
        places = np.column_stack([x, y])
        spots = shapely.box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
        ends = _ends(start, places, width, height)
        paths = shapely.linestrings([[start, end] for end in ends])
        blocked = shapely.intersects(rings, spots) | shapely.intersects(drawn, spots)
        blocked |= shapely.intersects(busy, spots)
        crossing = shapely.intersects(busy, paths) | shapely.intersects(drawn, paths)
        free = ~blocked & ~crossing
        if reach > 40 * max(*inside.bounds[2:], height):  # nowhere without crossing something
            free = ~blocked
    across = shapely.length(shapely.intersection(paths, inside))
    on_pieces = shapely.intersects(inside, spots)
    cost = shapely.length(paths) + _ACROSS * across + np.where(on_pieces, 3 * height, 0.0)
    best = int(np.where(free, cost, np.inf).argmin())
    label = Label(
        (float(places[best, 0]), float(places[best, 1])), 0.0, wanted.letter, wanted.number,
        cap, sizes.number(cap), False, width, height,
    )  # fmt: skip
    return Leader(label, start, ends[best], bool(on_pieces[best]))


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
