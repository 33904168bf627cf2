"""Knapsack: the most valuable filling of a stick when only weights count.

Comes in: whole-number prices, weights and limits of the pieces, and the room of each stick kind.
Goes out: for each room the best value, and a filling that has it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

__all__ = ["best_fillings", "best_values"]

Ints = NDArray[np.int64]


def best_fillings(
    prices: Ints, *, weights: Ints, limits: Ints, rooms: Sequence[int]
) -> list[tuple[int, Ints]]:
    """Find the most valuable filling for each room.

    Source: the bounded knapsack by dynamic programming with binary splitting; textbook method.

    >>> three = np.array([60, 100, 120]), np.array([1, 2, 3]), np.array([1, 1, 1])
    >>> best_fillings(three[0], weights=three[1], limits=three[2], rooms=[5])
    [(220, array([0, 1, 1]))]
    """
    room = max(rooms)
    free = np.where((weights <= 0) & (prices > 0), limits, 0)
    best = np.zeros(room + 1, np.int64)
    parcels = _parcels(prices, weights, limits, room)
    taken = np.zeros((len(parcels), room + 1), np.bool_)
    for row, (_, copies, weight, price) in enumerate(parcels):
        size = copies * weight
        offer = best[: room + 1 - size] + copies * price
        np.greater(offer, best[size:], out=taken[row, size:])
        np.maximum(offer, best[size:], out=best[size:])
    results = []
    for here in rooms:
        counts = free.copy()
        at = here
        for row in range(len(parcels) - 1, -1, -1):
            if taken[row, at]:
                piece, copies, weight, _ = parcels[row]
                counts[piece] += copies
                at -= copies * weight
        results.append((int(best[here] + (free * prices).sum()), counts))
    return results


def best_values(prices: Ints, *, weights: Ints, limits: Ints, rooms: Sequence[int]) -> list[int]:
    """Find the value of the best filling for each room."""
    room = max(rooms)
    best = np.zeros(room + 1, np.int64)
    for _, copies, weight, price in _parcels(prices, weights, limits, room):
        size = copies * weight
        np.maximum(best[: room + 1 - size] + copies * price, best[size:], out=best[size:])
    free = int((np.where(weights <= 0, limits, 0) * prices).sum())
    return [int(best[here]) + free for here in rooms]


def _parcels(
    prices: Ints, weights: Ints, limits: Ints, room: int
) -> list[tuple[int, int, int, int]]:
    """Split each piece's limit into parcels of 1, 2, 4 ... copies and a rest."""
    parcels = []
    for piece, (price, weight, limit) in enumerate(
        zip(prices.tolist(), weights.tolist(), limits.tolist(), strict=True)
    ):
        if price <= 0 or weight <= 0:
            continue
        left = min(limit, room // weight)
        copies = 1
        while left > 0:
            copies = min(copies, left)
            parcels.append((piece, copies, weight, price))
            left -= copies
            copies *= 2
    return parcels
