"""The cutting: the map of parts, rips, set-ups as they lie on the saw, handwork, the cut list.

Comes in: a plan, the room of a page. Goes out: chapters.
"""

from __future__ import annotations

from tesselath.advice import cautions_of_setup
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
from tesselath.book.paper import page_room
from tesselath.book.show import Show
from tesselath.draw.bench import WIDE, draw_at_saw, draw_hand_sawn, touching_corner
from tesselath.draw.maps import WoodLook, draw_map, dress_woods
from tesselath.measure import (
    ALIKE,
    counted,
    listed,
    show_angle,
    show_change,
    show_number,
    show_numbers,
)
from tesselath.parts import Part
from tesselath.plan import Plan
from tesselath.saw import MarkOut, Rip, Setup
from tesselath.top import say_trial_cut

__all__ = ["cut_list", "cutting", "map_of_parts"]

#: Past so many set-ups the drawings go without their list of sticks [count].
_MANY = 30

_HANDLING = {
    "slide": "Slide: push the stick on to the stop after each cut.",
    "roll": "Roll: turn the stick over, face down, after each cut, then slide it on.",
    "swing": "Swing: cut the end first, swing the saw over, slide on to the stop, cut again.",
}


def map_of_parts(plan: Plan, room: Room) -> Chapter:
    """Set the overview map with the letters of the parts, as large as a page allows."""
    wide_room = page_room(plan.design, wide=True)
    scales = [_map_scale(plan, page) for page in (room, wide_room)]
    wide = scales[1] > 1.15 * scales[0]
    page, scale = (wide_room, scales[1]) if wide else (room, scales[0])
    for _ in range(2):  # rulers and words keep their size, so the scale is found by trying
        sheet = draw_map(plan, scale=scale, numbers=False, legend=False)
        fit = min(page.width / sheet.width, (page.height - 34.0) / sheet.height)
        scale = min(scale * fit, 1.0)
    sheet = draw_map(plan, scale=scale, numbers=False, legend=False)
    shrink = min(1.0, page.width / sheet.width, (page.height - 34.0) / sheet.height)
    counts: dict[str, int] = {}
    for piece in plan.pieces:
        counts[piece.wood] = counts.get(piece.wood, 0) + 1
    looks = dress_woods(list(counts), woods=plan.design.woods)
    woods = listed(
        [
            f"{look.letter} {wood} ({_ruled(look)}), {counted(counts[wood], 'piece')}"
            for wood, look in looks.items()
        ]
    )
    words = (
        f"The letter is the part, a set of pieces cut at one setting; piece numbers stand on the "
        f"maps of the glue-ups. Woods: {woods}."
    )
    over = show_number(1.0 / (scale * shrink), decimals=1)
    caption = f"Which part lies where, seen from above, show face up. Scale 1:{over}."
    blocks = (Figure("map-of-parts", sheet, caption, sheet.width * shrink), Words(words))
    return Chapter("Map of the parts", blocks, step=True, wide=wide)


def _map_scale(plan: Plan, room: Room) -> float:
    """Give the scale at which the map with its rulers fits a page."""
    width, depth = (float(v) for v in plan.opening.max(axis=0) - plan.opening.min(axis=0))
    frame = plan.design.frame
    over = 2 * frame.width if frame is not None else 0.0
    across, away = room.width - 36.0, room.height - 72.0
    return min(across / (width + over), away / (depth + over), 1.0)


def _ruled(look: WoodLook) -> str:
    return "left blank" if look.ruling.name == "blank" else look.ruling.name


def cutting(plan: Plan, room: Room) -> Chapter:
    """Set the work at the saw in the order in which it is done."""
    show = Show(plan)
    blocks: list[Block] = [*_rules(plan), *_stages(plan), *_test_cuts(plan), *_rips(plan, show)]
    at_saw = [s for s in plan.setups if s.handling != "mark and hand saw"]
    if at_saw:
        blocks.append(Heading("At the mitre saw, in this order"))
    for number, setup in enumerate(plan.setups, 1):
        if setup.handling != "mark and hand saw":
            blocks.append(_setup(plan, setup, number, show))
    blocks += _by_hand(plan, show, room)
    blocks += _made_up(plan, show)
    return Chapter("Cutting", tuple(blocks), step=True)


def _rules(plan: Plan) -> list[Block]:
    """What is always so at the saw."""
    words = [
        "Always the same picture: fence on top, you at the bottom, show face up. An edge goes to "
        "the fence, an end goes to the stop.",
        "R is the handle to the right, as you see it: the cut leans like a backslash (\\). L is "
        "the handle to the left: it leans like a slash (/). Angles are from square; the figure "
        "in brackets is for a saw that calls square 90.",
        "Turning a piece end for end never changes its hand. Only rolling it face down does.",
        "Cut one piece of each set-up, lay it on its card, then cut the rest.",
    ]
    if plan.design.strips.faces == "one":
        words.append(
            "Before you cut, draw one line with an arrow down the show face of every strip, near "
            "the edge that goes to the fence, the arrow to the stop. A piece whose line is missing "
            "or lies on the wrong edge was rolled."
        )
    cautions = [n for n in plan.notes if n.code == "caution"]
    return [Points(tuple(words)), *(Words(note.text, "caution") for note in cautions)]


