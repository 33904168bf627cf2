"""Gaps: what a joint costs under each rule."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st
from sawdust import CASES, plain_gap, reach_by_points
from shapely import Polygon

from tesselath.cutting import RULES, Sawing, pointed_end, straight_end
from tesselath.cutting.gaps import finish_cost, joint_gap, kerf_along, start_cost
from tesselath.errors import SawError
from tesselath.measure import tangent

RUNS = st.sampled_from([-60.0, -40.0, -16.5, 0.0, 16.5, 40.0, 60.0])
CUTS = st.lists(st.tuples(st.integers(0, 20).map(float), RUNS), min_size=1, max_size=3)
POINT = pointed_end([(0.0, 40.0), (0.0, -40.0)])


@pytest.mark.parametrize(
    ("angle", "kerf"),
    # Own computation, k / cos for k = 3 on any width.
    [(0, 3), (15, 3.105829), (22.5, 3.247177), (30, 3.464102), (45, 4.242641), (60, 6)],
)
def test_a_leaning_cut_takes_kerf_over_cosine(angle: float, kerf: float) -> None:
    run = 40 * tangent(angle)
    assert kerf_along(run, width=40.0, kerf=3.0) == pytest.approx(kerf, abs=1e-6)


@pytest.mark.parametrize("case", CASES["gaps_w40_k3"], ids=str)
def test_gaps_are_those_worked_by_hand(case: dict[str, float]) -> None:
    # mitre_cases.json: own derivation, confirmed there by sawing polygons.
    right = straight_end(40 * tangent(case["right_deg"]))
    left = straight_end(40 * tangent(case["left_deg"]))
    for rule in ("tight", "safe"):
        gap = joint_gap(right, left, width=40.0, kerf=3.0, rule=rule)
        assert gap == pytest.approx(case[rule], abs=2e-6)


@given(RUNS, RUNS, st.sampled_from(RULES), st.booleans())
def test_gaps_of_straight_ends_follow_the_rules_as_worded(
    right: float, left: float, rule: str, held: bool
) -> None:
    sawing = Sawing(40.0, 3.0, rule)
    gap = joint_gap(
        straight_end(right),
        straight_end(left),
        width=40.0,
        kerf=3.0,
        rule=rule,
        may_trim_loose=held,
    )
    assert gap == pytest.approx(plain_gap(right, left, sawing, held=held))


@pytest.mark.parametrize(
    ("left", "gap"),
    # Own derivation: a point takes any neighbour that leans less, with that neighbour's cut.
    [
        (straight_end(0.0), 3.0),
        (straight_end(40 * tangent(30)), 3.464102),
        (straight_end(40.0), 4.242641),
        (straight_end(-40.0), 4.242641),
        (POINT, 4.242641),
    ],
)
def test_a_centred_point_wastes_nothing_beside_what_leans_less(left: object, gap: float) -> None:
    assert joint_gap(POINT, left, width=40.0, kerf=3.0, rule="tight") == pytest.approx(
        gap, abs=1e-6
    )


@given(CUTS, CUTS)
def test_pointed_gaps_are_the_best_severing_cut_found_point_by_point(
    right: list[tuple[float, float]], left: list[tuple[float, float]]
) -> None:
    one, two = pointed_end(right), pointed_end(left)
    severing = {*one.runs, *two.runs}
    by_points = min(
        reach_by_points(one, run)
        + reach_by_points(two, run)
        + kerf_along(run, width=40.0, kerf=3.0)
        for run in severing
    )
    gap = joint_gap(one, two, width=40.0, kerf=3.0, rule="tight")
    assert gap == pytest.approx(by_points, abs=0.15)
    assert gap >= by_points - 1e-9


@given(CUTS, CUTS, st.sampled_from(RULES))
def test_no_rule_lets_a_kerf_reach_into_a_neighbour(
    right: list[tuple[float, float]], left: list[tuple[float, float]], rule: str
) -> None:
    one, two = pointed_end(right), pointed_end(left)
    gap = joint_gap(one, two, width=40.0, kerf=3.0, rule=rule)
    assert _wood(one, 0.0, 1).distance(_wood(two, gap, -1)) >= 3.0 - 1e-6


@given(RUNS, RUNS)
def test_the_safe_rule_leaves_a_full_kerf_of_wood_at_every_cut(right: float, left: float) -> None:
    one, two = straight_end(right), straight_end(left)
    gap = joint_gap(one, two, width=40.0, kerf=3.0, rule="safe")
    kerfs = [
        Polygon([(at - run / 2, -20), (at + run / 2, 20), (to + run / 2, 20), (to - run / 2, -20)])
        for run, at, to in (
            (right, 0.0, kerf_along(right, width=40.0, kerf=3.0)),
            (left, gap - kerf_along(left, width=40.0, kerf=3.0), gap),
        )
    ]
    if right == left:
        assert kerfs[0].equals_exact(kerfs[1], 1e-9)  # one cut serves both
    else:
        assert kerfs[0].intersection(kerfs[1]).area < 1e-6
        assert kerfs[0].distance(kerfs[1]) < 1e-6  # and no more wood than that


def test_a_short_piece_never_goes_back_to_the_saw_loose() -> None:
    steep, square = straight_end(60.0), straight_end(0.0)
    loose = joint_gap(steep, square, width=40.0, kerf=3.0, rule="tight")
    stick = joint_gap(steep, square, width=40.0, kerf=3.0, rule="tight", may_trim_loose=False)
    assert loose == 33.0
    assert stick == joint_gap(steep, square, width=40.0, kerf=3.0, rule="stick only") > loose


def test_a_square_end_on_a_clean_stick_end_costs_nothing() -> None:
    for rule in RULES:
        assert start_cost(straight_end(0.0), width=40.0, kerf=3.0, rule=rule) == 0.0
        assert finish_cost(straight_end(0.0), width=40.0, kerf=3.0, rule=rule) == 0.0


def test_a_leaning_end_at_the_stick_s_end_costs_half_its_run_and_under_the_safe_rule_a_kerf() -> (
    None
):
    lean = straight_end(-40.0)
    assert start_cost(lean, width=40.0, kerf=3.0) == 20.0
    assert start_cost(lean, width=40.0, kerf=3.0, rule="safe") == pytest.approx(24.242641)


def test_a_tail_is_severed_with_a_kerf_and_held_at_its_short_edge() -> None:
    lean = straight_end(40.0)
    common = {"width": 40.0, "kerf": 3.0, "holding": 150.0}
    assert finish_cost(straight_end(0.0), **common) == 153.0
    assert finish_cost(lean, **common) == pytest.approx(150 + 20 + 4.242641)
    # Tight: severed square, the long loose piece then trimmed.
    assert finish_cost(lean, rule="tight", **common) == 150 + 20 + 3
    assert finish_cost(lean, rule="tight", may_trim_loose=False, **common) == pytest.approx(
        150 + 20 + 4.242641
    )


def test_cuts_alike_within_the_saw_s_setting_are_one_cut() -> None:
    near = joint_gap(straight_end(40.0), straight_end(40.02), width=40.0, kerf=3.0, rule="safe")
    assert near == pytest.approx(4.2526, abs=1e-3)


def test_an_unknown_rule_is_refused_with_the_choices() -> None:
    with pytest.raises(SawError, match='"stick only", "safe", "tight"'):
        joint_gap(POINT, POINT, width=40.0, kerf=3.0, rule="loose")


def _wood(end: object, at: float, side: int) -> Polygon:
    """Draw the wood behind an end whose mid-line crossing lies at ``at``."""
    rows = [n / 400 - 0.5 for n in range(401)]
    if side > 0:
        edge = [(at + min(o + r * t for o, r in end.facets), 40 * t) for t in rows]
        return Polygon([(at - 300.0, -20.0), *edge, (at - 300.0, 20.0)])
    edge = [(at - min(o - r * t for o, r in end.facets), 40 * t) for t in rows]
    return Polygon([(at + 300.0, -20.0), *edge, (at + 300.0, 20.0)])
