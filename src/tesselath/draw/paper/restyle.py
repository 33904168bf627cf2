"""A drawing again: at another size, or in black for a page without colour.

Comes in: a sheet. Goes out: the same sheet, restyled.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from tesselath.draw.paper.colours import grey
from tesselath.draw.paper.pens import INK, SIGNAL
from tesselath.draw.paper.sheet import (
    Circle,
    Corners,
    Fill,
    Hatch,
    Item,
    Line,
    Point,
    Polygon,
    Sheet,
    Stroke,
    Text,
)

__all__ = ["in_black", "scaled"]


def scaled(sheet: Sheet, by: float) -> Sheet:
    """Draw a sheet larger or smaller: pens and lettering with it.

    Parameters
    ----------
    by : float
        How many times as large.

    Raises
    ------
    ValueError
        If it would have no size.

    Examples
    --------
    >>> lid = Sheet("Lid", -10.0, -5.0, 20.0, 10.0, ())
    >>> scaled(lid, 0.5).width, scaled(lid, 0.5).left
    (10.0, -5.0)
    """
    if by <= 0.0:
        raise ValueError(f"{by} times as large is no size")
    return replace(
        _changed(sheet, lambda item: _scaled(item, by)),
        left=sheet.left * by,
        bottom=sheet.bottom * by,
        width=sheet.width * by,
        height=sheet.height * by,
    )


def in_black(sheet: Sheet) -> Sheet:
    """Draw a sheet in black and its greys: each colour as grey as a black copy makes it.

    Source: the luma of ITU-R BT.601, as black copies weigh colours.

    Returns
    -------
    Sheet
        The drawing without colour; lines in the signal colour become black.

    Examples
    --------
    >>> from tesselath.draw.paper.sheet import Layer
    >>> dot = Circle((0.0, 0.0), 1.0, Fill("#ff0000"))
    >>> in_black(Sheet("Dot", 0.0, 0.0, 2.0, 2.0, (Layer("dot", (dot,)),))).layers[0].items[0].fill
    Fill(colour='#4c4c4c', hatch=None)
    """
    return replace(_changed(sheet, _blackened), paper=_grey(sheet.paper))


def _changed(sheet: Sheet, change: Callable[[Item], Item]) -> Sheet:
    layers = (
        replace(layer, items=tuple(change(item) for item in layer.items)) for layer in sheet.layers
    )
    return replace(sheet, layers=tuple(layers))


def _scaled(item: Item, by: float) -> Item:
    def corners(run: Corners) -> Corners:
        larger: Corners = np.asarray(run, dtype=float) * by
        return larger

    def point(at: Point) -> Point:
        return at[0] * by, at[1] * by

    def pen(stroke: Stroke | None) -> Stroke | None:
        if stroke is None:
            return None
        dash = tuple(part * by for part in stroke.dash)
        return replace(stroke, width=stroke.width * by, dash=dash)

    def fill(paint: Fill | None) -> Fill | None:
        return paint if paint is None else _scaled_fill(paint, by)

    match item:
        case Line():
            stroke = replace(
                item.stroke,
                width=item.stroke.width * by,
                dash=tuple(part * by for part in item.stroke.dash),
            )
            return replace(item, runs=tuple(map(corners, item.runs)), stroke=stroke)
        case Polygon():
            return replace(
                item,
                outlines=tuple(map(corners, item.outlines)),
                fill=fill(item.fill),
                stroke=pen(item.stroke),
            )
        case Circle():
            return replace(
                item,
                centre=point(item.centre),
                radius=item.radius * by,
                fill=fill(item.fill),
                stroke=pen(item.stroke),
            )
        case Text():
            return replace(item, at=point(item.at), cap=item.cap * by)


def _scaled_fill(paint: Fill, by: float) -> Fill:
    hatch = paint.hatch
    if hatch is None:
        return paint
    dash = tuple(part * by for part in hatch.dash)
    larger = replace(hatch, spacing=hatch.spacing * by, width=hatch.width * by, dash=dash)
    return replace(paint, hatch=larger)


def _blackened(item: Item) -> Item:
    match item:
        case Text():
            return replace(item, colour=_ink(item.colour))
        case Line():
            return replace(item, stroke=replace(item.stroke, colour=_ink(item.stroke.colour)))
        case Polygon() | Circle():
            stroke, fill = item.stroke, item.fill
            if stroke is not None:
                stroke = replace(stroke, colour=_ink(stroke.colour))
            if fill is not None:
                fill = Fill(None if fill.colour is None else _grey(fill.colour), _hatch(fill.hatch))
            return replace(item, stroke=stroke, fill=fill)


def _hatch(hatch: Hatch | None) -> Hatch | None:
    return None if hatch is None else replace(hatch, colour=_ink(hatch.colour))


def _ink(colour: str) -> str:
    """Give the grey of a line; one that must not be missed is black."""
    return INK if colour == SIGNAL else _grey(colour)


def _grey(colour: str) -> str:
    if not colour.startswith("#"):
        return colour
    return "#" + 3 * f"{round(255 * (1.0 - grey(colour))):02x}"
