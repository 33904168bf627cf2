"""A spoiled piece: from which spare or leftover it can be cut again.

Comes in: the tables of a plan (``plan.json``) and the numbers of the spoiled pieces. Goes out: one
answer a piece. Refuses: numbers that the plan does not have.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tesselath.angles import cosine
from tesselath.errors import DesignError
from tesselath.tolerances import ALIKE

__all__ = ["Rescue", "describe_rescue", "rescue_pieces"]


@dataclass(frozen=True, slots=True)
class Rescue:
    """How one spoiled piece is made again.

    ``way`` is "spare" (one of the spares of its part), "leftover" (of the stick named), "new
    stick" or "make up". ``setup`` is the number of the saw set-up, None for a spare
    and for what is made up; ``spares_left`` are those of the part afterwards.
    """

    number: int
    part: str
    way: str
    stick: str | None
    setup: int | None
    spares_left: int


def rescue_pieces(tables: Mapping[str, Any], numbers: Sequence[int]) -> tuple[Rescue, ...]:
    """Find for each spoiled piece a spare, or a leftover to cut it from.

    Parameters
    ----------
    tables : mapping
        The contents of plan.json.
    numbers : sequence of int
        The numbers of the spoiled pieces.

    Returns
    -------
    tuple of Rescue
        One for each piece, in the order asked.

    Raises
    ------
    DesignError
        If the plan has no piece of a number.

    Notes
    -----
    Source: own derivation.
    """
    part_of = {piece["number"]: piece["part"] for piece in tables["pieces"]}
    parts = {part["mark"]: part for part in tables["parts"]}
    unknown = [str(n) for n in numbers if n not in part_of]
    if unknown:
        raise DesignError(
            f"The plan has no piece {', '.join(unknown)}; its pieces are 1 to {len(part_of)}."
        )
    spares = {mark: int(part["spares"]) for mark, part in parts.items()}
    left = {stick["name"]: float(stick["left_over"]) for stick in tables["sticks"]}
    answers = []
    for number in numbers:
        mark = part_of[number]
        part = parts[mark]
        setup = next((n for n, s in enumerate(tables["setups"], 1) if mark in s["parts"]), None)
        way, stick = "new stick", None
        if part["strip_width"] is None:
            way, setup = "make up", None
        elif spares[mark]:
            way, setup = "spare", None
            spares[mark] -= 1
        else:
            stick = _leftover(tables, part, left)
            if stick is not None:
                way = "leftover"
        answers.append(Rescue(number, mark, way, stick, setup, spares[mark]))
    return tuple(answers)


def _leftover(
    tables: Mapping[str, Any], part: Mapping[str, Any], left: dict[str, float]
) -> str | None:
    """The stick with the shortest rest that will do; its rest is shortened."""
    steepest = max(abs(m) for m in part["mitres"])
    by_hand = part["handling"] == "mark and hand saw"
    need = part["overall"] + tables["kerf"] / (1.0 if by_hand else cosine(steepest))
    width = part["width"] if part["ripped"] else part["strip_width"]
    choices = [
        (left[stick["name"]], stick["name"])
        for stick in tables["sticks"]
        if stick["wood"] == part["wood"]
        and abs(stick["strip_width"] - part["strip_width"]) <= ALIKE
        # A rest of full width may be ripped if it is long; one ripped narrower serves its width.
        and (abs(stick["width"] - width) <= ALIKE)
        and left[stick["name"]] - tables["holding"] >= need - ALIKE
    ]
    if not choices:
        return None
    _, name = min(choices, key=lambda c: (c[0], int(c[1]) if c[1].isdigit() else 0))
    left[name] -= need
    return str(name)


def describe_rescue(rescue: Rescue) -> str:
    """Say in a sentence how a spoiled piece is made again.

    Parameters
    ----------
    rescue : Rescue
        The answer.

    Returns
    -------
    str
        One line.

    Raises
    ------
    ValueError
        Never.

    Notes
    -----
    Source: own derivation.

    Examples
    --------
    >>> describe_rescue(Rescue(17, "A", "leftover", "3", 2, 0))
    'piece 17 (part A): cut it from the rest of stick 3 at set-up 2; 0 spares of A remain.'
    """
    ways = {
        "spare": "take a spare",
        "leftover": f"cut it from the rest of stick {rescue.stick}",
        "new stick": "no rest is long enough: cut it from a spare stick",
        "make up": "make up another from a board",
    }
    at = "" if rescue.setup is None else f" at set-up {rescue.setup}"
    spares = f"{rescue.spares_left} spare{'' if rescue.spares_left == 1 else 's'}"
    remain = "remains" if rescue.spares_left == 1 else "remain"
    return (
        f"piece {rescue.number} (part {rescue.part}): {ways[rescue.way]}{at}; "
        f"{spares} of {rescue.part} {remain}."
    )
