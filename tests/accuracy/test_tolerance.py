"""What the errors of the cuts come to over a top, by sums worked out apart."""

from __future__ import annotations

from collections import Counter

import pytest

from tesselath.measure import rounding_error
from tops import INCH, plan_of, top

FINE = '[saw]\nlength_error = 0\nwidth_error = "1/128 in"\nangle_error = "0 deg"\n'


def test_a_chequer_of_strips_is_off_by_its_strips() -> None:
    # 12 strips 1 in wide lie one behind the other: 12/128 in at the worst, the root as a rule.
    plan = plan_of(top("running-bond", width="20 in", depth="12 in", more=FINE, sizes='w = "1 in"'))
    away = next(line for line in plan.tolerance.lines if line.name == "front to back")
    assert len(away.numbers) in (12, 13)
    assert away.worst == pytest.approx(12 / 128 * INCH, rel=0.09)
    assert away.likely == pytest.approx(len(away.numbers) ** 0.5 / 128 * INCH, rel=0.05)


def test_an_octagon_off_by_a_quarter_degree_opens_by_four_degrees() -> None:
    # 16 cuts of 0.25 degrees (identity: 2 n e).
    more = '[saw]\nangle_error = "0.25 deg"\n'
    plan = plan_of(top("octagon-frames", sizes='w = "3/4 in"\nn = 3', more=more))
    ring = plan.tolerance.closings[-1]
    assert ring.pieces == 8
    assert ring.cuts == 16
    assert ring.angle_worst == pytest.approx(4.0)
    assert ring.angle_likely == pytest.approx(1.0)


def test_a_mitred_border_tells_how_exact_each_cut_must_be() -> None:
    border = '[[border]]\nwidth = "2 in"\ncorner = "mitre"\nwood = "walnut"\n'
    plan = plan_of(top("running-bond", more=border))
    (ring,) = plan.tolerance.closings
    assert (ring.pieces, ring.cuts) == (4, 8)
    # By hand: a joint of 2.828 in opens by 1/32 in at 0.633 degrees; an eighth for each cut.
    assert ring.each_cut == pytest.approx(0.633 / 8, abs=0.0002)
    assert ring.gap_likely < ring.gap_worst


def test_a_butted_border_has_no_mitres_to_open() -> None:
    border = '[[border]]\nwidth = "2 in"\ncorner = "pinwheel"\nwood = "walnut"\n'
    (ring,) = plan_of(top("running-bond", more=border)).tolerance.closings
    assert (ring.cuts, ring.angle_worst, ring.each_cut) == (0, 0.0, None)


def test_every_line_is_likely_within_its_worst_and_its_setting() -> None:
    plan = plan_of(top("herringbone", angle="45 deg"))
    names = [line.name for line in plan.tolerance.lines]
    assert names == ["left to right", "front to back"]
    for line in plan.tolerance.lines:
        assert 0 < line.likely <= line.by_setting <= line.worst


def test_rows_that_run_askew_have_a_line_of_their_own() -> None:
    plan = plan_of(top("running-bond", angle="30 deg"))
    assert [line.name for line in plan.tolerance.lines][-1] == "along the rows"


def test_rounding_adds_up_along_the_worst_row_and_edges_are_printed_long() -> None:
    # 8.7 in prints 1/80 in short (8 11/16 in); 7 or 8 such strips lie in a row of 69.6 in.
    plan = plan_of(
        top("running-bond", width="69.6 in", depth="8 in", sizes='w = "1 in"\nL = "8.7 in"')
    )
    rounding = plan.tolerance.rounding
    assert rounding.largest == pytest.approx(INCH / 80, abs=1e-6)
    assert rounding.name == "left to right"
    whole = Counter(p.mark for p in plan.parts if not p.fitted for _ in p.numbers)
    assert rounding.mark in whole
    assert 7 * INCH / 80 - 1e-6 <= rounding.row <= 8 * INCH / 80 + 1e-6
    longer = [
        rounding_error(p.on_fence, tape=INCH / 32, units="in", up=True)
        for p in plan.parts
        if p.fitted
    ]
    assert all(0 <= error < INCH / 32 for error in longer)
    assert plan.totals["edge_rounding"] == pytest.approx(max(longer))
    assert plan.totals["row_rounding"] == rounding.row
