"""Part cards: every part once, true to size, its hand told by its outline."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import shapely

from paper_checks import MM, check_lines, faults, items_of, off_page, read, texts_of
from tesselath.draw.bench import draw_cards
from tesselath.draw.bench.full_size import draw_full_size
from tesselath.draw.paper import Line, Polygon, Sheet, Tape, Text, write_pdf
from tops_drawn import example_names, planned

TOPS = [*example_names(), "handed and trimmed", "no frame", "tiny"]


@cache
def cards(name: str) -> tuple[Sheet, ...]:
    return draw_cards(planned(name))


def outlines(name: str) -> list[np.ndarray]:
    return [
        np.asarray(item.outlines[0])
        for sheet in cards(name)
        for item in items_of(sheet, "card-outline")
        if isinstance(item, Polygon)
    ]


@pytest.mark.parametrize("name", TOPS)
def test_every_part_has_one_card_with_its_counts_and_its_tray(name: str) -> None:
    plan = planned(name)
    texts = [text for sheet in cards(name) for text in texts_of(sheet)]
    marks = [
        item.text
        for sheet in cards(name)
        for item in items_of(sheet, "card-mark")
        if isinstance(item, Text)
    ]
    expected = dict.fromkeys(
        p.mark.partition("-")[0] if p.handed_pair else p.mark for p in plan.parts
    )
    assert sorted(marks) == sorted(expected)
    for number, part in enumerate(plan.parts, 1):
        pieces = f"{part.count} piece{'' if part.count == 1 else 's'}"
        assert any(text.startswith(pieces) or f"{part.mark}: {pieces}" in text for text in texts)
        trays = [text for text in texts if text.startswith("tray")]
        assert any(str(number) in text.split() for text in trays)


@pytest.mark.parametrize("name", TOPS)
def test_no_label_lies_on_another_or_leaves_the_page(name: str) -> None:
    assert [fault for sheet in cards(name) for fault in faults(sheet)] == []
    assert [role for sheet in cards(name) for role in off_page(sheet)] == []


@pytest.mark.parametrize("name", TOPS)
def test_every_part_is_drawn_at_its_full_size(name: str) -> None:
    """Each part is found among the cards' outlines, moved only, or drawn broken."""
    drawn = [shape - shape.min(axis=0) for shape in outlines(name)]
    broken = sum(
        isinstance(item, Line) for sheet in cards(name) for item in items_of(sheet, "card-outline")
    )
    missing = 0
    for part in planned(name).parts:
        shape = part.shape - part.shape.min(axis=0)
        missing += not any(
            len(one) == len(shape) and np.abs(one - shape).max() < 0.001 for one in drawn
        )
    assert missing == broken


def test_a_long_part_keeps_both_ends_true_and_tells_its_length() -> None:
    plan = planned("card-table")
    part = plan.part("A")
    assert part.overall > 600
    (ends,) = [
        item for item in items_of(cards("card-table")[0], "card-outline") if isinstance(item, Line)
    ][:1]
    left, right = sorted((np.asarray(run) for run in ends.runs), key=lambda run: run[:, 0].min())
    shape = part.shape
    for run, low in ((left, True), (right, False)):
        true = shape[shape[:, 0] < 100 if low else shape[:, 0] > shape[:, 0].max() - 100]
        lengths = sorted(np.hypot(*np.diff(run, axis=0).T))
        end = float(np.hypot(*(true[0] - true[1])))
        assert any(abs(length - end) < 0.001 for length in lengths)
    texts = texts_of(cards("card-table")[0])
    assert "edge 31 9/32 in" in texts
    assert any("left out at the break" in text for text in texts)


