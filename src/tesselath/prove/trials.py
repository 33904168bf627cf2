"""Trials: the sizes and the openings at which a pattern is tried.

Comes in: a pattern and a seed. Goes out: settings within the pattern's limits, the values of all
its names there, and openings of a few repeats. Refuses: patterns that would never come to an end.

Sizes are drawn evenly on a scale of ratios, so that small ones are tried as often as large ones,
now and then at a limit; what breaks one of the pattern's own relations is drawn again. They are
rounded to what a maker could type: 0.01 mm, 0.1 degrees, thousandths.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import ceil, exp, floor, log
from random import Random

import numpy as np

from tesselath.errors import Fault, PatternError
from tesselath.field import cell_steps
from tesselath.measure import ON_THE_LINE
from tesselath.pattern import Courses, Pattern, RingsRule, Size, settle_sizes
from tesselath.shape import Outline, as_outline, turned

__all__ = ["Trial", "draw_settings", "refuse_endless", "settle_trial", "trial_openings"]

Settings = Mapping[str, float]

#: How often settings that break a relation are drawn again.
_MOST_DRAWS = 200

#: About so many pieces lie in an opening, and so many rings round it.
_PIECES, _RINGS = 32, 5

#: An opening for what has no size of its own [mm]: about 24 by 15 in.
_PLAIN = (610.0, 381.0)

#: More sides, and more rings, than any maker lays.
_MOST_SIDES, _MOST_RINGS, _MOST_JOINTS, _MOST_STEPS = 60, 500, 100_000, 10_000


@dataclass(frozen=True, slots=True)
class Trial:
    """One opening: its outline [mm], the pattern's turn [degrees], its origin and the gap [mm]."""

    outline: Outline
    angle: float
    origin: tuple[float, float]
    gap: float

    @property
    def box(self) -> tuple[float, float]:
        """The opening's width and depth along the pattern's turned axes [mm]."""
        width, depth = np.ptp(np.asarray(turned(self.outline, -self.angle)), axis=0)
        return float(width), float(depth)


def draw_settings(pattern: Pattern, rng: Random) -> dict[str, float] | None:
    """Draw a value for every size of a pattern, within its limits."""
    for _ in range(_MOST_DRAWS):
        settings = {size.name: _draw(size, rng) for size in pattern.sizes}
        if settle_trial(pattern, settings, gap=0.0, box=_PLAIN, softly=True) is not None:
            return settings
    return None


def _draw(size: Size, rng: Random) -> float:
    low, high = size.least, size.most
    low = min(size.value / 2, 2 * size.value) if low is None else low
    high = max(size.value / 2, 2 * size.value, low) if high is None else high
    low = min(low, high)
    share = rng.random()
    if share < 0.1:
        value = low
    elif share > 0.9:
        value = high
    elif low > 0 and size.kind != "angle":
        value = exp(log(low) + rng.random() * (log(high) - log(low)))
    else:
        value = low + rng.random() * (high - low)
    if size.whole:
        return float(min(max(round(value), ceil(low)), floor(high)))
    if value in (low, high):
        return value
    digits = {"length": 2, "angle": 1}.get(size.kind, 3)
    return min(max(round(value, digits), low), high)


def settle_trial(
    pattern: Pattern,
    settings: Settings,
    *,
    gap: float,
    box: tuple[float, float],
    softly: bool = False,
) -> dict[str, float] | None:
    """Give the value of every name at given settings."""
    width, depth = box
    bare = replace(pattern, musts=(), derived=())
    values = settle_sizes(
        bare, settings, strip_width=None, gap=gap, zone_width=width, zone_depth=depth
    )
    fault: PatternError | None = None
    for name, expression in pattern.derived:
        try:
            values[name] = expression.number(values)
        except PatternError as error:
            # A relation that guards this value, such as L > w, says it better.
            fault = error
            break
    for must in pattern.musts:
        if fault is not None and not set(must.that.names()) <= set(values):
            continue
        if must.that.number(values) == 0.0:
            if softly:
                return None
            remedy = f"Change the sizes of the pattern {pattern.name}."
            raise PatternError(Fault(must.place, must.that.text, f"{must.say}.", remedy))
    if fault is not None and not softly:
        raise fault
    return values


def trial_openings(
    pattern: Pattern, settings: Settings, *, rng: Random, every: bool
) -> list[Trial]:
    """Choose openings of a few repeats: straight and turned, without and with a gap."""
    values = settle_trial(pattern, settings, gap=0.0, box=_PLAIN)
    assert values is not None
    width, depth = _extent(pattern, values)
    gap = round(max(0.02, min(1.0, 0.05 * _thinnest(pattern, values))), 3)
    corners = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * (width / 2, depth / 2)
    lean = np.array([[rng.uniform(-0.03, 0.03) for _ in range(2)] for _ in range(4)])
    plain, leaning = as_outline(corners), as_outline(corners * (1 + lean))
    shift = (rng.uniform(-0.2, 0.2) * width, rng.uniform(-0.2, 0.2) * depth)
    angle = round(rng.uniform(1.0, 89.0), 1)
    trials = [
        Trial(plain, 0.0, (0.0, 0.0), 0.0),
        Trial(leaning, angle, shift, gap),
        Trial(plain, 45.0, shift, 0.0),
        Trial(leaning, 0.0, (0.0, 0.0), gap),
    ]
    if not every:
        trials = trials[:2] if rng.random() < 0.5 else trials[2:]
    return trials if _pieces_in_repeat(pattern, values) <= _PIECES else trials[1::2]


