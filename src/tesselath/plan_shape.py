"""Plan shape: whether a plan.json still holds what those who read it look for.

Comes in: what JSON made of a file. Goes out: yes or no. Refuses: nothing.

A plan.json may come from another version, or have been meddled with by hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite
from typing import Any

__all__ = ["is_plan"]

_NUMBER = (int, float)
_TOP = {
    "name": str, "mark": str, "units": str, "order": str, "kerf": _NUMBER, "holding": _NUMBER,
    "opening": dict, "uncovered": dict, "totals": dict, "pieces": list, "parts": list,
    "setups": list, "sticks": list, "accounts": list, "shopping": list, "notes": list,
}  # fmt: skip
_PIECE = {
    "number": int, "part": str, "zone": str, "wood": str, "tone": str, "outline": list,
    "grain": _NUMBER, "overall": _NUMBER, "edge": _NUMBER, "width": _NUMBER, "row": int,
    "glue_up": int,
}  # fmt: skip
_PART = {
    "mark": str, "count": int, "spares": int, "wood": str, "width": _NUMBER, "edge": _NUMBER,
    "overall": _NUMBER, "mitres": list, "numbers": list,
}  # fmt: skip
_LAYOUT = {
    "edge": list, "middle": list, "moved": list, "angle": _NUMBER, "shift": list,
    "mirror": str, "centre": str, "set": dict,
}  # fmt: skip


def is_plan(tables: Any) -> bool:
    """Tell whether what was read from a plan.json has the shape of a plan.

    Parameters
    ----------
    tables : object
        What JSON made of it.

    Returns
    -------
    bool
        Whether every stage that reads a plan finds what it looks for.

    Raises
    ------
    ValueError
        Never.

    Notes
    -----
    Source: own derivation.
    """
    if not _has(tables, _TOP):
        return False
    pieces, parts, layout = tables["pieces"], tables["parts"], tables.get("layout")
    if not all(_has(p, _PIECE) for p in pieces) or not all(_has(p, _PART) for p in parts):
        return False
    marks = {part["mark"] for part in parts}
    outlines = [p[key] for p in pieces for key in ("outline", "blank") if key in p]
    if layout is not None and not _has(layout, _LAYOUT):
        return False
    outlines += [] if layout is None else [layout["edge"]]
    return (
        bool(pieces)
        and len({piece["number"] for piece in pieces}) == len(pieces)
        and all(piece["part"] in marks for piece in pieces)
        and all(_is_outline(outline) for outline in outlines)
    )


def _has(table: Any, keys: Mapping[str, Any]) -> bool:
    return isinstance(table, dict) and all(isinstance(table.get(k), t) for k, t in keys.items())


def _is_outline(points: Any) -> bool:
    return (
        isinstance(points, list)
        and len(points) > 2
        and all(
            isinstance(xy, list)
            and len(xy) == 2
            and all(isinstance(v, _NUMBER) and isfinite(v) for v in xy)
            for xy in points
        )
    )
