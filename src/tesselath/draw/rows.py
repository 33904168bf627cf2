"""Row numbers at both edges of the field.

Comes in: the pieces of the field with their rows, the box of the opening.
Goes out: where each row meets the edges, and its number as it is printed.
Refuses: nothing; rows too close to be numbered one by one are numbered every 2nd, 5th, 10th.

Rows count from the centre line: + away from the maker, the minus sign towards the maker. Where
rows run from front to back they are numbered at the front and back edges::

    +1 |/////////////////| +1
     0 |/////////////////| 0
    -1 |/////////////////| -1
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tesselath.outlines import centroid
from tesselath.pieces import Piece

__all__ = ["RowMark", "mark_rows", "rows_run_across"]


@dataclass(frozen=True, slots=True)
class RowMark:
    """A row's number where the row meets an edge: its y at left and right, its x otherwise."""

    side: str
    at: float
    text: str


def mark_rows(
    pieces: Sequence[Piece], *, box: tuple[float, float, float, float], least: float
) -> list[RowMark]:
    """Number the rows of the field at both edges.

    Parameters
    ----------
    pieces : sequence of Piece
        The pieces of the field.
    box : (left, bottom, right, top)
        The box of the opening [mm].
    least : float
        How near two numbers may stand [mm].

    Returns
    -------
    list of RowMark
        The numbers, side by side, in order; none where there is only one row.

    Raises
    ------
    ValueError
        If a piece has no area.

    Notes
    -----
    Source: own derivation: a row is taken as a line through the middle of its pieces.
    """
    rows: dict[int, list[tuple[float, float]]] = {}
    for piece in pieces:
        rows.setdefault(piece.row, []).append(centroid(piece.outline))
    if len(rows) < 2:
        return []
    middles = {row: np.array(points).mean(axis=0) for row, points in sorted(rows.items())}
    way = _direction(rows)
    across = abs(way[0]) >= abs(way[1])
    sides = ("left", "right") if across else ("bottom", "top")
    low, high = (box[1], box[3]) if across else (box[0], box[2])
    marks = []
    for side, edge in zip(sides, (box[0], box[2]) if across else (box[1], box[3]), strict=True):
        places = {}
        for row, middle in middles.items():
            axis = 0 if across else 1
            run = (edge - middle[axis]) / way[axis]
            place = float(middle[1 - axis] + run * way[1 - axis])
            if low <= place <= high:
                places[row] = place
        step = _step(sorted(places.values()), least)
        kept: dict[int, float] = {}
        for row in sorted(places, key=lambda row: (abs(row), row)):
            if row % step == 0 and all(abs(places[row] - at) >= least for at in kept.values()):
                kept[row] = places[row]
        marks += [
            RowMark(side, place, f"{row:+d}".replace("-", "\N{MINUS SIGN}") if row else "0")
            for row, place in sorted(kept.items())
        ]
    return marks


def rows_run_across(marks: Sequence[RowMark]) -> bool:
    """Tell whether rows run from left to right."""
    return any(mark.side == "left" for mark in marks)


def _direction(rows: dict[int, list[tuple[float, float]]]) -> NDArray[np.float64]:
    """Give the direction in which the pieces of a row spread most, over all rows."""
    spread = np.zeros((2, 2))
    for points in rows.values():
        away = np.array(points) - np.mean(points, axis=0)
        spread += away.T @ away
    _, directions = np.linalg.eigh(spread)
    way: NDArray[np.float64] = directions[:, -1]
    # Rows of pieces laid level are level, whatever a clipped end piece says.
    return np.where(np.abs(way) < 0.02, 0.0, way)


def _step(places: Sequence[float], least: float) -> int:
    """Give every how many rows are numbered so that the numbers stand clear of each other."""
    if len(places) < 2:
        return 1
    pitch = (places[-1] - places[0]) / (len(places) - 1)
    return next((step for step in (1, 2, 5, 10, 20, 50, 100) if step * pitch >= least), 1000)
