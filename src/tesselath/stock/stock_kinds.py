"""Kinds of stick: what a strip of one wood and width can be cut from.

Comes in: the stock as listed, the strip wanted. Goes out: offcuts; sticks of that width, else wider
ones that are ripped to it, else strips off boards, each kind with its price; and the stock without
what is used. None where nothing listed can give the strip.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil

from tesselath.design import Board, Offcut, StickStock, Stock, WoodDetail
from tesselath.measure import ALIKE
from tesselath.stock.boards import board_measure, strip_slice, strips_per_board, suits

__all__ = ["Kind", "find_kinds", "find_offcuts", "price_of", "use_up"]

_FOOT = 304.8


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of stick: as long as it is bought, as wide as the strip or wider [mm].

    ``count`` is how many there are, None for as many as needed. ``price`` is for one stick, None
    where it cannot be told. ``board`` is what a stick is ripped from, ``each`` how many one such
    board gives (0 for boards of random width). ``listed`` is the entry of the stock.
    """

    length: float
    width: float
    thickness: float
    count: int | None
    price: float | None
    board: Board | None = None
    each: int = 0
    listed: StickStock | Board | Offcut | None = None


def find_kinds(
    stock: Stock, wood: str, *, width: float, thickness: float, detail: WoodDetail | None
) -> tuple[Kind, ...]:
    """Find what a strip of one wood and width is cut from.

    Source: common practice.
    """
    kinds = [
        _stick(one, width, thickness, detail) for one in _sticks(stock, wood, width, thickness)
    ]
    if not kinds:
        for board in stock.boards:
            if suits(board, wood, width=width, thickness=thickness):
                kind = _from_board(stock, board, width, thickness, detail)
                if board.width is None or kind.each:
                    kinds.append(kind)
    chosen: dict[float, Kind] = {}
    for kind in sorted(kinds, key=lambda k: (-k.length, k.price or 0.0)):
        chosen.setdefault(kind.length, kind)
    return tuple(chosen.values())


def find_offcuts(stock: Stock, wood: str, *, width: float, thickness: float) -> tuple[Kind, ...]:
    """Find the offcuts that may give a strip; they are used before anything is bought.

    Source: common practice.
    """
    return tuple(
        Kind(offcut.length, width, thickness, offcut.count, 0.0, listed=offcut)
        for offcut in stock.offcuts
        if offcut.wood in (None, wood)
        and (offcut.width is None or abs(offcut.width - width) <= ALIKE)
        and offcut.count
    )


def use_up(stock: Stock, kinds: Sequence[Kind], used: Sequence[int]) -> Stock:
    """Take what is cut for one wood and width off the stock, for the next.

    Source: arithmetic.
    """
    for kind, count in zip(kinds, used, strict=True):
        listed = kind.listed
        if listed is None or listed.count is None or not count:
            continue
        gone = ceil(count / kind.each) if kind.board is not None else count
        left = max(0, listed.count - gone)
        stock = replace(
            stock,
            sticks=tuple(replace(s, count=left) if s is listed else s for s in stock.sticks),
            boards=tuple(replace(b, count=left) if b is listed else b for b in stock.boards),
            offcuts=tuple(replace(o, count=left) if o is listed else o for o in stock.offcuts),
        )
    return stock


def price_of(
    *,
    price: float | None,
    per: str | None,
    length: float,
    width: float | None,
    thickness: float | None,
    rule: str = "volume",
) -> float | None:
    """Price one stick or board.

    Source: identities.

    >>> price_of(price=3.0, per="foot", length=8 * 304.8, width=None, thickness=None)
    24.0
    """
    if price is None:
        return None
    if per in (None, "stick"):
        return price
    if per == "foot":
        return price * length / _FOOT
    if per == "metre":
        return price * length / 1000
    if width is None or thickness is None:
        return None
    return price * board_measure(
        per=per or "", length=length, width=width, thickness=thickness, rule=rule
    )


def _sticks(stock: Stock, wood: str, width: float, thickness: float) -> Sequence[StickStock]:
    """The listed sticks that suit: of that very width, else wider ones."""
    suiting = [
        stick
        for stick in stock.sticks
        if stick.wood in (None, wood)
        and (stick.width is None or stick.width >= width - ALIKE)
        and (stick.thickness is None or stick.thickness >= thickness - ALIKE)
    ]
    return [s for s in suiting if s.width is None or s.width <= width + ALIKE] or suiting


def _stick(stick: StickStock, width: float, thickness: float, detail: WoodDetail | None) -> Kind:
    wide, thick = stick.width or width, stick.thickness or thickness
    cost = stick.price
    if cost is None and detail is not None:
        cost = price_of(
            price=detail.price, per=detail.per, length=stick.length, width=wide, thickness=thick
        )
    return Kind(stick.length, wide, thick, stick.count, cost, listed=stick)


def _from_board(
    stock: Stock, board: Board, width: float, thickness: float, detail: WoodDetail | None
) -> Kind:
    """A strip off a board; its price is its share of the board's."""
    each = strips_per_board(board, width=width, thickness=thickness, rip_kerf=stock.rip_kerf)
    price, per = board.price, board.per
    if price is None and detail is not None:
        price, per = detail.price, detail.per
    across = strip_slice(board, width=width, thickness=thickness) + stock.rip_kerf
    cost = price_of(
        price=price,
        per=per,
        length=board.length,
        width=board.width or across,
        thickness=board.thickness,
        rule=stock.board_feet if board.width else "volume",
    )
    if board.width is not None and cost is not None and each:
        cost /= each
    count = None if board.count is None or board.width is None else board.count * each
    return Kind(board.length, width, thickness, count, cost, board, each, board)
