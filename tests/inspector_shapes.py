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
    "ALIKE",
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
#: Lengths that differ by less are alike [mm].
ALIKE = 0.005
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


def measure(outline: Points, grain: float) -> tuple[float, float, tuple[float, float]]:
    """Take overall, width and edge of an outline along a grain [mm].

    The edge is given twice: by sides that lie along the grain as nearly as can be computed, and
    by those that leave it by less than a twentieth of a pencil line.
    """
    lie = along_x(outline, grain)
    overall, width = np.ptp(lie, axis=0)
    sides = np.abs(np.roll(lie, -1, axis=0) - lie)
    nearly = sides[sides[:, 1] <= ALIKE, 0].max(initial=0.0)
    exactly = sides[sides[:, 1] <= np.minimum(ALIKE, 1e-4 * sides[:, 0]), 0].max(initial=0.0)
    return float(overall), float(width), (float(exactly), float(nearly))


def difference(a: Points, b: Points, *, mirrored: bool) -> float:
    """Say by how much two outlines differ, grain along x: end for end, or face down as well.

    The grain fixes the direction, so only a half turn, a roll and a shift are left to try.
    """
    best = math.inf
    a, b = _plain(a), _plain(b)
    for flip in (False, True) if mirrored else (False,):
        turned = (b * (1, -1))[::-1] if flip else b
        for sign in (1.0, -1.0):
            best = min(best, _offset(a, sign * turned))
            if best < NOISE:
                return best
    return best


def _offset(a: Points, b: Points) -> float:
    """The farthest that a corner lies from its fellow, over every pairing in order."""
    if len(a) != len(b):
        shapes = [shapely.Polygon(p - (p.min(axis=0) + p.max(axis=0)) / 2) for p in (a, b)]
        return float(shapely.hausdorff_distance(*shapes))
    turns = (np.arange(len(a))[:, None] + np.arange(len(a))) % len(a)
    off = a - b[turns]
    # The best shift for the farthest corner is the middle of the box of the offsets.
    middle = (off.min(axis=1) + off.max(axis=1)) / 2
    return float(np.hypot(*(off - middle[:, None]).T).max(axis=0).min())


def _plain(outline: Points) -> Points:
    """Leave out corners that lie on the line of their neighbours."""
    before = outline[np.arange(len(outline)) - 1]
    after = outline[(np.arange(len(outline)) + 1) % len(outline)]
    x, y = (after - before).T
    off = np.abs(x * (outline - before)[:, 1] - y * (outline - before)[:, 0])
    kept = off > 1e-5 * np.maximum(np.hypot(x, y), 1e-12)
    return np.asarray(outline[kept]) if kept.sum() >= 3 else outline
