"""The cell: every different strip of a pattern, evaluated once.

Comes in: a pattern with its sizes, its turn and its origin. Goes out: the items of one repeat (or
of the whole figure) where they lie in the opening's axes. Refuses: loops that never end, strips of
no length or width, end cuts that cross.

Strips, outlines, letter charts and rings all become the same items, so that there is one
generator to test, one clip and one cut list.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import hypot

import numpy as np

from tesselath.errors import Fault, PatternError
from tesselath.field.rings import RingCell, lay_rings, regular_polygon
from tesselath.measure import ON_THE_LINE, cosine, sine, tangent, turn_point
from tesselath.pattern import (
    Cell,
    ChartRule,
    Expression,
    Pattern,
    PieceItem,
    RingsRule,
    StripItem,
    Value,
    constant,
    join_chart,
    mirrored_rows,
)
from tesselath.shape import Outline, area, as_outline, turned

__all__ = ["Item", "Prototype", "cell_items", "cell_steps"]

_MOST_ITEMS = 20_000


@dataclass(frozen=True, slots=True)
class Prototype:
    """A whole strip where it lies at a = b = 0, in the opening's axes [mm].

    ``strip_width`` is the cell's width across the grain, gap included; None for an outline that
    is cut from no one strip.
    """

    outline: Outline
    grain: float
    strip_width: float | None


@dataclass(frozen=True, slots=True)
class Item:
    """One strip of the cell, evaluated: its prototype, its loops and its number."""

    prototype: Prototype
    names: dict[str, Value]
    tone: Expression | None


def cell_items(
    pattern: Pattern,
    sizes: Mapping[str, float],
    *,
    angle: float,
    origin: tuple[float, float],
    zone: Outline,
) -> list[Item]:
    """Evaluate every strip of a pattern's cell once.

    Parameters
    ----------
    pattern : Pattern
        The pattern; one of courses has no cell.
    sizes : mapping of str to float
        The value of every name, as `settle_sizes` gives them.
    angle : float
        How far the pattern is turned [degrees].
    origin : tuple of float
        Where its origin lies in the opening's axes [mm].
    zone : array (n, 2)
        The outline to cover, round which rings may run [mm].

    Returns
    -------
    list of Item
        The strips of one repeat, or of the whole figure.

    Raises
    ------
    PatternError
        If an item cannot be made at these sizes.
    """
    items = list(_plain_items(pattern, sizes, angle, origin))
    if pattern.chart is not None:
        items += _chart_items(pattern.chart, sizes, angle, origin)
    if pattern.rings is not None:
        items += _ring_items(pattern.rings, sizes, angle, origin, zone)
    return items


def cell_steps(
    pattern: Pattern, sizes: Mapping[str, float]
) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Give the two steps along which a pattern repeats, in its own axes; None when it stands alone.

    Parameters
    ----------
    sizes : mapping of str to float
        The value of every name.

    Returns
    -------
    pair of (x, y) or None
        The steps [mm].

    Raises
    ------
    PatternError
        If a step does not come out as a number.
    """
    if pattern.steps is not None:
        (ax, ay), (bx, by) = pattern.steps
        return (
            (ax.number(sizes), ay.number(sizes)),
            (bx.number(sizes), by.number(sizes)),
        )
    chart = pattern.chart
    if chart is not None and chart.repeat:
        rows = mirrored_rows(chart.rows, chart.mirror)
        across, away = (side.number(sizes) for side in chart.cell)
        return (len(rows[0]) * across, 0.0), (0.0, len(rows) * away)
    return None


def _plain_items(
    pattern: Pattern, sizes: Mapping[str, float], angle: float, origin: tuple[float, float]
) -> Iterator[Item]:
    """Evaluate each item of the cell once for every turn of its loops."""
    made = 0
    for number, item in enumerate(pattern.strips + pattern.pieces):
        for loops in _loops(item, sizes):
            made += 1
            if made > _MOST_ITEMS:
                raise PatternError(
                    Fault(
                        item.place,
                        None,
                        f"The cell has more than {_MOST_ITEMS:,} strips.",
                        "Let the pattern repeat instead.",
                    )
                )
            values = {**sizes, **loops}
            if item.only is not None and item.only.number(values) == 0.0:
                continue
            turn = item.turn.number(values) + angle
            if isinstance(item, StripItem):
                prototype = _strip(item, values, turn, origin)
            else:
                prototype = _outline(item, values, turn, origin)
            if prototype is not None:
                yield Item(prototype, {**loops, "item": float(number)}, item.tone)


