"""Lay: puts a pattern's strips over a zone, whole, as arrays.

Comes in: a pattern with its sizes, its turn and shift, and the outline of a zone. Goes out:
prototypes (each different strip once) and, for every copy that touches the zone, which prototype it
is and where it lies. Refuses: steps that are zero or parallel, more than a million strips, cuts
that cross, overlapping cells.

Each item of a pattern is evaluated once; its copies are arrays of offsets a * v1 + b * v2::

         v2 ^   +----+----+----+        the box of the zone, grown by the cell, is taken
            |  /    /    /    /         through the inverse of [v1 v2]; only copies that
            | +----+----+----+          touch the zone are kept
            +------> v1

Courses and lattices go through the same copies and the same clip.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tesselath.errors import Fault, PatternError
from tesselath.field.cell import Item, Prototype, cell_items, cell_steps
from tesselath.field.courses import lay_courses
from tesselath.measure import AREA_SHARE, ON_THE_LINE, cosine, sine, turn_point
from tesselath.pattern import Expression, Pattern, Value
from tesselath.shape import Outline, area, as_outline, edge_lines, turned

__all__ = ["MOST_STRIPS", "Laid", "lay_pattern"]

#: More strips than this are refused: no maker lays them, and a slip of the pen asks for them.
MOST_STRIPS = 1_000_000

#: The short steps of a reduced pair, along one of which the rows run.
_SHORT = ((1, 0), (0, 1), (1, 1), (1, -1), (2, 1), (1, 2), (2, -1), (1, -2))


@dataclass(frozen=True, slots=True)
class Laid:
    """All whole strips that touch a zone.

    ``which`` (m,) indexes ``prototypes``; ``offsets`` (m, 2) [mm]; ``tones`` (m,) index the
    pattern's tones; ``rows`` (m,) count from 0 at the centre line, positive away from the
    maker; ``along`` (m,) is the place in the row [mm].
    """

    prototypes: tuple[Prototype, ...]
    which: NDArray[np.int64]
    offsets: NDArray[np.float64]
    tones: NDArray[np.int64]
    rows: NDArray[np.int64]
    along: NDArray[np.float64]
    #: How far apart the centre lines of two rows lie [mm]; 0 for a figure that stands alone.
    row_pitch: float


def lay_pattern(
    pattern: Pattern,
    sizes: Mapping[str, float],
    *,
    angle: float,
    origin: tuple[float, float],
    zone: Outline,
    around: Outline | None = None,
    drawn_for: Outline | None = None,
) -> Laid:
    """Lay every strip of a pattern that touches a zone.

    Source: Lagrange and Gauss, for the reduction of the steps.

    Parameters
    ----------
    sizes : mapping of str to float
        The value of every name, as `settle_sizes` gives them.
    angle : float
        How far the pattern is turned, counter-clockwise [degrees].
    origin : tuple of float
        Where the pattern's origin lies in the opening's axes [mm].
    zone : array (n, 2)
        The outline to cover, in the opening's axes [mm].
    around : array (n, 2), optional
        The outline round which rings run where that is larger than the part to cover [mm].
    drawn_for : array (n, 2), optional
        The outline that random joints were drawn for, where a refit covers another [mm].

    Raises
    ------
    PatternError
        If the steps are zero or parallel, the strips are more than a million, an end cut crosses
        the other, or the cells overlap.
    """
    if pattern.courses is not None:
        box = _box(turned(zone - np.array(origin), -angle))
        was = None if drawn_for is None else _box(turned(drawn_for - np.array(origin), -angle))
        strips, items = (
            lay_courses(pattern.courses, sizes, box=box, most=MOST_STRIPS, drawn_for=was),
            [],
        )
        prototypes, names = [], strips.names
        for length in strips.lengths:
            h = strips.height / 2
            cell = as_outline([(0, -h), (length, -h), (length, h), (0, h)])
            prototypes.append(Prototype(turned(cell, angle), angle % 180.0, strips.height))
        which = strips.which
        offsets = np.asarray(turned(strips.places, angle)) + np.array(origin)
        tones = _tones(pattern, None, {**sizes, **names}, len(which))
        keep = _touching(prototypes, which, offsets, zone)
        which, offsets, tones = which[keep], offsets[keep], tones[keep]
        direction, sign = _forward(np.array([cosine(angle), sine(angle)]))
        rim = zone if around is None else around
        rows = _centred(sign * strips.rows[keep], prototypes, which, offsets, rim, direction)
        return Laid(
            tuple(prototypes), which, offsets, tones, rows, offsets @ direction, strips.height
        )
    rim = zone if around is None else around
    items = cell_items(pattern, sizes, angle=angle, origin=origin, zone=rim)
    steps = cell_steps(pattern, sizes)
    if steps is None:
        return _lay_figure(pattern, sizes, items, zone)
    return _lay_lattice(pattern, sizes, items, steps, angle, zone, rim)


def _lay_figure(
    pattern: Pattern, sizes: Mapping[str, float], items: list[Item], zone: Outline
) -> Laid:
    """Lay a figure that stands alone: each item once."""
    m = len(items)
    prototypes = tuple(item.prototype for item in items)
    tones = np.concatenate(
        [_tones(pattern, i.tone, {**sizes, **i.names, "a": 0.0, "b": 0.0}, 1) for i in items]
        or [np.zeros(0, dtype=np.int64)]
    )
    middles = np.array([p.outline.mean(axis=0) for p in prototypes]).reshape(m, 2)
    along = middles[:, 0]
    rows = _cluster(middles[:, 1], prototypes)
    if items and "ring" in items[0].names:
        # Rings are glued from the middle outward, each side by side.
        rings = np.array([item.names["ring"] for item in items]).astype(np.int64)
        rows = rings.max() - rings
        along = np.array([item.names["side"] for item in items], dtype=float)
    which, offsets = np.arange(m), np.zeros((m, 2))
    keep = _touching(list(prototypes), which, offsets, zone)
    return Laid(prototypes, which[keep], offsets[keep], tones[keep], rows[keep], along[keep], 0.0)


def _cluster(heights: NDArray[np.float64], prototypes: tuple[Prototype, ...]) -> NDArray[np.int64]:
    """Number the rows of a figure: strips whose middles lie within half a strip are one row."""
    widths = [p.strip_width for p in prototypes if p.strip_width is not None]
    pitch = min(widths, default=float(np.ptp(heights)) or 1.0) if len(heights) else 1.0
    return np.round(heights / pitch).astype(np.int64)


def _lay_lattice(
    pattern: Pattern,
    sizes: Mapping[str, float],
    items: list[Item],
    own_steps: tuple[tuple[float, float], tuple[float, float]],
    angle: float,
    zone: Outline,
    rim: Outline,
) -> Laid:
    """Lay the cell at every pair of steps that brings it into the zone."""
    place = dict(pattern.places).get("repeat.steps", "repeat.steps")
    steps = np.array([turn_point(x, y, angle) for x, y in own_steps])
    det = float(steps[0, 0] * steps[1, 1] - steps[0, 1] * steps[1, 0])
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    if abs(det) <= ON_THE_LINE * max(1.0, float(lengths.max())):
        rule = "The two steps must differ in direction, and neither may be 0, at these sizes."
        raise PatternError(Fault(place, None, rule))
    cell_area = sum(area(item.prototype.outline) for item in items)
    if cell_area > abs(det) * (1 + AREA_SHARE):
        rule = (
            f"The strips of one repeat have {cell_area / abs(det):.4g} times the area of the "
            "repeat, so they would lie on each other at these sizes."
        )
        raise PatternError(Fault(place, None, rule))
    steps, change = _reduced(steps)
    points = np.vstack([i.prototype.outline for i in items]) if items else np.zeros((1, 2))
    least, most = _box(zone)
    reach = np.array([least - points.max(axis=0), most - points.min(axis=0)])
    extent = float(np.prod(np.maximum(reach[1] - reach[0], 0.0)))
    _refuse_too_many(extent / abs(det) * max(1, len(items)), pattern)
    corners = np.array([(x, y) for x in reach[:, 0] for y in reach[:, 1]])
    ranges = np.linalg.solve(steps.T, corners.T)
    first, last = np.floor(ranges.min(axis=1)), np.ceil(ranges.max(axis=1))
    _refuse_too_many(float(np.prod(last - first + 1)) * max(1, len(items)) / 8, pattern)
    i, j = (
        grid.ravel()
        for grid in np.meshgrid(
            np.arange(first[0], last[0] + 1), np.arange(first[1], last[1] + 1), indexing="ij"
        )
    )
    ab = np.column_stack((i, j)) @ change  # in the pattern's own steps, for the tone rule
    offsets = i[:, None] * steps[0] + j[:, None] * steps[1]
    direction, rows = _row_direction(steps, ab=np.column_stack((i, j)))
    laid: list[tuple[NDArray[Any], ...]] = []
    prototypes = [item.prototype for item in items]
    for n, item in enumerate(items):
        keep = _touching([item.prototype], np.zeros(len(offsets), dtype=np.int64), offsets, zone)
        names = {**sizes, **item.names, "a": ab[keep, 0] + 0.0, "b": ab[keep, 1] + 0.0}
        tones = _tones(pattern, item.tone, names, int(keep.sum()))
        middle = item.prototype.outline.mean(axis=0)
        along = (offsets[keep] + middle) @ direction
        laid.append((np.full(len(tones), n), offsets[keep], tones, rows[keep], along))
    which, places, tones, kept_rows, along = (
        np.concatenate([part[k] for part in laid]) for k in range(5)
    )
    pitch = abs(det) / _spacing(steps, direction)
    kept_rows = _centred(kept_rows.astype(np.int64), prototypes, which, places, rim, direction)
    return Laid(
        tuple(prototypes),
        which.astype(np.int64),
        places,
        tones.astype(np.int64),
        kept_rows,
        along,
        pitch,
    )


def _refuse_too_many(count: float, pattern: Pattern) -> None:
    if count > MOST_STRIPS:
        raise PatternError(
            f"The pattern {pattern.name} would take about {count:,.0f} strips in this zone; "
            f"more than {MOST_STRIPS:,} are not laid. Make the strips larger."
        )


def _reduced(
    steps: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Shorten a pair of steps; rows of the second result are the new steps in the old ones."""
    change = np.eye(2)
    new = steps.copy()
    for _ in range(200):
        order = np.argsort(np.hypot(new[:, 0], new[:, 1]), kind="stable")
        new, change = new[order], change[order]
        times = np.round(float(new[0] @ new[1]) / float(new[0] @ new[0]))
        if times == 0:
            break
        change[1] -= times * change[0]
        new = change @ steps  # from the exact steps, so that rounding does not add up
    return new, change


