"""The dive: whole sticks from the mixture of a linear program, a few at a time.

Comes in: a job, its pool of columns and the best mixture. Goes out: a plan, if one cheaper than the
one known is found. None where nothing better is found.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from tesselath.cutting.columns import Mixture, Pool
from tesselath.cutting.first_fit import fit_pieces
from tesselath.cutting.job import Column, Job
from tesselath.cutting.lp_desk import Row, run_whole

__all__ = ["cost_of", "dive", "round_mixture", "search_pool"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

#: New columns asked for after each step of a dive.
_ROUNDS = 60

#: What a mixture of sticks with joints may cost beyond the best, in sticks of the dearest kind.
_DOUBT = 0.3

#: A share this near to a whole number is that number.
_NEAR = 1e-6


@dataclass(slots=True)
class _State:
    """What is fixed so far, and what is still to cut from which sticks."""

    demand: Ints
    sticks: list[int | None]
    fixed: list[Column] = field(default_factory=list)

    def take(self, column: Column, counts: Ints, copies: int) -> int:
        """Fix copies of a column as far as pieces and sticks go; say how many."""
        held = counts > 0
        copies = min(copies, int((self.demand[held] // counts[held]).min(initial=copies)))
        stock = self.sticks[column.kind]
        if stock is not None:
            copies = min(copies, stock)
            self.sticks[column.kind] = stock - copies
        self.demand -= counts * copies
        self.fixed += [column] * copies
        return copies


def cost_of(job: Job, plan: Sequence[Column]) -> int:
    """Add up what the sticks of a plan count for."""
    return sum(job.costs[column.kind] for column in plan)


def dive(
    job: Job, pool: Pool, mixture: Mixture, *, style: int, best: int, least: int
) -> list[Column] | None:
    """Fix the whole part of the mixture, mix what is left anew, and so on to the end.

    Source: residual diving as in the cutting stock literature (G. Belov and G. Scheithauer,
    2006, from memory); own variation of the choices.
    """
    state = _State(job.demand.copy(), list(job.counts))
    found: list[Column] | None = None
    chance = np.random.default_rng(style)
    while True:
        _fix_some(state, pool, mixture.shares, style, chance)
        plan = _complete(job, state, best)
        if plan is not None:
            found, best = plan, cost_of(job, plan)
        if best <= least or not state.demand.any():
            return found
        after = pool.mix(state.demand, state.sticks, rounds=_ROUNDS, quick=True)
        if after is None:
            return found
        fixed = cost_of(job, state.fixed)
        # Where joints matter the mixture may be a little dearer than the best there is.
        doubt = _NEAR if job.chain is not None else _DOUBT
        if after.complete and fixed + np.ceil(after.cost - doubt) >= best:
            return found
        mixture = after


def round_mixture(job: Job, pool: Pool, mixture: Mixture, *, best: int) -> list[Column] | None:
    """Fix the whole part of a mixture and fit the rest long pieces first."""
    state = _State(job.demand.copy(), list(job.counts))
    whole = np.floor(mixture.shares + _NEAR)
    for at in np.argsort(-mixture.shares, kind="stable").tolist():
        if whole[at] >= 1:
            state.take(pool.columns[at], pool.counts[at], int(whole[at]))
    return _complete(job, state, best)


def search_pool(job: Job, pool: Pool, *, best: int, nodes: int) -> list[Column] | None:
    """Choose whole sticks among the columns found, all at once."""
    table = np.array(pool.counts)
    costs = np.array([float(job.costs[column.kind]) for column in pool.columns])
    rows: list[Row] = []
    for piece in range(job.pieces):
        users = np.flatnonzero(table[:, piece]).tolist()
        needed = float(job.demand[piece])
        rows.append((needed, np.inf, users, [float(table[u, piece]) for u in users]))
    for kind, count in enumerate(job.counts):
        users = [u for u, column in enumerate(pool.columns) if column.kind == kind]
        if count is not None and users:
            rows.append((-np.inf, float(count), users, [1.0] * len(users)))
    paid = np.flatnonzero(costs).tolist()
    rows.append((-np.inf, float(best) - 0.5, paid, costs[paid].tolist()))
    values, _ = run_whole(costs, np.full(len(costs), np.inf), rows, nodes=nodes, budget=job.budget)
    if values is None:
        return None
    left = job.demand.copy()
    plan = []
    for at in np.flatnonzero(values).tolist():
        for _ in range(int(values[at])):
            counts = np.minimum(pool.counts[at], left)
            left -= counts
            column = _cut_down(job, pool.columns[at], counts)
            if column is None:
                return None
            if column.counts and counts.any():
                plan.append(column)
    return plan if not left.any() and cost_of(job, plan) < best else None


def _fix_some(
    state: _State, pool: Pool, shares: Floats, style: int, chance: np.random.Generator
) -> None:
    """Fix what is whole; where nothing is, one stick of the column with the best claim."""
    whole = np.floor(shares + _NEAR)
    fixed = 0
    for at in np.argsort(-shares, kind="stable").tolist():
        if whole[at] < 1:
            break
        fixed += state.take(pool.columns[at], pool.counts[at], int(whole[at]))
    if fixed:
        return
    claims = shares - whole
    if style:
        claims = np.where(claims > _NEAR, claims + chance.random(len(claims)) * 0.4, 0.0)
    for at in np.argsort(-claims, kind="stable").tolist():
        if claims[at] <= _NEAR or state.take(pool.columns[at], pool.counts[at], 1):
            return


def _complete(job: Job, state: _State, best: int) -> list[Column] | None:
    """Fit the rest long pieces first; a plan only if it is cheaper than the best."""
    if not state.demand.any():
        return list(state.fixed) if cost_of(job, state.fixed) < best else None
    for fullest in (False, True):
        rest = fit_pieces(job, state.demand, sticks=state.sticks, fullest=fullest)
        if rest is not None and cost_of(job, state.fixed) + cost_of(job, rest) < best:
            return [*state.fixed, *rest]
    return None


def _cut_down(job: Job, column: Column, counts: Ints) -> Column | None:
    """Leave pieces out of a column, its sequence too."""
    whole = tuple(counts.tolist())
    if whole == column.counts:
        return column
    if not column.laid:
        return Column(column.kind, whole) if job.fits(whole, column.kind) else None
    left = list(whole)
    kept = []
    for piece, lie in column.laid:
        if left[piece]:
            left[piece] -= 1
            kept.append((piece, lie))
    return Column(column.kind, whole, tuple(kept))