def _test_cuts(plan: Plan) -> list[Block]:
    """Set what is cut and measured before the batch, with a line for what it reads."""
    tries = tuple(
        say_trial_cut(trial, plan.design) + ("" if trial.kind == "square" else f" Reads {BLANK}.")
        for trial in plan.trial_cuts
    )
    if not tries:
        return []
    return [Heading("Test cuts, before the batch"), Points(tries, "tick"), *_rounding(plan)]


def _rounding(plan: Plan) -> list[Block]:
    """Say what it adds up to that stops are set to marks of the tape."""
    rounding, units = plan.tolerance.rounding, plan.design.units
    if rounding.row <= ALIKE:
        return []
    largest = f"{show_change(rounding.largest, units=units)} (part {rounding.mark})"
    row = f"{show_change(rounding.row, units=units)} along the worst line, {rounding.name}"
    return [
        Words(
            f"Stops are set to marks of the tape: at most {largest} in one piece, {row}.", "small"
        )
    ]


def _stages(plan: Plan) -> list[Block]:
    """Say what is cut first, and what only when the opening has been measured again."""
    if len(plan.stages) < 2:
        return []
    names = {"inner": "Inner pieces", "edge": "Along the edge", "corner": "In the corners"}
    rows = tuple(
        (names.get(stage.name, stage.name), show_numbers(stage.numbers), stage.do)
        for stage in plan.stages
    )
    return [
        Heading("What is cut first"),
        Table(("", "Pieces", "What to do"), rows, "lLL", ticks=True, strong=True),
    ]


def _rips(plan: Plan, show: Show) -> list[Block]:
    if not plan.rips:
        return []
    rows = tuple(
        (
            show(rip.width),
            rip.wood,
            _ripped_from(rip, show),
            " ".join(rip.parts),
            str(rip.count),
            show.sticks(rip.sticks),
        )
        for rip in plan.rips
    )
    return [
        Heading("Rip first, full length"),
        Words(
            "Nothing short is ever ripped: rip the whole stick, then crosscut it. Use push "
            "blocks and a riving knife.",
            "caution",
        ),
        Table(
            ("Rip to", "Wood", "From", "For parts", "Count", "Sticks"), rows, "lllLrL", ticks=True
        ),
    ]


def _ripped_from(rip: Rip, show: Show) -> str:
    """Say what is ripped, and what is planed before and after."""
    wide = "" if rip.source_width is None else f" {show(rip.source_width)} wide"
    if rip.source == "stick":
        return f"sticks{wide}"
    words = f"boards{wide}, {'flat' if rip.source == 'board face' else 'off the edge'}"
    if rip.plane_first is not None:
        words += f", planed to {show(rip.plane_first)} first"
    if rip.plane_after is not None:
        words += f"; then plane the strips to {show(rip.plane_after)}"
    return words


def _setup(plan: Plan, setup: Setup, number: int, show: Show) -> Block:
    """Set one set-up: its drawing, and beside it all there is to know."""
    parts = [plan.part(mark) for mark in setup.parts]
    up = all(part.fitted for part in parts)
    side = setup.stop_side
    words: list[Block] = [
        Heading(f"Set-up {number}", 3),
        Words(
            f"Saw {show.end(setup.mitre, setup.swing)}, stop {side} at {show(setup.stop, up=up)}.",
            "strong",
        ),
    ]
    if setup.handling == "swing":
        words.append(Words(f"End at the stop: {show.end(setup.end_mitre, setup.end_swing)}."))
    if setup.is_dialled:
        then = f", for the stop end {setup.end_scale}" if setup.handling == "swing" else ""
        words.append(Words(f"On the scale: {setup.scale}{then}.", "strong"))
    words.append(Words(_HANDLING[setup.handling] + _touches(parts[0])))
    words.append(
        Points(
            tuple(
                f"{show.parts([part])}, {part.wood}, {show(part.stick_width)} wide"
                for part in parts
            ),
            "tick",
        )
    )
    if len(plan.setups) <= _MANY and setup.sticks:
        words.append(Words(f"From sticks {show.sticks(setup.sticks)}.", "small"))
    words += [
        Words(note.text, "caution")
        for note in cautions_of_setup(setup, parts=plan.parts, design=plan.design)
    ]
    figure = Figure(f"set-up-{number}", draw_at_saw(plan, setup), "")
    return Beside((figure,), tuple(words), WIDE)


def _touches(part: Part) -> str:
    corner = touching_corner(part)
    if corner == "both":
        return ""
    where = "on the fence" if corner == "fence" else "towards you; the stop must be that deep"
    return f" The ringed corner, {where}, touches the stop."


