"""The plan: every stage's result in one value, whose sums agree with each other."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from tesselath.design import parse_design
from tesselath.errors import DesignError, PatternError, SawError, TesselathError
from tesselath.plan import Plan, plan_design, write_plan_json
from tesselath.shape import area
from tops import INCH, plan_of, top

FRAME = '[frame]\nwidth = "2 in"\n'
TOPS = {
    "herringbone": top(),
    "herringbone at 45": top(angle="45 deg"),
    "chevron in one face": top("chevron", strips='faces = "one"'),
    "tumbling block with a gap": top("tumbling-block", strips='gap = "1/16 in"'),
    "stepped diamonds trimmed": top(
        "stepped-diamond", head='order = "trim"', strips='overlength = "1/2 in"'
    ),
    "bond under a lap": top("running-bond", head='order = "lap"', more=FRAME),
}


@pytest.fixture(name="plan", params=TOPS, ids=list(TOPS))
def _plan(request: pytest.FixtureRequest) -> Plan:
    return plan_of(TOPS[request.param])


def _told(plan: Plan) -> Counter[tuple[Any, ...]]:
    """The parts by what a maker cuts, whatever their letters."""
    return Counter(
        {
            (p.wood, round(p.overall, 2), round(p.width, 2), round(p.edge, 2), p.handling): p.count
            for p in plan.parts
        }
    )


def test_totals_are_the_sums_of_what_is_listed(plan: Plan) -> None:
    totals = plan.totals
    assert totals["pieces"] == len(plan.pieces) == sum(p.count for p in plan.parts)
    assert totals["parts"] == len(plan.parts)
    assert totals["setups"] == len(plan.setups)
    assert totals["sticks"] == len(plan.sticks) == sum(b.sticks for b in plan.bounds)
    assert totals["glue_ups"] == len(plan.glue_ups)
    assert totals["cuts"] == sum(len(p.cuts) * p.count for p in plan.parts)
    assert totals["sticks_to_buy"] == dict(plan.sticks_to_buy)
    assert totals["wood_area"] == pytest.approx(sum(area(p.outline) for p in plan.pieces))


def test_glue_ups_hold_every_piece_once(plan: Plan) -> None:
    assert sorted(n for g in plan.glue_ups for n in g.numbers) == [p.number for p in plan.pieces]
    # 8 minutes at 30 seconds a piece: 16 pieces (the defaults).
    assert max(len(g.numbers) for g in plan.glue_ups) <= 16
    for glue_up in plan.glue_ups:
        assert all(plan.pieces[n - 1].glue_up == glue_up.number for n in glue_up.numbers)


def test_every_part_is_found_by_its_mark_and_is_cut_somewhere(plan: Plan) -> None:
    cut = Counter(mark for stick in plan.sticks for mark in stick.pieces)
    set_up = {mark for setup in plan.setups for mark in setup.parts}
    for part in plan.parts:
        assert plan.part(part.mark) is part
        if part.handling != "make up":
            assert cut[part.mark] == part.count + part.spares
            assert part.mark in set_up


def test_the_chosen_order_is_among_those_compared_with_its_own_figures(plan: Plan) -> None:
    assert [order.order for order in plan.orders] == ["let in", "trim", "lap"]
    chosen = next(o for o in plan.orders if o.order == plan.design.order)
    assert chosen.pieces == len(plan.pieces)
    assert chosen.parts == len(plan.parts)
    assert chosen.sticks == len(plan.sticks)
    assert chosen.net_length == pytest.approx(plan.totals["net_length"])


@pytest.mark.parametrize(
    ("order", "width", "depth"),
    [
        # 16 x 10 in; 1/32 in of clearance all round; 1/4 in of lap all round.
        ("let in", 15.9375, 9.9375),
        ("trim", 16.0, 10.0),
        ("lap", 16.5, 10.5),
    ],
)
def test_the_order_decides_what_the_strips_cover(order: str, width: float, depth: float) -> None:
    text = top(head=f'order = "{order}"', more=FRAME).replace('clearance = "0"', "")
    (zone,) = plan_of(text).zones
    assert np.ptp(zone.outline, axis=0) == pytest.approx((width * INCH, depth * INCH))


def test_with_no_gap_and_no_clearance_pieces_and_bare_ground_make_the_opening() -> None:
    for text in (top(angle="30 deg"), top("eight-point-star"), top("stepped-medallion")):
        plan = plan_of(text)
        wood = sum(area(p.outline) for p in plan.pieces)
        assert wood + plan.uncovered_area == pytest.approx(area(plan.opening), rel=1e-6)


def test_a_pattern_that_closes_leaves_no_bare_ground() -> None:
    for text in (top(angle="30 deg"), top("chevron", width="17 in", strips='gap = "1/16 in"')):
        plan = plan_of(text)
        assert (plan.uncovered, plan.uncovered_area) == ((), 0.0)


def test_a_column_side_on_the_edge_leaves_no_bare_ground_outside_the_field() -> None:
    # 24 in is four columns of 6: with a gap the zone is grown by half of it for the clip, and what
    # is cut there of the next columns is no part of the field.
    plan = plan_of(top("chevron", width="24 in", strips='gap = "1/16 in"'))
    assert plan.uncovered == ()
    assert "uncovered" not in [note.code for note in plan.notes]


def test_the_outlines_of_bare_ground_have_its_area() -> None:
    # A star in the middle leaves a ring bare; its outer edge alone is the whole opening.
    plan = plan_of(top("eight-point-star"))
    assert sum(area(o) for o in plan.uncovered) == pytest.approx(plan.uncovered_area, rel=1e-4)


def test_a_trim_leaves_fewer_parts_than_fitting_piece_by_piece() -> None:
    # Edge pieces keep their strip's ends and join the inner parts: the reason for the order.
    plan = plan_of(top(angle="45 deg"))
    by_order = {order.order: order for order in plan.orders}
    assert by_order["trim"].parts < by_order["let in"].parts
    assert by_order["trim"].setups < by_order["let in"].setups
    assert by_order["trim"].net_length > by_order["let in"].net_length


@pytest.mark.parametrize("turn", [90, 180])
@pytest.mark.parametrize("name", ["herringbone", "running-bond"])
def test_turning_the_whole_top_leaves_its_parts_and_counts(name: str, turn: int) -> None:
    # 400 x 250 mm turned by a quarter is 250 x 400; a half turn leaves the opening as it is.
    sizes = {True: ("400 mm", "250 mm"), False: ("250 mm", "400 mm")}[turn == 180]
    plain = plan_of(top(name, width="400 mm", depth="250 mm", angle="30 deg"))
    again = plan_of(top(name, width=sizes[0], depth=sizes[1], angle=f"{30 + turn} deg"))
    assert _told(plain) == _told(again)
    assert plain.totals["sticks"] == again.totals["sticks"]


def test_an_opening_by_its_corners_is_the_one_by_its_sides() -> None:
    corners = '[["-8 in", "-5 in"], ["8 in", "-5 in"], ["8 in", "5 in"], ["-8 in", "5 in"]]'
    by_corners = top().replace('width = "16 in"\ndepth = "10 in"', f"points = {corners}")
    assert "width" not in by_corners
    one, other = plan_of(top()), plan_of(by_corners)
    assert [p.outline.tolist() for p in one.pieces] == [p.outline.tolist() for p in other.pieces]


def test_corners_need_not_lie_about_the_middle() -> None:
    corners = '[["3 in", "4 in"], ["19 in", "4 in"], ["19 in", "14 in"], ["3 in", "14 in"]]'
    text = top().replace('width = "16 in"\ndepth = "10 in"', f"points = {corners}")
    assert plan_of(text).opening == pytest.approx(plan_of(top()).opening)


def test_planning_the_same_design_gives_the_same_bytes() -> None:
    text = top("chevron", angle="17 deg", strips='faces = "one"')
    plans = [
        plan_design(parse_design(text, file_name="test-top.toml", beside=None)) for _ in range(2)
    ]
    assert write_plan_json(plans[0]) == write_plan_json(plans[1])


def test_a_shift_is_a_shift() -> None:
    # A bond 1 1/2 x 8 in moved by its own length along the row is where it was.
    sizes = 'w = "1 1/2 in"\nL = "8 in"'
    still = plan_of(top("running-bond", sizes=sizes))
    moved = plan_of(top("running-bond", sizes=sizes, field='shift = ["8 in", "0"]'))
    other = plan_of(top("running-bond", sizes=sizes, field='shift = ["1 in", "0"]'))
    assert _told(still) == _told(moved)
    assert _told(still) != _told(other)


@pytest.mark.parametrize(
    ("text", "error", "said"),
    [
        (top(strips='kind = "solid slab"', more=FRAME), DesignError, "opens the mitres"),
        (top("eight-point-star", field='shift = ["90 in", "0"]'), DesignError, "No strip"),
        (top(more='[[stock.stick]]\nlength = "8 in"\n'), SawError, "longer stick"),
        (
            top(width="780 in", depth="780 in", sizes='w = "1/4 in"\nr = 1.2'),
            PatternError,
            "are not laid",
        ),
        (top(strips='width = "9 in"'), PatternError, "at most 6 in"),
    ],
)
def test_what_cannot_be_made_is_refused_in_a_sentence_a_fault(
    text: str, error: type[TesselathError], said: str
) -> None:
    with pytest.raises(error) as refusal:
        plan_of(text)
    assert refusal.value.faults
    for fault in refusal.value.faults:
        assert said in str(fault)
        assert "\n" not in str(fault)


def test_a_slab_may_be_framed_under_a_lap_or_go_without() -> None:
    slab = 'kind = "solid slab"'
    assert plan_of(top(strips=slab)).pieces
    assert plan_of(top(strips=slab, head='order = "lap"', more=FRAME)).pieces


def test_an_order_that_cannot_be_made_is_left_out_of_the_comparison() -> None:
    # 27 1/4 in less 1/2 of trim and 6 in the clamp holds a piece of 20 in, or 20 1/2 under a lap,
    # but not one left over-long by 1/2 in at both ends.
    text = top(
        "stack-bond",
        width="20 in",
        depth="9 in",
        sizes='w = "1 in"\nL = "30 in"',
        field='shift = ["15 in", "0"]',
        more='[[stock.stick]]\nlength = "27 1/4 in"\n',
    )
    assert [order.order for order in plan_of(text).orders] == ["let in", "lap"]


def test_a_plan_cannot_be_changed() -> None:
    plan = plan_of(top())
    with pytest.raises(AttributeError):
        plan.notes = ()  # type: ignore[misc]
    assert replace(plan, notes=()).pieces is plan.pieces


def test_the_plan_of_a_design_is_found_again_in_its_json() -> None:
    plan = plan_of(top())
    found = json.loads(write_plan_json(plan))
    assert found["totals"]["pieces"] == plan.totals["pieces"]
