"""The shopping list: strips, wood for made-up parts, frame, base, glue, pins and finish.

Comes in: the design, the parts and what to buy of each stick. Goes out: one row an item. Prices are
given where the design gives them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from tesselath.design import Design
from tesselath.frame import FrameBase, group_members
from tesselath.glue import Finish, PinSize
from tesselath.measure import show_number
from tesselath.parts import Part
from tesselath.shape import Outline, area
from tesselath.stock import Purchase

__all__ = ["ShoppingRow", "list_shopping", "show_count"]


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
    frame_base: FrameBase,
    field: Outline,
    parts: Sequence[Part],
    to_buy: Sequence[Purchase],
    pin: PinSize | None,
    pins: int,
    finish: Finish,
) -> tuple[ShoppingRow, ...]:
    """List what to buy.

    Parameters
    ----------
    frame_base : FrameBase
        The frame and the base as planned.
    field : array (n, 2)
        What the strips cover [mm].
    parts : sequence of Part
        The parts, for those that are made up from a board.
    to_buy : sequence of Purchase
        The sticks or boards to buy.
    pin : PinSize or None
        The pin or brad that holds the pieces, if any.
    pins : int
        How many of them are set [count].
    finish : Finish
        The finish for both faces.

    Returns
    -------
    tuple of ShoppingRow
        Strips first, then made-up wood, frame, base, glue, pins and finish.
    """
    rows = [
        ShoppingRow(
            "strips" if p.board is None else "boards",
            _item(p),
            p.wood,
            p.length,
            p.width,
            p.thickness,
            p.count,
            p.unit,
            p.price,
        )
        for p in to_buy
    ]
    for part in parts:
        if part.handling == "make up":
            rows.append(
                ShoppingRow(
                    "made up",
                    f"part {part.mark}",
                    part.wood,
                    part.overall,
                    part.width,
                    design.strips.thickness,
                    part.count + part.spares,
                    "blank",
                    None,
                )
            )
    rows += _frame(design, frame_base) + _base(frame_base)
    grams = area(field) / 1e6 * design.glue.spread
    rows.append(
        ShoppingRow("glue", "wood glue", None, None, None, None, ceil(grams / 10) * 10, "g", None)
    )
    if pin is not None and pin.length is not None and pins:
        # A tenth more, for those that bend or are drawn again.
        rows.append(
            ShoppingRow(
                "pins",
                f"{pin.gauge} gauge {pin.kind}",
                None,
                pin.length,
                None,
                None,
                ceil(pins * 1.1 / 50) * 50,
                "piece",
                None,
            )
        )
    rows.append(
        ShoppingRow(
            "finish",
            f"finish, {finish.coats} coats on both faces",
            None,
            None,
            None,
            None,
            finish.amount,
            "ml",
            None,
        )
    )
    priced = [row.price for row in rows if row.price is not None]
    if priced:
        rows.append(
            ShoppingRow(
                "total",
                "what has a price",
                None,
                None,
                None,
                None,
                len(priced),
                "lines",
                round(sum(priced), 2),
            )
        )
    return tuple(rows)


def show_count(row: ShoppingRow) -> str:
    """Print how much to buy, with its unit.

    Source: none needed.

    Examples
    --------
    >>> show_count(ShoppingRow("boards", "rough", "oak", None, None, None, 7, "board foot", None))
    '7 board feet'
    """
    unit = row.unit
    if row.count != 1 and unit not in ("g", "ml"):
        unit = "board feet" if unit == "board foot" else f"{unit}s"
    return f"{show_number(row.count)} {unit}"


def _item(bought: Purchase) -> str:
    """Name what is bought; for boards with how they are measured."""
    if bought.board is None:
        return bought.unit
    rule = f" by the {bought.rule} rule" if bought.rule else ""
    if bought.measure is None:
        return f"rough board of random width{rule}"
    unit = "board feet" if bought.measured_in == "board foot" else "cubic metres"
    digits = 2 if bought.measured_in == "board foot" else 4
    return f"board of {show_number(bought.measure, decimals=digits)} {unit}{rule}"


def _frame(design: Design, planned: FrameBase) -> list[ShoppingRow]:
    frame = design.frame
    if frame is None:
        return []
    rows = [
        ShoppingRow(
            "frame",
            names,
            frame.wood,
            member.blank[0],
            member.blank[1],
            frame.thickness,
            count,
            "piece",
            None,
        )
        for names, member, count in group_members(planned.members)
    ]
    joints = planned.joints
    if joints is not None:
        item = {"spline": "splines", "key": "corner keys"}.get(joints.kind, "loose tenons")
        length, width = (
            (joints.across, None) if joints.along is None else (joints.along, joints.across)
        )
        rows.append(
            ShoppingRow("frame", item, None, length, width, None, joints.count, "piece", None)
        )
    return rows


def _base(planned: FrameBase) -> list[ShoppingRow]:
    base = planned.base
    if base is None:
        return []
    cut = base.sheets
    rows = [
        ShoppingRow(
            "base",
            "plywood panel" if cut.joins == 0 else "plywood part",
            None,
            *cut.part,
            base.thickness,
            len(cut.parts),
            "panel" if cut.joins == 0 else "part",
            None,
        ),
    ]
    if base.listed or cut.joins:
        rows.append(
            ShoppingRow(
                "base", "plywood sheet", None, *cut.sheet, base.thickness, cut.sheets, "sheet", None
            )
        )
    return rows
