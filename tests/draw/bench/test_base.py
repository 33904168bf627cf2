"""The base as drawn: its lines stand where they are measured, its parts fit their sheets."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from inspector_terms import parse_mm
from paper_checks import items_of
from tesselath.draw.bench import draw_base_lines, draw_sheets
from tesselath.draw.paper import Item, Line, Polygon, Sheet, Text, text_outline
from tesselath.frame import BasePanel
from tesselath.plan import Plan
from tops import plan_of, top

FRAME = '[frame]\nwidth = "2 in"\nthickness = "1 in"\n[base]\nthickness = "1/2 in"\n'
BORDER = '[[border]]\nwidth = "1 1/2 in"\nwood = "walnut"\n'
TEXTS = {
    "let in": top(more=FRAME),
    "trim": top(head='order = "trim"', more=FRAME + BORDER),
    "joined": top(
        width="64 in",
        depth="40 in",
        sizes='w = "4 in"',
        more=FRAME + 'sheet = ["48 in", "48 in"]\n',
    ),
    "round": top(
        opening='points = [["-9 in", "-5 in"], ["9 in", "-5 in"], ["6 in", "6 in"], '
        '["-7 in", "5 in"]]',
        more=FRAME + BORDER,
    ).replace('width = "16 in"\ndepth = "10 in"\n', ""),
}
ROOM = {"width": 182.0, "height": 150.0}


@pytest.fixture(name="planned", params=TEXTS, ids=list(TEXTS))
def _planned(request: pytest.FixtureRequest) -> tuple[Plan, BasePanel]:
    plan = plan_of(TEXTS[request.param])
    assert plan.frame_base.base is not None
    return plan, plan.frame_base.base


def _box(item: Item) -> tuple[float, ...]:
    assert isinstance(item, Polygon)
    corners = np.concatenate([np.asarray(outline) for outline in item.outlines])
    return *corners.min(axis=0), *corners.max(axis=0)


def _check_lettering(sheet: Sheet) -> None:
    page = shapely.box(sheet.left, sheet.bottom, sheet.left + sheet.width, sheet.top)
    texts = [item for layer in sheet.layers for item in layer.items if isinstance(item, Text)]
    boxes = [shapely.Polygon(text_outline(text)) for text in texts]
    for n, one in enumerate(boxes):
        assert page.buffer(1e-6).covers(one), texts[n].text
        for other in boxes[n + 1 :]:
            assert one.intersection(other).area < 1e-6


def test_it_fits_its_room_and_no_words_cover_each_other(planned: tuple[Plan, BasePanel]) -> None:
    for sheet in (draw_base_lines(*planned, **ROOM), draw_sheets(*planned, **ROOM)):
        assert sheet.width <= ROOM["width"] + 3.0
        assert sheet.height <= ROOM["height"] + 6.0
        _check_lettering(sheet)


def test_each_line_stands_where_its_measure_says(planned: tuple[Plan, BasePanel]) -> None:
    plan, base = planned
    sheet = draw_base_lines(plan, base, **ROOM)
    left, low, right, top_ = _box(items_of(sheet, "base")[0])
    scale = (right - left) / base.cut[0]
    assert (top_ - low) / base.cut[1] == pytest.approx(scale)
    words = [item for item in items_of(sheet, "ordinate") if isinstance(item, Text)]
    measures = {
        axis: sorted(
            parse_mm(text.text.split(": ")[1], "in")
            for text in words
            if text.angle == angle and text.text != "0"
        )
        for axis, angle in (("across", 90.0), ("away", 0.0))
    }
    for axis, n in (("across", 0), ("away", 1)):
        runs = [item.runs[0] for item in items_of(sheet, "base-line") if isinstance(item, Line)]
        drawn = sorted(run[0][n] for run in runs if run[0][n] == run[1][n])
        size = base.cut[n]
        # The last measure is the edge itself; a tape of 1/32 in rounds by half a mark.
        assert measures[axis] == pytest.approx([*(at / scale for at in drawn), size], abs=0.4)
        planned_at = sorted(line.at for line in plan.frame_base.lines if line.axis == axis)
        assert [at / scale for at in drawn] == pytest.approx(planned_at)


def test_parts_lie_on_their_sheets_without_overlap(planned: tuple[Plan, BasePanel]) -> None:
    plan, base = planned
    sheet = draw_sheets(plan, base, **ROOM)
    for whole in items_of(sheet, "sheet"):
        board = shapely.box(*_box(whole))
        boxes = [
            shapely.Polygon(outline)
            for item in items_of(sheet, "part")
            if isinstance(item, Polygon)
            for outline in item.outlines
            if board.buffer(0.1).covers(shapely.Polygon(outline))
        ]
        scale = (_box(whole)[2] - _box(whole)[0]) / base.sheets.sheet[0]
        assert boxes
        assert shapely.union_all(boxes).area == pytest.approx(sum(box.area for box in boxes))
        part = base.sheets.part[0] * base.sheets.part[1]
        assert boxes[0].area / scale**2 == pytest.approx(part)


def test_a_joined_base_shows_its_joins() -> None:
    plan = plan_of(TEXTS["joined"])
    assert plan.frame_base.base is not None
    (joins,) = items_of(draw_base_lines(plan, plan.frame_base.base, **ROOM), "join")
    assert isinstance(joins, Line)
    assert len(joins.runs) == plan.frame_base.base.sheets.joins == 1
