"""The stick diagram: read back, every piece is there at scale, and no word lies on another."""

from __future__ import annotations

import re
from itertools import combinations

import numpy as np
import pytest
import shapely

from tesselath.draw.bench import draw_sticks, stick_bars
from tesselath.draw.paper import Item, Polygon, Sheet, Text, text_outline
from tesselath.stock import cut_stick, lay_stick, same_sticks
from tops_drawn import example_names, planned

NAMES = [*example_names(), "handed and trimmed", "lapped", "tiny"]


def _items(sheet: Sheet) -> list[Item]:
    return [item for layer in sheet.layers for item in layer.items]


def _texts(items: list[Item], role: str) -> list[Text]:
    return [item for item in items if isinstance(item, Text) and item.role == role]


def _polygons(items: list[Item], role: str) -> list[Polygon]:
    return [item for item in items if isinstance(item, Polygon) and item.role == role]


@pytest.mark.parametrize("name", NAMES)
def test_no_word_lies_on_another_or_leaves_the_sheet(name: str) -> None:
    sheet = draw_sticks(planned(name))
    boxes = [shapely.Polygon(text_outline(t)) for t in _items(sheet) if isinstance(t, Text)]
    page = shapely.box(
        sheet.left, sheet.bottom, sheet.left + sheet.width, sheet.bottom + sheet.height
    )
    assert all(page.covers(box) for box in boxes)
    tree = shapely.STRtree(boxes)
    pairs = tree.query(boxes, predicate="overlaps").T
    assert not [pair for pair in pairs if boxes[pair[0]].intersection(boxes[pair[1]]).area > 0.05]


@pytest.mark.parametrize("name", ["hall-table", "crowded-tray", "handed and trimmed"])
def test_pieces_read_back_from_the_drawing_are_the_parts_at_scale(name: str) -> None:
    plan = planned(name)
    by_mark = {part.mark: part for part in plan.parts}
    longest = max(stick.length for stick in plan.sticks)
    scale = 250.0 / longest
    for block, group in zip(stick_bars(plan, width=250.0), same_sticks(plan.sticks), strict=True):
        items = list(block.items)
        drawn = _polygons(items, "stick-piece")
        pieces = lay_stick(group[0], by_mark)
        assert len(drawn) == len(pieces) == len(group[0].pieces)
        bar = np.asarray(_polygons(items, "stick")[0].outlines[0])
        assert np.ptp(bar[:, 0]) == pytest.approx(group[0].length * scale)
        high = float(np.ptp(bar[:, 1])) / group[0].strip_width
        for shape, piece in zip(drawn, pieces, strict=True):
            part = by_mark[piece.mark]
            corners = np.asarray(shape.outlines[0]) / (scale, high)
            area = shapely.Polygon(corners).area
            blank = part.overall * part.stick_width
            by_hand = part.handling == "mark and hand saw"
            assert area == pytest.approx(blank if by_hand else shapely.Polygon(part.shape).area)
            # It lies on the fence, at the top of the bar.
            assert np.asarray(shape.outlines[0])[:, 1].max() == pytest.approx(
                bar[:, 1].max(), abs=0.05
            )
        kerfs = _polygons(items, "kerf")
        cuts = cut_stick(pieces, kerf=plan.design.stock.kerf)
        assert len(kerfs) == len(cuts)
        for band, cut in zip(kerfs, cuts, strict=True):
            corners = np.asarray(band.outlines[0])
            wide = abs(corners[1, 0] - corners[0, 0])
            assert wide == pytest.approx(cut.kerf * scale) or corners[:, 0].min() == 0.0


@pytest.mark.parametrize("name", NAMES)
def test_every_stick_has_a_box_to_tick_and_its_parts_are_named(name: str) -> None:
    plan = planned(name)
    items = _items(draw_sticks(plan))
    names = [text.text for text in _texts(items, "stick-name")]
    assert sorted(names) == sorted(stick.name for stick in plan.sticks)
    for block, group in zip(stick_bars(plan, width=250.0), same_sticks(plan.sticks), strict=True):
        words = [text.text for text in _texts(list(block.items), "stick-words")]
        said: list[str] = []
        for line in words:
            match = re.match(r"(?:(\d+) x )?([A-Z]+(?:-[LR])?)(?:,|$)", line)
            assert match is not None
            said += [match[2]] * int(match[1] or 1)
        assert tuple(said) == group[0].pieces


def test_equal_sticks_are_drawn_once() -> None:
    plan = planned("hall-table")
    blocks = stick_bars(plan, width=200.0)
    assert len(blocks) == len(same_sticks(plan.sticks)) < len(plan.sticks)
    for one, other in combinations(blocks, 2):
        assert one.items != other.items
        assert one.width == other.width == 200.0
