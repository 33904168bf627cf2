"""Small jobs: every way to fill a stick written out, and the best of them chosen at once.

Comes in: a job with joints or several kinds of stick, and the cost of the best plan known. Goes
out: a cheaper plan if there is one, and the least cost proven. A job with too many fillings comes
back undecided.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tesselath.cutting.dive import cost_of
from tesselath.cutting.job import Column, Job
from tesselath.cutting.joints import Joints
from tesselath.cutting.lp_desk import Row, run_whole
from tesselath.measure import ON_THE_LINE

__all__ = ["choose_among_all"]

#: Fillings tried at most.
_FILLINGS = 4000


def choose_among_all(job: Job, *, best: int, nodes: int) -> tuple[list[Column] | None, int]:
    """Look for the cheapest plan among all fillings of every kind.

    Source: own method. A filling that fits still fits when a piece is left out, as long as no
    piece is shorter than what its joints save; where that does not hold nothing is proven.
    """
    if job.chain is None and not _shrinks(job.joints):
        return None, 0
    columns: list[Column] = []
    for kind in range(len(job.costs)):
        found = _fillings(job, kind, _FILLINGS - len(columns))
        if found is None:
            return None, 0
        columns += found
    rows = _rows(job, columns)
    costs = np.array([float(job.costs[column.kind]) for column in columns])
    paid = np.flatnonzero(costs).tolist()
    if paid:
        rows.append((-np.inf, float(best) - 0.5, paid, costs[paid].tolist()))
    values, exhausted = run_whole(
        costs, np.full(len(costs), np.inf), rows, nodes=nodes, budget=job.budget
    )
    if values is None:
        return None, best if exhausted else 0
    left = job.demand.copy()
    plan: list[Column] = []
    for at in np.flatnonzero(values).tolist():
        for _ in range(int(values[at])):
            counts_here = np.minimum(columns[at].counts, left)
            if counts_here.any():
                left = left - counts_here
                column = job.column(counts_here, columns[at].kind)
                if column is None:
                    return None, 0
                plan.append(column)
    return plan, cost_of(job, plan) if exhausted else 0


def _rows(job: Job, columns: Sequence[Column]) -> list[Row]:
    """What is asked: every piece as often as it is wanted, no kind of stick beyond its count."""
    rows: list[Row] = []
    for piece in range(job.pieces):
        users = [at for at, column in enumerate(columns) if column.counts[piece]]
        counts = [float(columns[at].counts[piece]) for at in users]
        rows.append((float(job.demand[piece]), np.inf, users, counts))
    for kind, count in enumerate(job.counts):
        users = [at for at, column in enumerate(columns) if column.kind == kind]
        if count is not None and users:
            rows.append((-np.inf, float(count), users, [1.0] * len(users)))
    return rows


def _shrinks(joints: Joints) -> bool:
    """Say whether leaving a piece out never takes more of a stick."""
    slack = ON_THE_LINE
    for piece, lies in zip(joints.pieces, joints.lies, strict=True):
        for lie in lies:
            into, out = joints.gaps[:, lie.left], joints.gaps[lie.right, :]
            length = piece.length + slack
            if (
                (joints.gaps > into[:, None] + length + out[None, :]).any()
                or (joints.starts > joints.starts[lie.left] + length + out).any()
                or (joints.finishes > into + length + joints.finishes[lie.right]).any()
            ):
                return False
    return True


def _fillings(job: Job, kind: int, most: int) -> list[Column] | None:
    """List all fillings to which nothing can be added; None if there are too many to try."""
    found: list[Column] = []
    tried = 0
    counts = [0] * job.pieces
    # Depth first over the pieces; each level holds how many of its piece are on the stick.
    stack = [(0, 0)]
    while stack:
        piece, count = stack.pop()
        counts[piece:] = [count] + [0] * (job.pieces - piece - 1)
        tried += 1
        if tried > most or job.budget.is_spent or not job.orders.is_searched(counts):
            return None
        if any(counts) and not job.fits(counts, kind):
            continue
        if count < job.demand[piece]:
            stack.append((piece, count + 1))
        if piece + 1 < job.pieces:
            stack.append((piece + 1, 0))
        elif any(counts) and not _can_grow(job, counts, kind):
            found.append(Column(kind, tuple(counts)))
    return found


def _can_grow(job: Job, counts: list[int], kind: int) -> bool:
    """Say whether one more of the last piece still fits; fillings that grow are found anyway."""
    last = job.pieces - 1
    if counts[last] >= job.demand[last]:
        return False
    return job.fits([*counts[:last], counts[last] + 1], kind)
