"""Columns: the linear program over all ways to fill a stick, its columns made as needed.

Comes in: a job, and columns that can do it somehow. Goes out: the shares of each column in the best
mixture, and the prices of the pieces. None where the program failed or the budget is spent.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tesselath.cutting.bound import whole_prices
from tesselath.cutting.job import SCALE, Column, Job
from tesselath.cutting.lp_desk import Master

__all__ = ["Mixture", "Pool"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Mixture:
    """The best mixture: its cost, the share of every column of the pool, prices of pieces.

    ``complete`` says that no other column could make it better.
    """

    cost: float
    shares: Floats
    prices: Floats
    complete: bool


class Pool:
    """The columns found so far, and the linear program over them.

    Parameters
    ----------
    job : Job
        The pieces and sticks.
    columns : iterable of Column
        Columns to begin with; together they must be able to do the job.
    """

    __slots__ = ("_limited", "_master", "_seen", "columns", "counts", "job")

    def __init__(self, job: Job, columns: Iterable[Column]) -> None:
        self.job = job
        self.columns: list[Column] = []
        self.counts: list[Ints] = []
        self._limited = [k for k, count in enumerate(job.counts) if count is not None]
        self._seen: set[tuple[int, tuple[int, ...]]] = set()
        lower = job.demand.tolist() + [-np.inf] * len(self._limited)
        upper = [np.inf] * job.pieces + [float(job.counts[k] or 0) for k in self._limited]
        self._master = Master(lower, upper, job.budget)
        for column in columns:
            self.add(column)

    def add(self, column: Column) -> bool:
        """Take in a column; False if it is there already."""
        key = (column.kind, column.counts)
        if key in self._seen:
            return False
        self._seen.add(key)
        entries = {i: float(count) for i, count in enumerate(column.counts) if count}
        if column.kind in self._limited:
            entries[self.job.pieces + self._limited.index(column.kind)] = 1.0
        self._master.add(float(self.job.costs[column.kind]), entries)
        self.columns.append(column)
        self.counts.append(np.array(column.counts, np.int64))
        return True

    def mix(
        self,
        demand: Ints,
        sticks: Sequence[int | None],
        *,
        rounds: int,
        known: int | None = None,
        quick: bool = False,
    ) -> Mixture | None:
        """Find the best mixture for what is still to cut.

        Columns that hold more of a piece than is wanted are left aside. ``rounds`` limits the
        new columns asked for; with ``known``, a proven least cost, the search ends as soon as
        the mixture costs no more. A quick answer stays with coarse units.
        """
        job = self.job
        self._master.bound_rows(
            [*demand.tolist(), *([-np.inf] * len(self._limited))],
            [np.inf] * job.pieces + [float(sticks[k] or 0) for k in self._limited],
        )
        table = np.array(self.counts)
        self._master.allow(np.where((table <= demand[None, :]).all(axis=1), np.inf, 0.0))
        scale = SCALE / max(job.costs)
        for number in range(rounds + 1):
            solved = self._master.solve()
            if solved is None:
                return None
            prices = np.maximum(solved.prices[: job.pieces], 0.0)
            mixture = Mixture(solved.objective, solved.values, prices, False)
            if number == rounds or (known is not None and solved.objective <= known + 1e-6):
                break
            rents = dict(zip(self._limited, solved.prices[job.pieces :], strict=True))
            bars = [
                (cost - min(0.0, float(rents.get(kind, 0.0)))) * scale
                for kind, cost in enumerate(job.costs)
            ]
            # Worth a new column only beyond the noise of the program.
            bars = [bar + 1e-7 * SCALE for bar in bars]
            added = self._price(whole_prices(job, prices), demand, sticks, bars, quick)
            if not added:
                return replace(mixture, complete=True)
        return mixture

    def _price(
        self,
        prices: Ints,
        demand: Ints,
        sticks: Sequence[int | None],
        bars: Sequence[float],
        quick: bool,
    ) -> int:
        """Add the columns most worth having, and others that avoid their pieces."""
        added = 0
        found = self.job.best(prices, demand, bars, quick=quick)
        used = np.zeros(len(prices), np.bool_)
        for kind, (value, column) in enumerate(found):
            if column is not None and value > bars[kind] and sticks[kind] != 0:
                added += self.add(column)
                used |= np.array(column.counts) > 0
        if added:
            cheaper = np.where(used, prices * 9 // 10, prices)
            for kind, (_, column) in enumerate(self.job.best(cheaper, demand, bars, quick=quick)):
                if column is None or sticks[kind] == 0:
                    continue
                if int(prices @ np.array(column.counts)) > bars[kind]:
                    added += self.add(column)
        return added
