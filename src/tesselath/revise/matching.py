"""Matching: which pieces of one plan are still there in another plan of the same top.

Comes in: the tables of two plans (``plan.json``). Goes out: which pieces stay, which have another
number, which have changed, which are new and which are gone.

A piece is the same when it has its wood and its outline in its place; its number comes second,
since a piece more in one row gives every later one another number.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from tesselath.measure import ALIKE

__all__ = ["Matched", "match_pieces"]

#: Two pieces of one number that share less than this of the smaller one are two different pieces.
_SHARED = 0.5


@dataclass(frozen=True, slots=True)
class Matched:
    """What became of the pieces; all numbers ascending.

    ``kept`` keep number, place, shape and wood; ``renumbered`` are (old, new) numbers of pieces
    that only have another number; ``changed`` keep their number and about their place, with
    another outline or wood; ``new`` and ``gone`` are in one of the plans only.
    """

    kept: tuple[int, ...]
    renumbered: tuple[tuple[int, int], ...]
    changed: tuple[int, ...]
    new: tuple[int, ...]
    gone: tuple[int, ...]

    @property
    def is_all(self) -> bool:
        """Whether every piece has stayed as it was."""
        return not (self.renumbered or self.changed or self.new or self.gone)


def match_pieces(before: Mapping[str, Any], after: Mapping[str, Any]) -> Matched:
    """Find the pieces of one plan in another.

    Source: the Hausdorff distance, by which outlines are held against each other.

    Parameters
    ----------
    before, after : mapping
        The contents of two plan.json of the same top.
    """
    old = {piece["number"]: piece for piece in before["pieces"]}
    new = {piece["number"]: piece for piece in after["pieces"]}
    both = [number for number in new if number in old]
    same = _alike([old[n] for n in both], [new[n] for n in both])
    kept = [n for n, alike in zip(both, same, strict=True) if alike]
    left_old = [n for n in old if n not in set(kept)]
    left_new = [n for n in new if n not in set(kept)]
    renumbered = _found_again(old, new, left_old, left_new)
    moved_old = {a for a, _ in renumbered}
    moved_new = {b for _, b in renumbered}
    left_old = [n for n in left_old if n not in moved_old]
    left_new = [n for n in left_new if n not in moved_new]
    rest = [n for n in left_new if n in old and n not in moved_old]
    changed = [n for n in rest if _mostly_shared(old[n], new[n])]
    return Matched(
        kept=tuple(sorted(kept)),
        renumbered=tuple(sorted(renumbered)),
        changed=tuple(sorted(changed)),
        new=tuple(sorted(n for n in left_new if n not in set(changed))),
        gone=tuple(sorted(n for n in left_old if n not in set(changed))),
    )


def _rings(pieces: list[Mapping[str, Any]]) -> Any:
    return np.array([shapely.LinearRing(piece["outline"]) for piece in pieces], dtype=object)


def _alike(old: list[Mapping[str, Any]], new: list[Mapping[str, Any]]) -> list[bool]:
    """Tell for each pair whether wood and outline are the same."""
    if not old:
        return []
    apart = shapely.hausdorff_distance(_rings(old), _rings(new))
    return [
        bool(distance <= ALIKE) and a["wood"] == b["wood"] and a["zone"] == b["zone"]
        for distance, a, b in zip(apart, old, new, strict=True)
    ]


def _found_again(
    old: Mapping[int, Mapping[str, Any]],
    new: Mapping[int, Mapping[str, Any]],
    left_old: list[int],
    left_new: list[int],
) -> list[tuple[int, int]]:
    """Find pieces that lie where they lay, under another number."""
    if not left_old or not left_new:
        return []
    tree = shapely.STRtree(shapely.polygons(_rings([new[n] for n in left_new])))
    inner = shapely.point_on_surface(shapely.polygons(_rings([old[n] for n in left_old])))
    which, hit = tree.query(inner, predicate="intersects")
    pairs = [(left_old[i], left_new[j]) for i, j in zip(which, hit, strict=True)]
    same = _alike([old[a] for a, _ in pairs], [new[b] for _, b in pairs])
    return [pair for pair, alike in zip(pairs, same, strict=True) if alike]


def _mostly_shared(old: Mapping[str, Any], new: Mapping[str, Any]) -> bool:
    a, b = shapely.Polygon(old["outline"]), shapely.Polygon(new["outline"])
    return bool(shapely.intersection(a, b).area >= _SHARED * min(a.area, b.area))
