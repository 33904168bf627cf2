"""A table of stick plans: published instances and mitred jobs, against simpler methods.

Run it from a checkout::

    python tests/benchmarks/cutting_sticks.py --seconds 10 --rivals

Printed are, by set: sticks over the optimum, optimum found, proven, median and longest processor
time. tesselath counts its work in steps, a billion of them for each second given. The rivals are
the two textbook models in the same solver, one thread, stopped by the clock: plain arc flow (every
place on the stick a node), and the assignment of pieces to sticks with the first-fit plan as its
limit. Mitred jobs are planned twice: with shared cuts, and with every piece charged its tip-to-tip
length and a kerf over the cosine.
"""

from __future__ import annotations

import argparse
import math
import statistics
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parent.parent / "cutting"))

from sawdust import CASES, KNOWN, mitred, read_instance

from tesselath.cutting import (
    CutPiece,
    Sawing,
    StickKind,
    check_certificate,
    plan_sticks,
)
from tesselath.cutting.budget import Budget
from tesselath.cutting.job import lay_job
from tesselath.cutting.lp_desk import Row, lay_program
from tesselath.cutting.search import first_plan

Floats = NDArray[np.float64]

#: (sticks, proven)
Answer = tuple[int, bool]

#: A model with more columns is not built: reading it in alone would take all the time.
_COLUMNS = 250_000


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(description="Stick plans against simpler methods.")
    parser.add_argument(
        "--seconds", type=float, default=10.0, help="time for each rival, or billions of steps"
    )
    parser.add_argument("--rivals", action="store_true", help="run the textbook models too")
    parser.add_argument("--sets", default="", help="names of sets, parted by commas; all if empty")
    options = parser.parse_args()
    methods: list[tuple[str, Callable[[Sequence[CutPiece], float, float], Answer]]] = [
        ("first fit", _first_fit),
        ("tesselath", _tesselath),
    ]
    if options.rivals:
        methods += [("arc flow", _arc_flow), ("assignment", _assignment)]
    wanted = [name for name in options.sets.split(",") if name]
    print(f"{'set':18} {'method':12} over  found proven   median  longest [s]")
    totals: dict[str, list[tuple[int, bool, float]]] = {}
    for name in dict.fromkeys(row["set"] for row in KNOWN):
        if wanted and name not in wanted:
            continue
        rows = [row for row in KNOWN if row["set"] == name]
        for label, method in methods:
            results = []
            for row in rows:
                pieces, length = read_instance(row["name"])
                start = time.process_time()
                sticks, proven = method(pieces, length, options.seconds)
                took = time.process_time() - start
                over = sticks - int(row["optimum"])
                assert over >= 0, f"{row['name']}: {label} beats a proven optimum"
                assert over == 0 or not proven, f"{row['name']}: {label} proves what is not so"
                results.append((over, proven, took))
            totals.setdefault(label, []).extend(results)
            _print_row(f"{name} ({len(rows)})", label, results)
    for label, results in totals.items():
        _print_row(f"all ({len(results)})", label, results)
    if not wanted:
        _mitred_jobs(options.seconds)


def _print_row(name: str, label: str, results: Sequence[tuple[int, bool, float]]) -> None:
    over = sum(result[0] for result in results)
    found = sum(result[0] == 0 for result in results)
    proven = sum(result[1] for result in results)
    times = [result[2] for result in results]
    print(
        f"{name:18.18} {label:12} {over:4d} {found:6d} {proven:6d} "
        f"{statistics.median(times):8.3f} {max(times):8.3f}",
        flush=True,
    )


def _mitred_jobs(seconds: float) -> None:
    print("\nmitred job     shared  bound   apart  saved  time [s]")
    sums = [0, 0, 0]
    times = []
    for case in CASES["jobs_runs_not_degrees"]:
        width, kerf = case["w"], case["k"]
        pieces = [
            mitred(f"P{n}", *size[:3], size[3], turn=case["rotate"], roll=case["flip"])
            for n, size in enumerate(case["pieces"])
        ]
        kinds = [StickKind(case["L"])]
        sawing = Sawing(width, kerf, case["rule"], shortest_loose=0.0)
        start = time.process_time()
        plan = plan_sticks(pieces, kinds=kinds, sawing=sawing, effort=seconds)
        times.append(time.process_time() - start)
        check_certificate(plan.certificate, pieces, kinds=kinds, sawing=sawing)
        apart = plan_sticks(
            [_tip_to_tip(size, n, width, kerf) for n, size in enumerate(case["pieces"])],
            kinds=[StickKind(case["L"] + kerf)],  # the last kerf may run off the end
            sawing=Sawing(width, 0.0),
            effort=seconds,
        )
        for n, value in enumerate((plan.bought, plan.least, apart.bought)):
            sums[n] += value
        print(
            f"{case['name']:14} {plan.bought:6d} {plan.least:6d} {apart.bought:7d} "
            f"{apart.bought - plan.bought:6d} {times[-1]:9.3f}",
            flush=True,
        )
    share = 100 * (1 - sums[0] / sums[2])
    print(
        f"{'all':14} {sums[0]:6d} {sums[1]:6d} {sums[2]:7d} {sums[2] - sums[0]:6d} "
        f"{statistics.median(times):9.3f} median; {share:.1f} % fewer sticks"
    )


