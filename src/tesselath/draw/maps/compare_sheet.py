"""Two tops in one picture, at one scale, with their figures under them.

Comes in: the tables of two plans (``plan.json``). Goes out: a sheet.

Wide tops stand one above the other, others side by side. Where most pieces of the two are the
same, those that are not are outlined::

    +-------------+   +-------------+
    |      A      |   |      B      |
    +-------------+   +-------------+
     figures of A      figures of B
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from tesselath.design import WoodDetail
from tesselath.draw.maps.preview import FrameLook, Top, draw_top
from tesselath.draw.paper import (
    INK,
    SIGNAL,
    Item,
    Layer,
    Point,
    Polygon,
    Sheet,
    Stroke,
    Text,
    fitted_cap,
    moved,
)
from tesselath.measure import counted
from tesselath.revise import ComparedRow, Tables, compare_plans, match_pieces, show_value
from tesselath.shape import Outline, as_outline

__all__ = ["draw_comparison", "top_of"]

#: Tops wider than this many times their depth stand one above the other.
_WIDE = 1.6
#: With more than this share of the pieces different, outlining them says nothing.
_MOST = 0.6
#: What is printed under each top, in two lines.
_CAPTION = (
    ("pieces", "parts", "cuts", "setups", "sticks"),
    ("thinnest", "shortest_edge", "cost"),
)


@dataclass(frozen=True, slots=True)
class _Board:
    """What is seen of one piece."""

    number: int
    wood: str
    outline: Outline
    grain: float
    width: float


def draw_comparison(before: Tables, after: Tables, *, names: tuple[str, str]) -> Sheet:
    """Draw two tops at one scale.

    Parameters
    ----------
    before, after : mapping
        The contents of two plan.json.
    names : tuple of str
        What the two are called under their pictures.
    """
    sheets = [draw_top(top_of(tables)) for tables in (before, after)]
    width, height = max(s.width for s in sheets), max(s.height for s in sheets)
    stacked = width > _WIDE * height
    tall = sum(s.height for s in sheets) if stacked else height
    wide = width if stacked else 2 * width
    cap = max(wide, tall) / 75
    foot = 9.0 * cap
    rows = {row.key: row for row in compare_plans(before, after)}
    different = _different(before, after)
    page = Sheet(
        title=f"{names[0]} and {names[1]}",
        left=0.0,
        bottom=0.0,
        width=wide,
        height=tall + foot * (2 if stacked else 1),
        layers=(),
    )
    layers: list[Layer] = []
    for n, (sheet, tables) in enumerate(zip(sheets, (before, after), strict=True)):
        left = 0.0 if stacked or n == 0 else width
        bottom = foot + (sheets[1].height + foot if stacked and n == 0 else 0.0)
        # Both stand on one line, each in the middle of its half.
        dx = left + (width - sheet.width) / 2 - sheet.left
        dy = bottom - sheet.bottom
        letter = "AB"[n]
        layers += [
            replace(layer, name=f"{layer.name}-{letter}", items=moved(layer.items, dx, dy))
            for layer in sheet.layers
        ]
        outlined = _outlined(tables, different[n], cap)
        layers.append(Layer(f"different-{letter}", moved(outlined, dx, dy)))
        at = (left + width / 2, bottom - cap)
        lines = _caption(rows, tables, after=n == 1)
        if different[n]:
            lines.append(f"outlined: {counted(len(different[n]), 'piece')} not in the other plan")
        layers.append(
            Layer(f"words-{letter}", _words(f"{letter}: {names[n]}", lines, at, width, cap))
        )
    return replace(page, layers=tuple(layers))


def top_of(tables: Tables) -> Top:
    """Gather what is seen of a plan from its tables."""
    looks: Mapping[str, Any] = tables.get("looks", {})
    frame = looks.get("frame")
    return Top(
        name=tables["name"],
        opening=as_outline(tables["opening"]["outline"]),
        pieces=[
            _Board(p["number"], p["wood"], as_outline(p["outline"]), p["grain"], p["width"])
            for p in tables["pieces"]
        ],
        uncovered=tuple(as_outline(o) for o in tables["uncovered"]["outlines"]),
        frame=None if frame is None else FrameLook(frame["width"], frame["corner"], frame["wood"]),
        woods={
            name: WoodDetail(name, colour=colour)
            for name, colour in looks.get("colours", {}).items()
        },
    )


def _different(before: Tables, after: Tables) -> tuple[list[int], list[int]]:
    """The pieces of each plan that are not in the other, where they are few."""
    if before.get("pattern") != after.get("pattern"):
        return [], []
    matched = match_pieces(before, after)
    sides = ([*matched.changed, *matched.gone], [*matched.changed, *matched.new])
    if max(len(s) for s in sides) > _MOST * len(after["pieces"]):
        return [], []
    return sorted(sides[0]), sorted(sides[1])


def _outlined(tables: Tables, numbers: Sequence[int], cap: float) -> tuple[Item, ...]:
    if not numbers:
        return ()
    wanted = set(numbers)
    outlines = tuple(np.array(p["outline"]) for p in tables["pieces"] if p["number"] in wanted)
    return (Polygon(outlines, stroke=Stroke(0.22 * cap, SIGNAL), role="different"),)


def _caption(rows: Mapping[str, ComparedRow], tables: Tables, *, after: bool) -> list[str]:
    lines = []
    for keys in _CAPTION:
        told = []
        for row in (rows[key] for key in keys if key in rows):
            value = row.after if after else row.before
            if value is None:
                continue
            shown = show_value(value, row.kind, tables)
            told.append(f"{shown} {row.what}" if row.kind == "count" else f"{row.what} {shown}")
        lines.append(", ".join(told))
    return lines


def _words(
    title: str, lines: Sequence[str], at: Point, width: float, cap: float
) -> tuple[Item, ...]:
    x, y = at
    room = 0.94 * width
    texts = [
        Text(
            title,
            (x, y),
            fitted_cap(title, room, 1.25 * cap, 600),
            baseline="top",
            weight=600,
            colour=INK,
            role="caption",
        )
    ]
    for n, line in enumerate(lines):
        place = (x, y - (2.3 + 1.7 * n) * cap)
        texts.append(
            Text(
                line, place, fitted_cap(line, room, cap), baseline="top", colour=INK, role="caption"
            )
        )
    return tuple(texts)
