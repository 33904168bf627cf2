"""The gluing order as CSV, and the words in which its readings are printed.

Comes in: a plan. Goes out: the text of glue-up.csv: for each glue-up what to have at hand, where
the batten and the first pair go, what to spread, each piece in its turn, what the tape must read
with a blank for what it read, how long to hold.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import numpy as np

from tesselath.field import Piece
from tesselath.glue import Batten, Check, GlueUp, hold_of
from tesselath.measure import show_angle, show_number
from tesselath.plan import Plan
from tesselath.tables.tables import write_csv

__all__ = ["describe_batten", "describe_check", "describe_corners", "show_glue", "write_glue_up"]

#: A line to write on.
_BLANK = "____"

#: Glue in a teaspoon [g]; a tablespoon holds three.
_TEASPOON = 5.0


def write_glue_up(plan: Plan) -> str:
    """Write the gluing order: one row a step.

    Source: RFC 4180.
    """
    head = ["glue-up", "step", "do", "piece", "part", "row", "what", "planned", "within", "reads"]
    pieces = {piece.number: piece for piece in plan.pieces}
    hold = hold_of(plan.design)
    rows: list[list[object]] = []
    for glue_up in plan.glue_ups:
        steps = [*_before(plan, glue_up)]
        for number in glue_up.numbers:
            piece = pieces[number]
            where = describe_corners(plan, piece) if number in glue_up.first_pair else ""
            steps.append(["lay", number, piece.part, piece.row, where, "", "", ""])
            for check in glue_up.checks:
                if check.after == number:
                    steps.append(
                        [
                            "check",
                            check.number,
                            pieces[check.number].part,
                            check.row,
                            describe_check(check),
                            _show(plan, check.planned),
                            _show(plan, check.likely, up=True),
                            _BLANK,
                        ]
                    )
        minutes = show_number(glue_up.hold_minutes, decimals=0)
        steps.append(["hold", "", "", "", hold.by, f"{minutes} min", "", ""])
        rows += [[glue_up.number, n, *step] for n, step in enumerate(steps, 1)]
    return write_csv(head, rows)


def _before(plan: Plan, glue_up: GlueUp) -> Sequence[list[object]]:
    """What is done before the first piece is laid."""
    trays = ", ".join(f"{mark} {count}" for mark, count in glue_up.trays)
    steps: list[list[object]] = [["have at hand", "", "", "", trays, "", "", ""]]
    if glue_up.batten is not None:
        words = describe_batten(plan, glue_up.batten)
        offset = _show(plan, glue_up.batten.offset)
        steps.append(["set the batten", "", "", "", words, offset, "", _BLANK])
    left, front, right, back = glue_up.box
    spread = f"{_show(plan, right - left)} x {_show(plan, back - front)}"
    steps.append(["spread", "", "", "", spread, show_glue(plan, glue_up.grams), "", ""])
    return steps


def describe_check(check: Check) -> str:
    """Say what is measured.

    Source: own words.

    Examples
    --------
    >>> describe_check(Check(52, "field", 3, 48, "away", "back", 114.3, 0.8))
    'after piece 52: farthest corner of piece 48, back of the centre line'
    """
    if check.side == "over all":
        ways = "left to right" if check.axis == "across" else "front to back"
        return f"after piece {check.after}: the ring, {ways} over all"
    return (
        f"after piece {check.after}: farthest corner of piece {check.number}, {check.side} of "
        "the centre line"
    )


def describe_batten(plan: Plan, batten: Batten) -> str:
    """Say where the batten goes.

    Source: own words.

    Returns
    -------
    str
        The words, without the distance from the centre.
    """
    x, y = ((a + b) / 2 for a, b in zip(batten.start, batten.end, strict=True))
    if min(batten.way, 180.0 - batten.way) < 0.01:
        where = f"left to right, {'front' if y < 0 else 'back'} of the centre line"
    elif abs(batten.way - 90.0) < 0.01:
        where = f"front to back, {'left' if x < 0 else 'right'} of the centre line"
    else:
        ends = " to ".join(_from_centre(plan, *point) for point in (batten.start, batten.end))
        where = f"{show_angle(batten.way)} from left to right, from {ends}"
    return f"{where}, against the first row"


def describe_corners(plan: Plan, piece: Piece) -> str:
    """Say where the corners of a piece stand from the two centre lines.

    Source: own words.
    """
    corners = [_from_centre(plan, float(x), float(y)) for x, y in np.asarray(piece.outline)]
    return "corners from the centre lines: " + "; ".join(corners)


def _from_centre(plan: Plan, x: float, y: float) -> str:
    words = []
    for value, ways in ((x, ("right", "left")), (y, ("back", "front"))):
        shown = _show(plan, abs(value))
        words.append("on the line" if shown.startswith("0 ") else f"{shown} {ways[value < 0]}")
    return ", ".join(words)


def show_glue(plan: Plan, grams: float) -> str:
    """Print how much glue is spread, in grams and, where inches are used, in spoons.

    Source: common practice (a teaspoon of glue is 5 g, a tablespoon three of them).

    Parameters
    ----------
    grams : float
        The glue [g].

    Returns
    -------
    str
        The amount, up to the next 5 g.
    """
    spoons = max(1, ceil(grams / _TEASPOON - 1e-6))
    weight = f"{show_number(spoons * _TEASPOON, decimals=0)} g"
    if plan.design.units == "mm":
        return weight
    large, small = divmod(spoons, 3)
    words = []
    if large:
        words.append(f"{large} tablespoon{'s' if large != 1 else ''}")
    if small:
        words.append(f"{small} teaspoon{'s' if small != 1 else ''}")
    return f"{' '.join(words)} ({weight})"


def _show(plan: Plan, mm: float, *, up: bool = False) -> str:
    return plan.design.show(mm, up=up)
