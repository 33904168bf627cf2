"""Strips side by side: the longest run of them whose grain lies one way.

Comes in: pieces. Goes out: the run, strip by strip.

Movement adds up over such a run, and over nothing else: where the grain turns, it starts anew::

     |  |  |  |______
     |  |  |  |______    three strips side by side, then two
     |  |  |  |
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tesselath.field import Piece
from tesselath.measure import turn_point

__all__ = ["Run", "longest_run"]

#: Strips farther apart than this do not lie side by side [mm]; a designed gap is less.
_APART = 3.5

#: As many lines are drawn across the strips to look for runs [count].
_LINES = 200


@dataclass(frozen=True, slots=True)
class Run:
    """Strips side by side: the wood and width of each, and how far the run reaches [mm]."""

    strips: tuple[tuple[str, float], ...]
    length: float


def longest_run(pieces: Sequence[Piece]) -> Run:
    """Find the longest run of strips side by side."""
    best = Run((), 0.0)
    ways: dict[float, list[Piece]] = {}
    for piece in pieces:
        ways.setdefault(round(piece.grain, 2) % 180.0, []).append(piece)
    for grain in sorted(ways):
        found = _run(ways[grain], grain)
        if (round(found.length, 3), len(found.strips)) > (round(best.length, 3), len(best.strips)):
            best = found
    if not best.strips:
        raise ValueError("There are no pieces.")
    return best


def _run(pieces: Sequence[Piece], grain: float) -> Run:
    """Find the longest run among pieces of one grain."""
    c, s = turn_point(1.0, 0.0, grain)
    along: NDArray[np.float64] = np.array([c, s])
    over: NDArray[np.float64] = np.array([-s, c])
    reach = (
        np.array([(p.outline @ along).min() for p in pieces]),
        np.array([(p.outline @ along).max() for p in pieces]),
    )
    span = (
        np.array([(p.outline @ over).min() for p in pieces]),
        np.array([(p.outline @ over).max() for p in pieces]),
    )
    best: tuple[float, list[int]] = (0.0, [])
    step = max(1, len(pieces) // _LINES)
    for k in range(0, len(pieces), step):
        line = (reach[0][k] + reach[1][k]) / 2
        met = np.flatnonzero((reach[0] < line) & (line < reach[1]))
        met = met[np.lexsort((met, np.round(span[0][met], 6)))]
        run: list[int] = []
        for n in met.tolist():
            if run and span[0][n] - span[1][run[-1]] > _APART:
                best = max(best, _measured(run, span), key=lambda r: round(r[0], 3))
                run = []
            run.append(n)
        best = max(best, _measured(run, span), key=lambda r: round(r[0], 3))
    return Run(tuple((pieces[n].wood, float(span[1][n] - span[0][n])) for n in best[1]), best[0])


def _measured(
    run: list[int], span: tuple[NDArray[np.float64], NDArray[np.float64]]
) -> tuple[float, list[int]]:
    return float(span[1][run[-1]] - span[0][run[0]]), run
