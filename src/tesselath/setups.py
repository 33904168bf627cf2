"""Saw set-ups: a swing, an angle, a stop and a handling, in the order to cut."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Setup"]


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
