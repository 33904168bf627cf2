"""The overview of a glue-up and its first pair: what lies, what is laid, which way."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from paper_checks import faults, items_of
from tesselath.draw.bench import draw_first_pair, draw_glue_overview, pair_corners
from tesselath.draw.paper import Circle, Polygon, Text
from tops import plan_of, top

TEXTS = (top(angle="45 deg"), top("chevron", head='order = "trim"'))


@pytest.mark.parametrize("text", TEXTS)
def test_each_later_overview_shows_more_that_is_done(text: str) -> None:
    plan = plan_of(text)
    before = -1.0
    for glue_up in plan.glue_ups:
        sheet = draw_glue_overview(plan, glue_up, width=66.0, height=44.0)
        assert sheet.width <= 66.0 + 1.0
        assert sheet.height <= 44.0 + 1.0
        area = sum(
            shapely.Polygon(np.asarray(outline)).area
            for item in items_of(sheet, "done")
            if isinstance(item, Polygon)
            for outline in item.outlines
        )
        assert area > before
        before = area
        now = [i for i in items_of(sheet, "now") if isinstance(i, Polygon)]
        assert sum(len(item.outlines) for item in now) == len(glue_up.numbers)


@pytest.mark.parametrize("text", TEXTS)
def test_the_corners_of_the_first_pair_are_numbered_where_they_are(text: str) -> None:
    plan = plan_of(text)
    glue_up = plan.glue_ups[0]
    corners = pair_corners(plan, glue_up)
    sheet = draw_first_pair(plan, glue_up, width=66.0, height=40.0)
    dots = [i.centre for i in items_of(sheet, "corner") if isinstance(i, Circle)]
    names = [i.text for i in items_of(sheet, "corner") if isinstance(i, Text)]
    assert names == [str(n) for n in range(1, len(corners) + 1)]
    scale = np.hypot(*(np.subtract(dots[0], dots[1]))) / np.hypot(
        *np.subtract(corners[0], corners[1])
    )
    assert np.asarray(dots) / scale == pytest.approx(np.asarray(corners), abs=1e-6)
    pieces = {piece.number: piece for piece in plan.pieces}
    own = [c for n in glue_up.first_pair for c in pieces[n].outline.tolist()]
    for x, y in corners:
        assert any(np.hypot(x - a, y - b) < 1e-6 for a, b in own)
    assert not list(faults(sheet, edge=0.0))
