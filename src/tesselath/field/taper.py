"""Taper: how far the edges of a measured opening run off, and the border that takes it up.

Comes in: the four corners of what the strips cover, the width of the outermost border. Goes out: a
right-angled inside, the border's cells between the two, and the figures of each edge. Refuses:
joints that need more than four sides; there are four here.

The border is as wide as drawn where the opening comes nearest, and wider elsewhere; its mitres
run from the inner corner to the outer one. Each piece is cut with parallel edges from one strip,
as wide as the widest place, and its outer edge is planed to the line::

     ---____________________      cut      : both edges parallel
    |   ____________________|
    |   |  inside, square   |     planed   : the outer edge follows the opening
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees, hypot

import numpy as np
from numpy.typing import NDArray

from tesselath.field.rings import RingCell, butts_against, joint_ways
from tesselath.measure import ALIKE
from tesselath.shape import (
    SIDES,
    Line,
    Outline,
    area,
    as_outline,
    clip_by_lines,
    edge_lines,
    inset,
    tidy,
)

__all__ = ["EdgeTaper", "TaperedCell", "inside_of", "lay_tapered_border", "measure_tapers"]


@dataclass(frozen=True, slots=True)
class EdgeTaper:
    """How one edge of a measured opening runs off.

    ``lean`` is its angle off its axis, counter-clockwise [degrees]; ``taper`` is how much farther
    out one end stands than the other [mm], ``wide_end`` the end that stands farther out. ``wide``
    and ``narrow`` are the widths of the outermost border at its ends, None without one [mm].
    """

    name: str
    length: float
    lean: float
    taper: float
    wide_end: str
    wide: float | None = None
    narrow: float | None = None


@dataclass(frozen=True, slots=True)
class TaperedCell:
    """A cell of a tapered border, and what is cut for it before its outer edge is planed."""

    cell: RingCell
    blank: Outline


def measure_tapers(corners: Outline, *, border: float | None = None) -> tuple[EdgeTaper, ...]:
    """Measure how the four edges of an opening run off its axes.

    Source: identity (the taper of an edge is its length times the sine of its lean).

    Parameters
    ----------
    corners : array (4, 2)
        The corners of what the strips cover, from the front left, counter-clockwise [mm].
    border : float, optional
        The width of the outermost border, which takes the taper up [mm].

    Examples
    --------
    >>> edges = measure_tapers(as_outline([(-50, -20), (50, -21), (50, 20), (-50, 20)]))
    >>> [(e.name, round(e.taper, 6), e.wide_end) for e in edges[:2]]
    [('front', 1.0, 'right'), ('right', 0.0, '')]
    """
    inside = inside_of(corners)
    lines = edge_lines(inside) if border is not None and len(inside) else []
    found = []
    for n, name in enumerate(SIDES):
        ends = corners[n], corners[(n + 1) % 4]
        along, across = _in_own_axes(ends[1] - ends[0], n)
        wide_end = "" if abs(across) <= ALIKE else _END_NAMES[n][across < 0]
        widths: list[float | None] = [None, None]
        if border is not None and lines:
            nx, ny, c = lines[n]
            widths = [border + float(v) for v in sorted(nx * x + ny * y - c for x, y in ends)]
        found.append(
            EdgeTaper(
                name,
                hypot(along, across),
                degrees(atan2(across, along)),
                abs(across),
                wide_end,
                wide=widths[1],
                narrow=widths[0],
            )
        )
    return tuple(found)


#: What the start and the end of each edge are called, counter-clockwise from the front.
_END_NAMES = (("left", "right"), ("front", "back"), ("right", "left"), ("back", "front"))


def _in_own_axes(way: NDArray[np.float64], n: int) -> tuple[float, float]:
    """An edge's run along its axis, and to the left of it."""
    x, y = float(way[0]), float(way[1])
    return ((x, y), (y, -x), (-x, -y), (-y, x))[n]


