"""A plan at another scale, for a map that is not drawn at full size."""

from __future__ import annotations

from dataclasses import replace

from tesselath.field import Piece
from tesselath.plan import Plan, Zone
from tesselath.work import Refit

__all__ = ["scaled_plan"]


def scaled_plan(plan: Plan, scale: float) -> Plan:
    """Bring what is drawn to scale; what is printed keeps its true measure."""
    if scale == 1.0:
        return plan
    return replace(
        plan,
        opening=plan.opening * scale,
        zones=tuple(Zone(zone.name, zone.outline * scale) for zone in plan.zones),
        pieces=tuple(_scaled_piece(piece, scale) for piece in plan.pieces),
        parts=tuple(replace(part, shape=part.shape * scale) for part in plan.parts),
        refit=None if plan.refit is None else _scaled_refit(plan.refit, scale),
        uncovered=tuple(outline * scale for outline in plan.uncovered),
    )


def _scaled_refit(refit: Refit, scale: float) -> Refit:
    done = tuple(replace(part, shape=part.shape * scale) for part in refit.done)
    return replace(refit, done=done)


def _scaled_piece(piece: Piece, scale: float) -> Piece:
    blank = None if piece.blank is None else piece.blank * scale
    return replace(piece, outline=piece.outline * scale, blank=blank)
