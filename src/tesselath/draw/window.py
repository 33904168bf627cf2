"""A window on a drawing: what of it lies within a box, as for one page of many.

Comes in: items of a sheet, a box. Goes out: items that do not leave it. Refuses: nothing.

Lines and outlines are cut at the box; a circle or a line of lettering is shown whole or not at
all, since half a number is read as another one::

        +---------+
     ---|----     |            +---------+
        |  17  18 | 19   ->    |----     |
        +---------+            |  17  18 |
                               +---------+
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from tesselath.draw.lettering import text_outline
from tesselath.draw.sheet import Circle, Corners, Item, Line, Polygon, Text

__all__ = ["Box", "in_window", "runs_of", "windowed_runs"]

#: left, bottom, right, top [mm].
Box = tuple[float, float, float, float]

#: What is shorter than this after cutting is not drawn [mm].
_DUST = 0.02


def in_window(items: Iterable[Item], box: Box) -> tuple[Item, ...]:
    """Cut a drawing to a box.

    Parameters
    ----------
    items : iterable of Item
        The drawing.
    box : (left, bottom, right, top)
        The box [mm].

    Returns
    -------
    tuple of Item
        What of it lies in the box, in the same order; without keys, which name whole things.

    Raises
    ------
    TypeError
        If something is not an item of a sheet.

    Notes
    -----
    Source: own derivation. Each outline of a filled polygon is cut by itself.

    Examples
    --------
    >>> from tesselath.draw.sheet import Stroke
    >>> line = Line((((0.0, 5.0), (30.0, 5.0)),), Stroke(0.2))
    >>> in_window([line], (10.0, 0.0, 20.0, 10.0))[0].runs[0].tolist()
    [[10.0, 5.0], [20.0, 5.0]]
    """
    found: list[Item] = []
    for item in items:
        match item:
            case Line():
                runs = windowed_runs(item.runs, box)
                found += [Line(runs, item.stroke, item.role)] if runs else []
            case Polygon():
                found += _polygon(item, box)
            case Circle():
                (x, y), r = item.centre, item.radius
                if _inside([(x - r, y - r), (x + r, y + r)], box):
                    found.append(Circle(item.centre, r, item.fill, item.stroke, item.role))
            case Text():
                found += [item] if _inside(text_outline(item), box) else []
            case _:
                raise TypeError(f"{item!r} is not an item of a sheet")
    return tuple(found)


def windowed_runs(runs: Sequence[Corners], box: Box) -> tuple[Corners, ...]:
    """Cut lines to a box; those wholly inside stay as they are [mm]."""
    if not len(runs):
        return ()
    corners = [np.asarray(run, dtype=float) for run in runs]
    low, high = _boxes(corners)
    least, most = np.array(box[:2]), np.array(box[2:])
    meets = np.all((high >= least) & (low <= most), axis=1)
    whole = np.all((low >= least) & (high <= most), axis=1)
    kept: list[Corners] = []
    for n in np.flatnonzero(meets).tolist():
        if whole[n]:
            kept.append(corners[n])
        else:
            kept += runs_of(shapely.clip_by_rect(shapely.LineString(corners[n]), *box))
    return tuple(kept)


def runs_of(lines: shapely.Geometry) -> list[NDArray[np.float64]]:
    """Give the corners of each line of a geometry, joined where they meet; dust is dropped."""
    merged = shapely.line_merge(lines) if lines.geom_type == "MultiLineString" else lines
    return [
        shapely.get_coordinates(run)
        for run in shapely.get_parts(merged).tolist()
        if run.geom_type == "LineString" and run.length > _DUST
    ]


def _boxes(runs: Sequence[Corners]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Give the lower left and the upper right corners of the boxes of many runs."""
    starts = np.cumsum([0, *map(len, runs[:-1])])
    points = np.concatenate([np.asarray(run, dtype=float) for run in runs])
    return np.minimum.reduceat(points, starts), np.maximum.reduceat(points, starts)


def _polygon(item: Polygon, box: Box) -> list[Item]:
    """Cut outlines: what is whole stays a polygon, the stroke of a cut one is open there."""
    low, high = _boxes(item.outlines)
    meets = np.all((high >= box[:2]) & (low <= box[2:]), axis=1)
    inside = np.all((low >= box[:2]) & (high <= box[2:]), axis=1)
    whole = [item.outlines[n] for n in np.flatnonzero(inside).tolist()]
    cut = [item.outlines[n] for n in np.flatnonzero(meets & ~inside).tolist()]
    found: list[Item] = []
    if whole:
        found.append(Polygon(tuple(whole), item.fill, item.stroke, item.role))
    if item.fill is not None:
        shapes = shapely.clip_by_rect([shapely.Polygon(outline) for outline in cut], *box)
        filled = tuple(
            shapely.get_coordinates(part)[:-1]
            for part in shapely.get_parts(shapes).tolist()
            if part.geom_type == "Polygon" and part.area > _DUST**2
        )
        found += [Polygon(filled, item.fill, role=item.role)] if filled else []
    if item.stroke is not None:
        rings = [np.concatenate([np.asarray(o, dtype=float), np.asarray(o)[:1]]) for o in cut]
        runs = windowed_runs(rings, box)
        found += [Line(runs, item.stroke, item.role)] if runs else []
    return found


def _inside(corners: Corners, box: Box) -> bool:
    points = np.asarray(corners, dtype=float)
    return bool((points >= box[:2]).all() and (points <= box[2:]).all())