def inside_of(corners: Outline) -> Outline:
    """Draw the largest upright rectangle that reaches no edge of an opening beyond its nearest end.

    >>> inside_of(as_outline([(-50, -20), (50, -21), (49, 20), (-50, 20)])).tolist()
    [[-50.0, -20.0], [49.0, -20.0], [49.0, 20.0], [-50.0, 20.0]]
    """
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = corners.tolist()
    left, right = max(ax, dx), min(bx, cx)
    front, back = max(ay, by), min(cy, dy)
    if right - left <= ALIKE or back - front <= ALIKE:
        return as_outline([])
    return as_outline([(left, front), (right, front), (right, back), (left, back)])


def lay_tapered_border(
    corners: Outline, *, width: float, corner: str, place: str
) -> tuple[tuple[TaperedCell, ...], Outline]:
    """Lay a border that is square inside and follows the opening outside."""
    square = inside_of(corners)
    left = inset(square, width) if len(square) else []
    if len(left) != 1 or area(left[0]) <= ALIKE:
        return (), as_outline([])
    inner = left[0]
    outside, within = edge_lines(corners), edge_lines(inner)
    lengths = [float(v) for v in np.hypot(*(np.roll(inner, -1, axis=0) - inner).T)]
    joints = joint_ways(corner, 0, lengths, place=place)
    deepest = max(nx * x + ny * y - c for nx, ny, c in within for x, y in corners.tolist())
    cells = []
    for n, joint in enumerate(joints):
        ends = _ends(n, joint, corners, inner, within)
        own = [_turned_over(within[n]), *ends]
        outline = _cut(corners, own)
        # A mitre runs on beyond the outer corner; other ends stop at the opening.
        neighbours = [] if joint == "mitre" else [ln for k, ln in enumerate(outside) if k != n]
        blank = _cut(_box(corners), [*own, *neighbours, _moved_out(within[n], deepest)])
        if len(outline):
            cells.append(_cell(outline, blank, n, deepest))
    if corner == "square":
        for n in range(4):
            both = [within[n], within[(n + 1) % 4]]
            own = [_turned_over(line) for line in both]
            blank = _cut(_box(corners), [*own, *(_moved_out(line, deepest) for line in both)])
            cell = _cell(_cut(corners, own), blank, n, deepest, corner=True)
            cells.append(cell)
    return tuple(cells), inner


def _ends(
    n: int, joint: str, corners: Outline, inner: Outline, within: Sequence[Line]
) -> list[Line]:
    """The lines at which a side of the border ends, besides the opening itself."""
    if joint == "mitre":
        return [
            _line(inner[n], corners[n]),
            _line(corners[(n + 1) % 4], inner[(n + 1) % 4]),
        ]
    return [within[k] for k in butts_against(n, 4, joint)]


def _line(start: NDArray[np.float64], end: NDArray[np.float64]) -> Line:
    """The half-plane to the left of a way from one point to another."""
    (x0, y0), (x1, y1) = start.tolist(), end.tolist()
    length = hypot(x1 - x0, y1 - y0)
    nx, ny = (y1 - y0) / length, (x0 - x1) / length
    return nx, ny, nx * x0 + ny * y0


def _turned_over(line: Line) -> Line:
    return -line[0], -line[1], -line[2]


def _moved_out(line: Line, by: float) -> Line:
    return line[0], line[1], line[2] + by


def _box(corners: Outline) -> Outline:
    """A box well round an opening, from which a blank is cut."""
    (x0, y0), (x1, y1) = corners.min(axis=0), corners.max(axis=0)
    far = float(x1 - x0 + y1 - y0)
    return as_outline(
        [(x0 - far, y0 - far), (x1 + far, y0 - far), (x1 + far, y1 + far), (x0 - far, y1 + far)]
    )


def _cut(corners: Outline, lines: Sequence[Line]) -> Outline:
    return tidy(as_outline(clip_by_lines([(float(x), float(y)) for x, y in corners], lines)))


def _cell(
    outline: Outline, blank: Outline, n: int, width: float, *, corner: bool = False
) -> TaperedCell:
    direction = 90.0 * n
    cell = RingCell(outline, direction % 180.0, width, 0, n, direction, corner=corner)
    return TaperedCell(cell, blank)
