"""The shopping list: strips, wood for made-up parts, frame, base and glue.

Comes in: the design, the parts and what to buy of each stick. Goes out: one row an item.
Refuses: nothing; prices are given where the design gives them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from tesselath.boards import Purchase
from tesselath.design import Design
from tesselath.outlines import Outline, area
from tesselath.parts import Part

__all__ = ["ShoppingRow", "list_shopping"]


@dataclass(frozen=True, slots=True)
class ShoppingRow:
    """One line to buy; lengths in mm, None where they mean nothing."""

    what: str
    item: str
    wood: str | None
    length: float | None
    width: float | None
    thickness: float | None
    count: float
    unit: str
    price: float | None


def list_shopping(
    design: Design,
    *,
    opening: Outline,
    field: Outline,
    parts: Sequence[Part],
    to_buy: Sequence[Purchase],
) -> tuple[ShoppingRow, ...]:
    """List what to buy.

    Parameters
    ----------
    design : Design
        The design.
    opening, field : array (n, 2)
        The clear area inside the frame, and what the strips cover [mm].
    parts : sequence of Part
        The parts, for those that are made up from a board.
    to_buy : sequence of Purchase
        The sticks or boards to buy.

    Returns
    -------
    tuple of ShoppingRow
        Strips first, then made-up wood, frame, base and glue.

    Raises
    ------
    ValueError
        Never.

    Notes
    -----
    Source: common practice.
    """
    rows = [
        ShoppingRow(
            "strips" if p.board is None else "boards", p.unit, p.wood, p.length, p.width,
            p.thickness, p.count, p.unit, p.price,
        )
        for p in to_buy
    ]  # fmt: skip
    for part in parts:
        if part.handling == "make up":
            rows.append(
                ShoppingRow("made up", f"part {part.mark}", part.wood, part.overall, part.width,
                            design.strips.thickness, part.count + part.spares, "blank", None)
            )  # fmt: skip
    rows += _frame(design, opening) + _base(design, opening)
    grams = area(field) / 1e6 * design.glue.spread
    rows.append(
        ShoppingRow("glue", "wood glue", None, None, None, None, ceil(grams / 10) * 10, "g", None)
    )
    priced = [row.price for row in rows if row.price is not None]
    if priced:
        rows.append(
            ShoppingRow("total", "what has a price", None, None, None, None, len(priced), "lines",
                        round(sum(priced), 2))
        )  # fmt: skip
    return tuple(rows)


def _frame(design: Design, opening: Outline) -> list[ShoppingRow]:
    frame = design.frame
    if frame is None or len(opening) != 4:
        return []
    width, depth = (float(v) for v in opening.max(axis=0) - opening.min(axis=0))
    # Butted, the long members run through; mitred, all are measured long point to long point.
    across = width + 2 * frame.width
    away = depth + 2 * frame.width if frame.corner == "mitre" else depth
    return [
        ShoppingRow(
            "frame", item, frame.wood, length, frame.width, frame.thickness, 2, "piece", None
        )
        for item, length in (("front and back", across), ("left and right", away))
    ]


def _base(design: Design, opening: Outline) -> list[ShoppingRow]:
    base = design.base
    if base is None:
        return []
    width, depth = (float(v) for v in opening.max(axis=0) - opening.min(axis=0))
    grow = 0.0
    if design.frame is not None:
        on_base = design.frame.sits == "on the base"
        grow = 2 * design.frame.width if on_base else -2 * base.clearance
    if design.order == "trim":
        grow += 2 * design.strips.overlength
    elif design.order == "lap" and design.frame is not None and grow <= 0:
        grow += 2 * design.frame.lap
    return [
        ShoppingRow("base", "plywood panel", None, width + grow, depth + grow, base.thickness, 1,
                    "panel", None)
    ]  # fmt: skip
