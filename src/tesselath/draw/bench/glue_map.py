"""The map of one glue-up: what lies already, what is laid now and in which order, what is not yet.

Comes in: a plan and one of its glue-ups. Goes out: a sheet, as large as the page allows.

Done is grey, now is white in a thick line, not yet a hairline. A piece that is laid now carries its
part, its number and, in a black disc, its turn. A long row is drawn in two or more parts under each
other, so that it can be read::

      left part         :                        A 17 (1)   the first to be laid
      +----+----+---+---:                        batten     the bar along the first row
      |A 17|A 18|   |   :                        x          a pin
"""

from __future__ import annotations

from math import ceil, floor

import numpy as np
import shapely

from tesselath.draw.bench.glue_view import Box, View
from tesselath.draw.paper import (
    Item,
    Layer,
    Sheet,
    Text,
    moved,
)
from tesselath.field import Piece
from tesselath.glue import GlueUp
from tesselath.plan import Plan

__all__ = ["draw_glue_map"]


#: A map is split until it is drawn at least so large, in at most so many parts.
_READABLE, _MOST = 0.25, 4
#: What is seen round the pieces of a glue-up, as a share of the strip's width; between parts [mm].
_AROUND, _BETWEEN = 1.2, 5.0


def draw_glue_map(plan: Plan, glue_up: GlueUp, *, width: float, height: float) -> Sheet:
    """Draw what is laid in one glue-up, and where.

    Parameters
    ----------
    glue_up : GlueUp
        One of its glue-ups.
    width, height : float
        The room there is [mm].

    Returns
    -------
    Sheet
        The map, FRONT at its foot; roles "done", "now", "later", "batten", "pin", "turn",
        "piece-number" and "part-letter" name what is what.
    """
    parts, scale = _split(plan, glue_up, width, height)
    now = [piece for piece in plan.pieces if piece.number in set(glue_up.numbers)]
    left_out = list(now)
    items: list[Item] = []
    right, foot = 0.0, 0.0
    names = _part_names(len(parts))
    for name, box in zip(names, parts, strict=True):
        view = View(plan, glue_up, box, scale)
        here = [piece for piece in left_out if _lies_in(piece, box)]
        if name == names[-1]:
            here = left_out
        left_out = [piece for piece in left_out if piece not in here]
        drawn, (low_x, low_y, high_x, high_y) = view.draw(here, name)
        items += moved(drawn, -low_x, foot - high_y)
        foot -= high_y - low_y + _BETWEEN
        right = max(right, high_x - low_x)
    foot += _BETWEEN
    items.append(
        Text("FRONT", (right / 2, foot - 2.0), 2.6, baseline="top", weight=600, role="direction")
    )
    foot -= 5.6
    title = f"{plan.design.name}: glue-up {glue_up.number}"
    return Sheet(title, -1.0, foot, right + 2.0, 1.0 - foot, (Layer("glue-up", tuple(items)),))


def _part_names(count: int) -> list[str]:
    return {1: [""], 2: ["left part", "right part"], 3: ["left part", "middle", "right part"]}.get(
        count, [f"part {n} from the left" for n in range(1, count + 1)]
    )


def _lies_in(piece: Piece, box: Box) -> bool:
    left, right = float(piece.outline[:, 0].min()), float(piece.outline[:, 0].max())
    return box[0] <= left and right <= box[2]


def _split(plan: Plan, glue_up: GlueUp, width: float, height: float) -> tuple[list[Box], float]:
    """Choose what is seen, in how many parts, and the scale."""
    now = [piece for piece in plan.pieces if piece.number in set(glue_up.numbers)]
    around = _AROUND * float(np.median([piece.width for piece in now]))
    corners = np.concatenate([piece.cut_outline for piece in now])
    (left, front), (right, back) = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
    step = 25.4 if plan.design.units == "in" else 20.0
    edges = shapely.Polygon(plan.opening).bounds
    low = [
        max(floor((v - around) / step) * step, min(v, e))
        for v, e in zip((left, front), edges[:2], strict=True)
    ]
    high = [
        min(ceil((v + around) / step) * step, max(v, e))
        for v, e in zip((right, back), edges[2:], strict=True)
    ]
    lap = min(max(float(np.ptp(piece.outline[:, 0])) for piece in now), (high[0] - low[0]) / 3)
    best: tuple[float, list[Box]] = (0.0, [])
    beside, under = 16.0, 9.0  # the rulers and the name of a part
    for count in range(1, _MOST + 1):
        ends = _spans(low[0], high[0], count, lap, step)
        scale = min(
            (width - beside) / max(end - start for start, end in ends),
            ((height - 6.0) / count - under - _BETWEEN) / (high[1] - low[1]),
            1.0,
        )
        if scale > best[0]:
            best = scale, [(start, low[1], end, high[1]) for start, end in ends]
        if best[0] >= _READABLE:
            break
    return best[1], best[0]


def _spans(
    low: float, high: float, count: int, lap: float, step: float
) -> list[tuple[float, float]]:
    """Split a range into parts that lap over each other, from whole step to whole step."""
    span = (high - low + (count - 1) * lap) / count
    starts = [low + n * (span - lap) for n in range(count)]
    return [
        (
            low if n == 0 else max(floor(start / step) * step, low),
            high if n == count - 1 else min(ceil((start + span) / step) * step, high),
        )
        for n, start in enumerate(starts)
    ]