def _by_hand(plan: Plan, show: Show, room: Room) -> list[Block]:
    """Set the parts that are marked on a square blank and sawn by hand."""
    blocks: list[Block] = []
    for number, setup in enumerate(plan.setups, 1):
        if setup.handling != "mark and hand saw":
            continue
        for part in (plan.part(mark) for mark in setup.parts):
            marks = [m for m in plan.mark_outs if m.part == part.mark]
            words: list[Block] = [
                Heading(f"Part {part.mark}", 3),
                Words(f"{show.parts([part])}, {part.wood}", "strong"),
                Words(
                    f"Blank (set-up {number}): square, {show(setup.stop, up=part.fitted)} long, "
                    f"{show(part.stick_width)} wide."
                ),
                Points(tuple(_mark_out(m, show) for m in marks)),
            ]
            if any(m.steep for m in marks):
                words.append(
                    Words(
                        "Steeper than the saw swings: not at the mitre saw as it stands.", "caution"
                    )
                )
            figure = Figure(f"part-{part.mark.lower()}", draw_hand_sawn(plan, part), "")
            blocks.append(Beside((figure,), tuple(words), WIDE))
    if not blocks:
        return []
    del room
    return [
        Heading("Marked out and sawn by hand"),
        Words(
            "Cut the blank square and to length, mark the corners, saw beside the line with a "
            "hand saw and shoot to it. A loose piece never goes back to the power saw.",
            "caution",
        ),
        *blocks,
    ]


def _mark_out(mark: MarkOut, show: Show) -> str:
    if mark.run is None or mark.mitre is None:
        return f"saw out the notch at the {mark.side} to the map"
    angle = show_angle(abs(mark.mitre))
    if mark.op == "end":
        return f"{mark.side} end {angle}: run {show(mark.run)} over {show(mark.over)}"
    return f"{mark.side} corner, {angle}"


def _made_up(plan: Plan, show: Show) -> list[Block]:
    made = [part for part in plan.parts if part.handling == "make up"]
    if not made:
        return []
    rows = tuple(
        (
            p.mark,
            show.parts([p]).removeprefix(f"{p.mark} "),
            p.wood,
            show(p.width),
            show(p.overall, up=p.fitted),
            show_numbers(p.numbers),
        )
        for p in made
    )
    return [
        Heading("Made up, or cut from a board"),
        Words(
            "These are wider than a strip: glue them up from several, or cut them from a board, "
            "to the outline on their card."
        ),
        Table(
            ("Part", "Count", "Wood", "Width", "Length", "Pieces"),
            rows,
            "lllllL",
            ticks=True,
            strong=True,
        ),
    ]


def cut_list(plan: Plan, room: Room) -> Chapter:
    """Set the cut list: one row a part.

    Source: common practice of cut lists.
    """
    del room
    show = Show(plan)
    rows = []
    points = any(p.long_point is not None for p in plan.parts)
    # The edge mostly is the long point; then that is not printed twice.
    as_edge = all(p.long_point is None or abs(p.long_point - p.edge) <= ALIKE for p in plan.parts)
    for p in plan.parts:
        up = p.fitted
        lengths = [show.bare(p.edge, up=up), show.bare(p.overall, up=up)]
        if points:
            both = [show.bare(p.long_point, up=up), show.bare(p.short_point, up=up)][as_edge:]
            lengths.append("–" if p.long_point is None else " / ".join(both))
        ends = [show.end(m, s) for m, s in zip(p.mitres, p.swings, strict=True)]
        if p.handling in ("make up", "mark and hand saw"):
            ends = ["by hand", "by hand"] if p.handling != "make up" else ["–", "–"]
        handling = {"mark and hand saw": "hand saw"}.get(p.handling, p.handling)
        count = f"{p.count}" + (f" + {p.spares}" if p.spares else "")
        rows.append((p.mark, count, p.wood, *lengths, *ends, handling, show_numbers(p.numbers)))
    head = [
        "Part",
        "Count",
        "Wood",
        f"Edge, {show.unit}",
        f"Overall, {show.unit}",
        "Left end",
        "Right end",
        "Handling",
        "Pieces",
    ]
    if points:
        head.insert(5, f"{'Short' if as_edge else 'Long / short'} point, {show.unit}")
    pairs = sorted({p.mark for p in plan.parts if p.handed_pair is not None})
    words = (
        "The edge lies on the fence and the stop is set to it; the overall length, tip to tip, is "
        "what the blank needs. Counts are pieces + spares."
    )
    if points and as_edge:
        words += " Where a short point is given, the edge is the long point."
    blocks: list[Block] = [
        Words(words),
        Table(
            tuple(head),
            tuple(rows),
            "lllll" + ("l" if points else "") + "lllL",
            ticks=True,
            strong=True,
        ),
    ]
    if pairs:
        blocks.append(
            Words(
                f"{listed(pairs[:12])}{' and others' if len(pairs) > 12 else ''} are handed: "
                "L and R are mirror images. Keep them in trays of their own; the black corner "
                "is the long point at the stop end.",
                "caution",
            )
        )
    return Chapter("Cut list", tuple(blocks), step=True, run_on=True)
