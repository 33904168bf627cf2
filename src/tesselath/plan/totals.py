"""The counts and sums of a plan."""

from __future__ import annotations

from collections.abc import Mapping

from tesselath.accuracy import Rounding
from tesselath.parts import Part
from tesselath.shape import area, thickness
from tesselath.work import Work

__all__ = ["count_cuts", "net_length", "plan_totals"]


def net_length(parts: tuple[Part, ...]) -> float:
    """The wood in all pieces, as a length of the strip they come from: area over width [mm]."""
    return sum(area(p.shape) / (p.strip_width or p.width) * p.count for p in parts)


def count_cuts(parts: tuple[Part, ...]) -> int:
    return sum(len(part.cuts) * part.count for part in parts)


def plan_totals(
    work: Work, to_buy: Mapping[str, int], glue_ups: int, rounding: Rounding
) -> dict[str, object]:
    told = [piece for piece in work.pieces if not piece.cut] or work.pieces
    thinnest, thinnest_piece = min((round(thickness(p.outline), 6), p.number) for p in told)
    shortest, shortest_piece = min((round(p.edge, 6), p.number) for p in told)
    return {
        "pieces": len(work.pieces),
        "parts": len(work.parts),
        "cuts": count_cuts(work.parts),
        "setups": len(work.setups),
        "sticks": len(work.sticks.sticks),
        "sticks_to_buy": dict(sorted(to_buy.items())),
        "glue_ups": glue_ups,
        "field_area": area(work.field),
        "wood_area": sum(area(p.outline) for p in work.pieces),
        "net_length": net_length(work.parts),
        "thinnest": thinnest,
        "thinnest_piece": thinnest_piece,
        "shortest_edge": shortest,
        "shortest_edge_piece": shortest_piece,
        "largest_rounding": rounding.largest,
        "row_rounding": rounding.row,
        "edge_rounding": rounding.edge_long,
    }
