"""Corners of an outline: how it turns there, and where a band of even width has its outer ones.

Comes in: an outline. Goes out: turns, and the corners of a second outline a given way outside::

      +-------------+   far corner
      | \\           |
      |   +---------    corner, turning 90 degrees; the mitre is half of that

Refuses: nothing.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from tesselath.outlines import Outline
from tesselath.tolerances import ALIKE

__all__ = ["corner_turns", "corners_moved_out", "is_box"]


def corners_moved_out(outline: Outline, width: float) -> NDArray[np.float64]:
    """Give for each corner the one outside it, where its two edges moved out meet.

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

    Raises
    ------
    ZeroDivisionError
        Never; an edge of no length gives a corner that is not a number.

    Notes
    -----
    Source: identity; the point at the same distance from both edges lies along the sum of their
    ways out.

    Examples
    --------
    >>> from tesselath.outlines import as_outline
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

    Parameters
    ----------
    outline : array (n, 2)
        An outline, counter-clockwise [mm].

    Returns
    -------
    array (n,)
        The turns; they sum to 360 [degrees].

    Raises
    ------
    ValueError
        If it has no corners.

    Notes
    -----
    Source: identity.

    Examples
    --------
    >>> from tesselath.outlines import as_outline
    >>> corner_turns(as_outline([(0, 0), (9, 0), (9, 4), (0, 4)])).tolist()
    [90.0, 90.0, 90.0, 90.0]
    """
    after = np.roll(outline, -1, axis=0) - outline
    before = np.roll(after, 1, axis=0)
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turns: NDArray[np.float64] = np.degrees(np.arctan2(cross, (before * after).sum(axis=1)))
    return turns


def is_box(outline: Outline) -> bool:
    """Tell whether an outline is an upright rectangle, within the tolerance of a part.

    Parameters
    ----------
    outline : array (n, 2)
        An outline [mm].

    Returns
    -------
    bool
        Whether it fills its box.

    Raises
    ------
    ValueError
        If it has fewer than three corners.

    Examples
    --------
    >>> from tesselath.outlines import as_outline
    >>> is_box(as_outline([(0, 0), (9, 0), (9, 4), (0, 4)]))
    True
    >>> is_box(as_outline([(0, 0), (9, 0), (9, 4), (1, 4)]))
    False
    """
    shape = shapely.Polygon(outline)
    around = shapely.box(*shape.bounds)
    return bool(around.area - shape.area <= ALIKE * around.length)
