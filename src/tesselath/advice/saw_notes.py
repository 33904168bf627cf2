"""What a seasoned maker says of a saw whose zero is off, or that has only a few angles.

Comes in: the design, its parts and frame. Goes out: notes.
"""

from __future__ import annotations

from collections.abc import Sequence

from tesselath.advice.notes import Note
from tesselath.design import Design
from tesselath.frame import Member
from tesselath.measure import ANGLE_ALIKE, show_angle, show_length
from tesselath.parts import Part, angles_wanted, is_listed, opens_by, packing, read_scale

__all__ = ["note_saw"]

#: The reach over which a fence is packed: half a foot, by units [mm].
_REACH = {"in": 152.4, "mm": 150.0}


def note_saw(
    design: Design, *, parts: Sequence[Part], members: Sequence[Member]
) -> tuple[Note, ...]:
    """Say what a saw's zero and its few angles ask for.

    Source: common practice; see `opens_by`.

    Parameters
    ----------
    design : Design
        The design, for its saw.
    members : sequence of Member
        The members of the frame, which are mitred at the same saw.

    Returns
    -------
    tuple of Note
        One a class of trouble; none for a saw whose zero is right and that takes any angle.
    """
    saw = design.saw
    notes = []
    if abs(saw.angle_offset) > ANGLE_ALIKE:
        notes.append(Note("saw-zero", _zero(design, members)))
    wanting = [p for p in parts if p.off_list and not p.too_steep and p.handling != "make up"]
    if saw.angles:
        listed = ", ".join(show_angle(angle) for angle in saw.angles)
        rest = [m for member in members for m in member.mitres if not is_listed(m, saw)]
        if wanting:
            lacking = [m for p in wanting for m in p.mitres if not is_listed(m, saw)]
            marks = ", ".join(p.mark for p in wanting[:12])
            marks += " and others" if len(wanting) > 12 else ""
            need = "needs" if len(wanting) == 1 else "need"
            text = (
                f"The saw is set to {listed} only. {marks} {need} {angles_wanted(lacking)}: mark "
                "the cut (setups.csv) and saw by hand, or set the stick on a wedge of the "
                "difference against the fence."
            )
            numbers = tuple(sorted(n for part in wanting for n in part.numbers))
            notes.append(Note("saw-angles", text, numbers))
        if rest:
            notes.append(
                Note(
                    "saw-angles-frame",
                    f"The frame's mitres of {angles_wanted(rest)} are not "
                    f"among the saw's angles ({listed}) either.",
                )
            )
    return tuple(notes)


def _zero(design: Design, members: Sequence[Member]) -> str:
    """Say by how much a zero is off, what to dial, and what it would do undialled."""
    saw = design.saw
    way = "L" if saw.angle_offset > 0 else "R"
    off = show_angle(abs(saw.angle_offset))
    text = f"The saw's zero is off: where its scale reads 0 it cuts {off} towards {way}. "
    if saw.angles:
        reach = _REACH[design.units]
        shim, over = (
            show_length(mm, tape=min(design.tape, 25.4 / 64), units=design.units)
            for mm in (packing(saw.angle_offset, reach), reach)
        )
        text += (
            f"Its angles are fixed, so that it cannot be dialled: pack the fence by {shim} over "
            f"{over} until a test cut is square."
        )
    else:
        square = read_scale(0.0, "square", saw)
        text += (
            f"Every set-up says what to dial so that it cuts what is planned; for a square cut the "
            f"scale reads {square}."
        )
    ends = sum(mitre > ANGLE_ALIKE for member in members for mitre in member.mitres)
    if ends:
        text += (
            f" Left as it is, the last of the frame's corners would stand open by "
            f"{show_angle(opens_by(ends, saw.angle_offset))}."
        )
    return text