def _row_direction(
    steps: NDArray[np.float64], *, ab: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Choose the step along which rows run, and number the row of each copy.

    A step that runs straight from left to right is taken, else one that runs straight from
    front to back, else the shortest.
    """
    vectors = [(m * steps[0] + n * steps[1], m, n) for m, n in _SHORT]

    def rank(choice: tuple[NDArray[np.float64], int, int]) -> tuple[int, float]:
        (x, y), length = choice[0], float(np.hypot(*choice[0]))
        level, upright = abs(y) <= ON_THE_LINE * length, abs(x) <= ON_THE_LINE * length
        return 0 if level else 1 if upright else 2, length

    vector, m, n = min(vectors, key=rank)
    direction, sign = _forward(vector / np.hypot(*vector))
    rows = sign * (m * ab[:, 1] - n * ab[:, 0])
    if steps[0, 0] * steps[1, 1] - steps[0, 1] * steps[1, 0] < 0:
        rows = -rows
    return direction, rows


def _forward(direction: NDArray[np.float64]) -> tuple[NDArray[np.float64], int]:
    """Let rows run to the right, or away from the maker; say whether they were turned round."""
    backward = direction[0] < -ON_THE_LINE or (
        abs(direction[0]) <= ON_THE_LINE and direction[1] < 0
    )
    return (-direction, -1) if backward else (direction, 1)


def _spacing(steps: NDArray[np.float64], direction: NDArray[np.float64]) -> float:
    """The length of the shortest step along a direction."""
    choices = [m * steps[0] + n * steps[1] for m, n in _SHORT]
    along = [v for v in choices if abs(v[0] * direction[1] - v[1] * direction[0]) <= 1e-6]
    return float(min(np.hypot(*v) for v in along))


def _centred(
    rows: NDArray[np.int64],
    prototypes: list[Prototype],
    which: NDArray[np.int64],
    offsets: NDArray[np.float64],
    zone: Outline,
    direction: NDArray[np.float64],
) -> NDArray[np.int64]:
    """Number rows from 0 at the one that lies nearest to the centre line of the zone."""
    if not len(rows):
        return rows
    least, most = _box(zone)
    normal = np.array([-direction[1], direction[0]])
    middles = np.array([p.outline.mean(axis=0) for p in prototypes])
    across = (offsets + middles[which.astype(np.int64)] - (least + most) / 2) @ normal
    numbers, where = np.unique(rows, return_inverse=True)
    mean = np.bincount(where, weights=across) / np.bincount(where)
    nearest = numbers[np.lexsort((-mean, np.round(np.abs(mean), 6)))[0]]
    return rows - int(nearest)


def _box(points: Outline) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    return points.min(axis=0), points.max(axis=0)


def _touching(
    prototypes: list[Prototype],
    which: NDArray[np.int64],
    offsets: NDArray[np.float64],
    zone: Outline,
) -> NDArray[np.bool_]:
    """Tell which copies may touch the zone: not beyond any side of its convex hull."""
    lines = np.array(edge_lines(_hull(zone)))
    keep = np.ones(len(which), dtype=bool)
    if not prototypes:
        return keep
    for nx, ny, c in lines:
        nearest = np.array([np.min(p.outline @ np.array([nx, ny])) for p in prototypes])
        keep &= nearest[which] + offsets @ np.array([nx, ny]) < c - ON_THE_LINE
    return keep


def _hull(outline: Outline) -> Outline:
    import shapely

    hull = np.array(shapely.get_coordinates(shapely.convex_hull(shapely.Polygon(outline))))[:-1]
    return as_outline(hull if area(hull) > 0 else hull[::-1])


def _tones(
    pattern: Pattern, own: Expression | None, names: Mapping[str, Value], count: int
) -> NDArray[np.int64]:
    """Give the tone of each copy, as an index into the pattern's tones."""
    rule = own if own is not None else pattern.rule
    if rule is None or not pattern.tones:
        return np.zeros(count, dtype=np.int64)
    known = {"row": 0.0, "piece": 0.0, "ring": 0.0, "side": 0.0, **names}
    for loop in rule.names():
        known.setdefault(loop, 0.0)
    value = np.broadcast_to(np.asarray(rule.evaluate(known)), (count,))
    whole = np.round(value)
    if np.any(np.abs(value - whole) > ON_THE_LINE):
        place = dict(pattern.places).get("tone.rule", "tone.rule")
        raise PatternError(
            Fault(place, rule.text, "A tone must come out as a whole number.", "Use floor(...).")
        )
    return np.mod(whole, len(pattern.tones)).astype(np.int64)