def _loops(item: StripItem | PieceItem, sizes: Mapping[str, float]) -> Iterator[dict[str, Value]]:
    """Run an item's loops, the first the outermost; all their turns together are bounded."""
    done = 0

    def turns(level: int, outer: dict[str, Value]) -> Iterator[dict[str, Value]]:
        nonlocal done
        if level == len(item.times):
            yield outer
            return
        name, count = item.times[level]
        number = count.number({**sizes, **outer})
        whole = round(number)
        if abs(number - whole) > ON_THE_LINE or whole < 0:
            rule = f"{name} must run a whole number of times, not {number:g}."
            raise PatternError(Fault(item.place, count.text, rule))
        done += whole
        if done > _MOST_ITEMS:
            rule = f"The loops make more than {_MOST_ITEMS:,} strips."
            raise PatternError(Fault(item.place, count.text, rule))
        for k in range(whole):
            yield from turns(level + 1, {**outer, name: float(k)})

    yield from turns(0, {})


def _strip(
    item: StripItem, values: Mapping[str, Value], turn: float, origin: tuple[float, float]
) -> Prototype | None:
    """Work out the corners of a strip; None when its length is 0."""
    x, y = (part.number(values) for part in item.start)
    if item.end is not None:
        ex, ey = (part.number(values) for part in item.end)
        length = hypot(ex - x, ey - y)
        if length <= ON_THE_LINE:
            return None
        ux, uy = turn_point((ex - x) / length, (ey - y) / length, turn)
        grain = float(np.degrees(np.arctan2(uy, ux)))
        grain = round(grain * 1e9) / 1e9  # a strip drawn from point to point at 45 reads 45
    else:
        assert item.length is not None
        length = item.length.number(values)
        if abs(length) <= ON_THE_LINE:
            return None
        grain = item.toward.number(values) + turn
        ux, uy = cosine(grain), sine(grain)
    half = item.width.number(values) / 2
    if length < 0 or half <= ON_THE_LINE:
        wrote = f"{length:g} mm long, {2 * half:g} mm wide"
        rule = "A strip must be longer and wider than 0 at these sizes."
        raise PatternError(Fault(item.place, wrote, rule, "Use only = ... to leave it out."))
    runs = []
    for cut in item.cuts:
        angle = cut.number(values)
        if abs(angle) >= 89.9:
            raise PatternError(
                Fault(item.place, f"{angle:g}", "An end cut lies between -89.9 and 89.9 degrees.")
            )
        runs.append(half * tangent(angle))
    if length < abs(runs[1] - runs[0]) - ON_THE_LINE:
        rule = "The two end cuts cross inside the strip at these sizes."
        raise PatternError(Fault(item.place, f"{length:g} mm long", rule, "Make it longer."))
    sx, sy = turn_point(x, y, turn)
    sx, sy = sx + origin[0], sy + origin[1]
    corners = [
        (sx + along * ux - across * uy, sy + along * uy + across * ux)
        for along, across in (
            (-runs[0], -half),
            (length - runs[1], -half),
            (length + runs[1], half),
            (runs[0], half),
        )
    ]
    outline = as_outline(_without_repeats(corners))
    return Prototype(outline, grain % 180.0, 2 * half)


