"""Saw set-ups: a swing, an angle, a stop and a handling, in the order to cut.

Comes in: parts as they lie at the saw, and the sticks they are cut from. Goes out: set-ups. Parts
for another tool are cut square to length first and marked out.

An angle alone is not a set-up: with a stop on the left a parallelogram and a trapezoid of one
angle swing opposite ways. The order has few changes of angle first, then few of the stop, the
longest first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tesselath.design import Saw
from tesselath.measure import ANGLE_ALIKE, tangent
from tesselath.parts import Part, ScaleReading, is_within_reach, read_scale
from tesselath.stock import Stick

__all__ = ["MarkOut", "SawCounts", "Setup", "count_settings", "plan_mark_outs", "plan_setups"]


#: A saw whose zero is right and that can be set to any angle.
_PLAIN_SAW = Saw()


@dataclass(frozen=True, slots=True)
class Setup:
    """One saw setting with one stop distance.

    ``mitre`` (0 is square, never negative) and ``swing`` are those of the cut made against the
    stop; ``end_mitre`` and ``end_swing`` those of the end that meets the stop. ``stop`` is the
    distance along the fence from the stop to the cut [mm]. ``strip_width`` is the width of the
    stick on the saw [mm]. ``scale`` and ``end_scale`` are what the saw's scale reads for the two.
    """

    mitre: float
    swing: str
    stop: float
    stop_side: str
    handling: str
    end_mitre: float
    end_swing: str
    strip_width: float
    parts: tuple[str, ...]
    count: int
    sticks: tuple[str, ...]
    scale: ScaleReading
    end_scale: ScaleReading

    @property
    def is_dialled(self) -> bool:
        """Whether the scale reads anything else than what is cut."""
        cuts = (
            (self.mitre, self.swing, self.scale),
            (self.end_mitre, self.end_swing, self.end_scale),
        )
        return any(
            abs(mitre - read.angle) > ANGLE_ALIKE or swing != read.swing
            for mitre, swing, read in cuts
        )


@dataclass(frozen=True, slots=True)
class MarkOut:
    """A cut that is marked and sawn by hand: its run over the piece's width [mm].

    ``at`` is where the line crosses the mid-line, from the stop end's main cut [mm]; it and the
    run are None for a notch.
    """

    part: str
    side: str
    op: str
    mitre: float | None
    run: float | None
    over: float
    at: float | None
    steep: bool


@dataclass(frozen=True, slots=True)
class SawCounts:
    """How often something is done at the saw [count].

    ``angles`` is the number of angles it is set to, ``stops`` of settings of the stop, one for
    each set-up; ``handlings`` is how often a stick is taken up for a set-up. Whoever cuts stick
    by stick sets the stop as often as that, and ``stops_by_like_sticks`` whoever cuts equal
    sticks together.
    """

    angles: int
    stops: int
    handlings: int
    stops_by_like_sticks: int


def plan_setups(
    parts: Sequence[Part], sticks: Sequence[Stick], *, saw: Saw = _PLAIN_SAW
) -> tuple[Setup, ...]:
    """Put the saw's settings into the order in which to cut.

    Source: common practice.

    Parameters
    ----------
    parts : sequence of Part
        All parts; those that are made up have no set-up.
    sticks : sequence of Stick
        The sticks, to name those that each set-up needs.
    saw : Saw
        The saw, for what to dial on its scale.

    Returns
    -------
    tuple of Setup
        The set-ups, few changes of angle first, then few of the stop, longest first.
    """
    found: dict[tuple[object, ...], list[Part]] = {}
    for part in parts:
        if part.handling != "make up":
            found.setdefault(_setting(part), []).append(part)
    setups = []
    for members in found.values():
        first = members[0]
        marks = tuple(part.mark for part in members)
        mitre, swing, end_mitre, end_swing, stop = _cut_against_stop(first)
        setups.append(
            Setup(
                mitre=mitre,
                swing=swing,
                stop=stop,
                stop_side=first.stop_side,
                handling=first.handling,
                end_mitre=end_mitre,
                end_swing=end_swing,
                strip_width=first.stick_width,
                parts=marks,
                count=sum(part.count + part.spares for part in members),
                sticks=tuple(s.name for s in sticks if any(m in s.pieces for m in marks)),
                scale=read_scale(mitre, swing, saw),
                end_scale=read_scale(end_mitre, end_swing, saw),
            )
        )
    return tuple(sorted(setups, key=_order))


def _cut_against_stop(part: Part) -> tuple[float, str, float, str, float]:
    """Give mitre and swing at the blade, then at the stop, and the stop's distance."""
    if part.handling == "mark and hand saw":
        return 0.0, "square", 0.0, "square", part.overall
    blade, stop = (1, 0) if part.stop_side == "left" else (0, 1)
    return (
        abs(part.mitres[blade]),
        part.swings[blade],
        abs(part.mitres[stop]),
        part.swings[stop],
        part.on_fence,
    )


