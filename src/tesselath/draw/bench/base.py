"""The base: the lines to draw on it, and how it is sawn from sheets.

Comes in: a plan with a base. Goes out: sheets to a scale that fits the page. Refuses: a plan
without a base.

Every line is measured from one zero each way, the left edge and the front edge::

            BACK
      +-----:-----+
      |- - -:- - -|           1    2    +-----+-----+//+
      |.....:.....|  centre             |  1  |  2  |//|  left over
      0-----:-----+                     +-----+-----+//+
            FRONT
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from tesselath.draw.bench.ordinates import draw_ordinates
from tesselath.draw.paper import (
    INK,
    SIGNAL,
    Fill,
    Hatch,
    Item,
    Layer,
    Line,
    Polygon,
    Sheet,
    Stroke,
    Text,
    box_outline,
    fitted_cap,
    text_width,
)
from tesselath.frame import BasePanel, GuideLine, SheetPart
from tesselath.plan import Plan

__all__ = ["draw_base_lines", "draw_sheets"]

_CAP, _WORD = 2.1, 2.6
_EDGE, _THIN = Stroke(0.5, INK), Stroke(0.25, INK)
_JOIN = Stroke(0.35, "#555555", (1.2, 0.8))
_WOOD = Fill("#f3eee3")
_LEFT_OVER = Fill("#ffffff", Hatch(45.0, 2.2, 0.15, "#777777"))
#: How a line is drawn by its name; any other is an edge of a zone.
_LINES = {
    "centre line": Stroke(0.35, SIGNAL, (7.0, 1.4, 1.0, 1.4)),
    "trim line": Stroke(0.45, SIGNAL, (3.0, 1.6)),
}


def draw_base_lines(plan: Plan, base: BasePanel, *, width: float, height: float) -> Sheet:
    """Draw the base with the lines that are drawn on it, measured from its left and front edge.

    Parameters
    ----------
    width, height : float
        The room there is [mm].

    Returns
    -------
    Sheet
        The picture, at a scale that fits; roles "base", "base-line", "join" and "ordinate".
    """
    lines = plan.frame_base.lines
    across = _marks(plan, lines, "across", base.cut[0])
    away = _marks(plan, lines, "away", base.cut[1])
    beside = 6.0 + max(text_width(words, _CAP) for _, words in away)
    under = 6.0 + max(text_width(words, _CAP) for _, words in across)
    ends = 2 * (_WORD + 4.0)  # the words of the sides
    scale = min((width - beside - ends) / base.cut[0], (height - under - ends) / base.cut[1], 1.0)
    wide, deep = base.cut[0] * scale, base.cut[1] * scale
    items: list[Item] = [*_panel(base, scale)]
    for line in lines:
        at = line.at * scale
        run = ((at, 0.0), (at, deep)) if line.axis == "across" else ((0.0, at), (wide, at))
        items.append(Line((run,), _LINES.get(line.name, _THIN), role="base-line"))
    left = [(at * scale, words) for at, words in away]
    below = [(at * scale, words) for at, words in across]
    lettering, beside = draw_ordinates("left", left, edge=0.0, cap=_CAP)
    items += lettering
    lettering, under = draw_ordinates("bottom", below, edge=0.0, cap=_CAP)
    items += lettering
    items += _sides(wide, deep, beside, under)
    air = _WORD + 4.0
    return Sheet(
        f"{plan.design.name}: base",
        -beside - air,
        -under - air,
        wide + beside + 2 * air,
        deep + under + 2 * air,
        (Layer("base", tuple(items)),),
    )


def _marks(
    plan: Plan, lines: Sequence[GuideLine], axis: str, size: float
) -> list[tuple[float, str]]:
    """Give what is written along an edge: each line with its measure, and the whole size."""

    def words(name: str, at: float) -> str:
        return f"{name}: {plan.design.show_plain(at)}"

    marks = [(line.at, words(line.name, line.at)) for line in lines if line.axis == axis]
    return [(0.0, "0"), *marks, (size, words("edge", size))]


def _panel(base: BasePanel, scale: float) -> list[Item]:
    """Draw the panel with its joins; the parts of a joined one are numbered."""
    wide, deep = (side * scale for side in base.cut)
    outline = box_outline(0.0, 0.0, wide, deep)
    if base.outline is not None:
        corners = (base.outline - base.outline.min(axis=0)) * scale
        outline = tuple((float(x), float(y)) for x, y in corners)
    cut = base.sheets
    items: list[Item] = [Polygon((outline,), _WOOD, _EDGE, role="base")]
    joins = [
        ((n * wide / cut.across, 0.0), (n * wide / cut.across, deep)) for n in range(1, cut.across)
    ]
    joins += [((0.0, n * deep / cut.away), (wide, n * deep / cut.away)) for n in range(1, cut.away)]
    if joins:
        items.append(Line(tuple(joins), _JOIN, role="join"))
        items += _part_numbers(shapely.Polygon(np.asarray(outline)), base, scale)
    return items


def _part_numbers(panel: shapely.Polygon, base: BasePanel, scale: float) -> list[Item]:
    """Number the parts of a joined base, left to right and front to back."""
    cut, (wide, deep) = base.sheets, (side * scale for side in base.sheets.part)
    items: list[Item] = []
    for number in range(cut.across * cut.away):
        x, y = (number % cut.across) * wide, (number // cut.across) * deep
        seen = panel.intersection(shapely.box(x, y, x + wide, y + deep))
        if seen.area > 0:
            middle = seen.centroid
            # Off the middle, where a centre line may run.
            at = middle.x - 0.12 * wide, middle.y + 0.12 * deep
            items.append(
                Text(f"part {number + 1}", at, min(4.0, 0.2 * deep), weight=600, colour="#777777")
            )
    return items


def _sides(wide: float, deep: float, beside: float, under: float) -> list[Item]:
    words = (
        ("FRONT", (wide / 2, -under - 3.0), 0.0),
        ("BACK", (wide / 2, deep + 3.6), 0.0),
        ("LEFT", (-beside - 3.0, deep / 2), 90.0),
        ("RIGHT", (wide + 3.6, deep / 2), 90.0),
    )
    return [
        Text(
            word,
            at,
            fitted_cap(word, 0.9 * (deep if angle else wide), _WORD, 600),
            angle=angle,
            weight=600,
            role="direction",
        )
        for word, at, angle in words
    ]


def draw_sheets(plan: Plan, base: BasePanel, *, width: float, height: float) -> Sheet:
    """Draw how the base is sawn from its sheets; sheets alike are drawn once.

    Parameters
    ----------
    width, height : float
        The room there is [mm].

    Returns
    -------
    Sheet
        The picture; roles "sheet", "part" and "left-over".
    """
    cut, show = base.sheets, plan.design.show_plain
    groups: list[tuple[list[SheetPart], list[int]]] = []
    for number in range(1, cut.sheets + 1):
        parts = [part for part in cut.parts if part.sheet == number]
        same = [(part.x, part.y, part.length, part.width) for part in parts]
        for others, numbers in groups:
            if [(part.x, part.y, part.length, part.width) for part in others] == same:
                numbers.append(number)
                break
        else:
            groups.append((parts, [number]))
    gap, head = 6.0, 5.0
    columns = min(2, len(groups))
    rows = -(-len(groups) // columns)
    long, short = cut.sheet
    scale = min((width - (columns - 1) * gap) / columns / long, height / rows / short, 0.1)
    wide, high = long * scale, short * scale
    items: list[Item] = []
    for n, (parts, numbers) in enumerate(groups):
        x, y = (n % columns) * (wide + gap), -(n // columns) * (high + gap + head)
        name = "Sheet" if len(numbers) == 1 else f"{len(numbers)} sheets like this"
        title = f"{name}, {show(long)} × {show(short)}"
        items.append(
            Text(title, (x, y + high + 1.6), _CAP, anchor="start", baseline="base", weight=600)
        )
        items += _sheet(base, parts, (x, y), scale, [show(side) for side in cut.part])
    bottom = -(rows - 1) * (high + gap + head) - 1.0
    left = -1.0
    across = columns * wide + (columns - 1) * gap + 2.0
    return Sheet(
        f"{plan.design.name}: sheets",
        left,
        bottom,
        across,
        high + head - bottom,
        (Layer("sheets", tuple(items)),),
    )


def _sheet(
    base: BasePanel,
    parts: Sequence[SheetPart],
    at: tuple[float, float],
    scale: float,
    sizes: Sequence[str],
) -> list[Item]:
    """Draw one sheet: what is left over is hatched, each part carries its number and size."""
    (x, y), cut = at, base.sheets
    wide, high = cut.sheet[0] * scale, cut.sheet[1] * scale
    boxes = [
        box_outline(x + part.x * scale, y + part.y * scale, part.length * scale, part.width * scale)
        for part in parts
    ]
    whole = shapely.box(x, y, x + wide, y + high)
    rest = shapely.difference(whole, shapely.union_all([shapely.Polygon(box) for box in boxes]))
    rings = [
        np.asarray(shapely.get_coordinates(ring))[:-1]
        for piece in shapely.get_parts(rest)
        if piece.geom_type == "Polygon"
        for ring in (piece.exterior, *piece.interiors)
    ]
    items: list[Item] = []
    if rings:
        items.append(Polygon(tuple(rings), _LEFT_OVER, role="left-over"))
    items.append(Polygon((box_outline(x, y, wide, high),), stroke=_EDGE, role="sheet"))
    items.append(Polygon(tuple(boxes), _WOOD, _THIN, role="part"))
    for box, part in zip(boxes, parts, strict=True):
        (left, low), (right, top) = box[0], box[2]
        upright = part.width > part.length
        room = 0.9 * ((top - low) if upright else (right - left))
        thick = (right - left) if upright else (top - low)
        what = "base" if cut.joins == 0 else "part"
        words = f"{what}, {sizes[0]} × {sizes[1]}"
        cap = min(fitted_cap(words, room, 2.6, 600), 0.5 * thick)
        if cap >= 1.7:
            middle = (left + right) / 2, (low + top) / 2
            items.append(
                Text(words, middle, cap, angle=90.0 if upright else 0.0, weight=600, role="part")
            )
    return items
