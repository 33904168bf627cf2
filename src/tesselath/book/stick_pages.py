"""The sticks: each different one as it is cut up, and the names to write on the ends.

Comes in: a plan, the room of a page. Goes out: a chapter.
"""

from __future__ import annotations

from tesselath.book.blocks import Block, Chapter, Figure, Points, Room, Words
from tesselath.draw.bench import stick_bars
from tesselath.draw.paper import Layer, Sheet
from tesselath.measure import counted
from tesselath.plan import Plan
from tesselath.stock import same_sticks

__all__ = ["stick_diagrams"]


def stick_diagrams(plan: Plan, room: Room) -> Chapter:
    """Set the stick diagrams."""
    bars = stick_bars(plan, width=room.width - 2.0)
    if not bars:
        return Chapter("Stick diagrams", ())
    groups = same_sticks(plan.sticks)
    sorts = counted(len(bars), "sort")
    blocks: list[Block] = [
        Words(
            f"{counted(len(plan.sticks), 'stick')} of {sorts}. Write its name on the end of "
            "each stick before the first cut, and tick it off when it is cut up."
        ),
        Points(
            (
                "The saw is set once for each set-up: every stick named there goes to it in turn, "
                "as far as the part lasts. This table and that order are the same cuts.",
                "The tail is hatched: the hand or the clamp holds it, and it is never cut.",
                "A knot or a split falls in a piece: move on past it, and take a spare stick for "
                "what is then short.",
            )
        ),
    ]
    for bar, group in zip(bars, groups, strict=True):
        sheet = Sheet(
            f"Stick {group[0].name}",
            -1.0,
            -bar.height - 0.5,
            room.width,
            bar.height + 1.0,
            (Layer("stick", bar.items),),
        )
        blocks.append(Figure(f"stick-{group[0].name.lower()}", sheet, ""))
    return Chapter("Stick diagrams", tuple(blocks), step=True, run_on=True)
