"""What a seasoned maker says of movement, in sentences.

Comes in: a design, its movement and the stack of its thicknesses. Goes out: notes for the plan, and
the sentences that the movement command and the book print.
"""

from __future__ import annotations

from collections.abc import Sequence

from tesselath.advice.notes import Note
from tesselath.advice.thickness_words import describe_stack, show_fine
from tesselath.design import Design
from tesselath.errors import DesignError, Fault
from tesselath.measure import show_change, show_number
from tesselath.wood import (
    Movement,
    Stack,
    find_seasons,
    nearest_wood,
    strip_direction,
    wood_of,
    wood_share,
)

__all__ = ["describe_movement", "movement_in_short", "note_movement", "refuse_solid_slab"]


#: What a lap still covers of a slab that has shrunk [mm]; 1/8 in, common practice.
_LEAST_LAP = 3.175


def refuse_solid_slab(design: Design) -> None:
    """Stop a solid slab in a fixed frame, with how far it would move.

    Source: common practice; five makers out of five report open mitres.

    Raises
    ------
    DesignError
        If its strips are one solid slab that a frame holds fast.
    """
    if design.strips.kind != "solid slab" or design.frame is None or design.order == "lap":
        return
    seasons = find_seasons(design)
    woods = [
        wood
        for kept in design.tones.values()
        for wood in ((kept,) if isinstance(kept, str) else kept.woods)
    ]
    shares = [
        abs(
            wood_share(
                wood_of(design, name)[0], strip_direction(design, name), seasons.dry, seasons.humid
            )
        )
        for name in woods or ["wood"]
    ]
    span, over = (304.8, "each foot") if design.units == "in" else (300.0, "each 300 mm")
    raise DesignError(
        Fault(
            design.place("strips.kind"),
            design.strips.kind,
            "A solid slab moves with the seasons and opens the mitres of a fixed frame: "
            f"{show_change(span * max(shares), units=design.units)} in {over} across its grain, "
            f"from {_percent(seasons.dry)} to {_percent(seasons.humid)} of moisture.",
            'Glue thin strips on plywood ("strips on plywood"), let the frame lap a floating slab '
            '(order = "lap"), or leave [frame] out.',
        )
    )


def note_movement(design: Design, movement: Movement) -> tuple[Note, ...]:
    """Warn of what will move too much, one note a class.

    Source: common practice, where no other is named beside a figure.

    Parameters
    ----------
    movement : Movement
        What the seasons do to it.

    Returns
    -------
    tuple of Note
        Nothing where thin narrow strips lie on plywood with room round them.
    """
    notes = []
    strange = [move.wood for move in movement.woods if not move.known]
    if strange:
        near = [
            f'[woods.{name}] species = "{near}"' for name in strange if (near := nearest_wood(name))
        ]
        hint = f", as {near[0]}" if near else ""
        notes.append(
            Note(
                "wood-unknown",
                f"No figures are known for {_and(strange)}: movement and weight "
                f"are those of an average hardwood. Name the species in [woods]{hint}.",
            )
        )
    if movement.seasons.dry > movement.seasons.humid:
        notes.append(
            Note(
                "room",
                "room.dry is more humid than room.humid: the wood would hold "
                f"{_percent(movement.seasons.dry)} and {_percent(movement.seasons.humid)}.",
            )
        )
    if movement.degree != "passes":
        said = _slab(design, movement) if movement.solid else _thick_or_wide(design, movement)
        notes.append(Note("movement", said))
    held = design.frame.lap if design.frame is not None and design.order == "lap" else None
    slips = max(movement.along, movement.across) / 2
    if movement.solid and held is not None and held < slips + _LEAST_LAP:
        least = show_fine(design, slips + _LEAST_LAP)
        notes.append(
            Note(
                "slab-lap",
                f"The slab draws back by up to {show_change(slips, units=design.units)} on each "
                f"side: let the frame lap it by {least} or more, not by {show_fine(design, held)}.",
            )
        )
    lacking = movement.room_needed - (movement.room_left or 0.0)
    if movement.room_left is not None and lacking > 0.25:  # a hair is no matter
        need = show_change(movement.room_needed, units=design.units)
        has = show_fine(design, movement.room_left)
        notes.append(
            Note(
                "perimeter-gap",
                f"The field wants {need} of room on each side in the humid "
                f"season and has {has}: widen the clearance, or let the frame lap it.",
            )
        )
    frame = movement.frame
    if (
        frame is not None
        and design.frame is not None
        and design.frame.sits == "on the base"
        and (frame.width > 88.95 and design.base is not None)
    ):
        notes.append(
            Note(
                "frame-wide",
                f"A frame {show_fine(design, frame.width)} wide glued to the sheet is a wide "
                f"board on plywood: it moves {show_change(frame.change, units=design.units)}. "
                "Glue its inner inch only, and screw the rest from below through slots.",
            )
        )
    return tuple(notes)


