"""Test cuts: what is cut and measured before the batch is cut.

Comes in: the design, the parts, the pieces that are glued first. Goes out: test cuts, each with
what it must measure and within what.

An error too small to see in one piece is seen in several::

     [==][==][==]...[==]   ten strips side by side: the width, ten times
     [==A==][==A==]...     four pieces end to end: the stop, four times
          /|               two mitres put together: the angle, twice
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np

from tesselath.accuracy import errors_along, read_edges
from tesselath.design import Design
from tesselath.field import Piece
from tesselath.glue import GlueUp
from tesselath.measure import ALIKE, ANGLE_ALIKE, listed, show_angle
from tesselath.parts import Part

__all__ = ["TrialCut", "plan_trial_cuts", "say_trial_cut"]

#: How many strips, pieces and pieces of a cell are laid together [count].
_STRIPS = 10
_PIECES = 4

#: Of how many parts a length is tried: those with the most pieces, if four of them can be
#: measured as the stop is [count].
_MOST_PARTS = 3


@dataclass(frozen=True, slots=True)
class TrialCut:
    """A test cut: ``kind`` is "width", "square", "angle", "length" or "cell".

    ``count`` pieces of ``parts`` (and, for a cell, the pieces ``numbers``) put together must
    measure ``planned`` within ``within``, both in mm, or in degrees for an angle. ``axis`` tells
    which way a cell is measured.
    """

    kind: str
    count: int
    parts: tuple[str, ...]
    numbers: tuple[int, ...]
    planned: float
    within: float
    axis: str = ""


def plan_trial_cuts(
    design: Design,
    *,
    parts: Sequence[Part],
    pieces: Sequence[Piece],
    glue_ups: Sequence[GlueUp],
) -> tuple[TrialCut, ...]:
    """Plan the test cuts of a top, in the order in which they are made.

    Source: common practice; what they must measure within is the root sum square of the errors.

    Parameters
    ----------
    design : Design
        The design: how exact its saw is.
    parts : sequence of Part
        The parts in order of mark.
    pieces : sequence of Piece
        The pieces in order of number.
    glue_ups : sequence of GlueUp
        The glue-ups, of which the first is tried dry.

    Returns
    -------
    tuple of TrialCut
        Widths, angles, lengths, and the first pieces laid dry.
    """
    at_saw = [p for p in parts if p.strip_width is not None]
    by_number = {piece.number: piece for piece in pieces}
    return (
        *_widths(design, at_saw),
        *_angles(design, at_saw),
        *_lengths(design, at_saw),
        *_cell(design, by_number, glue_ups),
    )


def _widths(design: Design, parts: Sequence[Part]) -> list[TrialCut]:
    marks: dict[float, list[Part]] = {}
    for part in parts:
        marks.setdefault(round(part.stick_width, 2), []).append(part)
    found = []
    for width in sorted(marks, reverse=True):
        mine = marks[width]
        count = min(_STRIPS, sum(p.count for p in mine))
        if count > 1:
            within = sqrt(count) * design.saw.width_error
            found.append(
                TrialCut(
                    "width",
                    count,
                    tuple(p.mark for p in mine),
                    (),
                    count * mine[0].stick_width,
                    within,
                )
            )
    return found


def _angles(design: Design, parts: Sequence[Part]) -> list[TrialCut]:
    """Each setting of the mitre once; the square cut first."""
    marks: dict[float, list[str]] = {}
    for part in parts:
        if part.handling == "mark and hand saw":
            continue
        for mitre in dict.fromkeys(round(abs(m), 2) for m in part.mitres):
            marks.setdefault(mitre, []).append(part.mark)
    found = []
    for mitre in sorted(marks):
        square = mitre <= ANGLE_ALIKE
        found.append(
            TrialCut(
                "square" if square else "angle",
                2,
                tuple(marks[mitre]),
                (),
                180.0 if square else 180.0 - 2 * mitre,
                2 * design.saw.angle_error,
            )
        )
    return found


def _lengths(design: Design, parts: Sequence[Part]) -> list[TrialCut]:
    straight = [
        p
        for p in parts
        if p.count >= _PIECES and not p.fitted and p.handling in ("slide", "roll", "swing")
    ]
    straight.sort(key=lambda p: (-p.count, p.mark))
    within = sqrt(_PIECES) * design.saw.length_error
    found = []
    for part in straight:
        # Ends that lean apart are laid turn about, long edge beside short edge.
        two = 2 * part.edge
        if part.long_point is not None and part.short_point is not None:
            two = part.long_point + part.short_point
        planned = two * _PIECES / 2
        if planned <= design.saw.stop_reach:
            found.append(TrialCut("length", _PIECES, (part.mark,), (), planned, within))
    return found[:_MOST_PARTS]


def _cell(
    design: Design, pieces: Mapping[int, Piece], glue_ups: Sequence[GlueUp]
) -> list[TrialCut]:
    numbers = glue_ups[0].numbers[:_PIECES]
    cell = [pieces[n] for n in numbers]
    if len(cell) < 2:
        return []
    corners = np.vstack([np.asarray(p.outline) for p in cell])
    low, high = corners.min(axis=0), corners.max(axis=0)
    edges = read_edges(cell)
    found = []
    for k, axis in ((0, "left to right"), (1, "front to back")):
        within = 0.0
        for share in (0.21, 0.41, 0.61, 0.81):
            aside = float(low[1 - k] + share * (high[1 - k] - low[1 - k]))
            ends = [
                (float(v), aside) if k == 0 else (aside, float(v))
                for v in (low[k] - ALIKE, high[k] + ALIKE)
            ]
            line = errors_along(edges, design.saw, start=ends[0], end=ends[1])
            within = max(within, line.likely)
        found.append(
            TrialCut(
                "cell",
                len(cell),
                tuple(p.part for p in cell),
                numbers,
                float(high[k] - low[k]),
                within,
                axis,
            )
        )
    return found


def say_trial_cut(trial: TrialCut, design: Design) -> str:
    """Say in a sentence what is cut, and what it must measure.

    Parameters
    ----------
    design : Design
        The design: its tape and units.
    """
    show = design.show
    marks = _listed(dict.fromkeys(trial.parts))
    if trial.kind == "width":
        return (
            f"{trial.count} strips for {marks} side by side measure {show(trial.planned)}, within "
            f"{show(trial.within, up=True)}."
        )
    if trial.kind == "square":
        return (
            f"Square cut ({marks}): saw an offcut through, roll one half face down and put the "
            "ends together along a straight edge; the gap is twice the error, and no light may "
            "show."
        )
    if trial.kind == "angle":
        corner = show_angle(trial.planned)
        mitre = show_angle((180.0 - trial.planned) / 2)
        made = "make a square" if abs(trial.planned - 90.0) <= ANGLE_ALIKE else f"turn {corner}"
        return (
            f"Two cuts at {mitre} ({marks}) put together {made}, within {show_angle(trial.within)}."
        )
    if trial.kind == "length":
        return (
            f"{trial.count} pieces of {marks} end to end measure {show(trial.planned)} along the "
            f"edge, within {show(trial.within, up=True)}."
        )
    numbers = _listed([str(n) for n in trial.numbers])
    return (
        f"Pieces {numbers} ({' '.join(trial.parts)}) laid dry as on the map measure "
        f"{show(trial.planned)} {trial.axis} over all, within {show(trial.within, up=True)}."
    )


def _listed(words: Iterable[str]) -> str:
    names = list(words)
    if len(names) > 6:
        names = [*names[:5], f"{len(names) - 5} more"]
    return listed(names)