def _outline(
    item: PieceItem, values: Mapping[str, Value], turn: float, origin: tuple[float, float]
) -> Prototype | None:
    """Work out the corners of an outline; None when it has no area."""
    corners = [turn_point(px.number(values), py.number(values), turn) for px, py in item.points]
    points = as_outline(_without_repeats(corners))
    if abs(area(points)) <= ON_THE_LINE:
        return None
    if area(points) < 0:
        points = as_outline(points[::-1])
    grain = (item.grain.number(values) + turn) % 180.0
    across = np.ptp(np.asarray(turned(points, -grain))[:, 1])
    width = item.width.number(values) if item.width is not None else values.get("w")
    if width is not None and across > float(np.max(width)) + ON_THE_LINE * 10:
        width = None
    strip_width = None if width is None else float(np.max(width))
    return Prototype(as_outline(points + np.array(origin)), grain, strip_width)


def _without_repeats(corners: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Drop a corner that lies on the one before it: the end of a strip cut to a point."""
    return [
        here
        for i, here in enumerate(corners)
        if hypot(here[0] - corners[i - 1][0], here[1] - corners[i - 1][1]) > ON_THE_LINE
    ]


def _chart_items(
    rule: ChartRule, sizes: Mapping[str, float], angle: float, origin: tuple[float, float]
) -> list[Item]:
    """Turn the letters of a chart into strips, the middle of the chart on the origin."""
    across, away = (side.number(sizes) for side in rule.cell)
    if across <= ON_THE_LINE or away <= ON_THE_LINE:
        raise PatternError(Fault(rule.place, None, "A chart's cell must be larger than 0."))
    chart = join_chart(
        mirrored_rows(rule.rows, rule.mirror), join=rule.join, repeat=rule.repeat, place=rule.place
    )
    tones = dict(rule.letters)
    items: list[Item] = []
    for cell in chart.cells:
        x0, x1 = ((n - chart.columns / 2) * across for n in (cell.left, cell.right))
        y0, y1 = ((n - chart.rows / 2) * away for n in (cell.front, cell.back))
        corners = as_outline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
        outline = as_outline(turned(corners, angle) + np.array(origin))
        grain = (angle + _chart_grain(cell, x1 - x0, y1 - y0, rule.join)) % 180.0
        width = x1 - x0 if _chart_grain(cell, x1 - x0, y1 - y0, rule.join) else y1 - y0
        names: dict[str, Value] = {"row": float(cell.front), "item": float(len(items))}
        items.append(Item(Prototype(outline, grain, width), names, constant(tones[cell.letter])))
    return items


def _chart_grain(cell: Cell, across: float, away: float, join: str) -> float:
    """Along the row, or along the longer side of a block."""
    if join != "block":
        return 0.0
    if abs(across - away) <= ON_THE_LINE:
        return 90.0 if cell.upright else 0.0
    return 90.0 if away > across else 0.0


def _ring_items(
    rule: RingsRule,
    sizes: Mapping[str, float],
    angle: float,
    origin: tuple[float, float],
    zone: Outline,
) -> list[Item]:
    """Turn rings into items; rings round the zone are neither turned nor moved."""
    widths = [width.number(sizes) for width in rule.widths]
    count = rule.count.number(sizes)
    cells: tuple[RingCell, ...]
    if rule.around == "zone":
        outline = zone
    else:
        outline = _ring_outline(rule, sizes)
        outline = as_outline(turned(outline, angle) + np.array(origin))
    cells = lay_rings(outline, widths, count=round(count), corner=rule.corner, place=rule.place)
    return [
        Item(
            Prototype(c.outline, c.grain, c.width),
            {"ring": float(c.ring), "side": float(c.side), "item": float(n)},
            None,
        )
        for n, c in enumerate(cells)
    ]


def _ring_outline(rule: RingsRule, sizes: Mapping[str, float]) -> Outline:
    if rule.points:
        corners = as_outline([(x.number(sizes), y.number(sizes)) for x, y in rule.points])
        return corners if area(corners) > 0 else as_outline(corners[::-1])
    assert rule.sides is not None
    assert rule.across is not None
    sides, across = rule.sides.number(sizes), rule.across.number(sizes)
    if sides < 3 or abs(sides - round(sides)) > ON_THE_LINE or across <= ON_THE_LINE:
        wrote = f"{sides:g} sides, {across:g} mm across"
        raise PatternError(Fault(rule.place, wrote, "A polygon has three sides or more."))
    return regular_polygon(round(sides), across)
