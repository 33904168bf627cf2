"""What a seasoned maker says of the frame and the base.

Comes in: the design, the frame and base as planned. Goes out: notes.
"""

from __future__ import annotations

from tesselath.advice.notes import Note
from tesselath.design import Design
from tesselath.frame import FrameBase
from tesselath.glue import choose_pin
from tesselath.measure import ANGLE_ALIKE, counted, show_angle
from tesselath.shape import Outline, is_box

__all__ = ["note_frame_base", "note_pins"]


def note_frame_base(design: Design, planned: FrameBase, *, opening: Outline) -> tuple[Note, ...]:
    """Note joins of the base, and members that cannot be made as asked.

    Parameters
    ----------
    opening : array (n, 2)
        The clear area inside the frame [mm].
    """
    show = design.show_plain
    notes = []
    base, frame = planned.base, design.frame
    if base is not None and base.sheets.joins:
        cut = base.sheets
        size = f"{show(base.cut[0])} x {show(base.cut[1])}"
        sheet = f"{show(cut.sheet[0])} x {show(cut.sheet[1])}"
        many = "a sheet" if cut.sheets == 1 else f"{cut.sheets} sheets"
        text = (
            f"The base, {size}, is larger than a sheet of {sheet}: it needs "
            f"{counted(cut.joins, 'join', 'joins')}, {len(cut.parts)} parts of "
            f"{show(cut.part[0])} x {show(cut.part[1])} from {many}. Back each join with a "
            f"batten or a spline, and lay no strip end on it."
        )
        if cut.fewer is not None:
            parts, sheets = cut.fewer
            text += f" {parts} parts would come from {counted(sheets, 'sheet', 'sheets')}."
        notes.append(Note("base-join", text))
    if frame is not None and frame.corner == "butt" and not is_box(opening):
        notes.append(
            Note(
                "frame-corners",
                "A butted frame fits square corners only: its members are given with mitres.",
            )
        )
    shaped = [member.name for member in planned.members if member.shaped]
    if shaped:
        text = (
            f"{counted(len(shaped), 'member', 'members')} of the frame follow a curve and are sawn "
            "to shape: make a pattern from the map. Their blanks are reckoned in one piece of wood "
            "each; a blank glued up of several, "
        )
        if any(max(member.mitres) > ANGLE_ALIKE for member in planned.members):
            text += "a block in the corner instead of a wide board, and a square outside "
        else:
            text += "tenons in its square ends, and a square outside "
        notes.append(Note("frame-shaped", text + "are not reckoned."))
    if len(opening) == 4 and not is_box(opening) and planned.members:
        notes.append(
            Note(
                "frame-mitres",
                "The frame stands round an opening out of square: its members "
                "are of one width, and its mitres differ. Mark both ends of each "
                f"member; their angles are {_ends(planned)}.",
            )
        )
    return tuple(notes)


def _ends(planned: FrameBase) -> str:
    """Name the mitres member by member."""
    return "; ".join(
        f"{member.name} {' and '.join(show_angle(mitre) for mitre in member.mitres)}"
        for member in planned.members
    )


def note_pins(design: Design) -> tuple[Note, ...]:
    """Say where no pin that is sold holds a strip without passing the base."""
    pin = choose_pin(design)
    if pin is None or pin.length is not None:
        return ()
    limit = (
        ""
        if pin.longest is None
        else (f": {design.show_plain(pin.longest)} is the longest that stays in the base")
    )
    return (
        Note(
            "pins",
            f"No {pin.kind[:-1]} that is sold fits these thicknesses{limit}; hold the "
            "pieces with weights or tape.",
        ),
    )
