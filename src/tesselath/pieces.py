"""Pieces: each thing that is cut and glued, with its measures and its straight cuts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Cut", "Piece"]

Outline = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Cut:
    """One straight cut of a piece as it lies at the saw.

    The cut line is x = at + y tan(mitre): x along the fence away from the stop, y towards the
    fence, y = 0 on the mid-line of the piece, x = 0 where the stop end's main cut crosses the
    mid-line. ``op`` is "end", "corner" or "notch"; a notch has no line but the ``points`` of
    the corner that is sawn out.
    """

    op: str
    side: str  # "left" or "right"
    mitre: float | None
    at: float | None
    points: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Piece:
    """Piece 17: where it lies, and what is cut for it.

    ``outline`` (n, 2) is what lies finished, counter-clockwise, in the opening's axes [mm].
    ``blank`` is what is cut where that differs, else None. ``grain`` is 0 to under 180
    [degrees]. ``overall`` is the extent along the grain, ``width`` across it and ``edge`` the
    longest side along it, all of what is cut.
    """

    number: int
    part: str
    zone: str
    wood: str
    tone: str
    outline: Outline
    blank: Outline | None
    grain: float
    overall: float
    edge: float
    width: float
    row: int
    glue_up: int

    @property
    def cut_outline(self) -> Outline:
        """What the saw must make: the blank where there is one, else the outline."""
        return self.outline if self.blank is None else self.blank
