"""The template: true when its pages are joined, readable, and its mirror image is one."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st

from paper_checks import MM, check_lines, faults, items_of, off_page, read, straight_lines, texts_of
from tesselath.draw.maps import draw_template_pages, draw_template_sheet, lay_template
from tesselath.draw.maps.template_grid import INSET, lay_grid
from tesselath.draw.paper import (
    Circle,
    Line,
    Polygon,
    Sheet,
    Text,
    text_outline,
    write_pdf,
    write_svg,
)
from tops_drawn import planned

TOPS = ["handed and trimmed", "lapped", "no frame", "figure", "crowded-tray"]
BOTH = pytest.mark.parametrize("mirrored", [False, True])


@cache
def pages(name: str, mirrored: bool = False) -> tuple[Sheet, ...]:
    return draw_template_pages(lay_template(planned(name), mirrored=mirrored))


@cache
def in_one(name: str, mirrored: bool = False) -> Sheet:
    return draw_template_sheet(lay_template(planned(name), mirrored=mirrored))


def register_marks(sheet: Sheet) -> dict[str, list[tuple[float, float]]]:
    """Give the places of the register marks of a page by the letter beside them."""
    letters = [i for i in items_of(sheet, "join-letter") if isinstance(i, Text)]
    found: dict[str, list[tuple[float, float]]] = {}
    for mark in items_of(sheet, "register"):
        if isinstance(mark, Circle):
            x, y = mark.centre
            near = min(letters, key=lambda t: (t.at[0] - x) ** 2 + (t.at[1] - y) ** 2)
            found.setdefault(near.text, []).append(mark.centre)
    return found


def joined(sheets: tuple[Sheet, ...]) -> list[tuple[Sheet, float, float]]:
    """Lay pages together circle on circle, as a maker does; the first drawn one stays."""
    drawn = [sheet for sheet in sheets if not items_of(sheet, "overview")]
    marks = [register_marks(sheet) for sheet in drawn]
    places = {0: (0.0, 0.0)}
    while len(places) < len(drawn):
        before = len(places)
        for n in range(len(drawn)):
            for m in list(places):
                common = sorted(set(marks[n]) & set(marks[m]))
                if n in places or not common:
                    continue
                theirs, ours = (np.array(sorted(marks[k][common[0]])) for k in (m, n))
                steps = theirs - ours
                assert np.ptp(steps, axis=0).max() < 1e-6, "both circles of a join must meet"
                places[n] = (places[m][0] + steps[0, 0], places[m][1] + steps[0, 1])
        assert len(places) > before, "a page has no neighbour"
    return [(drawn[n], *places[n]) for n in sorted(places)]


def centre(sheets: list[tuple[Sheet, float, float]]) -> tuple[float, float]:
    """Find where both centre lines cross on the joined pages."""
    x, y = [], []
    for sheet, dx, dy in sheets:
        for item in items_of(sheet, "centre-line"):
            for run in item.runs if isinstance(item, Line) else ():
                (x1, y1), (x2, _) = np.asarray(run)
                (x.append(x1 + dx) if abs(x2 - x1) < 1e-9 else y.append(y1 + dy))
    assert np.ptp(x) < 1e-6
    assert np.ptp(y) < 1e-6
    return x[0], y[0]


@BOTH
@pytest.mark.parametrize("name", ["handed and trimmed", "lapped"])
def test_joined_by_their_circles_the_pages_show_every_outline_at_its_place(
    name: str, mirrored: bool
) -> None:
    laid = joined(pages(name, mirrored))
    x, y = centre(laid)
    lines: list[shapely.LineString] = []
    for sheet, dx, dy in laid:
        for item in items_of(sheet, "piece"):
            closed = isinstance(item, Polygon)
            for run in item.outlines if isinstance(item, Polygon) else item.runs:  # type: ignore[union-attr]
                corners = np.add(run, (dx - x, dy - y))
                lines.append(
                    shapely.LineString(
                        np.concatenate([corners, corners[:1]]) if closed else corners
                    )
                )
    drawn = shapely.union_all(shapely.buffer(lines, 0.01))
    flip = (-1.0 if mirrored else 1.0, 1.0)
    for piece in planned(name).pieces:
        ring = shapely.Polygon(piece.outline * flip).exterior
        assert shapely.difference(ring, drawn).length < 0.15, f"piece {piece.number}"


@BOTH
@pytest.mark.parametrize("name", ["handed and trimmed", "no frame", "figure"])
def test_number_and_mark_stand_on_their_own_piece(name: str, mirrored: bool) -> None:
    """In order: each mark is followed by its number; both lie inside that piece."""
    plan = planned(name)
    laid = joined(pages(name, mirrored))
    x, y = centre(laid)
    seen = set()
    flip = (-1.0 if mirrored else 1.0, 1.0)
    for sheet, dx, dy in laid:
        texts = [i for i in items_of(sheet) if isinstance(i, Text)]
        led = shapely.union_all(
            [
                shapely.Polygon(o)
                for i in items_of(sheet, "leader-label")
                if isinstance(i, Polygon)
                for o in i.outlines
            ]
        )
        for mark, number in pairwise(texts):
            if number.role != "piece-number" or led.intersects(shapely.Point(number.at)):
                continue
            piece = plan.pieces[int(number.text) - 1]
            assert (piece.number, piece.part) == (int(number.text), mark.text)
            outline = shapely.Polygon(piece.outline * flip)
            for text in (mark, number):
                box = np.add(text_outline(text), (dx - x, dy - y))
                assert outline.covers(shapely.Polygon(box))
                assert -90.0 < text.angle <= 90.0
            seen.add(piece.number)
    assert len(seen) > 0.6 * len(plan.pieces)


@BOTH
@pytest.mark.parametrize("name", TOPS)
def test_every_piece_is_lettered_on_the_pages_and_in_one(name: str, mirrored: bool) -> None:
    wanted = {str(piece.number) for piece in planned(name).pieces}
    for sheets in (pages(name, mirrored), (in_one(name, mirrored),)):
        found = {i.text for s in sheets for i in items_of(s, "piece-number") if isinstance(i, Text)}
        assert found == wanted


@BOTH
@pytest.mark.parametrize("name", TOPS)
def test_no_label_lies_on_another_or_leaves_the_page(name: str, mirrored: bool) -> None:
    for sheet in (*pages(name, mirrored), in_one(name, mirrored)):
        assert list(faults(sheet)) == []
        assert off_page(sheet) == []


def test_every_mirrored_sheet_says_so_in_letters_of_ten_millimetres() -> None:
    """Ten millimetres: read across a bench; common practice."""
    for sheet in (*pages("figure", True), in_one("figure", True)):
        (word,) = (i for i in items_of(sheet, "mirrored") if isinstance(i, Text))
        assert word.text == "MIRRORED"
        assert word.cap >= 10.0
    for sheet in (*pages("figure"), in_one("figure")):
        assert not any("MIRRORED" in words for words in texts_of(sheet))


def test_mirrored_left_and_right_change_places_and_front_stays() -> None:
    for mirrored in (False, True):
        at = {
            i.text: i.at
            for i in items_of(in_one("figure", mirrored), "direction")
            if isinstance(i, Text)
        }
        assert (at["LEFT"][0] < at["RIGHT"][0]) != mirrored
        assert at["FRONT"][1] < at["BACK"][1]


def test_long_points_of_handed_pieces_are_mirrored_with_them() -> None:
    """The corner that is marked is the same corner of the same piece, seen from below."""
    up, down = (
        sorted(
            tuple(np.round(np.asarray(outline).mean(axis=0) * (side, 1.0), 6))
            for item in items_of(in_one("handed and trimmed", mirrored), "long-point")
            if isinstance(item, Polygon)
            for outline in item.outlines
        )
        for mirrored, side in ((False, 1.0), (True, -1.0))
    )
    assert len(up) > 10
    assert np.abs(np.array(up) - np.array(down)).max() < 1e-5


def test_on_paper_every_page_has_its_check_lines_and_lines_lie_true() -> None:
    pdf = read(write_pdf(pages("handed and trimmed"), title="Template"))
    assert len(pdf.pages) == len(pages("handed and trimmed"))
    for page in pdf.pages:
        assert page.width / MM == pytest.approx(210.0, abs=0.05)
        for lengths in check_lines(page).values():
            assert {round(length, 1) for length in lengths} >= {100.0, 101.6}
            for true in (100.0, 101.6):
                assert min(abs(length - true) for length in lengths) < 0.05
    assert "MIRRORED" not in (pdf.pages[1].extract_text() or "")


def test_on_paper_the_opening_is_as_long_as_it_should_be() -> None:
    """8 x 6 in is 203.2 x 152.4 mm: the lid without a frame fits one page."""
    (sheet,) = pages("no frame")
    page = read(write_pdf([sheet], title="Template")).pages[0]
    level = [x1 - x0 for x0, y0, x1, y1 in straight_lines(page) if abs(y1 - y0) < 0.01]
    upright = [y1 - y0 for x0, y0, x1, y1 in straight_lines(page) if abs(x1 - x0) < 0.01]
    rects = [(r["width"] / MM, r["height"] / MM) for r in page.rects]
    assert any(abs(w - 203.2) < 0.05 and abs(h - 152.4) < 0.05 for w, h in rects) or (
        min(abs(length - 203.2) for length in level) < 0.05
        and min(abs(length - 152.4) for length in upright) < 0.05
    )


def test_a_printer_that_is_off_is_corrected_on_every_page() -> None:
    plan = planned("no frame")
    plan = replace(plan, design=replace(plan.design, print_scale=(1.01, 0.99)))
    sheets = draw_template_pages(lay_template(plan))
    page = read(write_pdf(sheets, title="T", stretch=(1.01, 0.99))).pages[0]
    across = [x1 - x0 for x0, y0, x1, y1 in straight_lines(page) if abs(y1 - y0) < 0.01]
    upright = [y1 - y0 for x0, y0, x1, y1 in straight_lines(page) if abs(x1 - x0) < 0.01]
    assert min(abs(length - 101.0) for length in across) < 0.05
    assert min(abs(length - 99.0) for length in upright) < 0.05


def test_in_one_the_sheet_is_true_to_size_and_its_wood_adds_up() -> None:
    sheet = in_one("no frame")
    text = write_svg(sheet, embed_font=False)
    assert f'width="{round(sheet.width, 3):g}mm"' in text
    outlines = [o for i in items_of(sheet, "piece") if isinstance(i, Polygon) for o in i.outlines]
    area = sum(shapely.Polygon(o).area for o in outlines)
    assert area == pytest.approx(
        sum(shapely.Polygon(p.outline).area for p in planned("no frame").pieces)
    )


def test_the_same_plan_gives_the_same_bytes() -> None:
    once, again = (
        write_pdf(draw_template_pages(lay_template(planned("no frame"), mirrored=True)), title="T")
        for _ in range(2)
    )
    assert once == again


@given(st.floats(20.0, 3000.0), st.floats(20.0, 3000.0), st.sampled_from(["A4", "Letter"]))
def test_cells_cover_the_drawing_and_windows_fit_the_paper(
    width: float, height: float, paper: str
) -> None:
    design = replace(planned("no frame").design, paper=paper)
    box = (-width / 2, -height / 2, width / 2, height / 2)
    corners = [(box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])]
    grid = lay_grid(box, design=design, needed=[corners])
    assert len(grid.tiles) == grid.columns * grid.rows
    cells = [shapely.box(*tile.cell) for tile in grid.tiles]
    assert sum(cell.area for cell in cells) == pytest.approx(width * height)
    left, bottom, right, top = grid.page.room
    for tile in grid.tiles:
        assert tile.window[2] - tile.window[0] <= right - left - 2 * INSET + 1e-6
        assert tile.window[3] - tile.window[1] <= top - bottom - 2 * INSET + 1e-6
        for side, (join, other) in tile.joins.items():
            facing = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}[side]
            neighbour = next(one for one in grid.tiles if one.number == other)
            assert neighbour.joins[facing] == (join, tile.number)
