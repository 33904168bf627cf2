"""Buying: what is lost comes on top, boards are whole, rough stock goes by measure."""

from __future__ import annotations

from math import ceil

import pytest
from hypothesis import given, strategies as st

from tesselath.design import Board, Stock, WoodDetail
from tesselath.stock import Purchase
from tesselath.stock.buying import buy_sticks
from tesselath.stock.stock_kinds import Kind, find_kinds
from tops import plan_of, top

INCH, FOOT = 25.4, 304.8


def _buy(kinds: list[Kind], used: list[int], stock: Stock, units: str = "in") -> list[Purchase]:
    return buy_sticks(
        "oak", kinds, used, stock, width=20.0, thickness=INCH / 4, units=units, detail=None
    )


def _board(board: Board, strips: int, stock: Stock, units: str = "in", **more: object) -> Purchase:
    detail = WoodDetail("oak", **more) if more else None  # type: ignore[arg-type]
    kinds = find_kinds(
        Stock(boards=(board,), rip_kerf=stock.rip_kerf, board_feet=stock.board_feet),
        "oak",
        width=20.0,
        thickness=INCH / 4,
        detail=detail,
    )
    (bought,) = buy_sticks(
        "oak", kinds, [strips], stock, width=20.0, thickness=INCH / 4, units=units, detail=detail
    )
    return bought


NOTHING_LOST = Stock(defects=0.0, spare_sticks=0, rip_kerf=INCH / 8)


@given(
    st.lists(st.integers(0, 30), min_size=1, max_size=4),
    st.sampled_from([0.0, 0.1, 0.2, 0.5]),
    st.integers(0, 3),
)
def test_what_is_bought_covers_the_share_lost_and_the_spare_sticks(
    used: list[int], defects: float, spare: int
) -> None:
    kinds = [Kind(3000.0 - 100 * n, 20.0, 6.0, None, None) for n in range(len(used))]
    bought = _buy(kinds, used, Stock(defects=defects, spare_sticks=spare))
    total = sum(used)
    wanted = ceil(total / (1 - defects) - 1e-9) + spare if total else 0
    assert sum(p.count for p in bought) == sum(p.strips for p in bought) == wanted
    for purchase in bought:
        assert purchase.count >= used[[k.length for k in kinds].index(purchase.length)] > 0


def test_spare_sticks_are_taken_of_a_kind_that_there_is_enough_of() -> None:
    kinds = [Kind(2400.0, 20.0, 6.0, 3, 4.0), Kind(1200.0, 20.0, 6.0, None, 3.0)]
    bought = _buy(kinds, [3, 1], Stock(defects=0.0, spare_sticks=2))
    assert [(p.length, p.count, p.price) for p in bought] == [(2400.0, 3, 12.0), (1200.0, 3, 9.0)]


def test_whole_boards_are_bought_for_their_strips() -> None:
    # 5 1/2 in gives twelve slices of 5/16 in with kerfs of 1/8 in: 30 strips need three boards.
    # A board of 13/16 x 5 1/2 in and 96 in counts 5 1/2 x 8 / 12 = 3 2/3 board feet.
    board = Board(96 * INCH, 5.5 * INCH, 13 / 16 * INCH, plane=INCH / 16)
    bought = _board(board, 30, NOTHING_LOST, price=9.0, per="board foot")
    assert (bought.count, bought.unit, bought.strips) == (3, "board", 30)
    assert bought.measure == pytest.approx(11 / 3)
    assert bought.price == pytest.approx(99.0)


def test_the_hardwood_rule_changes_measure_and_price_and_is_named() -> None:
    # Surface measure 5 1/2 x 8 / 12 = 3.67, rounded to 4 before the thickness counts.
    board = Board(96 * INCH, 5.5 * INCH, 13 / 16 * INCH, plane=INCH / 16)
    stock = Stock(defects=0.0, spare_sticks=0, rip_kerf=INCH / 8, board_feet="surface measure")
    bought = _board(board, 30, stock, price=9.0, per="board foot")
    assert (bought.measure, bought.price, bought.rule) == (4.0, 108.0, "surface measure")


def test_rough_stock_of_random_width_is_bought_by_the_board_foot() -> None:
    # 24 slices of 5/16 and a kerf of 1/8 take 10 1/2 in of width; 8 ft long, 1 in thick: 7 feet.
    board = Board(96 * INCH, None, INCH, "oak", plane=INCH / 16)
    bought = _board(board, 24, NOTHING_LOST, price=9.5, per="board foot")
    assert (bought.count, bought.unit, bought.width) == (7, "board foot", None)
    assert bought.price == pytest.approx(66.5)


def test_rough_stock_is_bought_by_the_cubic_metre_where_that_is_its_measure() -> None:
    # 24 slices of 6.35 + 1.5875 and a kerf of 3.175 take 266.7 mm; 2.4384 m long, 25.4 thick:
    # 0.016518 m3, up to the next litre.
    board = Board(96 * INCH, None, INCH, "oak", plane=INCH / 16)
    for units, more in (("mm", {}), ("in", {"price": 2000.0, "per": "cubic metre"})):
        bought = _board(board, 24, NOTHING_LOST, units, **more)
        assert (bought.count, bought.unit) == (0.017, "cubic metre")
        assert bought.price == (34.0 if more else None)


def test_a_price_by_length_says_nothing_of_rough_stock_of_random_width() -> None:
    board = Board(96 * INCH, None, INCH, "oak")
    assert _board(board, 24, NOTHING_LOST, price=3.0, per="foot").price is None


def test_offcuts_alone_are_not_bought() -> None:
    assert _buy([Kind(2400.0, 20.0, 6.0, None, 4.0)], [0], Stock(spare_sticks=2)) == []


def test_a_plan_buys_boards_where_no_stick_is_listed() -> None:
    text = top(
        "stack-bond",
        width="30",
        depth="15",
        sizes='w = "3/4 in"\nL = "6 in"',
        strips='width = "3/4"\nthickness = "1/4"',
        more='[[stock.board]]\nwidth = "5 1/2"\nthickness = "13/16"\nlength = "96"\n'
        'plane = "1/16"\nprice = 8\nper = "board foot"\n',
    )
    plan = plan_of(text)
    boards = [row for row in plan.shopping if row.what == "boards"]
    assert {row.wood for row in boards} == set(plan.sticks_to_buy)
    for row in boards:
        # One board of 5 1/2 in gives twelve strips; a wood takes a few.
        assert (row.count, row.unit) == (1, "board")
        assert row.item == "board of 3.67 board feet by the volume rule"
        assert row.price == pytest.approx(8 * 5.5 * 8 / 12, abs=0.01)
    assert "stick-assumed" not in [note.code for note in plan.notes]
