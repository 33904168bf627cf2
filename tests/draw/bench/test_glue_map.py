"""The map of a glue-up: every piece once, with its turn, and nothing lies on anything else."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from paper_checks import faults, items_of
from tesselath.draw.bench import draw_glue_map
from tesselath.draw.paper import Circle, Line, Polygon, Sheet, Text
from tesselath.glue import GlueUp
from tesselath.plan import Plan
from tops import plan_of, top

PINS = '[glue]\nhold = "pins"\n'
FRAME = '[frame]\nwidth = "2 in"\n'
TEXTS = {
    "plain": top(angle="45 deg", more=FRAME),
    "trim, pinned": top("chevron", head='order = "trim"', more=FRAME + PINS),
    "long": top(width="60 in", depth="12 in", angle="45 deg", sizes='w = "1 1/2 in"'),
    "tiny": top(width="5 in", depth="4 in", angle="45 deg", sizes='w = "1/2 in"'),
}
ROOM = {"width": 182.0, "height": 150.0}


@pytest.fixture(name="drawn", params=TEXTS, ids=list(TEXTS))
def _drawn(request: pytest.FixtureRequest) -> tuple[Plan, list[tuple[GlueUp, Sheet]]]:
    plan = plan_of(TEXTS[request.param])
    chosen = plan.glue_ups[:2] + plan.glue_ups[-1:]
    return plan, [(glue_up, draw_glue_map(plan, glue_up, **ROOM)) for glue_up in chosen]


Drawn = tuple[Plan, list[tuple[GlueUp, Sheet]]]


def _texts(sheet: Sheet, role: str) -> list[str]:
    return [item.text for item in items_of(sheet, role) if isinstance(item, Text)]


def test_each_piece_stands_there_once_with_its_part_and_turn(drawn: Drawn) -> None:
    plan, sheets = drawn
    parts = {piece.number: piece.part for piece in plan.pieces}
    for glue_up, sheet in sheets:
        numbers = [int(text) for text in _texts(sheet, "piece-number")]
        turns = [int(text) for text in _texts(sheet, "turn")]
        letters = _texts(sheet, "part-letter")
        assert sorted(numbers) == sorted(glue_up.numbers)
        order = dict(zip(turns, numbers, strict=True))
        assert tuple(order[turn] for turn in sorted(turns)) == glue_up.numbers
        assert letters == [parts[number] for number in numbers]


def test_no_words_lie_on_words_or_leave_the_sheet(drawn: Drawn) -> None:
    for _, sheet in drawn[1]:
        assert not list(faults(sheet, edge=0.0))
        assert sheet.height <= ROOM["height"] + 1.0


def test_lettering_is_never_smaller_than_can_be_read(drawn: Drawn) -> None:
    for _, sheet in drawn[1]:
        for role, least in (("part-letter", 2.1), ("piece-number", 1.9), ("turn", 1.7)):
            caps = [t.cap for t in items_of(sheet, role) if isinstance(t, Text)]
            assert min(caps) >= least


def test_what_is_done_what_is_laid_and_what_comes_later_are_all_of_the_wood() -> None:
    plan = plan_of(top(width="12 in", depth="9 in"))
    glue_up = plan.glue_ups[1]
    sheet = draw_glue_map(plan, glue_up, width=400.0, height=400.0)
    areas = {}
    for role in ("done", "now", "later"):
        outlines = [o for i in items_of(sheet, role) if isinstance(i, Polygon) for o in i.outlines]
        areas[role] = sum(shapely.Polygon(np.asarray(outline)).area for outline in outlines)
    laid = sum(
        shapely.Polygon(piece.outline).area
        for piece in plan.pieces
        if piece.number in glue_up.numbers
    )
    assert areas["now"] > 0
    scale = areas["now"] / laid
    before = sum(
        shapely.Polygon(piece.outline).area
        for piece in plan.pieces
        if piece.number in plan.glue_ups[0].numbers
    )
    assert 0 < areas["done"] <= before * scale * 1.001


def test_a_long_row_is_split_so_that_it_can_be_read() -> None:
    sheet = draw_glue_map(plan_of(TEXTS["long"]), plan_of(TEXTS["long"]).glue_ups[0], **ROOM)
    assert _texts(sheet, "part-name")[0].startswith("left part")


def test_pins_are_crosses_and_only_where_the_plan_puts_them() -> None:
    plan = plan_of(TEXTS["trim, pinned"])
    for glue_up in plan.glue_ups[:2]:
        sheet = draw_glue_map(plan, glue_up, **ROOM)
        runs = [
            run for item in items_of(sheet, "pin") if isinstance(item, Line) for run in item.runs
        ]
        # Two strokes a cross; one in the lap of two parts is drawn in both.
        assert len(runs) >= 2 * len(glue_up.pins)


def test_every_corner_to_measure_has_its_ring_on_the_corner() -> None:
    plan = plan_of(TEXTS["plain"])
    for glue_up in plan.glue_ups:
        sheet = draw_glue_map(plan, glue_up, **ROOM)
        rings = [item for item in items_of(sheet, "check") if isinstance(item, Circle)]
        assert len(rings) >= len({xy for check in glue_up.checks for xy in check.at}) >= 1
    for check in (check for glue_up in plan.glue_ups for check in glue_up.checks):
        (corner,) = check.at
        outline = plan.pieces[check.number - 1].outline
        assert min(np.hypot(*(outline - corner).T)) < 1e-9


def test_the_batten_lies_along_its_row_and_on_no_piece() -> None:
    plan = plan_of(TEXTS["plain"])
    glue_up = plan.glue_ups[0]
    assert glue_up.batten is not None
    sheet = draw_glue_map(plan, glue_up, **ROOM)
    for item in items_of(sheet, "batten"):
        assert isinstance(item, Polygon)
        bar = shapely.union_all([shapely.Polygon(np.asarray(o)) for o in item.outlines])
        for now in items_of(sheet, "now"):
            assert isinstance(now, Polygon)
            for outline in now.outlines:
                assert bar.intersection(shapely.Polygon(np.asarray(outline))).area < 1e-6
