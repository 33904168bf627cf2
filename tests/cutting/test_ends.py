"""Ends: profiles of straight, pointed and clipped ends."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, strategies as st
from sawdust import reach_by_points

from tesselath.cutting import EndProfile, end_of_cuts, pointed_end, straight_end
from tesselath.cutting.ends import end_corners, reach
from tesselath.errors import SawError

RUNS = st.integers(-80, 80).map(float)
CUTS = st.lists(st.tuples(st.integers(0, 30).map(float), RUNS), min_size=1, max_size=4)


@given(CUTS, RUNS)
def test_reach_is_what_a_point_by_point_search_finds(
    cuts: list[tuple[float, float]], run: float
) -> None:
    end = pointed_end(cuts)
    # Between the points of the search the end can lean out by its steepest slope and no more.
    assert reach(end, run) == pytest.approx(reach_by_points(end, run), abs=0.1)
    assert reach(end, run) >= reach_by_points(end, run) - 1e-9


@given(CUTS)
def test_the_wood_ends_at_the_innermost_cut(cuts: list[tuple[float, float]]) -> None:
    end = pointed_end(cuts)
    inmost = min(offset for offset, _ in cuts)
    for t in (-0.5, -0.31, 0.0, 0.22, 0.5):
        all_cuts = min(offset - inmost + run * t for offset, run in cuts)
        kept = min(offset + run * t for offset, run in end.facets)
        assert kept == pytest.approx(all_cuts, abs=0.0051)  # cuts that take only dust are dropped


@given(CUTS)
def test_an_end_rolled_twice_is_as_before(cuts: list[tuple[float, float]]) -> None:
    end = pointed_end(cuts)
    assert end.rolled().rolled() == end


@given(CUTS, RUNS)
def test_rolling_mirrors_the_reach(cuts: list[tuple[float, float]], run: float) -> None:
    end = pointed_end(cuts)
    assert reach(end.rolled(), -run) == pytest.approx(reach(end, run))


@given(RUNS, RUNS)
def test_a_straight_end_sticks_out_by_half_the_difference(end: float, line: float) -> None:
    assert reach(straight_end(end), line) == pytest.approx(abs(end - line) / 2)


def test_a_centred_point_takes_every_neighbour_that_leans_less() -> None:
    point = pointed_end([(0.0, -40.0), (0.0, 40.0)])
    assert [reach(point, run) for run in (-40.0, -10.0, 0.0, 40.0)] == [0.0] * 4
    assert reach(point, 60.0) == 10.0
    assert not point.is_straight
    assert point.steepest == 40.0


def test_a_cut_that_only_touches_a_corner_is_no_cut() -> None:
    assert pointed_end([(0.0, 0.0), (20.0, 40.0)]) == straight_end(0.0)


def test_corners_run_from_edge_to_edge() -> None:
    point = pointed_end([(0.0, 40.0), (0.0, -40.0)])
    assert end_corners(point) == [(-0.5, -20.0), (0.0, 0.0), (0.5, -20.0)]


def test_the_stop_end_of_a_clipped_part_is_read_from_its_cuts() -> None:
    # A square stop end at 0 with its fence corner cut at 45 degrees through (0, 5), width 40:
    # the corner cut is x = -5 + y, wood where x is larger than both.
    end, at = end_of_cuts([(0.0, 0.0), (45.0, -5.0)], side="left", width=40.0)
    assert at == 0.0
    assert end == EndProfile(((5.0, 40.0), (0.0, 0.0)))


def test_an_end_without_a_cut_is_refused() -> None:
    with pytest.raises(SawError, match="needs at least one cut"):
        pointed_end([])


def test_zero_is_never_minus_zero() -> None:
    assert math.copysign(1.0, straight_end(-0.0).runs[0]) == 1.0
    assert math.copysign(1.0, straight_end(0.0).rolled().runs[0]) == 1.0
