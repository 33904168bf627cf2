"""Tolerance: what the errors of the cuts come to over a whole top.

Comes in: the pieces, the zones, how exact the saw is. Goes out: the lines across the top with their
errors at the worst and as a rule, how rings close, a simulation of many tops.

Lines are drawn from edge to edge, left to right, front to back and along rows that run askew; of
each way the worst is kept. A mitred ring closes with the errors of all its cuts in one joint::

        ______
       / \\__/ \\      n sides, 2n cuts: each off by e, the last joint opens by 2 n e
      | |    | |
       \\_/__\\_/
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import degrees, radians, sqrt

import numpy as np
from numpy.typing import NDArray

from tesselath.accuracy.chance import Simulation, simulate
from tesselath.accuracy.line_errors import ErrorLine, errors_along, read_edges
from tesselath.design import Design
from tesselath.field import Piece
from tesselath.measure import ANGLE_ALIKE, OFF_A_JOINT, ON_THE_LINE, cosine, rounding_error, sine
from tesselath.parts import Part
from tesselath.shape import Outline

__all__ = ["Closing", "Rounding", "Tolerance", "plan_tolerance", "tolerance_table"]

#: Lines drawn each way [count].
_LINES = 7


@dataclass(frozen=True, slots=True)
class Closing:
    """How a ring closes: ``gap`` at the outside of its last joint [mm], ``angle`` [degrees].

    ``cuts`` are those that are mitred; ``each_cut`` is the error a cut may have when the last
    joint must not open farther than a mark of the tape [degrees]; None where no cut is mitred.
    """

    zone: str
    row: int
    pieces: int
    cuts: int
    angle_worst: float
    angle_likely: float
    gap_worst: float
    gap_likely: float
    each_cut: float | None


@dataclass(frozen=True, slots=True)
class Rounding:
    """What printing lengths to the tape comes to [mm].

    ``largest`` is the largest error of one stop, ``mark`` its part; ``row`` the sum along the
    worst line, which is called ``name``. Edge pieces are rounded up, to be fitted: ``edge_long``
    is how much longer than it is one is printed at most.
    """

    largest: float
    mark: str
    row: float
    name: str
    edge_long: float


@dataclass(frozen=True, slots=True)
class Tolerance:
    """What the errors of the cuts, and of the lengths as printed, come to."""

    lines: tuple[ErrorLine, ...]
    closings: tuple[Closing, ...]
    simulation: Simulation
    rounding: Rounding


def plan_tolerance(
    design: Design,
    *,
    pieces: Sequence[Piece],
    parts: Sequence[Part],
    field: Outline,
    ringed: Sequence[str],
    row_way: float | None,
) -> Tolerance:
    """Reckon what the errors of the cuts come to over a top.

    Source: worst case and root sum square are standard tolerance analysis; their factors here
    and the closing of rings are own derivations.

    Parameters
    ----------
    design : Design
        The design: its saw and tape.
    pieces, parts : sequence
        The pieces and their parts.
    field : array (n, 2)
        The outline of all strips [mm].
    ringed : sequence of str
        The zones that are laid ring by ring.
    row_way : float, optional
        Which way the rows of the field run [degrees].

    Returns
    -------
    Tolerance
        The worst line of each way, the rings, the simulation.
    """
    edges = read_edges(pieces)
    ways = [("left to right", 0.0), ("front to back", 90.0)]
    if row_way is not None and min(row_way % 90.0, 90.0 - row_way % 90.0) > ANGLE_ALIKE:
        ways.append(("along the rows", row_way))
    lines = [
        [
            errors_along(edges, design.saw, start=start, end=end, name=name)
            for start, end in _across(field, way)
        ]
        for name, way in ways
    ]
    worst = tuple(max(some, key=lambda s: (round(s.likely, 6), -len(s.numbers))) for some in lines)
    every = [line for some in lines for line in some]
    return Tolerance(
        worst,
        tuple(_closings(design, pieces, ringed)),
        simulate(every),
        _round_off(design, parts, every),
    )


def _across(field: Outline, way: float) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Lines from edge to edge, evenly apart."""
    line = np.array([cosine(way), sine(way)])
    normal = np.array([-line[1], line[0]])
    along, aside = field @ line, field @ normal
    low, high = float(aside.min()), float(aside.max())
    found = []
    for k in range(_LINES):
        offset = low + (high - low) * (k + 0.5) / _LINES + OFF_A_JOINT
        first = (float(along.min()) - 1.0) * line + offset * normal
        last = (float(along.max()) + 1.0) * line + offset * normal
        found.append(((float(first[0]), float(first[1])), (float(last[0]), float(last[1]))))
    return found


