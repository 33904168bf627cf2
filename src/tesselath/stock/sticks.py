"""Sticks: what to cut from each length of strip stock, and how many to buy.

Comes in: parts and the stock. Goes out: each stick with its pieces, and a bound below which no plan
can go. Refuses: a piece longer than any stick leaves to cut.

Parts of full width go to the solver of ``cutting``, which lets neighbours share a mitre cut and
proves how near to the least possible its plan is; parts narrower than their strip come from
sticks ripped first (``ripped``). A stick gives up its end trim once, and the length that must stay
in the hand or clamp is never cut::

    |trim| A / A / A | B | C |....left over....|## held ##|
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import ceil

from tesselath.cutting import (
    RULES,
    CutPiece,
    Sawing,
    StickKind,
    plan_sticks as solve_sticks,
    straight_end,
)
from tesselath.design import Stock, WoodDetail
from tesselath.measure import ALIKE, ON_THE_LINE, show_length
from tesselath.parts import Part
from tesselath.shape import area
from tesselath.stock.buying import Purchase, buy_sticks
from tesselath.stock.ripped import fill_ripped_sticks
from tesselath.stock.stock_kinds import Kind, find_kinds, find_offcuts, use_up

__all__ = ["Bound", "Laid", "Stick", "StickPlan", "plan_sticks"]


@dataclass(frozen=True, slots=True)
class Laid:
    """One piece on a stick: turned end for end or rolled face down, and where.

    ``at`` is where its left end, as it lies, crosses the mid-line, from the stop end [mm].
    """

    mark: str
    turned: bool
    rolled: bool
    at: float


@dataclass(frozen=True, slots=True)
class Stick:
    """One stick and the pieces cut from it, in order [mm].

    ``width`` is the width on the saw: less than ``strip_width`` when it is ripped first.
    ``used`` is trim + pieces + kerfs; ``left_over`` the rest, the held tail included. ``laid``
    says how each piece lies; an ``offcut`` is left from an earlier job.
    """

    name: str
    wood: str
    width: float
    strip_width: float
    length: float
    pieces: tuple[str, ...]
    used: float
    left_over: float
    laid: tuple[Laid, ...] = ()
    offcut: bool = False


@dataclass(frozen=True, slots=True)
class Bound:
    """The least number of sticks that could do, for one wood and strip width.

    A stick that is ripped first serves no part of full width, so the two counts add up;
    ``ripped`` is how many of the sticks are ripped. ``to_buy`` are bought, spare ones included.
    """

    wood: str
    width: float
    sticks: int
    proven_least: int
    status: str
    ripped: int = 0
    to_buy: int = 0


@dataclass(frozen=True, slots=True)
class StickPlan:
    """The sticks, what they prove, what to buy, and for which widths no stick was listed.

    ``short_of`` has wood, strip width [mm], sticks needed and listed.
    """

    sticks: tuple[Stick, ...]
    bounds: tuple[Bound, ...]
    to_buy: tuple[Purchase, ...]
    unlisted: tuple[tuple[str, float], ...]
    short_of: tuple[tuple[str, float, int, int], ...]
    #: Wood, strip width and the width of the listed stick where only wider ones suit [mm].
    wider: tuple[tuple[str, float, float], ...] = ()


def plan_sticks(
    parts: Sequence[Part],
    stock: Stock,
    *,
    faces: str,
    holding: float,
    thickness: float,
    units: str,
    woods: Mapping[str, WoodDetail] | None = None,
    effort: float = 10.0,
) -> StickPlan:
    """Cut all parts with their spares from sticks.

    Source: see ``cutting`` and ``ripped``.

    Parameters
    ----------
    parts : sequence of Part
        The parts; those that are made up come from no stick.
    stock : Stock
        Kerf, trim, joint rule, sticks, off-cuts, spares and defects.
    faces : {"both", "one"}
        Whether a piece may be cut face down.
    holding : float
        The least length that must stay in the hand or clamp [mm].
    thickness : float
        The thickness of the strips, to pick the sticks that suit [mm].
    units : {"in", "mm"}
        The maker's units, for the length of a stick when none is listed.
    woods : mapping of str to WoodDetail, optional
        What the design says of each wood, for its price.
    effort : float
        The budget of the search for each wood and width, in billions of steps.

    Returns
    -------
    StickPlan
        Sticks that can be cut as they stand.

    Raises
    ------
    SawError
        If a piece is longer than any stick leaves to cut.
    """
    sticks: list[Stick] = []
    bounds: list[Bound] = []
    to_buy: list[Purchase] = []
    unlisted: list[tuple[str, float]] = []
    short_of: list[tuple[str, float, int, int]] = []
    wider: list[tuple[str, float, float]] = []
    show = partial(show_length, tape=25.4 / 32 if units == "in" else 0.5, units=units)
    for wood, width, group in _by_stock(parts):
        detail = woods.get(wood) if woods else None
        bought = find_kinds(stock, wood, width=width, thickness=thickness, detail=detail)
        if not bought:
            unlisted.append((wood, width))
            length = 96 * 25.4 if units == "in" else 2400.0
            bought = (Kind(length, width, thickness, None, None),)
        offcuts = find_offcuts(stock, wood, width=width, thickness=thickness)
        wide = max(kind.width for kind in bought)
        if wide > width + ALIKE:
            wider.append((wood, width, wide))
        kinds = (*offcuts, *bought)
        counts = [0] * len(kinds)
        proofs: list[Bound] = []
        for ripped in (False, True):
            members = [part for part in group if part.ripped is ripped]
            if not members:
                continue
            left = [
                replace(k, count=None if k.count is None else max(0, k.count - n))
                for k, n in zip(kinds, counts, strict=True)
            ]
            made, bound = (
                _rip(members, wood, width, left, len(offcuts), stock, holding, show)
                if ripped
                else _solve(
                    members, wood, width, left, len(offcuts), stock, faces, holding, effort, show
                )
            )
            sticks += _named([stick for _, stick in made], len(sticks))
            proofs.append(bound)
            for kind, _ in made:
                counts[kind] += 1
        stock = use_up(stock, kinds, counts)
        used = counts[len(offcuts) :]
        purchases = buy_sticks(
            wood,
            bought,
            used,
            stock,
            width=width,
            thickness=thickness,
            units=units,
            detail=detail,
        )
        to_buy += purchases
        bounds.append(replace(_together(proofs), to_buy=sum(p.strips for p in purchases)))
        wanting = [
            (count, kind.count)
            for kind, count in zip(bought, used, strict=True)
            if kind.count is not None and count > kind.count
        ]
        if wanting:
            short_of.append(
                (wood, width, sum(count for count, _ in wanting), sum(n for _, n in wanting))
            )
    return StickPlan(
        tuple(sticks),
        tuple(bounds),
        tuple(to_buy),
        tuple(unlisted),
        tuple(short_of),
        tuple(wider),
    )


def _by_stock(parts: Sequence[Part]) -> Iterator[tuple[str, float, list[Part]]]:
    """Sort the parts by the stick they come from, wood by wood, wide before narrow."""
    groups: dict[tuple[str, float], list[Part]] = {}
    for part in parts:
        if part.handling != "make up" and part.strip_width is not None:
            groups.setdefault((part.wood, round(part.strip_width, 3)), []).append(part)
    for (wood, width), group in sorted(groups.items(), key=lambda g: (g[0][0], -g[0][1])):
        yield wood, width, group


def _named(sticks: Sequence[Stick], before: int) -> list[Stick]:
    """Name sticks by numbers that go on through the whole plan."""
    return [replace(stick, name=str(before + n)) for n, stick in enumerate(sticks, 1)]


def _cut_piece(part: Part, *, faces: str) -> CutPiece:
    """A part as the solver sees it; one that is sawn by hand is a square blank."""
    middle, left, right = part.ends_on_stick
    return CutPiece(
        part.mark,
        middle,
        part.count + part.spares,
        straight_end(left),
        straight_end(right),
        roll=faces == "both",
    )


def _solve(
    parts: Sequence[Part],
    wood: str,
    width: float,
    kinds: Sequence[Kind],
    offcuts: int,
    stock: Stock,
    faces: str,
    holding: float,
    effort: float,
    show: Callable[[float], str],
) -> tuple[list[tuple[int, Stick]], Bound]:
    """Cut parts of full width with the fewest sticks; the first kinds are offcuts."""
    stick_kinds = [
        StickKind(kind.length, kind.count, None if n < offcuts else kind.price, offcut=n < offcuts)
        for n, kind in enumerate(kinds)
    ]
    rule = next(rule for rule in RULES if rule == stock.shared_cuts)
    sawing = Sawing(width, stock.kerf, rule=rule, end_trim=stock.end_trim, holding=holding)
    found = solve_sticks(
        [_cut_piece(part, faces=faces) for part in parts],
        kinds=stick_kinds,
        sawing=sawing,
        effort=effort,
        show=show,
    )
    longest = max(range(offcuts, len(kinds)), key=lambda n: kinds[n].length)
    made = [
        (
            stick.kind if stick.kind < len(kinds) else longest,
            Stick(
                "",
                wood,
                width,
                width,
                stick.length,
                tuple(p.mark for p in stick.pieces),
                stick.used,
                stick.length - stick.used,
                tuple(Laid(p.mark, p.turned, p.rolled, p.at) for p in stick.pieces),
                stick.kind < offcuts,
            ),
        )
        for stick in found.sticks
    ]
    return made, Bound(wood, width, found.bought, found.least, found.status)


def _rip(
    parts: Sequence[Part],
    wood: str,
    width: float,
    kinds: Sequence[Kind],
    offcuts: int,
    stock: Stock,
    holding: float,
    show: Callable[[float], str],
) -> tuple[list[tuple[int, Stick]], Bound]:
    """Cut narrow parts from ripped sticks; the first kinds are offcuts."""
    tips = {part.mark: float(part.shape[:, 0].min()) for part in parts}
    by_hand = {part.mark for part in parts if part.handling == "mark and hand saw"}
    made = [
        (
            found.kind,
            Stick(
                "",
                wood,
                found.width,
                width,
                found.length,
                found.marks,
                found.used,
                found.length - found.used,
                tuple(
                    Laid(
                        mark,
                        turned=False,
                        rolled=False,
                        at=at if mark in by_hand else at - tips[mark],
                    )
                    for mark, at in zip(found.marks, found.places, strict=True)
                ),
                found.kind < offcuts,
            ),
        )
        for found in fill_ripped_sticks(parts, kinds, stock, holding=holding, show=show)
    ]
    # One stick may be ripped into several: only the wood in the pieces counts, by the area of a
    # whole stick.
    wanted = sum(area(p.shape) * (p.count + p.spares) for p in parts)
    wanted -= sum(kind.length * kind.width * (kind.count or 0) for kind in kinds[:offcuts])
    stick = max(kind.length * kind.width for kind in kinds[offcuts:])
    bought = sum(not one.offcut for _, one in made)
    least = min(bought, max(0, ceil(wanted / stick - ON_THE_LINE)))
    status = "the least possible" if least == bought else "ripped sticks by first fit"
    return made, Bound(wood, width, bought, least, status, bought)


def _together(proofs: Sequence[Bound]) -> Bound:
    """One line for a wood and width: sticks of full width and ripped ones."""
    first = proofs[0]
    told = list(dict.fromkeys(proof.status for proof in proofs))
    # What is only the least goes without saying beside what is the cheapest, or may not be.
    doubts = [status for status in told if status != "the least possible"]
    return Bound(
        first.wood,
        first.width,
        sum(p.sticks for p in proofs),
        sum(p.proven_least for p in proofs),
        "; ".join(doubts or told),
        sum(p.ripped for p in proofs),
    )
