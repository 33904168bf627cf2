"""Events: the sizes and places at which corners of the strips come to lie on an edge.

Comes in: the ground and the cells of a design. Goes out: values of a size at which two opposite
edges both run through corners, and places of the pattern worth a look. A turn at which corners meet
the edge anyhow has no events.

Corners, projected across two opposite edges E apart, lie at d_i modulo the period Q. As a size
grows the corners move; between two events the smallest piece only grows or shrinks steadily, so
the best is found at an event, in the middle of two, or where both margins are equal::

    E |----------------------------|      both edges on corners when
      d_j     + m Q             d_i       E = d_i - d_j + m Q, a short list
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import atan2, ceil, degrees, floor, hypot

import numpy as np
from numpy.typing import NDArray

from tesselath.field import find_symmetry
from tesselath.fit.fit_ground import Cells, Ground
from tesselath.measure import ALIKE, ON_THE_LINE, SLACK

__all__ = [
    "Across",
    "allowed_turns",
    "even_places",
    "look_across",
    "middles_across",
    "places_across",
    "solve_events",
]

#: More different corners than this meet an edge anyhow: there are no events.
_MOST_CORNERS = 24
#: Where margins can be equal, no more places with a corner on an edge are looked at [count].
_MOST_EVENTS = 8
#: Larger repeats are not searched for the lines of their symmetry.
_MOST_SYMMETRIC = 40
#: At most so many values of one size are given, the nearest ones [count].
_MOST_VALUES = 12
#: Two corners are at most so many periods more apart than at first [count].
_MOST_TURNS = 400
#: Even samples where there are no events [count].
_SAMPLES = 9

Vector = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Across:
    """The corners of a repeat across two opposite edges.

    ``corners`` are their places [mm], ``period`` after how far they come round, ``low`` and
    ``high`` where the edges lie, from the pattern's unshifted origin [mm].
    """

    corners: Vector
    period: float
    low: float
    high: float


def look_across(cells: Cells, ground: Ground, axis: int) -> Across | None:
    """Project the corners of the strips across the edges square to an axis."""
    period = cells.period(axis)
    if period is None:
        return None
    corners = np.concatenate([outline[:, axis] for outline in cells.outlines])
    if len(_different(corners, period)) > _MOST_CORNERS:
        return None
    middle = ground.middle[axis]
    return Across(corners, period, ground.low[axis] - middle, ground.high[axis] - middle)


def _different(values: Vector, period: float) -> Vector:
    """The different values modulo a period, sorted."""
    rest = np.sort(np.mod(values, period))
    kept = [float(v) for n, v in enumerate(rest) if n == 0 or v - rest[n - 1] > ALIKE]
    if len(kept) > 1 and kept[0] + period - kept[-1] <= ALIKE:
        kept.pop()
    return np.array(kept)


def places_across(
    across: Across, middles: tuple[float, ...], *, between: bool = False
) -> tuple[float, ...]:
    """List the places of the pattern worth a look across two edges.

    >>> [round(t, 6) for t in places_across(Across(np.array([0.0]), 4.0, -5.0, 5.0), (2.0,))]
    [2.0, 0.0, 1.0, 3.0]
    """
    period = across.period
    corners = _different(across.corners, period)
    centre = (across.low + across.high) / 2
    equal = [centre - m + half for m in middles for half in (0.0, period / 2)]
    events = np.concatenate((across.low - corners, across.high - corners))
    on_edge = _different(events, period).tolist()
    if middles:
        on_edge = on_edge[:: ceil(len(on_edge) / _MOST_EVENTS)]
    halves: list[float] = []
    if between or not middles:
        following = [*on_edge[1:], on_edge[0] + period]
        halves = [(here + there) / 2 for here, there in zip(on_edge, following, strict=True)]
    found: list[float] = []
    for shift in [*equal, *on_edge, *halves]:
        place = shift % period
        if not any(_apart(place, known, period) <= ALIKE for known in found):
            found.append(0.0 if period - place <= ON_THE_LINE else place)
    return tuple(found)


def _apart(a: float, b: float, period: float) -> float:
    rest = (a - b) % period
    return min(rest, period - rest)


def even_places(cells: Cells) -> tuple[float, ...]:
    """Give even samples of the places of a pattern whose corners meet the edge anyhow [mm]."""
    step = min(hypot(*cells.steps[0]), hypot(*cells.steps[1]))
    return tuple((n - _SAMPLES // 2) * step / _SAMPLES for n in range(_SAMPLES))


def middles_across(cells: Cells) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Find where a pattern is its own half turn, mirror image or glide across each axis [mm].

    Returns the places for left and right, and for front and back; a repeat too large to search
    has none.
    """
    if len(cells.outlines) > _MOST_SYMMETRIC:
        return (), ()
    (ax, ay), (bx, by) = cells.steps.tolist()
    found = find_symmetry(cells.outlines, ((ax, ay), (bx, by)))
    places: tuple[list[float], list[float]] = ([], [])
    for move in found.moves:
        for axis in (0, 1):
            row = move.matrix[axis]
            if abs(row[axis] + 1.0) < ON_THE_LINE and abs(row[1 - axis]) < ON_THE_LINE:
                places[axis].append(move.shift[axis] / 2)
    return tuple(places[0]), tuple(places[1])


