"""Compare: the figures of two plans side by side.

Comes in: the tables of two plans (``plan.json``). Goes out: rows of figures, and their text. What
an older plan does not tell is left blank.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor
from typing import Any

from tesselath.measure import (
    ALIKE,
    ANGLE_ALIKE,
    SLACK,
    run_unit,
    show_angle,
    show_area,
    show_length,
    show_number,
    show_run,
)

__all__ = ["ComparedRow", "Tables", "compare_plans", "show_change", "show_measure", "show_value"]

#: The contents of a plan.json.
Tables = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class ComparedRow:
    """One figure of two plans.

    ``kind`` is "text", "count", "size" [mm], "length" [mm], "run" [mm], "area" [mm2], "angle"
    [degrees] or "money". None where a plan does not tell.
    """

    key: str
    what: str
    kind: str
    before: float | str | None
    after: float | str | None

    @property
    def differs(self) -> bool:
        """Whether the two plans differ in it by more than noise."""
        if isinstance(self.before, str) or isinstance(self.after, str):
            return self.before != self.after
        if self.before is None or self.after is None:
            return self.before is not self.after
        least = {"size": ALIKE, "length": ALIKE, "run": ALIKE, "angle": ANGLE_ALIKE, "area": ALIKE}
        return abs(self.after - self.before) > least.get(self.kind, SLACK)

    @property
    def change(self) -> float | None:
        """By how much the second is more than the first; None where that means nothing."""
        if isinstance(self.before, str) or isinstance(self.after, str):
            return None
        if self.before is None or self.after is None:
            return None
        return self.after - self.before if self.differs else 0.0


def compare_plans(before: Tables, after: Tables) -> tuple[ComparedRow, ...]:
    """Put the figures of two plans side by side.

    Parameters
    ----------
    before, after : mapping
        The contents of two plan.json.

    Returns
    -------
    tuple of ComparedRow
        What is asked for first, then what is to be cut, then what it takes.
    """
    columns = (_figures(before), _figures(after))
    return tuple(
        ComparedRow(key, what, kind, columns[0][key], columns[1][key])
        for key, (what, kind) in _ROWS.items()
        if not (columns[0][key] is None and columns[1][key] is None)
        and (key != "already_cut" or columns[0][key] or columns[1][key])
    )


#: What is compared: the words for it and how it is printed.
_ROWS = {
    "pattern": ("pattern", "text"),
    "order": ("order of work", "text"),
    "opening_width": ("opening, left to right", "size"),
    "opening_depth": ("opening, front to back", "size"),
    "clearance": ("clearance at the frame", "size"),
    "strip_width": ("strip width", "size"),
    "gap": ("gap between pieces", "size"),
    "kerf": ("kerf", "size"),
    "saw_zero": ("saw's zero is off by", "angle"),
    "saw_angles": ("angles the saw has", "text"),
    "tape": ("tape reads to", "size"),
    "pieces": ("pieces", "count"),
    "already_cut": ("of them cut already", "count"),
    "parts": ("parts", "count"),
    "cuts": ("cuts", "count"),
    "setups": ("saw set-ups", "count"),
    "glue_ups": ("glue-ups", "count"),
    "sticks": ("sticks to cut", "count"),
    "sticks_to_buy": ("sticks to buy", "count"),
    "thinnest": ("thinnest piece", "length"),
    "shortest_edge": ("shortest edge on the fence", "length"),
    "wood_area": ("wood in the pieces", "area"),
    "uncovered": ("not covered", "area"),
    "net_length": ("net length of strip", "run"),
    "left_over": ("left over of the sticks", "run"),
    "cost": ("cost of what has a price", "money"),
    "doubts": ("notes, cautions not counted", "count"),
}


def _figures(tables: Tables) -> dict[str, float | str | None]:
    """Gather the figures of one plan by key."""
    totals, opening = tables["totals"], tables["opening"]
    prices = [row["price"] for row in tables["shopping"] if row["what"] == "total"]
    bare = tables["uncovered"]["area"]
    return {
        "pattern": tables.get("pattern"),
        "order": tables["order"],
        "opening_width": opening["width"],
        "opening_depth": opening["depth"],
        "clearance": opening["clearance"],
        "strip_width": _strip_width(tables),
        "gap": tables.get("gap"),
        "kerf": tables["kerf"],
        "saw_zero": tables.get("saw_zero"),
        "saw_angles": _angles(tables.get("saw_angles")),
        "tape": tables.get("tape"),
        "already_cut": len(tables["refit"]["cut"]) if "refit" in tables else 0,
        **{key: totals[key] for key in ("pieces", "parts", "cuts", "setups", "glue_ups", "sticks")},
        "sticks_to_buy": sum(totals["sticks_to_buy"].values()),
        **{key: totals[key] for key in ("thinnest", "shortest_edge", "wood_area", "net_length")},
        "uncovered": bare,
        "left_over": sum(account["left_over"] for account in tables["accounts"]),
        "cost": prices[0] if prices else None,
        "doubts": sum(not note["code"].startswith("caution") for note in tables["notes"]),
    }


def _angles(angles: Sequence[float] | None) -> str | None:
    return None if angles is None else ", ".join(map(show_angle, angles)) or "any"


def _strip_width(tables: Tables) -> float | None:
    """The width of the strip that most pieces are cut from [mm]."""
    counts: Counter[float] = Counter()
    for part in tables["parts"]:
        if part["strip_width"] is not None:
            counts[round(part["strip_width"], 4)] += part["count"]
    return max(counts, key=lambda width: (counts[width], width), default=None)


def show_value(value: float | str | None, kind: str, tables: Tables) -> str:
    """Print a figure in the units and to the tape of its plan.

    Parameters
    ----------
    value : float, str or None
        The figure, see `ComparedRow`.
    tables : mapping
        The plan it belongs to.

    Returns
    -------
    str
        The figure; "-" where there is none. A size off the tape's marks is followed by its
        decimals, so that 63/64 and 0.98 in are told apart.

    Raises
    ------
    KeyError
        If the kind is unknown.
    """
    units = tables["units"]
    if value is None:
        return "-"
    if isinstance(value, str) or kind == "text":
        return str(value)
    match kind:
        case "size":
            return show_measure(value, tables, exact=True)
        case "length":
            return show_measure(value, tables)
        case "area":
            return _finely(value, kind, tables)
        case "angle":
            return show_angle(value)
        case "run":
            return f"{show_run(value, units=units)} {run_unit(units)[1]}"
        case "money":
            return f"{value:.2f}"
        case "count":
            return show_number(value)
    raise KeyError(kind)


def show_measure(mm: float, tables: Tables, *, exact: bool = False) -> str:
    """Print a length to the tape; when exact, with its decimals where it lies off the marks."""
    units = tables["units"]
    tape = _tape(tables)
    near = show_length(mm, tape=tape, units=units)
    if not exact or abs(mm / tape - round(mm / tape)) * tape <= ALIKE:
        return near
    if units == "mm":
        return f"{show_number(mm, decimals=2)} mm"
    return f"{near} ({show_number(mm / 25.4, decimals=3)})"


def _tape(tables: Tables) -> float:
    return float(tables.get("tape") or (25.4 / 32 if tables["units"] == "in" else 0.5))


def show_change(row: ComparedRow, tables: Tables) -> str:
    """Print by how much a figure has grown or shrunk; nothing where it has not."""
    if not row.differs:
        return ""
    if row.change is None:
        return "changed"
    sign = "+" if row.change > 0 else "-"
    return f"{sign}{_show_difference(row, abs(row.change), tables)}"


def _show_difference(row: ComparedRow, change: float, tables: Tables) -> str:
    """Print a change so that it agrees with the two figures beside it, and is never 0."""
    if row.kind in ("length", "size"):
        marks = [_on_tape(value, tables) for value in (row.before, row.after)]
        if row.kind == "length" and marks[0] != marks[1]:
            return show_measure(abs(marks[1] - marks[0]), tables)
        return (
            _finely(change, "length", tables)
            if marks[0] == marks[1]
            else show_value(change, row.kind, tables)
        )
    return _finely(change, row.kind, tables)


def _on_tape(mm: float | str | None, tables: Tables) -> float:
    """The mark of the tape at which a length is printed [mm]."""
    tape = _tape(tables)
    return tape * floor(float(mm or 0.0) / tape + 0.5 + SLACK)


def _finely(value: float, kind: str, tables: Tables) -> str:
    """Print a figure with as many decimals as it takes to be seen."""
    inches = tables["units"] == "in"
    if kind == "run":
        shown = show_value(value, kind, tables)
        per, unit = run_unit(tables["units"])
    elif kind not in ("length", "area"):
        return show_value(value, kind, tables)
    elif kind == "length":
        shown = show_measure(value, tables)
        per, unit = (25.4, "in") if inches else (1.0, "mm")
    else:
        shown = show_area(value, units=tables["units"])
        per, unit = (645.16, "sq in") if inches else (1e6, "m²")
    if not shown.startswith("0 "):
        return shown
    return f"{show_number(float(f'{value / per:.1g}'), decimals=6)} {unit}"
