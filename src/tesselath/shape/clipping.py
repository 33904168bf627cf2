"""Cutting outlines: by lines, by a zone, inward by a distance; and what is left, made tidy.

Comes in: outlines as arrays, lines as half-planes. Goes out: outlines, counter-clockwise.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from tesselath.measure import ALIKE, ON_THE_LINE, SNAP_GRID
from tesselath.shape.outlines import Corners, Line, Outline, area, as_outline, is_convex

__all__ = ["clip_by_lines", "edge_lines", "inset", "outlines_of", "overlay", "tidy"]


def edge_lines(outline: Outline) -> list[Line]:
    """Give the half-planes of a convex outline, one an edge, in order."""
    lines: list[Line] = []
    p = [(float(x), float(y)) for x, y in outline]
    for (x0, y0), (x1, y1) in zip(p, p[1:] + p[:1], strict=True):
        length = hypot(x1 - x0, y1 - y0)
        if length > ON_THE_LINE:
            nx, ny = (y1 - y0) / length, (x0 - x1) / length
            lines.append((nx, ny, (nx * (x0 + x1) + ny * (y0 + y1)) / 2))
    return lines


def clip_by_lines(corners: Corners, lines: Sequence[Line]) -> list[tuple[float, float]]:  # noqa: C901 - the innermost loop of the clip, kept in one place
    """Clip a convex outline by half-planes, with "within a hair of the line" as on it.

    Source: Sutherland and Hodgman, Reentrant polygon clipping, 1974 (from memory), with a
    tolerance of our own.

    Parameters
    ----------
    corners : sequence of (x, y)
        A convex outline, counter-clockwise [mm].
    lines : sequence of Line
        The half-planes to stay in.

    Returns
    -------
    list of (x, y)
        What is left [mm]; empty when nothing is.

    Examples
    --------
    >>> clip_by_lines([(0, 0), (4, 0), (4, 4), (0, 4)], [(1.0, 0.0, 3.0)])
    [(0, 0), (3.0, 0.0), (3.0, 4.0), (0, 4)]
    """
    points = list(corners)
    for nx, ny, c in lines:
        distances = []
        inside = outside = False
        for x, y in points:
            d = nx * x + ny * y - c
            if d > ON_THE_LINE:
                outside = True
            elif d < -ON_THE_LINE:
                inside = True
            else:
                d = 0.0
            distances.append(d)
        if not outside:
            if not inside:
                return []
            continue
        if not inside:
            return []
        kept: list[tuple[float, float]] = []
        for i, here in enumerate(points):
            j = i + 1 if i + 1 < len(points) else 0
            there, d0, d1 = points[j], distances[i], distances[j]
            if d0 <= 0.0:
                kept.append(here)
            if d0 < 0.0 < d1:
                kept.append(_crossing(here, there, d0, d1))
            elif d1 < 0.0 < d0:
                kept.append(_crossing(there, here, d1, d0))
        points = kept
    return points if len(points) > 2 else []


def _crossing(
    inner: tuple[float, float], outer: tuple[float, float], d_in: float, d_out: float
) -> tuple[float, float]:
    share = d_in / (d_in - d_out)
    return (
        inner[0] + share * (outer[0] - inner[0]),
        inner[1] + share * (outer[1] - inner[1]),
    )


def inset(outline: Outline, distance: float) -> list[Outline]:
    """Move every edge inward (or outward when negative), corners kept sharp.

    Outlines that are not convex go through shapely's mitred buffer.

    Parameters
    ----------
    outline : array (n, 2)
        Any simple outline, counter-clockwise [mm].
    distance : float
        How far each edge moves in [mm].

    Returns
    -------
    list of array
        What is left: none where the outline vanishes, more than one where it splits.

    Examples
    --------
    >>> [piece.tolist() for piece in inset(as_outline([(0, 0), (4, 0), (4, 4), (0, 4)]), 1.0)]
    [[[1.0, 1.0], [3.0, 1.0], [3.0, 3.0], [1.0, 3.0]]]
    """
    if abs(distance) <= ON_THE_LINE:
        return [outline]
    outline = tidy(outline)  # a corner on a straight side is none: its two edges never meet
    if not len(outline):
        return []
    if is_convex(outline):
        lines = [(nx, ny, c - distance) for nx, ny, c in edge_lines(outline)]
        corners = _corners_between(lines) if distance < 0 else _inner(outline, lines)
        return [as_outline(corners)] if len(corners) > 2 else []
    moved = shapely.buffer(
        shapely.Polygon(outline), -distance, join_style="mitre", mitre_limit=100.0
    )
    return outlines_of(moved)


def _inner(outline: Outline, lines: list[Line]) -> list[tuple[float, float]]:
    """Clip by the moved edges, then meet neighbouring lines exactly where no edge vanished."""
    if len(lines) == len(outline):
        corners = _corners_between(lines)
        slack = 10 * ON_THE_LINE
        if all(nx * x + ny * y - c <= slack for nx, ny, c in lines for x, y in corners):
            return corners if area(corners) > 0 else []
    return clip_by_lines([(float(x), float(y)) for x, y in outline], lines)


def _corners_between(lines: list[Line]) -> list[tuple[float, float]]:
    """Meet each line with the one before it; the corner of edge i is where edge i begins."""
    corners = []
    for i, (nx, ny, c) in enumerate(lines):
        mx, my, d = lines[i - 1]
        det = mx * ny - my * nx
        corners.append(((d * ny - c * my) / det, (mx * c - nx * d) / det))
    return corners


def overlay(outlines: Sequence[Outline], zone: BaseGeometry) -> list[list[Outline]]:
    """Cut outlines to a zone of any shape, on a grid far finer than any saw.

    Source: shapely's overlay on a fixed grid.

    Parameters
    ----------
    outlines : sequence of array (n, 2)
        The outlines to cut [mm].
    zone : shapely geometry
        Where they may stay; may have holes [mm].

    Returns
    -------
    list of list of array
        For each outline what is left of it, largest part first.
    """
    grid_zone = shapely.set_precision(zone, SNAP_GRID)
    shapes = shapely.set_precision([shapely.Polygon(o) for o in outlines], SNAP_GRID)
    cut = shapely.intersection(shapes, grid_zone, grid_size=SNAP_GRID)
    return [outlines_of(shape) for shape in np.atleast_1d(cut)]


def _opened(polygon: shapely.Polygon) -> list[shapely.Polygon]:
    """Cut a polygon with a hole into parts without one, by a line through the hole."""
    if not len(polygon.interiors):
        return [polygon]
    x, y = polygon.interiors[0].centroid.coords[0]
    x0, y0, x1, y1 = polygon.bounds
    reach = max(x1 - x0, y1 - y0) + 1.0
    # The line runs along the polygon's longer side, as the grain of a strip does.
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(polygon))
    sides = np.diff(corners, axis=0)
    ux, uy = max(sides.tolist(), key=lambda v: hypot(v[0], v[1]))
    ux, uy = ux / hypot(ux, uy) * 2 * reach, uy / hypot(ux, uy) * 2 * reach
    parts = []
    for sign in (1.0, -1.0):
        half = shapely.Polygon(
            [
                (x - ux, y - uy),
                (x + ux, y + uy),
                (x + ux - sign * uy, y + uy + sign * ux),
                (x - ux - sign * uy, y - uy + sign * ux),
            ]
        )
        cut = shapely.intersection(polygon, half, grid_size=SNAP_GRID)
        for part in shapely.get_parts(cut):
            if isinstance(part, shapely.Polygon) and not part.is_empty:
                parts += _opened(part)
    return parts


def outlines_of(shape: BaseGeometry) -> list[Outline]:
    """Keep polygons only, counter-clockwise, largest first, without the repeated last corner.

    One with a hole is cut into parts without.
    """
    rings = []
    polygons = [
        part
        for polygon in shapely.get_parts(shape)
        if isinstance(polygon, shapely.Polygon) and not polygon.is_empty
        for part in _opened(polygon)
    ]
    for polygon in polygons:
        ring = np.array(shapely.get_coordinates(polygon.exterior))[:-1]
        rings.append(as_outline(ring if area(ring) > 0 else ring[::-1]))
    return sorted(rings, key=lambda ring: (-area(ring), ring.tolist()))


def tidy(outline: Outline) -> Outline:
    """Drop repeated and in-line corners and edges shorter than the finest line.

    Parameters
    ----------
    outline : array (n, 2)
        A simple outline, counter-clockwise [mm].

    Returns
    -------
    array (m, 2)
        The same shape; empty when nothing with any width is left.

    Notes
    -----
    Where a short edge vanishes, its neighbours are drawn on until they meet, so that no edge
    turns.

    Examples
    --------
    >>> tidy(as_outline([(0, 0), (2, 0), (4, 0), (4, 3.998), (3.998, 4), (0, 4)])).round(6).tolist()
    [[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]]
    """
    points = [(float(x), float(y)) for x, y in outline]
    changed = True
    while changed and len(points) > 2:
        changed = False
        n = len(points)
        for i in range(n):
            before, here, after = points[i - 1], points[i], points[(i + 1) % n]
            if _behind(before, here, after) <= 10 * ON_THE_LINE:
                del points[i]
                changed = True
                break
            if hypot(after[0] - here[0], after[1] - here[1]) < ALIKE:
                met = _meet(before, here, after, points[(i + 2) % n]) if n > 3 else None
                points[i] = met or ((here[0] + after[0]) / 2, (here[1] + after[1]) / 2)
                del points[(i + 1) % n]
                changed = True
                break
    return as_outline(points if len(points) > 2 else [])


def _behind(
    before: tuple[float, float], here: tuple[float, float], after: tuple[float, float]
) -> float:
    """How far a corner lies off the line through its neighbours; 0 where they coincide."""
    ax, ay = here[0] - before[0], here[1] - before[1]
    bx, by = after[0] - here[0], after[1] - here[1]
    longest = max(hypot(ax, ay), hypot(bx, by), hypot(ax + bx, ay + by))
    return abs(ax * by - ay * bx) / longest if longest > 0 else 0.0


def _meet(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], d: tuple[float, float]
) -> tuple[float, float] | None:
    """Where lines ab and cd meet, if that is close to the short edge bc."""
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    det = ux * vy - uy * vx
    if abs(det) < ON_THE_LINE * hypot(ux, uy) * hypot(vx, vy):
        return None
    t = ((c[0] - a[0]) * vy - (c[1] - a[1]) * vx) / det
    x, y = a[0] + t * ux, a[1] + t * uy
    return (x, y) if hypot(x - b[0], y - b[1]) < 10 * ALIKE else None
