"""Saw set-ups: what changes between two settings, in an order with few changes."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, strategies as st

from tesselath.parts import Part
from tesselath.saw import count_settings, plan_mark_outs, plan_setups
from tops import rectangle, some_parts, some_stick

SLASH = [(0.0, 0.0), (100.0, 0.0), (120.0, 20.0), (20.0, 20.0)]
TRAPEZOID = [(0.0, 0.0), (100.0, 0.0), (80.0, 20.0), (20.0, 20.0)]
HALF_MITRE = [(0.0, 0.0), (110.0, 0.0), (90.0, 20.0), (0.0, 20.0)]
STEEP = [(0.0, 0.0), (100.0, 0.0), (160.0, 20.0), (60.0, 20.0)]
PICKET = [(0.0, 0.0), (8.0, -10.0), (108.0, -10.0), (116.0, 0.0), (108.0, 10.0), (8.0, 10.0)]
NOTCHED = [(0.0, 0.0), (90.0, 0.0), (90.0, 20.0), (40.0, 20.0), (40.0, 12.0), (0.0, 12.0)]


@st.composite
def _many_parts(draw: st.DrawFn) -> tuple[Part, ...]:
    kinds = []
    for _ in range(draw(st.integers(1, 7))):
        length = float(draw(st.integers(60, 300)))
        left, right = (float(draw(st.sampled_from([-20, -10, 0, 10, 20]))) for _ in range(2))
        corners = [(0.0, 0.0), (length, 0.0), (length + right, 20.0), (left, 20.0)]
        kinds.append((draw(st.integers(1, 3)), corners))
    return some_parts(*kinds, faces=draw(st.sampled_from(["both", "one"])))


@given(_many_parts())
def test_every_part_at_the_saw_has_one_setting(parts: tuple[Part, ...]) -> None:
    setups = plan_setups(parts, [])
    assert sorted(mark for s in setups for mark in s.parts) == sorted(p.mark for p in parts)
    by_mark = {part.mark: part for part in parts}
    for setup in setups:
        assert setup.count == sum(by_mark[m].count + by_mark[m].spares for m in setup.parts)
        for mark in setup.parts:
            part = by_mark[mark]
            assert setup.stop == pytest.approx(part.on_fence, abs=0.01)
            blade, stop = (1, 0) if part.stop_side == "left" else (0, 1)
            assert setup.mitre == pytest.approx(abs(part.mitres[blade]), abs=0.01)
            assert setup.end_mitre == pytest.approx(abs(part.mitres[stop]), abs=0.01)
            assert (setup.swing, setup.handling) == (part.swings[blade], part.handling)
            assert setup.mitre >= 0


@given(_many_parts())
def test_angles_change_seldom_and_stops_from_long_to_short(parts: tuple[Part, ...]) -> None:
    setups = [s for s in plan_setups(parts, []) if s.handling != "mark and hand saw"]
    angles = [(round(s.mitre, 2), s.swing, round(s.end_mitre, 2), s.end_swing) for s in setups]
    assert sum(a != b for a, b in pairwise(angles)) == max(0, len(set(angles)) - 1)
    for one, other in pairwise(setups):
        same = (one.mitre, one.swing, one.end_mitre, one.end_swing, one.stop_side) == (
            other.mitre,
            other.swing,
            other.end_mitre,
            other.end_swing,
            other.stop_side,
        )
        if same:
            assert one.stop >= other.stop - 0.01
    mitres = [round(s.mitre, 2) for s in setups]
    assert mitres == sorted(mitres)


def test_one_angle_and_one_stop_may_be_two_set_ups() -> None:
    # A parallelogram and a trapezoid of one angle, both 100 on the fence, swing opposite ways.
    setups = plan_setups(some_parts((1, SLASH), (1, TRAPEZOID)), [])
    assert {(s.mitre, s.swing, round(s.stop), s.handling) for s in setups} == {
        (45.0, "R", 100, "slide"),
        (45.0, "L", 100, "roll"),
    }


def test_parts_of_one_setting_share_it() -> None:
    # A rectangle of another wood is another part and the same setting.
    (oak,) = some_parts((3, rectangle(90, 20)))
    (ash,) = some_parts((2, rectangle(90, 20)), wood="ash")
    (setup,) = plan_setups((oak, replace(ash, mark="B")), [])
    assert setup.parts == ("A", "B")
    assert setup.count == 5


def test_a_set_up_names_the_sticks_it_needs() -> None:
    parts = some_parts((3, rectangle(90, 20)), (2, SLASH))
    sticks = [some_stick("1", "A", "A"), some_stick("2", "B"), some_stick("3", "A", "B")]
    by_mitre = {s.mitre: s.sticks for s in plan_setups(parts, sticks)}
    assert by_mitre == {0.0: ("1", "3"), 45.0: ("2", "3")}


def test_what_is_sawn_by_hand_is_cut_square_to_length_and_comes_last() -> None:
    setups = plan_setups(some_parts((1, PICKET), (1, STEEP), (1, rectangle(90, 20))), [])
    assert [s.handling for s in setups] == ["slide", "mark and hand saw", "mark and hand saw"]
    for setup, length in zip(setups[1:], (160.0, 116.0), strict=True):
        assert (setup.mitre, setup.swing, setup.end_swing) == (0.0, "square", "square")
        assert setup.stop == pytest.approx(length)


def test_made_up_parts_have_no_set_up() -> None:
    assert plan_setups(some_parts((1, rectangle(90, 60)), strip=None), []) == ()


def test_the_end_at_the_stop_is_told_besides_the_cut() -> None:
    (setup,) = plan_setups(some_parts((1, HALF_MITRE)), [])
    assert (setup.end_mitre, setup.end_swing) == (0.0, "square")
    assert setup.mitre == pytest.approx(45.0)
    assert setup.swing == "L"
    assert setup.stop == pytest.approx(110.0)


@pytest.mark.parametrize("angle", [52.0, 60.0, 71.565])
def test_a_mark_out_has_the_run_over_the_width(angle: float) -> None:
    # Identity: run = width x tan of the mitre.
    run = 20.0 * math.tan(math.radians(angle))
    steep = [(0.0, 0.0), (100.0, 0.0), (100.0 + run, 20.0), (run, 20.0)]
    marks = plan_mark_outs(some_parts((1, steep)))
    assert len(marks) == 2
    for mark in marks:
        assert mark.steep
        assert mark.op == "end"
        assert mark.run == pytest.approx(run, abs=1e-4)
        assert mark.over == pytest.approx(20.0)


def test_a_picket_is_marked_out_at_both_points_and_is_not_steep() -> None:
    marks = plan_mark_outs(some_parts((1, PICKET)))
    assert sorted((m.side, m.op) for m in marks) == [
        ("left", "corner"),
        ("left", "end"),
        ("right", "corner"),
        ("right", "end"),
    ]
    assert not any(m.steep for m in marks)


def test_a_notch_is_marked_out_without_a_run_and_square_ends_are_not_marked() -> None:
    marks = plan_mark_outs(some_parts((1, NOTCHED)))
    notches = [m for m in marks if m.op == "notch"]
    assert [(m.run, m.mitre) for m in notches] == [(None, None)]
    assert all(m.mitre is None or abs(m.mitre) > 0.005 for m in marks)


def test_what_the_saw_cuts_is_not_marked_out() -> None:
    parts = some_parts((1, SLASH), (1, TRAPEZOID), (1, rectangle(90, 20)))
    assert plan_mark_outs(parts) == ()


def test_part_by_part_sets_the_stop_once_a_part_and_stick_by_stick_once_a_stick_and_part() -> None:
    # By hand: two angles (0 and 45); three parts; sticks hold 2, 2, 3 and 1 of them; the first
    # two are alike.
    parts = some_parts((9, rectangle(90, 20)), (9, SLASH), (5, TRAPEZOID))
    a, b, c = (part.mark for part in parts)
    sticks = [
        some_stick("1", a, a, b),
        some_stick("2", a, a, b),
        some_stick("3", a, b, c),
        some_stick("4", c),
    ]
    counts = count_settings(plan_setups(parts, sticks), sticks)
    assert (counts.angles, counts.stops) == (2, 3)
    assert counts.handlings == 2 + 2 + 3 + 1
    assert counts.stops_by_like_sticks == 2 + 3 + 1


@given(_many_parts(), st.lists(st.lists(st.integers(0, 6), min_size=1, max_size=9), max_size=6))
def test_keeping_the_sticks_open_never_takes_more_stop_settings(
    parts: tuple[Part, ...], fillings: list[list[int]]
) -> None:
    marks = [part.mark for part in parts]
    sticks = [
        some_stick(str(n), *(marks[i % len(marks)] for i in filling))
        for n, filling in enumerate([list(range(len(marks))), *fillings], 1)
    ]
    setups = plan_setups(parts, sticks)
    counts = count_settings(setups, sticks)
    assert counts.angles <= 2 * counts.stops
    assert counts.stops == len(setups) <= counts.stops_by_like_sticks <= counts.handlings
