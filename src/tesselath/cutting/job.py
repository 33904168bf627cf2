"""The job: what every stage of the planning asks about pieces and sticks.

Comes in: the pieces, the kinds of stick, and how the stick is sawn. Goes out: whether pieces fit on
a stick, the most valuable stick for given prices, and a ceiling that no real stick exceeds. See
``stock.check_stock``.

Where every joint can be clean (see ``joints.find_chain``) only weights count. Else a filling
found by weights is tried first, and a walk over all sequences where its joints do not fit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tesselath.cutting.budget import Budget
from tesselath.cutting.grid import FINEST, Grid, choose_grids, lay_grid
from tesselath.cutting.joints import Chain, Joints, find_chain, lay_joints
from tesselath.cutting.knapsack import best_fillings, best_values
from tesselath.cutting.order import Laid, Orders, joint_cost
from tesselath.cutting.parity import (
    ParityGrid,
    lay_parity_grid,
    parity_fillings,
    parity_values,
)
from tesselath.cutting.stock import CutPiece, Sawing, StickKind
from tesselath.cutting.walk import WalkGrid, best_walks, lay_walk_grid
from tesselath.measure import ALIKE

__all__ = ["SCALE", "Ceilings", "Column", "Job", "lay_job"]

Ints = NDArray[np.int64]

#: Prices are whole multiples of one part in so many of the dearest stick.
SCALE = 1 << 30

#: Steps of asking for the best order of the pieces of one stick, and of taking up one parcel.
_ORDER = 10_000
_PARCEL = 4_000

#: The units in which walks are planned, from coarse to fine, in parts of the longest stick.
_WALK_CELLS = (12_000, 60_000)


@dataclass(frozen=True, slots=True)
class Column:
    """One way to fill one kind of stick: how many of each piece, and a sequence if one is known."""

    kind: int
    counts: tuple[int, ...]
    laid: Laid = ()


@dataclass(frozen=True, slots=True)
class Ceilings:
    """The most that one stick of each kind can be worth, and how that was found."""

    values: tuple[int, ...]
    method: str
    unit: float


@dataclass(frozen=True, slots=True)
class Job:
    """The pieces and sticks of one plan; ``costs`` in whole units of the purpose.

    All work on the tables is taken from ``budget``.
    """

    joints: Joints
    chain: Chain | None
    orders: Orders
    lengths: tuple[float, ...]
    costs: tuple[int, ...]
    counts: tuple[int | None, ...]
    demand: Ints
    weights: NDArray[np.float64]
    rooms: tuple[float, ...]
    grids: tuple[Grid, ...]
    walks: tuple[tuple[WalkGrid, WalkGrid], ...]
    parities: tuple[ParityGrid | None, ...]
    budget: Budget

    @property
    def pieces(self) -> int:
        """How many different pieces there are."""
        return len(self.demand)

    def fits(self, counts: Sequence[int] | Ints, kind: int) -> bool:
        """Say whether these many of each piece fit on a stick, by the exact sum."""
        return self.spare(counts, kind) >= -ALIKE

    def spare(self, counts: Sequence[int] | Ints, kind: int) -> float:
        """Give what is left of a stick after the best sequence known [mm]; below 0: no fit."""
        rest = self.rooms[kind] - float(self.weights @ np.asarray(counts))
        if self.chain is not None or rest < -ALIKE:
            return rest
        whole = tuple(int(count) for count in counts)
        self.budget.spend(_ORDER)
        if not any(whole):
            return self.lengths[kind] - self.joints.sawing.end_trim
        lengths = sum(
            count * piece.length
            for count, piece in zip(whole, self.joints.pieces, strict=True)
            if count
        )
        return self.lengths[kind] - self.joints.sawing.end_trim - lengths - self.orders.least(whole)

    def column(self, counts: Sequence[int] | Ints, kind: int) -> Column | None:
        """Make a column of these pieces; None if they do not fit."""
        whole = tuple(int(count) for count in counts)
        return Column(kind, whole) if any(whole) and self.fits(whole, kind) else None

    def best(
        self, prices: Ints, limits: Ints, bars: Sequence[float], *, quick: bool = False
    ) -> list[tuple[int, Column | None]]:
        """Find a valuable stick of each kind, coarse units first: value and column.

        A finer unit is tried only where no kind's value passes its bar, and not at all where a
        quick answer will do.
        """
        found: list[tuple[int, Column | None]] = []
        for level, grid in enumerate(self.grids):
            self.budget.spend(self._cells(level))
            fillings = best_fillings(prices, weights=grid.heavy, limits=limits, rooms=grid.rooms)
            found = [
                (value, self.column(counts, kind)) for kind, (value, counts) in enumerate(fillings)
            ]
            if self.chain is None:
                found = self._mend(prices, limits, bars, found, level)
            if any(
                column is not None and value > bar
                for (value, column), bar in zip(found, bars, strict=True)
            ):
                break
            if quick and self.chain is None:
                break
        return found

    def ceilings(self, prices: Ints, *, level: int = -1) -> list[Ceilings]:
        """Find what no real stick exceeds, one way after the other, in one of the units."""
        grid = self.grids[level]
        self.budget.spend(self._cells(level))
        values = best_values(prices, weights=grid.light, limits=self.demand, rooms=grid.wide_rooms)
        results = [Ceilings(tuple(values), "lengths", grid.unit)]
        if self.chain is None:
            wide = self.walks[level][1]
            self.budget.spend(_walk_cells(wide))
            walked = best_walks(prices, grid=wide, joints=self.joints, routes=False)
            results.append(Ceilings(tuple(value for value, _ in walked), "joints", wide.unit))
            parity = self.parities[level]
            if parity is not None:
                self.budget.spend(parity.states * self._cells(level))
                odd = parity_values(prices, self.demand, parity)
                results.append(Ceilings(tuple(odd), "parity", parity.unit))
        return results

    def _mend(
        self,
        prices: Ints,
        limits: Ints,
        bars: Sequence[float],
        found: list[tuple[int, Column | None]],
        level: int,
    ) -> list[tuple[int, Column | None]]:
        """Replace fillings whose joints do not fit: by parity, else by a walk."""
        parity = self.parities[level] if self.parities else None
        if parity is not None and any(column is None for _, column in found):
            self.budget.spend(parity.states * self._cells(level))
            spares = [
                lambda counts, kind=kind: self.spare(counts, kind)
                for kind in range(len(self.costs))
            ]
            fillings = parity_fillings(prices, limits, parity, spare=spares, tries=6)
            found = [
                pair
                if pair[1] is not None or filling is None
                else (filling[0], Column(kind, tuple(filling[1].tolist())))
                for kind, (pair, filling) in enumerate(zip(found, fillings, strict=True))
            ]
        missing = [
            kind
            for kind, (value, column) in enumerate(found)
            if column is None or value <= bars[kind]
        ]
        if not missing:
            return found
        self.budget.spend(_walk_cells(self.walks[level][0]))
        walks = best_walks(prices, grid=self.walks[level][0], joints=self.joints)
        results = list(found)
        for kind in missing:
            left = limits.tolist()
            kept = []
            for piece, lie in walks[kind][1]:
                if left[piece] > 0:
                    left[piece] -= 1
                    kept.append((piece, lie))
            counts = limits - np.array(left, np.int64)
            column = self._filled_up(prices, counts, limits, kind, tuple(kept))
            worth = int(prices @ np.array(column.counts)) if column else 0
            if column is not None and (found[kind][1] is None or worth > found[kind][0]):
                results[kind] = (worth, column)
        return results

    def _cells(self, level: int) -> int:
        """Count the steps of filling a table of one unit with every parcel of the pieces."""
        grid = self.grids[level]
        room = max(grid.rooms)
        parcels = sum(
            min(int(limit), room // max(int(weight), 1)).bit_length()
            for limit, weight in zip(self.demand, grid.heavy, strict=True)
        )
        return parcels * (room + _PARCEL)

    def _filled_up(
        self, prices: Ints, counts: Ints, limits: Ints, kind: int, laid: Laid
    ) -> Column | None:
        """Add what still fits, dearest first, to a walk that was cut down."""
        if not laid:
            return None
        sequence = laid
        if self.spare(counts, kind) < -ALIKE:  # only the walk's own sequence fits, if any
            taken = joint_cost(self.joints, laid) + sum(
                self.joints.pieces[piece].length for piece, _ in laid
            )
            if self.joints.sawing.end_trim + taken > self.lengths[kind] + ALIKE:
                return None
            return Column(kind, tuple(counts.tolist()), sequence)
        for piece in np.argsort(-prices, kind="stable").tolist():
            while prices[piece] > 0 and counts[piece] < limits[piece]:
                counts[piece] += 1
                if not self.fits(counts, kind):
                    counts[piece] -= 1
                    break
        return Column(kind, tuple(counts.tolist()))


def lay_job(
    pieces: Sequence[CutPiece],
    *,
    kinds: Sequence[StickKind],
    costs: Sequence[int],
    sawing: Sawing,
    budget: Budget,
) -> Job:
    """Prepare all tables for one plan."""
    joints = lay_joints(pieces, sawing)
    chain = find_chain(joints)
    weights = joints.weights()
    rooms = tuple(joints.room(kind.length) for kind in kinds)
    lengths = tuple(kind.length for kind in kinds)
    grids = choose_grids(weights.tolist(), rooms)
    walks: tuple[tuple[WalkGrid, WalkGrid], ...] = ()
    parities: tuple[ParityGrid | None, ...] = ()
    if chain is None:
        units = [max(max(lengths) / cells, FINEST) for cells in _WALK_CELLS]
        grids = tuple(lay_grid(weights.tolist(), rooms, unit) for unit in units)
        walks = tuple(
            (
                lay_walk_grid(joints, lengths, unit, fits=True),
                lay_walk_grid(joints, lengths, unit, fits=False),
            )
            for unit in units
        )
        parities = tuple(lay_parity_grid(joints, lengths, unit) for unit in units)
    return Job(
        joints,
        chain,
        Orders(joints),
        lengths,
        tuple(costs),
        tuple(kind.count for kind in kinds),
        np.array([piece.demand for piece in pieces], np.int64),
        weights,
        rooms,
        grids,
        walks,
        parities,
        budget,
    )


def _walk_cells(grid: WalkGrid) -> int:
    """Count the steps of a walk over every place on the stick."""
    return 5 * (len(grid.weight) + grid.spares.size) * max(grid.rooms)
