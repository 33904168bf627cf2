"""The grid: lengths as whole numbers of a unit.

Comes in: weights and rooms in mm. Goes out: whole numbers, rounded so that plans stay feasible and
proofs stay true.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tesselath.measure import ALIKE, ON_THE_LINE

__all__ = ["FINEST", "Grid", "choose_grids", "lay_grid", "round_down", "round_up"]

Ints = NDArray[np.int64]

#: The finest unit where lengths follow no tape [mm].
FINEST = 0.01

#: One sixty-fourth of an inch, the finest tape in inches [mm].
SIXTY_FOURTH = 25.4 / 64

#: A table of more cells is first tried on a coarser grid.
_CELLS = 60_000
_COARSE_CELLS = 20_000


@dataclass(frozen=True, slots=True)
class Grid:
    """Weights and rooms in whole units; ``exact`` where no length was rounded.

    ``heavy`` weights are rounded up and make plans that fit; ``light`` ones are rounded down and
    make bounds that hold. A stick may be overdrawn by less than ``ALIKE``; ``rooms`` leave half
    of that for noise in the weights, ``wide_rooms`` count it twice.
    """

    unit: float
    heavy: Ints
    light: Ints
    rooms: tuple[int, ...]
    wide_rooms: tuple[int, ...]
    exact: bool


def choose_grids(weights: Sequence[float], rooms: Sequence[float]) -> tuple[Grid, ...]:
    """Choose the units to plan in, the coarsest first, the last one the finest worth using.

    Blocks of 9 1/2 in with a kerf of 1/8 in are whole in 1/64 in, and in 77/8 in as well:

    >>> grids = choose_grids([9.625 * 25.4], [48.125 * 25.4])
    >>> len(grids), grids[0].exact, grids[0].heavy.tolist(), grids[0].rooms
    (1, True, [1], (5,))
    """
    unit = FINEST
    for tape in (SIXTY_FOURTH, FINEST):
        whole = [_nearest(weight / tape) for weight in weights]
        off = [abs(n * tape - weight) for n, weight in zip(whole, weights, strict=True)]
        if max(off) <= ON_THE_LINE:
            unit = tape * max(1, math.gcd(*whole))
            break
    finest = lay_grid(weights, rooms, unit)
    if max(finest.rooms) <= _CELLS:
        return (finest,)
    return lay_grid(weights, rooms, max(rooms) / _COARSE_CELLS), finest


def lay_grid(weights: Sequence[float], rooms: Sequence[float], unit: float) -> Grid:
    """Express weights and rooms in whole units."""
    heavy = np.array([round_up(weight, unit) for weight in weights], np.int64)
    light = np.array([round_down(weight, unit) for weight in weights], np.int64)
    narrow = tuple(max(0, math.floor((room + ALIKE / 2) / unit)) for room in rooms)
    wide = tuple(max(0, math.floor((room + 2 * ALIKE) / unit)) for room in rooms)
    exact = bool((heavy == light).all()) and narrow == wide
    return Grid(unit, heavy, light, narrow, wide, exact)


def round_up(length: float, unit: float) -> int:
    """Count the units that cover a length [mm]; noise below a named tolerance does not count."""
    return math.ceil((length - ON_THE_LINE) / unit)


def round_down(length: float, unit: float) -> int:
    """Count the whole units in a length [mm]; noise below a named tolerance does not count."""
    return math.floor((length + ON_THE_LINE) / unit)


def _nearest(value: float) -> int:
    return math.floor(value + 0.5)
