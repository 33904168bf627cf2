"""Setting out: which piece comes where on each stick.

Comes in: a job and a plan. Goes out: sticks with their pieces in order, each with its place on the
mid-line.

The saw is set once for every part and every stick kept open, so all sticks follow one order of
parts where the pieces allow it: small angles before large ones, long pieces before short ones.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from tesselath.cutting.ends import reach
from tesselath.cutting.gaps import RUNS_ALIKE, kerf_along
from tesselath.cutting.job import Column, Job
from tesselath.cutting.order import Laid, joint_cost, lay_in_order
from tesselath.cutting.stock import CutStick, PlacedPiece
from tesselath.measure import ALIKE

__all__ = ["set_out_sticks"]


def set_out_sticks(job: Job, plan: Sequence[Column], *, stocked: int) -> tuple[CutStick, ...]:
    """Lay the pieces of every stick in order."""
    known: dict[Column, CutStick] = {}
    for column in plan:
        if column not in known:
            known[column] = _set_out(job, column, stocked)
    rank = sorted(
        Counter(plan),
        key=lambda column: (
            column.kind >= stocked,
            job.costs[column.kind] > 0,
            column.kind,
            round(known[column].left_over, 6),
            column.counts,
        ),
    )
    copies = Counter(plan)
    return tuple(known[column] for column in rank for _ in range(copies[column]))


def _set_out(job: Job, column: Column, stocked: int) -> CutStick:
    joints, sawing = job.joints, job.joints.sawing
    length = job.lengths[column.kind]
    laid, in_order = _lay(job, column)
    at = sawing.end_trim + float(joints.starts[laid[0][1].left])
    placed = []
    for number, (piece, lie) in enumerate(laid):
        part = joints.pieces[piece]
        placed.append(PlacedPiece(part.mark, lie.turned, lie.rolled, at))
        at += part.length
        if number + 1 < len(laid):
            at += float(joints.gaps[lie.right, laid[number + 1][1].left])
    last = joints.right_ends[laid[-1][1].right]
    if sawing.holding > 0:
        used = at + float(joints.finishes[laid[-1][1].right]) - sawing.holding
    else:
        # Without a tail the last cut falls where the stick still goes on.
        kerf = max(kerf_along(run, width=sawing.width, kerf=sawing.kerf) for run in last.runs)
        used = at + reach(last, 0.0)
        used = used if used >= length - ALIKE and last.steepest < RUNS_ALIKE else used + kerf
    used = min(used, length)
    skims = sum(
        RUNS_ALIKE <= abs(before - after) < sawing.kerf
        for (_, one), (_, two) in pairwise(laid)
        for before, after in [
            (joints.right_ends[one.right].runs[0], joints.left_ends[two.left].runs[0])
        ]
    )
    rest = length - at - reach(last, 0.0)
    if sawing.holding <= 0 and ALIKE < rest < sawing.kerf - ALIKE:
        skims += 1
    return CutStick(
        column.kind,
        length,
        tuple(placed),
        used,
        length - used,
        column.kind >= stocked,
        in_order,
        skims,
    )


def _lay(job: Job, column: Column) -> tuple[Laid, bool]:
    """Lay the pieces in the order of the whole job, or in one that fits."""
    order = [piece for piece in _job_order(job) for _ in range(column.counts[piece])]
    laid = lay_in_order(job.joints, order)
    if _fits(job, column, laid):
        return laid, True
    for other in (column.laid, _chained(job, column), job.orders.sequence(column.counts)):
        if other and _fits(job, column, other):
            return other, False
    return job.orders.sequence(column.counts), False


def _job_order(job: Job) -> list[int]:
    """Order the parts: small angles first, parallel ends before others, long before short."""

    def rank(piece: int) -> tuple[float, bool, float, int]:
        part = job.joints.pieces[piece]
        steepest = max(part.left.steepest, part.right.steepest)
        lean = part.left != part.right
        return (round(steepest / RUNS_ALIKE), lean, -part.length, piece)

    return sorted(range(job.pieces), key=rank)


def _chained(job: Job, column: Column) -> Laid:
    """Lay the pieces along the chain, if the job has one."""
    if job.chain is None:
        return ()
    laid = [(piece, lie) for piece, lie in job.chain.keepers for _ in range(column.counts[piece])]
    out = True
    for piece, there, back in job.chain.togglers:
        for _ in range(column.counts[piece]):
            laid.append((piece, there if out else back))
            out = not out
    return tuple(laid)


def _fits(job: Job, column: Column, laid: Laid) -> bool:
    lengths = np.array([piece.length for piece in job.joints.pieces])
    taken = float(lengths @ np.array(column.counts)) + joint_cost(job.joints, laid)
    return job.joints.sawing.end_trim + taken <= job.lengths[column.kind] + ALIKE