def _round_off(design: Design, parts: Sequence[Part], lines: Sequence[ErrorLine]) -> Rounding:
    """What it adds up to that stops are set to marks of the tape."""
    errors = {
        part.mark: rounding_error(
            part.on_fence or part.overall, tape=design.tape, units=design.units, up=part.fitted
        )
        for part in parts
    }
    of = {number: part.mark for part in parts for number in part.numbers}
    stops = {part.mark for part in parts if not part.fitted}
    inner = [(round(abs(errors[p.mark]), 9), p.mark) for p in parts if p.mark in stops]
    largest = max((error for error, _ in inner), default=0.0)
    mark = next((mark for error, mark in inner if error == largest), "")
    sums = [
        (
            abs(
                sum(
                    t.factor * errors[of[t.number]]
                    for t in line.terms
                    if t.kind == "length" and of[t.number] in stops
                )
            ),
            line.name,
        )
        for line in lines
    ]
    row, name = max(sums, key=lambda s: round(s[0], 9))
    long = max((errors[p.mark] for p in parts if p.mark not in stops), default=0.0)
    return Rounding(largest, mark, row, name, long)


def _closings(design: Design, pieces: Sequence[Piece], ringed: Sequence[str]) -> list[Closing]:
    """How each ring closes, alike rings once."""
    rings: dict[tuple[str, int], list[Piece]] = {}
    for piece in pieces:
        if piece.zone in ringed:
            rings.setdefault((piece.zone, piece.row), []).append(piece)
    found = []
    for (zone, row), ring in rings.items():
        if len(ring) < 3:
            continue
        ends = [end for piece in ring for end in _mitred_ends(piece)]
        error = design.saw.angle_error
        angle_worst, angle_likely = len(ends) * error, sqrt(len(ends)) * error
        joint = max(ends, default=0.0)
        length_worst, length_likely = _too_long(ring, design.saw.length_error)
        found.append(
            Closing(
                zone,
                row,
                len(ring),
                len(ends),
                angle_worst,
                angle_likely,
                joint * radians(angle_worst) + length_worst,
                sqrt((joint * radians(angle_likely)) ** 2 + length_likely**2),
                degrees(design.tape / joint) / len(ends) if ends else None,
            )
        )
    return found


def _mitred_ends(piece: Piece) -> list[float]:
    """The lengths of the ends of a piece that are not square [mm]."""
    corners = np.asarray(piece.outline)
    ways = np.roll(corners, -1, axis=0) - corners
    sizes = np.hypot(ways[:, 0], ways[:, 1])
    grain = np.array([cosine(piece.grain), sine(piece.grain)])
    along = np.abs(ways @ grain) / sizes
    slack = radians(ANGLE_ALIKE)
    return [
        float(size)
        for size, lean in zip(sizes, along, strict=True)
        if slack < lean < 1 - ON_THE_LINE
    ]


def _too_long(ring: Sequence[Piece], error: float) -> tuple[float, float]:
    """What the lengths of a ring's pieces add to its last joint, the worst way [mm]."""
    grains = np.array([(cosine(p.grain), sine(p.grain)) for p in ring])
    shares: NDArray[np.float64] = np.abs(grains @ grains.T)
    worst = float(shares.sum(axis=1).max()) * error
    likely = float(np.sqrt((shares**2).sum(axis=1)).max()) * error
    return worst, likely


def tolerance_table(tolerance: Tolerance) -> dict[str, object]:
    """Give a tolerance as plain values, for plan.json.

    Source: own format.

    Returns
    -------
    dict
        Lines without their single terms, rings, simulation and rounding.
    """
    simulation, rounding = tolerance.simulation, tolerance.rounding
    return {
        "lines": [
            {
                "name": s.name,
                "start": list(s.start),
                "end": list(s.end),
                "length": s.length,
                "numbers": list(s.numbers),
                "worst": s.worst,
                "likely": s.likely,
                "by_setting": s.by_setting,
            }
            for s in tolerance.lines
        ],
        "closings": [
            {
                "zone": c.zone,
                "row": c.row,
                "pieces": c.pieces,
                "cuts": c.cuts,
                "angle_worst": c.angle_worst,
                "angle_likely": c.angle_likely,
                "gap_worst": c.gap_worst,
                "gap_likely": c.gap_likely,
                "each_cut": c.each_cut,
            }
            for c in tolerance.closings
        ],
        "simulation": {
            "seed": simulation.seed,
            "tops": simulation.tops,
            "half": simulation.half,
            "most": simulation.most,
            "largest": simulation.largest,
            "edges": list(simulation.edges),
            "counts": list(simulation.counts),
        },
        "rounding": {
            "largest": rounding.largest,
            "mark": rounding.mark,
            "row": rounding.row,
            "name": rounding.name,
            "edge_long": rounding.edge_long,
        },
    }
