"""The inspector and the parts: numbers, marks, measures, and what is alike.

Comes in: ``plan.json`` as read, and the terms of the design. Goes out: nothing. Refuses, with an
AssertionError, pieces that are counted, measured or grouped otherwise than the contract says.
"""

from __future__ import annotations

import math
import re
from itertools import combinations

from inspector_shapes import (
    ALIKE,
    CERTAINLY_SAME,
    SAME,
    Plan,
    along_x,
    close,
    cut_outline,
    difference,
    measure,
)
from inspector_terms import Terms

__all__ = [
    "alike",
    "check_congruence",
    "check_marks",
    "check_measures",
    "check_numbers",
    "check_parts",
    "inspect_parts",
]


def inspect_parts(plan: Plan, terms: Terms) -> None:
    """Run every check of this module on a plan."""
    check_numbers(plan)
    check_marks(plan)
    check_parts(plan, terms)
    check_measures(plan)
    check_congruence(plan, terms)


def check_numbers(plan: Plan) -> None:
    """The pieces are numbered 1 to n, each once, and lie in that order."""
    numbers = [piece["number"] for piece in plan["pieces"]]
    assert numbers == list(range(1, len(numbers) + 1)), f"numbers run {numbers[:20]}..."


def check_marks(plan: Plan) -> None:
    """Marks are letters without I, O and Q; -L and -R stand on handed pairs only."""
    marks = [part["mark"] for part in plan["parts"]]
    assert len(set(marks)) == len(marks), f"a mark is given twice: {marks}"
    for part in plan["parts"]:
        mark, twin = part["mark"], part["handed_pair"]
        match = re.fullmatch(r"([A-HJ-NPR-Z]+)(-[LR])?", mark)
        assert match, f"mark {mark!r}"
        letters, hand = match.groups()
        assert (hand is not None) == bool(twin), f"part {mark}: handed_pair is {twin!r}"
        if hand:
            wanted = letters + ("-R" if hand == "-L" else "-L")
            assert twin == wanted, f"part {mark}: its twin is called {twin!r}, not {wanted}"
            assert twin in marks, f"part {mark}: there is no part {twin}"
    bases = dict.fromkeys(mark.split("-")[0] for mark in marks)
    letters = "ABCDEFGHJKLMNPRSTUVWXYZ"
    wanted_bases = [*letters, *(a + b for a in letters for b in letters)][: len(bases)]
    assert sorted(bases) == sorted(wanted_bases), f"letters run {list(bases)}"


def check_parts(plan: Plan, terms: Terms) -> None:
    """Counts, woods and lists of numbers of the parts are those of the pieces."""
    by_part: dict[str, list[Plan]] = {}
    for piece in plan["pieces"]:
        by_part.setdefault(piece["part"], []).append(piece)
    assert set(by_part) == {part["mark"] for part in plan["parts"]}, "parts without pieces"
    for part in plan["parts"]:
        pieces = by_part[part["mark"]]
        say = f"part {part['mark']}"
        assert part["numbers"] == [p["number"] for p in pieces], f"{say}: numbers"
        assert part["count"] == len(pieces), f"{say}: count {part['count']}, has {len(pieces)}"
        assert {p["wood"] for p in pieces} == {part["wood"]}, f"{say}: woods are mixed"
        spares = math.ceil(part["count"] * terms.spares - 1e-9) if part["count"] >= 6 else 0
        assert part["spares"] == spares, f"{say}: {part['spares']} spares, should be {spares}"
    for piece in plan["pieces"]:
        if piece["zone"] == "field" and piece["tone"] in terms.tones:
            wood = terms.tones[piece["tone"]]
            assert piece["wood"] == wood, f"piece {piece['number']}: {piece['wood']}, not {wood}"


def check_measures(plan: Plan) -> None:
    """Overall, width and edge of every piece are those of what is cut, along its grain."""
    parts = {part["mark"]: part for part in plan["parts"]}
    for piece in plan["pieces"]:
        say = f"piece {piece['number']}"
        overall, width, edge = measure(cut_outline(piece), piece["grain"])
        assert 0.0 <= piece["grain"] < 180.0, f"{say}: grain {piece['grain']}"
        # A piece may carry the measures of the first of its kind.
        close(piece["overall"], overall, ALIKE, f"{say}: overall")
        close(piece["width"], width, ALIKE, f"{say}: width")
        near = min(edge, key=lambda length: abs(length - piece["edge"]))
        close(piece["edge"], near, ALIKE, f"{say}: edge")
        part = parts[piece["part"]]
        for key in ("overall", "width", "edge"):
            close(part[key], piece[key], SAME, f"{say} of part {part['mark']}: {key}")


def check_congruence(plan: Plan, terms: Terms) -> None:
    """Pieces of a part are alike, and pieces of two parts of one wood are not."""
    pieces = {piece["number"]: piece for piece in plan["pieces"]}
    for part in plan["parts"]:
        first, *rest = (pieces[number] for number in part["numbers"])
        for piece in rest:
            off = alike(first, piece, mirrored=terms.may_roll)
            assert off <= SAME, (
                f"part {part['mark']}: pieces {first['number']} and {piece['number']} differ "
                f"by {off:.4f} mm"
            )
    for a, b in combinations(plan["parts"], 2):
        if a["wood"] != b["wood"] or a["strip_width"] != b["strip_width"]:
            continue
        if abs(a["overall"] - b["overall"]) > SAME or abs(a["width"] - b["width"]) > SAME:
            continue
        first, second = pieces[a["numbers"][0]], pieces[b["numbers"][0]]
        say = f"parts {a['mark']} (piece {first['number']}) and {b['mark']} ({second['number']})"
        off = alike(first, second, mirrored=terms.may_roll)
        assert off > CERTAINLY_SAME, f"{say} are alike within {off:.6f} mm"
        if not terms.may_roll and alike(first, second, mirrored=True) <= CERTAINLY_SAME:
            assert a["handed_pair"] == b["mark"], f"{say} are mirror images, and not a pair"
    for part in plan["parts"]:
        if part["handed_pair"]:
            twin = next(p for p in plan["parts"] if p["mark"] == part["handed_pair"])
            first, second = pieces[part["numbers"][0]], pieces[twin["numbers"][0]]
            off = alike(first, second, mirrored=True)
            assert off <= SAME, f"{part['mark']} and {twin['mark']} are no mirror images: {off}"
            assert part["wood"] == twin["wood"], f"{part['mark']}: its twin is of another wood"


def alike(first: Plan, second: Plan, *, mirrored: bool) -> float:
    """Say by how much two pieces differ when laid on each other with their grain along [mm]."""
    a = along_x(cut_outline(first), first["grain"])
    b = along_x(cut_outline(second), second["grain"])
    return difference(a, b, mirrored=mirrored)
