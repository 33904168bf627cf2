"""Curves: rounded and clipped corners and ovals, drawn as fine polygons.

Comes in: an outline, a radius or a cut; the width and depth of an oval. Goes out: outlines.
Refuses: corners that do not leave room for each other.

The corners of the polygon lie on the curve, so that wood cut to it never stands beyond it; between
them it stays within a hair of the curve, which a sanding block takes::

      ____                      ____
     /    \\     corner_radius  /    \\     corner_clip: so much off each side
    |      |                  |      |
"""

from __future__ import annotations

from collections.abc import Sequence
from math import acos, ceil, cos, degrees, pi, radians, sin, tan

import numpy as np

from tesselath.errors import MeasureError
from tesselath.measure import ON_THE_LINE
from tesselath.shape.clipping import tidy
from tesselath.shape.corners import corner_turns
from tesselath.shape.outlines import Outline, as_outline

__all__ = ["CHORD", "clip_corners", "draw_oval", "room_for_corners", "round_corners"]

#: How far a polygon may lie inside the curve it stands for [mm]; a tenth of a millimetre.
CHORD = 0.1

#: So many chords at the least in a quarter turn, so that a curve is known as one [count].
_FEWEST = 8


def draw_oval(width: float, depth: float) -> Outline:
    """Draw an ellipse as a polygon, its middle at the origin.

    Source: identity.

    Parameters
    ----------
    width, depth : float
        From left to right and from front to back [mm].

    Returns
    -------
    array (n, 2)
        The corners, counter-clockwise, a quarter the mirror image of the next [mm].

    Examples
    --------
    >>> draw_oval(200.0, 100.0).max(axis=0).tolist()
    [100.0, 50.0]
    """
    a, b = width / 2, depth / 2
    # Squeezed from the circle of its longer half axis, it comes no farther from its chords.
    count = _chords(max(a, b), 90.0)
    quarter = [(a * cos(pi / 2 * k / count), b * sin(pi / 2 * k / count)) for k in range(1, count)]
    return as_outline(
        [
            (a, 0.0),
            *quarter,
            (0.0, b),
            *((-x, y) for x, y in reversed(quarter)),
            (-a, 0.0),
            *((-x, -y) for x, y in quarter),
            (0.0, -b),
            *((x, -y) for x, y in reversed(quarter)),
        ]
    )


def round_corners(outline: Outline, radius: float) -> Outline:
    """Round every corner of an outline, those that point into it as well.

    Source: identity (a tangent is as long as the radius times the tangent of half the turn).

    Parameters
    ----------
    outline : array (n, 2)
        A simple outline, counter-clockwise [mm].
    radius : float
        The radius of every corner [mm].

    Returns
    -------
    array (m, 2)
        The outline with an even number of chords for each corner [mm].

    Examples
    --------
    >>> from tesselath.shape.outlines import area
    >>> box = as_outline([(0, 0), (90, 0), (90, 40), (0, 40)])
    >>> round(area(box) - area(round_corners(box, 10.0)), 0)  # (4 - pi) x 100 = 86, and the chords
    88.0
    """
    turns = corner_turns(outline)
    reach = [radius * tan(abs(radians(float(turn))) / 2) for turn in turns]
    corners: list[tuple[float, float]] = []
    for n, (start, end) in enumerate(_cut_points(outline, reach)):
        corners += _arc(start, end, float(turns[n]), radius)
    return tidy(as_outline(corners))


def clip_corners(outline: Outline, cut: float) -> Outline:
    """Cut every corner off, so much of each side; see `round_corners`.

    Examples
    --------
    >>> from tesselath.shape.outlines import area
    >>> box = as_outline([(0, 0), (90, 0), (90, 40), (0, 40)])
    >>> area(box) - area(clip_corners(box, 10.0))
    200.0
    """
    reach = [cut] * len(outline)
    return tidy(as_outline([xy for pair in _cut_points(outline, reach) for xy in pair]))


def room_for_corners(outline: Outline, *, rounded: bool) -> float:
    """Tell the largest radius, or the largest cut, that the corners of an outline leave room for.

    Parameters
    ----------
    outline : array (n, 2)
        A simple outline, counter-clockwise [mm].
    rounded : bool
        Whether the corners are rounded, or clipped.

    Returns
    -------
    float
        The radius, or what is cut off each side [mm].

    Examples
    --------
    >>> room_for_corners(as_outline([(0, 0), (90, 0), (90, 40), (0, 40)]), rounded=True)
    20.0
    """
    sides = np.hypot(*(np.roll(outline, -1, axis=0) - outline).T)
    turns = np.radians(np.abs(corner_turns(outline)))
    reach = np.tan(turns / 2) if rounded else np.ones(len(outline))
    return float(np.round(np.min(sides / (reach + np.roll(reach, -1))), 9))


def _cut_points(
    outline: Outline, reach: Sequence[float]
) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Where the curve or the cut at each corner begins and ends."""
    sides = np.roll(outline, -1, axis=0) - outline
    lengths = np.hypot(*sides.T)
    slack = lengths - np.array(reach) - np.roll(reach, -1)
    if np.any(slack < -ON_THE_LINE):
        raise MeasureError("Two corners do not leave room for each other.")
    found = []
    for n, corner in enumerate(outline):
        before, after = sides[n - 1] / lengths[n - 1], sides[n] / lengths[n]
        start, end = corner - reach[n] * before, corner + reach[n] * after
        found.append(((float(start[0]), float(start[1])), (float(end[0]), float(end[1]))))
    return found


def _arc(
    start: tuple[float, float], end: tuple[float, float], turn: float, radius: float
) -> list[tuple[float, float]]:
    """The chords of an arc from one point to another, both with it."""
    count = _chords(radius, abs(turn))
    (x0, y0), (x1, y1) = start, end
    half = radians(turn) / 2
    # From the middle of the chord the centre lies to the side to which the arc turns.
    away = 0.5 / tan(half)
    cx, cy = (x0 + x1) / 2 - away * (y1 - y0), (y0 + y1) / 2 + away * (x1 - x0)
    points = [start]
    for k in range(1, count):
        a = radians(turn) * k / count
        dx, dy = x0 - cx, y0 - cy
        points.append((cx + cos(a) * dx - sin(a) * dy, cy + sin(a) * dx + cos(a) * dy))
    return [*points, end]


def _chords(radius: float, turn: float) -> int:
    """How many chords stay near enough to an arc: an even number, so that one ends half-way."""
    widest = degrees(2 * acos(max(0.0, 1 - CHORD / radius))) if radius > CHORD else turn
    least = max(_FEWEST * turn / 90.0, turn / widest)
    return max(2, 2 * ceil(least / 2 - ON_THE_LINE))
