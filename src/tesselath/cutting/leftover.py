"""The leftover: as many sticks, but what is left over in one long offcut.

Comes in: a job and a plan. Goes out: a plan of no higher cost, one of its sticks as empty as can
be; a stick that empties altogether is saved.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from tesselath.cutting.job import Column, Job
from tesselath.cutting.knapsack import best_fillings
from tesselath.measure import ALIKE

__all__ = ["gather_leftover"]

Ints = NDArray[np.int64]

#: Refillings tried at most, and passes over all sticks.
_REFILLS = 1500
_PASSES = 40

#: Steps of one refilling for each piece, beside its table.
_REFILL = 10_000


def gather_leftover(job: Job, plan: Sequence[Column]) -> list[Column]:
    """Empty one stick into the others as far as that goes.

    Source: own method. The emptiest stick shares its pieces out anew with each of the others:
    the other is filled as full as it goes from the pieces of both.
    """
    sticks = _with_unused_offcuts(job, plan)
    refills = 0
    for _ in range(_PASSES):
        target = _emptiest(job, sticks)
        if target is None:
            break
        best: tuple[float, int, Ints] | None = None
        tried: set[tuple[int, tuple[int, ...]]] = set()
        for at, other in enumerate(sticks):
            key = (other.kind, other.counts)
            if at == target or key in tried or refills >= _REFILLS or job.budget.is_spent:
                continue
            tried.add(key)
            refills += 1
            filled = _refill(job, other, sticks[target])
            if filled is not None and (best is None or filled[0] > best[0] + ALIKE):
                best = (filled[0], at, filled[1])
        if best is None:
            break
        _, at, counts = best
        rest = np.array(sticks[at].counts) + np.array(sticks[target].counts) - counts
        sticks[at] = Column(sticks[at].kind, tuple(counts.tolist()))
        sticks[target] = Column(sticks[target].kind, tuple(rest.tolist()))
        if not rest.any():
            del sticks[target]
    return _on_short_sticks(job, [column for column in sticks if any(column.counts)])


def _with_unused_offcuts(job: Job, plan: Sequence[Column]) -> list[Column]:
    """Lay the offcuts that the plan does not use beside its sticks, empty."""
    sticks = list(plan)
    for kind, (cost, count) in enumerate(zip(job.costs, job.counts, strict=True)):
        if cost == 0 and count is not None:
            unused = count - sum(column.kind == kind for column in plan)
            sticks += [Column(kind, (0,) * job.pieces)] * min(unused, int(job.demand.sum()))
    return sticks


def _emptiest(job: Job, sticks: Sequence[Column]) -> int | None:
    """Choose the stick with most left over among those that cost most."""
    paid = [at for at, column in enumerate(sticks) if any(column.counts) and job.costs[column.kind]]
    if not paid or len(sticks) < 2:
        return None
    return max(
        paid,
        key=lambda at: (
            job.costs[sticks[at].kind] == max(job.costs[sticks[i].kind] for i in paid),
            job.rooms[sticks[at].kind] - float(job.weights @ np.array(sticks[at].counts)),
            at,
        ),
    )


def _refill(job: Job, other: Column, target: Column) -> tuple[float, Ints] | None:
    """Fill the other stick as full as it goes from both; how much heavier it gets."""
    mine, theirs = np.array(target.counts), np.array(other.counts)
    spare = job.rooms[other.kind] - float(job.weights @ theirs)
    if spare <= ALIKE:
        return None
    both = mine + theirs
    grid = job.grids[0]
    job.budget.spend(len(mine) * (grid.rooms[other.kind] + _REFILL))
    rows = np.flatnonzero(both)
    _, part = best_fillings(
        grid.heavy[rows],
        weights=grid.heavy[rows],
        limits=both[rows],
        rooms=[grid.rooms[other.kind]],
    )[0]
    counts = np.zeros(job.pieces, np.int64)
    counts[rows] = part
    gain = float(job.weights @ (counts - theirs))
    if gain > ALIKE and _both_fit(job, counts, other.kind, both, target.kind):
        return gain, counts
    return _best_move(job, other, target) if job.chain is None else None


def _best_move(job: Job, other: Column, target: Column) -> tuple[float, Ints] | None:
    """Move one piece over, or swap it for a lighter one, where joints must fit too."""
    mine, theirs = np.array(target.counts), np.array(other.counts)
    best: tuple[float, Ints] | None = None
    for out in np.flatnonzero(mine).tolist():
        for back in [None, *np.flatnonzero(theirs).tolist()]:
            gain = float(job.weights[out] - (0.0 if back is None else job.weights[back]))
            if gain <= ALIKE or (best is not None and gain <= best[0] + ALIKE):
                continue
            counts = theirs.copy()
            counts[out] += 1
            if back is not None:
                counts[back] -= 1
            if _both_fit(job, counts, other.kind, mine + theirs, target.kind):
                best = (gain, counts)
    return best


def _both_fit(job: Job, counts: Ints, kind: int, both: Ints, rest_kind: int) -> bool:
    rest = both - counts
    return job.fits(counts, kind) and (not rest.any() or job.fits(rest, rest_kind))


def _on_short_sticks(job: Job, sticks: list[Column]) -> list[Column]:
    """Take the shortest stick that serves and costs no more, the least full sticks first."""
    left = [
        None if count is None else count - sum(column.kind == kind for column in sticks)
        for kind, count in enumerate(job.counts)
    ]
    order = sorted(
        range(len(sticks)), key=lambda at: (float(job.weights @ np.array(sticks[at].counts)), at)
    )
    for at in order:
        column = sticks[at]
        for kind in sorted(range(len(job.costs)), key=lambda k: (job.lengths[k], k)):
            if job.lengths[kind] >= job.lengths[column.kind]:
                break
            served = job.costs[kind] <= job.costs[column.kind] and job.costs[kind] > 0
            if served and left[kind] != 0 and job.fits(column.counts, kind):
                for changed, step in ((kind, -1), (column.kind, 1)):
                    count = left[changed]
                    left[changed] = None if count is None else count + step
                sticks[at] = Column(kind, column.counts)
                break
    return sticks
