"""Strip widths as measured: what to plan with, and how a spread of widths adds up row by row.

Comes in: the widths of the strips as they were measured. Goes out: their mean, their spread, and
the drift over a run of rows.

Every row is off by the error of its own strip. All of them one way is the worst; as they come,
wide and narrow, they grow with the root of their number only; sorted, they cancel::

    |----|-----|----|      wide beside narrow: the row ends where it should
    |-----|-----|-----|    all wide: three times one error
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean, stdev

__all__ = ["Drift", "StripWidths", "reckon_drift", "reckon_widths"]


@dataclass(frozen=True, slots=True)
class StripWidths:
    """What measured strips come to [mm].

    ``each`` is how far one usually is from the mean, ``worst`` how far at the most.
    """

    count: int
    mean: float
    least: float
    most: float
    each: float
    worst: float


@dataclass(frozen=True, slots=True)
class Drift:
    """By how much a run of rows is off at its end [mm]: if all err one way, and most likely."""

    worst: float
    likely: float


def reckon_widths(measured: Sequence[float]) -> StripWidths:
    """Reckon the mean and the spread of measured strips.

    Source: sample standard deviation.

    Parameters
    ----------
    measured : sequence of float
        The widths [mm].

    Returns
    -------
    StripWidths
        Mean, least, most, and how far a strip is from the mean.

    Examples
    --------
    >>> reckon_widths([25.0, 26.0, 27.0])
    StripWidths(count=3, mean=26.0, least=25.0, most=27.0, each=1.0, worst=1.0)
    """
    mean = fmean(measured)
    each = stdev(measured) if len(measured) > 1 else 0.0
    worst = max(abs(width - mean) for width in measured)
    return StripWidths(len(measured), mean, min(measured), max(measured), each, worst)


def reckon_drift(rows: int, *, worst: float, each: float) -> Drift:
    """Reckon how far a run of rows drifts.

    Source: sums of errors, worst case and root of the sum of squares.

    Parameters
    ----------
    rows : int
        How many strips lie side by side [count].
    worst, each : float
        The greatest and the usual error of one [mm].

    Returns
    -------
    Drift
        n times the greatest, and the root of n times the usual one.

    Examples
    --------
    >>> reckon_drift(14, worst=1 / 64, each=1 / 64).worst  # 7/32
    0.21875
    """
    return Drift(rows * worst, sqrt(rows) * each)
