"""Glue-ups: what is glued within one open time, and what a maker wants to know of each.

Comes in: the design, the laid zones, the pieces and parts. Goes out: glue-ups in order, each with
its pieces in order, the parts to have at hand, where the first pair and the batten go, the area to
spread, minutes, pins, and what the tape must read.

::

                    | centre line
          17   18   |  16   15      row 0, first pair 15 and 16 at the centre lines
     =============================  batten, taken away when the glue has taken hold
                    |
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from tesselath.accuracy import EdgeTable, errors_along, read_edges
from tesselath.design import Design, Saw
from tesselath.field import LaidZone, Piece
from tesselath.glue.gluing_order import GluingOrder, GluingZone, order_gluing
from tesselath.glue.hold import Pin, hold_of, place_pins
from tesselath.measure import ALIKE, OFF_A_JOINT, cosine, sine
from tesselath.parts import Part, Stage
from tesselath.shape import area

__all__ = ["Batten", "Check", "GlueUp", "glue_up_size", "is_ringed", "plan_glue_ups"]


@dataclass(frozen=True, slots=True)
class Batten:
    """The straight edge against which the first row is laid, its side to the pieces.

    ``start`` and ``end`` are points of that side, ``offset`` its distance from the centre, and
    ``way`` its direction, counter-clockwise from left to right [mm, degrees].
    """

    start: tuple[float, float]
    end: tuple[float, float]
    offset: float
    way: float


@dataclass(frozen=True, slots=True)
class Check:
    """What the tape must read once a piece lies.

    ``axis`` "away" is measured from the centre line that runs left to right, ``side`` "front" or
    "back" of it; "across" from the one that runs front to back, "left" or "right" of it; with
    ``side`` "over all" it is the size of the ring that is then closed. ``number`` is the piece
    whose farthest corner is measured, ``after`` the one that was laid last; ``planned`` [mm].
    ``likely`` is how far it may be off as a rule: more, and a piece is wrong [mm]. ``at`` are
    the points that are measured: the corner, or the two ends of a ring.
    """

    after: int
    zone: str
    row: int
    number: int
    axis: str
    side: str
    planned: float
    likely: float
    at: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class GlueUp:
    """The pieces glued within one open time: glue-up 3 of 9.

    ``numbers`` stand in the order in which they are laid. ``trays`` are the part marks with how
    many of each are needed. ``first_pair`` are the two pieces set to the centre lines, and
    ``batten`` what the first row is laid against; both only where nothing lies yet. ``box`` is
    the rectangle to spread: left, front, right, back [mm]; ``spread_area`` what the pieces cover
    [mm2], ``grams`` the glue for it; ``minutes`` for laying, ``hold_minutes`` until the weights
    may be lifted.
    """

    number: int
    numbers: tuple[int, ...]
    zones: tuple[str, ...]
    trays: tuple[tuple[str, int], ...]
    first_pair: tuple[int, ...]
    batten: Batten | None
    box: tuple[float, float, float, float]
    spread_area: float
    grams: float
    minutes: float
    hold_minutes: float
    pins: tuple[Pin, ...]
    checks: tuple[Check, ...]


def glue_up_size(design: Design) -> int:
    """Say how many pieces are laid within one open time, at least one [count]."""
    return max(1, int(design.glue.open_time // design.glue.pace))


def plan_glue_ups(
    design: Design,
    *,
    zones: Sequence[LaidZone],
    pieces: Sequence[Piece],
    parts: Sequence[Part],
    stages: Sequence[Stage],
) -> tuple[tuple[Piece, ...], tuple[GlueUp, ...]]:
    """Plan the glue-ups of a top.

    Source: common practice.

    Parameters
    ----------
    design : Design
        The design: open time, pace, how pieces are held.
    zones : sequence of LaidZone
        The zones, from the inside outward.
    pieces : sequence of Piece
        The pieces in order of number.
    parts : sequence of Part
        The parts in order of mark.
    stages : sequence of Stage
        In which order the pieces are cut; what is cut to the opening as measured later is glued
        after the rest.

    Returns
    -------
    tuple of pieces and glue-ups
        The pieces with the glue-up of each, and the glue-ups in order.
    """
    order = order_gluing(
        pieces,
        zones=[_as_glued(design, zone) for zone in zones],
        gap=design.strips.gap,
        goes={n: go for go, stage in enumerate(stages) for n in stage.numbers},
        size=glue_up_size(design),
    )
    of = {n: k for k, numbers in enumerate(order.glue_ups, 1) for n in numbers}
    numbered = tuple(replace(piece, glue_up=of[piece.number]) for piece in pieces)
    trimmed = next((z.outline for z in zones if z.trimmed and design.order == "trim"), None)
    hold = hold_of(design)
    marks = [part.mark for part in parts]
    by_number = {piece.number: piece for piece in numbered}
    checks = _checks(order, by_number, read_edges(numbered), design.saw)
    glue_ups = []
    for k, numbers in enumerate(order.glue_ups, 1):
        mine = [by_number[n] for n in numbers]
        counts = Counter(piece.part for piece in mine)
        corners = np.vstack([np.asarray(piece.outline) for piece in mine])
        (left, front), (right, back) = corners.min(axis=0), corners.max(axis=0)
        covered = sum(area(piece.outline) for piece in mine)
        glue_ups.append(
            GlueUp(
                number=k,
                numbers=numbers,
                zones=tuple(dict.fromkeys(p.zone for p in mine)),
                trays=tuple((mark, counts[mark]) for mark in marks if counts[mark]),
                first_pair=numbers[:2] if k == 1 else (),
                batten=_batten(order, mine, by_number) if k == 1 else None,
                box=(float(left), float(front), float(right), float(back)),
                spread_area=covered,
                grams=covered / 1e6 * design.glue.spread,
                minutes=len(mine) * design.glue.pace / 60,
                hold_minutes=hold.minutes,
                pins=tuple(place_pins(design, mine, trimmed=trimmed)),
                checks=checks[k],
            )
        )
    return numbered, tuple(glue_ups)


def is_ringed(design: Design, zone: str) -> bool:
    """Say whether a zone is laid ring by ring: a plain border, or a pattern of rings."""
    kind, _, number = zone.partition("-")
    if kind == "border":
        return design.borders[int(number) - 1].filling is None
    if kind == "medallion":
        return design.medallions[int(number) - 1].filling.pattern.rings is not None
    return design.field.filling.pattern.rings is not None and design.field.mirror == "none"


def _as_glued(design: Design, zone: LaidZone) -> GluingZone:
    """Tell how a zone is glued: ring by ring, side by side, or row by row."""
    return GluingZone(
        zone.name,
        zone.outline,
        ringed=is_ringed(design, zone.name),
        sided=zone.name.startswith("border"),
        let_in=zone.name.startswith("medallion"),
        mirror=design.field.mirror if zone.name == "field" else "none",
    )


def _batten(
    order: GluingOrder, laid: Sequence[Piece], pieces: Mapping[int, Piece]
) -> Batten | None:
    """Put a straight edge along the first row, on the side from which it does not grow."""
    line = next(one for one in order.lines if laid[0].number in one.numbers)
    row = [
        pieces[n]
        for one in order.lines
        for n in one.numbers
        if (one.zone, one.sector, one.row) == (line.zone, line.sector, line.row)
    ]
    way = None if line.ringed else _row_way(row)
    if way is None or len(row) < 2:
        return None
    normal = np.array([-way[1], way[0]])
    others = [pieces[n] for one in order.lines if one.sector == line.sector for n in one.numbers]
    if np.mean([_middle(p) @ normal for p in others]) < np.mean([_middle(p) @ normal for p in row]):
        normal = -normal
    mine = [p for p in laid if p in row]
    corners = np.vstack([np.asarray(p.outline) for p in mine])
    offset = float((corners @ normal).min())
    first, last = float((corners @ way).min()), float((corners @ way).max())
    start, end = first * way + offset * normal, last * way + offset * normal
    return Batten(
        (float(start[0]), float(start[1])),
        (float(end[0]), float(end[1])),
        abs(offset),
        float(np.degrees(np.arctan2(way[1], way[0]))) % 180.0,
    )


def _middle(piece: Piece) -> NDArray[np.float64]:
    middle: NDArray[np.float64] = np.asarray(piece.outline).mean(axis=0)
    return middle


def _row_way(row: Sequence[Piece]) -> NDArray[np.float64] | None:
    """The way in which the alike pieces of a row follow each other; None where none are alike."""
    votes: Counter[float] = Counter()
    for one, other in combinations(row, 2):
        if one.part == other.part and abs(one.grain - other.grain) <= ALIKE:
            x, y = _middle(other) - _middle(one)
            angle = float(np.degrees(np.arctan2(y, x))) % 180.0
            votes[round(angle, 2) % 180.0] += 1
    if not votes:
        grains = {round(piece.grain, 3) for piece in row}
        if len(grains) > 1:
            return None
        votes[grains.pop()] += 1
    angle = min(votes, key=lambda a: (-votes[a], min(a, 180.0 - a)))
    return np.array([cosine(angle), sine(angle)])


def _checks(
    order: GluingOrder, pieces: Mapping[int, Piece], edges: EdgeTable, saw: Saw
) -> dict[int, tuple[Check, ...]]:
    """Say for each glue-up what the tape must read after it; one reading for each row it ends."""
    found: dict[int, tuple[Check, ...]] = {}
    left = {id(line): len(line.numbers) for line in order.lines}
    of = {n: line for line in order.lines for n in line.numbers}
    for k, numbers in enumerate(order.glue_ups, 1):
        checks: list[Check] = []
        for number in numbers:
            line = of[number]
            left[id(line)] -= 1
            if left[id(line)]:
                continue
            row = [pieces[n] for n in line.numbers]
            if line.ringed:
                checks += [_over_all(row, number, axis, edges, saw) for axis in ("across", "away")]
            else:
                along = abs(line.way[0]) >= abs(line.way[1])
                checks.append(_farthest(row, number, "away" if along else "across", edges, saw))
        if not checks:
            # No row is finished: the tape is laid along it.
            line = of[numbers[-1]]
            along = abs(line.way[0]) >= abs(line.way[1])
            row = [pieces[n] for n in numbers if of[n] is line]
            axis = "across" if along else "away"
            checks.append(_farthest(row, numbers[-1], axis, edges, saw))
        found[k] = tuple(checks)
    return found


def _farthest(row: Sequence[Piece], after: int, axis: str, edges: EdgeTable, saw: Saw) -> Check:
    """The corner of a row that stands farthest from a centre line."""
    k = 0 if axis == "across" else 1
    reach = [
        (round(abs(float(xy[k])), 3), -piece.number, float(xy[0]), float(xy[1]))
        for piece in row
        for xy in np.asarray(piece.outline)
    ]
    _, number, *corner = max(reach)
    value = corner[k]
    side = ("right", "left") if k == 0 else ("back", "front")
    piece = next(p for p in row if p.number == -number)
    # The line is drawn through the middle of the piece, for the corner itself lies on its rim.
    beside = float(_middle(piece)[1 - k])
    likely = _likely(edges, saw, k, beside, 0.0, value)
    return Check(
        after,
        piece.zone,
        piece.row,
        -number,
        axis,
        side[value < 0],
        abs(value),
        likely,
        ((corner[0], corner[1]),),
    )


def _over_all(ring: Sequence[Piece], after: int, axis: str, edges: EdgeTable, saw: Saw) -> Check:
    """The size of a ring, over all."""
    k = 0 if axis == "across" else 1
    corners = np.vstack([np.asarray(piece.outline) for piece in ring])
    low, high = float(corners[:, k].min()), float(corners[:, k].max())
    beside = float(corners[:, 1 - k].max() + corners[:, 1 - k].min()) / 2
    likely = _likely(edges, saw, k, beside, low, high)
    ends = tuple((v, beside) if k == 0 else (beside, v) for v in (low, high))
    return Check(
        after, ring[0].zone, ring[0].row, after, axis, "over all", high - low, likely, ends
    )


def _likely(edges: EdgeTable, saw: Saw, k: int, beside: float, first: float, last: float) -> float:
    """How far a reading along x (k = 0) or y (k = 1) may be off as a rule."""
    beside += OFF_A_JOINT
    start, end = ((first, beside), (last, beside)) if k == 0 else ((beside, first), (beside, last))
    return errors_along(edges, saw, start=start, end=end).likely
