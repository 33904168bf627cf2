"""Tiling: whether outlines lie side by side, with nothing on top of another and nothing bare.

Comes in: outlines in mm, and the area they should cover. Goes out: which of them overlap, what they
leave bare, and how often each of many points is covered.

Three ways of looking that share no step::

    overlap   every outline is drawn in by a hair; then no two may meet
    bare      every outline is let out by a hair; then nothing of the area may be left over
    points    a ray from each point crosses the rim of exactly one outline an odd number of times

Overlaps are told by that first question, which is exact, and never by a plain overlay of
neighbours, which now and then returns a whole strip.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from tesselath.measure import ON_THE_LINE, SNAP_GRID
from tesselath.shape.outlines import Outline, area, as_outline, centroid

__all__ = [
    "HAIR",
    "as_polygons",
    "bare_parts",
    "crossed_outlines",
    "find_overlaps",
    "shared_parts",
    "times_covered",
    "too_close",
    "wrongly_covered",
]

#: Overlaps and bare places thinner than this are rounding [mm]; real ones are far wider.
HAIR = 10 * ON_THE_LINE

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:e[+-]?\d+)?")

Points = NDArray[np.float64]
Pairs = list[tuple[int, int]]


def as_polygons(outlines: Sequence[Outline]) -> NDArray[np.object_]:
    """Give outlines as shapely polygons, in order."""
    return np.array([shapely.Polygon(outline) for outline in outlines], dtype=np.object_)


def crossed_outlines(outlines: Sequence[Outline]) -> list[tuple[int, tuple[float, float]]]:
    """List the outlines whose rim crosses or touches itself, each with the place [mm]."""
    shapes = as_polygons(outlines)
    found = []
    for n in np.flatnonzero(~np.asarray(shapely.is_valid(shapes))).tolist():
        # shapely says for example "Self-intersection[16.9 16.9]".
        numbers = _NUMBER.findall(str(shapely.is_valid_reason(shapes[n])))
        x, y = (float(v) for v in numbers[-2:]) if len(numbers) >= 2 else centroid(outlines[n])
        found.append((n, (x, y)))
    return found


def find_overlaps(outlines: Sequence[Outline], *, among: int, hair: float = HAIR) -> Pairs:
    """Find pairs that lie on each other.

    Parameters
    ----------
    outlines : sequence of array (n, 2)
        Simple outlines [mm].
    among : int
        Only pairs whose first is one of the first so many [count].
    hair : float
        Overlaps thinner than this do not count [mm].

    Returns
    -------
    list of (int, int)
        The pairs, the lower number first, sorted.

    Examples
    --------
    >>> tile = as_outline([(0, 0), (4, 0), (4, 2), (0, 2)])
    >>> find_overlaps([tile, tile + (4, 0), tile + (3.9, 2), tile + (0, 1)], among=4)
    [(0, 3), (2, 3)]
    """
    drawn_in = shapely.buffer(as_polygons(outlines), -hair / 2, join_style="mitre")
    tree = shapely.STRtree(drawn_in[:among])
    others, own = tree.query(drawn_in, predicate="intersects")
    pairs = {(min(i, j), max(i, j)) for i, j in zip(own.tolist(), others.tolist(), strict=True)}
    return sorted((i, j) for i, j in pairs if i != j and i < among)


def shared_parts(one: Outline, other: Outline) -> list[Outline]:
    """Give what two outlines share, on the grid, the largest part first."""
    shapes = shapely.set_precision(as_polygons([one, other]), SNAP_GRID)
    shared = shapely.intersection(shapes[0], shapes[1], grid_size=SNAP_GRID)
    return _wide_parts(shared, HAIR)


def bare_parts(
    region: Outline, outlines: Sequence[Outline], *, hair: float = HAIR
) -> list[Outline]:
    """Find what outlines leave bare of a region.

    Parameters
    ----------
    region : array (n, 2)
        What should be covered: a simple outline [mm].
    outlines : sequence of array (n, 2)
        What covers it [mm].
    hair : float
        What is thinner than this does not count [mm].

    Returns
    -------
    list of array
        The bare parts by their outer rims, the largest first.

    Examples
    --------
    >>> region = as_outline([(0, 0), (4, 0), (4, 2), (0, 2)])
    >>> [area(part).__round__(3) for part in bare_parts(region, [region * (0.75, 1)])]
    [2.0]
    """
    let_out = shapely.buffer(as_polygons(outlines), hair, join_style="mitre")
    covered = shapely.union_all(let_out, grid_size=SNAP_GRID)
    left = shapely.difference(shapely.Polygon(region), covered, grid_size=SNAP_GRID)
    return _wide_parts(left, hair)


def _wide_parts(shape: BaseGeometry, hair: float) -> list[Outline]:
    """Keep polygons wider than a hair, as counter-clockwise outlines, the largest first."""
    parts = []
    for polygon in shapely.get_parts(shape):
        if polygon.geom_type != "Polygon" or 2 * polygon.area <= hair * polygon.length:
            continue
        ring = np.array(shapely.get_coordinates(polygon.exterior))[:-1]
        parts.append(as_outline(ring if area(ring) > 0 else ring[::-1]))
    return sorted(parts, key=lambda part: (-area(part), part.tolist()))


def times_covered(points: Points, outlines: Sequence[Outline]) -> NDArray[np.int64]:
    """Count for each point the outlines it lies in.

    Source: the crossing rule (Jordan's curve theorem); shares no code with the other checks.

    Parameters
    ----------
    points : array (m, 2)
        The points [mm].
    outlines : sequence of array (n, 2)
        The outlines [mm].

    Examples
    --------
    >>> tile = as_outline([(0, 0), (4, 0), (4, 2), (0, 2)])
    >>> times_covered(np.array([(1.0, 1.0), (5.0, 1.0)]), [tile, tile - (2, 0)]).tolist()
    [2, 0]
    """
    counts = np.zeros(len(points), dtype=np.int64)
    for outline in outlines:
        least, most = outline.min(axis=0), outline.max(axis=0)
        near = np.flatnonzero(((points >= least) & (points <= most)).all(axis=1))
        if not len(near):
            continue
        px, py = points[near, 0][:, None], points[near, 1][:, None]
        x0, y0 = outline[:, 0], outline[:, 1]
        x1, y1 = np.roll(x0, -1), np.roll(y0, -1)
        crossed = (y0 <= py) != (y1 <= py)
        with np.errstate(divide="ignore", invalid="ignore"):
            right = px < x0 + (py - y0) * (x1 - x0) / (y1 - y0)
        counts[near] += (crossed & right).sum(axis=1) % 2
    return counts


def wrongly_covered(
    points: Points, outlines: Sequence[Outline], *, wanted: tuple[int, int], hair: float = HAIR
) -> NDArray[np.int64]:
    """List the points that lie in too few or too many outlines; those on a rim do not count.

    ``wanted`` gives the least and the most outlines a point may lie in [count].
    """
    counts = times_covered(points, outlines)
    wrong = np.flatnonzero((counts < wanted[0]) | (counts > wanted[1]))
    if not len(wrong):
        return wrong
    rims = shapely.MultiLineString([shapely.LinearRing(o) for o in outlines])
    away = shapely.distance(shapely.points(points[wrong]), rims)
    return wrong[np.asarray(away) > hair]


def too_close(outlines: Sequence[Outline], *, gap: float, hair: float = HAIR) -> Pairs:
    """Find pairs of outlines that lie nearer to each other than a gap [mm]."""
    shapes = as_polygons(outlines)
    tree = shapely.STRtree(shapes)
    one, other = tree.query(shapes, predicate="dwithin", distance=gap - hair)
    return sorted((i, j) for i, j in zip(one.tolist(), other.tolist(), strict=True) if i < j)
