"""The plan: one value that holds every stage's result and all notes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tesselath.design import Design
from tesselath.notes import Note
from tesselath.parts import Part
from tesselath.pieces import Piece
from tesselath.setups import Setup
from tesselath.shopping import ShoppingRow
from tesselath.sticks import Bound, Stick

__all__ = ["GlueUp", "OrderCost", "Plan", "Zone"]

Outline = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Zone:
    """A named part of the top: "field", "border-1" (outermost), "medallion-1"."""

    name: str
    outline: Outline


@dataclass(frozen=True, slots=True)
class OrderCost:
    """What one order of work would cost, for the trade-off that the plan prints."""

    order: str
    pieces: int
    parts: int
    cuts: int
    setups: int
    sticks: int
    net_length: float


@dataclass(frozen=True, slots=True)
class GlueUp:
    """The pieces glued within one open time."""

    number: int
    numbers: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything the bench needs; every output reads only this.

    ``opening`` (n, 2) is the clear area inside the frame, counter-clockwise [mm].
    ``uncovered`` are the outlines inside the zones that no strip covers.
    """

    design: Design
    opening: Outline
    zones: tuple[Zone, ...]
    pieces: tuple[Piece, ...]
    parts: tuple[Part, ...]
    setups: tuple[Setup, ...]
    sticks: tuple[Stick, ...]
    bounds: tuple[Bound, ...]
    sticks_to_buy: tuple[tuple[str, float, int], ...]  # wood, strip width, count
    shopping: tuple[ShoppingRow, ...]
    glue_ups: tuple[GlueUp, ...]
    uncovered: tuple[Outline, ...]
    uncovered_area: float
    orders: tuple[OrderCost, ...]
    notes: tuple[Note, ...]
    totals: dict[str, float]

    def part(self, mark: str) -> Part:
        """Find a part by its mark."""
        return next(part for part in self.parts if part.mark == mark)
