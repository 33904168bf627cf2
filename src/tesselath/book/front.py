"""The front of the book: cover with the facts at a glance, what to buy, tools and hours.

Comes in: a plan, the room of a page. Goes out: chapters.
"""

from __future__ import annotations

import numpy as np

from tesselath.book.blocks import (
    Beside,
    Block,
    Chapter,
    Contents,
    Figure,
    Heading,
    Points,
    Room,
    Table,
    Title,
    Words,
)
from tesselath.book.show import Show
from tesselath.draw.maps import draw_preview
from tesselath.measure import counted, listed, run_unit, show_number, show_run
from tesselath.plan import Plan
from tesselath.stock import account_for_sticks
from tesselath.tables import count_pieces
from tesselath.top import show_count
from tesselath.wood import describe_weight

__all__ = ["buying", "cover", "skill_of", "tools_for"]

_ORDERS = {
    "let in": "let in: the frame comes first, pieces are cut to fit it",
    "trim": "trim: glued over-long, trimmed to a line, then framed",
    "lap": "lap: the frame covers the edge of the field",
}

#: The tallest a cover picture may be [mm].
_TALLEST = 92.0


def cover(plan: Plan, room: Room) -> Chapter:
    """Set the cover: the finished top, and what a reader asks first.

    Source: common practice of published plans.
    """
    show, design = Show(plan), plan.design
    picture = draw_preview(plan)
    width = min(room.width, _TALLEST * picture.width / picture.height)
    pattern = design.field.filling.pattern
    zones = [counted(len(design.borders), "border")] if design.borders else []
    zones += [counted(len(design.medallions), "medallion")] if design.medallions else []
    under = " with ".join(
        [f"A top in {pattern.title.lower()}", *([listed(zones)] if zones else [])]
    )
    facts = _facts(plan, show)
    half = (len(facts) + 1) // 2
    blocks: list[Block] = [
        Title(design.name, under),
        Figure("finished-top", picture, "", width),
        Beside(
            (Table((), tuple(facts[:half]), "lL", strong=True),),
            (Table((), tuple(facts[half:]), "lL", strong=True),),
            room.width / 2 - 2.5,
        ),
        Heading("In this plan", 3),
        Contents(),
    ]
    return Chapter(design.name, tuple(blocks))


def _facts(plan: Plan, show: Show) -> list[tuple[str, str]]:
    design, totals = plan.design, plan.totals
    size = np.ptp(np.asarray(plan.opening), axis=0)
    width, depth = (float(side) for side in size)
    facts = []
    if design.frame is not None:
        w = 2 * design.frame.width
        facts.append(("Overall", show.by(width + w, depth + w)))
    facts.append(("Opening", show.by(width, depth)))
    widths = sorted({round(p.strip_width, 2) for p in plan.parts if p.strip_width is not None})
    strips = listed([show(w) for w in widths]) or "made up"
    facts.append(("Strips", f"{strips} wide, {show(design.strips.thickness)} thick"))
    facts.append(("Woods", listed(woods_of(plan))))
    facts.append(("Pieces", f"{count_pieces(plan)} in {counted(len(plan.parts), 'part')}"))
    to_buy = [f"{n} {wood}" for wood, n in sorted(plan.sticks_to_buy.items())]
    if to_buy:
        facts.append(("Sticks to buy", listed(to_buy)))
    facts.append(("Cuts", f"{totals['cuts']} at {counted(len(plan.setups), 'saw set-up')}"))
    facts.append(("Glue-ups", str(len(plan.glue_ups))))
    facts.append(("Order", _ORDERS[design.order]))
    facts.append(
        (
            "Hours",
            f"about {show_number(plan.hours.total, decimals=1)}, gluing over "
            f"{counted(plan.hours.glue_days, 'day')}",
        )
    )
    facts.append(("Skill", skill_of(plan)))
    weight = describe_weight(plan.design, plan.weight).removeprefix("the finished top weighs ")
    facts.append(("Weight", weight))
    price = next((row.price for row in plan.shopping if row.what == "total"), None)
    if price is not None:
        facts.append(("Cost", f"{price:.2f} for what has a price"))
    return facts


def woods_of(plan: Plan) -> list[str]:
    """Name the woods of the strips, each once, in the order of the pieces."""
    return list(dict.fromkeys(piece.wood for piece in plan.pieces))


def skill_of(plan: Plan) -> str:
    """Say what the work asks of the maker.

    Source: own judgement.
    """
    handlings = {part.handling for part in plan.parts}
    if "make up" in handlings or any(part.too_steep for part in plan.parts):
        return "experienced: some parts are beyond the mitre saw"
    if "mark and hand saw" in handlings:
        return "practised: mitres, and some parts sawn by hand"
    if any(swing != "square" for part in plan.parts for swing in part.swings):
        return "practised: mitres cut to a stop"
    return "patient beginner: square cuts to a stop"


