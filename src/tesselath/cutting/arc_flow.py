"""Arc flow: the last stick, found or proven impossible.

Comes in: a job of one kind of stick where only weights count, prices near the best, and a number of
sticks that the prices allow. Goes out: a plan with so many sticks, or the proof that there is none,
or neither. A job that is too large comes back undecided.

Every stick is a path over places 0 to its room, every piece on it an arc. With the prices at hand
all but few arcs can be ruled out: together, the sticks of such a plan may fall short of the
ceiling by so much and no more, and no path over a ruled-out arc comes that near to it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from tesselath.cutting.job import Column, Job
from tesselath.cutting.lp_desk import Row, run_whole

__all__ = ["close_gap"]

Ints = NDArray[np.int64]

_NEVER = -(1 << 60)

#: Tables and programs beyond these sizes are not tried.
_CELLS = 12_000_000
_ARCS = 6_000


def close_gap(
    job: Job, prices: Ints, *, sticks: int, nodes: int
) -> tuple[list[Column] | None, bool]:
    """Look for a plan with exactly so many sticks.

    Source: arc flow after J. Valerio de Carvalho (1999); fixing by reduced cost as in V. de Lima,
    M. Iori and F. Miyazawa (2022), both from memory; own derivation of the whole-number test.
    """
    grid = job.grids[-1]
    room = grid.rooms[0]
    order = [i for i in np.argsort(-grid.heavy, kind="stable").tolist() if job.demand[i]]
    if (room + 1) * len(order) > _CELLS or job.budget.is_spent:
        return None, False
    job.budget.spend(12 * (room + 1) * len(order))
    arcs = _arcs(prices, grid.heavy, job.demand, order, room, sticks)
    if arcs is None:
        return None, grid.exact
    if len(arcs) > _ARCS:
        return None, False
    values, exhausted = _flow(arcs, job, order, sticks, nodes)
    if values is None:
        return None, exhausted and grid.exact
    return _plan(arcs, values, grid.heavy, job), False


def _arcs(
    prices: Ints, weights: Ints, demand: Ints, order: Sequence[int], room: int, sticks: int
) -> list[tuple[int, int]] | None:
    """List (place, piece) of the arcs that cannot be ruled out; None if there is no plan."""
    copies = [min(int(demand[i]), room // max(int(weights[i]), 1)) for i in order]
    # What the pieces from each one on can add in the room that is left.
    later = [np.zeros(room + 1, np.int64)]
    shared = []
    for i, most in zip(reversed(order), reversed(copies), strict=True):
        one_less = _with_copies(later[-1], int(weights[i]), int(prices[i]), most - 1)
        shared.append(one_less)
        later.append(_with_copies(later[-1], int(weights[i]), int(prices[i]), most))
    shared.reverse()
    ceiling = int(later[-1][room])
    shortfall = sticks * ceiling - int((prices * demand).sum())
    if shortfall < 0:
        return None
    reached = np.full(room + 1, _NEVER, np.int64)
    reached[0] = 0
    arcs = []
    for i, most, after in zip(order, copies, shared, strict=True):
        weight, price = int(weights[i]), int(prices[i])
        before = reached.copy()
        layer = reached
        for _ in range(most - 1):
            layer = _moved(layer, weight, price)
            np.maximum(before, layer, out=before)
        through = before[: room + 1 - weight] + price + after[: room + 1 - weight][::-1]
        arcs += [(place, i) for place in np.flatnonzero(through >= ceiling - shortfall).tolist()]
        reached = np.maximum(before, _moved(layer, weight, price)) if most else reached
    return arcs


def _with_copies(best: Ints, weight: int, price: int, most: int) -> Ints:
    """Let up to so many copies of a piece be added where they pay."""
    best = best.copy()
    layer = best.copy()
    for _ in range(most):
        layer = _moved(layer, weight, price)
        np.maximum(best, layer, out=best)
    return best


def _moved(layer: Ints, weight: int, price: int) -> Ints:
    moved = np.full(len(layer), _NEVER, np.int64)
    moved[weight:] = layer[: len(layer) - weight] + price
    return moved


def _flow(
    arcs: Sequence[tuple[int, int]], job: Job, order: Sequence[int], sticks: int, nodes: int
) -> tuple[Ints | None, bool]:
    """Send so many sticks over the arcs, each piece as often as wanted."""
    weights, demand = job.grids[-1].heavy, job.demand
    out: dict[int, list[int]] = {0: []}
    into: dict[int, list[int]] = {}
    users: dict[int, list[int]] = {i: [] for i in order}
    for number, (place, piece) in enumerate(arcs):
        out.setdefault(place, []).append(number)
        into.setdefault(place + int(weights[piece]), []).append(number)
        users[piece].append(number)
    if any(not numbers for numbers in users.values()):
        return None, True
    rows: list[Row] = []
    for place, numbers in sorted(out.items()):
        if place == 0:
            rows.append((-np.inf, float(sticks), numbers, [1.0] * len(numbers)))
        else:
            arriving = into.get(place, [])
            signs = [1.0] * len(arriving) + [-1.0] * len(numbers)
            rows.append((0.0, np.inf, arriving + numbers, signs))
    for piece in order:
        wanted = float(demand[piece])
        rows.append((wanted, wanted, users[piece], [1.0] * len(users[piece])))
    most = np.array([float(min(sticks, int(demand[piece]))) for _, piece in arcs])
    return run_whole(np.zeros(len(arcs)), most, rows, nodes=nodes, budget=job.budget)


def _plan(
    arcs: Sequence[tuple[int, int]], values: Ints, weights: Ints, job: Job
) -> list[Column] | None:
    """Follow the flow stick by stick."""
    left = values.tolist()
    out: dict[int, list[int]] = {}
    for number, (place, _) in enumerate(arcs):
        out.setdefault(place, []).append(number)
    plan: list[Column] = []
    while True:
        counts = [0] * job.pieces
        place = 0
        while True:
            follow = [number for number in out.get(place, ()) if left[number] > 0]
            if not follow:
                break
            left[follow[0]] -= 1
            piece = arcs[follow[0]][1]
            counts[piece] += 1
            place += int(weights[piece])
        if not any(counts):
            break
        column = job.column(counts, 0)
        if column is None:
            return None
        plan.append(column)
    made = np.sum([column.counts for column in plan], axis=0)
    return plan if plan and (made == job.demand).all() else None
