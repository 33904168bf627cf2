"""Events: at the values they give, corners do lie on the edges."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, strategies as st

from tesselath.design import Design, parse_design
from tesselath.fit import Change
from tesselath.fit.fit_change import change_design
from tesselath.fit.fit_closed import propose_closed
from tesselath.fit.fit_events import Across, allowed_turns, look_across, places_across, solve_events
from tesselath.fit.fit_ground import Looker, cells_of, ground_of
from tesselath.fit.fit_place import place_pattern
from tesselath.fit.fit_propose import propose
from tesselath.fit.fit_score import score_design
from tops import INCH, top


def design_of(pattern: str, sizes: str = "", **more: str) -> Design:
    text = top(pattern, sizes=sizes, strips='width = "1 in"', **more)
    return parse_design(text, file_name="top.toml", beside=None)


@given(
    st.lists(st.floats(0, 50), min_size=1, max_size=5),
    st.floats(8, 40),
    st.floats(60, 300),
    st.floats(0.5, 2),
)
def test_both_edges_run_through_corners_at_an_event(
    corners: list[float], period: float, extent: float, least: float
) -> None:
    def across_at(share: float) -> Across:
        return Across(share * np.array(corners), share * period, -extent / 2, extent / 2)

    for share in solve_events(across_at, now=1.0, least=min(least, 0.9), most=1.2):
        here = across_at(share)
        apart = here.corners[:, None] - here.corners[None, :]
        rest = np.mod(extent - apart, here.period)
        assert np.minimum(rest, here.period - rest).min() < 0.01


def test_a_step_that_divides_the_extent_is_found() -> None:
    # Strips of 25 mm in 610 mm: 24 of them are 25.4167 mm, 25 are 24.4 mm.
    found = solve_events(
        lambda w: Across(np.array([0.0]), w, -305.0, 305.0), now=25.0, least=24.0, most=26.0
    )
    assert [round(value, 4) for value in found] == [25.4167, 24.4]


@given(st.floats(-60, 60), st.floats(5, 40), st.floats(80, 200))
def test_places_put_a_corner_on_each_edge(corner: float, period: float, extent: float) -> None:
    across = Across(np.array([corner]), period, -extent / 2, extent / 2)
    places = places_across(across, ())
    for edge in (across.low, across.high):
        rest = [np.mod(edge - corner - place, period) for place in places]
        assert min(min(r, period - r) for r in rest) < 0.011


@pytest.mark.parametrize(
    ("pattern", "sizes", "angle"),
    [
        ("herringbone", "r = 4", "45 deg"),
        ("herringbone", "r = 3", "0 deg"),
        ("chevron", 'c = "3 in"', "0 deg"),
        ("running-bond", 'L = "4 in"', "0 deg"),
        ("tumbling-block", "", "0 deg"),
        ("basket-weave", "n = 3", "45 deg"),
    ],
)
@pytest.mark.parametrize("gap", ["0", "1/16 in"])
def test_a_quick_look_agrees_with_the_clip(pattern: str, sizes: str, angle: str, gap: str) -> None:
    text = top(
        pattern,
        sizes=sizes,
        angle=angle,
        width="13 3/8 in",
        depth="8 5/8 in",
        strips=f'width = "1 in"\ngap = "{gap}"',
    )
    design = parse_design(text, file_name="top.toml", beside=None)
    cells, ground = cells_of(design), ground_of(design)
    assert cells is not None
    assert ground is not None
    for shift in ((0.0, 0.0), (5.3, -8.1)):
        look = Looker(cells, ground, gap=design.strips.gap).look(shift)
        score = score_design(change_design(design, [Change("field.shift", shift, "shift")]))
        assert look.thin == pytest.approx(score.thin, abs=0.01)
        assert min(look.short, 1.0) == pytest.approx(min(score.short, 1.0), abs=0.01)
        assert look.cut == score.cut


def test_a_shift_is_never_worse_than_where_the_pattern_lay() -> None:
    design = design_of("herringbone", "r = 4", angle="45 deg", width="13 3/8 in")
    moved = change_design(design, [Change("field.shift", (3.1, 7.7), "shift")])
    shift, _ = place_pattern(moved)[0]
    assert shift is not None
    better = change_design(design, [Change("field.shift", shift, "shift")])
    assert score_design(better).thin >= score_design(moved).thin


def test_a_pattern_at_an_odd_turn_is_offered_a_turn_that_repeats() -> None:
    # Tumbling blocks repeat along the edge at every 30 degrees.
    cells = cells_of(design_of("tumbling-block", angle="17 deg"))
    assert cells is not None
    assert None in (cells.period(0), cells.period(1))
    turns = allowed_turns(cells, 17.0, most=15.0)
    assert [round(turn, 3) for turn in turns] == [30.0, 0.0][: len(turns)] or 30.0 in turns


@given(st.integers(120, 260), st.integers(100, 200))
def test_closed_forms_are_among_the_events(width: int, depth: int) -> None:
    # Two derivations of one thing: the closed form of herringbone, and the search by events.
    design = design_of(
        "herringbone", "r = 4", angle="45 deg", width=f"{width / 16} in", depth=f"{depth / 16} in"
    )
    cells, ground = cells_of(design), ground_of(design)
    assert cells is not None
    assert ground is not None
    here = look_across(cells, ground, 1)
    assert here is not None

    def across_at(w: float) -> Across | None:
        changed = change_design(design, [Change("strips.width", w)])
        cells, ground = cells_of(changed), ground_of(changed)
        return None if cells is None or ground is None else look_across(cells, ground, 1)

    events = solve_events(across_at, now=INCH, least=0.85 * INCH, most=1.15 * INCH)
    closed = [
        p.changes[0].number
        for p in propose_closed(design, keep="opening")
        if p.axis == 1 and p.promise == "front and back run through corners"
    ]
    assume(closed)
    for value in closed:
        rows = depth / 16 * INCH * 2**0.5 / value
        if abs(rows - round(rows)) < 1e-4:  # not one of those on the tape's marks
            assert min(abs(value - event) for event in events) < 1e-3


def test_proposals_come_once_each() -> None:
    design = design_of("chevron", 'c = "3 in"', width="13 in", depth="9 in")
    found = [tuple((c.key, c.value) for c in p.changes) for p in propose(design, keep="opening")]
    assert found[0] == ()
    assert len(found) == len(set(found))
