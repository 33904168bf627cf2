"""What is marked on the story stick: centre, edges, and every line on which corners stand.

Comes in: a plan, and which way the stick lies. Goes out: marks at their distance from the centre
line, and where the rows lie.

A line through several corners is one that the maker sees in the finished top. Where a top has no
such lines, as a pattern turned by an odd angle, the stick takes the places where joints meet the
front edge, or the left one::

    frame opening      row      row  centre  row      row
      |    |            |        |     :      |        |
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from tesselath.draw.maps.frame import frame_shape
from tesselath.draw.maps.rows import row_direction
from tesselath.field import Piece
from tesselath.plan import Plan
from tesselath.shape import centroid

__all__ = ["RodMark", "RodRow", "mark_rod"]

#: Corners this near to an edge lie on it, and marks this near to each other are one [mm]: a
#: pencil line is about as wide.
_ON_LINE, _ONE = 0.05, 0.25
#: Lines may stand this close on average before the weaker ones are left out [mm].
_CLOSEST = 2.5
#: Rows that lean less than this, as a share, lie square to the stick.
_SQUARE = 0.03


@dataclass(frozen=True, slots=True)
class RodMark:
    """A mark: its distance from the centre line [mm], its kind, and what stands there.

    ``kind`` is "edge" (of frame, opening or a zone), "row" (where a row of pieces begins or
    ends), "line" (where corners stand) or "joint" (where a joint meets the edge of the field).
    """

    at: float
    kind: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class RodRow:
    """A row of pieces that lies square to the stick: its number, and its middle [mm]."""

    number: int
    at: float


def mark_rod(plan: Plan, axis: int) -> tuple[tuple[RodMark, ...], tuple[RodRow, ...]]:
    """Find the marks of one story stick.

    Parameters
    ----------
    axis : {0, 1}
        The stick that lies across, from left to right, or away, from front to back.

    Returns
    -------
    marks, rows
        The marks and the rows, from left to right or from front to back; the centre line, at 0,
        is not among them.
    """
    edges = _edges(plan, axis)
    zone = next((z.outline for z in plan.zones if z.name == "field"), plan.opening)
    pieces = [piece for piece in plan.pieces if piece.zone == "field"] or list(plan.pieces)
    corners = np.unique(np.round(np.concatenate([p.outline for p in pieces]), 3), axis=0)
    on_edge = shapely.distance(shapely.points(corners), shapely.Polygon(zone).exterior) < _ON_LINE
    lines = _lines(corners[~on_edge], axis)
    rows, ends = _rows(pieces, axis)
    found = [RodMark(at, "row" if _near(at, ends) else "line") for at in lines]
    if len(lines) < 2:
        met = _joints(corners[on_edge], axis, zone)
        found = [RodMark(at, "joint") for at in met]
    known = [0.0, *(edge.at for edge in edges)]
    kept = [mark for mark in found if not _near(mark.at, known)]
    return tuple(sorted([*edges, *kept], key=lambda mark: mark.at)), rows


def _edges(plan: Plan, axis: int) -> list[RodMark]:
    """Mark the edges of frame, opening and zones; edges at one place share a mark."""
    shapes: list[tuple[str, NDArray[np.float64]]] = []
    frame = plan.design.frame
    if frame is not None:
        outer = frame_shape(plan.opening, width=frame.width, corner=frame.corner).outer
        shapes.append(("frame", outer))
    trim = plan.design.order == "trim"
    shapes.append(("trim line" if trim else "opening", plan.opening))
    shapes += [(zone.name.replace("-", " "), zone.outline) for zone in plan.zones]
    words: dict[float, list[str]] = {}
    for name, outline in shapes:
        for at in (float(outline[:, axis].min()), float(outline[:, axis].max())):
            place = next((known for known in words if abs(known - at) <= _ON_LINE), at)
            words.setdefault(place, []).append(name)
    return [RodMark(at, "edge", ", ".join(names)) for at, names in words.items()]


def _lines(corners: NDArray[np.float64], axis: int) -> list[float]:
    """Give the lines on which corners stand; the more on one line, the surer it is kept."""
    if len(corners) == 0:
        return []
    order = corners[np.argsort(corners[:, axis], kind="stable"), axis]
    starts = np.flatnonzero(np.diff(order, prepend=-np.inf) > _ONE)
    counts = np.diff([*starts, len(order)])
    places = np.array([run.mean() for run in np.split(order, starts[1:])])
    room = float(np.ptp(order)) + _CLOSEST
    for least in range(2, int(counts.max()) + 1):
        kept = places[counts >= least]
        if len(kept) * _CLOSEST <= room:
            return [float(at) for at in kept]
    return []


def _rows(pieces: Iterable[Piece], axis: int) -> tuple[tuple[RodRow, ...], list[float]]:
    """Give the rows that lie square to the stick, and where they begin and end."""
    middles: dict[int, list[tuple[float, float]]] = {}
    spans: dict[int, list[float]] = {}
    for piece in pieces:
        middles.setdefault(piece.row, []).append(centroid(piece.outline))
        along = piece.outline[:, axis]
        spans.setdefault(piece.row, []).extend((float(along.min()), float(along.max())))
    if len(middles) < 2 or abs(row_direction(middles)[axis]) > _SQUARE:
        return (), []
    rows = [
        RodRow(number, float(np.mean([point[axis] for point in points])))
        for number, points in middles.items()
    ]
    ends = [end for ends in spans.values() for end in (min(ends), max(ends))]
    return tuple(sorted(rows, key=lambda row: row.at)), ends


def _joints(corners: NDArray[np.float64], axis: int, zone: NDArray[np.float64]) -> list[float]:
    """Give where joints meet the front edge of the field, or its left edge."""
    other = 1 - axis
    first = corners[np.abs(corners[:, other] - float(zone[:, other].min())) <= _ON_LINE, axis]
    places: list[float] = []
    for at in np.sort(first).tolist():
        if not places or at - places[-1] > _ONE:
            places.append(float(at))
    return places


def _near(at: float, places: Iterable[float]) -> bool:
    return any(abs(at - place) <= _ONE for place in places)
