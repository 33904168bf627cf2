"""Ripped sticks: narrow parts from sticks that are ripped full length first.

Comes in: the parts of one wood that are narrower than their strip, and the sticks. Goes out: each
stick with its parts, wide before narrow. Refuses: a piece longer than any stick leaves to cut.

When the parts of one width are cut, the rest of that stick, while it is still long, is ripped down
to the next width, so that ten odd widths do not take ten sticks. Longest first into the first
stick with room, each piece charged its tip-to-tip length and a kerf over the cosine::

    ripped to 21    |trim| D | D | D |  then to 15  | E | E | F |..left over..|## held ##|
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from tesselath.design import Stock
from tesselath.errors import SawError
from tesselath.measure import ALIKE, ON_THE_LINE, cosine
from tesselath.parts import Part
from tesselath.stock.stock_kinds import Kind

__all__ = ["NARROWEST_RIP", "SHORTEST_RIP", "RippedStick", "fill_ripped_sticks"]

#: Nothing shorter is ever ripped [mm]; 12 in, common practice.
SHORTEST_RIP = 304.8

#: Below this a strip is planed or knifed, not sawn [mm]; 3/8 in, common practice.
NARROWEST_RIP = 9.525


@dataclass(frozen=True, slots=True)
class RippedStick:
    """One ripped stick: its kind, its first width, its parts in order with the place of each.

    ``places`` are where each piece's left tip lies, from the stop end [mm].
    """

    kind: int
    length: float
    width: float
    marks: tuple[str, ...]
    places: tuple[float, ...]
    used: float


@dataclass(frozen=True, slots=True)
class _Item:
    mark: str
    length: float
    kerf: float
    width: float


class _Bin:
    """A stick that is being filled."""

    def __init__(self, kind: int, stick: Kind, stock: Stock, holding: float) -> None:
        self.kind, self.length, self.trim = kind, stick.length, stock.end_trim
        self.room = stick.length - stock.end_trim - holding
        self.items: list[_Item] = []
        self.places: list[float] = []
        self.cut = 0.0

    def takes(self, item: _Item, overrun: float) -> bool:
        """Whether an item fits, and whether the rest is long enough to be ripped for it."""
        if self.length < SHORTEST_RIP - ON_THE_LINE:
            return False
        if self.cut + item.length + item.kerf > self.room + overrun + ON_THE_LINE:
            return False
        ripped_again = bool(self.items) and item.width < self.items[-1].width - ALIKE
        return not (ripped_again and self.length - self.trim - self.cut < SHORTEST_RIP)

    def add(self, item: _Item) -> None:
        self.items.append(item)
        self.places.append(self.trim + self.cut)
        self.cut += item.length + item.kerf


def fill_ripped_sticks(
    parts: Sequence[Part],
    kinds: Sequence[Kind],
    stock: Stock,
    *,
    holding: float,
    show: Callable[[float], str] = "{:.1f} mm".format,
) -> tuple[RippedStick, ...]:
    """Cut ripped parts with their spares from sticks.

    Source: first-fit decreasing (Johnson, 1973, from memory); ripping by common practice.
    """
    left = [kind.count for kind in kinds]
    bins: list[_Bin] = []
    for item in _items(parts, stock):
        # The last kerf may run off the end of a stick that keeps no tail.
        overrun = item.kerf if holding <= ON_THE_LINE else 0.0
        target = next((b for b in bins if b.takes(item, overrun)), None)
        if target is None:
            fitting = [
                n
                for n, kind in enumerate(kinds)
                if _Bin(n, kind, stock, holding).takes(item, overrun)
            ]
            if not fitting:
                longest = max(kind.length for kind in kinds) - stock.end_trim - holding
                raise SawError(
                    f"A piece of part {item.mark} is {show(item.length)} long; the longest stick "
                    f"leaves {show(max(longest, 0.0))} to cut after the end trim and the length "
                    f"that must be held, and nothing under {show(SHORTEST_RIP)} is ripped. List a "
                    "longer stick in [[stock.stick]]."
                )
            n = next((n for n in fitting if left[n] is None or left[n]), fitting[0])
            count = left[n]
            left[n] = None if count is None else max(0, count - 1)
            target = _Bin(n, kinds[n], stock, holding)
            bins.append(target)
        target.add(item)
    return tuple(
        RippedStick(
            b.kind,
            b.length,
            b.items[0].width,
            tuple(i.mark for i in b.items),
            tuple(b.places),
            min(b.trim + b.cut, b.length),
        )
        for b in bins
    )


def _items(parts: Sequence[Part], stock: Stock) -> list[_Item]:
    """All pieces with spares, widest first so that a stick can be ripped down step by step."""
    items = []
    for part in parts:
        by_hand = part.handling == "mark and hand saw"
        steepest = 0.0 if by_hand else max(abs(m) for m in part.mitres)
        item = _Item(part.mark, part.overall, stock.kerf / cosine(steepest), part.stick_width)
        items += [item] * (part.count + part.spares)
    return sorted(items, key=lambda i: (-round(i.width, 2), -i.length, i.mark))
