"""Kept marks: pieces and parts of a refit are called what they were called in the earlier plan.

Comes in: pieces and parts with numbers and letters of their own, and the tables of the earlier
plan. Goes out: the same with the numbers and letters of that plan.

A piece has the number of the piece that lay in its place; new pieces go on after the last. A part
that is cut to the same measures keeps its letter; one of other measures gets a letter that was not
in use, so that no stop is set from an old card.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import shapely

from tesselath.field import Loose, Piece
from tesselath.measure import SNAP_GRID
from tesselath.parts import Part, mark_letters
from tesselath.shape import as_outline, group_alike

__all__ = ["keep_marks", "keep_numbers"]

#: Two pieces that share this much of the smaller one stand for each other.
_ITS_PLACE = 0.5


def keep_numbers(
    loose: Sequence[Loose], old: Sequence[Mapping[str, Any]], *, last: int
) -> tuple[Loose, ...]:
    """Give pieces the numbers of the pieces they stand for in an earlier plan.

    The two that share most go together first.
    """
    pairs: list[tuple[float, int, int]] = []
    if loose and old:
        shapes = np.array([shapely.Polygon(p.outline) for p in loose])
        before = np.array([shapely.Polygon(as_outline(row["outline"])) for row in old])
        i, j = shapely.STRtree(before).query(shapes, predicate="intersects")
        shared = shapely.area(shapely.intersection(shapes[i], before[j], grid_size=SNAP_GRID))
        less = np.minimum(shapely.area(shapes[i]), shapely.area(before[j]))
        more = np.maximum(shapely.area(shapes[i]), shapely.area(before[j]))
        pairs = [
            (-round(float(s / m), 9), int(b), int(a))
            for a, b, s, f, m in zip(i, j, shared, less, more, strict=True)
            if s >= _ITS_PLACE * f and loose[a].zone == old[b]["zone"]
        ]
    numbers: dict[int, int] = {}
    used: set[int] = set()
    for _, b, a in sorted(pairs):
        if a not in numbers and b not in used:
            numbers[a] = int(old[b]["number"])
            used.add(b)
    given = []
    for n, piece in enumerate(loose):
        if n not in numbers:
            last += 1
        given.append(replace(piece, number=numbers.get(n, last)))
    return tuple(sorted(given, key=lambda piece: piece.number))


def keep_marks(
    pieces: Sequence[Piece], parts: Sequence[Part], tables: Mapping[str, Any], *, faces: str
) -> tuple[tuple[Piece, ...], tuple[Part, ...]]:
    """Give parts the letters of an earlier plan."""
    widths = {part["mark"]: part["strip_width"] for part in tables["parts"]}
    samples: dict[str, Mapping[str, Any]] = {}
    for row in tables["pieces"]:
        samples.setdefault(row["part"], row)
    known = list(samples.values())
    firsts = {piece.part: piece for piece in reversed(pieces)}
    mine = [firsts[part.mark] for part in parts]
    kinds = group_alike(
        [p.cut_outline for p in mine] + [as_outline(r.get("blank", r["outline"])) for r in known],
        [p.grain for p in mine] + [r["grain"] for r in known],
        [(part.wood, _rounded(part.strip_width)) for part in parts]
        + [(r["wood"], _rounded(r.get("strip_width", widths.get(r["part"])))) for r in known],
    )
    hands = kinds.hand if faces == "one" else kinds.hand * 0
    old = {
        (int(kinds.kind[n]), int(hands[n])): row["part"] for n, row in enumerate(known, len(parts))
    }
    marks: dict[str, str] = {}
    for n, part in enumerate(parts):
        found = old.get((int(kinds.kind[n]), int(hands[n])))
        if found is not None and found not in marks.values():
            marks[part.mark] = found
    marks |= _new_marks([p.mark for p in parts if p.mark not in marks], used=list(samples))
    renamed = [
        replace(
            part,
            mark=marks[part.mark],
            handed_pair=None if part.handed_pair is None else marks[part.handed_pair],
        )
        for part in parts
    ]
    return (
        tuple(replace(piece, part=marks[piece.part]) for piece in pieces),
        tuple(sorted(renamed, key=lambda part: (len(_letter(part.mark)), part.mark))),
    )


def _new_marks(marks: Sequence[str], *, used: Sequence[str]) -> dict[str, str]:
    """Go on after the last letter in use; the two hands of a pair share theirs."""
    letters = {_letter(mark) for mark in used}
    n = 0
    while letters:
        letters.discard(mark_letters(n))
        n += 1
    fresh: dict[str, str] = {}
    given = {}
    for mark in marks:
        letter = _letter(mark)
        if letter not in fresh:
            fresh[letter] = mark_letters(n + len(fresh))
        given[mark] = fresh[letter] + mark.removeprefix(letter)
    return given


def _letter(mark: str) -> str:
    return mark.partition("-")[0]


def _rounded(width: float | None) -> float | None:
    return None if width is None else round(width, 2)
