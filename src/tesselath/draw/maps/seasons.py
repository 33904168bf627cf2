"""Seasons: the field's size over the humidity of the room, as a plot.

Comes in: a plan. Goes out: a sheet with two plots of one scale, left to right and front to back.

::

    growth |        . ' free (dashed)
           |    . '
         0 |--o=========== glued on plywood
           |' made
           +--|---------|---- humidity, and the moisture it gives
             dry      humid
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor

import numpy as np

from tesselath.draw.paper import (
    INK,
    SIGNAL,
    Circle,
    Fill,
    Item,
    Layer,
    Line,
    Polygon,
    Sheet,
    Stroke,
    Text,
)
from tesselath.measure import show_length, show_number
from tesselath.plan import Plan
from tesselath.wood import Movement

__all__ = ["draw_seasons"]

_CAP = 2.5
_GREY, _PALE = "#777777", "#ececec"
_LEFT, _RIGHT, _FOOT, _HEAD, _APART = 17.0, 5.0, 22.0, 21.0, 19.0

#: Steps of the scale of growth, by units [mm].
_STEPS = {
    "in": tuple(25.4 * s for s in (1 / 64, 1 / 32, 1 / 16, 1 / 8, 1 / 4, 1 / 2, 1.0, 2.0, 4.0)),
    "mm": (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0),
}

#: At most so many steps on the scale [count].
_MOST_STEPS = 7


def draw_seasons(plan: Plan, *, width: float = 180.0, height: float = 92.0) -> Sheet:
    """Draw how the field grows and shrinks with the air of the room.

    The curves are those of `tesselath.wood.movement`.

    Parameters
    ----------
    width, height : float
        The sheet [mm].
    """
    movement, design = plan.movement, plan.design
    step, low, high = _scale(movement, design.units)
    each = (width - _LEFT - _RIGHT - _APART) / 2
    tall = height - _FOOT - _HEAD
    below: list[Item] = []
    items: list[Item] = []
    for axis, name in enumerate(("left to right", "front to back")):
        box = _Box(_LEFT + axis * (each + _APART), _FOOT, each, tall, low, high)
        size = design.show_plain(movement.size[axis])
        items.append(
            Text(
                f"Field, {name}: {size}",
                (box.x, box.y + tall + 3.2),
                _CAP,
                "start",
                "base",
                weight=600,
            )
        )
        below += _grid(box, movement, step, design.units)
        items += _curves(box, movement, axis)
    items += _key(movement, width, height)
    title = Text(
        f"{design.name}: the field over the humidity of the room",
        (_LEFT, height - 5.0),
        3.0,
        "start",
        weight=600,
    )
    mark = Text(f"mark {design.mark}", (width - _RIGHT, height - 5.0), _CAP, "end")
    return Sheet(
        f"{design.name}: movement",
        0.0,
        0.0,
        width,
        height,
        (Layer("scale", tuple(below)), Layer("curves", (*items, title, mark))),
    )


class _Box:
    """One plot: from humidity and growth to the sheet."""

    def __init__(
        self, x: float, y: float, wide: float, tall: float, low: float, high: float
    ) -> None:
        self.x, self.y, self.wide, self.tall = x, y, wide, tall
        self.low, self.high = low, high

    def at(self, humidity: float, growth: float) -> tuple[float, float]:
        """Place a point [mm]."""
        return (
            self.x + (humidity - 20.0) / 70.0 * self.wide,
            self.y + (growth - self.low) / (self.high - self.low) * self.tall,
        )


def _scale(movement: Movement, units: str) -> tuple[float, float, float]:
    """Choose the step and the range of growth, the same for both plots [mm]."""
    grown = [mm for swing in movement.swings for mm in (*swing.field, *swing.free)]
    least, most = min(0.0, *grown), max(0.0, *grown)
    steps = _STEPS[units]
    step = next((s for s in steps if (most - least) / s <= _MOST_STEPS), steps[-1])
    return step, floor(least / step) * step, max(ceil(most / step), 1) * step


def _grid(box: _Box, movement: Movement, step: float, units: str) -> list[Item]:
    """Draw the seasons' band, the scale and its figures."""
    hair = Stroke(0.18, "#bbbbbb")
    dry, humid = (_humidity_at(movement, m) for m in (movement.seasons.dry, movement.seasons.humid))
    left, right = sorted((box.at(dry, 0.0)[0], box.at(humid, 0.0)[0]))
    top = box.y + box.tall
    items: list[Item] = [
        Polygon((((left, box.y), (right, box.y), (right, top), (left, top)),), Fill(_PALE)),
    ]
    for n in range(round(box.low / step), round(box.high / step) + 1):
        y = box.at(20.0, n * step)[1]
        zero = n == 0
        items.append(
            Line((((box.x, y), (box.x + box.wide, y)),), Stroke(0.35, INK) if zero else hair)
        )
        sign = "+" if n > 0 else "–" if n < 0 else ""
        length = show_length(abs(n) * step, tape=min(step, 25.4), units=units, unit=False)
        items.append(Text(f"{sign}{length}" if n else "0", (box.x - 1.6, y), 2.2, "end"))
    items.append(Text(units, (box.x - 1.6, top + 3.2), 2.2, "end", "base"))
    for humidity in range(20, 91, 10):
        x = box.at(float(humidity), 0.0)[0]
        items.append(Line((((x, box.y), (x, box.y - 1.2)),), Stroke(0.25, INK)))
        items.append(Text(str(humidity), (x, box.y - 2.4), 2.2, "middle", "top"))
        moisture = next(s.moisture for s in movement.swings if s.humidity == humidity)
        items.append(
            Text(
                show_number(moisture, decimals=0),
                (x, box.y - 6.2),
                2.2,
                "middle",
                "top",
                colour=_GREY,
            )
        )
    items.append(Line((((box.x, box.y), (box.x + box.wide, box.y)),), Stroke(0.25, INK)))
    if right - left > 14.0:
        items.append(Text("dry", (left + 1.2, box.y + 1.2), 2.2, "start", "base", colour=_GREY))
        items.append(Text("humid", (right - 1.2, box.y + 1.2), 2.2, "end", "base", colour=_GREY))
    return items


