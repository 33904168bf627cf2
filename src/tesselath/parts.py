"""Parts: identical pieces under one letter, described as they lie at the saw."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tesselath.pieces import Cut

__all__ = ["Part"]


@dataclass(frozen=True, slots=True)
class Part:
    """Part A: a set of identical pieces, cut at one setting.

    Described as it lies at the saw: fence above, show face up, stop end at the left. ``shape``
    (n, 2) is its outline there: x along the fence with 0 at the stop end's mid-line crossing, y
    towards the fence with 0 on the mid-line [mm]. ``mitres`` (left, right) are signed: the cut
    line is x = x_mid + y tan(mitre). ``swings`` are "R" (cuts like a backslash), "L" (cuts like a
    slash) or "square". ``strip_width`` is the strip it is cut from, None when it is made up;
    a part narrower than its strip (``ripped``) comes from a stick ripped to ``width`` first.
    ``handling`` is "slide", "roll", "swing", "make up" or "mark and hand saw".
    """

    mark: str
    count: int
    spares: int
    wood: str
    width: float
    strip_width: float | None
    edge: float
    overall: float
    long_point: float | None
    short_point: float | None
    mitres: tuple[float, float]
    swings: tuple[str, str]
    handling: str
    stop_side: str
    cuts: tuple[Cut, ...]
    handed_pair: str | None  # the mark of its mirror twin
    numbers: tuple[int, ...]
    shape: NDArray[np.float64]
    too_steep: bool = False  # an end is steeper than the saw swings

    @property
    def ripped(self) -> bool:
        """Whether it comes from a stick that is ripped narrower first."""
        return self.strip_width is not None and self.width < self.strip_width - 0.005
