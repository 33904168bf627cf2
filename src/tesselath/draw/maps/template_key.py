"""The key of the template: how its pages lie and are joined, what its lines mean.

Comes in: the template and its grid. Goes out: the first page, and the small key on every page.
"""

from __future__ import annotations

from math import hypot

import numpy as np
from numpy.typing import NDArray

from tesselath.draw.maps.template import CENTRE, OPENING, OUTLINE, ROW, TRIM, Template
from tesselath.draw.maps.template_grid import LAP, Grid, Tile
from tesselath.draw.maps.title import Block, key_block, sign_block
from tesselath.draw.paper import (
    INK,
    Fill,
    Item,
    Layer,
    Line,
    Pens,
    Polygon,
    Sheet,
    Stroke,
    Text,
    box_outline,
    fitted_cap,
    lay_page,
    moved,
    pens_for,
    text_width,
    wrapped_text,
)
from tesselath.measure import in_english
from tesselath.plan import Plan

__all__ = ["draw_key", "draw_small_key", "sign_blocks", "template_words"]

_PALE, _FINE = Stroke(0.1, "#8a8a8a"), Stroke(0.15, INK)
_GRID = Stroke(0.35, INK)
_CAP, _LINE, _HEAD = 2.3, 1.75, 4.0


def template_words(template: Template) -> str:
    """Say what a sheet of the template shows."""
    if template.mirrored:
        return "template, MIRRORED, seen from below"
    return "template, seen from above, show face up"


def draw_key(template: Template, grid: Grid, *, what: str, of: int) -> Sheet:
    """Draw the page that shows how all others are joined."""
    left, bottom, right, top = grid.page.room
    items: list[Item] = []
    y = top - 1.0
    if template.mirrored:
        items.append(
            Text(
                "MIRRORED",
                (left, y),
                10.0,
                anchor="start",
                baseline="top",
                weight=600,
                role="mirrored",
            )
        )
        y -= 14.0
    items.append(
        Text("How the pages join", (left, y), _HEAD, anchor="start", baseline="top", weight=600)
    )
    y -= _HEAD + 3.0
    for words in _advice(template):
        for line in wrapped_text(words, right - left, _CAP):
            items.append(Text(line, (left, y), _CAP, anchor="start", baseline="top"))
            y -= _LINE * _CAP
        y -= 0.5 * _CAP
    blocks = sign_blocks(template, pens_for(200.0))
    foot = max(block.height for block in blocks)
    x = left
    for block in blocks:
        items += moved(block.items, x, bottom + foot + 1.0)
        x += block.width + 12.0
    items += _overview(template, grid, (left, bottom + foot + 6.0, right, y - 2.0))
    layers = [Layer("key", tuple(items))]
    return lay_page(grid.page, layers, design=template.plan.design, what=what, number=1, of=of)


def draw_small_key(grid: Grid, tile: Tile, *, width: float, height: float) -> Block:
    """Draw the grid very small, a page filled in; its lower left corner is the origin."""
    scale = min(width / (grid.box[2] - grid.box[0]), height / (grid.box[3] - grid.box[1]))
    dx, dy = -grid.box[0], -grid.box[1]
    boxes = {
        one.number: box_outline(
            scale * (one.cell[0] + dx),
            scale * (one.cell[1] + dy),
            scale * (one.cell[2] - one.cell[0]),
            scale * (one.cell[3] - one.cell[1]),
        )
        for one in grid.tiles
    }
    items: list[Item] = [
        Polygon((boxes[tile.number],), Fill(INK), role="here"),
        Polygon(tuple(boxes.values()), stroke=_FINE, role="small-key"),
    ]
    return Block(tuple(items), width, scale * (grid.box[3] - grid.box[1]))


def sign_blocks(template: Template, pens: Pens) -> list[Block]:
    """Explain the rulings of the woods and the lines."""
    plan, wide, high = template.plan, 4.4 * pens.base, 2.0 * pens.base
    english = plan.design.english
    counts: dict[str, int] = {}
    for piece in plan.pieces:
        counts[piece.wood] = counts.get(piece.wood, 0) + 1
    woods = [
        (look, f"{wood}, {counts[wood]} {'piece' if counts[wood] == 1 else 'pieces'}")
        for wood, look in template.looks.items()
    ]
    level = ((0.0, high / 2), (wide, high / 2))
    trimmed = plan.design.order == "trim"
    kinds: list[tuple[Stroke, str]] = [
        (OUTLINE, "edge of a piece"),
        (TRIM if trimmed else OPENING, "trim line" if trimmed else "edge of the opening"),
        (CENTRE, "centre line"),
    ]
    roles = {item.role for item in template.fine}
    if "row-line" in roles:
        kinds.append((ROW, "where a row begins or ends"))
    rows: list[tuple[list[Item], str]] = [([Line((level,), pen)], words) for pen, words in kinds]
    if any(item.role == "long-point" for item in template.firm):
        triangle = ((0.0, high), (0.0, 0.3 * high), (0.9 * high, high))
        rows.append(([Polygon((triangle,), Fill(INK))], "long point at the stop end"))
    signs = sign_block([(items, in_english(words, english)) for items, words in rows], pens=pens)
    return [key_block(woods, extra=(), spacing=0.6 * pens.base, pens=pens), signs]


