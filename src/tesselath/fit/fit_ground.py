"""Ground: the field as a fit sees it, and a quick look at what its edge leaves of the strips.

Comes in: a design. Goes out: the box of the field, the cells of its pattern with their steps, and
for any place of the pattern how thin and how short the pieces along the edge come out. What cannot
be looked at quickly is None.

Strips inside the field are whole, so only those that an edge crosses are cut, and of these each
different one once: two copies that lie alike to the edges that cross them leave the same piece::

        edge y                       along a whole edge the pieces repeat after one step, so
      ----+----+----+----            one step's worth of them is enough to choose the place
      /\\  /\\  /\\  /\\  /              of the pattern across that edge
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, inf, sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tesselath.design import Design
from tesselath.errors import PatternError
from tesselath.field import (
    cell_items,
    cell_steps,
    field_outline,
    find_repeat,
    make_folds,
    opening_outline,
    reduce_steps,
    shrink_cell,
)
from tesselath.measure import ALIKE, AREA_SHARE, ON_THE_LINE, cosine, sine
from tesselath.pattern import settle_sizes
from tesselath.shape import (
    Line,
    Outline,
    area,
    as_outline,
    clip_by_lines,
    edge_lines,
    inset,
    is_convex,
    turned,
)

__all__ = ["Cells", "Ground", "Look", "Looker", "cells_of", "ground_of"]

#: Cells with more strips than this are not looked at quickly.
_MOST_STRIPS = 400
#: A pattern that repeats after less than this share of its steps meets an edge anyhow.
_FINEST = 0.02
#: An edge that leans by less than this cosine runs along an axis, as in a measured opening.
_UPRIGHT = 0.99


@dataclass(frozen=True, slots=True)
class Ground:
    """The part of the field that is laid; the rest of a mirrored one follows from it.

    ``low`` and ``high`` are its box [mm], ``lines`` its edges, mirror lines among them;
    ``middle`` is where the pattern's origin lies when it is not shifted. ``mirrored`` tells for
    left and right, and for front and back, whether a mirror line lies between.
    """

    low: tuple[float, float]
    high: tuple[float, float]
    lines: tuple[Line, ...]
    middle: tuple[float, float]
    mirrored: tuple[bool, bool]


@dataclass(frozen=True, slots=True)
class Cells:
    """The strips of one repeat, in the opening's axes, the pattern's origin at 0 [mm].

    ``steps`` (2, 2) are the shortest two, one a row.
    """

    outlines: tuple[Outline, ...]
    grains: tuple[float, ...]
    widths: tuple[float | None, ...]
    steps: NDArray[np.float64]

    def period(self, axis: int) -> float | None:
        """After how far the cells come round across an edge [mm]; None where they never do."""
        return _common_measure(float(self.steps[0, axis]), float(self.steps[1, axis]))


@dataclass(frozen=True, slots=True)
class Look:
    """What a quick look tells: thinnest and shortest as shares, kinds, equal margins."""

    thin: float
    short: float
    kinds: int
    alike: tuple[bool, bool]
    cut: int


def ground_of(design: Design) -> Ground | None:
    """Find the part of the field that is laid."""
    gap = design.strips.gap
    rim = inset(field_outline(design, opening_outline(design), design.order), -gap / 2)[0]
    for border in design.borders:
        left = inset(rim, border.width + gap)
        if len(left) != 1:
            return None
        rim = left[0]
    (x0, y0), (x1, y1) = rim.min(axis=0), rim.max(axis=0)
    if not is_convex(rim):  # the box stands for it; what is chosen is laid in the true outline
        rim = as_outline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    middle = (float(x0 + x1) / 2, float(y0 + y1) / 2)
    fold = make_folds(design.field.mirror, middle)[0]
    part = clip_by_lines([(float(x), float(y)) for x, y in rim], fold.lines)
    if not part:
        return None
    outline = as_outline(part)
    (x0, y0), (x1, y1) = outline.min(axis=0), outline.max(axis=0)
    return Ground(
        low=(float(x0), float(y0)),
        high=(float(x1), float(y1)),
        lines=tuple(edge_lines(outline)),
        middle=middle,
        mirrored=(
            design.field.mirror in ("left-right", "four ways", "quarters turned"),
            design.field.mirror in ("front-back", "four ways", "quarters turned"),
        ),
    )


def cells_of(design: Design) -> Cells | None:
    """Evaluate the strips of one repeat of the field's pattern."""
    filling = design.field.filling
    field = field_outline(design, opening_outline(design), design.order)
    for border in design.borders:
        inner = inset(field, border.width + design.strips.gap)
        if len(inner) != 1:
            return None
        field = inner[0]
    extent = np.ptp(np.asarray(turned(field, -filling.angle)), axis=0)
    try:
        sizes = settle_sizes(
            filling.pattern,
            filling.settings,
            strip_width=design.strips.width,
            gap=design.strips.gap,
            zone_width=float(extent[0]),
            zone_depth=float(extent[1]),
        )
        if filling.pattern.courses is not None:
            repeat = find_repeat(filling.pattern, sizes)
            if repeat is None:
                return None
            outlines = tuple(turned(o, filling.angle) for o in repeat.outlines)
            grains = (filling.angle % 180.0,) * len(outlines)
            height = filling.pattern.courses.height.number(sizes)
            widths: tuple[float | None, ...] = (height,) * len(outlines)
            own_steps = repeat.steps
        else:
            found = cell_steps(filling.pattern, sizes)
            if found is None:
                return None
            items = cell_items(
                filling.pattern, sizes, angle=filling.angle, origin=(0.0, 0.0), zone=field
            )
            outlines = tuple(item.prototype.outline for item in items)
            grains = tuple(item.prototype.grain for item in items)
            widths = tuple(item.prototype.strip_width for item in items)
            own_steps = found
        steps = np.asarray(turned(as_outline(own_steps), filling.angle))
        reduced = reduce_steps(steps)[0]
    except PatternError:
        return None
    whole = sum(area(outline) for outline in outlines)
    det = abs(float(reduced[0, 0] * reduced[1, 1] - reduced[0, 1] * reduced[1, 0]))
    if not 0 < len(outlines) <= _MOST_STRIPS or whole > det * (1 + AREA_SHARE):
        return None
    if not all(is_convex(outline) for outline in outlines):
        return None
    return Cells(outlines, grains, widths, reduced)


