"""Beside the field on the template: numbers of the rows, and running measures from one zero.

Comes in: the template, where it will be cut. Goes out: lettering that no cut goes through, and the
box of all.

Measures stand at the front and at the left, rows at both their ends::

     +1  8 5/16 -|///////////|- +1
      0        0 -|///////////|-  0
         |   |
         8   0
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tesselath.draw.maps.rows import RowMark
from tesselath.draw.maps.template import OVER, ROW_CAP, Template
from tesselath.draw.paper import Box, Corners, Text, text_outline, text_width

__all__ = ["Edges", "letter_edges"]

_MEASURE = 2.0
#: The least distance of two measures, and of a measure from a cut [mm].
_PITCH, _CLEAR = 3.2, 2.0
_ORDER = ("centre", "edge", "row", "line", "joint")


@dataclass(frozen=True, slots=True)
class Edges:
    """What stands beside the field, and the box of field and all that [mm]."""

    items: tuple[Text, ...]
    box: Box

    @property
    def boxes(self) -> list[Corners]:
        """The boxes of the lettering, with a little air [mm]."""
        return [text_outline(text, air=0.5) for text in self.items]


def letter_edges(
    template: Template, *, cuts: tuple[Sequence[float], Sequence[float]] = ((), ())
) -> Edges:
    """Letter the edges of the template.

    Source: common practice: a setting-out rod measures everything from one zero.
    """
    left, bottom, right, top = template.field
    items: list[Text] = []
    depth = {"left": 0.0, "bottom": 0.0, "right": 0.0, "top": 0.0}
    for axis, side in ((0, "bottom"), (1, "left")):
        shown = _measures(template, axis)
        depth[side] = max(text_width(words, _MEASURE) for _, words in shown) + 1.5
        line = (bottom if axis == 0 else left) - OVER - 0.8
        for at, words in shown:
            if all(abs(at - cut) >= _CLEAR for cut in cuts[axis]):
                place = (at, line) if axis == 0 else (line, at)
                items.append(
                    Text(
                        words,
                        place,
                        _MEASURE,
                        anchor="end",
                        angle=90.0 if axis == 0 else 0.0,
                        role="running-measure",
                    )
                )
    for side, deep in depth.items():
        marks = [mark for mark in template.rows if mark.side == side]
        if not marks:
            continue
        upright = side in ("bottom", "top")
        half = max(_half(mark, upright) for mark in marks)
        away = OVER + 0.8 + deep + 1.0 + half
        line = {
            "left": left - away,
            "right": right + away,
            "bottom": bottom - away,
            "top": top + away,
        }[side]
        for mark in marks:
            at = _clear(mark.at, cuts[0 if upright else 1], 0.6 * ROW_CAP + 1.0)
            items.append(
                Text(
                    mark.text,
                    (at, line) if upright else (line, at),
                    ROW_CAP,
                    weight=600,
                    colour="#444444",
                    role="row-number",
                )
            )
        depth[side] = deep + 1.0 + 2 * half
    out = {side: max(OVER + 1.8 + deep, 2 * OVER) for side, deep in depth.items()}
    box = (left - out["left"], bottom - out["bottom"], right + out["right"], top + out["top"])
    return Edges(tuple(items), box)


def _measures(template: Template, axis: int) -> list[tuple[float, str]]:
    """Give the measures along an edge that have room, from the centre line both ways."""
    design = template.plan.design
    marks = template.marks[axis]
    low, high = template.field[axis] - 0.1, template.field[axis + 2] + 0.1
    wished = [(0.0, "centre"), *((m.at, m.kind) for m in marks if low <= m.at <= high)]
    wished.sort(key=lambda one: (_ORDER.index(one[1]), -abs(one[0]), one[0]))
    kept: list[float] = []
    for at, _ in wished:
        if all(abs(at - other) >= _PITCH for other in kept):
            kept.append(at)
    shown = [design.show(abs(at)) if at else "0" for at in kept]
    if design.units == "in" and not design.both_units:
        shown = [words.removesuffix(" in") + "\N{DOUBLE PRIME}" * (words != "0") for words in shown]
    return sorted(zip(kept, shown, strict=True))


def _half(mark: RowMark, upright: bool) -> float:
    return ROW_CAP / 2 if upright else text_width(mark.text, ROW_CAP, 600) / 2


def _clear(wish: float, cuts: Sequence[float], air: float) -> float:
    """Move a number off a cut, by as little as will do."""
    for cut in cuts:
        if abs(wish - cut) < air:
            return cut + (air if wish >= cut else -air)
    return wish
