"""The figure that stands alone, proved: no piece lies on another, and what they cover.

Comes in: a pattern without a repeat, with the values of its names. Goes out: what is wrong, and the
area, the box and the holes of what its pieces cover. Refuses: a figure without a piece, and one of
more pieces than can be looked at.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import shapely

from tesselath.errors import Fault, PatternError
from tesselath.field import Item, cell_items
from tesselath.measure import ALIKE, SNAP_GRID
from tesselath.pattern import Pattern
from tesselath.prove.proof import Cover, TilingFault
from tesselath.prove.prove_repeat import (
    MOST_PAIRS,
    MOST_STRIPS,
    find_crossed,
    item_place,
    middle_of,
    name_item,
    nearest_to,
    refuse_far,
)
from tesselath.shape import HAIR, Outline, area, as_polygons, find_overlaps, shared_parts

__all__ = ["check_figure"]

Values = Mapping[str, float]


def check_figure(
    pattern: Pattern, values: Values, *, zone: Outline
) -> tuple[list[TilingFault], Cover]:
    """Prove that no piece of a figure lies on another, and measure what it covers."""
    items = cell_items(pattern, values, angle=0.0, origin=(0.0, 0.0), zone=zone)
    if not items:
        raise PatternError(Fault(pattern.name, None, "The figure has no piece at these sizes."))
    if len(items) > MOST_STRIPS:
        rule = f"A figure of more than {MOST_STRIPS:,} pieces is not proved."
        raise PatternError(Fault(pattern.name, None, rule, "Make it of fewer."))
    refuse_far(pattern, items)
    outlines = [item.prototype.outline for item in items]
    faults = find_crossed(pattern, items)
    if not faults:
        faults = _figure_overlaps(pattern, items, outlines)
        faults = [replace(fault, around=nearest_to(fault, outlines)) for fault in faults]
    corners = np.vstack(outlines)
    width, depth = np.ptp(corners, axis=0)
    let_out = shapely.buffer(as_polygons(outlines), HAIR, join_style="mitre")
    whole = shapely.union_all(let_out, grid_size=SNAP_GRID)
    rims = [ring for part in shapely.get_parts(whole) for ring in part.interiors]
    holes = [hole for hole in map(shapely.Polygon, rims) if 2 * hole.area > ALIKE * hole.length]
    return faults, Cover(
        pieces=len(items),
        area=float(whole.area),
        width=float(width),
        depth=float(depth),
        holes=len(holes),
        bare=float(sum(hole.area for hole in holes)),
    )


def _figure_overlaps(
    pattern: Pattern, items: Sequence[Item], outlines: list[Outline]
) -> list[TilingFault]:
    pairs = find_overlaps(outlines, among=len(outlines))
    shared = [
        (part[0], i, j)
        for i, j in pairs[:MOST_PAIRS]
        if (part := shared_parts(outlines[i], outlines[j]))
    ]
    if not shared:
        return []
    worst, i, j = max(shared, key=lambda found: area(found[0]))
    names = name_item(pattern, items[i]), name_item(pattern, items[j])
    text = f"Two pieces lie on each other: {names[0]}, and {names[1]}"
    others = len(pairs) - 1
    text += f"; so do {others} other pairs." if others > 1 else "."
    return [
        TilingFault(
            "overlap",
            text,
            item_place(pattern, items[i]),
            at=middle_of(worst),
            pieces=names,
            area=area(worst),
            share=area(worst) / sum(area(outline) for outline in outlines),
            parts=tuple(part for part, _, _ in shared),
            between=(outlines[i], outlines[j]),
        )
    ]
