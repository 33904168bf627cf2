"""The frame round the opening, as it is drawn: its outer edge, its rails and their joints.

Comes in: the opening's outline, the frame's width and how its corners are made.
Goes out: outlines and joint lines [mm]. Refuses: nothing.

Mitred, every rail runs from long point to long point; butted, front and back run through::

     _____________          _____________
    |\\___________/|        |_____________|
    | |         | |        | |         | |
    | |_________| |        |_|_________|_|
    |/___________\\|        |_____________|
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees

import numpy as np
import shapely
from numpy.typing import NDArray

from tesselath.draw.sheet import Point
from tesselath.outlines import Outline, as_outline, inset
from tesselath.tolerances import ALIKE

__all__ = ["FrameShape", "Rail", "frame_shape", "is_box"]

#: An outline that turns less than this at a corner is a curve: no joint there [degrees].
_CURVE = 15.0


@dataclass(frozen=True, slots=True)
class Rail:
    """One member of a frame and the direction of its grain [mm], [degrees]."""

    outline: Outline
    grain: float


@dataclass(frozen=True, slots=True)
class FrameShape:
    """A frame as it is drawn [mm]."""

    outer: Outline
    joints: tuple[tuple[Point, Point], ...]
    rails: tuple[Rail, ...]


def frame_shape(opening: Outline, *, width: float, corner: str) -> FrameShape:
    """Shape a frame round an opening.

    Parameters
    ----------
    opening : array (n, 2)
        The clear area inside the frame, counter-clockwise [mm].
    width : float
        The width of the frame [mm].
    corner : {"mitre", "butt"}
        How its corners are made.

    Returns
    -------
    FrameShape
        Its outer edge, joints and rails.

    Raises
    ------
    ValueError
        If the opening is not simple.

    Notes
    -----
    Source: common practice.

    Examples
    --------
    >>> opening = as_outline([(0, 0), (90, 0), (90, 40), (0, 40)])
    >>> shape = frame_shape(opening, width=5.0, corner="mitre")
    >>> shape.joints[0], len(shape.rails)
    (((0.0, 0.0), (-5.0, -5.0)), 4)
    """
    outer = inset(opening, -width)[0]
    if corner == "butt" and is_box(opening):
        return _butted(opening, width, outer)
    points = _corners_moved_out(opening, width)
    turns = _turns(opening)
    joints = tuple(
        (_point(inner), _point(far))
        for inner, far, turn in zip(opening, points, turns, strict=True)
        if abs(turn) > _CURVE
    )
    rails = []
    for start, end in zip(range(len(opening)), [*range(1, len(opening)), 0], strict=True):
        dx, dy = opening[end] - opening[start]
        corners = [opening[start], points[start], points[end], opening[end]]
        rails.append(Rail(as_outline(np.array(corners)), degrees(atan2(dy, dx)) % 180.0))
    return FrameShape(outer, joints, tuple(rails))


def _butted(opening: Outline, width: float, outer: Outline) -> FrameShape:
    (left, bottom), (right, top) = opening.min(axis=0), opening.max(axis=0)
    boxes = [
        (left - width, bottom - width, right + width, bottom, 0.0),
        (right, bottom, right + width, top, 90.0),
        (left - width, top, right + width, top + width, 0.0),
        (left - width, bottom, left, top, 90.0),
    ]
    rails = tuple(
        Rail(as_outline([(x1, y1), (x2, y1), (x2, y2), (x1, y2)]), grain)
        for x1, y1, x2, y2, grain in boxes
    )
    joints = tuple(
        ((float(x), float(y)), (float(x + out), float(y)))
        for y in (bottom, top)
        for x, out in ((left, -width), (right, width))
    )
    return FrameShape(outer, joints, rails)


def is_box(outline: Outline) -> bool:
    """Tell whether an outline is an upright rectangle, within the tolerance of a part."""
    box = shapely.box(*shapely.Polygon(outline).bounds)
    return bool(box.area - shapely.Polygon(outline).area <= ALIKE * box.length)


def _corners_moved_out(opening: Outline, width: float) -> NDArray[np.float64]:
    """Give for each corner the one outside it, where its two edges moved out meet."""
    way = np.roll(opening, -1, axis=0) - opening
    out = np.column_stack([way[:, 1], -way[:, 0]]) / np.hypot(way[:, 0], way[:, 1])[:, None]
    before = np.roll(out, 1, axis=0)
    # The point at the same distance from both edges lies along the sum of their ways out.
    share = 1.0 + (out * before).sum(axis=1, keepdims=True)
    moved: NDArray[np.float64] = opening + width * (out + before) / share
    return moved


def _turns(opening: Outline) -> NDArray[np.float64]:
    """Give by how much the outline turns at each corner [degrees]."""
    after = np.roll(opening, -1, axis=0) - opening
    before = np.roll(after, 1, axis=0)
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turns: NDArray[np.float64] = np.degrees(np.arctan2(cross, (before * after).sum(axis=1)))
    return turns


def _point(corner: NDArray[np.float64]) -> Point:
    return float(corner[0]), float(corner[1])
