"""A spoiled piece: from which spare or leftover it can be cut again.

Comes in: the tables of a plan (``plan.json``) and the numbers of the spoiled pieces. Goes out: one
answer a piece. Refuses: numbers that the plan does not have.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tesselath.errors import DesignError
from tesselath.measure import ALIKE, ON_THE_LINE, cosine, show_length
from tesselath.stock import SHORTEST_RIP

__all__ = ["Rescue", "describe_rescue", "rescue_pieces"]


@dataclass(frozen=True, slots=True)
class Rescue:
    """How one spoiled piece is made again.

    ``way`` is "spare" (one of the spares of its part), "leftover" (of the stick named), "spare
    stick", "buy" (no spare stick is left) or "make up". ``setup`` is the number of the saw
    set-up, None for a spare and for what is made up. Where the stick must be ripped first,
    ``rip_to`` is to which width [mm]. ``spares_left`` are those of the part afterwards,
    ``sticks_left`` the spare sticks of its wood and width.
    """

    number: int
    part: str
    way: str
    stick: str | None
    setup: int | None
    spares_left: int
    rip_to: float | None = None
    sticks_left: int = 0


@dataclass(slots=True)
class _Rest:
    """What is left of a stick [mm]."""

    name: str
    width: float
    length: float


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
    """
    part_of = {piece["number"]: piece["part"] for piece in tables["pieces"]}
    parts = {part["mark"]: part for part in tables["parts"]}
    unknown = [str(n) for n in numbers if n not in part_of]
    if unknown:
        raise DesignError(
            f"The plan has no piece {', '.join(unknown)}; its pieces are 1 to {len(part_of)}."
        )
    spares = {mark: int(part["spares"]) for mark, part in parts.items()}
    store = _Store(tables)
    answers = []
    for number in numbers:
        mark = part_of[number]
        part = parts[mark]
        setup = next((n for n, s in enumerate(tables["setups"], 1) if mark in s["parts"]), None)
        if part["strip_width"] is None:
            answers.append(Rescue(number, mark, "make up", None, None, spares[mark]))
        elif spares[mark]:
            spares[mark] -= 1
            left = store.spare_sticks(part)
            answers.append(Rescue(number, mark, "spare", None, None, spares[mark], None, left))
        else:
            way, name, rip_to = store.take(part)
            left = store.spare_sticks(part)
            answers.append(Rescue(number, mark, way, name, setup, 0, rip_to, left))
    return tuple(answers)


class _Store:
    """The rests of all sticks and the spare sticks; what is cut from them is gone."""

    def __init__(self, tables: Mapping[str, Any]) -> None:
        self.kerf, self.holding = float(tables["kerf"]), float(tables["holding"])
        self.trim = float(tables.get("end_trim", 0.0))
        self.rests: dict[tuple[str, float], list[_Rest]] = {}
        self.lengths: dict[tuple[str, float], float] = {}
        for stick in tables["sticks"]:
            kind = (stick["wood"], round(stick["strip_width"], 2))
            rest = _Rest(stick["name"], stick["width"], stick["left_over"])
            self.rests.setdefault(kind, []).append(rest)
            if not stick.get("offcut"):
                least = self.lengths.get(kind, stick["length"])
                self.lengths[kind] = min(least, stick["length"])
        self.spare: dict[tuple[str, float], int] = {
            (b["wood"], round(b["width"], 2)): b.get("to_buy", 0) - b["sticks"]
            for b in tables["bounds"]
        }
        self.opened = 0

    def spare_sticks(self, part: Mapping[str, Any]) -> int:
        """Count the spare sticks of a part's wood and strip width."""
        return max(0, self.spare.get(_kind(part), 0))

    def take(self, part: Mapping[str, Any]) -> tuple[str, str | None, float | None]:
        """Cut a piece: how, from which stick, and to which width that is ripped first."""
        steepest = max(abs(m) for m in part["mitres"])
        by_hand = part["handling"] == "mark and hand saw"
        need = part["overall"] + self.kerf / (1.0 if by_hand else cosine(steepest))
        width = part["width"] if part["ripped"] else part["strip_width"]
        way = "leftover"
        rest = self._find(part, width, need)
        if rest is None:
            way = "spare stick" if self.spare_sticks(part) else "buy"
            self.spare[_kind(part)] = self.spare_sticks(part) - 1
            length = self.lengths.get(_kind(part))
            if length is None:
                return way, None, None
            self.opened += 1
            rest = _Rest(f"new {self.opened}", part["strip_width"], length - self.trim)
            self.rests.setdefault(_kind(part), []).append(rest)
        rip_to = width if rest.width > width + ALIKE else None
        rest.width = width
        rest.length -= need
        return way, rest.name, rip_to

    def _find(self, part: Mapping[str, Any], width: float, need: float) -> _Rest | None:
        """The shortest rest that will do; one of the very width before one to be ripped."""
        choices = [
            (rest.width > width + ALIKE, rest.length, n, rest)
            for n, rest in enumerate(self.rests.get(_kind(part), ()))
            if rest.length - self.holding >= need - ALIKE
            and rest.width >= width - ALIKE
            and (rest.width <= width + ALIKE or rest.length >= SHORTEST_RIP - ON_THE_LINE)
        ]
        return min(choices, key=lambda choice: choice[:3])[3] if choices else None


def _kind(part: Mapping[str, Any]) -> tuple[str, float]:
    return str(part["wood"]), round(float(part["strip_width"]), 2)


def describe_rescue(rescue: Rescue, tables: Mapping[str, Any]) -> str:
    """Say in a sentence how a spoiled piece is made again.

    Parameters
    ----------
    tables : mapping
        The contents of plan.json, for the wood and the maker's tape.

    Examples
    --------
    >>> plan = {"parts": [{"mark": "A", "wood": "oak"}], "tape": 25.4 / 32, "units": "in"}
    >>> describe_rescue(Rescue(17, "A", "leftover", "3", 2, 0), plan)
    'piece 17 (part A): cut it from the rest of stick 3 at set-up 2; no spare of A is left.'
    """
    wood = {part["mark"]: part["wood"] for part in tables["parts"]}[rescue.part]
    named = "" if rescue.stick is None else f", {rescue.stick}"
    new = named.startswith(", new ")
    words = {
        "spare": "take a spare",
        "leftover": f"cut it from the rest of {'' if new else 'stick '}{rescue.stick}",
        "spare stick": f"no rest is long enough: cut it from a spare stick of {wood}{named},",
        "buy": f"no rest is long enough and no spare stick is left: buy a stick of {wood}{named}, "
        "and cut it from that",
        "make up": "make up another from several strips or a board",
    }[rescue.way]
    if rescue.rip_to is not None:
        width = show_length(rescue.rip_to, tape=tables["tape"], units=tables["units"])
        words = f"{words.removesuffix(',')}, ripped to {width} first, full length,"
    if rescue.setup is not None:
        words += f" at set-up {rescue.setup}"
    left = rescue.spares_left
    counted = {0: f"no spare of {rescue.part} is", 1: f"1 spare of {rescue.part} is"}
    words += f"; {counted.get(left, f'{left} spares of {rescue.part} are')} left"
    if rescue.way == "spare stick":
        sticks = {0: "no spare stick", 1: "1 spare stick"}
        words += f", and {sticks.get(rescue.sticks_left, f'{rescue.sticks_left} spare sticks')}"
    return f"piece {rescue.number} (part {rescue.part}): {words}."
