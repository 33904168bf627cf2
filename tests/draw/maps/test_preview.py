"""The finished top: all of the wood, none of the numbers."""

from __future__ import annotations

import pytest
import shapely

from tesselath.draw.maps import draw_preview
from tesselath.draw.maps.wood import wood_colour
from tesselath.draw.paper import Line, Polygon, Text, write_svg
from tops_drawn import planned

NAMES = ["hall-table", "crowded-tray", "handed and trimmed"]


@pytest.mark.parametrize("name", NAMES)
def test_the_boards_cover_as_much_as_the_pieces(name: str) -> None:
    plan = planned(name)
    boards = [
        shapely.Polygon(outline).area
        for layer in draw_preview(plan).layers
        for item in layer.items
        if isinstance(item, Polygon) and item.role == "board"
        for outline in item.outlines
    ]
    pieces = [shapely.Polygon(piece.outline).area for piece in plan.pieces]
    assert len(boards) == len(pieces)
    assert sum(boards) == pytest.approx(sum(pieces))


@pytest.mark.parametrize("name", NAMES)
def test_no_lettering_mars_the_picture(name: str) -> None:
    sheet = draw_preview(planned(name))
    assert not any(isinstance(item, Text) for layer in sheet.layers for item in layer.items)


@pytest.mark.parametrize("name", NAMES)
def test_streaks_of_the_grain_stay_on_the_top(name: str) -> None:
    plan = planned(name)
    sheet = draw_preview(plan)
    page = shapely.box(
        sheet.left, sheet.bottom, sheet.left + sheet.width, sheet.bottom + sheet.height
    )
    streaks = [
        run
        for layer in sheet.layers
        for item in layer.items
        if isinstance(item, Line) and item.role == "figure"
        for run in item.runs
    ]
    assert len(streaks) > len(plan.pieces)
    assert all(page.covers(shapely.LineString(run)) for run in streaks)


def test_the_frame_has_the_colour_of_its_wood() -> None:
    sheet = draw_preview(planned("hall-table"))
    fills = [
        item.fill.colour
        for layer in sheet.layers
        if layer.name == "frame"
        for item in layer.items
        if isinstance(item, Polygon) and item.fill
    ]
    assert wood_colour("walnut") in fills


def test_the_plain_palette_changes_the_colours_only() -> None:
    plan = planned("crowded-tray")
    first, second = draw_preview(plan), draw_preview(plan, palette="plain")
    assert write_svg(first) != write_svg(second)
    assert (first.width, first.height) == (second.width, second.height)
