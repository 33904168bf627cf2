"""The summary: a plan in a few lines of trade words, with the figures of the plan."""

from __future__ import annotations

import re

import pytest

from tesselath.output import describe_pattern, summarise
from tesselath.pattern import find_pattern, pattern_names
from tesselath.plan import Plan
from tops import plan_of, top

TEXTS = {
    "herringbone": top(angle="45 deg"),
    "chevron": top("chevron", sizes='rise = "60 deg"', strips='faces = "one"'),
    "metric": top(head='units = "mm"\ntape = "0.5 mm"', sizes='w = "19 mm"'),
    "star": top("eight-point-star"),
}


@pytest.fixture(name="plan", params=TEXTS, ids=list(TEXTS))
def _plan(request: pytest.FixtureRequest) -> Plan:
    return plan_of(TEXTS[request.param])


def test_it_names_the_figures_that_a_maker_asks_for_first(plan: Plan) -> None:
    text = summarise(plan)
    totals = plan.totals
    assert f"{totals['pieces']} pieces in {totals['parts']} parts" in text
    assert f"{totals['cuts']} cuts, {totals['setups']} saw set-ups" in text
    assert f"thinnest piece: {totals['thinnest_piece']}" in text
    for wood, count in plan.sticks_to_buy.items():
        line = next(line for line in text.splitlines() if line.startswith(f"  {wood}: "))
        assert f"{count} to buy" in line


def test_every_note_is_told_in_full_and_cautions_come_last(plan: Plan) -> None:
    flat = re.sub(r"\s+", " ", summarise(plan))
    places = []
    for note in plan.notes:
        text = re.sub(r"\s+", " ", note.text)
        assert text in flat
        places.append(flat.index(text))
    assert places == sorted(places)


def test_every_order_of_work_is_compared_and_the_chosen_one_marked(plan: Plan) -> None:
    lines = summarise(plan).splitlines()
    for order in plan.orders:
        (line,) = [x for x in lines if re.match(rf"  [ >] {re.escape(order.order)} ", x)]
        assert line.startswith("  >") == (order.order == plan.design.order)
        figures = [int(n) for n in re.findall(r"\d+", line.removeprefix(order.order))]
        assert figures == [order.parts, order.setups, order.cuts, order.sticks]


def test_no_line_is_wider_than_a_screen_or_ends_in_blanks(plan: Plan) -> None:
    for line in summarise(plan).splitlines():
        assert line == line.rstrip()
        if line.startswith("  - ") or line.startswith("    "):
            assert len(line) <= 96
        assert len(line) <= 140


def test_a_claim_of_the_least_is_only_made_of_clean_strips_or_not_at_all(plan: Plan) -> None:
    # "Proven" over wood with knots in it is what makes a maker distrust a plan.
    assert "proven" not in summarise(plan).lower()


@pytest.mark.parametrize("name", pattern_names())
def test_a_pattern_is_explained_with_every_size_by_both_names(name: str) -> None:
    pattern = find_pattern(name)
    lines = describe_pattern(pattern).splitlines()
    assert lines[0] == f"{name}: {pattern.title}"
    flat = " ".join(" ".join(lines).split())
    assert pattern.note in flat
    for size in pattern.sizes:
        assert any(line.split()[:1] == [size.name] and size.label in line for line in lines)
        if size.whole:
            assert "a whole number" in flat
    assert ", ".join(pattern.tones or ("plain",)) in flat
    assert ("It stands alone" in flat) != pattern.fills
