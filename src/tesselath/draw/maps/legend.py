"""The words of the map: name, sizes, order of work, key of woods, signs.

Comes in: the plan, the looks of its woods, what was lettered. Goes out: the foot of the map.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from tesselath.draw.maps.frame import is_box
from tesselath.draw.maps.lettered import CUT_ALREADY, Lettered, may_be_misread
from tesselath.draw.maps.surround import draw_trim_line
from tesselath.draw.maps.title import (
    Block,
    draw_foot,
    key_block,
    scale_block,
    sign_block,
    title_block,
)
from tesselath.draw.maps.wood import WoodLook, wood_colour
from tesselath.draw.paper import (
    INK,
    Fill,
    Item,
    Line,
    Pens,
    Polygon,
    Stroke,
    Tape,
    Text,
    box_outline,
    tinted,
)
from tesselath.measure import counted, show_number
from tesselath.plan import Plan
from tesselath.shape import as_outline, inset

__all__ = ["draw_legend"]

_UNITS = {"in": "inches", "mm": "millimetres"}


def draw_legend(
    plan: Plan,
    *,
    looks: Mapping[str, WoodLook],
    lettered: Lettered,
    pens: Pens,
    tape: Tape,
    spacing: float,
    width: float,
) -> tuple[tuple[Item, ...], float, float]:
    """Set the foot of the map.

    Source: common practice of title blocks.
    """
    room = min(max(39.0 * pens.base, 0.3 * width), max(width, 30.0 * pens.base))
    blocks = [
        title_block(_name(plan), _lines(plan, lettered, tape), _small(plan), pens=pens, room=room),
        _key(plan, looks, pens, spacing),
        _signs(plan, lettered, pens),
        _scale(pens, tape),
    ]
    width = max(width, *(block.width for block in blocks))
    return draw_foot(blocks, width=width, pens=pens)


def _name(plan: Plan) -> str:
    """Give the design's name; one of digits only would read as a piece."""
    name = plan.design.name.strip()
    return f"Design {name}" if name.isdigit() else name


def _lines(plan: Plan, lettered: Lettered, tape: Tape) -> list[str]:
    design, size = plan.design, plan.opening.max(axis=0) - plan.opening.min(axis=0)
    sizes = f"Opening {tape.show(float(size[0]))} x {tape.show(float(size[1]))}"
    if design.frame is not None:
        outer = inset(plan.opening, -design.frame.width * tape.scale)[0]
        across, away = (float(edge) for edge in np.ptp(np.asarray(outer), axis=0))
        sizes += f", overall {tape.show(across)} x {tape.show(away)}"
    filling = design.field.filling
    turned = f", turned {show_number(filling.angle)}°" if filling.angle else ""
    lines = [
        f"{filling.pattern.title}{turned}",
        sizes,
        *_out_of_square(plan, tape),
        _pieces(plan),
        _order(plan),
    ]
    if lettered.tiny:
        lines.append(
            "Many pieces are too small for letters of 2.5 mm: their lettering is smaller. "
            "Print this map larger, or read it on a screen."
        )
    return lines


def _pieces(plan: Plan) -> str:
    parts, all_pieces = counted(len(plan.parts), "part"), counted(len(plan.pieces), "piece")
    cut = sum(piece.cut for piece in plan.pieces)
    if not cut:
        return f"{all_pieces} in {parts}"
    return f"{all_pieces}: {cut} cut already, {len(plan.pieces) - cut} to cut in {parts}"


def _out_of_square(plan: Plan, tape: Tape) -> list[str]:
    """Print what the tape should read across an opening out of square, to check it by."""
    if len(plan.opening) != 4 or is_box(plan.opening):
        return []
    one, other = (
        tape.show(float(np.hypot(*(plan.opening[n + 2] - plan.opening[n])))) for n in (0, 1)
    )
    return [f"Out of square: the diagonals read {one} and {other}."]


def _order(plan: Plan) -> str:
    design = plan.design
    if design.order == "trim":
        return "Order: trim. The field is glued over-long, trimmed to the dashed line, then framed."
    if design.order == "lap":
        lap = design.show_plain(design.frame.lap if design.frame else 0.0)
        return f"Order: lap. The frame covers {lap} of the field's edge."
    clearance = design.show_plain(design.opening.clearance)
    first = "The frame comes first; the" if design.frame is not None else "The"
    if design.opening.clearance <= 0.0:
        return f"Order: let in. {first} field fills the opening."
    of_what = "it" if design.frame is not None else "the opening"
    return f"Order: let in. {first} field stays {clearance} clear of {of_what}."


def _small(plan: Plan) -> list[str]:
    design = plan.design
    about = [
        design.author,
        f"revision {design.revision}" if design.revision else "",
        design.licence,
        f"design mark {design.mark}" if design.mark else "",
        "drawn with tesselath",
    ]
    return [" · ".join(word for word in about if word)]


