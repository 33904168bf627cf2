"""Buying: how many sticks or boards to ask for, and what they cost.

Comes in: the kinds of stick and how many of each are cut. Goes out: one purchase a kind, with what
is lost to defects and the spare sticks on top.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from tesselath.design import Board, Stock, WoodDetail
from tesselath.measure import ON_THE_LINE, SLACK
from tesselath.stock.boards import board_measure, strip_slice
from tesselath.stock.stock_kinds import Kind, price_of

__all__ = ["Purchase", "buy_sticks"]


@dataclass(frozen=True, slots=True)
class Purchase:
    """One kind of stick or board to buy.

    ``count`` is in ``unit``: "stick", "board", or "board foot" or "cubic metre" for rough stock of
    random width. ``length``, ``width`` and ``thickness`` are those of what is bought [mm], the
    width None where it is random; ``strip_width`` and ``strip_thickness`` those of the strip it
    gives, ``strips`` how many are wanted of it. ``price`` is for all of it. ``measure`` is what
    one board counts in ``measured_in``, board feet by the ``rule`` named.
    """

    wood: str
    strip_width: float
    strip_thickness: float
    length: float
    width: float | None
    thickness: float | None
    count: float
    unit: str
    price: float | None
    strips: int
    board: Board | None = None
    measure: float | None = None
    measured_in: str | None = None
    rule: str | None = None


def buy_sticks(
    wood: str,
    kinds: Sequence[Kind],
    used: Sequence[int],
    stock: Stock,
    *,
    width: float,
    thickness: float,
    units: str,
    detail: WoodDetail | None,
) -> list[Purchase]:
    """Say what to buy for the sticks that are cut.

    Source: "a share is lost" means need / (1 - share), not need x (1 + share); arithmetic.
    """
    total = sum(used)
    if not total:
        return []
    wanted = list(used)
    extra = ceil(total / (1.0 - stock.defects) - ON_THE_LINE) + stock.spare_sticks - total
    for _ in range(extra):  # from the longest kind in use that there is enough of
        order = [n for n, count in enumerate(used) if count]
        left = [n for n in order if (kinds[n].count or wanted[n] + 1) > wanted[n]]
        wanted[(left or order)[0]] += 1
    return [
        _boards(wood, kind, count, stock, width, thickness, units, detail)
        if kind.board is not None
        else Purchase(
            wood,
            width,
            thickness,
            kind.length,
            kind.width,
            kind.thickness,
            count,
            "stick",
            None if kind.price is None else round(kind.price * count, 2),
            count,
        )
        for kind, count in zip(kinds, wanted, strict=True)
        if count
    ]


def _boards(
    wood: str,
    kind: Kind,
    strips: int,
    stock: Stock,
    width: float,
    thickness: float,
    units: str,
    detail: WoodDetail | None,
) -> Purchase:
    """Boards of one width, or a measure of rough stock of random width."""
    board = kind.board
    assert board is not None
    thick = board.thickness or 0.0
    price, per = board.price, board.per
    if price is None and detail is not None:
        price, per = detail.price, detail.per
    usual = "board foot" if units == "in" else "cubic metre"
    unit = per if per in ("board foot", "cubic metre") else usual
    if board.width is None:
        # Random widths: so much width of board in all. How each rounds cannot be foretold.
        across = strip_slice(board, width=width, thickness=thickness) + stock.rip_kerf
        measure = board_measure(
            per=unit, length=board.length, width=strips * across, thickness=thick
        )
        step = 1.0 if unit == "board foot" else 0.001
        count = ceil(measure / step - SLACK) * step
        cost = None if price is None or per != unit else round(price * count, 2)
        return Purchase(
            wood,
            width,
            thickness,
            board.length,
            None,
            board.thickness,
            round(count, 3),
            unit,
            cost,
            strips,
            board,
            rule="volume" if unit == "board foot" else None,
        )
    boards = ceil(strips / kind.each)
    each = price_of(
        price=price,
        per=per,
        length=board.length,
        width=board.width,
        thickness=board.thickness,
        rule=stock.board_feet,
    )
    measure = board_measure(
        per=unit, length=board.length, width=board.width, thickness=thick, rule=stock.board_feet
    )
    return Purchase(
        wood,
        width,
        thickness,
        board.length,
        board.width,
        board.thickness,
        boards,
        "board",
        None if each is None else round(each * boards, 2),
        strips,
        board,
        measure,
        unit,
        stock.board_feet if unit == "board foot" else None,
    )
