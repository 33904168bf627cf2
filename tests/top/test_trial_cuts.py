"""The test cuts say what a tape must read, by sums a maker does in the head."""

from __future__ import annotations

from math import sqrt

import pytest

from tesselath.plan import Plan
from tesselath.top import TrialCut, say_trial_cut
from tops import INCH, plan_of, top


def _plan(**more: str) -> Plan:
    return plan_of(top("herringbone", angle="45 deg", sizes='w = "1 1/2 in"\nr = 4', **more))


def _of(plan: Plan, kind: str) -> list[TrialCut]:
    return [trial for trial in plan.trial_cuts if trial.kind == kind]


def test_ten_strips_of_an_inch_and_a_half_measure_15_in() -> None:
    plan = _plan()
    (trial,) = [t for t in _of(plan, "width") if t.count == 10]
    assert trial.planned == pytest.approx(15 * INCH)
    assert trial.within == pytest.approx(sqrt(10) * plan.design.saw.width_error)
    assert "side by side measure 15 in, within 1/32 in." in say_trial_cut(trial, plan.design)


def test_two_45s_make_a_square() -> None:
    plan = _plan()
    (trial,) = [t for t in _of(plan, "angle") if t.planned == pytest.approx(90)]
    assert trial.within == pytest.approx(2 * plan.design.saw.angle_error)
    assert "Two cuts at 45°" in say_trial_cut(trial, plan.design)
    assert "make a square, within 0.2°." in say_trial_cut(trial, plan.design)


def test_four_pieces_end_to_end_measure_four_stops() -> None:
    plan = _plan()
    trial = _of(plan, "length")[0]
    # r = 4: strips of 6 in, four of them 24 in.
    assert trial.planned == pytest.approx(24 * INCH)
    assert plan.part(trial.parts[0]).edge == pytest.approx(6 * INCH)


def test_trapezoids_are_laid_turn_about() -> None:
    plan = plan_of(top("chevron", sizes='w = "1 in"\nc = "3 in"', width="24 in", depth="14 in"))
    for trial in _of(plan, "length"):
        part = plan.part(trial.parts[0])
        each = part.edge if part.long_point is None else (part.long_point + part.short_point) / 2
        assert trial.planned == pytest.approx(4 * each)


def test_the_first_pieces_are_laid_dry_and_measured_both_ways() -> None:
    plan = _plan()
    across, away = _of(plan, "cell")
    assert across.numbers == away.numbers == plan.glue_ups[0].numbers[:4]
    corners = [xy for n in across.numbers for xy in plan.pieces[n - 1].outline.tolist()]
    for trial, k in ((across, 0), (away, 1)):
        values = [xy[k] for xy in corners]
        assert trial.planned == pytest.approx(max(values) - min(values))
        assert trial.within > 0
    assert "left to right over all" in say_trial_cut(across, plan.design)


def test_no_length_is_tried_that_is_longer_than_the_stop_reaches() -> None:
    plan = _plan(more='[saw]\nstop_reach = "20 in"\n')
    assert all(t.planned <= 20 * INCH for t in _of(plan, "length"))


def test_a_metric_design_reads_millimetres() -> None:
    plan = plan_of(
        top(
            "running-bond",
            width="600 mm",
            depth="400 mm",
            head='units = "mm"',
            sizes='w = "40 mm"\nL = "160 mm"',
        )
    )
    said = [say_trial_cut(trial, plan.design) for trial in plan.trial_cuts]
    assert any("side by side measure 400 mm" in words for words in said)
    assert not any(" in," in words for words in said)