def _common_measure(a: float, b: float) -> float | None:
    """The length of which two steps across an edge are whole multiples; None where it is tiny."""
    large, small = max(abs(a), abs(b)), min(abs(a), abs(b))
    least = _FINEST * large
    while small > 1e-7 * large + ON_THE_LINE:
        rest = large % small
        if small - rest < 1e-5 * small + ON_THE_LINE:
            rest = 0.0
        large, small = small, rest if rest > 1e-5 * small + ON_THE_LINE else 0.0
        if small and small < least:
            return None
    return large


class Looker:
    """Looks at one field with one set of strips, wherever the pattern lies.

    What an edge leaves of a strip is measured once and remembered.
    """

    def __init__(self, cells: Cells, ground: Ground, *, gap: float) -> None:
        self.cells, self.ground, self.gap = cells, ground, gap
        self._measured: dict[tuple[Any, ...], tuple[float, float, float] | None] = {}
        self._wholes = [self._measure_whole(k) for k in range(len(cells.outlines))]
        self._inverse = np.linalg.inv(cells.steps)
        self._normals = np.array([line[:2] for line in ground.lines])
        self._limits = np.array([line[2] for line in ground.lines])
        reach = [outline @ self._normals.T for outline in cells.outlines]
        self._far = np.array([r.max(axis=0) for r in reach])
        self._near = np.array([r.min(axis=0) for r in reach])
        points = np.vstack(cells.outlines)
        span = np.abs(cells.steps).sum(axis=0)
        self._offsets = self._cover(
            np.array(ground.low) - points.max(axis=0) - span - ground.middle,
            np.array(ground.high) - points.min(axis=0) + span - ground.middle,
        )

    def look(self, shift: tuple[float, float]) -> Look:
        """Look at the whole field with the pattern moved by a shift [mm]."""
        share = np.array(shift) @ self._inverse
        moved = (share - np.round(share)) @ self.cells.steps + self.ground.middle
        return self._see(self._offsets + moved, range(len(self.ground.lines)))

    def look_along(self, axis: int, shift: float) -> Look:
        """Look at the two edges square to an axis, as far as the pattern takes to come round."""
        period = self.cells.period(axis)
        assert period is not None
        det = abs(float(np.linalg.det(self.cells.steps)))
        points = np.vstack(self.cells.outlines)
        low, high = np.zeros(2), np.zeros(2)
        low[axis] = self.ground.low[axis] - points[:, axis].max() - self.ground.middle[axis] - shift
        high[axis] = (
            self.ground.high[axis] - points[:, axis].min() - self.ground.middle[axis] - shift
        )
        low[1 - axis], high[1 - axis] = 0.0, det / period - 1e3 * ON_THE_LINE
        offsets = self._cover(low, high)
        keep = ((offsets >= low - ON_THE_LINE) & (offsets <= high + ON_THE_LINE)).all(axis=1)
        moved = np.zeros(2)
        moved[axis] = self.ground.middle[axis] + shift
        edges = [n for n, line in enumerate(self.ground.lines) if abs(line[axis]) > _UPRIGHT]
        return self._see(offsets[keep] + moved, edges)

    def _cover(self, low: NDArray[np.float64], high: NDArray[np.float64]) -> NDArray[np.float64]:
        """Every copy of the cell whose offset lies in a box, and a few beyond."""
        corners = np.array([(x, y) for x in (low[0], high[0]) for y in (low[1], high[1])])
        ranges = corners @ self._inverse
        first, last = np.floor(ranges.min(axis=0)), np.ceil(ranges.max(axis=0))
        i, j = np.meshgrid(np.arange(first[0], last[0] + 1), np.arange(first[1], last[1] + 1))
        offsets: NDArray[np.float64] = np.column_stack((i.ravel(), j.ravel())) @ self.cells.steps
        return offsets[((offsets >= low - 1) & (offsets <= high + 1)).all(axis=1)]

    def _see(self, offsets: NDArray[np.float64], edges: Sequence[int]) -> Look:
        """Measure every different piece that the edges leave."""
        thin, short, cut = 1.0, 9.0, 0
        kinds: set[tuple[float, ...]] = set()
        sides: dict[int, Counter[tuple[float, ...]]] = {n: Counter() for n in edges}
        chosen = list(edges)
        depths = offsets @ self._normals[chosen].T - self._limits[chosen]
        crossed = depths[:, None] + self._far[:, chosen] > ON_THE_LINE
        outside = (depths[:, None] + self._near[:, chosen] >= -ON_THE_LINE).any(axis=2)
        hit = crossed.any(axis=2)
        for k in np.flatnonzero((~hit & ~outside).any(axis=0)).tolist():
            kinds.add(tuple(round(v, 1) for v in self._wholes[k]))
        rows, which = np.nonzero(hit & ~outside)
        near = np.round(np.where(crossed[rows, which], depths[rows], -inf), 4)
        found = Counter(zip(which.tolist(), map(tuple, near.tolist()), strict=True))
        for (k, depth), times in found.items():
            hits = tuple((n, d) for n, d in zip(edges, depth, strict=True) if d > -inf)
            measured = self._measure(k, hits)
            if measured is None:
                continue
            cut += times
            kind = (round(measured[0], 1), round(measured[1], 1), round(measured[2], 1))
            kinds.add(kind)
            whole, width = self._wholes[k], self.cells.widths[k]
            asked = min(whole[0] if width is None else width - self.gap, whole[1])
            thin = min(thin, measured[0] / whole[0])
            if asked > ALIKE:
                short = min(short, measured[1] / asked)
            for n, _ in hits:
                sides[n][kind] += times
        return Look(thin, short, len(kinds), self._balance(sides), cut)

    def _balance(self, sides: dict[int, Counter[tuple[float, ...]]]) -> tuple[bool, bool]:
        """Whether opposite edges carry the same pieces."""
        found = []
        for axis in (0, 1):
            pair = [sides[n] for n in sides if abs(self.ground.lines[n][axis]) > _UPRIGHT]
            mirrored = self.ground.mirrored[axis]
            found.append(mirrored or (len(pair) == 2 and pair[0] == pair[1]))
        return found[0], found[1]

    def _measure_whole(self, k: int) -> tuple[float, float, float]:
        woods = shrink_cell(self.cells.outlines[k], self.gap)
        outline = woods[0] if woods else self.cells.outlines[k]
        return self._measure_corners(outline.tolist(), k)

    def _measure(
        self, k: int, hit: tuple[tuple[int, float], ...]
    ) -> tuple[float, float, float] | None:
        """Thickness, edge on the fence, size of what is left; None where nothing is."""
        key = (k, hit)
        if key not in self._measured:
            cell = self.cells.outlines[k].tolist()
            left = clip_by_lines(cell, [(*self.ground.lines[n][:2], -depth) for n, depth in hit])
            if self.gap and len(left) > 2:
                woods = shrink_cell(as_outline(left), self.gap)
                left = woods[0].tolist() if woods else []
            found = self._measure_corners(left, k) if len(left) > 2 else (0.0, 0.0, 0.0)
            self._measured[key] = found if found[0] > ALIKE else None
        return self._measured[key]

    def _measure_corners(self, p: list[Any], k: int) -> tuple[float, float, float]:
        """Thickness, longest side along the grain, and the root of the area [mm].

        Plain numbers throughout: pieces have few corners and are many.
        """
        gx, gy = cosine(self.cells.grains[k]), sine(self.cells.grains[k])
        thin, edge, double = inf, 0.0, 0.0
        for n, (x, y) in enumerate(p):
            bx, by = p[n - 1]
            ax, ay = x - bx, y - by
            double += bx * y - x * by
            length = hypot(ax, ay)
            if length <= ALIKE:
                continue
            reach = [ax * (v - y) - ay * (u - x) for u, v in p]
            thin = min(thin, (max(reach) - min(reach)) / length)
            if abs(gx * ay - gy * ax) <= ALIKE:
                edge = max(edge, abs(gx * ax + gy * ay))
        return (thin if thin < inf else 0.0), edge, sqrt(max(double, 0.0) / 2)
