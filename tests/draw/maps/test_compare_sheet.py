"""Two tops in one picture: at one scale, apart from each other, with their own figures."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest

from tesselath.draw.maps import draw_comparison
from tesselath.draw.paper import Polygon, Sheet, Text, text_outline
from tops import tables_of, top

SHAPES = {
    "side by side": (
        top(width="12 in", depth="12 in"),
        top("chevron", width="12 in", depth="12 in"),
    ),
    "one above the other": (top(width="30 in"), top(width="12 in", depth="12 in")),
    "alike": (top(), top(depth="9 15/16 in")),
}


def drawn(name: str) -> tuple[Sheet, dict[str, Any], dict[str, Any]]:
    a, b = (tables_of(text) for text in SHAPES[name])
    return draw_comparison(a, b, names=("First", "Second")), a, b


@pytest.mark.parametrize("name", SHAPES)
def test_both_tops_have_their_true_size_and_do_not_touch(name: str) -> None:
    sheet, a, b = drawn(name)
    boxes = []
    for letter, plan in (("A", a), ("B", b)):
        (layer,) = [layer for layer in sheet.layers if layer.name == f"joints-{letter}"]
        (item,) = layer.items
        assert isinstance(item, Polygon)
        corners = np.vstack([np.asarray(outline) for outline in item.outlines])
        own = np.vstack([np.array(piece["outline"]) for piece in plan["pieces"]])
        assert np.ptp(corners, axis=0) == pytest.approx(np.ptp(own, axis=0))
        boxes.append((corners.min(axis=0), corners.max(axis=0)))
    (low_a, high_a), (low_b, high_b) = boxes
    assert np.any(high_a < low_b) or np.any(high_b < low_a)
    assert np.all(np.array([low_a, low_b]) > 0)
    assert np.all(np.array([high_a, high_b]) < (sheet.width, sheet.height))


@pytest.mark.parametrize("name", SHAPES)
def test_words_lie_on_the_page_and_not_on_each_other(name: str) -> None:
    sheet, a, b = drawn(name)
    texts = [item for layer in sheet.layers for item in layer.items if isinstance(item, Text)]
    boxes = [np.array(text_outline(text)) for text in texts]
    for n, box in enumerate(boxes):
        assert np.all(box >= 0)
        assert np.all(box <= (sheet.width, sheet.height))
        for other in boxes[:n]:
            apart = (box.max(axis=0) < other.min(axis=0)) | (other.max(axis=0) < box.min(axis=0))
            assert np.any(apart)
    words = " ".join(text.text for text in texts)
    assert f"{a['totals']['pieces']} pieces" in words
    assert f"{b['totals']['pieces']} pieces" in words


def test_only_pieces_that_are_not_in_the_other_plan_are_outlined() -> None:
    sheet, a, b = drawn("alike")
    for letter, mine, other in (("A", a, b), ("B", b, a)):
        (layer,) = [layer for layer in sheet.layers if layer.name == f"different-{letter}"]
        (item,) = layer.items
        assert isinstance(item, Polygon)
        theirs = {json.dumps(piece["outline"]) for piece in other["pieces"]}
        fresh = [piece for piece in mine["pieces"] if json.dumps(piece["outline"]) not in theirs]
        assert 0 < len(item.outlines) <= len(fresh)
    plain, _, _ = drawn("side by side")
    assert not any(layer.items for layer in plain.layers if layer.name.startswith("different"))
