"""The bound: what no plan can do with less, in whole numbers.

Comes in: prices of the pieces from the linear program. Goes out: a certificate that anybody can
check without it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from tesselath.cutting.job import SCALE, Ceilings, Job
from tesselath.cutting.stock import Certificate

__all__ = ["least_cost", "prove_least", "whole_prices"]

Ints = NDArray[np.int64]


def prove_least(job: Job, prices: Ints, *, enough: int) -> Certificate:
    """Turn prices into a proof, in the coarse unit where that is enough, else in the fine one."""
    best: Certificate | None = None
    for level in range(len(job.grids)):
        for ceilings in job.ceilings(prices, level=level):
            certificate = _certify(job, prices, ceilings)
            if best is None or certificate.least > best.least:
                best = certificate
        assert best is not None
        if best.least >= enough:
            break
    assert best is not None
    return best


def least_cost(
    worth: int,
    ceilings: Sequence[int],
    *,
    costs: Sequence[int],
    counts: Sequence[int | None],
) -> int:
    """Say what sticks must cost at least to hold pieces of this worth.

    Source: weak duality of linear programming; textbook. With worth per cost scaled by q, a
    stick of kind i is paid for up to q times its cost; what it holds beyond that is given away
    at most as often as there are such sticks.

    63 blocks, 9 a stick; and the same with two offcuts of 4 blocks that cost nothing:

    >>> least_cost(63, [9], costs=[1], counts=[None])
    7
    >>> least_cost(63, [9, 4], costs=[1, 0], counts=[None, 2])
    7
    >>> least_cost(62, [9, 4], costs=[1, 0], counts=[None, 2])
    6
    """
    step = math.gcd(*costs)
    if worth <= 0 or step == 0:
        return 0
    scales = {
        Fraction(ceiling, cost)
        for ceiling, cost in zip(ceilings, costs, strict=True)
        if cost > 0 and ceiling > 0
    }
    floor = max(
        (
            Fraction(ceiling, cost)
            for ceiling, cost, count in zip(ceilings, costs, counts, strict=True)
            if count is None and cost > 0
        ),
        default=Fraction(0),
    )
    best = Fraction(0)
    for scale in sorted(scales):
        if scale < floor:
            continue
        given = sum(
            max(Fraction(0), ceiling - cost * scale) * count
            for ceiling, cost, count in zip(ceilings, costs, counts, strict=True)
            if count is not None
        )
        best = max(best, (worth - given) / scale)
    return math.ceil(best / step) * step


def whole_prices(job: Job, prices: NDArray[np.float64]) -> Ints:
    """Round the prices of a linear program down to whole parts of the dearest stick."""
    return np.floor(np.maximum(prices, 0.0) * (SCALE / max(job.costs))).astype(np.int64)


def _certify(job: Job, prices: Ints, ceilings: Ceilings) -> Certificate:
    worth = int((prices * job.demand).sum())
    return Certificate(
        ceilings.method,
        ceilings.unit,
        tuple(
            (piece.mark, int(price)) for piece, price in zip(job.joints.pieces, prices, strict=True)
        ),
        ceilings.values,
        job.lengths,
        job.costs,
        job.counts,
        least_cost(worth, ceilings.values, costs=job.costs, counts=job.counts),
    )
