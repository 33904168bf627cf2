"""The gluing: what all glue-ups share, and a page for each with its map.

Comes in: a plan, the room of a page. Goes out: chapters.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from shapely.geometry.base import BaseGeometry

from tesselath.book.blocks import (
    BLANK,
    Beside,
    Block,
    Chapter,
    Figure,
    Heading,
    Points,
    Room,
    Table,
    Words,
)
from tesselath.book.heights import height_of
from tesselath.book.show import Show
from tesselath.draw.bench import (
    draw_first_pair,
    draw_glue_map,
    draw_glue_overview,
    lain_after,
    pair_corners,
)
from tesselath.glue import GlueUp, hold_of
from tesselath.measure import counted, show_number
from tesselath.plan import Plan
from tesselath.tables import describe_batten, describe_check, show_glue

__all__ = ["gluing"]

#: The overview of a glue-up's page: its width, and how high it may be [mm].
_OVERVIEW, _HIGH = 66.0, 44.0
#: What the title of the page and the caption of its map take [mm].
_TITLE = 29.0
_CAPTION = (
    "White: laid now, in the order of the black discs. Grey: lies already. Dashed: where glue is "
    "spread. Ring: a corner to measure."
)


def gluing(plan: Plan, room: Room) -> tuple[Chapter, ...]:
    """Set the gluing: a chapter for what is always so, and a page for each glue-up."""
    if not plan.glue_ups:
        return ()
    chapters = [_rules(plan, room)]
    pieces = {piece.number: piece for piece in plan.pieces}
    lain = lain_after([])
    for glue_up in plan.glue_ups:
        chapters.append(_page(plan, glue_up, room, lain))
        lain = lain_after([pieces[number] for number in glue_up.numbers], lain)
    return tuple(chapters)


def _rules(plan: Plan, room: Room) -> Chapter:
    design, show = plan.design, Show(plan)
    hold, glue = hold_of(design), design.glue
    open_time = show_number(glue.open_time / 60, decimals=1)
    items = [
        f"Each glue-up is what is laid within the open time, {open_time} minutes at "
        f"{show_number(glue.pace, decimals=0)} seconds a piece. Where the shop is hot or dry, "
        "stop in the middle of one rather than lay on glue that has skinned over.",
        "Lay the pieces of a glue-up dry once more before you spread; glue a piece down, slide it "
        "home, and do not lift it again.",
        "Spread only where the pieces of this glue-up will lie; scrape off what is pressed out "
        "before the next one.",
        "Write down what the tape reads. A figure that is off by more than the width of a pencil "
        "line is put right in the next row, not in the last.",
        "Take the batten away when the first row holds.",
    ]
    cautions = [*hold.words]
    if hold.longest_pin is not None:
        by = hold.by.capitalize()
        cautions.append(f"{by} no longer than {show(hold.longest_pin)}{_bought(plan, show)}.")
    rows = [
        (
            str(g.number),
            str(len(g.numbers)),
            _trays(g.trays),
            show_glue(plan, g.grams),
            f"{show_number(ceil(g.minutes), decimals=0)} min",
            f"{show_number(g.hold_minutes, decimals=0)} min",
        )
        for g in plan.glue_ups
    ]
    days = counted(plan.hours.glue_days, "day")
    blocks: tuple[Block, ...] = (
        Words(
            f"{counted(len(plan.glue_ups), 'glue-up')} over {days}, from the centre lines "
            "outward. Each has its page."
        ),
        Points(tuple(items)),
        *(Words(text, "caution") for text in cautions),
        Table(
            ("No.", "Pieces", "Trays", "Glue", "Lay within", hold.under),
            tuple(rows),
            "rrLlrr",
            ticks=True,
            strong=True,
        ),
    )
    whole = height_of(blocks, room.width) + _TITLE < room.height
    return Chapter("Gluing", blocks, step=True, run_on=True, whole=whole)


def _bought(plan: Plan, show: Show) -> str:
    pin = plan.pin
    return "" if pin is None or pin.length is None else f": {pin.gauge} gauge, {show(pin.length)}"


def _trays(trays: Sequence[tuple[str, int]]) -> str:
    return ", ".join(f"{mark} {count}" for mark, count in trays)


def _page(plan: Plan, glue_up: GlueUp, room: Room, lain: BaseGeometry) -> Chapter:
    """Set one glue-up: its map, where it lies, the trays, and what is done in order."""
    show = Show(plan)
    first = bool(glue_up.first_pair)
    where = draw_glue_overview(plan, glue_up, width=_OVERVIEW, height=_HIGH, lain=lain)
    left: list[Block] = [
        Figure(f"glue-up-{glue_up.number}-where", where, "Where it lies."),
        Heading("Trays", 3),
        Points(tuple(f"{mark}: {count}" for mark, count in glue_up.trays), "tick")
        if len(glue_up.trays) <= 8 and not first
        else Words(_trays(glue_up.trays)),
    ]
    rows = tuple(
        (_capital(describe_check(check)), show(check.planned), show(check.likely, up=True), BLANK)
        for check in glue_up.checks
    )
    right: list[Block] = [
        Points(tuple(_steps(plan, glue_up, show)), "number"),
        Table(("Measure", "planned", "within", "reads"), rows, "Llll"),
    ]
    words = hold_of(plan.design).words
    right += [Words(text, "caution") for text in words]
    below: list[Block] = [Beside(tuple(left), tuple(right), _OVERVIEW)]
    if first:
        below.append(_first_pair(plan, glue_up, show))
    height = room.height - _TITLE - height_of(below, room.width)
    height = max(height, 70.0)
    sheet = draw_glue_map(plan, glue_up, width=room.width, height=height)
    # Lettering that is led far out makes it larger; then it is printed a little smaller.
    shrink = min(1.0, room.width / sheet.width, height / sheet.height)
    figure = Figure(f"glue-up-{glue_up.number}", sheet, _CAPTION, sheet.width * shrink)
    title = f"Glue-up {glue_up.number} of {len(plan.glue_ups)}"
    return Chapter(title, (figure, *below), step=True, within=True)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _steps(plan: Plan, glue_up: GlueUp, show: Show) -> list[str]:
    left, front, right, back = glue_up.box
    minutes = show_number(ceil(glue_up.minutes), decimals=0)
    held = show_number(glue_up.hold_minutes, decimals=0)
    count = counted(len(glue_up.numbers), "piece")
    steps = []
    if glue_up.batten is not None:
        where = describe_batten(plan, glue_up.batten)
        steps.append(
            f"Batten: {where}, {show(glue_up.batten.offset)} from the centre; reads {BLANK}."
        )
    steps.append(
        f"Spread {show.by(right - left, back - front)}: {show_glue(plan, glue_up.grams)} "
        "of glue, only where the pieces will lie."
    )
    order = f"Lay the {count} in the order of the discs, 1 to {len(glue_up.numbers)}"
    if glue_up.first_pair:
        order += ", the first two to the centre lines as listed below"
    steps.append(f"{order}, within {minutes} minutes.")
    steps.append(f"Hold them {hold_of(plan.design).under}, {held} minutes; from ____ to ____.")
    return steps


def _first_pair(plan: Plan, glue_up: GlueUp, show: Show) -> Block:
    """Set where the corners of the first pair stand from both centre lines."""
    rows = []
    for n, (x, y) in enumerate(pair_corners(plan, glue_up), 1):
        rows.append((str(n), _off(x, "right", "left", show), _off(y, "back", "front", show)))
    picture = draw_first_pair(plan, glue_up, width=_OVERVIEW, height=36.0)
    table = Table(
        ("Corner of the first pair", "left or right", "front or back"),
        tuple(rows),
        "lLL",
        strong=True,
    )
    return Beside(
        (Figure(f"glue-up-{glue_up.number}-pair", picture, "The first pair."),), (table,), _OVERVIEW
    )


def _off(at: float, more: str, less: str, show: Show) -> str:
    shown = show(abs(at))
    return "on the line" if shown.startswith("0 ") else f"{shown} {more if at > 0 else less}"
