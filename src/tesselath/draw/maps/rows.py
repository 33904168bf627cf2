"""Row numbers at both edges of the field.

Comes in: the pieces of the field with their rows, the outline of the opening. Goes out: where each
row meets the edges, and its number as it is printed. Rows too close to be numbered one by one are
numbered every 2nd, 5th, 10th.

Rows count from the centre line: + away from the maker, the minus sign towards the maker. Where
rows run from front to back they are numbered at the front and back edges::

    +1 |/////////////////| +1
     0 |/////////////////| 0
    -1 |/////////////////| -1
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from tesselath.draw.paper import Point
from tesselath.field import Piece
from tesselath.shape import Outline, centroid

__all__ = ["RowMark", "mark_rows", "row_direction"]

_SIDES = ("left", "right", "bottom", "top")


@dataclass(frozen=True, slots=True)
class RowMark:
    """A row's number where the row meets the edge of the field.

    ``at`` is its y at the left and right sides, its x at front and back; ``edge`` is the other
    coordinate of the place where the row meets the edge [mm].
    """

    side: str
    at: float
    edge: float
    text: str


def mark_rows(pieces: Sequence[Piece], *, opening: Outline, cap: float) -> list[RowMark]:
    """Number the rows of the field at both edges.

    Source: own derivation: a row is taken as a line through the middle of its pieces.
    """
    rows: dict[int, list[tuple[float, float]]] = {}
    for piece in pieces:
        rows.setdefault(piece.row, []).append(centroid(piece.outline))
    if len(rows) < 2:
        return []
    middles = {row: np.array(points).mean(axis=0) for row, points in sorted(rows.items())}
    way = row_direction(rows)
    shape = shapely.Polygon(opening)
    reach = float(np.ptp(opening, axis=0).sum())
    places: dict[str, dict[int, Point]] = {side: {} for side in _SIDES}
    for row, middle in middles.items():
        line = shapely.LineString([middle - reach * way, middle + reach * way])
        met = shapely.get_coordinates(line.intersection(shape))
        if not len(met):
            continue
        along = met @ way
        for end in (met[along.argmin()], met[along.argmax()]):
            places[_side(end, opening)].setdefault(row, (float(end[0]), float(end[1])))
    marks = []
    for side, ends in places.items():
        axis = 1 if side in ("left", "right") else 0
        low = float(opening[:, axis].min()) + 0.8 * cap
        high = float(opening[:, axis].max()) - 0.8 * cap
        at = {row: min(max(end[axis], low), high) for row, end in ends.items()}
        marks += [
            RowMark(side, at[row], ends[row][1 - axis], _number(row))
            for row in _kept(at, 1.5 * cap)
        ]
    return marks


def _side(point: NDArray[np.float64], opening: Outline) -> str:
    """Tell to which side the edge faces on which a point lies."""
    ends = np.roll(opening, -1, axis=0)
    edges = shapely.linestrings(np.stack([opening, ends], axis=1))
    n = int(shapely.distance(edges, shapely.Point(point)).argmin())
    dx, dy = ends[n] - opening[n]
    if abs(dx) > abs(dy):
        return "bottom" if dx > 0 else "top"
    return "right" if dy > 0 else "left"


def row_direction(rows: Mapping[int, Sequence[Point]]) -> NDArray[np.float64]:
    """Give the direction in which the middles of a row's pieces spread most, over all rows."""
    spread = np.zeros((2, 2))
    for points in rows.values():
        away = np.array(points) - np.mean(points, axis=0)
        spread += away.T @ away
    _, directions = np.linalg.eigh(spread)
    way: NDArray[np.float64] = directions[:, -1]
    # Rows of pieces laid level are level, whatever a clipped end piece says.
    return np.where(np.abs(way) < 0.02, 0.0, way)


def _kept(places: dict[int, float], least: float) -> list[int]:
    """Give the rows that are numbered, so that the numbers stand clear of each other."""
    if len(places) < 2:
        return list(places)
    pitch = (max(places.values()) - min(places.values())) / (len(places) - 1)
    step = next((step for step in (1, 2, 5, 10, 20, 50, 100) if step * pitch >= 0.8 * least), 1000)
    kept: dict[int, float] = {}
    for row in sorted(places, key=lambda row: (abs(row), row)):
        if row % step == 0 and all(abs(places[row] - at) >= least for at in kept.values()):
            kept[row] = places[row]
    return sorted(kept)


def _number(row: int) -> str:
    return f"{row:+d}".replace("-", "\N{MINUS SIGN}") if row else "0"
