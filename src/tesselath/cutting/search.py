"""The search: the cheapest plan, and the proof of how cheap any plan can be.

Comes in: a job. Goes out: one column per stick, a certificate, and the least cost proven. When its
budget is spent the best plan so far comes out.

First fit -> linear program over columns -> bound -> rounding and dives -> arc flow -> more dives.
Each stage ends the search as soon as plan and bound meet. The budget is a count of steps, so the
same job gives the same plan on every machine.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tesselath.cutting.arc_flow import close_gap
from tesselath.cutting.bound import prove_least, whole_prices
from tesselath.cutting.columns import Mixture, Pool
from tesselath.cutting.dive import cost_of, dive, round_mixture, search_pool
from tesselath.cutting.first_fit import fit_pieces
from tesselath.cutting.job import Column, Job
from tesselath.cutting.small_job import choose_among_all
from tesselath.cutting.stock import Certificate

__all__ = ["Found", "first_plan", "search_plan"]

Ints = NDArray[np.int64]

#: New columns asked for before the bound is tried, and how often.
_ROUNDS = 20
_TRIES = 40

#: Dives of different styles after the first, and branches looked into.
_DIVES = 8
_NODES = 4000


@dataclass(frozen=True, slots=True)
class Found:
    """A plan, its proof, the least cost proven, and whether that rests on a search as well."""

    plan: tuple[Column, ...]
    certificate: Certificate
    least: int
    by_search: bool


def first_plan(job: Job) -> list[Column] | None:
    """Fit all pieces long ones first, the better of first and best fit."""
    plans = [
        plan
        for last in [(), *((kind,) for kind in range(len(job.costs)) if len(job.costs) > 1)]
        for fullest in (False, True)
        if (plan := fit_pieces(job, job.demand, sticks=job.counts, fullest=fullest, open_last=last))
        is not None
    ]
    return min(plans, key=lambda plan: (cost_of(job, plan), len(plan)), default=None)


def search_plan(job: Job, start: list[Column]) -> Found:
    """Improve a plan until it is proven, or the budget is spent."""
    plan, best = start, cost_of(job, start)
    proof = max(
        (prove_least(job, prices, enough=best) for prices in _plain_prices(job)),
        key=lambda proof: proof.least,
    )
    if best <= proof.least:
        return Found(tuple(plan), proof, proof.least, False)
    pool = Pool(job, _first_columns(job, plan))
    mixture, proof = _mix_all(job, pool, proof, best)
    if mixture is None:
        return Found(tuple(plan), proof, proof.least, False)
    least, by_search = proof.least, False
    for stage in _stages(job, pool, mixture):
        if best <= least or job.budget.is_spent:
            break
        better, proven = stage(best, least)
        if better is not None:
            plan, best = better, cost_of(job, better)
        if proven > least:
            least, by_search = min(proven, best), True
    return Found(tuple(plan), proof, least, by_search)


#: A way to a better plan: from the best and the least cost known to a plan, and to what cost the
#: search has shown to be the least.
_Answer = tuple[list[Column] | None, int]
_Stage = Callable[[int, int], _Answer]


def _stages(job: Job, pool: Pool, mixture: Mixture) -> Iterator[_Stage]:
    """Give the ways to a better plan, the quick ones first."""
    one_kind = len(job.costs) == 1 and job.counts[0] is None and job.chain is not None

    def round_off(best: int, _: int) -> _Answer:
        return round_mixture(job, pool, mixture, best=best), 0

    def plunge(style: int) -> _Stage:
        return lambda best, least: (
            dive(job, pool, mixture, style=style, best=best, least=least),
            0,
        )

    def close(_: int, least: int) -> _Answer:
        # Few arcs are ruled out with prices from a search that ended early.
        rest = pool.mix(job.demand, job.counts, rounds=_ROUNDS * _TRIES)
        prices = whole_prices(job, (rest or mixture).prices)
        plan, closed = close_gap(job, prices, sticks=least, nodes=_NODES)
        return plan, least + 1 if closed else 0

    def choose(best: int, _: int) -> _Answer:
        return search_pool(job, pool, best=best, nodes=_NODES // 40), 0

    def write_out(best: int, _: int) -> _Answer:
        return choose_among_all(job, best=best, nodes=_NODES)

    yield round_off
    yield plunge(0)
    yield close if one_kind else write_out
    for style in range(1, _DIVES + 1):
        yield plunge(style)
    yield choose


def _mix_all(
    job: Job, pool: Pool, proof: Certificate, best: int
) -> tuple[Mixture | None, Certificate]:
    """Find the best mixture, and stop early once the bound cannot rise any more."""
    mixture = None
    for _ in range(_TRIES):
        again = pool.mix(job.demand, job.counts, rounds=_ROUNDS)
        if again is None:
            break
        mixture = again
        enough = min(best, math.ceil(mixture.cost - 1e-6))  # no prices can prove more
        tried = prove_least(job, whole_prices(job, mixture.prices), enough=enough)
        if tried.least > proof.least:
            proof = tried
        if mixture.complete or proof.least >= mixture.cost - 1e-6:
            break
    return mixture, proof


def _plain_prices(job: Job) -> list[Ints]:
    """Give prices that need no program: by weight, and one for all."""
    return [np.maximum(job.grids[-1].light, 0), np.ones(job.pieces, np.int64)]


def _first_columns(job: Job, plan: list[Column]) -> list[Column]:
    """Begin with the plan at hand, sticks of one piece only, and pieces alone on a stick."""
    columns = list(plan)
    for kind in range(len(job.costs)):
        for piece in range(job.pieces):
            counts = [0] * job.pieces
            for count in range(1, int(job.demand[piece]) + 1):
                counts[piece] = count
                if not job.fits(counts, kind):
                    counts[piece] = count - 1
                    break
            alone = [int(i == piece) for i in range(job.pieces)]
            for chosen in (counts, alone):
                column = job.column(chosen, kind)
                if column is not None:
                    columns.append(column)
    return columns
