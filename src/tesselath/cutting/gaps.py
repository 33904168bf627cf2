"""Gaps: the wood lost where two ends meet on a stick, and at the stick's own ends.

Comes in: end profiles, the strip's width, the kerf and a joint rule. Goes out: lengths measured on
the mid-line. Refuses: a rule that is not known.

Where two ends are alike one cut serves both, and only its kerf lies between them. Where they
differ, the first cut severs and the other recuts what has been severed::

      _________ /    |________
               /     |              severed along the slash; the square cut
      ________/      |________      then trims the stick's new end
"""

from __future__ import annotations

import math
from typing import Literal

from tesselath.cutting.ends import EndProfile, end_corners, reach
from tesselath.errors import Fault, SawError

__all__ = [
    "RULES",
    "RUNS_ALIKE",
    "JointRule",
    "finish_cost",
    "joint_gap",
    "kerf_along",
    "start_cost",
]

JointRule = Literal["stick only", "safe", "tight"]

#: The joint rules a maker can choose, the default first.
RULES: tuple[JointRule, ...] = ("stick only", "safe", "tight")

#: Two ends whose runs differ by less are cut at one setting of the saw [mm].
RUNS_ALIKE = 0.05


def kerf_along(run: float, *, width: float, kerf: float) -> float:
    """Say how much length one cut takes, measured along the strip.

    Source: own derivation; elementary trigonometry.

    >>> round(kerf_along(40.0, width=40.0, kerf=3.0), 6)
    4.242641
    """
    return kerf * math.hypot(1.0, run / width)


def joint_gap(
    right: EndProfile,
    left: EndProfile,
    *,
    width: float,
    kerf: float,
    rule: JointRule = "stick only",
    may_trim_loose: bool = True,
) -> float:
    """Say how far apart two neighbours lie on a stick, measured on the mid-line.

    One severing cut of run s parts the two; each end sticks out past
    it by its reach, and the kerf of the severing cut lies between. Later cuts of a piece run
    into waste, unless the rule asks for a full kerf of wood at each.

    >>> from tesselath.cutting.ends import straight_end
    >>> square, leaning = straight_end(0.0), straight_end(40.0)
    >>> joint_gap(square, leaning, width=40.0, kerf=3.0)
    23.0
    >>> round(joint_gap(square, leaning, width=40.0, kerf=3.0, rule="safe"), 6)
    27.242641
    """
    _check_rule(rule)
    severing = list(right.runs)
    if rule == "safe" or (rule == "tight" and may_trim_loose):
        severing += left.runs
    gaps = []
    for run in severing:
        if rule == "safe":
            shares = _padded(right, run, width, kerf) + _padded(left, run, width, kerf)
        else:
            shares = reach(right, run) + reach(left, run)
        gaps.append(shares + kerf_along(run, width=width, kerf=kerf))
    return min(gaps)


def start_cost(
    left: EndProfile, *, width: float, kerf: float, rule: JointRule = "stick only"
) -> float:
    """Say how far the first piece lies from the square end of a stick, on the mid-line.

    >>> from tesselath.cutting.ends import straight_end
    >>> start_cost(straight_end(40.0), width=40.0, kerf=3.0)
    20.0
    """
    _check_rule(rule)
    return _padded(left, 0.0, width, kerf) if rule == "safe" else reach(left, 0.0)


def finish_cost(
    right: EndProfile,
    *,
    width: float,
    kerf: float,
    rule: JointRule = "stick only",
    holding: float = 0.0,
    may_trim_loose: bool = True,
) -> float:
    """Say how much stick must follow the last piece, measured on the mid-line.

    >>> from tesselath.cutting.ends import straight_end
    >>> finish_cost(straight_end(0.0), width=40.0, kerf=3.0, holding=150.0)
    153.0
    """
    if holding <= 0.0:
        return start_cost(right, width=width, kerf=kerf, rule=rule)
    _check_rule(rule)
    severing = list(right.runs)
    if rule == "tight" and may_trim_loose:
        severing.append(0.0)
    shares = []
    for run in severing:
        own = _padded(right, run, width, kerf) if rule == "safe" else reach(right, run)
        shares.append(own + kerf_along(run, width=width, kerf=kerf) + abs(run) / 2)
    return holding + min(shares)


def _check_rule(rule: str) -> None:
    if rule not in RULES:
        choices = ", ".join(f'"{known}"' for known in RULES)
        raise SawError(Fault("", rule, "The joint rule is not known.", f"Choose from {choices}."))


def _padded(end: EndProfile, run: float, width: float, kerf: float) -> float:
    """Give the reach past a severing line if every other cut needs a full kerf of wood [mm]."""
    corners = end_corners(end)
    farthest = reach(end, run)
    for (offset, lean), (low, _), (high, _) in zip(end.facets, corners, corners[1:], strict=False):
        if abs(lean - run) < RUNS_ALIKE:
            continue
        along = kerf_along(lean, width=width, kerf=kerf)
        farthest = max(farthest, *(offset + (lean - run) * t + along for t in (low, high)))
    return farthest
