"""A window on a drawing: what of it lies within a box, as for one page of many.

Comes in: items of a sheet, a box. Goes out: items that do not leave it.

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
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from tesselath.draw.paper.lettering import text_outline
from tesselath.draw.paper.sheet import Circle, Corners, Item, Line, Polygon, Text, box_outline

__all__ = ["Box", "Cuttable", "in_window", "prepare", "runs_of"]

#: left, bottom, right, top [mm].
Box = tuple[float, float, float, float]

#: What is shorter than this after cutting is not drawn [mm].
_DUST = 0.02


@dataclass(frozen=True, slots=True)
class Cuttable:
    """An item made ready to be cut by many windows: its runs, and the boxes they lie in."""

    item: Item
    runs: tuple[NDArray[np.float64], ...]
    low: NDArray[np.float64]
    high: NDArray[np.float64]


def prepare(items: Iterable[Item]) -> tuple[Cuttable, ...]:
    """Make a drawing ready to be cut by many windows.

    Returns
    -------
    tuple of Cuttable
        Its items, in the same order.
    """
    return tuple(_prepared(item) for item in items)


def in_window(items: Iterable[Item | Cuttable], box: Box) -> tuple[Item, ...]:
    """Cut a drawing to a box.

    Parameters
    ----------
    items : iterable of Item or Cuttable
        The drawing; prepared, where it is cut by many windows.
    box : (left, bottom, right, top)
        The box [mm].

    Returns
    -------
    tuple of Item
        What of it lies in the box, in the same order; without keys, which name whole things.

    Notes
    -----
    Each outline of a filled polygon is cut by itself.

    Examples
    --------
    >>> from tesselath.draw.paper.sheet import Stroke
    >>> line = Line((((0.0, 5.0), (30.0, 5.0)),), Stroke(0.2))
    >>> in_window([line], (10.0, 0.0, 20.0, 10.0))[0].runs[0].tolist()
    [[10.0, 5.0], [20.0, 5.0]]
    """
    found: list[Item] = []
    for one in items:
        ready = one if isinstance(one, Cuttable) else _prepared(one)
        meets = np.all((ready.high >= box[:2]) & (ready.low <= box[2:]), axis=1)
        if not np.any(meets):
            continue
        inside = np.all((ready.low >= box[:2]) & (ready.high <= box[2:]), axis=1)
        match ready.item:
            case Line() as line:
                kept: list[Corners] = []
                for n in np.flatnonzero(meets).tolist():
                    run = ready.runs[n]
                    kept += [run] if inside[n] else _cut(run, box)
                found += [Line(tuple(kept), line.stroke, line.role)] if kept else []
            case Polygon() as polygon:
                whole = [ready.runs[n] for n in np.flatnonzero(inside).tolist()]
                cut = [ready.runs[n] for n in np.flatnonzero(meets & ~inside).tolist()]
                found += _polygon(polygon, whole, cut, box)
            case Circle() as circle if inside[0]:
                found.append(
                    Circle(circle.centre, circle.radius, circle.fill, circle.stroke, circle.role)
                )
            case Text() as text if inside[0]:
                found.append(text)
    return tuple(found)


def runs_of(lines: BaseGeometry) -> list[NDArray[np.float64]]:
    """Give the corners of each line of a geometry, joined where they meet; dust is dropped."""
    merged = shapely.line_merge(lines) if lines.geom_type == "MultiLineString" else lines
    return [
        shapely.get_coordinates(run)
        for run in shapely.get_parts(merged).tolist()
        if run.geom_type == "LineString" and run.length > _DUST
    ]


def _prepared(item: Item) -> Cuttable:
    match item:
        case Line():
            runs = item.runs
        case Polygon():
            runs = item.outlines
        case Circle():
            (x, y), r = item.centre, item.radius
            runs = (box_outline(x - r, y - r, 2 * r, 2 * r),)
        case Text():
            runs = (text_outline(item),)
        case _:
            raise TypeError(f"{item!r} is not an item of a sheet")
    arrays = tuple(np.asarray(run, dtype=float) for run in runs)
    starts = np.cumsum([0, *map(len, arrays[:-1])])
    points = np.concatenate(arrays)
    return Cuttable(
        item, arrays, np.minimum.reduceat(points, starts), np.maximum.reduceat(points, starts)
    )


def _cut(run: NDArray[np.float64], box: Box) -> list[NDArray[np.float64]]:
    return runs_of(shapely.clip_by_rect(shapely.LineString(run), *box))


def _polygon(
    item: Polygon, whole: Sequence[Corners], cut: Sequence[NDArray[np.float64]], box: Box
) -> list[Item]:
    """Cut outlines: what is whole stays a polygon, the stroke of a cut one is open there."""
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
        runs = [run for outline in cut for run in _cut(np.concatenate([outline, outline[:1]]), box)]
        found += [Line(tuple(runs), item.stroke, item.role)] if runs else []
    return found
