"""Frame, base and strips: their sizes, what is drawn on the base, and what is measured first.

Comes in: a plan, the room of a page. Goes out: a chapter.
"""

from __future__ import annotations

from collections.abc import Sequence

from tesselath.book.blocks import (
    BLANK,
    Block,
    Chapter,
    Figure,
    Heading,
    Room,
    Table,
    Words,
)
from tesselath.book.heights import room_left
from tesselath.book.show import Show
from tesselath.design import Board
from tesselath.draw.bench import draw_base_lines, draw_members, draw_section, draw_sheets
from tesselath.frame import BasePanel, Reading, group_members
from tesselath.measure import ALIKE, counted, show_angle
from tesselath.plan import Plan

__all__ = ["frame_and_base"]

#: What a chapter's title takes, and a caption with the gaps round a figure [mm].
_TITLE, _CAPTION = 15.0, 14.0
#: The picture of the base is made smaller down to this share of the page.
_SMALLEST = 0.36

_WHEN = {
    "let in": "The frame comes first: make it, measure it, and cut base and field to what you "
    "read, not to what is planned.",
    "trim": "The field comes first: the strips are glued over-long on the base, both are trimmed "
    "to the line, and the frame is cut to the panel as it then measures.",
    "lap": "The frame covers the edge of the field: nothing of that edge is seen, and the field "
    "need not be trimmed to a line.",
}


def frame_and_base(plan: Plan, room: Room) -> Chapter:
    """Set frame, base and strips with their sizes, and the lines to draw on the base."""
    show, planned = Show(plan), plan.frame_base
    framed = plan.design.frame is not None or planned.base is not None
    blocks: list[Block] = []
    if framed:
        section = draw_section(plan, width=room.width, height=62.0)
        blocks += [
            Words(
                _WHEN[plan.design.order]
                if plan.design.frame is not None
                else "Cut the base, draw the lines on it, and lay the field to them."
            ),
            Figure("section", section, "The edge of the top, cut through."),
        ]
    blocks += _strips(plan, show)
    blocks += _readings(planned.readings, show)
    blocks += _frame(plan, room, show)
    if planned.base is not None:
        blocks += _base(plan, planned.base, room, show, before=blocks)
    if not framed:
        return Chapter("Strips", tuple(blocks[1:]), step=True, run_on=True)
    return Chapter("Frame, base and strips", tuple(blocks), step=True)


def _strips(plan: Plan, show: Show) -> list[Block]:
    """List the strips to have at hand before cutting, by wood and width."""
    sorts: dict[tuple[str, float], list[str]] = {}
    for part in plan.parts:
        if part.strip_width is not None:
            sorts.setdefault((part.wood, part.strip_width), []).append(part.mark)
    if not sorts:
        return []
    design = plan.design
    rows = []
    for (wood, width), marks in sorted(sorts.items(), key=lambda sort: (sort[0][0], -sort[0][1])):
        count = sum(
            stick.wood == wood and abs(stick.strip_width - width) <= ALIKE for stick in plan.sticks
        )
        rows.append((wood, show.by(width, design.strips.thickness), str(count), show.marks(marks)))
    words = "Sizes are of the finished strip."
    if design.strips.gap:
        words += f" A gap of {show(design.strips.gap)} is left between pieces."
    blocks: list[Block] = [
        Heading("Strips"),
        Table(("Wood", "Wide, thick", "Sticks", "For parts"), tuple(rows), "llrL", ticks=True),
        Words(words, "small"),
    ]
    boards = [_milling(board, plan, show) for board in design.stock.boards]
    return [*blocks, *(Words(text) for text in boards)]


def _milling(board: Board, plan: Plan, show: Show) -> str:
    thickness, width = plan.design.strips.thickness, plan.design.strips.width
    wood = f"{board.wood} boards" if board.wood else "boards"
    if board.from_ == "edge":
        rip = show(thickness + board.plane)
        words = f"From {wood}: slice strips off the edge at {rip}"
        if board.plane:
            words += f", plane them to {show(thickness)}"
    else:
        words = f"From {wood}: plane to {show(thickness)}"
        if width is not None:
            words += f", rip strips of {show(width)}"
    return words + ". Make two more at the same setting than are needed."


