"""The sheet of layouts: everything lies on the page, no picture lies on another's words."""

from __future__ import annotations

import pytest

from tesselath.draw.maps import Shown, Top, draw_fit
from tesselath.draw.paper import Polygon, Text, text_width
from tesselath.field import opening_outline
from tesselath.fit import lay_out
from tops import plan_of, top


def shown(title: str, depth: str, *words: str) -> Shown:
    design = plan_of(top(width="16 in", depth=depth)).design
    look = Top(title, opening_outline(design), lay_out(design).pieces, (), None, design.woods)
    return Shown(look, title, words)


LONG = "thinnest piece grows from 3/32 to 11/16 in; 8 parts instead of 17; " * 3


@pytest.mark.parametrize("count", [1, 2, 5])
def test_words_lie_on_the_page_under_their_picture(count: int) -> None:
    tops = [
        shown(f"Layout {n}", f"{8 + n / 2} in", "make the opening larger", LONG)
        for n in range(count)
    ]
    sheet = draw_fit(tops, title="Layouts")
    boards = [
        (float(o[:, 0].min()), float(o[:, 1].min()), float(o[:, 0].max()), float(o[:, 1].max()))
        for layer in sheet.layers
        if layer.name.startswith("wood-")
        for item in layer.items
        if isinstance(item, Polygon)
        for o in item.outlines
    ]
    texts = [item for layer in sheet.layers for item in layer.items if isinstance(item, Text)]
    assert sum(text.text.startswith("Layout ") for text in texts) == count
    for text in texts:
        x, y = text.at
        right, low = x + text_width(text.text, text.cap, text.weight), y - text.cap
        assert sheet.left <= x < right <= sheet.left + sheet.width
        assert sheet.bottom <= low < y <= sheet.top
        assert not any(x < x1 and right > x0 and low < y1 and y > y0 for x0, y0, x1, y1 in boards)
