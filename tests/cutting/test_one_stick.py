"""One stick: the exact sum of a sequence, and the closed form it can never undercut."""

from __future__ import annotations

import math
from itertools import pairwise, permutations, product
from typing import Any

import pytest
from hypothesis import given, strategies as st
from one_stick import closed_form, stick_sum
from sawdust import CASES, least_sum, mitred, plain_sum, ways_to_lie

from tesselath.cutting import RULES, CutPiece, Sawing, pointed_end, straight_end
from tesselath.cutting.gaps import kerf_along
from tesselath.errors import SawError
from tesselath.measure import tangent

RUNS = st.sampled_from([-40.0, -16.5, 0.0, 16.5, 40.0])
PIECES = st.lists(st.tuples(st.integers(45, 200), RUNS, RUNS), min_size=1, max_size=4)
SAWINGS = st.builds(
    Sawing,
    st.just(40.0),
    st.sampled_from([1.0, 3.0]),
    st.sampled_from(RULES),
    st.sampled_from([0.0, 12.0]),
    st.sampled_from([0.0, 150.0]),
    st.sampled_from([0.0, 100.0]),
)
FREEDOMS = {
    "fixed": {"turn": False, "roll": False},
    "rotate": {"turn": True, "roll": False},
    "rotate_flip": {"turn": True, "roll": True},
}


def make(case: dict[str, Any], freedom: str) -> list[CutPiece]:
    return [
        mitred(f"P{n}", length, 40 * tangent(left), 40 * tangent(right), **FREEDOMS[freedom])
        for n, (length, left, right) in enumerate(case["pieces"])
    ]


@pytest.mark.parametrize("freedom", FREEDOMS)
@pytest.mark.parametrize("case", CASES["single_stick_w40_k3"], ids=lambda case: case["name"])
def test_the_closed_form_gives_the_lengths_found_by_exhaustive_search(
    case: dict[str, Any], freedom: str
) -> None:
    # mitre_cases.json: own exhaustive search.
    pieces = make(case, freedom)
    least = closed_form(pieces, sawing=Sawing(40.0, 3.0))
    assert least == pytest.approx(case[f"closed_form_{freedom}"], abs=1e-6)


@pytest.mark.parametrize("freedom", FREEDOMS)
@pytest.mark.parametrize("rule", ["tight", "safe"])
@pytest.mark.parametrize("name", ["A", "B", "D", "E", "F", "H", "I"])
def test_the_best_sum_is_the_one_found_by_exhaustive_search(
    name: str, rule: str, freedom: str
) -> None:
    # mitre_cases.json: own exhaustive search.
    case = next(c for c in CASES["single_stick_w40_k3"] if c["name"] == name)
    pieces = make(case, freedom)
    sawing = Sawing(40.0, 3.0, rule, shortest_loose=0.0)
    best = min(
        stick_sum([(piece, *way) for piece, way in zip(order, ways, strict=True)], sawing=sawing)
        for order in permutations(pieces)
        for ways in product(*(_free(piece) for piece in order))
    )
    assert best == pytest.approx(case[f"{rule}_{freedom}"], abs=1e-6)


def test_four_nested_frame_sides_add_up_by_hand() -> None:
    # 20 + 4 x 260 + 3 x 4.242641 + 20; not nested, each joint takes 44.242641 (own working).
    side = mitred("A", 260.0, 40.0, -40.0)
    sawing = Sawing(40.0, 3.0)
    nested = stick_sum([(side, n % 2 == 1, False) for n in range(4)], sawing=sawing)
    assert nested == pytest.approx(20 + 4 * 260 + 3 * 4.242641 + 20, abs=1e-5)
    as_they_come = stick_sum([(side, False, False)] * 4, sawing=sawing)
    assert as_they_come == pytest.approx(20 + 4 * 260 + 3 * 44.242641 + 20, abs=1e-5)


@given(PIECES, SAWINGS, st.data())
def test_the_sum_is_that_of_the_rules_as_worded(
    sizes: list[tuple[int, float, float]], sawing: Sawing, data: st.DataObject
) -> None:
    pieces = [mitred(f"P{n}", *size, roll=True) for n, size in enumerate(sizes)]
    ways = [data.draw(st.tuples(st.booleans(), st.booleans())) for _ in pieces]
    laid = [(piece, *way) for piece, way in zip(pieces, ways, strict=True)]
    runs = [_runs(piece, *way) for piece, way in zip(pieces, ways, strict=True)]
    assert stick_sum(laid, sawing=sawing) == pytest.approx(plain_sum(pieces, runs, sawing))


@given(PIECES, SAWINGS, st.sampled_from(sorted(FREEDOMS)))
def test_no_sum_undercuts_the_closed_form(
    sizes: list[tuple[int, float, float]], sawing: Sawing, freedom: str
) -> None:
    pieces = [mitred(f"P{n}", *size, **FREEDOMS[freedom]) for n, size in enumerate(sizes)]
    assert least_sum(pieces, sawing) >= closed_form(pieces, sawing=sawing) - 1e-9


@given(PIECES, st.sampled_from(sorted(FREEDOMS)))
def test_the_closed_form_is_reached_where_a_third_cut_may_part_two_pieces(
    sizes: list[tuple[int, float, float]], freedom: str
) -> None:
    sawing = Sawing(40.0, 3.0)
    pieces = [mitred(f"P{n}", *size, **FREEDOMS[freedom]) for n, size in enumerate(sizes)]

    def gap(right: float, left: float) -> float:
        low, high = sorted((right, left))
        run = 0.0 if low <= 0.0 <= high else min(abs(low), abs(high))
        return abs(right - left) / 2 + kerf_along(run, width=40.0, kerf=3.0)

    best = min(
        abs(ways[0][0]) / 2
        + sum(piece.length for piece in order)
        + sum(gap(a[1], b[0]) for a, b in pairwise(ways))
        + abs(ways[-1][1]) / 2
        for order in permutations(pieces)
        for ways in product(*(ways_to_lie(piece) for piece in order))
    )
    assert closed_form(pieces, sawing=sawing) == pytest.approx(best, abs=1e-9)


def test_a_count_of_pieces_is_as_good_as_so_many_pieces() -> None:
    sawing = Sawing(40.0, 3.0)
    three = [mitred(f"P{n}", 120.0, 0.0, 40.0) for n in range(3)]
    assert closed_form([mitred("A", 120.0, 0.0, 40.0, 3)], sawing=sawing) == pytest.approx(
        closed_form(three, sawing=sawing)
    )


def test_nothing_takes_nothing() -> None:
    assert stick_sum([], sawing=Sawing(40.0, 3.0)) == 0.0
    assert closed_form([], sawing=Sawing(40.0, 3.0)) == 0.0


def test_the_closed_form_refuses_pointed_ends() -> None:
    piece = CutPiece("A", 90.0, 1, pointed_end([(0, 40), (0, -40)]), straight_end(0.0))
    with pytest.raises(SawError, match="part A: The closed form holds for straight ends only"):
        closed_form([piece], sawing=Sawing(40.0, 3.0))


def _free(piece: CutPiece) -> list[tuple[bool, bool]]:
    return [
        (turned, rolled)
        for rolled in (False, True)[: 1 + piece.roll]
        for turned in (False, True)[: 1 + piece.turn]
    ]


def _runs(piece: CutPiece, turned: bool, rolled: bool) -> tuple[float, float]:
    runs = piece.left.runs[0], piece.right.runs[0]
    sign = -1.0 if rolled else 1.0
    left, right = runs[::-1] if turned else runs
    return (math.copysign(1.0, sign) * left, sign * right)
