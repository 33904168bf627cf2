"""The back of the book: notes and cautions together, and what the words mean.

Comes in: a plan. Goes out: chapters.
"""

from __future__ import annotations

from tesselath.advice import LAST_WORD, cautions_of_plan
from tesselath.book.blocks import Beside, Block, Chapter, Heading, Points, Room, Table, Words
from tesselath.measure import show_numbers
from tesselath.plan import Plan

__all__ = ["cautions", "glossary"]

#: What the words of the book mean, for a reader of a published plan.
_GLOSSARY = (
    ("batten", "a straight strip, clamped or pinned along the first row to lay against"),
    ("clearance", "the space left between the field and the frame"),
    ("edge", "the side of a piece that lies on the fence; the stop is set to it"),
    ("field", "the patterned area; round it lie the borders"),
    ("gap", "the designed space between two pieces, 0 for tight work"),
    ("glue-up", "the pieces glued within one open time"),
    ("handed pair", "a part and its mirror image, -L and -R, where only one face may show"),
    ("kerf", "the width of the saw cut"),
    ("long point, short point", "the two sides of a piece whose ends lean apart"),
    ("mitre", "an angle from square; 0 is a square cut"),
    ("open time", "how long the glue may lie before the pieces must be down"),
    ("opening", "the clear area inside the frame"),
    ("overall", "the length of a piece along the grain, tip to tip"),
    ("part", "a set of identical pieces, cut at one setting: part A"),
    ("piece", "one thing that is cut and glued: piece 17"),
    ("recess", "how far the base lies below the frame's top face"),
    ("set-up", "one swing and angle of the saw with one stop distance"),
    ("shoot", "to plane an end true on a shooting board"),
    ("show face", "the face that is seen in the finished top"),
    ("stick", "one length of strip stock, as bought or ripped"),
    ("stop", "what the end of the stick is pushed against"),
    ("swing", "the way the saw's handle goes: R to the right, L to the left"),
)


def cautions(plan: Plan, room: Room) -> Chapter:
    """Set the notes and the cautions together."""
    del room
    troubles = [n for n in plan.notes if not n.code.startswith("caution")]
    usual = [n for n in plan.notes if n.code.startswith("caution")]
    blocks: list[Block] = []
    if troubles:
        blocks.append(Heading("Of this top"))
    for note in troubles:
        pieces = f" Pieces {show_numbers(note.numbers)}." if note.numbers else ""
        blocks.append(Words(note.text + pieces, "caution"))
    blocks.append(Heading("At work"))
    blocks += [Words(note.text, "caution") for note in usual]
    for head, said in cautions_of_plan(plan.design, parts=plan.parts, rips=plan.rips):
        blocks += [Heading(head, 3), Points(said)]
    blocks.append(Words(f"No structural or safety approval is claimed. {LAST_WORD}", "strong"))
    return Chapter("Notes and cautions", tuple(blocks), step=True, run_on=True)


def glossary(plan: Plan, room: Room) -> Chapter:
    """Set what the words mean."""
    del plan
    half = (len(_GLOSSARY) + 1) // 2
    left, right = (
        (Table((), rows, "lL", strong=True),) for rows in (_GLOSSARY[:half], _GLOSSARY[half:])
    )
    return Chapter("Words", (Beside(left, right, room.width / 2 - 2.5),), run_on=True)
