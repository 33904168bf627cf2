"""Strips from boards, board feet and prices, against published rules and worked examples."""

from __future__ import annotations

from math import floor

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tesselath.boards import (
    board_feet,
    buy_boards,
    hardwood_board_feet,
    price_of,
    strip_slice,
    strips_per_board,
    suits,
)
from tesselath.design import Board, WoodDetail
from tesselath.design_file import parse_design
from tesselath.plan import plan_design

INCH, FOOT = 25.4, 304.8


def test_a_board_of_5_1_2_in_gives_15_slices_of_1_4_in() -> None:
    # Common practice: slices off the edge with a kerf of 1/8 in, by hand: 5 5/8 over 3/8.
    board = Board(length=96 * INCH, width=5.5 * INCH, thickness=13 / 16 * INCH)
    found = strips_per_board(board, width=0.75 * INCH, thickness=0.25 * INCH, rip_kerf=INCH / 8)
    assert found == 15


def test_planing_takes_its_share_of_every_slice() -> None:
    # Rip at 5/16 and plane to 1/4: 5 5/8 over 7/16 is 12.9, twelve slices.
    board = Board(length=96 * INCH, width=5.5 * INCH, thickness=INCH, plane=INCH / 16)
    assert strip_slice(board, width=19.0, thickness=6.35) == pytest.approx(5 / 16 * INCH)
    assert strips_per_board(board, width=19.0, thickness=6.35, rip_kerf=INCH / 8) == 12


def test_a_board_of_30_in_gives_21_rips_of_1_1_4_in_not_24() -> None:
    # Worked example: the kerf of 1/8 in eats three of them.
    board = Board(length=96 * INCH, width=30 * INCH, thickness=6.35, from_="face")
    assert strips_per_board(board, width=1.25 * INCH, thickness=6.35, rip_kerf=INCH / 8) == 21


@pytest.mark.parametrize(("thick", "feet"), [(0.75, 6.0), (1.0, 6.0), (1.5, 9.0)])
def test_board_feet_count_thin_stock_as_an_inch(thick: float, feet: float) -> None:
    # North American trade rule: 1 x 9 x 96 in is 6 board feet, 1 1/2 x 9 x 96 in is 9.
    size = {"thickness": thick * INCH, "width": 9 * INCH, "length": 96 * INCH}
    assert board_feet(**size) == pytest.approx(feet)


def test_the_hardwood_rule_rounds_the_surface_first() -> None:
    # 2 in x 6 1/4 in x 8 ft: surface measure 4, so 8 board feet and not 8.33.
    size = {"thickness": 2 * INCH, "width": 6.25 * INCH, "length": 8 * FOOT}
    assert hardwood_board_feet(**size) == 8.0
    assert board_feet(**size) == pytest.approx(8.333, abs=1e-3)


@given(st.floats(50, 400), st.floats(3, 60), st.floats(0, 5))
def test_the_strips_of_a_board_and_their_cuts_fit_its_width(
    width: float, slice_: float, kerf: float
) -> None:
    board = Board(length=2000.0, width=width, thickness=100.0)
    n = strips_per_board(board, width=20.0, thickness=slice_, rip_kerf=kerf)
    assert n * slice_ + max(n - 1, 0) * kerf <= width + 1e-6
    assert (n + 1) * slice_ + n * kerf > width - 1e-6
    assert n == floor((width + kerf) / (slice_ + kerf) + 1e-9)


@pytest.mark.parametrize(
    ("per", "cost"),
    [("stick", 6.0), (None, 6.0), ("foot", 48.0), ("metre", 14.63), ("board foot", 24.0),
     ("cubic metre", 0.06)],
)  # fmt: skip
def test_a_price_counts_in_its_own_unit(per: str | None, cost: float) -> None:
    # Two boards of 1 x 6 in and 8 ft at 3.00: 4 board feet each.
    found = price_of(price=3.0, per=per, count=2, length=8 * FOOT, width=6 * INCH, thickness=INCH)
    assert found == pytest.approx(cost, abs=0.011)


def test_rough_stock_of_random_width_is_bought_by_the_board_foot() -> None:
    # 24 slices of 5/16 and a kerf of 1/8 take 10 1/2 in of width; 8 ft long, 1 in thick: 7 feet.
    board = Board(length=96 * INCH, thickness=INCH, plane=INCH / 16, wood="oak")
    bought = buy_boards(
        board, "oak", strips=24, width=20.0, thickness=6.35, rip_kerf=INCH / 8,
        detail=WoodDetail("oak", price=9.5, per="board foot"),
    )  # fmt: skip
    assert (bought.count, bought.unit) == (7, "board foot")
    assert bought.price == pytest.approx(66.5)


def test_a_board_suits_by_its_wood_and_the_way_it_is_cut() -> None:
    edge = Board(length=2000.0, width=140.0, thickness=20.0, wood="oak")
    assert suits(edge, "oak", width=20.0, thickness=6.0)
    assert not suits(edge, "ash", width=20.0, thickness=6.0)
    assert not suits(edge, "oak", width=25.0, thickness=6.0)
    flat = Board(length=2000.0, width=140.0, thickness=8.0, from_="face", plane=1.5)
    assert suits(flat, "oak", width=25.0, thickness=6.5)
    assert not suits(flat, "oak", width=25.0, thickness=7.0)


def test_a_plan_buys_boards_where_no_stick_is_listed() -> None:
    text = """
[opening]
width = "30"
depth = "15"
clearance = "0"
[strips]
width = "3/4"
thickness = "1/4"
[field]
pattern = "stack-bond"
angle = "0 deg"
[field.set]
w = "3/4 in"
L = "6 in"
[tones]
dark = "walnut"
light = "maple"
[[stock.board]]
width = "5 1/2"
thickness = "13/16"
length = "96"
plane = "1/16"
price = 8
per = "board foot"
"""
    plan = plan_design(parse_design(text, file_name="lid.toml", beside=None))
    boards = [row for row in plan.shopping if row.what == "boards"]
    assert {row.wood for row in boards} == {"walnut", "maple"}
    for row in boards:
        assert row.unit == "board"
        # One board of 5 1/2 in gives twelve strips; a wood takes a few.
        assert row.count == 1
        assert row.price == pytest.approx(8 * 5.5 * 8 / 12, abs=0.01)
    assert "stick-assumed" not in [note.code for note in plan.notes]
