"""The book's page on how the wood moves: the plot, what is said of it, how the panel is balanced.

Comes in: a plan. Goes out: a chapter.
"""

from __future__ import annotations

from tesselath.advice import describe_movement
from tesselath.book.blocks import Block, Chapter, Figure, Heading, Points, Room, Words
from tesselath.draw.maps import draw_seasons
from tesselath.plan import Plan
from tesselath.wood import balance_advice, describe_weight

__all__ = ["wood_moves"]


def wood_moves(plan: Plan, room: Room) -> Chapter:
    """Set what the seasons do to the top, and how it is kept flat.

    Source: as for `tesselath.wood.movement`.
    """
    said = describe_movement(plan.design, plan.movement, plan.stack)
    weight = describe_weight(plan.design, plan.weight)
    plot = draw_seasons(plan, width=room.width)
    blocks: list[Block] = [
        Figure("movement", plot, ""),
        Points(tuple(said[:-1])),
        Words(said[-1], "strong"),
        Heading("Keep it flat", 3),
        Points(balance_advice(plan.design, plan.movement)),
        Words(f"{weight[0].upper()}{weight[1:]}.", "small"),
    ]
    return Chapter("How the wood moves", tuple(blocks), step=True, run_on=True)
