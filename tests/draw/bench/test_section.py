"""The section: what is cut through lies as the design says, at the scale of the drawing."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from tesselath.draw.bench import draw_section
from tesselath.draw.paper import Polygon, Sheet, Text, text_outline
from tops import plan_of, top

IN = 25.4
FRAME = '[frame]\nwidth = "2 in"\nthickness = "1 in"\nrecess = "3/8 in"\n'
BASE = '[base]\nthickness = "3/4 in"\nclearance = "1/8 in"\n'
CLEAR = 'clearance = "1/16 in"\n'


def _section(more: str = FRAME + BASE, order: str = "let in") -> Sheet:
    text = top(head=f'order = "{order}"', more=more, strips='thickness = "1/4 in"')
    plan = plan_of(text.replace('clearance = "0"\n', CLEAR))
    return draw_section(plan, width=182.0, height=70.0)


def _box(sheet: Sheet, role: str) -> tuple[float, float, float, float]:
    outlines = [
        np.asarray(outline)
        for layer in sheet.layers
        for item in layer.items
        if isinstance(item, Polygon) and item.role == role
        for outline in item.outlines
    ]
    corners = np.concatenate(outlines)
    (left, low), (right, top_) = corners.min(axis=0), corners.max(axis=0)
    return left, low, right, top_


def test_a_frame_round_the_base_stands_a_recess_over_it() -> None:
    sheet = _section()
    left, low, right, top_ = _box(sheet, "frame")
    # Hand-worked at full size: 2 in wide, 1 in thick, its face 3/8 in over the base.
    assert (right - left, top_ - low, top_) == pytest.approx((2 * IN, IN, 3 / 8 * IN))
    assert _box(sheet, "base")[0] == pytest.approx(IN / 8)
    assert _box(sheet, "base")[1::2] == pytest.approx((-3 / 4 * IN, 0.0))
    assert _box(sheet, "strip")[:2] == pytest.approx((IN / 16, 0.0))
    assert _box(sheet, "strip")[3] == pytest.approx(IN / 4)


def test_a_frame_on_the_base_stands_on_it() -> None:
    sheet = _section(FRAME + 'sits = "on the base"\n' + BASE)
    left, low, _, top_ = _box(sheet, "frame")
    assert low == pytest.approx(0.0)
    assert top_ == pytest.approx(IN)
    assert _box(sheet, "base")[0] == pytest.approx(left)


def test_a_trimmed_field_ends_with_its_base_at_the_frame() -> None:
    sheet = _section(order="trim")
    assert _box(sheet, "strip")[0] == pytest.approx(0.0)
    assert _box(sheet, "base")[0] == pytest.approx(0.0)


@pytest.mark.parametrize("sits", ["round the base", "on the base"])
def test_a_frame_that_laps_covers_the_field_and_nothing_overlaps(sits: str) -> None:
    sheet = _section(FRAME + f'lap = "1/2 in"\nsits = "{sits}"\n' + BASE, order="lap")
    assert _box(sheet, "strip")[0] == pytest.approx(-IN / 2)
    solids = {
        role: shapely.union_all(
            [
                shapely.Polygon(outline)
                for layer in sheet.layers
                for item in layer.items
                if isinstance(item, Polygon) and item.role == role
                for outline in item.outlines
            ]
        )
        for role in ("frame", "strip", "base")
    }
    assert solids["frame"].intersection(solids["strip"]).area < 1e-6
    assert solids["frame"].intersection(solids["base"]).area < 1e-6


@pytest.mark.parametrize("more", [FRAME + BASE, FRAME, BASE, '[frame]\nwidth = "9 in"\n'])
def test_words_stand_clear_on_the_page(more: str) -> None:
    sheet = _section(more)
    page = shapely.box(sheet.left, sheet.bottom, sheet.left + sheet.width, sheet.top)
    boxes = [
        shapely.Polygon(text_outline(item))
        for layer in sheet.layers
        for item in layer.items
        if isinstance(item, Text)
    ]
    assert sheet.width <= 182.0 + 1e-6
    for n, one in enumerate(boxes):
        assert page.covers(one)
        assert all(one.intersection(other).area < 1e-6 for other in boxes[n + 1 :])
