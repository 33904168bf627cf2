"""The linear programs: one quiet, one-threaded HiGHS at a time.

Comes in: rows, columns, bounds. Goes out: values, row prices, and whether they can be trusted. An
answer that did not come is None.

Two traps are closed here. The first solver of a process prints a banner on the C side's
standard output before any option can be set. All solvers of a process must use one number of
threads. Nothing is limited by time, only by counts of steps (see ``budget``).
"""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tesselath.cutting.budget import Budget

__all__ = ["Master", "Row", "Solution", "lay_program", "quiet_solver", "run_whole"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


#: A row of a program: least, most, its columns and their coefficients.
Row = tuple[float, float, Sequence[int], Sequence[float]]

#: Steps of one solution of a linear program, for each of its columns, of one iteration of the
#: simplex method, and for each row in it; all measured.
_RUN, _COLUMN, _ITERATION, _ROW = 200_000, 1_000, 60_000, 300

#: Steps for each column of a program in whole numbers: at its root, and at every branch.
_ROOT, _BRANCH = 1_500_000, 30_000

#: The most iterations that the solver takes as a limit.
_MOST = 2**31 - 1


@dataclass(frozen=True, slots=True)
class Solution:
    """The answer to a linear program: objective, column values, row prices."""

    objective: float
    values: Floats
    prices: Floats


class Master:
    """A linear program whose columns are added as they are found: cover rows at least cost.

    Parameters
    ----------
    lower, upper : sequence of float
        Bounds of the rows.
    budget : Budget
        What the iterations are taken from.
    """

    __slots__ = ("_budget", "_costs", "_high", "_infinity", "_rows", "_solver")

    def __init__(self, lower: Sequence[float], upper: Sequence[float], budget: Budget) -> None:
        self._solver, self._high = quiet_solver()
        self._budget = budget
        self._infinity = float(self._high.kHighsInf)
        self._rows = len(lower)
        self._costs: list[float] = []
        for low, high in zip(lower, upper, strict=True):
            self._solver.addRow(max(low, -self._infinity), min(high, self._infinity), 0, [], [])

    def add(self, cost: float, entries: dict[int, float]) -> None:
        """Add a column with its cost and its entries by row."""
        rows = np.fromiter(entries.keys(), np.int32, len(entries))
        values = np.fromiter(entries.values(), np.float64, len(entries))
        self._solver.addCol(cost, 0.0, self._infinity, len(entries), rows, values)
        self._costs.append(cost)

    def bound_rows(self, lower: Sequence[float], upper: Sequence[float]) -> None:
        """Set new bounds of all rows."""
        index = np.arange(self._rows, dtype=np.int32)
        low = np.maximum(np.asarray(lower, np.float64), -self._infinity)
        high = np.minimum(np.asarray(upper, np.float64), self._infinity)
        self._solver.changeRowsBounds(self._rows, index, low, high)

    def allow(self, most: Floats) -> None:
        """Set the most of each column that may be used; infinite where there is no limit."""
        index = np.arange(len(self._costs), dtype=np.int32)
        self._solver.changeColsBounds(
            len(index), index, np.zeros(len(index)), np.minimum(most, self._infinity)
        )

    def solve(self) -> Solution | None:
        """Solve it as it stands; None where that failed or the budget is spent."""
        self._budget.spend(_RUN + _COLUMN * len(self._costs))
        if self._budget.is_spent:
            return None
        each = _ITERATION + _ROW * self._rows
        limit = min(_MOST, 1 + self._budget.left // each)
        self._solver.setOptionValue("simplex_iteration_limit", limit)
        status = self._solver.run()
        self._budget.spend(each * max(0, self._solver.getInfo().simplex_iteration_count))
        if status == self._high.HighsStatus.kError:
            return None
        if self._solver.getModelStatus() != self._high.HighsModelStatus.kOptimal:
            return None
        found = self._solver.getSolution()
        return Solution(
            float(self._solver.getInfo().objective_function_value),
            np.array(found.col_value),
            np.array(found.row_dual),
        )


def quiet_solver() -> tuple[Any, Any]:
    """Make a solver that prints nothing and uses one thread."""
    import highspy

    with _silent_output():
        solver: Any = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("random_seed", 0)
    return solver, highspy


def run_whole(
    costs: Floats, most: Floats, rows: Sequence[Row], *, nodes: int, budget: Budget
) -> tuple[Ints | None, bool]:
    """Solve a program in whole numbers."""
    columns = len(costs)
    budget.spend(_ROOT * columns)
    if budget.is_spent:
        return None, False
    solver, high = lay_program(costs, most, rows)
    nodes = min(nodes, 1 + budget.left // (_BRANCH * max(columns, 1)))
    solver.setOptionValue("mip_max_nodes", nodes)
    status = solver.run()
    budget.spend(_BRANCH * columns * max(0, solver.getInfo().mip_node_count))
    if status == high.HighsStatus.kError:
        return None, False
    status = solver.getModelStatus()
    if status == high.HighsModelStatus.kInfeasible:
        return None, True
    whole = status == high.HighsModelStatus.kOptimal
    if solver.getInfo().primal_solution_status != 2:  # 2: a feasible point is there
        return None, False
    return np.rint(np.array(solver.getSolution().col_value)).astype(np.int64), whole


def lay_program(costs: Floats, most: Floats, rows: Sequence[Row]) -> tuple[Any, Any]:
    """Write a program in whole numbers into a solver."""
    solver, high = quiet_solver()
    infinity = float(high.kHighsInf)
    columns = len(costs)
    none = np.zeros(0, np.int32)
    solver.addCols(
        columns, costs, np.zeros(columns), np.minimum(most, infinity), 0, none, none, np.zeros(0)
    )
    kinds = np.full(columns, int(high.HighsVarType.kInteger), np.uint8)
    solver.changeColsIntegrality(columns, np.arange(columns, dtype=np.int32), kinds)
    starts = np.cumsum([0] + [len(row[2]) for row in rows])[:-1].astype(np.int32)
    solver.addRows(
        len(rows),
        np.array([max(row[0], -infinity) for row in rows], np.float64),
        np.array([min(row[1], infinity) for row in rows], np.float64),
        sum(len(row[2]) for row in rows),
        starts,
        np.array([column for row in rows for column in row[2]], np.int32),
        np.array([value for row in rows for value in row[3]], np.float64),
    )
    solver.setOptionValue("mip_abs_gap", 0.999)
    solver.setOptionValue("mip_rel_gap", 0.0)
    return solver, high


@contextmanager
def _silent_output() -> Iterator[None]:
    """Send what C code prints to nowhere for a moment."""
    try:
        sys.stdout.flush()
        kept = os.dup(1)
    except (OSError, ValueError, AttributeError):  # no standard output: nothing to keep clean
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
        with suppress(OSError, AttributeError):  # what C still holds must not come out later
            ctypes.CDLL("ucrtbase" if os.name == "nt" else None).fflush(None)
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)