def test_the_two_hands_share_a_card_and_are_mirror_images() -> None:
    plan = planned("handed and trimmed")
    pairs = [p for p in plan.parts if p.handed_pair and p.mark.endswith("-L")]
    assert pairs
    for part in pairs:
        assert part.handed_pair
        twin = plan.part(part.handed_pair)
        mirrored = shapely.Polygon(part.shape * (-1.0, 1.0))
        turned = [shapely.Polygon(twin.shape), shapely.Polygon(twin.shape * (-1.0, -1.0))]
        assert any(_alike(mirrored, other) for other in turned)
        assert not _alike(shapely.Polygon(part.shape), turned[0])
    words = " ".join(text for s in cards("handed and trimmed") for text in texts_of(s))
    assert "if it must be turned over to fit, it is the mirror image" in words


def test_a_handed_card_shows_the_triangle_at_the_stop_end() -> None:
    """Bench rule: the triangle is the long point at the stop, the grain's arrow leads there."""
    for sheet in cards("handed and trimmed")[:2]:
        arrows = [i for i in items_of(sheet, "grain") if isinstance(i, Polygon)]
        points = [i for i in items_of(sheet, "long-point") if isinstance(i, Polygon)]
        assert len(arrows) == len(points) > 0
        for arrow, point in zip(arrows, points, strict=True):
            tip, back = (float(np.asarray(arrow.outlines[0])[n][0]) for n in (0, 1))
            corner = float(np.asarray(point.outlines[0])[0][0])
            assert (corner - tip) * (tip - back) > 0


def _alike(one: shapely.Polygon, other: shapely.Polygon) -> bool:
    a, b = (shapely.affinity.translate(s, -s.bounds[0], -s.bounds[1]) for s in (one, other))
    return bool(a.symmetric_difference(b).area < 1e-3 * a.area)


def test_on_paper_the_check_lines_measure_what_they_say() -> None:
    """Within 0.05 mm of 100 mm and of 4 in, both ways, on every page."""
    for page in read(write_pdf(cards("chest-lid"), title="Cards")).pages:
        for lengths in check_lines(page).values():
            assert sorted(lengths) == pytest.approx([100.0, 101.6], abs=0.05)


def test_on_paper_an_outline_measures_what_the_part_does() -> None:
    part = planned("chest-lid").parts[0]
    page = read(write_pdf(cards("chest-lid"), title="Cards")).pages[0]
    sizes = [((r["x1"] - r["x0"]) / MM, (r["y1"] - r["y0"]) / MM) for r in page.rects]
    wanted = pytest.approx((part.overall, part.width), abs=0.05)
    assert any(size == wanted for size in sizes)


def test_a_corrected_printer_gets_pages_of_the_same_paper() -> None:
    plan = planned("chest-lid")
    design = replace(plan.design, print_scale=(1.01, 0.99))
    sheets = draw_cards(replace(plan, design=design))
    page = read(write_pdf(sheets, title="Cards", stretch=design.print_scale)).pages[0]
    assert (page.width / MM, page.height / MM) == pytest.approx((210.0, 297.0), abs=0.01)
    found = check_lines(page)
    assert min(found["across"]) == pytest.approx(101.0, abs=0.05)
    assert min(found["upright"]) == pytest.approx(99.0, abs=0.05)
    assert [fault for sheet in sheets for fault in faults(sheet)] == []


def test_the_same_plan_prints_the_same_bytes() -> None:
    plan = planned("no frame")
    once, again = (write_pdf(draw_cards(plan), title="Cards") for _ in range(2))
    assert once == again


def test_a_sliver_across_the_grain_is_not_drawn_so_large_that_it_leaves_the_card() -> None:
    """2 by 30 mm: ten times as large it would be higher than the page is."""
    part = planned("no frame").parts[0]
    shape = np.array([(0.0, -15.0), (2.0, -15.0), (2.0, 15.0), (0.0, 15.0)])
    drawn = draw_full_size(
        replace(part, shape=shape), room=(180.0, 180.0), tape=Tape(0.5, "mm"), tint="#eeeeee"
    )
    assert drawn.height < 100.0
    assert "times as large" in drawn.words[0]
