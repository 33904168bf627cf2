"""The rip list: every fence setting, in the order to rip.

Comes in: the parts, the sticks they are cut from, and what is bought. Goes out: one row a fence
setting.

First strips come off boards, then sticks that are too wide are ripped to the strip, then the
sticks for narrow parts, wide before narrow. All of it at full length, before anything is crosscut.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tesselath.design import Board
from tesselath.measure import ALIKE
from tesselath.parts import Part
from tesselath.stock import Purchase, Stick, strip_slice

__all__ = ["Rip", "plan_rips"]


@dataclass(frozen=True, slots=True)
class Rip:
    """One fence setting: what is ripped to ``width``, full length [mm].

    ``source`` is "stick", "board edge" (slices off the edge) or "board face" (ripped flat);
    ``source_width`` is how wide it is, None for boards of random width. ``count`` strips or sticks
    come off. Boards are planed to ``plane_first`` before, strips to ``plane_after`` afterwards;
    None where nothing is planed.
    """

    wood: str
    strip_width: float
    width: float
    parts: tuple[str, ...]
    sticks: tuple[str, ...]
    source: str
    source_width: float | None
    count: int
    plane_first: float | None = None
    plane_after: float | None = None


def plan_rips(
    parts: Sequence[Part],
    sticks: Sequence[Stick],
    *,
    to_buy: Sequence[Purchase] = (),
    wider: Sequence[tuple[str, float, float]] = (),
) -> tuple[Rip, ...]:
    """List what is ripped before crosscutting.

    Source: common practice (a short piece is never ripped).

    Parameters
    ----------
    sticks : sequence of Stick
        The sticks that they are cut from.
    to_buy : sequence of Purchase
        What is bought, for the strips that come from boards.
    wider : sequence of (str, float, float)
        Wood, strip width and listed width where only wider sticks suit [mm].

    Returns
    -------
    tuple of Rip
        One fence setting each, boards first, wide before narrow.
    """
    rips = [_from_board(p, p.board, parts, sticks) for p in to_buy if p.board is not None]
    wide = {(wood, round(width, 2)): listed for wood, width, listed in wider}
    whole: dict[tuple[str, float], list[Part]] = {}
    narrow: dict[tuple[str, float, float], list[Part]] = {}
    for part in _sawn(parts):
        strip = round(part.strip_width or 0.0, 3)
        if part.ripped:
            narrow.setdefault((part.wood, strip, round(part.width, 2)), []).append(part)
        elif (part.wood, round(strip, 2)) in wide:
            whole.setdefault((part.wood, strip), []).append(part)
    for (wood, strip), members in sorted(whole.items(), key=lambda s: (s[0][0], -s[0][1])):
        marks, names = _of(members, sticks)
        listed = wide[wood, round(strip, 2)]
        rips.append(Rip(wood, strip, strip, marks, names, "stick", listed, len(names)))
    for (wood, strip, width), members in sorted(
        narrow.items(), key=lambda s: (s[0][0], -s[0][1], -s[0][2])
    ):
        marks, names = _of(members, sticks)
        listed = wide.get((wood, round(strip, 2)), strip)
        rips.append(Rip(wood, strip, width, marks, names, "stick", listed, len(names)))
    return tuple(rips)


def _sawn(parts: Sequence[Part]) -> list[Part]:
    return [p for p in parts if p.strip_width is not None and p.handling != "make up"]


def _of(
    members: Sequence[Part], sticks: Sequence[Stick]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The marks of parts, and the names of the sticks that hold them."""
    marks = tuple(part.mark for part in members)
    return marks, tuple(s.name for s in sticks if any(m in s.pieces for m in marks))


def _from_board(
    bought: Purchase, board: Board, parts: Sequence[Part], sticks: Sequence[Stick]
) -> Rip:
    """Strips off one kind of board, spare ones included."""
    width, thickness = bought.strip_width, bought.strip_thickness
    thick = board.thickness or 0.0
    marks = tuple(
        part.mark
        for part in _sawn(parts)
        if part.wood == bought.wood and abs((part.strip_width or 0.0) - width) <= ALIKE
    )
    names = tuple(
        stick.name
        for stick in sticks
        if not stick.offcut
        and stick.wood == bought.wood
        and abs(stick.strip_width - width) <= ALIKE
        and abs(stick.length - bought.length) <= ALIKE
    )
    if board.from_ == "edge":
        # A slice is as wide as the board is thick.
        first = width if thick > width + ALIKE else None
        after = thickness if board.plane > ALIKE else None
    else:
        first, after = thickness if thick > thickness + ALIKE else None, None
    return Rip(
        bought.wood,
        width,
        strip_slice(board, width=width, thickness=thickness),
        marks,
        names,
        f"board {board.from_}",
        board.width,
        bought.strips,
        first,
        after,
    )
