"""By hand: a part that is marked on its square blank, for the hand saw and the shooting board.

Comes in: a plan and a part. Goes out: a small sheet.

The blank lies as at the saw, fence edge on top; every corner that is not the blank's own is
numbered and listed by its way from the stop end and from the fence edge.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from tesselath.draw.bench.saw_view import BEHIND, WIDE
from tesselath.draw.paper import (
    INK,
    SIGNAL,
    Fill,
    Hatch,
    Item,
    Layer,
    Point,
    Polygon,
    Sheet,
    Stroke,
    Text,
    box_outline,
    text_width,
)
from tesselath.measure import ALIKE
from tesselath.parts import Part
from tesselath.plan import Plan

__all__ = ["draw_hand_sawn"]

_CAP = 2.1
_EDGE, _THIN = Stroke(0.45, INK), Stroke(0.18, INK)
_WASTE = Fill("#ffffff", Hatch(45.0, 1.1, 0.18))
_PIECE, _STICK = Fill("#e4e4e4"), Fill("#ffffff")


def draw_hand_sawn(plan: Plan, part: Part) -> Sheet:
    """Draw a part that is marked on its square blank and sawn by hand.

    Parameters
    ----------
    part : Part
        A part whose handling is "mark and hand saw".

    Returns
    -------
    Sheet
        Its blank, the waste hatched, each corner with its place from the stop end and the
        fence edge.
    """
    design = plan.design
    wide, high = part.overall, part.stick_width
    scale = min(62.0 / wide, 26.0 / high, 1.5)
    shape = (np.asarray(part.shape) - (part.shape[:, 0].min(), part.width / 2)) * scale
    blank = shapely.box(0.0, -high * scale, wide * scale, 0.0)
    waste = shapely.difference(blank, shapely.Polygon(shape))
    rings = tuple(
        tuple((float(x), float(y)) for x, y in shapely.get_coordinates(piece)[:-1])
        for piece in shapely.get_parts(waste)
        if piece.geom_type == "Polygon" and piece.area > 0.05
    )
    items: list[Item] = [
        Polygon((box_outline(0.0, -high * scale, wide * scale, high * scale),), _STICK, _THIN),
    ]
    if rings:
        items.append(Polygon(rings, _WASTE, role="waste"))
    items.append(
        Polygon((tuple((float(x), float(y)) for x, y in shape),), _PIECE, _EDGE, role="piece")
    )
    middle, edge = shapely.get_coordinates(shapely.maximum_inscribed_circle(shapely.Polygon(shape)))
    room = 1.8 * float(np.hypot(*(edge - middle)) / np.hypot(text_width(part.mark, 1.0, 600), 1.0))
    at = (float(middle[0]), float(middle[1]))
    items.append(Text(part.mark, at, min(4.0, max(2.0, room)), weight=600, role="part-letter"))
    marked = [
        (float(x), float(-y))
        for x, y in shape / scale
        if min(x, wide - x) > ALIKE or min(-y, high + y) > ALIKE
    ]
    rows = [
        (str(n), *(design.show(max(0.0, v)) for v in corner)) for n, corner in enumerate(marked, 1)
    ]
    items += _corner_marks([(x * scale, -y * scale) for x, y in marked], shape.mean(axis=0))
    items += _corner_table(rows, WIDE - BEHIND - 38.0, 4.0)
    foot = min(-high * scale - 6.0, 4.0 - 3.6 * (len(rows) + 1))
    bar = box_outline(-BEHIND + 2.0, 0.0, 62.0 + BEHIND, 1.2)
    items.append(Polygon((bar,), Fill("#2b2b2b"), role="fence"))
    items.append(Text("fence edge", (wide * scale / 2, 2.6), _CAP, baseline="base"))
    items.append(Text("stop end", (-5.5, -high * scale / 2), _CAP, angle=90.0, baseline="base"))
    return Sheet(
        f"{part.mark} marked out",
        -BEHIND,
        foot,
        WIDE,
        8.0 - foot,
        (Layer("mark-out", tuple(items)),),
    )


def _corner_marks(corners: list[Point], middle: NDArray[np.float64]) -> list[Item]:
    """Number the corners beside them, outside the shape and clear of the fence."""
    items: list[Item] = []
    for n, corner in enumerate(corners, 1):
        way = np.array(corner) - middle
        way = way / max(float(np.hypot(*way)), 1.0)
        x, y = np.array(corner) + 2.4 * way
        y = 2.8 if corner[1] > -0.5 else min(y, -1.6)
        items.append(
            Text(str(n), (float(x), float(y)), 1.9, colour=SIGNAL, weight=600, role="corner")
        )
    return items


def _corner_table(rows: list[tuple[str, ...]], left: float, top: float) -> list[Item]:
    """List where the corners lie."""
    columns = (left, left + 4.0, left + 22.0)
    items: list[Item] = [
        Text(word, (x, top), 1.8, anchor="start", baseline="base", colour="#555555")
        for word, x in zip(("from the end", "from the fence"), columns[1:], strict=True)
    ]
    for n, row in enumerate(rows, 1):
        y = top - 3.6 * n
        items += [
            Text(word, (x, y), 2.0, anchor="start", baseline="base", weight=400 if k else 600)
            for k, (word, x) in enumerate(zip(row, columns, strict=True))
        ]
    return items
