"""Sticks: what to cut from each length of strip stock, and how many to buy.

Comes in: parts and the stock. Goes out: each stick with its pieces, and a bound below which no
plan can go. Refuses: a piece longer than any stick leaves to cut.

A first honest figure: longest first into the first stick with room, each piece charged its
tip-to-tip length and a kerf over the cosine, so that every stick can be cut as it stands. A stick
gives up its end trim once, and the length that must stay in the hand or clamp is never cut::

    |trim| A | A | B | C |....left over....|## held ##|

Narrow parts come from sticks that are ripped full length first. When the parts of one width are
cut, the rest of that stick, while it is still long, is ripped down to the next width.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from tesselath.angles import cosine
from tesselath.design import StickStock, Stock
from tesselath.errors import SawError
from tesselath.outlines import area
from tesselath.parts import Part
from tesselath.tolerances import ALIKE, ON_THE_LINE

__all__ = ["SHORTEST_RIP", "Bound", "Stick", "StickPlan", "plan_sticks"]

#: Nothing shorter is ever ripped [mm]; 12 in, common practice.
SHORTEST_RIP = 304.8


@dataclass(frozen=True, slots=True)
class Stick:
    """One stick and the pieces cut from it, in order [mm].

    ``width`` is the width on the saw: less than ``strip_width`` when it is ripped first.
    ``used`` is trim + pieces + kerfs; ``left_over`` the rest, the held tail included.
    """

    name: str
    wood: str
    width: float
    strip_width: float
    length: float
    pieces: tuple[str, ...]
    used: float
    left_over: float


@dataclass(frozen=True, slots=True)
class Bound:
    """The least number of sticks that could do, for one wood and strip width."""

    wood: str
    width: float
    sticks: int
    proven_least: int
    status: str


@dataclass(frozen=True, slots=True)
class StickPlan:
    """The sticks, what they prove, what to buy, and for which widths no stick was listed.

    ``to_buy`` has wood, strip width [mm], stick length [mm], price of one or None, and count.
    """

    sticks: tuple[Stick, ...]
    bounds: tuple[Bound, ...]
    to_buy: tuple[tuple[str, float, float, float | None, int], ...]
    unlisted: tuple[tuple[str, float], ...]
    short_of: tuple[tuple[str, float, int, int], ...]  # wood, width, needed, listed


@dataclass(frozen=True, slots=True)
class _Item:
    mark: str
    length: float
    kerf: float
    width: float


def plan_sticks(
    parts: Sequence[Part], stock: Stock, *, holding: float, thickness: float, units: str
) -> StickPlan:
    """Cut all parts with their spares from sticks.

    Parameters
    ----------
    parts : sequence of Part
        The parts; those that are made up come from no stick.
    stock : Stock
        Kerf, trim, sticks, spares and defects.
    holding : float
        The least length that must stay in the hand or clamp [mm].
    thickness : float
        The thickness of the strips, to pick the sticks that suit [mm].
    units : {"in", "mm"}
        The maker's units, for the length of a stick when none is listed.

    Returns
    -------
    StickPlan
        Sticks that can be cut as they stand.

    Raises
    ------
    SawError
        If a piece is longer than any stick leaves to cut.

    Notes
    -----
    Source: first-fit decreasing (Johnson, 1973, from memory); kerf over the cosine by geometry.
    """
    sticks: list[Stick] = []
    bounds: list[Bound] = []
    to_buy: list[tuple[str, float, float, float | None, int]] = []
    unlisted: list[tuple[str, float]] = []
    short_of: list[tuple[str, float, int, int]] = []
    for wood, width, group in _by_stock(parts):
        kinds = _kinds(stock, wood, width, thickness)
        if not kinds:
            unlisted.append((wood, width))
            kinds = [StickStock(length=96 * 25.4 if units == "in" else 2400.0)]
        bins = _first_fit(group, kinds, stock, holding, wood)
        for opened in bins:
            sticks.append(opened.stick(str(len(sticks) + 1), wood, width, stock.end_trim))
        bounds.append(_bound(group, kinds, stock, holding, wood, width, len(bins)))
        needed = _buy(bins, stock)
        for kind, count in needed:
            to_buy.append((wood, width, kind.length, kind.price, count))
        listed = sum(kind.count or 0 for kind in kinds)
        if all(kind.count is not None for kind in kinds) and len(bins) > listed:
            short_of.append((wood, width, len(bins), listed))
    return StickPlan(tuple(sticks), tuple(bounds), tuple(to_buy), tuple(unlisted), tuple(short_of))


def _by_stock(parts: Sequence[Part]) -> Iterator[tuple[str, float, list[Part]]]:
    """Sort the parts by the stick they come from, wood by wood, wide before narrow."""
    groups: dict[tuple[str, float], list[Part]] = {}
    for part in parts:
        if part.handling != "make up" and part.strip_width is not None:
            groups.setdefault((part.wood, round(part.strip_width, 3)), []).append(part)
    for (wood, width), group in sorted(groups.items(), key=lambda g: (g[0][0], -g[0][1])):
        yield wood, width, group


def _kinds(stock: Stock, wood: str, width: float, thickness: float) -> list[StickStock]:
    """The listed sticks that suit a wood and a width: of that very width, else wider ones."""
    suiting = [
        kind
        for kind in stock.sticks
        if kind.wood in (None, wood)
        and (kind.width is None or kind.width >= width - ALIKE)
        and (kind.thickness is None or kind.thickness >= thickness - ALIKE)
    ]
    exact = [k for k in suiting if k.width is None or k.width <= width + ALIKE]
    return sorted(exact or suiting, key=lambda k: (-k.length, k.price or 0.0))


class _Bin:
    """A stick that is being filled."""

    def __init__(self, kind: StickStock, room: float, width: float) -> None:
        self.kind = kind
        self.room = room
        self.width = self.now = width
        self.pieces: list[str] = []
        self.cut = 0.0

    def takes(self, item: _Item, overrun: float) -> bool:
        """Whether an item fits, and whether the rest is long enough to be ripped for it."""
        if self.cut + item.length + item.kerf > self.room + overrun + ON_THE_LINE:
            return False
        ripped_again = item.width < self.now - ALIKE
        return not (ripped_again and self.kind.length - self.cut < SHORTEST_RIP)

    def add(self, item: _Item) -> None:
        self.pieces.append(item.mark)
        self.cut += item.length + item.kerf
        self.now = item.width

    def stick(self, name: str, wood: str, strip_width: float, trim: float) -> Stick:
        # The last kerf may run off the end of a stick that keeps no tail.
        used = min(trim + self.cut, self.kind.length)
        return Stick(
            name, wood, self.width, strip_width, self.kind.length, tuple(self.pieces),
            used, self.kind.length - used,
        )  # fmt: skip


def _first_fit(
    group: Sequence[Part], kinds: list[StickStock], stock: Stock, holding: float, wood: str
) -> list[_Bin]:
    """Put the longest first into the first stick with room; narrow parts on ripped sticks."""
    rooms = [kind.length - stock.end_trim - holding for kind in kinds]
    left = [kind.count for kind in kinds]
    bins: dict[bool, list[_Bin]] = {False: [], True: []}
    for item, ripped in _items(group, stock):
        overrun = item.kerf if holding <= ON_THE_LINE else 0.0
        target = next((b for b in bins[ripped] if b.takes(item, overrun)), None)
        if target is None:
            fitting = [
                n for n, room in enumerate(rooms)
                if item.length + item.kerf <= room + overrun + ON_THE_LINE
            ]  # fmt: skip
            if not fitting:
                longest = max(rooms)
                raise SawError(
                    f"A piece of part {item.mark} ({wood}) is {item.length:.1f} mm long; the "
                    f"longest stick leaves {max(longest, 0.0):.1f} mm to cut after the end trim "
                    "and the length that must be held. List a longer stick in [[stock.stick]]."
                )
            n = next((n for n in fitting if left[n] is None or left[n]), fitting[0])
            count = left[n]
            left[n] = None if count is None else max(0, count - 1)
            target = _Bin(kinds[n], rooms[n], item.width)
            bins[ripped].append(target)
        target.add(item)
    everything = bins[False] + bins[True]
    _shorten(everything, kinds, left, stock, holding)
    return everything


def _items(group: Sequence[Part], stock: Stock) -> list[tuple[_Item, bool]]:
    items = []
    for part in group:
        steepest = max((abs(m) for m in part.mitres), default=0.0)
        if part.handling == "mark and hand saw":
            steepest = 0.0  # its blank is cut square
        item = _Item(part.mark, part.overall, stock.kerf / cosine(steepest), part.stick_width)
        items += [(item, part.ripped)] * (part.count + part.spares)
    # Ripped parts go widest first, so that a stick can be ripped down step by step.
    return sorted(
        items,
        key=lambda i: (i[1], -round(i[0].width, 2) if i[1] else 0.0, -i[0].length, i[0].mark),
    )


def _shorten(
    bins: list[_Bin],
    kinds: list[StickStock],
    left: list[int | None],
    stock: Stock,
    holding: float,
) -> None:
    """Exchange each stick for the shortest kind that still holds its pieces."""
    for opened in sorted(bins, key=lambda b: b.cut):
        for n in range(len(kinds) - 1, -1, -1):
            kind = kinds[n]
            if kind.length >= opened.kind.length or left[n] == 0:
                continue
            if opened.cut <= kind.length - stock.end_trim - holding + ON_THE_LINE:
                count = left[n]
                left[n] = None if count is None else count - 1
                opened.kind, opened.room = kind, kind.length - stock.end_trim - holding
                break


def _bound(
    group: Sequence[Part],
    kinds: list[StickStock],
    stock: Stock,
    holding: float,
    wood: str,
    width: float,
    count: int,
) -> Bound:
    """No plan does with fewer: the wood in the pieces alone fills that many sticks."""
    wood_length = sum(area(p.shape) / p.width * (p.count + p.spares) for p in group)
    room = max(kind.length for kind in kinds) - stock.end_trim - holding
    least = max(1, ceil(wood_length / (room + stock.kerf) - ON_THE_LINE))
    status = "the least possible" if least == count else f"a first figure, {least} at the least"
    return Bound(wood, width, count, min(least, count), status)


def _buy(bins: list[_Bin], stock: Stock) -> list[tuple[StickStock, int]]:
    """Count what to buy of each kind: what is lost to defects on top, and whole spare sticks."""
    counts: list[tuple[StickStock, int]] = []
    for opened in bins:
        for n, (kind, count) in enumerate(counts):
            if kind is opened.kind:
                counts[n] = (kind, count + 1)
                break
        else:
            counts.append((opened.kind, 1))
    total = sum(count for _, count in counts)
    if not total:
        return []
    wanted = ceil(total / (1.0 - stock.defects) - ON_THE_LINE) + stock.spare_sticks
    counts.sort(key=lambda kc: -kc[0].length)
    kind, count = counts[0]
    counts[0] = (kind, count + wanted - total)
    return counts
