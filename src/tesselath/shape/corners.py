"""Corners of an outline: how it turns there, and where a band of even width has its outer ones.

Comes in: an outline. Goes out: turns, and the corners of a second outline a given way outside::

      +-------------+   far corner
      | \\           |
      |   +---------    corner, turning 90 degrees; the mitre is half of that
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from tesselath.measure import ALIKE
from tesselath.shape.outlines import Outline

__all__ = ["Run", "corner_turns", "corners_moved_out", "is_box", "side_runs"]

#: An outline that turns less than this at a corner is a curve there [degrees].
_CURVE = 15.0

#: An arc that turns farther than this has more than the one joint of a corner [degrees].
_ONE_JOINT = 120.0

#: Where a straight side meets an arc, the outline turns half as much as within it, this nearly.
_HALF = 0.02


@dataclass(frozen=True, slots=True)
class Run:
    """One side of an outline, from joint to joint, with the mitres of its two joints.

    ``corners`` are the numbers of its corners, both ends with them; more than two where it bends.
    """

    corners: tuple[int, ...]
    mitres: tuple[float, float]


def corners_moved_out(outline: Outline, width: float) -> NDArray[np.float64]:
    """Give for each corner the one outside it, where its two edges moved out meet.

    Source: identity; the point at the same distance from both edges lies along the sum of their
    ways out.

    Parameters
    ----------
    outline : array (n, 2)
        An outline, counter-clockwise [mm].
    width : float
        How far the edges are moved outward [mm].

    Returns
    -------
    array (n, 2)
        The moved corners [mm].

    Examples
    --------
    >>> from tesselath.shape.outlines import as_outline
    >>> corners_moved_out(as_outline([(0, 0), (9, 0), (9, 4), (0, 4)]), 1.0).tolist()
    [[-1.0, -1.0], [10.0, -1.0], [10.0, 5.0], [-1.0, 5.0]]
    """
    way = np.roll(outline, -1, axis=0) - outline
    out = np.column_stack([way[:, 1], -way[:, 0]]) / np.hypot(way[:, 0], way[:, 1])[:, None]
    before = np.roll(out, 1, axis=0)
    share = 1.0 + (out * before).sum(axis=1, keepdims=True)
    moved: NDArray[np.float64] = outline + width * (out + before) / share
    return moved


def corner_turns(outline: Outline) -> NDArray[np.float64]:
    """Give by how much an outline turns at each corner, to the left positive [degrees].

    Source: identity.

    Parameters
    ----------
    outline : array (n, 2)
        An outline, counter-clockwise [mm].

    Returns
    -------
    array (n,)
        The turns; they sum to 360 [degrees].

    Examples
    --------
    >>> from tesselath.shape.outlines import as_outline
    >>> corner_turns(as_outline([(0, 0), (9, 0), (9, 4), (0, 4)])).tolist()
    [90.0, 90.0, 90.0, 90.0]
    """
    after = np.roll(outline, -1, axis=0) - outline
    before = np.roll(after, 1, axis=0)
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turns: NDArray[np.float64] = np.degrees(np.arctan2(cross, (before * after).sum(axis=1)))
    return turns


def side_runs(outline: Outline) -> list[Run]:
    """Part an outline into the sides that the members of a frame run along.

    Parameters
    ----------
    outline : array (n, 2)
        An outline, counter-clockwise [mm].

    Returns
    -------
    list of Run
        From real corner to real corner, or half-way round a rounded one; an outline that is all
        curve, as an oval, comes in quarters with square ends.

    Examples
    --------
    >>> from tesselath.shape.outlines import as_outline
    >>> [run.corners for run in side_runs(as_outline([(0, 0), (9, 0), (9, 4), (0, 4)]))]
    [(0, 1), (1, 2), (2, 3), (3, 0)]
    """
    turns = corner_turns(outline)
    n = len(outline)
    ends = {k: abs(float(turns[k])) / 2 for k in range(n) if abs(turns[k]) > _CURVE}
    ends |= _middles_of_arcs(turns)
    if len(ends) < 2:
        ways = np.array([(1, 1), (-1, 1), (-1, -1), (1, -1)])
        ends = {int(np.argmin(np.round(outline @ way, 6))): 0.0 for way in ways}
    order = sorted(ends)
    return [
        Run(tuple(k % n for k in range(one, two + 1)), (ends[one], ends[two % n]))
        for one, two in zip(order, [*order[1:], order[0] + n], strict=True)
    ]


def _middles_of_arcs(turns: NDArray[np.float64]) -> dict[int, float]:
    """The joints on each arc: the corner half-way round, with half of what the arc turns."""
    n = len(turns)
    small = np.abs(turns) < _CURVE

    def half_of(k: int, other: int) -> bool:
        both = small[k % n] and small[other % n]
        return bool(both and abs(turns[k % n] / turns[other % n] - 0.5) < _HALF)

    found = {}
    for start in (k for k in range(n) if half_of(k, k + 1)):
        end = next((k for k in range(start + 2, start + n) if half_of(k, k - 1)), None)
        if end is not None:
            arc = [k % n for k in range(start, end + 1)]
            turn = abs(float(turns[arc].sum()))
            middle = arc[len(arc) // 2]
            if turn <= _ONE_JOINT:
                found[middle] = turn / 2
            else:  # half a circle is two members of its own, joined square
                found |= {arc[0]: 0.0, middle: 0.0, arc[-1]: 0.0}
    return found


def is_box(outline: Outline) -> bool:
    """Tell whether an outline is an upright rectangle, within the tolerance of a part.

    Parameters
    ----------
    outline : array (n, 2)
        An outline [mm].

    Examples
    --------
    >>> from tesselath.shape.outlines import as_outline
    >>> is_box(as_outline([(0, 0), (9, 0), (9, 4), (0, 4)]))
    True
    >>> is_box(as_outline([(0, 0), (9, 0), (9, 4), (1, 4)]))
    False
    """
    shape = shapely.Polygon(outline)
    around = shapely.box(*shape.bounds)
    return bool(around.area - shape.area <= ALIKE * around.length)