def _tip_to_tip(size: Sequence[Any], number: int, width: float, kerf: float) -> CutPiece:
    """Charge a piece its whole length along the strip and one kerf over the cosine."""
    length, left, right, count = size
    # Each end reaches past its mid-line crossing by half its run, at one edge or the other.
    overall = length + (abs(left) + abs(right)) / 2
    steepest = max(abs(left), abs(right))
    return CutPiece(f"P{number}", overall + kerf * math.hypot(1.0, steepest / width), count)


def _tesselath(pieces: Sequence[CutPiece], length: float, seconds: float) -> Answer:
    kinds, sawing = [StickKind(length)], Sawing(1.0, 0.0)
    plan = plan_sticks(pieces, kinds=kinds, sawing=sawing, effort=seconds)
    assert check_certificate(plan.certificate, pieces, kinds=kinds, sawing=sawing) <= plan.least
    return plan.bought, plan.bought == plan.least


def _first_fit(pieces: Sequence[CutPiece], length: float, _: float) -> Answer:
    kinds, sawing = [StickKind(length)], Sawing(1.0, 0.0)
    job = lay_job(pieces, kinds=kinds, costs=[1], sawing=sawing, budget=Budget(0))
    plan = first_plan(job)
    assert plan is not None
    material = math.ceil(sum(piece.length * piece.demand for piece in pieces) / length - 1e-9)
    return len(plan), len(plan) == material


def _arc_flow(pieces: Sequence[CutPiece], length: float, seconds: float) -> Answer:
    best, proven = _first_fit(pieces, length, seconds)
    order = sorted(pieces, key=lambda piece: -piece.length)
    arcs = _all_arcs(order, int(length))
    if arcs is None:
        return best, proven
    out: dict[int, list[int]] = {}
    into: dict[int, list[int]] = {}
    users: list[list[int]] = [[] for _ in order]
    for column, (place, number) in enumerate(arcs):
        out.setdefault(place, []).append(column)
        into.setdefault(place + int(order[number].length), []).append(column)
        users[number].append(column)
    rows: list[Row] = []
    for place, leaving in sorted(out.items()):
        if place:
            arriving = into.get(place, [])
            signs = [1.0] * len(arriving) + [-1.0] * len(leaving)
            rows.append((0.0, np.inf, arriving + leaving, signs))
    for piece, columns in zip(order, users, strict=True):
        rows.append((float(piece.demand), np.inf, columns, [1.0] * len(columns)))
    costs = np.array([1.0 if place == 0 else 0.0 for place, _ in arcs])
    most = np.array([float(order[number].demand) for _, number in arcs])
    values, whole = _run_for(costs, most, rows, seconds)
    if values is None:
        return best, proven
    return min(best, int(costs @ values)), proven or whole


def _all_arcs(order: Sequence[CutPiece], room: int) -> list[tuple[int, int]] | None:
    """List (place, piece) wherever a piece can begin when heavy ones come first."""
    reached = np.zeros(room + 1, np.bool_)
    reached[0] = True
    arcs: set[tuple[int, int]] = set()
    for number, piece in enumerate(order):
        weight = int(piece.length)
        here = reached.copy()
        for _ in range(min(piece.demand, room // weight)):
            starts = np.flatnonzero(here[: room + 1 - weight])
            arcs |= {(place, number) for place in starts.tolist()}
            here = np.concatenate([np.zeros(weight, np.bool_), here[: room + 1 - weight]])
            reached |= here
            if len(arcs) > _COLUMNS:
                return None
    return sorted(arcs)


def _assignment(pieces: Sequence[CutPiece], length: float, seconds: float) -> Answer:
    best, proven = _first_fit(pieces, length, seconds)
    kinds = len(pieces)
    used = kinds * best
    if used > _COLUMNS:
        return best, proven
    rows: list[Row] = []
    for number, piece in enumerate(pieces):
        users = [number * best + stick for stick in range(best)]
        rows.append((float(piece.demand), np.inf, users, [1.0] * best))
    for stick in range(best):
        users = [number * best + stick for number in range(kinds)]
        weights = [piece.length for piece in pieces]
        rows.append((-np.inf, 0.0, [*users, used + stick], [*weights, -length]))
        if stick:
            rows.append((0.0, np.inf, [used + stick - 1, used + stick], [1.0, -1.0]))
    costs = np.concatenate([np.zeros(used), np.ones(best)])
    wanted = np.array([float(piece.demand) for piece in pieces])
    most = np.concatenate([np.repeat(wanted, best), np.ones(best)])
    values, whole = _run_for(costs, most, rows, seconds)
    if values is None:
        return best, proven
    return min(best, int(costs @ values)), proven or whole


def _run_for(
    costs: Floats, most: Floats, rows: Sequence[Row], seconds: float
) -> tuple[Floats | None, bool]:
    """Solve a program in whole numbers within a time; say whether the answer is the best."""
    solver, high = lay_program(costs, most, rows)
    solver.setOptionValue("time_limit", solver.getRunTime() + seconds)
    if solver.run() == high.HighsStatus.kError:
        return None, False
    whole = solver.getModelStatus() == high.HighsModelStatus.kOptimal
    if solver.getInfo().primal_solution_status != 2:  # 2: a feasible point is there
        return None, False
    return np.rint(np.array(solver.getSolution().col_value)), whole


if __name__ == "__main__":
    main()
