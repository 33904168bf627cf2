"""Rings: frames of strips, one inside the other, round any convex outline.

Comes in: an outline, the widths from the outside inward, the corner joint. Goes out: the cells of
each ring, side by side. Refuses: outlines with a dent; joints that need four sides on others.

The distance to a side is a straight function, so every cell is an intersection of half-planes:
a mitred piece is what lies nearest to its side, between two distances from it::

     \\______________/        mitre: d_i <= d_j for every other side j
      \\____________/         through: d_j >= r at its neighbours; it reaches the outside
       |          |          butted: d_j >= r + w at a neighbour that runs through

so that a side that runs out early, on its way inward, simply ends where its neighbours meet. When
what is left inside is less than a ring wide, it is one centre panel.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees, hypot

import numpy as np

from tesselath.errors import Fault, PatternError
from tesselath.measure import ALIKE, cosine, sine, tangent
from tesselath.shape import (
    Line,
    Outline,
    area,
    as_outline,
    clip_by_lines,
    edge_lines,
    is_convex,
    tidy,
)

__all__ = ["CORNERS", "RingCell", "butts_against", "joint_ways", "lay_rings", "regular_polygon"]

CORNERS = ("mitre", "pinwheel", "long through", "short through", "turn about", "square")

_MOST_RINGS = 5_000

#: Two sides face each other when the cosine between their outward normals is below this.
_FACING = -0.7


@dataclass(frozen=True, slots=True)
class RingCell:
    """One piece of a ring, gap included.

    ``ring`` counts from 0 on the outside, ``side`` from 0 at the front and on counter-clockwise;
    the centre panel has the number of the ring it stands for and side -1. ``width`` is its ring's
    [mm]; None for a panel wider than a strip.
    """

    outline: Outline
    grain: float
    width: float | None
    ring: int
    side: int
    #: Which way the side runs, counter-clockwise round the outline [degrees, 0 to under 360].
    direction: float = 0.0
    corner: bool = False  # a square in the corner after its side


def lay_rings(
    outline: Outline, widths: Sequence[float], *, count: int, corner: str, place: str
) -> tuple[RingCell, ...]:
    """Lay rings of strips inside an outline.

    Source: own derivation (a mitred frame is the medial axis of a convex outline).
    """
    if not is_convex(outline):
        rule = "Rings need an outline without a dent."
        raise PatternError(Fault(place, None, rule, "Lay another pattern there."))
    outline = tidy(outline)
    if min(widths) <= ALIKE:
        raise PatternError(Fault(place, None, "A ring must be wider than 0 at these sizes."))
    sides = _sides(outline)
    cells: list[RingCell] = []
    inner, depth, ring = outline, 0.0, 0
    while len(inner) and ring < count:
        width = widths[ring % len(widths)]
        after = _inside(outline, sides, depth + width)
        if not len(after) and not _closes(inner, width):
            cells.append(_panel(inner, width, ring))
            return tuple(cells)
        joint = joint_ways(corner, ring, [side.length for side in sides], place=place)
        # Where the last rings come near each other, more sides than the facing ones make way.
        for facing in (_FACING, 1.0):
            laid = _lay_ring(inner, sides, depth, width, joint, ring, facing)
            if _fills(laid, inner, after):
                break
        else:
            rule = f'The outline is too narrow at one end for the joint "{corner}".'
            raise PatternError(Fault(place, corner, rule, 'Use "mitre", or narrower strips.'))
        cells += laid
        inner, depth, ring = after, depth + width, ring + 1
        if ring > _MOST_RINGS:
            raise PatternError(Fault(place, None, f"More than {_MOST_RINGS:,} rings are not laid."))
    return tuple(cells)


def _lay_ring(
    inner: Outline,
    sides: list[_Side],
    depth: float,
    width: float,
    joint: list[str],
    ring: int,
    facing: float,
) -> list[RingCell]:
    """Lay one ring, side by side; squares stand where both sides are butted."""
    cells = []
    for i in range(len(sides)):
        cell = _cell(inner, sides, i, depth, width, joint, facing)
        if len(cell):
            direction = _direction(sides[i].line)
            cells.append(RingCell(cell, direction % 180.0, width, ring, i, direction))
    if all(way == "butted" for way in joint):
        cells += _squares(inner, sides, depth, width, ring)
    return cells


def _fills(cells: list[RingCell], inner: Outline, after: Outline) -> bool:
    """Whether the pieces of a ring fill it; they cross where three sides come too near."""
    laid = sum(area(cell.outline) for cell in cells)
    wanted = area(inner) - (area(after) if len(after) else 0.0)
    rim = float(np.hypot(*(inner - np.roll(inner, 1, axis=0)).T).sum())
    return abs(laid - wanted) <= 2 * ALIKE * rim


@dataclass(frozen=True, slots=True)
class _Side:
    """A side as a half-plane, with its length."""

    line: Line
    length: float


def _sides(outline: Outline) -> list[_Side]:
    """The sides of an outline, the front one first, counter-clockwise."""
    lines = edge_lines(outline)
    edge = np.roll(outline, -1, axis=0) - outline
    lengths = [float(v) for v in np.hypot(*edge.T)]
    # The side whose outward normal points most to the front begins.
    start = min(range(len(lines)), key=lambda i: (round(lines[i][1], 6), round(lines[i][0], 6)))
    order = [(start + i) % len(lines) for i in range(len(lines))]
    return [_Side(lines[i], lengths[i]) for i in order]


def _inside(outline: Outline, sides: list[_Side], depth: float) -> Outline:
    """What lies farther than a depth from every side; empty when nothing does."""
    lines = [(nx, ny, c - depth) for nx, ny, c in (s.line for s in sides)]
    left = tidy(as_outline(clip_by_lines([(float(x), float(y)) for x, y in outline], lines)))
    if len(left) < 3:
        return left
    reach = min(
        float(np.ptp(left @ np.array(s.line[:2]))) for s in sides
    )  # a ridge of no width is nothing
    return left if reach > 2 * ALIKE else as_outline([])


def _closes(inner: Outline, width: float) -> bool:
    """Whether one more ring fills what is left exactly."""
    lines = edge_lines(inner)
    shrunk = [(nx, ny, c - (width - 2 * ALIKE)) for nx, ny, c in lines]
    return bool(clip_by_lines([(float(x), float(y)) for x, y in inner], shrunk))


def _panel(inner: Outline, width: float, ring: int) -> RingCell:
    """The centre panel, its grain along its longest side; from one strip if it is narrow enough."""
    edge = np.roll(inner, -1, axis=0) - inner
    longest = int(np.argmax(np.round(np.hypot(*edge.T), 6)))
    ux, uy = edge[longest] / hypot(*edge[longest])
    across = float(np.ptp(inner @ np.array([-uy, ux])))
    grain = round(degrees(atan2(uy, ux)), 9) % 180.0
    return RingCell(inner, grain, width if across <= width + ALIKE else None, ring, -1)


def joint_ways(corner: str, ring: int, lengths: Sequence[float], *, place: str) -> list[str]:
    """Tell for each side how it meets the sides before and after it.

    Source: common practice.

    >>> joint_ways("long through", 0, [9.0, 4.0, 9.0, 4.0], place="")
    ['through', 'butted', 'through', 'butted']
    """
    n = len(lengths)
    if corner == "mitre":
        return ["mitre"] * n
    if corner in ("pinwheel", "square"):
        return ["pinwheel" if corner == "pinwheel" else "butted"] * n
    if n % 2:
        rule = f'"{corner}" needs an even number of sides; here are {n}.'
        raise PatternError(Fault(place, corner, rule, 'Use "mitre" or "pinwheel".'))
    even_through = sum(lengths[::2]) >= sum(lengths[1::2]) - ALIKE
    if corner == "short through" or (corner == "turn about" and ring % 2):
        even_through = not even_through
    return ["through" if (i % 2 == 0) == even_through else "butted" for i in range(n)]


def _cell(
    inner: Outline,
    sides: list[_Side],
    i: int,
    depth: float,
    width: float,
    joint: list[str],
    facing: float,
) -> Outline:
    """One side's piece of a ring, as an intersection of half-planes."""
    nx, ny, c = sides[i].line
    lines: list[Line] = [(-nx, -ny, -(c - depth - width))]
    n = len(sides)
    for j in range(n):
        if j == i:
            continue
        mx, my, d = sides[j].line
        # Sides that face each other meet half-way, whatever the joint at the corners.
        beside = j in ((i + 1) % n, (i - 1) % n)
        if joint[i] == "mitre" or (not beside and mx * nx + my * ny < facing):
            # d_i <= d_j, with d = c - n.p: (m - n) . p <= d - c; so opposite sides meet half-way.
            dx, dy = mx - nx, my - ny
            length = hypot(dx, dy)
            if length > ALIKE:
                lines.append((dx / length, dy / length, (d - c) / length))
        elif j in butts_against(i, n, joint[i]):
            lines.append((mx, my, d - depth - width))
    return tidy(as_outline(clip_by_lines([(float(x), float(y)) for x, y in inner], lines)))


