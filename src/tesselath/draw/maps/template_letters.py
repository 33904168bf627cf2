"""The lettering of the template: part marks and numbers, set anew in every cell of the grid.

Comes in: the template, the cells in which it is cut. Goes out: for each cell its lettering and the
boxes it takes.

A piece that lies across a cut is lettered on both sides of it, wherever there is room, so that
no label is cut in two. What has no room in any cell gets a leader in the one that shows most of
it::

      cell 1        :     cell 2
     _______________:___________
    /   A  17       :  A  17   /
   /________________:_________/
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from tesselath.draw.maps.labels import Label, LabelSizes, Wanted, place_labels
from tesselath.draw.maps.leaders import lead_out
from tesselath.draw.maps.lettered import draw_label, label_outline
from tesselath.draw.maps.template import Template
from tesselath.draw.paper import (
    INK,
    Box,
    Circle,
    Corners,
    Fill,
    Item,
    Line,
    Polygon,
    Stroke,
    runs_of,
)
from tesselath.shape import Outline, area, as_outline, tidy

__all__ = ["Cell", "Lettering", "broken", "letter_cells"]

#: How far lettering keeps from the edge of its cell [mm].
_AIR = 0.8
#: More pieces of a cell than this without room: they are lettered smaller, without leaders.
_MOST_LEADERS = 40
#: The least such lettering [mm].
_TINIEST = 0.1
_THIN = Stroke(0.18, INK)
#: Less of a piece than this is nothing to letter [mm2].
_DUST = 1.0


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell of the grid, and the boxes in it that lettering must leave free [mm]."""

    box: Box
    kept_free: tuple[Box, ...] = ()


@dataclass(frozen=True, slots=True)
class Lettering:
    """What is lettered in a cell, the boxes of it, and the numbers of the pieces."""

    items: tuple[Item, ...]
    boxes: tuple[Corners, ...]
    numbers: tuple[str, ...]


def letter_cells(
    template: Template, cells: Sequence[Cell], *, taken: Sequence[Corners] = ()
) -> list[Lettering]:
    """Letter the pieces of each cell."""
    shapes = np.array([shapely.Polygon(one.outline) for one in template.wanted], dtype=object)
    parts = [_parts(template.wanted, shapes, cell) for cell in cells]
    placed = [
        place_labels([wanted for _, wanted in found], sizes=template.sizes) for found in parts
    ]
    labelled = {
        n
        for found, labels in zip(parts, placed, strict=True)
        for (n, _), label in zip(found, labels, strict=True)
        if label is not None
    }
    lost: dict[int, list[Wanted]] = {}
    for n, one in enumerate(template.wanted):
        if n not in labelled:
            k, seen = _seen_best(one, shapes[n], cells)
            lost.setdefault(k, []).append(seen)
    return [
        _lettering(
            template, cell, [label for label in labels if label is not None], lost.get(k, []), taken
        )
        for k, (cell, labels) in enumerate(zip(cells, placed, strict=True))
    ]


def broken(items: Sequence[Item], boxes: Sequence[Corners]) -> tuple[Item, ...]:
    """Break lines where lettering stands.

    Source: common practice of technical drawing.
    """
    if not len(boxes):
        return tuple(items)
    shapes = np.array([shapely.Polygon(box) for box in boxes], dtype=object)
    tree = shapely.STRtree(shapes)
    found: list[Item] = []
    for item in items:
        if not isinstance(item, Line):
            found.append(item)
            continue
        lines = np.asarray(
            shapely.linestrings(
                np.concatenate(item.runs),
                indices=np.repeat(np.arange(len(item.runs)), [len(run) for run in item.runs]),
            )
        )
        hits: dict[int, list[int]] = {}
        for line, box in sorted(tree.query(lines, predicate="intersects").T.tolist()):
            hits.setdefault(line, []).append(box)
        runs: list[Corners] = [run for n, run in enumerate(item.runs) if n not in hits]
        for n, met in hits.items():
            rest = lines[n]
            for box in met:
                rest = shapely.difference(rest, shapes[box])
            runs += runs_of(rest)
        if runs:
            found.append(replace(item, runs=tuple(runs)))
    return tuple(found)


