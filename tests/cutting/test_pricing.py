"""Pricing: knapsack, walk and parity against trying everything."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

import numpy as np
import pytest
from hypothesis import assume, given, strategies as st
from one_stick import stick_sum
from sawdust import least_sum, mitred

from tesselath.cutting import RULES, CutPiece, Sawing, StickKind
from tesselath.cutting.budget import BILLION, Budget
from tesselath.cutting.job import Job, lay_job
from tesselath.cutting.joints import lay_joints
from tesselath.cutting.knapsack import best_fillings, best_values
from tesselath.cutting.parity import lay_parity_grid, parity_fillings, parity_values
from tesselath.cutting.walk import best_walks, lay_walk_grid

RUNS = st.sampled_from([-40.0, -16.5, 0.0, 16.5, 40.0])
SIZES = st.lists(
    st.tuples(st.integers(60, 200), RUNS, RUNS, st.integers(1, 2), st.integers(0, 9)),
    min_size=1,
    max_size=3,
)
SAWINGS = st.builds(
    Sawing,
    st.just(40.0),
    st.just(3.0),
    st.sampled_from(RULES),
    st.sampled_from([0.0, 12.0]),
    st.sampled_from([0.0, 60.0]),
    st.sampled_from([0.0, 100.0]),
)


@given(
    st.lists(st.tuples(st.integers(0, 20), st.integers(1, 9), st.integers(0, 3)), max_size=4),
    st.lists(st.integers(0, 25), min_size=1, max_size=3),
)
def test_the_knapsack_finds_the_best_of_all_fillings(
    items: list[tuple[int, int, int]], rooms: list[int]
) -> None:
    prices, weights, limits = (np.array(column, np.int64) for column in _columns(items))
    found = best_fillings(prices, weights=weights, limits=limits, rooms=rooms)
    values = best_values(prices, weights=weights, limits=limits, rooms=rooms)
    for room, (value, counts), alone in zip(rooms, found, values, strict=True):
        best = max(
            sum(n * item[0] for n, item in zip(take, items, strict=True))
            for take in product(*(range(item[2] + 1) for item in items))
            if sum(n * item[1] for n, item in zip(take, items, strict=True)) <= room
        )
        assert value == alone == best == int(prices @ counts)
        assert int(weights @ counts) <= room
        assert (counts <= limits).all()


@given(SIZES, SAWINGS, st.integers(250, 420))
def test_no_stick_is_worth_more_than_any_ceiling_and_walks_can_be_sawn(
    sizes: list[tuple[int, float, float, int, int]], sawing: Sawing, length: int
) -> None:
    pieces = [mitred(f"P{n}", *size[:3], size[3]) for n, size in enumerate(sizes)]
    prices = np.array([size[4] for size in sizes], np.int64)
    limits = np.array([size[3] for size in sizes], np.int64)
    joints = lay_joints(pieces, sawing)
    best = _best_by_trial(pieces, prices, length, sawing)

    light = lay_walk_grid(joints, [float(length)], 0.7, fits=False)
    assert best_walks(prices, grid=light, joints=joints)[0][0] >= best
    parity = lay_parity_grid(joints, [float(length)], 0.7)
    assert parity is not None
    assert parity_values(prices, limits, parity)[0] >= best

    heavy = lay_walk_grid(joints, [float(length)], 0.7, fits=True)
    value, laid = best_walks(prices, grid=heavy, joints=joints)[0]
    assert value == sum(int(prices[piece]) for piece, _ in laid)
    sequence = [(pieces[piece], lie.turned, lie.rolled) for piece, lie in laid]
    assert stick_sum(sequence, sawing=sawing) <= length + 0.005


@given(SIZES, SAWINGS, st.integers(250, 420))
def test_fillings_by_parity_fit_and_most_often_are_the_best(
    sizes: list[tuple[int, float, float, int, int]], sawing: Sawing, length: int
) -> None:
    pieces = [mitred(f"P{n}", *size[:3], size[3]) for n, size in enumerate(sizes)]
    prices = np.array([size[4] for size in sizes], np.int64)
    limits = np.array([size[3] for size in sizes], np.int64)
    job = _job(pieces, length, sawing)
    parity = lay_parity_grid(job.joints, [float(length)], 0.05)
    assert parity is not None
    found = parity_fillings(
        prices, limits, parity, spare=[lambda counts: job.spare(counts, 0)], tries=20
    )[0]
    assume(not found or int(found[1].sum()) <= _TRIED)
    best = _best_by_trial(pieces, prices, length, sawing)
    assert (found[0] if found else 0) <= best
    if found:
        single = [p for p, n in zip(pieces, found[1], strict=True) for _ in range(int(n))]
        assert least_sum(single, sawing) <= length + 0.005
        assert found[0] == int(prices @ found[1])


def test_an_odd_number_of_trapezoids_costs_the_run_once_more() -> None:
    # Closed form: with one trapezoid of 45 degrees both half runs at the stick's ends remain.
    sawing = Sawing(40.0, 3.0)
    piece = mitred("A", 100.0, 40.0, -40.0, 5)
    grid = lay_parity_grid(lay_joints([piece], sawing), [600.0], 0.01)
    assert grid is not None
    one, five = np.array([1], np.int64), np.array([5], np.int64)
    assert parity_values(one, five, grid) == [5]  # 20 + 500 + 4 x 4.242641 + 20 = 556.970563
    tight = lay_parity_grid(lay_joints([piece], sawing), [556.90], 0.01)
    assert tight is not None
    assert parity_values(one, five, tight) == [4]


def test_parity_is_not_asked_where_pieces_may_not_be_turned() -> None:
    piece = mitred("A", 100.0, 40.0, -40.0, 5, turn=False)
    assert lay_parity_grid(lay_joints([piece], Sawing(40.0, 3.0)), [600.0], 0.1) is None


@pytest.mark.parametrize("rule", RULES)
def test_pricing_a_stick_gives_columns_that_fit_and_respects_limits(rule: str) -> None:
    pieces = [
        mitred("A", 85.0, 40.0, -40.0, 3),
        mitred("B", 85.0, 40.0, 40.0, 2),
        mitred("C", 125.0, 0.0, 40.0, 2),
    ]
    sawing = Sawing(40.0, 3.0, rule)
    job = _job(pieces, 500, sawing)
    prices = np.array([300, 310, 420], np.int64)
    value, column = job.best(prices, job.demand, [0.0])[0]
    assert column is not None
    assert value == int(prices @ np.array(column.counts))
    assert all(n <= piece.demand for n, piece in zip(column.counts, pieces, strict=True))
    assert value == _best_by_trial(pieces, prices, 500, sawing)


def _columns(items: Sequence[tuple[int, int, int]]) -> list[list[int]]:
    return [[item[n] for item in items] for n in range(3)]


def _job(pieces: Sequence[CutPiece], length: float, sawing: Sawing) -> Job:
    return lay_job(
        pieces, kinds=[StickKind(float(length))], costs=[1], sawing=sawing, budget=Budget(BILLION)
    )


#: Fillings of more pieces are not tried one by one.
_TRIED = 5


def _best_by_trial(
    pieces: Sequence[CutPiece], prices: Sequence[int], length: float, sawing: Sawing
) -> int:
    best = 0
    for take in product(*(range(piece.demand + 1) for piece in pieces)):
        value = sum(n * int(price) for n, price in zip(take, prices, strict=True))
        if value <= best:
            continue
        single = [p for p, n in zip(pieces, take, strict=True) for _ in range(n)]
        if len(single) <= _TRIED and least_sum(single, sawing) <= length:
            best = value
    return best
