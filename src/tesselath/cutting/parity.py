"""Parity: the most valuable stick when pieces may be turned and every end is straight.

Comes in: joint tables, whole-number prices and limits of the pieces. Goes out: for each kind of
stick fillings of high value, or a ceiling on the value of any. Pieces with pointed ends, or that
may not be turned, have no such table.

The runs of the cuts are places on a line, and every piece crosses the intervals between its two.
An interval crossed an odd number of times costs its width once, so the table keeps, besides the
weight, which of a few wide intervals are odd::

    -r        0        +r         a trapezoid crosses both intervals, a piece with one square
     |--------|--------|          end one of them, a parallelogram none
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from tesselath.cutting.gaps import RUNS_ALIKE, kerf_along
from tesselath.cutting.grid import round_down
from tesselath.cutting.joints import Joints
from tesselath.measure import ALIKE

__all__ = ["ParityGrid", "lay_parity_grid", "parity_fillings", "parity_values"]

Ints = NDArray[np.int64]

#: Says what is left of a stick that holds so many of each piece [mm].
Spare = Callable[[Ints], float]

_NEVER = -(1 << 60)

#: So many intervals are watched, the widest; the others count as even.
_INTERVALS = 3


@dataclass(frozen=True, slots=True)
class ParityGrid:
    """Weights and crossings in whole units.

    ``masks`` has a bit for every watched interval a piece crosses; ``rooms[kind][state]`` is the
    weight that fits when the intervals of ``state`` are odd, below 0 where nothing does.
    """

    unit: float
    weights: Ints
    masks: tuple[int, ...]
    states: int
    rooms: tuple[tuple[int, ...], ...]


def lay_parity_grid(joints: Joints, lengths: Sequence[float], unit: float) -> ParityGrid | None:
    """Express weights and intervals in whole units, rounded so that no real stick is missed.

    The first part of the closed form.
    """
    sawing, pieces = joints.sawing, joints.pieces
    if not all(
        piece.turn and piece.left.is_straight and piece.right.is_straight for piece in pieces
    ):
        return None
    roll = any(piece.roll for piece in pieces)
    weights = []
    ends = []
    for piece in pieces:
        weight = piece.length
        places = []
        for end in (piece.left, piece.right):
            run = end.runs[0]
            along = kerf_along(run, width=sawing.width, kerf=sawing.kerf)
            weight += along / 2
            place = math.copysign(abs(run) - (along - sawing.kerf), run)
            places.append(abs(place) if roll else place)
        weights.append(max(1, round_down(weight, unit)))
        ends.append((min(places), max(places)))
    line = sorted({0.0, *(place for pair in ends for place in pair)})
    watched = sorted(
        (span for span in pairwise(line) if span[1] - span[0] >= RUNS_ALIKE),
        key=lambda span: (span[0] - span[1], span),
    )[:_INTERVALS]
    masks = tuple(
        sum(1 << bit for bit, (a, b) in enumerate(watched) if low <= a and b <= high)
        for low, high in ends
    )
    tail = -sawing.holding if sawing.holding > 0 else sawing.kerf
    states = 1 << len(watched)
    jumps = [
        sum(b - a for bit, (a, b) in enumerate(watched) if state >> bit & 1) / 2
        for state in range(states)
    ]
    rooms = tuple(
        tuple(
            math.floor((length - sawing.end_trim + tail - jump + 2 * ALIKE) / unit)
            for jump in jumps
        )
        for length in lengths
    )
    return ParityGrid(unit, np.array(weights, np.int64), masks, states, rooms)


def parity_values(prices: Ints, limits: Ints, grid: ParityGrid) -> list[int]:
    """Find what no stick of each kind can be worth more than."""
    best = _empty(grid)
    for _, copies, mask, weight, price in _parcels(prices, limits, grid):
        np.maximum(
            best[:, copies * weight :],
            _offer(best, copies, mask, weight, price),
            out=best[:, copies * weight :],
        )
    return [
        max(0, *(int(best[state, room]) for state, room in enumerate(rooms) if room >= 0))
        if max(rooms) >= 0
        else 0
        for rooms in grid.rooms
    ]


def parity_fillings(
    prices: Ints,
    limits: Ints,
    grid: ParityGrid,
    *,
    spare: Sequence[Spare],
    tries: int,
) -> list[tuple[int, Ints] | None]:
    """Find a valuable filling of each kind whose joints do fit."""
    best = _empty(grid)
    parcels = _parcels(prices, limits, grid)
    taken = np.zeros((len(parcels), *best.shape), np.bool_)
    for row, (_, copies, mask, weight, price) in enumerate(parcels):
        size = copies * weight
        offer = _offer(best, copies, mask, weight, price)
        np.greater(offer, best[:, size:], out=taken[row][:, size:])
        np.maximum(best[:, size:], offer, out=best[:, size:])
    results: list[tuple[int, Ints] | None] = []
    for kind, rooms in enumerate(grid.rooms):
        found: tuple[int, Ints] | None = None
        tops = [(int(best[s, room]), s, room) for s, room in enumerate(rooms) if room >= 0]
        for _, state, top in sorted(tops, reverse=True):
            room = top
            for _ in range(tries):
                value = int(best[state, room]) if room >= 0 else 0
                if value <= (found[0] if found else 0):
                    break
                counts = _trace(taken, parcels, len(limits), state, room)
                rest = spare[kind](counts)
                if rest >= -ALIKE:
                    found = (value, counts)
                    break
                room -= max(1, math.ceil(-rest / grid.unit))
        results.append(found)
    return results


def _empty(grid: ParityGrid) -> Ints:
    room = max(0, *(max(rooms) for rooms in grid.rooms))
    best = np.full((grid.states, room + 1), _NEVER, np.int64)
    best[0] = 0
    return best


def _offer(best: Ints, copies: int, mask: int, weight: int, price: int) -> Ints:
    """Value every state with one more parcel in it."""
    source = best[:, : best.shape[1] - copies * weight]
    if mask and copies % 2:
        source = source[np.arange(best.shape[0]) ^ mask]
    return np.asarray(source + copies * price, np.int64)


def _parcels(prices: Ints, limits: Ints, grid: ParityGrid) -> list[tuple[int, int, int, int, int]]:
    """Split limits into parcels: single copies, which turn the crossings, and even ones."""
    room = max(0, *(max(rooms) for rooms in grid.rooms))
    parcels = []
    for piece, (price, limit, weight) in enumerate(
        zip(prices.tolist(), limits.tolist(), grid.weights.tolist(), strict=True)
    ):
        left = min(limit, room // weight)
        if price <= 0 or left <= 0:
            continue
        mask = grid.masks[piece]
        singles = 2 - left % 2
        parcels += [(piece, 1, mask, weight, price)] * singles
        left -= singles
        copies = 2
        while left > 0:
            copies = min(copies, left)
            parcels.append((piece, copies, 0, weight, price))
            left -= copies
            copies *= 2
    return parcels


def _trace(
    taken: NDArray[np.bool_],
    parcels: Sequence[tuple[int, int, int, int, int]],
    pieces: int,
    state: int,
    room: int,
) -> Ints:
    counts = np.zeros(pieces, np.int64)
    for row in range(len(parcels) - 1, -1, -1):
        if taken[row, state, room]:
            piece, copies, mask, weight, _ = parcels[row]
            counts[piece] += copies
            room -= copies * weight
            state ^= mask if copies % 2 else 0
    return counts