def _curves(box: _Box, movement: Movement, axis: int) -> list[Item]:
    free = [box.at(s.humidity, s.free[axis]) for s in movement.swings]
    field = [box.at(s.humidity, s.field[axis]) for s in movement.swings]
    made = box.at(_humidity_at(movement, movement.seasons.made), 0.0)
    items: list[Item] = []
    if not movement.solid:
        items.append(Line((tuple(free),), Stroke(0.35, SIGNAL, (2.0, 1.2))))
    items.append(Line((tuple(field),), Stroke(0.7, INK, (), "round")))
    items.append(Circle(made, 1.1, Fill("#ffffff"), Stroke(0.35, INK)))
    return items


def _key(movement: Movement, width: float, height: float) -> list[Item]:
    """Say what the curves and the two rows of figures are."""
    y = height - 10.4
    words: list[tuple[str, Sequence[float] | None, str, float]] = [
        ("solid slab" if movement.solid else "glued on plywood", (), INK, 0.7),
    ]
    if not movement.solid:
        words.append(("strips left free", (2.0, 1.2), SIGNAL, 0.35))
    items: list[Item] = []
    x = _LEFT
    for text, dash, colour, pen in words:
        items.append(Line((((x, y), (x + 8.0, y)),), Stroke(pen, colour, tuple(dash or ()))))
        items.append(Text(text, (x + 9.5, y), 2.2, "start"))
        x += 42.0
    items.append(Circle((x + 1.5, y), 1.1, Fill("#ffffff"), Stroke(0.35, INK)))
    items.append(Text("as made", (x + 4.0, y), 2.2, "start"))
    x += 24.0
    items.append(
        Polygon((((x, y - 1.5), (x + 6, y - 1.5), (x + 6, y + 1.5), (x, y + 1.5)),), Fill(_PALE))
    )
    items.append(Text("between the seasons", (x + 7.5, y), 2.2, "start"))
    foot = _FOOT - 11.8
    items.append(
        Text("humidity of the room at 21 °C (70 °F), %", (_LEFT, foot), 2.2, "start", "top")
    )
    items.append(
        Text("moisture of the wood, %", (width - _RIGHT, foot), 2.2, "end", "top", colour=_GREY)
    )
    return items


def _humidity_at(movement: Movement, moisture: float) -> float:
    """Read off at which humidity the wood holds so much moisture, within the plot [percent]."""
    swings = movement.swings
    return float(np.interp(moisture, [s.moisture for s in swings], [s.humidity for s in swings]))
