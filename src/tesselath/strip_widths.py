"""Strip widths as measured: what to plan with, and how a spread of widths adds up row by row.

Comes in: the widths of the strips as they were measured. Goes out: their mean, their spread, and
the drift over a run of rows. Refuses: nothing.

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

from tesselath.design import Design
from tesselath.notes import Note

__all__ = ["Drift", "StripWidths", "note_strip_widths", "reckon_drift", "reckon_widths"]

#: Of this many strips and more the spread says something of the rest; fewer are a guess.
_ENOUGH = 5


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

    Parameters
    ----------
    measured : sequence of float
        The widths [mm].

    Returns
    -------
    StripWidths
        Mean, least, most, and how far a strip is from the mean.

    Raises
    ------
    statistics.StatisticsError
        If there are none.

    Notes
    -----
    Source: sample standard deviation.

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

    Raises
    ------
    ValueError
        If there are fewer than no rows.

    Notes
    -----
    Source: sums of errors, worst case and root of the sum of squares.

    Examples
    --------
    >>> reckon_drift(14, worst=1 / 64, each=1 / 64).worst  # 7/32
    0.21875
    """
    return Drift(rows * worst, sqrt(rows) * each)


def note_strip_widths(design: Design, *, across: float) -> tuple[Note, ...]:
    """Say what the plan makes of measured strips, and how to sort them.

    Parameters
    ----------
    design : Design
        The design.
    across : float
        The longer way across the field, over which strips lie side by side [mm].

    Returns
    -------
    tuple of Note
        One; none where no widths were measured.

    Raises
    ------
    ValueError
        Never.

    Notes
    -----
    Source: common practice.
    """
    strips = design.strips
    if not strips.measured:
        return ()

    def fine(mm: float) -> str:
        return f"{mm / 25.4:.3f} in" if design.units == "in" else f"{mm:.2f} mm"

    widths = reckon_widths(strips.measured)
    rows = max(1, round(across / (widths.mean + strips.gap)))
    drift = reckon_drift(rows, worst=widths.worst, each=widths.each)
    text = (
        f"The {widths.count} strips measured are {fine(widths.least)} to {fine(widths.most)} wide; "
        f"the plan uses their mean, {fine(widths.mean)}. Over {rows} of them side by "
        "side the errors come to "
        f"{fine(drift.likely)} as they come, {fine(drift.worst)} if all err one way. Sort the "
        "strips by width and lay the widest beside the narrowest, row after row, or plane all of "
        "them to the narrowest; check the running measure every few rows."
    )
    if widths.count < _ENOUGH:
        text += f" {widths.count} strips say little of the rest: measure {_ENOUGH} or more."
    notes = [Note("strips-measured", text)]
    named = strips.named
    if named is not None and abs(named - widths.mean) > design.tape:
        said = design.show_plain(named)
        notes.append(
            Note("strips-other-width", f"[strips] width says {said}, and the strips measure "
                 f"{fine(widths.mean)} on average; the plan goes by what was measured.")
        )  # fmt: skip
    return tuple(notes)
