"""Before and after the glue: the dry fit, and trim, level, frame and finish in order.

Comes in: a plan, the room of a page. Goes out: chapters.
"""

from __future__ import annotations

import numpy as np

from tesselath.advice import describe_stack
from tesselath.book.blocks import BLANK, Block, Chapter, Heading, Points, Room, Table, Words
from tesselath.book.show import Show
from tesselath.glue import finish_steps
from tesselath.plan import Plan

__all__ = ["after_the_glue", "dry_fit"]


def dry_fit(plan: Plan, room: Room) -> Chapter:
    """Set the dry fit: lay it all once without glue, and write down what it measures."""
    del room
    show, order = Show(plan), plan.design.order
    edge = {
        "let in": "Cut the pieces along the edge last, each to what is left for it: a slip of "
        "paper must go between field and frame.",
        "trim": "Every piece along the edge must reach over the trim line.",
        "lap": "Every piece along the edge must reach under the frame.",
    }[order]
    items = [
        "Draw the centre lines on the base, and lay the batten along the first row.",
        "Lay the pieces in the order of their numbers, from the centre lines outward, without "
        "glue. Do not press a row to close a gap: it only moves on to the next row.",
        "Hold the story stick beside the rows, both ways: each line meets its mark within the "
        "width of a pencil line.",
        "A row that runs away: find the piece that is long, and shoot it. A row that falls "
        "short: find the piece that is short, and take a spare.",
        edge,
        "Look at it from both ends and in low light: colour, grain, a piece that was rolled.",
        "Number the pieces on the back, and take them up in order into their trays.",
    ]
    rows = []
    for zone in reversed(plan.zones):
        width, depth = (float(side) for side in np.ptp(np.asarray(zone.outline), axis=0))
        name = zone.name.replace("-", " ")
        rows += [
            (f"{name}, left to right over all", show(width), BLANK),
            (f"{name}, front to back over all", show(depth), BLANK),
        ]
    blocks: tuple[Block, ...] = (
        Points(tuple(items), "tick"),
        Table(("Measure", "planned", "reads"), tuple(rows), "Lll"),
    )
    return Chapter("Dry fit", blocks, step=True, run_on=True, whole=True)


def after_the_glue(plan: Plan, room: Room) -> Chapter:
    """Set trim, level, frame and finish in the order in which they are done.

    Source: common practice; rags and dust as the makers of finishes and the safety rules of
    most countries say, from memory.
    """
    del room
    show = Show(plan)
    work = [("Let it rest", _rest(plan))]
    if plan.design.order == "trim":
        work.append(("Trim to the line", _trim(plan, show)))
    if plan.design.frame is not None and plan.design.order == "trim":
        work += [("Frame", _frame(plan)), ("Level", _level(plan))]
    else:
        work.append(("Level", _level(plan)))
        if plan.design.frame is not None and plan.design.order == "lap":
            work.append(("Frame", _frame(plan)))
    work.append(("Finish", _finish(plan)))
    blocks: list[Block] = []
    for number, (title, steps) in enumerate(work, 1):
        blocks += [Heading(f"{number}. {title}"), *steps]
    title = "Trim, level, frame, finish" if plan.design.order == "trim" else "Level and finish"
    return Chapter(title, tuple(blocks), step=True)


def _rest(plan: Plan) -> list[Block]:
    words = "Leave the panel a day after the last glue-up, with air or film on both faces alike."
    if plan.design.strips.gap:
        words += " Take the spacers out of the gaps before the glue is hard."
    return [
        Points(
            (words, "Pick off what glue has come up; a wet rag only drives it into the grain."),
            "tick",
        )
    ]


def _trim(plan: Plan, show: Show) -> list[Block]:
    width, depth = (float(side) for side in np.ptp(np.asarray(plan.opening), axis=0))
    pins = {"pins": "pin", "brads": "brad"}.get(plan.design.glue.hold)
    items = [
        "Draw the trim line anew from the centre lines, and measure it both ways and corner to "
        "corner.",
        "Knife the line where the cut crosses the grain, and tape it; the waste is backed by "
        "scrap where the blade leaves.",
        "Saw or rout along a straight edge clamped on the panel, strips and base in one: the two "
        "ends first, then front and back, so that the last cuts take away the torn corners.",
        "A piece that the line has left loose is glued again before the next cut.",
    ]
    if pins is not None:
        items.insert(1, f"Make sure that no {pins} stands within 3/4 in of the line.")
    rows = (
        ("panel, left to right", show(width), BLANK),
        ("panel, front to back", show(depth), BLANK),
        ("panel, front left to back right", "equal to the next", BLANK),
        ("panel, front right to back left", "", BLANK),
    )
    return [Points(tuple(items), "tick"), Table(("Measure", "planned", "reads"), rows, "Lll")]


def _frame(plan: Plan) -> list[Block]:
    frame = plan.design.frame
    mitred = frame is None or frame.corner == "mitre"
    trim = plan.design.order == "trim"
    items = [
        "Cut the members to the panel as it reads, not as it was planned: the table under "
        "“Measure first” has the sums and the blanks."
        if trim
        else "Try the members round the field: their inner edge covers the edge of the strips all "
        "round.",
    ]
    if mitred:
        items.append(
            "Try two mitres against a square before the rest is cut; make the four "
            "corners close dry, with the clamps on."
        )
    if frame is not None and frame.joint != "none":
        items.append(
            f"Cut for each {frame.joint} with the show face to the fence, so that all "
            "corners come level."
        )
    items.append(
        "Glue long members first, clamp lightly, look at the mitres, then clamp home. "
        "Keep glue off the ends of the strips where wood must move."
    )
    items.append("Check the corners with a square while the glue is wet.")
    return [Points(tuple(items), "tick")]


def _level(plan: Plan) -> list[Block]:
    stack = describe_stack(plan.design, plan.stack)
    items = [
        *([stack] if stack else []),
        "The grain runs every way: no plane across it. Scrape, or sand with 80, 120 and 180 grit, "
        "always with a flat block or a wide disc, never with a bare hand.",
        "Sand light and dark together, and lift the dust with a vacuum after each grit; a rag "
        "rubs dark dust into light wood.",
    ]
    if plan.design.glue.hold in ("pins", "brads"):
        items.insert(0, "Set every pin well under the face before a scraper or a plane comes near.")
    return [
        Points(tuple(items), "tick"),
        Words(
            "Fine dust of hardwood harms the lungs, and that of walnut, cedar and many exotics "
            "the skin too: extract it at the tool and wear a mask.",
            "caution",
        ),
    ]


def _finish(plan: Plan) -> list[Block]:
    return [
        Points(
            (*finish_steps(plan.design), f"Coats on the show face {BLANK}, on the back {BLANK}."),
            "tick",
        ),
        Words(
            "Rags with oil in them take fire by themselves: spread them flat out of doors, or "
            "keep them under water in a lidded tin. Open the windows; wear gloves for epoxy and "
            "solvents.",
            "caution",
        ),
    ]