def _extent(pattern: Pattern, values: Mapping[str, float]) -> tuple[float, float]:
    """Choose the width and depth of an opening that holds a few repeats [mm]."""
    courses, rings = pattern.courses, pattern.rings
    if courses is not None:
        row = {**values, "row": 0.0}
        chance = courses.random
        rules = (chance.least, chance.most) if chance else courses.lengths
        mean = max(sum(length.number(row) for length in rules) / len(rules), 1.0)
        height = max(courses.height.number(values), 1.0)
        # Chance is slow: each joint is chosen among many.
        return (2.6 * mean, 5.3 * height) if chance else (4.37 * mean, 9.3 * height)
    if rings is not None and rings.around == "zone":
        mean = sum(width.number(values) for width in rings.widths) / len(rings.widths)
        depth = 2 * (_RINGS + 0.3) * max(mean, 1.0)
        return 1.4 * depth, depth
    steps = cell_steps(pattern, values)
    if steps is None:
        return _PLAIN
    (ax, ay), (bx, by) = steps
    repeat = abs(ax * by - ay * bx)
    count = _pieces_in_repeat(pattern, values)
    whole = max(0.5 * repeat, repeat * _PIECES / count, 1.0)
    return (1.6 * whole) ** 0.5, (whole / 1.6) ** 0.5


def _pieces_in_repeat(pattern: Pattern, values: Mapping[str, float]) -> int:
    if pattern.chart is not None:
        return max(1, len(pattern.chart.rows) * len(pattern.chart.rows[0]) // 3)
    total = 0
    for item in pattern.strips + pattern.pieces:
        turns, loops = 1, dict(values)
        for name, count in item.times:
            turns *= max(0, round(count.number({**loops, name: 0.0})))
            loops[name] = 0.0
        total += turns
    return max(1, total)


def _thinnest(pattern: Pattern, values: Mapping[str, float]) -> float:
    """The width of the thinnest strip, as far as it can be told at once [mm]."""
    known = {**values, "row": 0.0}
    for item in pattern.strips:
        known.update({name: 0.0 for name, _ in item.times if name not in known})
    rules = [item.width for item in pattern.strips]
    if pattern.courses is not None:
        rules.append(pattern.courses.height)
    if pattern.rings is not None:
        rules += pattern.rings.widths
    if pattern.chart is not None:
        rules += pattern.chart.cell
    widths = [rule.number(known) for rule in rules]
    return min([*widths, values.get("w", 20.0)])


def refuse_endless(pattern: Pattern, settings: Settings) -> None:
    """Refuse at once what would take a machine for ever.

    Source: own choice of limits.
    """
    values = settle_trial(pattern, settings, gap=0.0, box=_PLAIN)
    assert values is not None
    if pattern.courses is not None:
        _refuse_far_joints(pattern.courses, values)
    if pattern.rings is not None:
        _refuse_many_rings(pattern.rings, values)


def _refuse_far_joints(courses: Courses, values: Mapping[str, float]) -> None:
    chance = courses.random
    if chance is not None and chance.step is not None:
        step = max(chance.step.number(values), 0.0)
        span = chance.most.number(values) - chance.least.number(values)
        if span > _MOST_STEPS * step > 0.0:
            rule = f"Random lengths are chosen among at most {_MOST_STEPS} steps."
            raise PatternError(Fault(courses.place, chance.step.text, rule, "Make it larger."))
        return
    for number in (-10.0, 0.0, 10.0):
        row = {**values, "row": number}
        period = sum(length.number(row) for length in courses.lengths)
        if period <= ON_THE_LINE:
            continue  # the laying says so
        if abs(courses.first.number(row)) / period * len(courses.lengths) > _MOST_JOINTS:
            rule = f"The first joint of row {number:g} lies too many strips away."
            raise PatternError(Fault(courses.place, courses.first.text, rule, "Use %."))


def _refuse_many_rings(rings: RingsRule, values: Mapping[str, float]) -> None:
    sides = len(rings.points) if rings.points else 4
    reach = min(_PLAIN) / 2
    if rings.sides is not None and rings.across is not None:
        sides, reach = round(rings.sides.number(values)), rings.across.number(values) / 2
    elif rings.points:
        corners = np.array([[part.number(values) for part in point] for point in rings.points])
        reach = float(np.ptp(corners, axis=0).min()) / 2
    if sides > _MOST_SIDES:
        rule = f"Rings are laid round at most {_MOST_SIDES} sides, not {sides}."
        raise PatternError(Fault(rings.place, None, rule, "Take fewer."))
    widths = [width.number(values) for width in rings.widths]
    count = min(rings.count.number(values), reach / max(sum(widths) / len(widths), ON_THE_LINE))
    if count > _MOST_RINGS:
        rule = f"More than {_MOST_RINGS} rings are not laid; here are {count:,.0f}."
        raise PatternError(Fault(rings.place, None, rule, "Make them wider."))
