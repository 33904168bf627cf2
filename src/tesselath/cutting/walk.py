"""Walks: the most valuable stick when joints matter, over every sequence of pieces.

Comes in: joint tables on a grid, and whole-number prices of the pieces. Goes out: for each kind of
stick the best value, and a sequence that has it. A piece may be used more often than it is wanted.

A stick is a walk from cut to cut. For every place x on it and every right end, the table holds
the best value of pieces that end there or before::

    before[left, x]  = best of 0 (if x is past the start) and after[right, x - spare joint]
    after[right, x]  = best of before[left, x - weight] + price, over all ways to lie
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tesselath.cutting.grid import round_down, round_up
from tesselath.cutting.joints import Joints
from tesselath.cutting.order import Laid
from tesselath.measure import ALIKE

__all__ = ["WalkGrid", "best_walks", "lay_walk_grid"]

Ints = NDArray[np.int64]

#: Below every value there is.
_NEVER = -(1 << 60)


@dataclass(frozen=True, slots=True)
class WalkGrid:
    """The joint tables in whole units: one row per way to lie, ``(n,)``, sorted by right end."""

    unit: float
    piece: Ints
    way: Ints
    left: Ints
    right: Ints
    weight: Ints
    starts: Ints
    finishes: Ints
    spares: Ints  # (lefts, rights): what a joint takes beyond the pads
    rooms: tuple[int, ...]


def lay_walk_grid(joints: Joints, lengths: Sequence[float], unit: float, *, fits: bool) -> WalkGrid:
    """Express the joint tables in whole units."""
    count = round_up if fits else round_down
    rows = sorted(
        (lie.right, lie.left, piece, way, count(joints.weight(piece, lie), unit))
        for piece, lies in enumerate(joints.lies)
        for way, lie in enumerate(lies)
    )
    table = np.array(rows, np.int64).reshape(len(rows), 5)
    starts = joints.starts - joints.left_pads
    finishes = joints.finishes - joints.right_pads
    spares = joints.gaps - joints.left_pads[None, :] - joints.right_pads[:, None]
    grace = ALIKE / 2 if fits else 2 * ALIKE
    return WalkGrid(
        unit,
        table[:, 2],
        table[:, 3],
        table[:, 1],
        table[:, 0],
        np.maximum(table[:, 4], 1),
        np.array([count(start, unit) for start in starts - starts.min()], np.int64),
        np.array([count(finish, unit) for finish in finishes - finishes.min()], np.int64),
        np.array([[count(spare, unit) for spare in row] for row in spares.T], np.int64),
        tuple(max(0, round_down(joints.room(length) + grace, unit)) for length in lengths),
    )


def best_walks(
    prices: Ints, *, grid: WalkGrid, joints: Joints, routes: bool = True
) -> list[tuple[int, Laid]]:
    """Find the most valuable stick of each kind.

    Dynamic programming over places on the stick.
    """
    worth = prices[grid.piece]
    rows = np.flatnonzero(worth > 0)
    if not len(rows):
        return [(0, ()) for _ in grid.rooms]
    room = max(grid.rooms)
    step = int(grid.weight[rows].min())
    pad = max(int(grid.weight[rows].max()), int(grid.spares.max(initial=0))) + 1
    stride = pad + room + 1
    lefts, rights = grid.spares.shape
    before = np.full((lefts, stride), _NEVER, np.int64)
    after = np.full((rights, stride), _NEVER, np.int64)
    origins = grid.left[rows] * stride + pad - grid.weight[rows]
    rises = worth[rows][:, None]
    used, first = np.unique(grid.right[rows], return_index=True)
    joins = (np.arange(rights)[None, used] * stride + pad - grid.spares[:, used]).reshape(-1)
    flat_before, flat_after = before.reshape(-1), after.reshape(-1)
    for at in range(0, room + 1, step):
        span = np.arange(at, min(at + step, room + 1))
        values = flat_before[origins[:, None] + span[None, :]]
        values += rises
        after[used, pad + at : pad + at + len(span)] = np.maximum.reduceat(values, first, axis=0)
        linked = flat_after[joins[:, None] + span[None, :]]
        best = linked.reshape(lefts, len(used), len(span)).max(axis=1)
        fresh = np.where(span[None, :] >= grid.starts[:, None], 0, _NEVER)
        before[:, pad + at : pad + at + len(span)] = np.maximum(best, fresh)
    results: list[tuple[int, Laid]] = []
    for here in grid.rooms:
        ends = here - grid.finishes
        values = np.where(ends >= 0, after[np.arange(rights), pad + np.maximum(ends, 0)], _NEVER)
        right = int(values.argmax())
        value = int(values[right])
        if value <= 0:
            results.append((0, ()))
        elif routes:
            trace = _trace(before, after, grid, rows, worth, pad, right, int(ends[right]))
            results.append((value, tuple((piece, joints.lies[piece][way]) for piece, way in trace)))
        else:
            results.append((value, ()))
    return results


def _trace(
    before: Ints,
    after: Ints,
    grid: WalkGrid,
    rows: Ints,
    worth: Ints,
    pad: int,
    right: int,
    at: int,
) -> list[tuple[int, int]]:
    """Follow the best values back to the start of the stick."""
    laid = []
    while True:
        value = int(after[right, pad + at])
        mine = rows[grid.right[rows] == right]
        from_ = before[grid.left[mine], pad + at - grid.weight[mine]] + worth[mine]
        row = int(mine[int(np.flatnonzero(from_ == value)[0])])
        laid.append((int(grid.piece[row]), int(grid.way[row])))
        at -= int(grid.weight[row])
        left = int(grid.left[row])
        value -= int(worth[row])
        if value == 0:
            break
        linked = after[np.arange(after.shape[0]), pad + at - grid.spares[left]]
        right = int(np.flatnonzero(linked == value)[0])
        at -= int(grid.spares[left, right])
    laid.reverse()
    return laid
