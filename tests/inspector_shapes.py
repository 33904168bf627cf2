"""Plane geometry for the inspector, in plain arithmetic.

Comes in: corners as they stand in ``plan.json``. Goes out: arrays and measures of them.
Refuses: nothing.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

__all__ = [
    "CERTAINLY_SAME",
    "GRID",
    "NOISE",
    "SAME",
    "Plan",
    "Points",
    "along_x",
    "close",
    "cut_outline",
    "difference",
    "measure",
    "points",
    "signed_area",
]

Plan = dict[str, Any]
Points = NDArray[np.float64]

#: What plain arithmetic may lose [mm].
NOISE = 1e-6
#: Pieces of one part may differ by this at a corner [mm]: the contract says 0.005 in length.
SAME = 0.01
#: Pieces that agree this well at every corner are alike by any reading of 0.005 mm [mm].
CERTAINLY_SAME = 0.0024
#: The grid for overlays [mm]; without one shapely now and then returns a whole strip.
GRID = 1e-6


def cut_outline(piece: Plan) -> Points:
    """Give what the saw must make of a piece."""
    return points(piece.get("blank") or piece["outline"])


def points(corners: Any) -> Points:
    """Give corners as an array (n, 2)."""
    return np.asarray(corners, dtype=float).reshape(-1, 2)


def signed_area(outline: Points) -> float:
    """Give the area by the shoelace rule, positive when counter-clockwise."""
    near = outline - outline[0]
    x, y = near.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def along_x(outline: Points, grain: float) -> Points:
    """Turn an outline so that its grain lies along x."""
    c, s = math.cos(math.radians(grain)), math.sin(math.radians(grain))
    return np.asarray(outline @ np.array([[c, -s], [s, c]]))


def close(found: float, wanted: float, within: float, what: str) -> None:
    assert abs(found - wanted) <= within, f"{what} is {found!r}, re-worked it is {wanted!r}"


def measure(outline: Points, grain: float) -> tuple[float, float, float]:
    """Take overall, width and edge of an outline along a grain [mm]."""
    lie = along_x(outline, grain)
    overall, width = np.ptp(lie, axis=0)
    sides = np.roll(lie, -1, axis=0) - lie
    # A side within the width of the finest pencil line of the grain lies along it.
    along = [abs(dx) for dx, dy in sides if abs(dy) <= min(0.005, 1e-4 * abs(dx) + NOISE)]
    return float(overall), float(width), float(max(along, default=0.0))


def difference(a: Points, b: Points, *, mirrored: bool) -> float:
    """Say by how much two outlines differ, grain along x: end for end, or face down as well.

    The grain fixes the direction, so only a half turn, a roll and a shift are left to try.
    """
    best = math.inf
    a, b = _plain(a), _plain(b)
    for flip in (False, True) if mirrored else (False,):
        turned = b * (1, -1) if flip else b
        turned = turned[::-1] if flip else turned
        for sign in (1.0, -1.0):
            best = min(best, _offset(a, sign * turned))
    return best


def _offset(a: Points, b: Points) -> float:
    """The farthest that a corner lies from its fellow, over every pairing in order."""
    if len(a) != len(b):
        shapes = [shapely.Polygon(p - (p.min(axis=0) + p.max(axis=0)) / 2) for p in (a, b)]
        return float(shapely.hausdorff_distance(*shapes))
    best = math.inf
    for k in range(len(a)):
        off = a - np.roll(b, k, axis=0)
        # The best shift for the farthest corner is the middle of the box of the offsets.
        middle = (off.min(axis=0) + off.max(axis=0)) / 2
        best = min(best, float(np.hypot(*(off - middle).T).max()))
    return best


def _plain(outline: Points) -> Points:
    """Leave out corners that lie on the line of their neighbours."""
    before, after = np.roll(outline, 1, axis=0), np.roll(outline, -1, axis=0)
    span = after - before
    off = np.abs(
        span[:, 0] * (outline - before)[:, 1] - span[:, 1] * (outline - before)[:, 0]
    ) / np.maximum(np.hypot(*span.T), 1e-12)
    return outline[off > 1e-5] if (off > 1e-5).sum() >= 3 else outline
