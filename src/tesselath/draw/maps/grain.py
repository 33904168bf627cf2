"""Rulings: lines along the grain that tell a wood without colour.

Comes in: a piece's outline, its grain, the ruling of its wood, the box its lettering needs. Goes
out: lines as pairs of points, along the grain, which stop short of the outline and leave the
lettering free. A piece too narrow for a line gets none.

The lines lie even to both sides of the piece's middle, as a careful draughtsman sets them::

     ____________________________
    |  -----------------------  |
    |  -----  A 17  ----------  |
    |  -----------------------  |
    |___________________________|
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from tesselath.draw.maps.wood import Ruling, WoodLook
from tesselath.draw.paper import Fill, Item, Line, Polygon, Stroke, box_outline, mixed
from tesselath.measure import cosine, sine
from tesselath.shape import Outline, as_outline

__all__ = ["Box", "inside_spans", "rule_lines", "ruled_swatch", "ruling_stroke"]

#: left, bottom, right, top in axes along the lettering [mm].
Box = tuple[float, float, float, float]

#: How far a line stops short of the outline, and the halves of a pair stand apart, in spacings.
_SHORT, _PAIR = 0.22, 0.35


def rule_lines(
    outline: Outline, angle: float, *, ruling: Ruling, spacing: float, free: Box | None
) -> NDArray[np.float64]:
    """Rule one piece along its grain.

    Source: own derivation: a line meets an outline an even number of times.

    Parameters
    ----------
    outline : array (n, 2)
        The piece [mm].
    angle : float
        The direction of the lines [degrees].
    ruling : Ruling
        How the wood is ruled.
    spacing : float
        The closest spacing of the drawing [mm].
    free : Box or None
        What to leave free, in axes turned by ``angle`` [mm].

    Returns
    -------
    array (m, 2, 2)
        The lines, each by its two ends [mm].

    Examples
    --------
    >>> from tesselath.draw.maps.wood import Ruling
    >>> strip = np.array([(0.0, 0.0), (60.0, 0.0), (60.0, 10.0), (0.0, 10.0)])
    >>> lines = rule_lines(strip, 0.0, ruling=Ruling("wide", 2.5), spacing=2.0, free=None)
    >>> lines[:, 0, 1].tolist()
    [2.5, 7.5]
    """
    apart = ruling.spacing * spacing
    if apart <= 0.0:
        return np.empty((0, 2, 2))
    c, s = cosine(angle), sine(angle)
    corners = np.asarray(outline) @ np.array([[c, -s], [s, c]])
    levels = _levels(corners[:, 1].min(), corners[:, 1].max(), apart)
    if ruling.pairs:
        half = _PAIR * spacing
        levels = np.sort(np.concatenate([levels - half, levels + half]))
    spans = []
    for level in levels.tolist():
        for left, right in inside_spans(corners, level, _SHORT * spacing):
            spans += [(level, *span) for span in _around(level, left, right, free)]
    if not spans:
        return np.empty((0, 2, 2))
    y, left, right = np.array(spans).T
    ends = np.stack([np.stack([left, y], axis=-1), np.stack([right, y], axis=-1)], axis=1)
    turned: NDArray[np.float64] = ends @ np.array([[c, s], [-s, c]])
    return turned


def ruled_swatch(
    look: WoodLook, *, width: float, height: float, spacing: float
) -> tuple[Item, ...]:
    """Draw a patch of a wood as it is drawn on the map, lower left corner at the origin."""
    box = as_outline(box_outline(0.0, 0.0, width, height))
    lines = rule_lines(box, 0.0, ruling=look.ruling, spacing=spacing, free=None)
    patch: list[Item] = [Polygon((box,), Fill(look.tint))]
    if len(lines):
        patch.append(Line(tuple(lines), ruling_stroke(look, spacing=spacing)))
    return (*patch, Polygon((box,), stroke=Stroke(0.25)))


def ruling_stroke(look: WoodLook, *, spacing: float) -> Stroke:
    """Give the pen with which a wood is ruled, for the closest spacing of the drawing [mm]."""
    ruling = look.ruling
    width = min(0.35, max(0.12, 0.09 * spacing))
    colour = mixed(look.colour, "#2a211a", 0.55)
    if ruling.dots:
        return Stroke(2.2 * width, colour, (0.01, 1.2 * spacing), ends="round")
    return Stroke(width, colour, tuple(part * spacing for part in ruling.dash))


def _levels(low: float, high: float, apart: float) -> NDArray[np.floating[Any]]:
    """Spread lines evenly to both sides of the middle, half a spacing from the edges or more."""
    count = int((high - low) / apart + 0.25)
    return (low + high) / 2 + (np.arange(count) - (count - 1) / 2) * apart


def inside_spans(
    corners: NDArray[np.float64], level: float, short: float
) -> list[tuple[float, float]]:
    """Give the spans of a level line inside an outline, shortened at both ends [mm]."""
    (x1, y1), (x2, y2) = corners.T, np.roll(corners, -1, axis=0).T
    meets = (y1 > level) != (y2 > level)
    x = x1[meets] + (level - y1[meets]) / (y2 - y1)[meets] * (x2 - x1)[meets]
    ends = np.sort(x).reshape(-1, 2).tolist()
    return [(left + short, right - short) for left, right in ends if right - left > 4 * short]


def _around(level: float, left: float, right: float, free: Box | None) -> list[tuple[float, float]]:
    """Give what is left of a span beside the free box."""
    if free is None or not free[1] < level < free[3] or right <= free[0] or left >= free[2]:
        return [(left, right)]
    parts = [(left, free[0]), (free[2], right)]
    return [(start, end) for start, end in parts if end - start > 0.25 * (free[3] - free[1])]
