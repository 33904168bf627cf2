"""The template on home paper: the map at full size, page by page, to be taped together.

Comes in: a plan. Goes out: pages, true to size, the key first.

Each page is trimmed along its dashed left and lower edges and laid over the laps of the pages
to its left and in front of it, circle on circle, letter on letter::

        |         :lap|
     ---+-- - - - + --+        : and ..  the neighbour's edge comes here
        |  A 17   :   |        |         trimmed here
        |        -O-  |        O         register marks, lettered alike on both pages
        |_________:___|
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from tesselath.draw.maps.template import Template
from tesselath.draw.maps.template_edges import letter_edges
from tesselath.draw.maps.template_grid import INSET, Grid, Join, Tile, lay_grid
from tesselath.draw.maps.template_key import draw_key, draw_small_key, template_words
from tesselath.draw.maps.template_letters import Cell, Lettering, broken, letter_cells
from tesselath.draw.paper import (
    INK,
    Box,
    Circle,
    Cuttable,
    Fill,
    Item,
    Layer,
    Line,
    Page,
    Point,
    Polygon,
    Sheet,
    Stroke,
    Text,
    box_outline,
    fitted_cap,
    in_window,
    lay_page,
    moved,
    prepare,
    text_width,
)
from tesselath.measure import in_english

__all__ = ["draw_template_pages"]

_PEN = Stroke(0.2, INK)
_CUT = Stroke(0.25, INK, (2.0, 1.2))
_MEET = Stroke(0.15, INK, (0.6, 0.9))
_CROP = Stroke(0.2, INK)
_RING, _ARM, _LETTER = 1.6, 2.6, 2.6
#: What a register mark and its letter take beside a cut: along it to both sides, inward [mm].
_ALONG, _INWARD = 3.4, 9.0
_CAP = 1.8
#: The letters of the warning on every mirrored page [mm].
_WARNING = 10.0


def draw_template_pages(template: Template) -> tuple[Sheet, ...]:
    """Draw the template over as many pages as it needs.

    Source: common practice; sewing patterns are printed and joined like this.

    Parameters
    ----------
    template : Template
        The template, as it is or mirrored.
    """
    plan = template.plan
    box = letter_edges(template).box
    needed = [plan.opening, *(piece.cut_outline for piece in plan.pieces)]
    grid = lay_grid(box, design=plan.design, needed=needed)
    edges = letter_edges(template, cuts=grid.cuts)
    letterings = letter_cells(
        template, [Cell(tile.cell, _kept_free(tile)) for tile in grid.tiles], taken=edges.boxes
    )
    alone = len(grid.tiles) == 1
    of = len(grid.tiles) + (0 if alone else 1)
    what = in_english(template_words(template), plan.design.english)
    pages = [] if alone else [draw_key(template, grid, what=what, of=of)]
    drawing = _Drawing(
        template, prepare(template.fine), prepare(template.firm), prepare(edges.items)
    )
    for tile, lettering in zip(grid.tiles, letterings, strict=True):
        layers = _tile(drawing, grid, tile, lettering)
        pages.append(
            lay_page(grid.page, layers, design=plan.design, what=what, number=tile.number, of=of)
        )
    return tuple(pages)


@dataclass(frozen=True, slots=True)
class _Drawing:
    """The template made ready to be cut into pages."""

    template: Template
    fine: tuple[Cuttable, ...]
    firm: tuple[Cuttable, ...]
    edges: tuple[Cuttable, ...]


def _tile(drawing: _Drawing, grid: Grid, tile: Tile, lettering: Lettering) -> list[Layer]:
    """Draw one page: what lies in its window, its joins, its place in the grid."""
    dx, dy = _shift(grid.page, tile.window)
    layers = [
        Layer("fine", broken(in_window(drawing.fine, tile.window), lettering.boxes)),
        Layer("outlines", in_window(drawing.firm, tile.window)),
        Layer("edges", in_window(drawing.edges, tile.window)),
        Layer("numbers", lettering.items),
        Layer("joins", tuple(_joins(tile))),
    ]
    placed = [replace(layer, items=moved(layer.items, dx, dy)) for layer in layers]
    return [*placed, Layer("beside", tuple(_strip(drawing.template, grid, tile)))]


def _shift(page: Page, window: Box) -> Point:
    """Say how far the drawing is moved to stand on its page, at the lower left of the room."""
    left, bottom, _, _ = page.room
    return left + INSET - window[0], bottom + INSET - window[1]


def _kept_free(tile: Tile) -> tuple[Box, ...]:
    """Give the boxes of the register marks within a cell."""
    left, bottom, right, top = tile.cell
    boxes: list[Box] = []
    for side, (join, _) in tile.joins.items():
        for x, y in join.marks:
            boxes.append(
                {
                    "left": (left, y - _ALONG, left + _INWARD, y + _ALONG),
                    "right": (right - _INWARD, y - _ALONG, right, y + _ALONG),
                    "bottom": (x - _ALONG, bottom, x + _ALONG, bottom + _INWARD),
                    "top": (x - _ALONG, top - _INWARD, x + _ALONG, top),
                }[side]
            )
    return tuple(boxes)


def _joins(tile: Tile) -> list[Item]:
    """Draw where a page is cut and where its neighbours come to lie, with register marks."""
    left, bottom, right, top = tile.window
    cell = tile.cell
    items: list[Item] = []
    for side, (join, other) in tile.joins.items():
        upright = join.upright
        at = join.start[0] if upright else join.start[1]
        run = ((at, bottom), (at, top)) if upright else ((left, at), (right, at))
        cut = side in ("left", "bottom")
        items.append(Line((run,), _CUT if cut else _MEET, role="cut-line" if cut else "meet-line"))
        words = f"trim here, lay it over page {other}" if cut else f"page {other} is laid on here"
        middle = ((cell[1] + cell[3]) if upright else (cell[0] + cell[2])) / 2
        out = {"left": left, "bottom": bottom, "right": right, "top": top}[side]
        beyond = out + (-INSET / 2 if cut else INSET / 2)
        place = (beyond, middle) if upright else (middle, beyond)
        items.append(Text(words, place, _CAP, angle=90.0 if upright else 0.0, role="join-words"))
        for mark in join.marks:
            items += _register(join, mark, inward=1.0 if cut else -1.0)
    items.append(Line(tuple(_crop_marks(tile)), _CROP, role="crop-mark"))
    return items


def _register(join: Join, at: Point, *, inward: float) -> list[Item]:
    """Draw a crossed circle on a cut, and its letter within the page."""
    x, y = at
    off = inward * (_RING + 1.2 + _LETTER)
    place = (x + off, y) if join.upright else (x, y + off)
    half = text_width(join.letter, _LETTER, 600) / 2 + 0.7
    flag = box_outline(place[0] - half, place[1] - 2.0, 2 * half, 4.0)
    cross = (((x - _ARM, y), (x + _ARM, y)), ((x, y - _ARM), (x, y + _ARM)))
    return [
        Circle(at, _RING, stroke=_PEN, role="register"),
        Line(cross, _PEN, role="register"),
        Polygon((flag,), Fill("#ffffff"), Stroke(0.13, INK), role="join-letter"),
        Text(join.letter, place, _LETTER, weight=600, role="join-letter"),
    ]


def _crop_marks(tile: Tile) -> list[tuple[Point, Point]]:
    """Draw short lines beyond the window at both ends of every edge of the cell."""
    left, bottom, right, top = tile.window
    near, far = 0.6, INSET - 0.6
    runs: list[tuple[Point, Point]] = []
    for x in (tile.cell[0], tile.cell[2]):
        runs += [((x, bottom - near), (x, bottom - far)), ((x, top + near), (x, top + far))]
    for y in (tile.cell[1], tile.cell[3]):
        runs += [((left - near, y), (left - far, y)), ((right + near, y), (right + far, y))]
    return runs


def _strip(template: Template, grid: Grid, tile: Tile) -> list[Item]:
    """Say at the edge of the page where it lies in the whole, and where the front is."""
    left, bottom, right, top = grid.page.room
    items: list[Item] = []
    y = bottom + 101.6 + 3.0
    if len(grid.tiles) > 1:
        key = draw_small_key(grid, tile, width=9.0, height=11.0)
        items += moved(key.items, right + 1.0, y)
        y += key.height + 2.0
    if template.mirrored:
        cap = fitted_cap("MIRRORED", top - y, _WARNING, 600)
        items.append(
            Text(
                "MIRRORED",
                (right + 5.5, y),
                cap,
                anchor="start",
                angle=90.0,
                weight=600,
                role="mirrored",
            )
        )
    return [*items, *_front((left + INSET + 6.0, bottom + INSET / 2))]


def _front(at: Point) -> list[Item]:
    """Point down to the front of the top."""
    x, y = at
    head = ((x - 1.2, y + 1.0), (x + 1.2, y + 1.0), (x, y - 1.2))
    return [
        Polygon((head,), Fill(INK), role="direction"),
        Text("FRONT", (x + 2.4, y), _CAP, anchor="start", weight=600, role="direction"),
    ]
