"""Planning the sticks: the fewest, or the cheapest, with a proof.

Comes in: the pieces to cut, the kinds of stick there are, and how they are sawn. Goes out: every
stick with its pieces in order, how near to the least possible that is, and a certificate that can
be checked by itself. Refuses: stock or pieces that cannot be, and a piece that fits on no stick.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from tesselath.cutting.bound import least_cost
from tesselath.cutting.budget import BILLION, Budget
from tesselath.cutting.dive import cost_of
from tesselath.cutting.job import Job, lay_job
from tesselath.cutting.leftover import gather_leftover
from tesselath.cutting.search import Found, first_plan, search_plan
from tesselath.cutting.set_out import set_out_sticks
from tesselath.cutting.stock import (
    Certificate,
    CutPiece,
    Sawing,
    StickKind,
    StickPlan,
    check_stock,
)
from tesselath.errors import Fault, SawError

__all__ = ["plan_sticks"]

#: Work that gathering the leftover may take beside the search, in billions of steps.
_SECOND_AIMS = 1.0

#: Prices are kept in whole parts of this share of a unit of money.
_SMALLEST_COIN = 10_000


def plan_sticks(
    pieces: Sequence[CutPiece],
    *,
    kinds: Sequence[StickKind],
    sawing: Sawing,
    effort: float = 10.0,
    show: Callable[[float], str] = "{:.1f} mm".format,
) -> StickPlan:
    """Plan the fewest sticks for these pieces, with shared cuts, and prove it.

    Source: column generation after P. Gilmore and R. Gomory, "A linear programming approach to
    the cutting-stock problem", Operations Research 9 (1961); the rest as named in each module.

    Parameters
    ----------
    pieces : sequence of CutPiece
        The pieces wanted, spares included.
    kinds : sequence of StickKind
        The sticks there are. Where several kinds can be bought and all have a price, the cost
        is made least, else the number of sticks. Offcuts cost nothing.
    sawing : Sawing
        Width, kerf, joint rule, trim and held tail.
    effort : float
        How much work the search may do, in billions of steps; each takes about a second. The
        same pieces give the same plan on every machine.
    show : callable
        How a length [mm] is printed in a refusal.

    Raises
    ------
    SawError
        If pieces, sticks or saw figures cannot be, or a piece fits on no stick.

    Examples
    --------
    63 blocks of 6 in from 60 in sticks with a kerf of 1/8 in: nine a stick.

    >>> plan = plan_sticks(
    ...     [CutPiece("A", 6 * 25.4, 63)], kinds=[StickKind(60 * 25.4)], sawing=Sawing(25.4, 3.175)
    ... )
    >>> plan.bought, plan.least, plan.status, len(plan.sticks[0].pieces)
    (7, 7, 'the least possible', 9)
    """
    check_stock(pieces, kinds=kinds, sawing=sawing)
    wanted = [piece for piece in pieces if piece.demand > 0]
    stock = [
        replace(kind, count=1) if kind.offcut and kind.count is None else kind for kind in kinds
    ]
    coins = _coins(stock)
    costs = coins or [0 if kind.offcut else 1 for kind in stock]
    if not wanted:
        return _nothing_to_cut(stock, costs, priced=coins is not None)
    budget = Budget(effort * BILLION)
    job = lay_job(wanted, kinds=stock, costs=costs, sawing=sawing, budget=budget)
    _check_lengths(job, sawing, show)
    start = first_plan(job)
    if start is None:
        # The stock is short: as few more of the longest stick as can be.
        longest = _for_all(job, stock)
        number = sum(piece.demand for piece in wanted)
        dear = 1 + sum(
            cost * (number if kind.count is None else min(kind.count, number))
            for cost, kind in zip(costs, stock, strict=True)
        )
        stock.append(StickKind(longest.length))
        job = lay_job(wanted, kinds=stock, costs=[*costs, dear], sawing=sawing, budget=budget)
        start = first_plan(job)
        assert start is not None  # the added kind is without limit and takes every piece
    found = search_plan(job, start)
    job = replace(job, budget=Budget(_SECOND_AIMS * BILLION))
    return _written(job, found, stocked=len(kinds), priced=coins is not None, stock=stock)


def _for_all(job: Job, stock: Sequence[StickKind]) -> StickKind:
    """The longest stick that is bought, if it takes every piece; else the longest there is."""
    bought = max(
        (n for n, kind in enumerate(stock) if not kind.offcut),
        key=lambda n: stock[n].length,
        default=None,
    )
    if bought is not None and all(
        job.fits([int(i == piece) for i in range(job.pieces)], bought)
        for piece in range(job.pieces)
    ):
        return stock[bought]
    return max(stock, key=lambda kind: kind.length)


def _coins(stock: Sequence[StickKind]) -> list[int] | None:
    """Give the prices in whole coins, where price is what to save; else None."""
    bought = [kind for kind in stock if not kind.offcut]
    if len(bought) < 2 or any(not kind.price for kind in bought):
        return None
    coins = [0 if kind.offcut else round((kind.price or 0.0) * _SMALLEST_COIN) for kind in stock]
    if any(not kind.offcut and not coin for kind, coin in zip(stock, coins, strict=True)):
        return None
    return coins


def _check_lengths(job: Job, sawing: Sawing, show: Callable[[float], str]) -> None:
    """Refuse pieces that fit on no stick, all of them at once."""
    faults = []
    for number, piece in enumerate(job.joints.pieces):
        alone = [int(i == number) for i in range(job.pieces)]
        if not any(job.fits(alone, kind) for kind in range(len(job.lengths))):
            longest = max(job.lengths)
            faults.append(
                Fault(
                    f"part {piece.mark}",
                    show(piece.length),
                    f"It does not fit on the longest stick, {show(longest)} less "
                    f"{show(sawing.end_trim + sawing.holding)} of trim and held tail.",
                    "List a longer stick.",
                )
            )
    if faults:
        raise SawError(faults)


def _written(
    job: Job, found: Found, *, stocked: int, priced: bool, stock: Sequence[StickKind]
) -> StickPlan:
    """Put the second aims to the plan and write it down."""
    plan = gather_leftover(job, found.plan)
    cost = cost_of(job, plan)
    bought = [column for column in plan if not stock[column.kind].offcut]
    missing = sum(column.kind >= stocked for column in plan)
    gap = cost - found.least
    worth = sum(
        price * int(count)
        for (_, price), count in zip(found.certificate.prices, job.demand, strict=True)
    )
    by_count = least_cost(
        worth,
        found.certificate.ceilings,
        costs=[0 if kind.offcut else 1 for kind in stock],
        counts=job.counts,
    )
    if priced:
        least = min(by_count, len(bought))
        status = "the cheapest possible"
        if gap:
            status = f"at most {gap / _SMALLEST_COIN:.2f} above the cheapest possible"
    else:
        least = max(len(bought) - gap, by_count if missing else 0, 0)
        status = _above(len(bought) - least)
    known = [kind.price for kind in stock]
    total = None
    least_total = None
    if all(known[column.kind] is not None for column in bought) and not missing:
        total = float(sum(known[column.kind] or 0.0 for column in bought))
        if priced:
            least_total = found.least / _SMALLEST_COIN
        elif len({known[kind] for kind, each in enumerate(stock) if not each.offcut}) == 1:
            least_total = least * (total / len(bought)) if bought else 0.0
    return StickPlan(
        set_out_sticks(job, plan, stocked=stocked),
        len(bought),
        least,
        total,
        least_total,
        missing,
        status,
        found.certificate,
        found.by_search,
    )


def _above(gap: int) -> str:
    if gap == 0:
        return "the least possible"
    number = "one stick" if gap == 1 else f"{gap} sticks"
    return f"at most {number} above the least possible"


def _nothing_to_cut(stock: Sequence[StickKind], costs: Sequence[int], *, priced: bool) -> StickPlan:
    certificate = Certificate(
        "lengths",
        1.0,
        (),
        (0,) * len(stock),
        tuple(kind.length for kind in stock),
        tuple(costs),
        tuple(kind.count for kind in stock),
        0,
    )
    status = "the cheapest possible" if priced else "the least possible"
    return StickPlan((), 0, 0, 0.0, 0.0, 0, status, certificate, False)
