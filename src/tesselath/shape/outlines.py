"""Outlines: the plane geometry of pieces and zones.

Comes in: corners as lists of (x, y) or arrays (n, 2), counter-clockwise, in mm. Goes out: the same,
or measures of it. An outline with no area comes out empty.

A convex outline is clipped by half-planes, one edge of the zone after the other. A corner within
``ON_THE_LINE`` of an edge counts as on it, and a crossing is always interpolated from the inside
corner to the outside one, so that neighbours along an edge get the same point. General overlay
in plain double precision is never used on touching strips: now and then it returns a whole
strip as the overlap of two neighbours.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, inf

import numpy as np
from numpy.typing import NDArray

from tesselath.measure import ON_THE_LINE, cosine, sine

__all__ = [
    "Line",
    "Outline",
    "area",
    "as_outline",
    "as_point",
    "centroid",
    "is_convex",
    "thickness",
    "turned",
]

Outline = NDArray[np.float64]
Corners = Sequence[tuple[float, float]]

#: A half-plane: points with nx * x + ny * y <= c are inside; (nx, ny) has length 1.
Line = tuple[float, float, float]


def as_outline(corners: Corners | Outline) -> Outline:
    """Give corners as a read-only array (n, 2) [mm]."""
    outline = np.array(corners, dtype=float).reshape(-1, 2)
    outline.setflags(write=False)
    return outline


def as_point(corner: NDArray[np.float64]) -> tuple[float, float]:
    """Give a corner of an outline as a point (x, y) of plain numbers [mm]."""
    return float(corner[0]), float(corner[1])


def area(corners: Corners | Outline) -> float:
    """Give the area of an outline, positive when counter-clockwise.

    Source: the surveyor's formula, taken about the first corner for exactness.

    Parameters
    ----------
    corners : sequence of (x, y) or array (n, 2)
        The corners [mm].

    Returns
    -------
    float
        The area [mm2].

    Examples
    --------
    >>> area([(0, 0), (4, 0), (4, 3)])
    6.0
    """
    p = np.asarray(corners, dtype=float).reshape(-1, 2)
    if len(p) < 3:
        return 0.0
    x, y = (p - p[0]).T
    # The first corner is 0, so the terms that go round to it vanish.
    return float(0.5 * np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]))


def centroid(outline: Outline) -> tuple[float, float]:
    """Give the centre of gravity of an outline [mm]; the mean corner where it has no area."""
    p = np.asarray(outline, dtype=float)
    q = p - p[0]
    following = np.roll(q, -1, axis=0)
    cross = q[:, 0] * following[:, 1] - following[:, 0] * q[:, 1]
    total = float(np.sum(cross))
    if abs(total) < ON_THE_LINE * ON_THE_LINE:
        mean = p.mean(axis=0)
        return float(mean[0]), float(mean[1])
    middle = ((q + following) * cross[:, None]).sum(axis=0) / (3.0 * total) + p[0]
    return float(middle[0]), float(middle[1])


def is_convex(corners: Corners | Outline) -> bool:
    """Tell whether an outline bulges everywhere, within the width of a pencil line."""
    p = np.asarray(corners, dtype=float).reshape(-1, 2)
    round_again = np.concatenate((p, p[:2]))
    x, y = (round_again[1:] - round_again[:-1]).T
    length = np.hypot(x, y)
    turn = x[:-1] * y[1:] - y[:-1] * x[1:]
    # turn / longer edge is how far a corner lies behind the line through its neighbours.
    return bool(np.all(turn >= -ON_THE_LINE * np.maximum(length[:-1], length[1:])))


def turned(outline: Outline, angle: float) -> Outline:
    """Turn an outline about the origin, counter-clockwise, exactly at workshop angles."""
    c, s = cosine(angle), sine(angle)
    p = np.asarray(outline, dtype=float)
    return as_outline(np.column_stack((c * p[:, 0] - s * p[:, 1], s * p[:, 0] + c * p[:, 1])))


def thickness(outline: Outline) -> float:
    """Measure how thin a piece is at its thinnest: the least width between two parallels.

    Source: identity (the least width of a convex outline lies along one of its edges).

    Parameters
    ----------
    outline : array (n, 2)
        A simple outline [mm].

    Returns
    -------
    float
        The least, over the edges, of the distance to the farthest corner [mm].

    Examples
    --------
    >>> thickness(np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 2.0), (0.0, 2.0)]))
    2.0
    """
    p = np.asarray(outline, dtype=float).tolist()
    least = inf
    for i, (x, y) in enumerate(p):
        # Plain numbers: a piece has few corners, and this is asked of every one.
        ax, ay = x - p[i - 1][0], y - p[i - 1][1]
        length = hypot(ax, ay)
        if length > 0.0:
            reach = [ax * (v - y) - ay * (u - x) for u, v in p]
            least = min(least, (max(reach) - min(reach)) / length)
    return least