def tools_for(plan: Plan) -> list[str]:
    """List the tools that the work needs."""
    design, show = plan.design, Show(plan)
    handlings = {part.handling for part in plan.parts}
    tools = [
        "mitre saw or crosscut sled with a fence, a flip stop, a hold-down and a zero-clearance "
        "fence",
        f"tape or rule that reads {show(design.tape)}, a try square, a sharp pencil",
        "straight batten as long as the top",
        {
            "weights": "weights, film and boards to spread them",
            "pins": "pin nailer and pins, eye protection",
            "brads": "brad nailer and brads, eye protection",
            "tape": "tape that leaves no mark",
            "vacuum": "vacuum bag and pump",
        }[design.glue.hold],
        "glue spreader, damp rags",
        "hearing and eye protection, dust extraction, a mask",
    ]
    if plan.rips or design.stock.boards:
        tools.insert(1, "table saw with push blocks and a riving knife, or a band saw, for ripping")
    if any(board.plane for board in design.stock.boards):
        tools.insert(2, "thickness planer")
    if handlings & {"mark and hand saw", "make up"}:
        tools.insert(2, "fine hand saw, shooting board with a sharp plane, marking knife")
    if design.order == "trim":
        tools.append("track saw or router with a straight edge, for the trim line")
    if design.frame is not None:
        tools.append("clamps for the frame")
    tools.append("scraper or sander, 80 to 180 grit")
    return tools


def buying(plan: Plan, room: Room) -> Chapter:
    """Set what to buy, where the length of the sticks goes, the tools and the hours."""
    show = Show(plan)
    priced = any(row.price is not None for row in plan.shopping)
    head = ("For", "What", "Wood", "Count", "Size", *(("Price",) if priced else ()))
    rows = []
    for row in plan.shopping:
        if row.what == "total":
            cells = ["Total", row.item, "", "", "", f"{row.price:.2f}"]
        else:
            size = show.by(row.length, row.width, row.thickness)
            price = "" if row.price is None else f"{row.price:.2f}"
            cells = [row.what, row.item, row.wood or "", show_count(row), size, price]
        rows.append(tuple(cells[: len(head)]))
    stock = plan.design.stock
    extra = f"{show_number(100 * stock.defects)} % for defects"
    spare = counted(stock.spare_sticks, "spare stick")
    blocks: list[Block] = [
        Table(head, tuple(rows), "lllLL" + ("r" if priced else ""), ticks=True),
        Words(
            f"The sticks allow {extra} and {spare} of each wood. Sizes are actual ones: "
            "measure what the shop calls by another name.",
            "small",
        ),
        *_where_it_goes(plan, show),
        Beside(
            (Heading("Tools", 3), Points(tuple(tools_for(plan)), "tick")),
            (Heading("Hours at the stated pace", 3), _hours(plan, show)),
            room.width * 0.5,
        ),
    ]
    return Chapter("What to buy", tuple(blocks), step=True)


def _where_it_goes(plan: Plan, show: Show) -> list[Block]:
    """Account for the length of the sticks; nothing where there are none."""
    accounts = account_for_sticks(plan.parts, plan.sticks, end_trim=plan.design.stock.end_trim)
    _, unit = run_unit(show.units)
    rows = []
    for wood, a in accounts.items():
        mine = [bound for bound in plan.bounds if bound.wood == wood]
        sticks = sum(bound.sticks for bound in mine)
        least = sum(bound.proven_least for bound in mine)
        lengths = (a.net, a.spares, a.kerf, a.trim, a.left_over)
        rows.append(
            (
                wood,
                str(sticks),
                str(least),
                str(plan.sticks_to_buy.get(wood, 0)),
                *(show_run(length, units=show.units) for length in lengths),
            )
        )
    if not rows:
        return []
    head = (
        "Wood",
        "Sticks to cut",
        "fewer cannot do",
        "to buy",
        f"Pieces, {unit}",
        "spares",
        "kerf, waste",
        "end trim",
        "left over",
    )
    return [Heading("Where the sticks go", 3), Table(head, tuple(rows), "Lrrrrrrrr")]


def _hours(plan: Plan, show: Show) -> Table:
    rows = [
        (row.work, counted(row.count, row.unit.removesuffix("s"), row.unit), show.hours(row.hours))
        for row in plan.hours.rows
    ]
    rows.append(("In all, about", "", show.hours(plan.hours.total)))
    return Table((), tuple(rows), "Lrr")
