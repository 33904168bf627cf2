"""Kinds of stick: which ones suit, from sticks and from boards, and what one costs."""

from __future__ import annotations

import pytest

from tesselath.design import Board, StickStock, Stock, WoodDetail
from tesselath.stock.stock_kinds import Kind, find_kinds, price_of

INCH, FOOT = 25.4, 304.8


def _find(stock: Stock, detail: WoodDetail | None = None) -> tuple[Kind, ...]:
    return find_kinds(stock, "oak", width=20.0, thickness=6.0, detail=detail)


@pytest.mark.parametrize(
    ("per", "cost"),
    [
        ("stick", 3.0),
        (None, 3.0),
        ("foot", 24.0),
        ("metre", 7.3152),
        ("board foot", 12.0),
        ("cubic metre", 0.02831685),
    ],
)
def test_a_price_counts_in_its_own_unit(per: str | None, cost: float) -> None:
    # A board of 1 x 6 in and 8 ft at 3.00: 4 board feet; 4 board feet are 9.438948e-3 m3.
    found = price_of(price=3.0, per=per, length=8 * FOOT, width=6 * INCH, thickness=INCH)
    assert found == pytest.approx(cost, rel=1e-6)


def test_a_price_by_volume_of_a_stick_of_unknown_size_cannot_be_told() -> None:
    assert price_of(price=9.0, per="board foot", length=900.0, width=None, thickness=6.0) is None
    assert price_of(price=None, per="foot", length=900.0, width=20.0, thickness=6.0) is None


def test_sticks_of_the_very_width_are_taken_before_wider_ones_and_cheap_before_dear() -> None:
    sticks = (
        StickStock(2400.0, "oak", 20.0, price=4.0),
        StickStock(2400.0, None, 20.0, price=3.0),
        StickStock(1200.0, "oak"),
        StickStock(3000.0, "oak", 40.0),
        StickStock(900.0, "ash", 20.0),
    )
    kinds = _find(Stock(sticks=sticks))
    assert [(k.length, k.width) for k in kinds] == [(2400.0, 20.0), (1200.0, 20.0)]
    assert [k.price for k in kinds] == [3.0, None]
    assert [k.length for k in _find(Stock(sticks=sticks[3:]))] == [3000.0]
    assert _find(Stock(sticks=sticks[4:])) == ()


def test_sticks_without_a_price_of_their_own_cost_what_their_wood_costs() -> None:
    sticks = (StickStock(3048.0, "oak"), StickStock(1524.0, "oak", price=1.0))
    kinds = _find(Stock(sticks=sticks), WoodDetail("oak", price=2.0, per="foot"))
    assert [k.price for k in kinds] == [pytest.approx(20.0), 1.0]


def test_boards_serve_where_no_stick_is_listed_and_each_strip_costs_its_share() -> None:
    # 4 3/4 in of board with slices of 5/16 in and kerfs of 1/8 in, by hand: 4 7/8 over 7/16 is
    # 11.1, eleven strips.
    board = Board(
        2400.0, 4.75 * INCH, 25.4, "oak", plane=INCH / 16, count=2, price=22.0, per="stick"
    )
    stock = Stock(boards=(board,), rip_kerf=INCH / 8)
    (kind,) = find_kinds(stock, "oak", width=20.0, thickness=INCH / 4, detail=None)
    assert (kind.length, kind.each, kind.count, kind.price) == (2400.0, 11, 22, 2.0)
    with_stick = Stock(sticks=(StickStock(900.0),), boards=(board,))
    assert [k.board for k in _find(with_stick)] == [None]


def test_a_board_too_narrow_for_one_strip_gives_none() -> None:
    assert _find(Stock(boards=(Board(2400.0, 5.0, 25.4, "oak"),))) == ()


def test_boards_of_several_lengths_are_kinds_of_their_own() -> None:
    boards = tuple(Board(length, 140.0, 25.4) for length in (1200.0, 2400.0))
    assert [k.length for k in _find(Stock(boards=boards))] == [2400.0, 1200.0]
