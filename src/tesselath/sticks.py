"""Sticks: what to cut from each length of strip stock."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Bound", "Stick"]


@dataclass(frozen=True, slots=True)
class Stick:
    """One stick and the pieces cut from it, in order [mm].

    ``width`` is the width on the saw: less than ``strip_width`` when it is ripped first.
    ``used`` is trim + pieces + kerfs; ``left_over`` the rest, the held tail included.
    """

    name: str
    wood: str
    width: float
    strip_width: float
    length: float
    pieces: tuple[str, ...]
    used: float
    left_over: float


@dataclass(frozen=True, slots=True)
class Bound:
    """The least number of sticks that could do, for one wood and width."""

    wood: str
    width: float
    sticks: int
    proven_least: int
    status: str
