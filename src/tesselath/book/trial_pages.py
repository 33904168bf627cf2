"""The test cuts: what is cut and measured before the batch, with a blank for what it reads.

Comes in: a plan, the room of a page. Goes out: a chapter. Refuses: nothing.
"""

from __future__ import annotations

from tesselath.book.blocks import BLANK, Block, Chapter, Room, Table, Words
from tesselath.plan import Plan
from tesselath.thickness_words import show_change
from tesselath.tolerances import ALIKE
from tesselath.trial_cuts import say_trial_cut

__all__ = ["test_cuts"]


def test_cuts(plan: Plan, room: Room) -> Chapter:
    """Set the test cuts.

    Parameters
    ----------
    plan : Plan
        The plan.
    room : Room
        What a page leaves [mm].

    Returns
    -------
    Chapter
        The chapter; empty where nothing is cut to a stop.

    Raises
    ------
    ValueError
        Never.

    Notes
    -----
    Source: common practice.
    """
    del room
    if not plan.trial_cuts:
        return Chapter("Test cuts", ())
    rows = tuple((say_trial_cut(trial, plan.design), BLANK) for trial in plan.trial_cuts)
    blocks: list[Block] = [
        Words("Before the batch, from a spare stick, each at the set-up that it tries. An error "
              "too small to see in one piece is seen in several: put the fence, the stop or the "
              "angle right, and try again."),
        Table(("Test", "reads"), rows, "Ll", ticks=True),
        *_rounding(plan),
    ]  # fmt: skip
    return Chapter("Test cuts", tuple(blocks), step=True, run_on=True, whole=len(rows) < 16)


def _rounding(plan: Plan) -> list[Block]:
    """Say what it adds up to that stops are set to marks of the tape."""
    rounding, units = plan.tolerance.rounding, plan.design.units
    largest = f"{show_change(rounding.largest, units=units)} (part {rounding.mark})"
    words = (
        f"Stops are set to marks of the tape: that alone is at most {largest} in one piece, and "
        f"{show_change(rounding.row, units=units)} along {rounding.name}."
    )
    return [Words(words, "small")] if rounding.row > ALIKE else []
