"""The frame round the opening, as it is drawn: its outer edge, its rails and their joints.

Comes in: the opening's outline, the frame's width and how its corners are made. Goes out: outlines
and joint lines [mm].

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
from numpy.typing import NDArray

from tesselath.draw.paper import Point
from tesselath.shape import (
    Outline,
    as_outline,
    as_point,
    corner_turns,
    corners_moved_out,
    inset,
    is_box,
    side_runs,
)

__all__ = ["FrameShape", "Rail", "frame_shape", "is_box"]


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
    points = corners_moved_out(opening, width)
    runs = side_runs(opening)
    turns = corner_turns(opening)
    joints = tuple(
        (
            as_point(opening[at]),
            as_point(points[at] if turns[at] > 0 else _nearest(outer, points[at])),
        )
        for at in (run.corners[0] for run in runs)
    )
    rails = []
    for corners in (list(run.corners) for run in runs):
        dx, dy = opening[corners[-1]] - opening[corners[0]]
        ring = [opening[corners[0]], *points[corners], *opening[corners[:0:-1]]]
        rails.append(Rail(as_outline(np.array(ring)), degrees(atan2(dy, dx)) % 180.0))
    return FrameShape(outer, joints, tuple(rails))


def _nearest(outer: Outline, point: NDArray[np.float64]) -> NDArray[np.float64]:
    """The outer corner where a curve that bends the other way has run out to a sharp one."""
    nearest: NDArray[np.float64] = outer[int(np.argmin(np.hypot(*(outer - point).T)))]
    return nearest


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
