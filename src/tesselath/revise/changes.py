"""Changes: what is different between two plans of one top, in sentences.

Comes in: the tables of two plans (``plan.json``), as it was and as it is. Goes out: sentences.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Any

from tesselath.measure import ALIKE, ANGLE_ALIKE, counted, listed, show_numbers
from tesselath.revise.compare import ComparedRow, Tables, compare_plans, show_measure, show_value
from tesselath.revise.matching import Matched, match_pieces

__all__ = ["changed_since", "describe_changes"]

#: So many parts are named one by one; of more only the count is told.
_NAMED = 6


def describe_changes(before: Tables, after: Tables) -> tuple[str, ...]:
    """Say what has changed between two plans of the same top.

    Parameters
    ----------
    before, after : mapping
        The contents of plan.json as it was and as it is.

    Returns
    -------
    tuple of str
        Sentences: what was asked for differently, what became of the pieces and parts, and what
        it takes now. Empty when nothing has changed.
    """
    rows = {row.key: row for row in compare_plans(before, after)}
    asked = [_was(row, before, after) for row in rows.values() if row.key in _ASKED and _told(row)]
    matched = match_pieces(before, after)
    told = [*asked, *_pieces(matched, before, after), *_parts(matched, before, after)]
    takes = [rows[key] for key in _TAKES if key in rows and rows[key].differs]
    if takes:
        told.append("; ".join(_is_was(row, before, after) for row in takes) + ".")
    told += _notes(before, after)
    if not told and before["mark"] != after["mark"]:
        told.append(
            f"The design has changed (mark {after['mark']}, was {before['mark']}), but nothing "
            "that is cut or bought."
        )
    return tuple(text[0].upper() + text[1:] for text in told)


def changed_since(before: Tables, after: Tables) -> tuple[str, ...]:
    """Say in a line or two what a new plan changes against the one it takes the place of.

    Parameters
    ----------
    before, after : mapping
        The contents of plan.json as it was and as it is.

    Returns
    -------
    tuple of str
        What was asked for differently, if anything was; what that comes to. Empty when nothing
        that is cut or bought has changed.
    """
    rows = {row.key: row for row in compare_plans(before, after) if _told(row)}
    asked = "; ".join(_is_was(rows[key], before, after) for key in _ASKED if key in rows)
    comes_to = _pieces(match_pieces(before, after), before, after)
    takes = "; ".join(_is_was(rows[key], before, after) for key in _COMES_TO if key in rows)
    second = " ".join([*comes_to, *([f"{takes[0].upper()}{takes[1:]}."] if takes else [])])
    lines = (f"{asked}." if asked else "", second)
    return tuple(line[0].upper() + line[1:] for line in lines if line)


#: What a line has room for of what a plan takes.
_COMES_TO = ("pieces", "parts", "setups", "sticks_to_buy", "thinnest", "cost")

_ASKED = (
    "pattern",
    "order",
    "opening_width",
    "opening_depth",
    "clearance",
    "strip_width",
    "gap",
    "kerf",
    "saw_zero",
    "saw_angles",
    "tape",
)
_TAKES = (
    "pieces",
    "parts",
    "cuts",
    "setups",
    "glue_ups",
    "sticks",
    "sticks_to_buy",
    "thinnest",
    "shortest_edge",
    "left_over",
    "cost",
)


def _told(row: ComparedRow) -> bool:
    """Whether a figure has changed; what an older plan does not tell has not."""
    return row.differs and row.before is not None


def _is_was(row: ComparedRow, before: Tables, after: Tables) -> str:
    now = show_value(row.after, row.kind, after)
    was = show_value(row.before, row.kind, before)
    return f"{row.what} {now}, was {was}"


def _was(row: ComparedRow, before: Tables, after: Tables) -> str:
    return f"{row.what}: {_is_was(row, before, after).removeprefix(row.what).strip()}."


def _pieces(matched: Matched, before: Tables, after: Tables) -> list[str]:
    """Say which pieces stay and which do not."""
    if matched.is_all:
        return []
    if before.get("pattern") != after.get("pattern"):
        return []
    if not matched.kept and not matched.renumbered:
        return [f"all {len(after['pieces'])} pieces change."]
    told = [f"{counted(len(matched.kept), 'piece stays', 'pieces stay')} as planned"]
    if matched.changed:
        told.append(f"changed: {show_numbers(matched.changed)}")
    if matched.new:
        told.append(f"new: {show_numbers(matched.new)}")
    if matched.gone:
        told.append(f"gone: {show_numbers(matched.gone)}")
    if matched.renumbered:
        old, new = matched.renumbered[0]
        told.append(
            f"{counted(len(matched.renumbered), 'piece has', 'pieces have')} another number only "
            f"({old} is now {new}{', and so on' if len(matched.renumbered) > 1 else ''})"
        )
    return ["; ".join(told) + "."]


def _parts(matched: Matched, before: Tables, after: Tables) -> list[str]:
    """Say which parts are cut to other measures, and which letters stand for another part now.

    Only pieces that are in both plans tell which part has become which.
    """
    if not matched.kept and not matched.renumbered:
        return []
    was = {n: n for n in (*matched.kept, *matched.changed)}
    was |= {new: old for old, new in matched.renumbered}
    part_of = {piece["number"]: piece["part"] for piece in before["pieces"]}
    parts = {part["mark"]: part for part in before["parts"]}
    owner = {new: parts[part_of[old]] for new, old in was.items()}
    measures: list[str] = []
    letters: dict[str, list[str]] = {}
    for part in after["parts"]:
        marks = Counter(owner[n]["mark"] for n in part["numbers"] if n in owner)
        if not marks:
            continue
        most = max(marks, key=lambda mark: (marks[mark], mark == part["mark"]))
        old = parts[most]
        if _measures_differ(old, part):
            measures.append(_new_measures(old, part, before, after))
        elif old["mark"] != part["mark"]:
            letters.setdefault(old["mark"], []).append(part["mark"])
    told = []
    if len(measures) > _NAMED:
        told.append(f"{len(measures)} parts are cut to other measures; see parts.csv.")
    elif measures:
        told.append("; ".join(measures) + ".")
    count = sum(map(len, letters.values()))
    if count > _NAMED:
        told.append(f"{count} parts have another letter; mark the trays anew.")
    elif letters:
        now = (f"part {old} is now called {listed(new)}" for old, new in letters.items())
        told.append("; ".join(now) + ".")
    return told


def _measures_differ(old: Mapping[str, Any], new: Mapping[str, Any]) -> bool:
    lengths = max(abs(old[key] - new[key]) for key in ("edge", "overall", "width"))
    # A part may be described from either end; the steeper mitre first makes both alike.
    mitres = [sorted(abs(float(m)) for m in part["mitres"]) for part in (old, new)]
    turned = max(abs(a - b) for a, b in zip(*mitres, strict=True))
    return bool(lengths > ALIKE or turned > ANGLE_ALIKE or old["wood"] != new["wood"])


def _new_measures(
    old: Mapping[str, Any], new: Mapping[str, Any], before: Tables, after: Tables
) -> str:
    """Say the measures of a part that are different now."""
    told = [
        f"{word} {_now_and_then(new[key], old[key], after, before)}"
        for key, word in (("edge", "edge"), ("overall", "overall"), ("width", "width"))
        if abs(new[key] - old[key]) > ALIKE
    ]
    if old["wood"] != new["wood"]:
        told.append(f"in {new['wood']}, was {old['wood']}")
    if not told:
        told.append("at other angles")
    name = new["mark"] if old["mark"] == new["mark"] else f"{new['mark']} (was {old['mark']})"
    return f"part {name}: {', '.join(told)}"


def _now_and_then(now: float, then: float, after: Tables, before: Tables) -> str:
    """Print two lengths so that they are told apart."""
    shown = [show_measure(now, after), show_measure(then, before)]
    if shown[0] == shown[1]:
        shown = [show_measure(now, after, exact=True), show_measure(then, before, exact=True)]
    return f"{shown[0]}, was {shown[1]}"


def _notes(before: Tables, after: Tables) -> list[str]:
    """Say which doubts have come and which are gone."""
    old = {note["code"]: note["text"] for note in before["notes"]}
    new = {note["code"]: note["text"] for note in after["notes"]}
    told = [f"new note: {_first(text)}" for code, text in new.items() if code not in old]
    return told + [f"no longer: {_first(text)}" for code, text in old.items() if code not in new]


def _first(text: str) -> str:
    """The first sentence of a note."""
    return text.partition(". ")[0].rstrip(".") + "."