def _readings(readings: tuple[Reading, ...], show: Show) -> list[Block]:
    """List what is measured and written down, and what is then cut to it."""
    if not readings:
        return []
    rows = []
    for reading in readings:
        then = ""
        if reading.cut and reading.add is not None:
            sign = "less" if reading.add < 0 else "plus"
            change = f"{sign} {show(abs(reading.add))}" if abs(reading.add) > ALIKE else "as read"
            then = f"{reading.cut}: {change}"
        rows.append(
            (f"{reading.what} reads", show(reading.planned), BLANK, then, BLANK if then else "")
        )
    both = sum("to back" in r.what for r in readings) == 2
    words = "The two diagonals are equal where the corners are square." if both else ""
    return [
        Heading("Measure first, and write it down"),
        Table(("Measure", "planned", "read", "then cut", "to"), tuple(rows), "lllLl"),
        *([Words(words, "small")] if words else []),
    ]


def _frame(plan: Plan, room: Room, show: Show) -> list[Block]:
    frame, planned = plan.design.frame, plan.frame_base
    if frame is None:
        return []
    rows = []
    for names, member, count in group_members(planned.members):
        ends = " and ".join(dict.fromkeys(show_angle(m) if m else "square" for m in member.mitres))
        rows.append(
            (
                names,
                str(count),
                show(member.long_point),
                show(member.short_point),
                show.by(member.blank[1], frame.thickness),
                "sawn to the curve" if member.shaped else ends,
            )
        )
    blocks: list[Block] = [
        Heading("Frame"),
        Table(
            ("Member", "Make", "Long point", "Short point", "Wide, thick", "Ends"),
            tuple(rows),
            "lrlllL",
            ticks=True,
        ),
    ]
    joints = planned.joints
    if joints is not None:
        each = f"{show(joints.reach)} into each member"
        size = show.by(joints.across, joints.along)
        what = {"spline": "splines", "key": "corner keys"}.get(joints.kind, "loose tenons")
        blocks.append(Words(f"Joints: {joints.count} {what}, {size}, {each}."))
    if any(not member.shaped for member in planned.members):
        picture = draw_members(plan, width=room.width, height=0.42 * room.height)
        caption = "The members, outer edge on top. All to one scale."
        blocks.append(Figure("frame", picture, caption))
    return blocks


def _base(
    plan: Plan, base: BasePanel, room: Room, show: Show, *, before: Sequence[Block]
) -> list[Block]:
    rows = [("Saw to", show.by(*base.cut))]
    if base.finished != base.cut:
        rows.append(("Ends as", show.by(*base.finished)))
    if base.thickness is not None:
        rows.append(("Thick", show(base.thickness)))
    cut = base.sheets
    if cut.joins:
        rows.append(("Parts", f"{len(cut.parts)} of {show.by(*cut.part)}"))
    if base.listed or cut.joins:
        rows.append(("Sheets", f"{counted(cut.sheets, 'sheet')} of {show.by(*cut.sheet)}"))
    blocks: list[Block] = [
        Heading("Base"),
        Words(
            "Flat, dry and free of voids; screws only from below. Draw the lines in pencil on "
            "the upper face, each way from one zero."
        ),
        Table((), tuple(rows), "lL", strong=True),
    ]
    usual = min(0.62 * room.height, 1.1 * room.width)
    # Smaller where it then still goes on this page; else as large as usual on the next.
    left = room_left([*before, *blocks], room, title=_TITLE) - _CAPTION
    height = left if _SMALLEST * room.height < left < usual else usual
    blocks.append(
        Figure(
            "base-lines",
            draw_base_lines(plan, base, width=room.width, height=height),
            "Lines to draw on the base, measured from its left and its front edge.",
        )
    )
    if plan.design.both_units:
        edges = {"across": "left", "away": "front"}
        rows = [
            (line.name, f"{show(line.at)} from the {edges[line.axis]} edge")
            for line in plan.frame_base.lines
        ]
        blocks.append(Table(("Line", "Stands"), tuple(rows), "lL"))
    if base.listed or cut.joins:
        picture = draw_sheets(plan, base, width=room.width, height=0.3 * room.height)
        blocks.append(Figure("sheets", picture, "The base on its sheets; hatched: left over."))
    if cut.joins:
        blocks.append(
            Words(
                "Back each join with a batten or a spline, and lay no strip end on it.", "caution"
            )
        )
    return blocks
