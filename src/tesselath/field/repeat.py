"""Repeat: the pieces of one repeat of a pattern, with their tones, and the steps it is moved by.

Comes in: a pattern with its sizes. Goes out: outlines, tones and two steps; None where nothing
repeats (a figure, rings, courses laid from the centre).

Tones may take several repeats to come round; then so many of them are given as one::

      dark  light dark  light        one repeat of the outlines is one strip,
      light dark  light dark         with tones it is 2 x 2 of them
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from tesselath.errors import PatternError
from tesselath.field.cell import cell_items, cell_steps
from tesselath.field.lay import lay_pattern
from tesselath.measure import ALIKE, SLACK
from tesselath.pattern import Courses, Pattern, Value
from tesselath.shape import Outline, area, as_outline

__all__ = ["Repeat", "find_repeat", "reduce_steps"]

#: Courses are looked at as far as this many rows, and tones as far as this many repeats each way.
_MOST_ROWS, _MOST_TONES = 40, 40

#: At most so many strips are laid to see when the tones come round.
_MOST_LAID = 60_000

Steps = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Repeat:
    """The outlines of one repeat [mm], the tone of each by its number, and the steps [mm]."""

    outlines: tuple[Outline, ...]
    tones: tuple[int, ...]
    steps: Steps


def find_repeat(
    pattern: Pattern, sizes: Mapping[str, float], *, tones: bool = False
) -> Repeat | None:
    """Find the pieces of one repeat and its steps.

    Parameters
    ----------
    sizes : mapping of str to float
        The value of every name, as `settle_sizes` gives them.
    tones : bool
        Whether the tones have to come round as well; without, every tone is given as 0.

    Returns
    -------
    Repeat or None
        None where nothing repeats within a reasonable reach.

    Raises
    ------
    PatternError
        If the pattern cannot be laid at these sizes.

    Examples
    --------
    >>> from tesselath.pattern import find_pattern
    >>> from tesselath.pattern import settle_sizes
    >>> pattern = find_pattern("stair")
    >>> sizes = settle_sizes(pattern, {}, strip_width=None, gap=0.0, zone_width=1, zone_depth=1)
    >>> len(find_repeat(pattern, sizes).outlines)
    1
    """
    if pattern.courses is not None:
        return _course_repeat(pattern, pattern.courses, sizes, tones)
    steps = cell_steps(pattern, sizes)
    if steps is None:
        return None
    zone = as_outline([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)])
    items = cell_items(pattern, sizes, angle=0.0, origin=(0.0, 0.0), zone=zone)
    outlines = tuple(item.prototype.outline for item in items)
    if not tones or not outlines:
        return Repeat(outlines, (0,) * len(outlines), steps)
    table = _tone_table(pattern, sizes, np.array(steps), outlines)
    period = _period(table)
    if period is None:
        return None
    p, q = period
    (ax, ay), (bx, by) = steps
    copies = [(a, b) for a in range(p) for b in range(q)]
    return Repeat(
        tuple(
            as_outline(o + np.array([a * ax + b * bx, a * ay + b * by]))
            for a, b in copies
            for o in outlines
        ),
        tuple(int(table[n, a, b]) for a, b in copies for n in range(len(outlines))),
        ((p * ax, p * ay), (q * bx, q * by)),
    )


def reduce_steps(steps: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Shorten a pair of steps as far as they go.

    Source: the reduction of Lagrange and Gauss.

    Parameters
    ----------
    steps : array (2, 2)
        The two steps, one a row [mm].

    Returns
    -------
    new, change : array (2, 2)
        The shortest pair, the shorter first, and how it is made: new = change @ steps.

    Raises
    ------
    PatternError
        If a step is 0 or the two are parallel.

    Examples
    --------
    >>> reduce_steps(np.array([[4.0, 0.0], [9.0, 2.0]]))[0].tolist()
    [[1.0, 2.0], [3.0, -2.0]]
    """
    change = np.eye(2)
    new = steps.copy()
    det = abs(steps[0, 0] * steps[1, 1] - steps[0, 1] * steps[1, 0])
    if det <= ALIKE * ALIKE:
        raise PatternError("The two steps must differ in direction, and neither may be 0.")
    for _ in range(200):
        order = np.argsort(np.round(np.hypot(new[:, 0], new[:, 1]), 9), kind="stable")
        new, change = new[order], change[order]
        share = float(new[0] @ new[1]) / float(new[0] @ new[0])
        times = np.ceil(share - 0.5 - SLACK)  # a half stays as it is, so that the loop ends
        if times == 0:
            break
        change[1] -= times * change[0]
        new = change @ steps  # from the exact steps, so that rounding does not add up
    return new, change