def butts_against(i: int, n: int, joint: str) -> tuple[int, ...]:
    """Tell which of n sides run through where side i meets them."""
    if joint == "butted":
        return ((i + 1) % n, (i - 1) % n)
    return ((i + 1) % n,) if joint == "pinwheel" else ()


def _direction(line: Line) -> float:
    """Which way a side runs, with the outline on its left [degrees]."""
    return round(degrees(atan2(line[0], -line[1])), 9) % 360.0


def _squares(
    inner: Outline, sides: list[_Side], depth: float, width: float, ring: int
) -> list[RingCell]:
    """The corners that two butted sides leave: within a width of both."""
    cells = []
    for i, side in enumerate(sides):
        lines = [
            (-nx, -ny, -(c - depth - width))
            for nx, ny, c in (side.line, sides[(i + 1) % len(sides)].line)
        ]
        cell = tidy(as_outline(clip_by_lines([(float(x), float(y)) for x, y in inner], lines)))
        if len(cell):
            way = _direction(side.line)
            cells.append(RingCell(cell, way % 180.0, width, ring, i, way, corner=True))
    return cells


def regular_polygon(sides: int, across: float) -> Outline:
    """Draw a regular polygon by its width across flats, one flat at the front.

    Source: identity.

    >>> regular_polygon(4, 2.0).round(9).tolist()
    [[1.0, -1.0], [1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0]]
    """
    radius = across / 2
    half = radius * tangent(180.0 / sides)
    corners = []
    for k in range(sides):
        turn = 360.0 * k / sides
        # The right end of the front flat, turned.
        corners.append(
            (
                half * cosine(turn) + radius * sine(turn),
                half * sine(turn) - radius * cosine(turn),
            )
        )
    return as_outline(corners)
