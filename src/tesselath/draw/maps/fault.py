"""The drawing of a fault: where a pattern does not tile.

Comes in: one fault of a proof. Goes out: a sheet. Refuses: a fault that has no place.

The pieces round the place are drawn thin, those that the fault lies between in wood, and what
overlaps or stays bare is hatched and ringed, so that it is found even where it is a sliver::

        ______ ______
       |______|xx____|      hatched one way: bare; both ways: pieces on each other
       |__|______|___|

The drawing is not at true size; its foot says by how much it is larger or smaller.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from tesselath.draw.maps.title import title_block
from tesselath.draw.paper import (
    INK,
    SIGNAL,
    Circle,
    Fill,
    Hatch,
    Item,
    Layer,
    Point,
    Polygon,
    Sheet,
    Stroke,
    box_outline,
    moved,
    pens_for,
)
from tesselath.measure import show_number
from tesselath.prove import KINDS, TilingFault
from tesselath.shape import Outline, overlay

__all__ = ["draw_fault", "may_be_drawn"]

#: The room of the drawing, its margin, and the least radius of the ring round the place [mm].
_WIDE, _HIGH, _MARGIN, _RING = 170.0, 120.0, 10.0, 4.0

_WOOD, _PAPER = "#e9dcc3", "#fbf9f5"


def may_be_drawn(fault: TilingFault) -> bool:
    """Tell whether a fault has a place that can be drawn."""
    return bool(fault.at and (fault.around or fault.between))


def draw_fault(fault: TilingFault, *, title: str) -> Sheet:
    """Draw the place where a pattern does not tile.

    Source: common practice of technical drawing.

    Parameters
    ----------
    fault : TilingFault
        A fault with a place.

    Returns
    -------
    Sheet
        The drawing, its window on the worst place [mm].

    Raises
    ------
    ValueError
        If the fault has no place.
    """
    if fault.at is None or not may_be_drawn(fault):
        raise ValueError("this fault has no place that could be drawn")
    pens = pens_for(_WIDE)
    window = _window(fault)
    (x0, y0), (x1, y1) = window
    scale = min(_WIDE / (x1 - x0), _HIGH / (y1 - y0))
    wide, high = (x1 - x0) * scale, (y1 - y0) * scale

    def on_sheet(outlines: Sequence[Outline]) -> tuple[Outline, ...]:
        """Cut outlines to the window and bring them to the sheet's size."""
        if fault.kind == "crossed":  # the window holds it whole; a crossed rim cannot be cut
            cut = [[outline] for outline in outlines]
        else:
            cut = overlay(list(outlines), shapely.box(x0, y0, x1, y1)) if len(outlines) else []
        return tuple((part - np.array((x0, y0))) * scale for parts in cut for part in parts)

    around = () if fault.kind == "crossed" else fault.around

    place = ((fault.at[0] - x0) * scale, (fault.at[1] - y0) * scale)
    thin, bold = Stroke(0.2, INK), Stroke(0.5, INK)
    signal = Stroke(0.6, SIGNAL)
    frame = box_outline(0.0, 0.0, wide, high)
    layers: tuple[Layer, ...] = (
        Layer("pieces", (Polygon(on_sheet(around), Fill(_PAPER), thin, role="piece"),)),
        Layer("beside", (Polygon(on_sheet(fault.between), Fill(_WOOD), bold, role="beside"),)),
        Layer(
            "fault",
            (*_hatched(fault, on_sheet(fault.parts), signal), *_ring(fault, place, scale, signal)),
        ),
        Layer("frame", (Polygon((frame,), stroke=bold),)),
    )
    foot = title_block(
        f"{title}: {KINDS[fault.kind]}", _lines(fault), _small(fault, scale), pens=pens, room=_WIDE
    )
    below = foot.height + 6.0
    layers += (Layer("words", moved(foot.items, 0.0, -4.0)),)
    return Sheet(
        f"{title}: {KINDS[fault.kind]}",
        -_MARGIN,
        -_MARGIN - below,
        max(_WIDE, wide) + 2 * _MARGIN,
        high + below + 2 * _MARGIN,
        tuple(Layer(layer.name, _shown(layer.items)) for layer in layers),
    )


def _shown(items: Sequence[Item]) -> tuple[Item, ...]:
    """Leave out polygons without an outline, which no file can hold."""
    return tuple(item for item in items if not isinstance(item, Polygon) or item.outlines)


def _window(fault: TilingFault) -> tuple[Point, Point]:
    """Choose what is seen: the worst place and the pieces beside it, with some air."""
    assert fault.at is not None
    if fault.kind == "crossed":
        corners = np.vstack(fault.between)
        low, high = corners.min(axis=0), corners.max(axis=0)
        air = 0.15 * float((high - low).max())
        (a, b), (c, d) = low - air, high + air
        return (float(a), float(b)), (float(c), float(d))
    seen = [*fault.parts[:1], *fault.between] or list(fault.around[:6])
    corners = np.vstack([*seen, np.array([fault.at])])
    low, high = corners.min(axis=0), corners.max(axis=0)
    side = float(max(high - low)) or 1.0
    # So long a strip is not seen whole; what counts is the place.
    worst = float(np.ptp(fault.parts[0], axis=0).max()) if fault.parts else side
    reach = min(0.75 * side, max(6.0 * worst, 0.2 * side))
    ratio = _HIGH / _WIDE
    x, y = fault.at
    return (x - reach, y - reach * ratio), (x + reach, y + reach * ratio)


def _hatched(fault: TilingFault, parts: tuple[Outline, ...], signal: Stroke) -> tuple[Item, ...]:
    """Hatch what stays bare one way, and what overlaps both ways."""
    if not parts:
        return ()
    ways = (45.0, 135.0) if fault.kind == "overlap" else (45.0,)
    hatched = tuple(
        Polygon(parts, Fill(hatch=Hatch(way, 1.4, 0.25, SIGNAL)), role=fault.kind) for way in ways
    )
    return (*hatched, Polygon(parts, stroke=signal, role=fault.kind))


def _ring(fault: TilingFault, place: Point, scale: float, signal: Stroke) -> tuple[Item, ...]:
    """Ring a place too small to be seen."""
    across = float(np.ptp(fault.parts[0], axis=0).max()) * scale if fault.parts else 0.0
    if across > 4 * _RING:
        return ()
    return (Circle(place, max(_RING, 0.75 * across), stroke=signal, role="ring"),)


def _lines(fault: TilingFault) -> list[str]:
    assert fault.at is not None
    x, y = (show_number(value, decimals=2) for value in fault.at)
    zero = "opening's middle" if fault.opening.startswith("an ") else "pattern's origin"
    lines = [fault.text, f"at x {x} mm, y {y} mm from the {zero}"]
    if fault.opening:
        lines.append(f"{'in' if fault.opening.startswith('an ') else 'with'} {fault.opening}")
    sizes = ", ".join(f"{name} = {show_number(value)}" for name, value in fault.settings)
    return [*lines, f"sizes: {sizes} (mm, degrees or counts)"] if sizes else lines


def _small(fault: TilingFault, scale: float) -> list[str]:
    size = (
        f"{show_number(scale, decimals=2)} : 1"
        if scale >= 1
        else (f"1 : {show_number(1 / scale, decimals=2)}")
    )
    hatched = (
        "hatched both ways: pieces on each other"
        if fault.kind == "overlap"
        else ("hatched: bare" if fault.parts else "")
    )
    return [f"drawn {size}", *([hatched] if hatched else [])]
