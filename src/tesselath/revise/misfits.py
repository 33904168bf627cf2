"""Misfits: cut pieces that no longer fit, by how much, and what can be done.

Comes in: the pieces that are cut, the zones and the opening as they are now. Goes out: one misfit
for each way in which a piece does not fit.

What the maker's tape does not show is no misfit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from tesselath.measure import SNAP_GRID
from tesselath.shape import Outline, outlines_of, thickness, tidy
from tesselath.work import CutPiece, Misfit

__all__ = ["find_misfits"]


def find_misfits(
    cut: Sequence[CutPiece],
    zones: Mapping[str, Outline],
    *,
    opening: Outline,
    short: Mapping[int, float],
    least: float,
    order: str,
) -> tuple[Misfit, ...]:
    """Name the cut pieces that no longer fit.

    Source: common practice; a loose piece is trimmed by hand, never at the saw.
    """
    clear = shapely.Polygon(opening)
    rims = {name: shapely.Polygon(outline) for name, outline in zones.items()}
    found: list[Misfit] = []
    for one in cut:
        piece = one.piece
        over = _beyond(piece.outline, rims[piece.zone])
        if over > least:
            out = _beyond(piece.outline, clear)
            found.append(_reaches_out(piece.number, piece.zone, over, out, least, order))
        if short.get(piece.number, 0.0) > least:
            found.append(
                Misfit(
                    piece.number,
                    "falls short of the edge of its place",
                    short[piece.number],
                    "Make it anew, or leave the joint open.",
                )
            )
    return tuple(sorted([*found, *_on_each_other(cut, least)], key=lambda m: (m.number, m.how)))


def _reaches_out(
    number: int, zone: str, over: float, out: float, least: float, order: str
) -> Misfit:
    """Say how a piece reaches over the edge of its zone, and what that matters in this order."""
    if order == "lap" and zone == "field":
        return Misfit(
            number,
            "reaches farther under the frame",
            over,
            "Leave it if the rebate is wide enough; else shoot it to the line.",
        )
    if order == "let in" and out > least:
        return Misfit(
            number,
            "sticks out of the opening",
            out,
            "Take that off with a shooting board or a hand plane, or make it anew.",
        )
    return Misfit(
        number,
        f"reaches beyond the edge of its {zone.partition('-')[0]}",
        over,
        "Shoot it to the line, or leave it if nothing has to pass there.",
    )


def _beyond(outline: Outline, shape: BaseGeometry) -> float:
    """How far the farthest corner lies outside a shape [mm]."""
    return float(np.max(shapely.distance(shapely.points(np.asarray(outline)), shape)))


def _on_each_other(cut: Sequence[CutPiece], least: float) -> list[Misfit]:
    """Find cut pieces that would lie on each other."""
    shapes = np.array([shapely.Polygon(one.piece.outline) for one in cut])
    if not len(shapes):
        return []
    i, j = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    found = []
    for a, b in sorted((a, b) for a, b in zip(i.tolist(), j.tolist(), strict=True) if a < b):
        shared = shapely.intersection(shapes[a], shapes[b], grid_size=SNAP_GRID)
        deep = max((thickness(o) for o in map(tidy, outlines_of(shared)) if len(o)), default=0.0)
        if deep > least:
            found.append(
                Misfit(
                    cut[b].piece.number,
                    f"lies on piece {cut[a].piece.number}",
                    deep,
                    "Take that off one of them by hand, or make it anew.",
                )
            )
    return found
