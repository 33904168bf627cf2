"""Plan shape: whether a plan.json still holds what those who read it look for.

Comes in: what JSON made of a file. Goes out: yes or no.

A plan.json may come from another version, or have been meddled with by hand; whoever reads one
need not ask at every key. A shape is a type, a list of one shape for every entry, a table of the
keys that must be there (with a question mark: that may be), or a test of its own.
"""

from __future__ import annotations

from math import isfinite
from typing import Any

__all__ = ["is_plan"]


def is_plan(tables: Any) -> bool:
    """Tell whether what was read from a plan.json has the shape of a plan."""
    if not _fits(tables, _PLAN) or not tables["pieces"]:
        return False
    marks = {part["mark"] for part in tables["parts"]}
    numbers = {piece["number"] for piece in tables["pieces"]}
    named = [n for part in tables["parts"] for n in (*part["numbers"], *part.get("cut", ()))]
    return (
        len(numbers) == len(tables["pieces"])
        and all(piece["part"] in marks for piece in tables["pieces"])
        and numbers.issuperset(named)
        and numbers.issuperset(n for stage in tables.get("stages", ()) for n in stage["numbers"])
    )


def _fits(value: Any, shape: Any) -> bool:
    """Tell whether a value has a shape."""
    if isinstance(shape, list):
        return isinstance(value, list) and all(_fits(entry, shape[0]) for entry in value)
    if isinstance(shape, dict):
        return isinstance(value, dict) and all(
            _fits(value[key.rstrip("?")], inner) if key.rstrip("?") in value else key.endswith("?")
            for key, inner in shape.items()
        )
    if isinstance(shape, type):
        return isinstance(value, shape) and not isinstance(value, bool)
    return bool(shape(value))


def _is_number(value: Any) -> bool:
    # Nothing in a workshop is a thousand kilometres long.
    is_one = isinstance(value, (int, float)) and not isinstance(value, bool)
    return is_one and isfinite(value) and abs(value) < 1e9


def _is_flag(value: Any) -> bool:
    return isinstance(value, bool)


def _may_be_number(value: Any) -> bool:
    return value is None or _is_number(value)


def _may_be_text(value: Any) -> bool:
    return value is None or isinstance(value, str)


def _is_pair(value: Any) -> bool:
    return isinstance(value, list) and len(value) == 2 and all(map(_is_number, value))


def _is_outline(value: Any) -> bool:
    return isinstance(value, list) and len(value) > 2 and all(map(_is_pair, value))


def _is_numbers_by_name(value: Any) -> bool:
    return isinstance(value, dict) and all(map(_is_number, value.values()))


def _is_text_by_name(value: Any) -> bool:
    return isinstance(value, dict) and all(isinstance(text, str) for text in value.values())


def _may_be_frame(value: Any) -> bool:
    frame = {"width": _is_number, "corner": str, "wood": _may_be_text}
    return value is None or _fits(value, frame)


def _may_be_angles(value: Any) -> bool:
    return value is None or _fits(value, [_is_number])


_PIECE = {
    "number": int,
    "part": str,
    "zone": str,
    "wood": str,
    "tone": str,
    "outline": _is_outline,
    "blank?": _is_outline,
    "grain": _is_number,
    "overall": _is_number,
    "edge": _is_number,
    "width": _is_number,
    "row": int,
    "glue_up": int,
}
_PART = {
    "mark": str,
    "count": int,
    "spares": int,
    "wood": str,
    "width": _is_number,
    "strip_width": _may_be_number,
    "edge": _is_number,
    "overall": _is_number,
    "mitres": _is_pair,
    "handling": str,
    "ripped": _is_flag,
    "numbers": [int],
    "cut?": [int],
}
_STICK = {
    "name": str,
    "wood": str,
    "width": _is_number,
    "strip_width": _is_number,
    "length": _is_number,
    "left_over": _is_number,
}
_BOUND = {"wood": str, "width": _is_number, "sticks": int, "to_buy?": int}
_TOTALS = {
    **dict.fromkeys(("pieces", "parts", "cuts", "setups", "glue_ups", "sticks"), int),
    **dict.fromkeys(("thinnest", "shortest_edge", "wood_area", "net_length"), _is_number),
    "sticks_to_buy": _is_numbers_by_name,
}
_LAYOUT = {
    "edge": _is_outline,
    "middle": _is_pair,
    "moved": _is_pair,
    "shift": _is_pair,
    "angle": _is_number,
    "mirror": str,
    "centre": str,
    "strip_width": _may_be_number,
    "field_width": _may_be_number,
    "set": _is_numbers_by_name,
}
_PLAN = {
    "name": str,
    "mark": str,
    "units": lambda text: text in ("in", "mm"),
    "order": str,
    "pattern?": str,
    "tape?": lambda mm: _is_number(mm) and mm > 0.0,
    "gap?": _is_number,
    "kerf": _is_number,
    "end_trim?": _is_number,
    "holding": _is_number,
    "saw_zero?": _is_number,
    "saw_angles?": _may_be_angles,
    "opening": {
        "outline": _is_outline,
        "width": _is_number,
        "depth": _is_number,
        "clearance": _is_number,
    },
    "looks?": {"frame?": _may_be_frame, "colours?": _is_text_by_name},
    "layout?": _LAYOUT,
    "pieces": [_PIECE],
    "parts": [_PART],
    "setups": [{"parts": [str]}],
    "sticks": [_STICK],
    "bounds": [_BOUND],
    "accounts": [{"left_over": _is_number}],
    "shopping": [{"what": str, "price": _may_be_number}],
    "uncovered": {"area": _is_number, "outlines": [_is_outline]},
    "stages?": [{"stage": str, "numbers": [int]}],
    "refit?": {"cut": [int]},
    "notes": [{"code": str, "text": str}],
    "totals": _TOTALS,
}
