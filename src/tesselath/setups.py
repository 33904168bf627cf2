"""Saw set-ups: a swing, an angle, a stop and a handling, in the order to cut.

Comes in: parts as they lie at the saw, and the sticks they are cut from. Goes out: set-ups.
Refuses: nothing; parts for another tool are cut square to length first and marked out.

An angle alone is not a set-up: with a stop on the left a parallelogram and a trapezoid of one
angle swing opposite ways. The order has few changes of angle first, then few of the stop, the
longest first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tesselath.parts import Part
from tesselath.sticks import Stick

__all__ = ["Setup", "plan_setups"]


@dataclass(frozen=True, slots=True)
class Setup:
    """One saw setting with one stop distance.

    ``mitre`` (0 is square, never negative) and ``swing`` are those of the cut made against the
    stop; ``end_mitre`` and ``end_swing`` those of the end that meets the stop. ``stop`` is the
    distance along the fence from the stop to the cut [mm]. ``strip_width`` is the width of the
    stick on the saw [mm].
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


def plan_setups(parts: Sequence[Part], sticks: Sequence[Stick]) -> tuple[Setup, ...]:
    """Put the saw's settings into the order in which to cut.

    Parameters
    ----------
    parts : sequence of Part
        All parts; those that are made up have no set-up.
    sticks : sequence of Stick
        The sticks, to name those that each set-up needs.

    Returns
    -------
    tuple of Setup
        The set-ups, few changes of angle first, then few of the stop, longest first.

    Raises
    ------
    KeyError
        Never.

    Notes
    -----
    Source: common practice.
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
                mitre=mitre, swing=swing, stop=stop, stop_side=first.stop_side,
                handling=first.handling, end_mitre=end_mitre, end_swing=end_swing,
                strip_width=first.width, parts=marks,
                count=sum(part.count + part.spares for part in members),
                sticks=tuple(s.name for s in sticks if any(m in s.pieces for m in marks)),
            )
        )  # fmt: skip
    return tuple(sorted(setups, key=_order))


def _cut_against_stop(part: Part) -> tuple[float, str, float, str, float]:
    """Give mitre and swing at the blade, then at the stop, and the stop's distance."""
    if part.handling == "mark and hand saw":
        return 0.0, "square", 0.0, "square", part.overall
    blade, stop = (1, 0) if part.stop_side == "left" else (0, 1)
    return (
        abs(part.mitres[blade]), part.swings[blade],
        abs(part.mitres[stop]), part.swings[stop], part.on_fence,
    )  # fmt: skip


def _setting(part: Part) -> tuple[object, ...]:
    mitre, swing, end_mitre, end_swing, stop = _cut_against_stop(part)
    return (
        round(mitre, 2), swing, round(end_mitre, 2), end_swing, round(stop, 2),
        part.stop_side, part.handling, round(part.width, 2),
    )  # fmt: skip


def _order(setup: Setup) -> tuple[object, ...]:
    by_hand = setup.handling == "mark and hand saw"
    return (
        by_hand, round(setup.mitre, 2), setup.swing, round(setup.end_mitre, 2), setup.end_swing,
        setup.stop_side, -round(setup.stop, 2), -round(setup.strip_width, 2), setup.parts,
    )  # fmt: skip