def _tone_table(
    pattern: Pattern,
    sizes: Mapping[str, float],
    steps: NDArray[np.float64],
    outlines: tuple[Outline, ...],
) -> NDArray[np.int64]:
    """Give the tone of each strip at every pair of steps from 0, as the layout gives it."""
    count = len(outlines)
    reach = min(2 * _MOST_TONES, max(4 * max(1, len(pattern.tones)), 12))
    reach = max(4, min(reach, int((_MOST_LAID / count) ** 0.5)))
    far = np.array([(0, 0), (reach, 0), (reach, reach), (0, reach)], dtype=float) @ steps
    points = (np.vstack(outlines)[:, None] + far[None]).reshape(-1, 2)
    hull = shapely.buffer(shapely.convex_hull(shapely.MultiPoint(points)), 1.0, join_style="bevel")
    zone = np.array(shapely.get_coordinates(hull))[:-1]
    zone = zone if area(zone) > 0 else zone[::-1]
    laid = lay_pattern(pattern, sizes, angle=0.0, origin=(0.0, 0.0), zone=as_outline(zone))
    ab = np.round(laid.offsets @ np.linalg.inv(steps)).astype(np.int64)
    kept = ((ab >= 0) & (ab < reach)).all(axis=1)
    table = np.zeros((count, reach, reach), dtype=np.int64)
    table[laid.which[kept], ab[kept, 0], ab[kept, 1]] = laid.tones[kept]
    return table


def _period(table: NDArray[np.int64]) -> tuple[int, int] | None:
    """After how many steps each way the tones come round."""
    found = []
    for axis in (1, 2):
        half = table.shape[axis] // 2
        moved = np.moveaxis(table, axis, 1)
        for n in range(1, half + 1):
            if (moved[:, n:] == moved[:, :-n]).all():
                found.append(n)
                break
    return (found[0], found[1]) if len(found) == 2 else None


def _course_repeat(
    pattern: Pattern, courses: Courses, sizes: Mapping[str, float], tones: bool
) -> Repeat | None:
    """Find after how many rows the joints come round, and after how many pieces the tones."""
    if courses.laid == "from centre" or courses.random is not None:
        return None
    height = courses.height.number(sizes)
    rows = [{**sizes, "row": float(row)} for row in range(2 * _MOST_ROWS)]
    lengths = np.array([[length.number(row) for length in courses.lengths] for row in rows])
    first = np.array([courses.first.number(row) for row in rows])
    whole = float(lengths[0].sum())
    along, count = 1, lengths.shape[1]
    table = np.zeros((len(rows), 1, count), dtype=np.int64)
    if tones and pattern.rule is not None and pattern.tones:
        table = _course_tones(pattern, rows, count)
        turns = [
            n
            for n in range(1, _MOST_TONES + 1)
            if (table[:, n:] == table[:, : 2 * _MOST_TONES - n]).all()
        ]
        if not turns:
            return None
        along = turns[0]
    for n in range(1, _MOST_ROWS + 1):
        moved = first[n:] - first[:-n]
        if (
            np.abs(lengths[n:] - lengths[:-n]).max() < ALIKE
            and np.ptp(moved) < ALIKE
            and (table[n:] == table[:-n]).all()
        ):
            break
    else:
        return None
    outlines, kinds = [], []
    for row in range(n):
        y0, y1 = (row - 0.5) * height, (row + 0.5) * height
        for turn in range(along):
            # Piece m lies between joint m - 1 and joint m.
            joints = first[row] + turn * whole + np.concatenate(([0.0], np.cumsum(lengths[row])))
            for m in range(count):
                x0, x1 = float(joints[m]), float(joints[m + 1])
                outlines.append(as_outline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]))
                kinds.append(int(table[row, turn % table.shape[1], m]))
    return Repeat(
        tuple(outlines), tuple(kinds), ((along * whole, 0.0), (float(moved[0]), n * height))
    )


def _course_tones(pattern: Pattern, rows: list[dict[str, float]], count: int) -> NDArray[np.int64]:
    """Give the tone of each piece by its row, its turn of the lengths and its place in them."""
    assert pattern.rule is not None
    turns = 2 * _MOST_TONES
    pieces = np.arange(1.0, turns * count + 1)
    names = {"a": 0.0, "b": 0.0, "item": 0.0, "ring": 0.0, "side": 0.0}
    table = []
    for row in rows:
        values: dict[str, Value] = {**row, **names, "piece": pieces}
        tones = np.broadcast_to(np.asarray(pattern.rule.evaluate(values)), pieces.shape)
        table.append(np.mod(np.round(tones), len(pattern.tones)).reshape(turns, count))
    return np.array(table).astype(np.int64)
