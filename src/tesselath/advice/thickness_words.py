"""What a seasoned maker says of thicknesses and of sizes that are only names, in sentences.

Comes in: a design and the stack of its thicknesses. Goes out: notes for the plan, and a sentence on
how the strips come out against the frame. Changes are printed to the nearest 1/64 in or 0.1 mm:
nobody measures wood finer.
"""

from __future__ import annotations

from tesselath.advice.notes import Note
from tesselath.design import Design
from tesselath.measure import FINEST, show_change, show_length, show_number
from tesselath.wood import Stack, known_sizes, sold_as

__all__ = ["describe_stack", "note_thickness", "show_fine"]


_INCH = 25.4


def note_thickness(design: Design, stack: Stack) -> tuple[Note, ...]:
    """Warn where the strips do not come level with the frame, and of sizes that are only names.

    Source: common practice; sizes from American Softwood Lumber Standard PS 20, the hardwood and
    the panel trade.
    """
    notes = []
    said = describe_stack(design, stack)
    if stack.degree in ("warning", "lip") and said:
        notes.append(Note("stack", said))
    if stack.covers is not None and stack.covers < -0.05:
        shows = show_change(stack.covers, units=design.units)
        if design.frame is not None and design.frame.sits == "on the base":
            text = (
                f"The frame sits on the base, so {shows} of the sheet's edge shows all round: "
                "glue a lipping to it, or set it back and paint it."
            )
        else:
            text = (
                f"The frame covers the base's edge but for {shows}, which shows below it: take a "
                "thicker frame or a thinner sheet, or glue a strip under the frame."
            )
        notes.append(Note("base-shows", text))
    frame = design.frame
    if (
        frame is not None
        and frame.sits == "on the base"
        and stack.recess is not None
        and (frame.thickness is not None and abs(frame.thickness - stack.recess) > 0.05)
    ):
        notes.append(
            Note(
                "recess",
                f"A frame that sits on the base leaves a recess as deep as it is thick, "
                f"{show_fine(design, frame.thickness)}; frame.recess says "
                f"{show_fine(design, stack.recess)}, unless it is rebated over the sheet.",
            )
        )
    return (*notes, *_nominal(design))


def describe_stack(design: Design, stack: Stack) -> str:
    """Say how the strips come out against the frame, and what to do.

    Returns
    -------
    str
        A sentence or two; empty without a frame.
    """
    if design.frame is None:
        return ""

    def show(mm: float) -> str:
        return show_change(mm, units=design.units)

    strips = show_fine(design, stack.strips)
    if stack.recess is None or stack.proud is None:
        return (
            f"Strips of {strips} and their glue want a recess of "
            f"{show_fine(design, stack.height)}; frame.recess is not given."
        )
    head = f"Strips of {strips} and their glue in a recess of {show_fine(design, stack.recess)}"
    if stack.degree == "lip":
        lip = stack.lip or 0.0
        if lip < 3.1:
            return (
                f"{head} leave {show(lip)} of lip over the field: 1/8 in (3 mm) is the least."
                if lip > 0
                else f"{head} leave no lip over the field: cut the recess deeper."
            )
        return ""
    by = show(stack.proud)
    if stack.degree == "level":
        return (
            f"{head} come level with the frame within 1/64 in (0.4 mm): scrape or sand them "
            "together, 80-120-180."
        )
    if stack.proud > 0:
        if stack.degree == "dress":
            return (
                f"{head} stand proud of the frame by {by}: that is the side to leave high. Level "
                "the field to the frame after gluing, 80-120-180; sand with care at the mitres."
            )
        return (
            f"{head} stand proud of the frame by {by}, too much to sand: plane the strips to "
            f"{show_fine(design, stack.recess - stack.glue)} before they are glued, or set the "
            f"base {by} deeper. Leave the strips high by no more than 1/32 in (0.8 mm) and level "
            "them after gluing."
        )
    if stack.degree == "dress":
        return (
            f"{head} lie {by} below the frame: better the other way round. Plane the frame down to "
            "them before its mitres are glued, or pack the base up."
        )
    return (
        f"{head} lie {by} below the frame: pack the base up by {by}, make the recess shallower or "
        "take thicker strips; the field must not be the low side, since its strips can be levelled "
        "and the frame's mitres can not."
    )


def show_fine(design: Design, mm: float) -> str:
    """Print a length to the maker's tape; one under an inch never coarser than movement is."""
    tape = min(design.tape, FINEST[design.units]) if mm < 25.4 else design.tape
    return show_length(mm, tape=tape, units=design.units)


def _nominal(design: Design) -> list[Note]:
    """Tell the names of boards and sheets from what they measure."""
    notes = []
    width, base, frame = design.strips.width, design.base, design.frame
    if width is not None and design.units == "in":
        sold = sold_as(width, sort="softwood board", dimension="width", condition="dry")
        if sold is not None and sold.nominal / _INCH <= 12:
            name = show_number(sold.nominal / _INCH)
            notes.append(
                Note(
                    "nominal",
                    f"{name} in is the name of a 1x{name} board, which measures "
                    f"{show_fine(design, sold.actual)} when it is bought planed. Measure your "
                    "strips.",
                )
            )
    told = []
    if base is not None and base.thickness is not None and design.units == "in":
        sold = sold_as(base.thickness, sort="plywood", dimension="thickness")
        if sold is not None:
            told.append(f"plywood sold as {sold.name} measures about {_exact(sold.actual)}")
    if frame is not None and frame.thickness is not None and design.units == "in":
        told += _frame_board(design, frame.thickness)
    if design.units == "mm" and width is not None:
        sold = sold_as(width, sort="metric softwood", dimension="width")
        if sold is not None:
            told.append(
                f"strips {sold.name} wide: softwood sawn to {sold.name} planes to "
                f"{show_number(sold.actual)} mm"
            )
    if told:
        text = "; ".join(told)
        notes.append(Note("nominal-size", f"{text[0].upper()}{text[1:]}."))
    return notes


def _frame_board(design: Design, thickness: float) -> list[str]:
    """Say from which quarters a frame comes whose thickness is but a name of thinner boards."""
    boards = [size for size in known_sizes() if size.sort == "hardwood" and size.condition == "S2S"]
    sold = sold_as(thickness, sort="hardwood", dimension="thickness", condition="S2S")
    next_up = min(
        (size for size in boards if size.actual >= thickness), key=lambda s: s.actual, default=None
    )
    if sold is None or next_up is None:
        return []
    return [
        f"a frame {show_fine(design, thickness)} thick comes from {next_up.name} hardwood, "
        f"{_exact(next_up.actual)} when planed on both faces; {sold.name} is only "
        f"{_exact(sold.actual)}"
    ]


def _exact(mm: float) -> str:
    return show_length(mm, tape=_INCH / 32, units="in")