def _key(plan: Plan, looks: Mapping[str, WoodLook], pens: Pens, spacing: float) -> Block:
    counts: dict[str, int] = {}
    cut = sum(piece.cut for piece in plan.pieces)
    for piece in plan.pieces:
        if not piece.cut:
            counts[piece.wood] = counts.get(piece.wood, 0) + 1
    to_cut = " to cut" if cut else ""
    rows = [
        (look, f"{wood}, {counted(counts[wood], 'piece')}{to_cut}")
        for wood, look in looks.items()
        if wood in counts
    ]
    extra: list[tuple[tuple[Item, ...], str]] = []
    box = as_outline(box_outline(0.0, 0.0, 4.4 * pens.base, 2.0 * pens.base))
    edge = Stroke(max(0.25, pens.thin.width), INK)
    if cut:
        grey = Polygon((box,), CUT_ALREADY, edge)
        extra.append(((grey,), f"cut already, {counted(cut, 'piece')}: not to be cut again"))
    misfits = set() if plan.refit is None else {one.number for one in plan.refit.does_not_fit}
    if misfits:
        patch = Polygon((box,), CUT_ALREADY, pens.misfit)
        extra.append(((patch,), f"does not fit, {counted(len(misfits), 'piece')}: see the notes"))
    frame = plan.design.frame
    if frame is not None:
        colour = wood_colour(frame.wood, plan.design.woods) if frame.wood else "#e0d8c8"
        wide = plan.design.show_plain(frame.width)
        patch = Polygon((box,), Fill(tinted(colour, 0.09)), edge)
        wood = f"{frame.wood}, " if frame.wood else ""
        corner = "butted" if frame.corner == "butt" and is_box(plan.opening) else "mitred"
        if plan.design.opening.oval:
            corner = "joined square"
        extra.append(((patch,), f"frame: {wood}{wide} wide, {corner}"))
    if plan.uncovered:
        (x1, y1), _, (x2, y2), _ = box.tolist()
        cross = Line((((x1, y1), (x2, y2)), ((x1, y2), (x2, y1))), Stroke(edge.width, "#777777"))
        extra.append(((Polygon((box,), stroke=edge), cross), "open: no strip lies here"))
    return key_block(rows, extra=extra, spacing=spacing, pens=pens)


def _signs(plan: Plan, lettered: Lettered, pens: Pens) -> Block:
    base, middle = pens.base, 2.2 * pens.base
    sample = max(lettered.labels[:17], key=lambda label: int(label.number or 0), default=None)
    rows: list[tuple[tuple[Item, ...], str]] = []
    if sample is not None:
        rows.append(
            (
                (
                    Text(
                        f"{sample.letter} {sample.number}".strip(), (middle, base), base, weight=600
                    ),
                ),
                f"part {sample.letter}" + (f", piece {sample.number}" if sample.number else ""),
            )
        )
    level = ((0.0, base), (2 * middle, base))
    chain = replace(pens.centre, dash=(1.5 * base, 0.4 * base, 0.2 * base, 0.4 * base))
    rows.append(
        (
            (Line((level,), chain),),
            f"centre lines; the rulers count from them, in {_UNITS[plan.design.units]}",
        )
    )
    fills = plan.design.field.filling.pattern.fills
    if fills and len({piece.row for piece in plan.pieces if piece.zone == "field"}) > 1:
        rows.append(
            (
                (Text("+1", (middle, base), 0.9 * base, weight=600, colour="#444444"),),
                "row, counted from the centre line",
            )
        )
    if plan.design.order == "trim":
        line = as_outline([(0.0, base), (2 * middle, base), (middle, base + 0.01)])
        trim = draw_trim_line(line, pens=pens)[1:]
        rows.append(((Line((level,), pens.trim), *trim), "trim line"))
    if any(piece.blank is not None for piece in plan.pieces):
        rows.append(((Line((level,), pens.hidden),), "what is cut, before it is trimmed"))
    if lettered.triangles:
        corner = (
            (middle - base, 0.2 * base),
            (middle + base, 0.2 * base),
            (middle - base, 1.8 * base),
        )
        rows.append(((Polygon((corner,), Fill(INK)),), "long point at the stop end"))
    if any(may_be_misread(one.number, len(plan.pieces)) for one in lettered.labels):
        text = Text("6 9", (middle, base), base, underline=True)
        rows.append(((text,), "the line is under the number"))
    return sign_block(rows, pens=pens)


def _scale(pens: Pens, tape: Tape) -> Block:
    over = 1.0 / tape.scale
    words = [
        "SHOW FACE UP",
        "seen from above, front edge at the bottom",
        f"scale 1:{show_number(over, decimals=1)}, print at 100 %, page 1 of 1",
    ]
    return scale_block(words=words, scale=1.0, pens=pens)
