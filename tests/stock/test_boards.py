"""Strips from boards, board feet and prices, against published rules and worked examples."""

from __future__ import annotations

from math import floor

import pytest
from hypothesis import given, strategies as st

from tesselath.design import Board
from tesselath.stock import strip_slice, strips_per_board, suits
from tesselath.stock.boards import board_feet, board_measure, hardwood_board_feet

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


def test_a_board_is_measured_in_what_it_is_sold_by() -> None:
    # 2 in x 6 1/4 in x 8 ft: 8.33 board feet by volume, 8 by surface measure; and in metric.
    size = {"thickness": 2 * INCH, "width": 6.25 * INCH, "length": 8 * FOOT}
    assert board_measure(per="board foot", **size) == pytest.approx(25 / 3)
    assert board_measure(per="board foot", rule="surface measure", **size) == 8.0
    metric = {"thickness": 25.0, "width": 150.0, "length": 2400.0}
    assert board_measure(per="cubic metre", **metric) == pytest.approx(0.009)


def test_a_board_suits_by_its_wood_and_the_way_it_is_cut() -> None:
    edge = Board(length=2000.0, width=140.0, thickness=20.0, wood="oak")
    assert suits(edge, "oak", width=20.0, thickness=6.0)
    assert not suits(edge, "ash", width=20.0, thickness=6.0)
    assert not suits(edge, "oak", width=25.0, thickness=6.0)
    flat = Board(length=2000.0, width=140.0, thickness=8.0, from_="face", plane=1.5)
    assert suits(flat, "oak", width=25.0, thickness=6.5)
    assert not suits(flat, "oak", width=25.0, thickness=7.0)
