"""First fit: long pieces first, each on the first (or fullest) stick that takes it.

Comes in: a job, how many of each piece are still to cut, and the sticks still there. Goes out: one
column per stick; None where the sticks do not suffice.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from tesselath.cutting.job import Column, Job
from tesselath.measure import ALIKE

__all__ = ["fit_pieces"]

Ints = NDArray[np.int64]


def fit_pieces(
    job: Job,
    demand: Ints,
    *,
    sticks: Sequence[int | None],
    fullest: bool,
    open_last: Sequence[int] = (),
) -> list[Column] | None:
    """Fill sticks piece by piece, heavy pieces first.

    Source: first-fit and best-fit decreasing, textbook methods.
    """
    left = list(sticks)
    opened: list[tuple[int, list[int]]] = []
    spare: list[float] = []
    order = _kinds_to_open(job, open_last)
    for piece in np.argsort(-job.weights, kind="stable").tolist():
        wanted = int(demand[piece])
        rank = range(len(opened))
        for at in sorted(rank, key=spare.__getitem__) if fullest else rank:
            if not wanted:
                break
            if spare[at] >= job.weights[piece] - ALIKE:
                wanted -= _place(job, opened, spare, at, piece, wanted)
        while wanted:
            empty = [0] * job.pieces
            empty[piece] = 1
            kind = next(
                (k for k in order if left[k] != 0 and job.fits(empty, k)),
                None,
            )
            if kind is None:
                return None
            stock = left[kind]
            left[kind] = None if stock is None else stock - 1
            opened.append((kind, empty))
            spare.append(job.spare(empty, kind))
            wanted -= 1
            wanted -= _place(job, opened, spare, len(opened) - 1, piece, wanted)
    return [Column(kind, tuple(counts)) for kind, counts in opened]


def _kinds_to_open(job: Job, open_last: Sequence[int]) -> list[int]:
    """Order the kinds: what costs nothing first, then the most room for the cost."""

    def rank(kind: int) -> tuple[bool, bool, float, int]:
        cost = job.costs[kind]
        value = cost / max(job.rooms[kind], ALIKE) if cost else job.lengths[kind]
        return (kind in open_last, cost > 0, value, kind)

    return sorted(range(len(job.costs)), key=rank)


def _place(
    job: Job,
    opened: list[tuple[int, list[int]]],
    spare: list[float],
    at: int,
    piece: int,
    wanted: int,
) -> int:
    """Put as many of a piece as fit on an open stick; say how many."""
    kind, counts = opened[at]
    # Joints that fall into place may free a little; weights alone say what is hopeless.
    room = job.rooms[kind] - float(job.weights @ np.array(counts))
    most = min(wanted, math.floor((room + ALIKE) / job.weights[piece]))
    before = counts[piece]
    for count in range(most, 0, -1):
        counts[piece] = before + count
        rest = job.spare(counts, kind)
        if rest >= -ALIKE:
            spare[at] = rest
            return count
    counts[piece] = before
    return 0
