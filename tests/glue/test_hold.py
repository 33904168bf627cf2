"""How pieces are held: pins where they hold and split nothing."""

from __future__ import annotations

import pytest
import shapely

from tesselath.glue import hold_of
from tesselath.plan import Plan
from tops import INCH, plan_of, top


def _plan(hold: str, **more: str) -> Plan:
    base = '[base]\nthickness = "3/4 in"\n'
    glue = f'{base}[glue]\nhold = "{hold}"\n'
    return plan_of(top("herringbone", angle="45 deg", more=glue, **more))


@pytest.mark.parametrize("hold", ["weights", "pins", "brads", "tape", "vacuum"])
def test_each_way_of_holding_has_its_minutes_and_words(hold: str) -> None:
    plan = _plan(hold)
    held = hold_of(plan.design)
    assert held.by == hold
    assert held.words
    assert {g.hold_minutes for g in plan.glue_ups} == {held.minutes}
    assert bool(any(g.pins for g in plan.glue_ups)) == (hold in ("pins", "brads"))


def test_pins_end_an_eighth_above_the_underside() -> None:
    # Strips 1/4 in on a base 3/4 in, less 1/8 in: 7/8 in.
    assert hold_of(_plan("pins").design).longest_pin == pytest.approx(7 / 8 * INCH)
    assert hold_of(_plan("weights").design).longest_pin is None


def test_a_pin_stands_well_within_its_piece_and_at_most_two_hold_one() -> None:
    plan = _plan("pins", strips='width = "1 in"')
    for glue_up in plan.glue_ups:
        numbers = [pin.number for pin in glue_up.pins]
        assert set(numbers) <= set(glue_up.numbers)
        assert max((numbers.count(n) for n in numbers), default=0) <= 2
        for pin in glue_up.pins:
            shape = shapely.Polygon(plan.pieces[pin.number - 1].outline)
            point = shapely.Point(pin.x, pin.y)
            assert shape.contains(point)
            assert shape.exterior.distance(point) >= INCH / 4 - 0.01


def test_no_pin_stands_near_the_line_that_is_still_to_be_sawn() -> None:
    plan = _plan("brads", head='order = "trim"')
    rim = shapely.linearrings(next(z.outline for z in plan.zones if z.name == "field"))
    pins = [pin for g in plan.glue_ups for pin in g.pins]
    assert pins
    assert min(shapely.Point(p.x, p.y).distance(rim) for p in pins) >= 3 / 4 * INCH
    # Let into its frame the same field is pinned nearer to its edge.
    let_in = [pin for g in _plan("brads").glue_ups for pin in g.pins]
    assert min(shapely.Point(p.x, p.y).distance(rim) for p in let_in) < 3 / 4 * INCH


def test_no_pin_goes_into_a_piece_shorter_than_twice_its_width() -> None:
    plan = _plan("pins")
    pinned = {pin.number for g in plan.glue_ups for pin in g.pins}
    short = {p.number for p in plan.pieces if p.overall < 2 * p.width}
    assert short
    assert not pinned & short