def _parts(
    wanted: Sequence[Wanted], shapes: NDArray[np.object_], cell: Cell
) -> list[tuple[int, Wanted]]:
    """Give what is seen of each piece in a cell: its index, and its largest part."""
    left, bottom, right, top = cell.box
    whole = shapely.box(left, bottom, right, top)
    inner = (left + _AIR, bottom + _AIR, right - _AIR, top - _AIR)
    kept_free = np.array([shapely.box(*box) for box in cell.kept_free], dtype=object)
    found: list[tuple[int, Wanted]] = []
    low, high = np.split(shapely.bounds(shapes), 2, axis=1)
    clear = np.all((low >= inner[:2]) & (high <= inner[2:]), axis=1)
    for n in np.flatnonzero(shapely.intersects(whole, shapes)).tolist():
        if clear[n] and not np.any(shapely.intersects(shapes[n], kept_free)):
            found.append((n, wanted[n]))
            continue
        part = shapely.clip_by_rect(shapes[n], *inner)
        for k in np.flatnonzero(shapely.intersects(part, kept_free)).tolist():
            part = _beside(part, cell.kept_free[k])
        outline = _outline(part)
        if outline is not None:
            found.append((n, replace(wanted[n], outline=outline)))
    return found


def _beside(shape: BaseGeometry, box: Box) -> BaseGeometry:
    """Give the largest part of a shape to one side of a box; it stays convex if it was."""
    far = 10_000.0
    sides = [
        (-far, -far, box[0], far),
        (box[2], -far, far, far),
        (-far, -far, far, box[1]),
        (-far, box[3], far, far),
    ]
    parts = [shapely.clip_by_rect(shape, *side) for side in sides]
    return max(parts, key=lambda part: float(part.area))


def _outline(shape: BaseGeometry) -> Outline | None:
    """Give the outline of the largest part of a shape, counter-clockwise; None for dust."""
    polygons = [p for p in shapely.get_parts(shape).tolist() if p.geom_type == "Polygon"]
    if not polygons:
        return None
    best = max(polygons, key=lambda polygon: float(polygon.area))
    if best.area < _DUST:
        return None
    corners = shapely.get_coordinates(best.exterior)[:-1]
    outline = tidy(as_outline(corners if area(corners) > 0.0 else corners[::-1]))
    return outline if len(outline) else None


def _seen_best(wanted: Wanted, shape: BaseGeometry, cells: Sequence[Cell]) -> tuple[int, Wanted]:
    """Say in which cell most of a piece is seen, and what of it."""
    parts = [shapely.clip_by_rect(shape, *cell.box) for cell in cells]
    k = max(range(len(cells)), key=lambda k: (round(float(parts[k].area), 6), -k))
    outline = _outline(parts[k])
    return k, wanted if outline is None else replace(wanted, outline=outline)


def _lettering(
    template: Template,
    cell: Cell,
    labels: list[Label],
    lost: list[Wanted],
    taken: Sequence[Corners],
) -> Lettering:
    """Letter a cell: labels in their pieces, and leaders to those that are too small."""
    count = len(template.plan.pieces)
    if len(lost) > _MOST_LEADERS:
        tiny = LabelSizes(_TINIEST, template.sizes.most, 0.8 * _TINIEST, template.sizes.share)
        placed = place_labels(lost, sizes=tiny)
        labels += [label for label in placed if label is not None]
        lost = [one for one, label in zip(lost, placed, strict=True) if label is None]
    drawn: list[Item] = []
    if lost:
        busy = [*taken, *map(label_outline, labels)]
        for label, start, end in _leaders(template, cell, busy, lost):
            labels.append(label)
            drawn += [
                Line(((start, end),), _THIN, role="leader"),
                Circle(start, 0.5, Fill(INK), role="leader"),
                Polygon((label_outline(label),), Fill("#ffffff"), _THIN, role="leader-label"),
            ]
    texts = [text for label in labels for text in draw_label(label, pieces=count)]
    return Lettering(
        (*drawn, *(replace(text, key="") for text in texts)),
        tuple(label_outline(label) for label in labels),
        tuple(label.number for label in labels),
    )


def _leaders(
    template: Template, cell: Cell, taken: Sequence[Corners], lost: Sequence[Wanted]
) -> list[tuple[Label, tuple[float, float], tuple[float, float]]]:
    """Lead from pieces that are too small to a free place within the cell."""
    left, bottom, right, top = cell.box
    far = 10_000.0
    outside = [
        (left - far, bottom - far, left + _AIR, top + far),
        (right - _AIR, bottom - far, right + far, top + far),
        (left - far, bottom - far, right + far, bottom + _AIR),
        (left - far, top - _AIR, right + far, top + far),
    ]
    closed = [_corners(box) for box in (*outside, *cell.kept_free)]
    opening = template.plan.opening
    leaders = lead_out(
        lost,
        sizes=replace(template.sizes, most=template.sizes.least),
        taken=taken,
        edges=[np.concatenate([opening, opening[:1]])],
        closed=closed,
        field=opening,
    )
    return [(leader.label, leader.start, leader.end) for leader in leaders]


def _corners(box: Box) -> Corners:
    left, bottom, right, top = box
    return (left, bottom), (right, bottom), (right, top), (left, top)
