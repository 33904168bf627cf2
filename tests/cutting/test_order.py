"""Order: the best sequence on one stick."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st
from one_stick import closed_form, stick_sum
from sawdust import least_sum, mitred

from tesselath.cutting import RULES, Sawing
from tesselath.cutting.joints import find_chain, lay_joints
from tesselath.cutting.order import Orders, joint_cost, lay_in_order

RUNS = st.sampled_from([-40.0, -16.5, 0.0, 16.5, 40.0])
SIZES = st.lists(st.tuples(st.integers(60, 200), RUNS, RUNS), min_size=1, max_size=4)


@given(SIZES, st.sampled_from(RULES), st.booleans(), st.booleans())
def test_few_pieces_are_laid_in_the_best_of_all_sequences(
    sizes: list[tuple[int, float, float]], rule: str, turn: bool, roll: bool
) -> None:
    sawing = Sawing(40.0, 3.0, rule, shortest_loose=100.0)
    pieces = [mitred(f"P{n}", *size, turn=turn, roll=roll) for n, size in enumerate(sizes)]
    orders = Orders(lay_joints(pieces, sawing))
    counts = [1] * len(pieces)
    least = orders.least(counts) + sum(piece.length for piece in pieces)
    assert orders.is_searched(counts)
    assert least == pytest.approx(least_sum(pieces, sawing))
    laid = [(pieces[n], lie.turned, lie.rolled) for n, lie in orders.sequence(counts)]
    assert stick_sum(laid, sawing=sawing) == pytest.approx(least)


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("many", [(31, 24, 17, 12), (500, 1, 0, 2), (9, 9, 9, 9)])
def test_many_pieces_come_close_to_the_closed_form(rule: str, many: tuple[int, ...]) -> None:
    sawing = Sawing(40.0, 3.0, rule)
    shapes = [(40.0, -40.0), (40.0, 40.0), (0.0, 16.5), (16.5, -40.0)]
    pieces = [
        mitred(f"P{n}", 160.0, *shape, count)
        for n, (shape, count) in enumerate(zip(shapes, many, strict=True))
    ]
    joints = lay_joints(pieces, sawing)
    orders = Orders(joints)
    assert not orders.is_searched(many)
    laid = orders.sequence(many)
    assert [sum(n == piece for n, _ in laid) for piece in range(4)] == list(many)
    taken = joint_cost(joints, laid) + 160.0 * sum(many)
    assert taken == pytest.approx(orders.least(many) + 160.0 * sum(many))
    least = closed_form(pieces, sawing=sawing)
    # A handful of joints cannot match; each costs a kerf or two and a little of the lean.
    assert least - 1e-6 <= taken <= least + 60.0


def test_pieces_of_many_shapes_are_laid_best_match_first() -> None:
    sawing = Sawing(40.0, 3.0)
    runs = [-40.0, -30.0, -20.0, -10.0, 0.0, 10.0, 20.0, 30.0, 40.0]
    pieces = [
        mitred(f"P{a:g},{b:g}", 100.0, a, b) for a in runs for b in runs if a <= b and (a + b) % 20
    ]
    orders = Orders(lay_joints(pieces, sawing))
    counts = [1] * len(pieces)
    laid = [(pieces[n], lie.turned, lie.rolled) for n, lie in orders.sequence(counts)]
    taken = stick_sum(laid, sawing=sawing)
    least = closed_form(pieces, sawing=sawing)
    # Laid at random these 20 pieces waste about 20 x 16 mm; best match first far less.
    assert least - 1e-6 <= taken <= least + 120.0


@given(SIZES)
def test_a_given_order_is_kept_and_laid_as_well_as_it_goes(
    sizes: list[tuple[int, float, float]],
) -> None:
    sawing = Sawing(40.0, 3.0)
    pieces = [mitred(f"P{n}", *size, roll=True) for n, size in enumerate(sizes)]
    joints = lay_joints(pieces, sawing)
    laid = lay_in_order(joints, range(len(pieces)))
    assert [piece for piece, _ in laid] == list(range(len(pieces)))
    one_by_one = Orders(joints).least([1] * len(pieces))
    assert joint_cost(joints, laid) >= one_by_one - 1e-9


def test_rings_and_frames_are_plain_cutting_stock() -> None:
    sawing = Sawing(40.0, 3.0)
    frames = [mitred("A", 360.0, 40.0, -40.0), mitred("B", 260.0, -40.0, 40.0)]
    parallel = mitred("C", 100.0, 40.0, 40.0)
    assert find_chain(lay_joints(frames, sawing)) is not None
    assert find_chain(lay_joints([*frames, parallel], sawing)) is not None
    assert find_chain(lay_joints([mitred("D", 90.0, 0.0, 0.0)], sawing)) is not None


def test_mixed_angles_hands_and_fixed_trapezoids_are_not() -> None:
    sawing = Sawing(40.0, 3.0)
    twins = [mitred("A", 100.0, 40.0, 40.0), mitred("B", 100.0, -40.0, -40.0)]
    assert find_chain(lay_joints(twins, sawing)) is None
    rolled = [mitred("A", 100.0, 40.0, 40.0, roll=True), mitred("B", 100.0, -40.0, -40.0)]
    assert find_chain(lay_joints(rolled, sawing)) is not None
    fixed = [
        mitred("A", 260.0, 40.0, -40.0, turn=False),
        mitred("B", 200.0, -40.0, 40.0, turn=False),
    ]
    assert find_chain(lay_joints(fixed, sawing)) is None
    assert find_chain(lay_joints(fixed[:1], sawing)) is not None  # all joints of one piece alike
    mixed = [mitred("A", 100.0, 40.0, -40.0), mitred("B", 100.0, 0.0, 40.0)]
    assert find_chain(lay_joints(mixed, sawing)) is None
