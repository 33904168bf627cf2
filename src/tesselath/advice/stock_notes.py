"""What a seasoned maker says of the stock: sticks that are not listed, boards, the planer.

Comes in: the design, the sticks as planned. Goes out: notes.
"""

from __future__ import annotations

from collections.abc import Callable

from tesselath.advice.notes import Note
from tesselath.design import Board, Design
from tesselath.measure import ALIKE
from tesselath.saw import reckon_drift, reckon_widths
from tesselath.stock import PLANER_LEAST, SNIPE, Purchase, StickPlan, strips_per_board, suits

__all__ = ["note_stock", "note_strip_widths"]

#: Thinner strips go through the planer on a board that carries them [mm]; 1/4 in, common practice.
_CARRIED = 6.35

#: Of this many strips and more the spread says something of the rest; fewer are a guess.
_ENOUGH = 5

_Show = Callable[[float], str]


def note_stock(design: Design, sticks: StickPlan) -> tuple[Note, ...]:
    """Note what is not listed, what does not suffice, and what ripping and planing ask for.

    Parameters
    ----------
    design : Design
        The design: its stock and its units.
    sticks : StickPlan
        The sticks as planned.
    """
    show = design.show
    notes = []
    if sticks.unlisted:
        length = 96 * 25.4 if design.units == "in" else 2400.0
        listed = ", ".join(f"{wood} {show(width)} wide" for wood, width in sticks.unlisted)
        notes.append(
            Note(
                "stick-assumed",
                f"No stick is listed for {listed}; {show(length)} long sticks "
                "are assumed. List yours in [[stock.stick]].",
            )
        )
    notes += _unfit(design, sticks, show)
    for wood, width, wide in sticks.wider:
        notes.append(
            Note(
                "stick-wider",
                f"Sticks of {wood} are listed {show(wide)} wide only; rip them to "
                f"{show(width)} first, full length.",
            )
        )
    for wood, width, needed, there in sticks.short_of:
        notes.append(
            Note(
                "stock-short",
                f"{needed} sticks of {wood} {show(width)} wide are needed and "
                f"there are {there}; the rest is to be bought.",
            )
        )
    return (*notes, *_planing(design, sticks, show))


def _unfit(design: Design, sticks: StickPlan, show: _Show) -> list[Note]:
    """Say why a board that is listed for a wood gives none of its strips."""
    thickness = design.strips.thickness
    notes = []
    for wood, width in sticks.unlisted:
        boards = [b for b in design.stock.boards if b.wood in (None, wood)]
        reasons = [_why_unfit(design, board, wood, width, thickness, show) for board in boards]
        if reasons:
            notes.append(
                Note(
                    "board-unfit",
                    f"The boards listed give no strip of {wood} {show(width)} "
                    f"wide: {'; '.join(dict.fromkeys(reasons))}.",
                )
            )
    return notes


def _why_unfit(
    design: Design, board: Board, wood: str, width: float, thickness: float, show: _Show
) -> str:
    if board.thickness is None:
        return "one has no thickness"
    if not suits(board, wood, width=width, thickness=thickness):
        if board.from_ == "edge":
            return (
                f"a slice off the edge is as wide as the board is thick, {show(board.thickness)}; "
                'wider strips are ripped flat (from = "face")'
            )
        return f"planed flat it is {show(board.thickness - board.plane)} thick"
    kerf = design.stock.rip_kerf
    assert not strips_per_board(board, width=width, thickness=thickness, rip_kerf=kerf)
    return f"one is only {show(board.width or 0.0)} wide"


def _planing(design: Design, sticks: StickPlan, show: _Show) -> list[Note]:
    """Say what the planer does to the ends of strips, and what it must not be fed."""
    planed = [p for p in sticks.to_buy if p.board is not None and _is_planed(p, p.board)]
    if not planed:
        return []
    woods = ", ".join(dict.fromkeys(p.wood for p in planed))
    text = f"Strips of {woods} are planed to {show(design.strips.thickness)}. A planer "
    text += f"takes nothing shorter than {show(PLANER_LEAST)}, and cuts the first and the last "
    text += f"{show(SNIPE)} deeper: "
    if design.stock.end_trim >= SNIPE - ALIKE and design.saw.holding >= SNIPE - ALIKE:
        text += "the end trim and the held tail take that off."
    else:
        text += "feed the strips end to end, scrap before the first and after the last, or set "
        text += f'end_trim = "{show(SNIPE)}".'
    if design.strips.thickness < _CARRIED - ALIKE:
        text += " Strips as thin as these ride through on a flat board."
    short = [p for p in planed if p.length < PLANER_LEAST - ALIKE]
    if short:
        text += f" Boards of {show(short[0].length)} are too short for it."
    return [Note("planer", text)]


def _is_planed(bought: Purchase, board: Board) -> bool:
    if board.plane > ALIKE:
        return True
    flat = board.from_ == "face"
    return flat and (board.thickness or 0.0) > bought.strip_thickness + ALIKE


def note_strip_widths(design: Design, *, across: float) -> tuple[Note, ...]:
    """Say what the plan makes of measured strips, and how to sort them.

    Parameters
    ----------
    across : float
        The longer way across the field, over which strips lie side by side [mm].

    Returns
    -------
    tuple of Note
        One; none where no widths were measured.
    """
    strips = design.strips
    if not strips.measured:
        return ()

    def fine(mm: float) -> str:
        return f"{mm / 25.4:.3f} in" if design.units == "in" else f"{mm:.2f} mm"

    widths = reckon_widths(strips.measured)
    rows = max(1, round(across / (widths.mean + strips.gap)))
    drift = reckon_drift(rows, worst=widths.worst, each=widths.each)
    text = (
        f"The {widths.count} strips measured are {fine(widths.least)} to {fine(widths.most)} wide; "
        f"the plan uses their mean, {fine(widths.mean)}. Over {rows} of them side by side the "
        f"errors come to {fine(drift.likely)} as they come, {fine(drift.worst)} if all err one "
        "way. Sort the strips by width and lay the widest beside the narrowest, row after row, or "
        "plane all of them to the narrowest; check the running measure every few rows."
    )
    if widths.count < _ENOUGH:
        text += f" {widths.count} strips say little of the rest: measure {_ENOUGH} or more."
    notes = [Note("strips-measured", text)]
    named = strips.named
    if named is not None and abs(named - widths.mean) > design.tape:
        said = design.show_plain(named)
        notes.append(
            Note(
                "strips-other-width",
                f"[strips] width says {said}, and the strips measure "
                f"{fine(widths.mean)} on average; the plan goes by what was measured.",
            )
        )
    return tuple(notes)