def solve_events(
    across_at: Callable[[float], Across | None], *, now: float, least: float, most: float
) -> tuple[float, ...]:
    """Find the values of a size at which both edges run through corners.

    What is not linear in the size takes a step or two more.
    """
    one = across_at(now)
    width = (most - least) * 1e-3
    other = across_at(now + width)
    if one is None or other is None or len(one.corners) != len(other.corners):
        return ()
    if abs(other.period - one.period) > 0.1 * one.period:
        return ()  # the corners come round at once or never; no size leads there steadily
    events = sorted(
        _near_events(one, other, width, least - now, most - now),
        key=lambda event: (round(abs(event.by), 6), event.by),
    )
    kept: list[float] = []
    for event in events[: 2 * _MOST_VALUES]:
        value = _refined(across_at, event, now=now, least=least, most=most)
        if value is not None and all(abs(value - known) > SLACK * abs(now) for known in kept):
            kept.append(value)
    kept.sort(key=lambda value: (round(abs(value - now), 6), value))
    return tuple(kept[:_MOST_VALUES])


@dataclass(frozen=True, slots=True)
class _Event:
    """Two corners so many periods apart that are to meet the edges.

    ``by`` is how far the size has to go for it [mm], ``slope`` how fast the miss closes.
    """

    pair: tuple[int, int]
    turns: int
    by: float
    slope: float

    def miss(self, across: Across) -> float:
        """By how much the edges miss the corners [mm]."""
        i, j = self.pair
        apart = across.corners[i] - across.corners[j] + self.turns * across.period
        return float(across.high - across.low - apart)


def _refined(
    across_at: Callable[[float], Across | None],
    event: _Event,
    *,
    now: float,
    least: float,
    most: float,
) -> float | None:
    """Follow an event to where the edges meet the corners; None where they never do."""
    value, slope = now + event.by, event.slope
    for _ in range(3):
        here = across_at(value) if least <= value <= most else None
        if here is None or max(event.pair) >= len(here.corners):
            return None
        miss = event.miss(here)
        if abs(miss) < ON_THE_LINE:
            return value
        value -= miss / slope
    return value if least <= value <= most and abs(miss) < ALIKE else None


def _near_events(
    one: Across, other: Across, width: float, low: float, high: float
) -> Iterator[_Event]:
    """Every event that may lie within the limits, each once, as far as it is linear."""
    slope_of_period = (other.period - one.period) / width
    slope_of_edges = (other.high - other.low - one.high + one.low) / width
    edges = one.high - one.low
    for i, j, apart, slope in _pairs(one, other, width, slope_of_period):
        ends = [
            (edges + slope_of_edges * d - apart - slope * d) / (one.period + slope_of_period * d)
            for d in (low, high)
            if one.period + slope_of_period * d > ON_THE_LINE
        ]
        if not ends:
            continue
        first, last = floor(min(ends) - 0.01), ceil(max(ends) + 0.01)
        for turns in range(first, min(last, first + _MOST_TURNS) + 1):
            closing = slope_of_edges - slope - turns * slope_of_period
            if abs(closing) > ON_THE_LINE:
                by = -(edges - apart - turns * one.period) / closing
                if low <= by <= high:
                    yield _Event((i, j), turns, by, closing)


def _pairs(
    one: Across, other: Across, width: float, slope_of_period: float
) -> Iterator[tuple[int, int, float, float]]:
    """Every two corners, with how far and how fast they go apart; alike ones once."""
    corners: dict[tuple[float, float], int] = {}
    for i, (place, later) in enumerate(zip(one.corners, other.corners, strict=True)):
        whole = floor(float(place) / one.period + ON_THE_LINE)
        slope = (float(later) - float(place)) / width - whole * slope_of_period
        corners.setdefault((round(float(place) - whole * one.period, 3), round(slope, 4)), i)
    seen: set[tuple[float, float]] = set()
    for i in corners.values():
        for j in corners.values():
            apart = float(one.corners[i] - one.corners[j])
            slope = (float(other.corners[i] - other.corners[j]) - apart) / width
            whole = floor(apart / one.period + ON_THE_LINE)
            key = (round(apart - whole * one.period, 3), round(slope - whole * slope_of_period, 4))
            if key not in seen:
                seen.add(key)
                yield i, j, apart, slope


def allowed_turns(cells: Cells, angle: float, *, most: float) -> tuple[float, ...]:
    """List the nearest turns at which a step of the pattern lies along an edge.

    Source: own derivation: only at such a turn does an edge meet finitely many cuts.
    """
    found: list[float] = []
    for a in range(-2, 3):
        for b in range(3):
            x, y = (a * cells.steps[0] + b * cells.steps[1]).tolist()
            if hypot(x, y) <= ALIKE:
                continue
            lean = (degrees(atan2(y, x)) + 45.0) % 90.0 - 45.0
            turn = round(angle - lean, 5)
            if abs(lean) <= most and all(abs(turn - known) > 1e-3 for known in found):
                found.append(turn)
    return tuple(sorted(found, key=lambda turn: (round(abs(turn - angle), 4), turn)))