def _advice(template: Template) -> list[str]:
    """Say how the pages are trimmed, joined and checked."""
    plan = template.plan
    show = plan.design.show
    across, away = (float(side) for side in np.ptp(plan.opening, axis=0))
    lap = plan.design.show_plain(LAP)
    lines = [
        "Print all pages at 100 % and lay a tape on the check lines of one before you go on.",
        f"Every page shows a lap of {lap} beyond its own area. Trim it along the dashed lines at "
        "its left and lower edge, and lay it over the laps of its neighbours, circle on circle, "
        "letter on letter; fix it with tape. Begin at the front, on the left in this picture.",
        f"When all is joined, measure the opening: {show(across)} from left to right reads "
        f"______, {show(away)} from front to back reads ______{_diagonal(plan)}.",
    ]
    if template.mirrored:
        lines.append(
            "This is the top seen from below: lay each piece show face DOWN on its outline. "
            "Numbers and marks are those of the plan."
        )
    else:
        lines.append("This is the top seen from above: lay each piece show face up.")
    return [in_english(line, plan.design.english) for line in lines]


def _diagonal(plan: Plan) -> str:
    if len(plan.opening) != 4:
        return ""
    across, away = (float(side) for side in np.ptp(plan.opening, axis=0))
    length = plan.design.show(hypot(across, away))
    return f", {length} from corner to corner reads ______ and ______"


def _overview(
    template: Template, grid: Grid, room: tuple[float, float, float, float]
) -> list[Item]:
    """Draw the whole, small, under the grid of its pages."""
    left, bottom, right, top = room
    words = 4.5
    box = grid.box
    scale = min(
        (right - left - 2 * words) / (box[2] - box[0]),
        (top - bottom - 2 * words) / (box[3] - box[1]),
    )
    x = (left + right) / 2 - scale * (box[0] + box[2]) / 2
    y = top - words - scale * box[3]
    at = np.array([x, y])
    outlines = tuple(piece.outline * scale + at for piece in template.plan.pieces)
    items: list[Item] = [
        Polygon(outlines, stroke=_PALE, role="overview"),
        Polygon((template.plan.opening * scale + at,), stroke=_FINE, role="overview"),
    ]
    cells = [
        (
            str(tile.number),
            tuple(scale * v + o for v, o in zip(tile.cell, (x, y, x, y), strict=True)),
        )
        for tile in grid.tiles
    ]
    for _, (west, south, east, north) in cells:
        outline = box_outline(west, south, east - west, north - south)
        items.append(Polygon((outline,), stroke=_GRID, role="grid"))
    _, (west, south, east, north) = cells[0]
    widest = "8" * len(cells[-1][0])  # one size for all, that of the longest number
    cap = fitted_cap(widest, 0.5 * (east - west), min(6.0, 0.4 * (north - south)), 600)
    for number, (west, south, east, north) in cells:
        half = text_width(number, cap, 600) / 2 + 0.35 * cap
        middle = ((west + east) / 2, (south + north) / 2)
        flag = box_outline(middle[0] - half, middle[1] - 0.9 * cap, 2 * half, 1.8 * cap)
        items += [
            Polygon((flag,), Fill("#ffffff"), role="grid-flag"),
            Text(number, middle, cap, weight=600, role="grid-number"),
        ]
    return [*items, *_sides(template, scale * np.reshape(box, (2, 2)) + at)]


def _sides(template: Template, box: NDArray[np.float64]) -> list[Item]:
    """Name the sides of the small picture."""
    (left, bottom), (right, top) = box.tolist()
    x, y, off = (left + right) / 2, (bottom + top) / 2, 2.6
    sides = ("RIGHT", "LEFT") if template.mirrored else ("LEFT", "RIGHT")
    return [
        Text(word, place, 2.5, angle=angle, weight=600, role="direction")
        for word, place, angle in (
            ("FRONT", (x, bottom - off), 0.0),
            ("BACK", (x, top + off), 0.0),
            (sides[0], (left - off, y), 90.0),
            (sides[1], (right + off, y), 90.0),
        )
    ]
