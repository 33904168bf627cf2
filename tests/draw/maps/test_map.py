"""The numbered map: every piece lettered once, nothing on top of anything, ready for print."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from functools import cache
from hashlib import sha256
from xml.etree import ElementTree

import numpy as np
import pytest
import shapely

from tesselath.draw.maps import draw_map, draw_preview, may_be_misread
from tesselath.draw.maps.wood import GREATEST_GREY
from tesselath.draw.paper import Line, Polygon, Sheet, Text, grey, text_outline, write_svg
from tesselath.plan import Plan
from tops_drawn import DESIGNS, EXAMPLES, example_names, planned

TOPS = [*example_names(), *DESIGNS]
ROOMY = [name for name in TOPS if name != "tiny"]
SPACE = "{http://www.w3.org/2000/svg}"


@cache
def drawn(name: str) -> Sheet:
    return draw_map(planned(name))


def items(sheet: Sheet, layer: str) -> tuple[object, ...]:
    return next(one.items for one in sheet.layers if one.name == layer)


def texts(sheet: Sheet, role: str = "") -> list[Text]:
    return [
        item
        for layer in sheet.layers
        for item in layer.items
        if isinstance(item, Text) and role in ("", item.role)
    ]


def lines(sheet: Sheet, role: str) -> list[Line]:
    return [
        item
        for layer in sheet.layers
        for item in layer.items
        if isinstance(item, Line) and item.role == role
    ]


def outlines(plan: Plan) -> dict[str, shapely.Polygon]:
    return {str(piece.number): shapely.Polygon(piece.outline) for piece in plan.pieces}


@pytest.mark.parametrize("name", TOPS)
def test_every_piece_number_is_a_text_of_its_own_once(name: str) -> None:
    root = ElementTree.fromstring(write_svg(drawn(name), embed_font=False))
    elements = list(root.iter(SPACE + "text"))
    numbers = sorted(str(piece.number) for piece in planned(name).pieces)
    by_class = [one.text for one in elements if one.attrib.get("class") == "piece-number"]
    assert sorted(by_class) == numbers
    # No mark of a ruler, no row and no sample in the key reads as a piece's number either.
    bare = [one.text for one in elements if (one.text or "").isdigit() and one.text != "0"]
    assert sorted(bare) == numbers


@pytest.mark.parametrize("name", TOPS)
def test_every_piece_carries_the_letter_of_its_part(name: str) -> None:
    shown = sorted(text.text for text in texts(drawn(name), "part-letter"))
    assert shown == sorted(piece.part for piece in planned(name).pieces)


@pytest.mark.parametrize("name", TOPS)
def test_no_lettering_lies_on_other_lettering(name: str) -> None:
    boxes = [shapely.Polygon(text_outline(text)).buffer(-0.01) for text in texts(drawn(name))]
    one, two = shapely.STRtree(boxes).query(boxes, predicate="intersects")
    shown = texts(drawn(name))
    assert [(shown[i].text, shown[j].text) for i, j in zip(one, two, strict=True) if i < j] == []


@pytest.mark.parametrize("name", TOPS)
def test_lettering_lies_in_its_piece_or_hangs_on_a_leader(name: str) -> None:
    plan, sheet = planned(name), drawn(name)
    pieces = outlines(plan)
    hanging = 0
    for text in texts(sheet, "piece-number"):
        box = shapely.Polygon(text_outline(text))
        if not pieces[text.text].buffer(0.02).covers(box):
            hanging += 1
    leaders = [run for line in lines(sheet, "leader") for run in line.runs]
    assert hanging == len(leaders)


@pytest.mark.parametrize("name", TOPS)
def test_no_lettering_is_upside_down_or_off_the_page(name: str) -> None:
    sheet = drawn(name)
    page = shapely.box(
        sheet.left, sheet.bottom, sheet.left + sheet.width, sheet.bottom + sheet.height
    )
    for text in texts(sheet):
        assert -90.0 < text.angle <= 90.0
        assert page.covers(shapely.Polygon(text_outline(text))), text


@pytest.mark.parametrize("name", ROOMY)
def test_letters_and_numbers_are_large_enough_to_read_on_paper(name: str) -> None:
    assert min(text.cap for text in texts(drawn(name), "part-letter")) >= 2.5
    assert min(text.cap for text in texts(drawn(name), "piece-number")) >= 2.0


@pytest.mark.parametrize("name", ROOMY)
def test_no_leader_runs_through_lettering(name: str) -> None:
    sheet = drawn(name)
    boxes = shapely.STRtree([shapely.Polygon(text_outline(text)) for text in texts(sheet)])
    for line in lines(sheet, "leader"):
        for run in line.runs:
            assert len(boxes.query(shapely.LineString(run), predicate="intersects")) == 0


@pytest.mark.parametrize("name", TOPS)
def test_centre_lines_are_chain_dotted_and_spare_the_lettering(name: str) -> None:
    sheet = drawn(name)
    (line,) = lines(sheet, "centre-line")
    assert len(line.stroke.dash) == 4
    boxes = [shapely.Polygon(text_outline(text)) for text in texts(sheet)]
    tree = shapely.STRtree(boxes)
    assert all(len(tree.query(shapely.LineString(run), "intersects")) == 0 for run in line.runs)
    for run in line.runs:
        assert np.allclose(np.asarray(run)[:, 0], 0.0) or np.allclose(np.asarray(run)[:, 1], 0.0)


@pytest.mark.parametrize("name", TOPS)
def test_all_four_sides_are_named_where_they_are(name: str) -> None:
    places = {text.text: text.at for text in texts(drawn(name), "direction")}
    assert set(places) == {"FRONT", "BACK", "LEFT", "RIGHT"}
    low, high = planned(name).opening.min(axis=0), planned(name).opening.max(axis=0)
    assert places["FRONT"][1] < low[1] < high[1] < places["BACK"][1]
    assert places["LEFT"][0] < low[0] < high[0] < places["RIGHT"][0]


@pytest.mark.parametrize("name", TOPS)
def test_pencil_shows_on_every_fill(name: str) -> None:
    fills = [
        item.fill.colour
        for layer in ("frame", "wood", "uncovered")
        for item in items(drawn(name), layer)
        if isinstance(item, Polygon) and item.fill and item.fill.colour
    ]
    assert fills
    assert max(grey(colour) for colour in fills) <= GREATEST_GREY


@pytest.mark.parametrize("name", TOPS)
def test_the_map_is_true_to_scale(name: str) -> None:
    shown = [item for item in items(drawn(name), "outlines") if isinstance(item, Polygon)]
    for item, piece in zip(shown, planned(name).pieces, strict=True):
        assert item.key == f"piece-{piece.number}"
        assert np.array_equal(item.outlines[0], piece.outline)
        assert item.stroke is not None
        assert item.stroke.width == 0.25


@pytest.mark.parametrize("name", TOPS)
def test_the_map_says_how_to_look_at_it(name: str) -> None:
    words = " / ".join(text.text for text in texts(drawn(name)))
    assert "SHOW FACE UP" in words
    assert "scale 1:1, print at 100 %" in words
    assert "check: 100 mm" in words
    assert "check: 4 in" in words
    assert planned(name).design.mark in words


@pytest.mark.parametrize("name", ["hall-table", "chest-lid"])
def test_the_key_counts_the_pieces_of_each_wood(name: str) -> None:
    words = [text.text for text in texts(drawn(name))]
    woods = [piece.wood for piece in planned(name).pieces]
    for wood in set(woods):
        assert f"{wood}, {woods.count(wood)} pieces" in words


def test_a_trimmed_field_shows_its_trim_line_dashed_with_scissors() -> None:
    sheet = drawn("handed and trimmed")
    line = lines(sheet, "trim-line")[0]
    assert line.stroke.dash
    assert np.allclose(np.asarray(line.runs[0])[:-1], planned("handed and trimmed").opening)
    circles = [item for item in items(sheet, "opening") if type(item).__name__ == "Circle"]
    assert len(circles) == 2  # the handles
    assert lines(sheet, "overhang")


def test_a_handed_piece_carries_a_triangle_in_its_sharp_corner_at_the_stop() -> None:
    plan, sheet = planned("handed and trimmed"), drawn("handed and trimmed")
    handed = [piece for piece in plan.pieces if plan.part(piece.part).handed_pair]
    assert handed
    assert all(piece.part.endswith(("-L", "-R")) for piece in handed)
    (triangles,) = [
        item
        for item in items(sheet, "numbers")
        if isinstance(item, Polygon) and item.role == "long-point"
    ]
    assert len(triangles.outlines) == len(handed)
    for triangle, piece in zip(triangles.outlines, handed, strict=True):
        assert shapely.Polygon(piece.outline).buffer(1e-6).covers(shapely.Polygon(triangle))
        for text in texts(sheet):
            if text.text == str(piece.number):
                box = shapely.Polygon(text_outline(text))
                assert not box.intersects(shapely.Polygon(triangle))


def test_mirror_twins_carry_mirrored_triangles() -> None:
    # In a chevron the twin is the piece beyond the column's side: its triangle is its mirror.
    plan, sheet = planned("handed and trimmed"), drawn("handed and trimmed")
    (triangles,) = [
        item
        for item in items(sheet, "numbers")
        if isinstance(item, Polygon) and item.role == "long-point"
    ]
    handed = [piece for piece in plan.pieces if plan.part(piece.part).handed_pair]
    tips = {
        piece.number: tuple(np.round(triangle[0] - piece.outline.mean(axis=0), 3))
        for triangle, piece in zip(triangles.outlines, handed, strict=True)
    }
    whole = plan.part("A-L")
    twin = plan.part("A-R")
    left = {tips[number] for number in whole.numbers if plan.pieces[number - 1].blank is None}
    right = {tips[number] for number in twin.numbers if plan.pieces[number - 1].blank is None}
    assert len(left) == len(right) == 1
    (lx, ly), (rx, ry) = left.pop(), right.pop()
    assert (abs(lx), abs(ly)) == pytest.approx((abs(rx), abs(ry)), abs=0.01)


def test_tiny_pieces_are_lettered_smaller_and_the_sheet_says_so() -> None:
    sheet = drawn("tiny")
    assert len(lines(sheet, "leader")) == 0 or len(lines(sheet, "leader")[0].runs) < 80
    assert min(text.cap for text in texts(sheet, "piece-number")) < 2.0
    assert any("too small" in text.text for text in texts(sheet))


def test_what_no_strip_covers_is_crossed_out_beside_the_wood() -> None:
    sheet = drawn("figure")
    wood = shapely.union_all(list(outlines(planned("figure")).values()), grid_size=1e-6)
    (cross,) = lines(sheet, "uncovered")
    runs = shapely.MultiLineString([np.asarray(run) for run in cross.runs])
    assert runs.length > 200
    assert runs.intersection(wood).length < 1e-3
    labels = texts(sheet, "uncovered")
    assert {label.text for label in labels} == {"open"}
    for label in labels:
        assert not shapely.Polygon(text_outline(label)).intersects(wood)


def test_a_figure_that_stands_alone_has_no_row_numbers() -> None:
    assert not texts(drawn("figure"), "row-number")
    assert texts(drawn("chest-lid"), "row-number")


def test_an_overview_carries_letters_only_at_the_size_of_paper() -> None:
    plan = planned("hall-table")
    sheet = draw_map(plan, scale=0.15, numbers=False)
    assert not texts(sheet, "piece-number")
    assert min(text.cap for text in texts(sheet, "part-letter")) >= 2.5
    shown = [item for item in items(sheet, "outlines") if isinstance(item, Polygon)]
    assert np.allclose(shown[0].outlines[0], plan.pieces[0].outline * 0.15)
    words = " / ".join(text.text for text in texts(sheet))
    assert "scale 1:6.7" in words
    assert "opening 54 1/2 in" in words  # what is printed keeps its true measure


def test_a_number_that_reads_as_another_upside_down_is_underlined() -> None:
    for text in texts(drawn("hall-table"), "piece-number"):
        upside_down = text.text[::-1].translate(str.maketrans("69", "96"))
        is_other = (
            set(text.text) <= set("01689")
            and bool(set(text.text) & set("69"))
            and upside_down != text.text
            and not upside_down.startswith("0")
            and int(upside_down) <= len(planned("hall-table").pieces)
        )
        assert text.underline == is_other == may_be_misread(text.text, 227), text.text


def test_a_name_of_digits_is_no_piece_number() -> None:
    plan = planned("no frame")
    sheet = draw_map(replace(plan, design=replace(plan.design, name="17")))
    assert texts(sheet, "title")[0].text == "Design 17"


@pytest.mark.deep  # the main job is written on two hash seeds in every run
def test_the_same_plan_gives_the_same_bytes_on_any_hash_seed() -> None:
    script = (
        "import sys, hashlib; from pathlib import Path;from tesselath.design.design_file import "
        "read_design;from tesselath.plan.plan import plan_design;from tesselath.draw.maps.map "
        "import draw_map;from tesselath.draw.maps.preview import draw_preview;from "
        "tesselath.draw.paper.svg import write_svg;plan = "
        "plan_design(read_design(Path(sys.argv[1])));text = write_svg(draw_map(plan)) + "
        "write_svg(draw_preview(plan));print(hashlib.sha256(text.encode()).hexdigest())"
    )
    plan = planned("chest-lid")
    here = write_svg(draw_map(plan)) + write_svg(draw_preview(plan))
    there = subprocess.run(
        [sys.executable, "-c", script, str(EXAMPLES / "chest-lid" / "design.toml")],
        check=True,
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONHASHSEED": "7"},
    ).stdout.strip()
    assert there == sha256(here.encode()).hexdigest()
