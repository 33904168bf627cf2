"""Stock and the solver's desk: what is refused, and what the solver may not do."""

from __future__ import annotations

import numpy as np
import pytest
from sawdust import mitred

from tesselath.cutting import CutPiece, Sawing, StickKind, pointed_end, straight_end
from tesselath.cutting.bound import least_cost
from tesselath.cutting.budget import BILLION, Budget
from tesselath.cutting.lp_desk import Master, run_whole
from tesselath.cutting.stock import check_stock
from tesselath.errors import SawError

SAWING = Sawing(40.0, 3.0)
KINDS = [StickKind(1000.0)]


def test_a_triangle_is_solid_and_a_shorter_piece_is_not() -> None:
    check_stock([mitred("A", 40.0, 40.0, -40.0)], kinds=KINDS, sawing=SAWING)
    with pytest.raises(SawError, match="part A"):
        check_stock([mitred("A", 39.9, 40.0, -40.0)], kinds=KINDS, sawing=SAWING)


def test_two_points_may_not_cross_at_the_edge_of_the_strip() -> None:
    point = pointed_end([(0.0, 40.0), (0.0, -40.0)])
    check_stock([CutPiece("A", 40.0, 1, point, point)], kinds=KINDS, sawing=SAWING)
    with pytest.raises(SawError, match="ends cross"):
        check_stock([CutPiece("A", 39.0, 1, point, point)], kinds=KINDS, sawing=SAWING)


@pytest.mark.parametrize(
    ("kind", "rule"),
    [
        (StickKind(0.0), "longer than nothing"),
        (StickKind(float("nan")), "longer than nothing"),
        (StickKind(900.0, -1), "0 or more"),
        (StickKind(900.0, price=-2.0), "0 or more"),
    ],
)
def test_sticks_that_cannot_be_are_refused(kind: StickKind, rule: str) -> None:
    with pytest.raises(SawError, match=rule):
        check_stock([CutPiece("A", 90.0)], kinds=[kind], sawing=SAWING)


def test_a_length_that_is_no_number_is_refused() -> None:
    with pytest.raises(SawError, match="part A"):
        check_stock([CutPiece("A", float("nan"))], kinds=KINDS, sawing=SAWING)
    with pytest.raises(SawError, match="kerf"):
        check_stock([], kinds=KINDS, sawing=Sawing(40.0, float("nan")))


@pytest.mark.parametrize(
    ("worth", "ceilings", "costs", "counts", "least"),
    # Hand-worked.
    [
        (63, [9], [1], [None], 7),
        (64, [9], [1], [None], 8),
        (100, [10, 6], [1, 0], [None, 5], 7),  # 5 x 6 come free, 70 are left
        (30, [10, 6], [1, 0], [None, 5], 0),
        (100, [10, 5], [300, 100], [None, None], 2000),  # 20 short ones
        (100, [10, 5], [300, 100], [None, 4], 2800),  # 4 short ones, 8 long ones
        (0, [10], [1], [None], 0),
    ],
)
def test_the_least_cost_follows_from_worth_and_ceilings(
    worth: int, ceilings: list[int], costs: list[int], counts: list[int | None], least: int
) -> None:
    assert least_cost(worth, ceilings, costs=costs, counts=counts) == least


def test_a_program_without_a_budget_is_not_solved_and_says_so() -> None:
    spent = Master([1.0], [np.inf], Budget(0))
    spent.add(1.0, {0: 2.0})
    assert spent.solve() is None
    budget = Budget(BILLION)
    master = Master([1.0], [np.inf], budget)
    master.add(1.0, {0: 2.0})
    solved = master.solve()
    assert budget.left < BILLION
    assert solved is not None
    assert solved.objective == pytest.approx(0.5)
    rows = [(1.0, np.inf, [0], [2.0])]
    assert run_whole(np.ones(1), np.ones(1), rows, nodes=10, budget=Budget(0)) == (None, False)


def test_a_program_in_whole_numbers_is_solved_or_proven_empty() -> None:
    rows = [(3.0, np.inf, [0, 1], [2.0, 1.0])]
    budget = Budget(BILLION)
    values, whole = run_whole(np.array([3.0, 2.0]), np.full(2, 9.0), rows, nodes=99, budget=budget)
    assert values is not None
    assert (values.tolist(), whole) == ([1, 1], True)
    values, whole = run_whole(np.ones(2), np.full(2, 0.9), rows, nodes=99, budget=budget)
    assert (values, whole) == (None, True)


def test_the_solver_leaves_the_output_clean(capfd: pytest.CaptureFixture[str]) -> None:
    Master([1.0], [2.0], Budget(0))
    print("after")
    assert capfd.readouterr().out == "after\n"


def test_square_is_the_end_of_a_plain_piece() -> None:
    assert CutPiece("A", 90.0).left == straight_end(0.0)