def _setting(part: Part) -> tuple[object, ...]:
    mitre, swing, end_mitre, end_swing, stop = _cut_against_stop(part)
    return (
        round(mitre, 2),
        swing,
        round(end_mitre, 2),
        end_swing,
        round(stop, 2),
        part.stop_side,
        part.handling,
        round(part.stick_width, 2),
    )


def _order(setup: Setup) -> tuple[object, ...]:
    by_hand = setup.handling == "mark and hand saw"
    return (
        by_hand,
        round(setup.mitre, 2),
        setup.swing,
        round(setup.end_mitre, 2),
        setup.end_swing,
        setup.stop_side,
        -round(setup.stop, 2),
        -round(setup.strip_width, 2),
        setup.parts,
    )


def count_settings(setups: Sequence[Setup], sticks: Sequence[Stick]) -> SawCounts:
    """Count what is set and taken up at the saw, part by part with all sticks kept open.

    A stop is set anew for each part, whichever stick it comes from.

    Parameters
    ----------
    setups : sequence of Setup
        The set-ups in the order to cut.

    Returns
    -------
    SawCounts
        The three counts, and the stops that other ways of working would take.

    Raises
    ------
    Nothing.
    """
    angles = {round(m, 2) for setup in setups for m in (setup.mitre, setup.end_mitre)}
    of_part = {mark: number for number, setup in enumerate(setups) for mark in setup.parts}
    taken_up = [len({of_part[mark] for mark in stick.pieces}) for stick in sticks]
    alike = {
        (stick.wood, stick.strip_width, stick.width, stick.length, stick.pieces): count
        for stick, count in zip(sticks, taken_up, strict=True)
    }
    return SawCounts(len(angles), len(setups), sum(taken_up), sum(alike.values()))


def plan_mark_outs(parts: Sequence[Part], *, saw: Saw = _PLAIN_SAW) -> tuple[MarkOut, ...]:
    """List every cut that is not made at the mitre saw, with its run over the width.

    Source: identity (run = width x tan of the mitre).

    Parameters
    ----------
    saw : Saw
        The saw, for the steepest cut it can be set to.

    Returns
    -------
    tuple of MarkOut
        The cuts of all parts that are marked and sawn by hand, square ends left out.
    """
    marked = []
    for part in parts:
        if part.handling != "mark and hand saw":
            continue
        for cut in part.cuts:
            if cut.mitre is None:
                marked.append(
                    MarkOut(part.mark, cut.side, cut.op, None, None, part.width, None, False)
                )
            elif abs(cut.mitre) > ANGLE_ALIKE:
                run = abs(part.width * tangent(cut.mitre))
                steep = not is_within_reach(cut.mitre, saw)
                marked.append(
                    MarkOut(part.mark, cut.side, cut.op, cut.mitre, run, part.width, cut.at, steep)
                )
    return tuple(marked)
