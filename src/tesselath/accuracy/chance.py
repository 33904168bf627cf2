"""Chance: many tops cut at random, to see how far off they come out.

Comes in: lines across a top with the errors along them. Goes out: how far the worst line of a top
is off, as a distribution.

A sum of squares says how far one line is off; a maker sees the worst line of all, and two lines
that cross the same piece are off together. Chance is stated by its seed, so that the same design
gives the same figures.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tesselath.accuracy.line_errors import ErrorLine

__all__ = ["Simulation", "simulate"]

#: The simulation: how many tops, and the seed of its chance [count].
_TOPS = 2_000
_SEED = 1
_AT_A_TIME = 100
_BINS = 12


@dataclass(frozen=True, slots=True)
class Simulation:
    """Many tops cut at random, each error normal with its limit at two standard deviations.

    Of each top the line that is off most is taken: ``half`` of the tops stay below it, 19 in 20
    below ``most``, all below ``largest`` [mm]. ``edges`` and ``counts`` are its distribution.
    """

    seed: int
    tops: int
    half: float
    most: float
    largest: float
    edges: tuple[float, ...]
    counts: tuple[int, ...]


def simulate(lines: Sequence[ErrorLine], *, tops: int = _TOPS, seed: int = _SEED) -> Simulation:
    """Cut many tops at random and see how far the worst line of each is off.

    Source: Monte Carlo simulation; a piece that two lines cross is off alike in both.
    """
    names: dict[tuple[int, str, int], int] = {}
    entries: list[tuple[int, int, float]] = []
    for n, line in enumerate(lines):
        seen: dict[tuple[int, str], int] = {}
        for term in line.terms:
            # The two ends of a piece are off each by itself.
            k = seen[term.number, term.kind] = seen.get((term.number, term.kind), -1) + 1
            name = (term.number, term.kind, k)
            row = names.setdefault(name, len(names))
            entries.append((row, n, term.factor * term.limit))
    factors = np.zeros((max(1, len(names)), len(lines)))
    for row, n, factor in entries:
        factors[row, n] += factor
    chance = np.random.default_rng(seed)
    off = np.concatenate(
        [
            np.abs(
                chance.normal(0.0, 0.5, (min(_AT_A_TIME, tops - done), len(factors))) @ factors
            ).max(axis=1)
            for done in range(0, tops, _AT_A_TIME)
        ]
    )
    off = np.round(off, 4)  # finer than any tape, coarser than the last bit of a sum
    counts, edges = np.histogram(off, bins=_BINS)
    half, most = (float(v) for v in np.quantile(off, [0.5, 0.95]))
    return Simulation(
        seed,
        tops,
        half,
        most,
        float(off.max()),
        tuple(float(e) for e in edges),
        tuple(int(c) for c in counts),
    )