def describe_movement(design: Design, movement: Movement, stack: Stack) -> list[str]:
    """Say what the seasons do to a top, a sentence each.

    Source: common practice, where no other is named beside a figure.

    Parameters
    ----------
    movement : Movement
        What the seasons do to it.

    Returns
    -------
    list of str
        The sentences, what is seen first.
    """

    def show(mm: float) -> str:
        return show_change(mm, units=design.units)

    seasons, strip = movement.seasons, movement.strip
    lines = [
        f"The wood is made up at {_percent(seasons.made)} of moisture and will hold "
        f"{_percent(seasons.dry)} in the dry season and {_percent(seasons.humid)} in the humid "
        "one.",
        f"A strip of {strip.wood} {show_fine(design, strip.width)} wide "
        f"({strip.species}, {_sawn(strip.direction)}) changes by {show(strip.change)} if nothing "
        f"holds it: {show(strip.shrinks)} less when dry, {show(strip.swells)} more when humid.",
    ]
    if len(movement.row.strips) > 1:
        lines.append(
            f"The longest row of strips side by side, {len(movement.row.strips)} of them over "
            f"{show_fine(design, movement.row.length)}, would change by "
            f"{show(movement.row_change)}."
        )
    width, depth = (show_fine(design, side) for side in movement.size)
    if movement.solid:
        lines.append(
            f"As a solid slab the field of {width} x {depth} changes by {show(movement.along)} "
            f"left to right and {show(movement.across)} front to back."
        )
    else:
        lines.append(
            f"Glued on plywood the field of {width} x {depth} follows the sheet: "
            f"{show(movement.along)} left to right, {show(movement.across)} front to back. Left "
            f"free it would change by {show(movement.free[0])} and {show(movement.free[1])}."
        )
        lines.append(
            f"At the face each joint opens and closes by {show(movement.joint)} over the year (an "
            "estimate); the glue holds the rest back"
            + (", which may show as fine checks." if movement.held > 0.008 else ".")
        )
    if movement.room_left is not None:
        lines.append(
            f"Room at the edge: the field wants {show(movement.room_needed)} on each side and has "
            f"{show_fine(design, movement.room_left)}."
        )
    frame = movement.frame
    if frame is not None:
        text = (
            f"A member of the frame {show_fine(design, frame.width)} wide ({frame.wood}): its "
            f"width changes by {show(frame.change)}, its length by nothing that counts"
        )
        if frame.opens is not None:
            text += (
                f"; when dry its mitres want to open by {show(frame.opens)} at the inside, when "
                "humid at the outside"
            )
        lines.append(text + ".")
    said = describe_stack(design, stack)
    if said:
        lines.append(said)
    if movement.degree == "passes":
        lines.append("Verdict: passes. " + _praise(movement))
    else:
        words = _slab(design, movement) if movement.solid else _thick_or_wide(design, movement)
        lines.append(f"Verdict: {movement.degree}. {words}")
    return lines


def movement_in_short(design: Design, movement: Movement) -> str:
    """Say in one line what the seasons do: a strip, the field, the verdict.

    Parameters
    ----------
    movement : Movement
        What the seasons do to it.
    """
    strip = movement.strip
    field = show_change(max(movement.along, movement.across), units=design.units)
    held = "the slab" if movement.solid else "the field on its plywood"
    return (
        f"over the year a {strip.wood} strip would change by "
        f"{show_change(strip.change, units=design.units)}, {held} by {field}: {movement.degree}"
    )


def _praise(movement: Movement) -> str:
    if movement.solid:
        return "Fasten the slab with slotted screws or buttons, so that it can move."
    return "Thin narrow strips on plywood stay quiet."


def _thick_or_wide(design: Design, movement: Movement) -> str:
    """Say by degree what is to be expected of strips glued on plywood."""
    thick, wide = design.strips.thickness, movement.widest
    size = f"{show_fine(design, thick)} thick and {show_fine(design, wide)} wide"
    usual = (
        "3/16 to 1/4 in thick, up to 2 in wide"
        if design.units == "in"
        else "5 to 6 mm thick, up to 50 mm wide"
    )
    gap = show_change(movement.joint, units=design.units)
    head = f"Strips {size} are glued on plywood; most makers use strips {usual}."
    if movement.degree == "caution":
        return f"{head} Expect joints that work by {gap} a year, and finish both faces alike."
    eased = show_fine(design, 0.79375 if design.units == "in" else 0.8)
    tail = (
        f"Expect joints that open and close by {gap} and a cup: saw or plane them thinner, or "
        f"leave a gap of {eased} with eased edges, and give the back a like layer or at least "
        "the same finish."
    )
    if movement.degree == "strong warning":
        return (
            f"{head} Boards of this size crack when they are glued to plywood over their whole "
            f"face. {tail}"
        )
    return f"{head} {tail}"


def _slab(design: Design, movement: Movement) -> str:
    moves = " and ".join(
        show_change(mm, units=design.units) for mm in (movement.along, movement.across)
    )
    if movement.crossed:
        return (
            "A solid slab whose grain lies in several directions pulls itself apart: strips across "
            f"the grain of others want to change by {moves}. Glue thin strips on plywood."
        )
    return (
        f"The solid slab changes by {moves} (left to right and front to back): let it float in the "
        "frame's groove, glue it at the middle only, and leave half of that on each side."
    )


def _sawn(direction: str) -> str:
    return "quarter-sawn, or sliced off an edge" if direction == "radial" else "flat-sawn"


def _percent(value: float) -> str:
    return f"{show_number(value, decimals=1)} %"


def _and(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
