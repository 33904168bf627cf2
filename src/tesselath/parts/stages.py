"""Stages: which pieces are cut first, and which only when the opening has been measured again.

Comes in: the pieces and the zones they lie in. Goes out: inner pieces, edge pieces, corner pieces.

An edge piece has a side on the outer edge of the field or of a border; a corner piece has sides on
two that meet. What is let into a finished frame is cut in this order::

    +-----------------------+
    | c |   e   e   e   | c |     1  inner pieces: cut, glue
    |---+---------------+---|        measure the opening again, refit
    | e |   inner       | e |     2  edge pieces e
    |---+---------------+---|
    | c |   e   e   e   | c |     3  corner pieces c, last, one at a time
    +-----------------------+

A field that is trimmed after gluing, or whose edge the frame covers, is cut in one go.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tesselath.field import Piece
from tesselath.measure import ALIKE
from tesselath.shape import Outline

__all__ = ["Stage", "plan_stages", "stage_of"]

#: Sides of an opening that turn less than this against each other are one curve [degrees].
_CURVE = 15.0

_WORDS = {
    "all": "Cut these in the order of the set-ups, and glue them.",
    "inner": "Cut and glue these first; then measure the opening again and refit the rest.",
    "edge": "Cut these to the opening as measured; trim by hand until they fit.",
    "corner": "Cut these last, one at a time, each to the place as measured.",
}


@dataclass(frozen=True, slots=True)
class Stage:
    """Pieces that are cut in one go: ``name`` is "all", "inner", "edge" or "corner"."""

    name: str
    do: str
    numbers: tuple[int, ...]


def plan_stages(
    pieces: Sequence[Piece], zones: Mapping[str, Outline], *, order: str
) -> tuple[Stage, ...]:
    """Put pieces in the order in which they are best cut.

    Source: common practice: what hangs on the opening is cut when the opening can be measured.

    Parameters
    ----------
    zones : mapping of str to array (n, 2)
        The outer edge of each zone as it lies finished, by name [mm].
    order : {"let in", "trim", "lap"}
        The order of work.

    Returns
    -------
    tuple of Stage
        The stages that have pieces, in order; numbers ascending.
    """
    left = list(pieces)
    groups: dict[str, list[int]] = {"all": [], "inner": [], "edge": [], "corner": []}
    if order != "let in":
        groups["all"] = [piece.number for piece in left]
        left = []
    for zone in dict.fromkeys(piece.zone for piece in left):
        mine = [piece for piece in left if piece.zone == zone]
        found = ["inner"] * len(mine)
        if not zone.startswith("medallion"):
            found = _found([piece.outline for piece in mine], zones[zone])
        for piece, name in zip(mine, found, strict=True):
            groups[name].append(piece.number)
    return tuple(
        Stage(name, _WORDS[name], tuple(sorted(numbers)))
        for name, numbers in groups.items()
        if numbers
    )


def stage_of(stages: Sequence[Stage]) -> dict[int, str]:
    """Give the name of the stage of each piece by its number."""
    return {number: stage.name for stage in stages for number in stage.numbers}


def _found(outlines: Sequence[Outline], rim: Outline) -> list[str]:
    """Tell of each piece whether it has a side on the rim, or sides on two that meet."""
    sizes = np.array([len(outline) for outline in outlines])
    corners = np.concatenate(outlines)
    owner = np.repeat(np.arange(len(outlines)), sizes)
    following = np.arange(1, len(corners) + 1)
    following[np.cumsum(sizes) - 1] = np.cumsum(sizes) - sizes
    on = np.zeros((len(rim), len(outlines)), dtype=bool)
    for n, (start, end) in enumerate(zip(rim, np.roll(rim, -1, axis=0), strict=True)):
        on[n, owner[_sides_along(corners, following, start, end)]] = True
    in_corner = (on & np.roll(on, -1, axis=0))[_is_sharp(rim)].any(axis=0)
    names = np.where(in_corner, "corner", np.where(on.any(axis=0), "edge", "inner"))
    return [str(name) for name in names]


def _is_sharp(rim: Outline) -> NDArray[np.bool_]:
    """Tell of each side of a rim whether it meets the next in a corner."""
    ways = np.roll(rim, -1, axis=0) - rim
    angles = np.degrees(np.arctan2(ways[:, 1], ways[:, 0]))
    turn = (np.roll(angles, -1) - angles + 180.0) % 360.0 - 180.0
    sharp: NDArray[np.bool_] = np.abs(turn) > _CURVE
    return sharp


def _sides_along(
    corners: NDArray[np.float64],
    following: NDArray[np.int64],
    start: NDArray[np.float64],
    end: NDArray[np.float64],
) -> NDArray[np.bool_]:
    """Tell of each corner whether the side from it lies along one side of a rim."""
    way = end - start
    length = float(np.hypot(*way))
    if length <= ALIKE:
        return np.zeros(len(corners), dtype=bool)
    way = way / length
    rel = corners - start
    on = np.abs(rel[:, 0] * way[1] - rel[:, 1] * way[0]) <= ALIKE
    along = np.clip(rel @ way, 0.0, length)
    # A corner alone on the rim makes no edge piece.
    lies: NDArray[np.bool_] = on & on[following] & (np.abs(along[following] - along) > 2 * ALIKE)
    return lies
