"""Writes the map as DXF, for drawing programs and for machines that follow outlines.

Comes in: a plan. Goes out: the text of a DXF file, release 2000, at true scale in the design's own
units; the same text for the same plan.

The pieces, and nothing else, are closed polylines, each on the layer of its wood; what stands
round them is made of single lines, so that a machine told to follow closed outlines cuts pieces
and no more::

    wood-maple  wood-walnut   closed polylines      numbers    A 17, in the middle of each piece
    opening  frame  zone-...  lines                 centre     the two centre lines
    blank       what is cut, where that differs     title      name, units, FRONT
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from importlib import import_module
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tesselath.draw.maps.frame import frame_shape
from tesselath.draw.maps.labels import LabelSizes, Wanted, place_labels
from tesselath.measure import in_english
from tesselath.plan import Plan

__all__ = ["write_dxf"]

#: What a file says of its units ($INSUNITS), and how many mm one of them is.
_UNITS = {"in": (1, 25.4), "mm": (4, 1.0)}
_WORDS = {"in": "inches", "mm": "millimetres"}
#: Colours of the layers, by AutoCAD colour index: woods in turn, then what stands round them.
_WOOD_COLOURS = (34, 40, 24, 14, 44, 54, 36, 26, 16, 46)
_BLACK, _GREY, _RED, _BLUE = 7, 8, 1, 5
#: Lettering: how small and how large [mm].
_SIZES = LabelSizes(least=0.3, most=6.0)
#: A drawing program's own lettering is wider than ours; it is set that much smaller.
_WIDER = 0.62


def write_dxf(plan: Plan) -> str:
    """Write the map as DXF.

    Source: DXF reference, release 2000: $INSUNITS is 1 for inches, 4 for millimetres.
    """
    from ezdxf.filemanagement import new

    code, size = _UNITS[plan.design.units]
    with _fixed_dates():
        doc = new("R2000", setup=["linetypes"])
        doc.units = code
        doc.header["$MEASUREMENT"] = 0 if plan.design.units == "in" else 1
        _draw(doc, plan, size)
        stream = io.StringIO()
        doc.write(stream)
    return stream.getvalue()


@contextmanager
def _fixed_dates() -> Iterator[None]:
    """Let the file carry neither the hour nor a number made by chance."""
    options = import_module("ezdxf").options
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _draw(doc: Any, plan: Plan, size: float) -> None:
    model = doc.modelspace()
    woods = list(dict.fromkeys(piece.wood for piece in plan.pieces))
    layers = _layer_names(woods)
    for n, wood in enumerate(woods):
        doc.layers.add(layers[wood], color=_WOOD_COLOURS[n % len(_WOOD_COLOURS)])
    for name, colour in (
        ("opening", _BLACK),
        ("frame", _BLACK),
        ("numbers", _BLACK),
        ("blank", _GREY),
        ("title", _BLACK),
        *((f"zone-{zone.name}", _BLUE) for zone in plan.zones),
    ):
        doc.layers.add(name, color=colour)
    doc.layers.add("centre", color=_RED, linetype="CENTER")
    for piece in plan.pieces:
        model.add_lwpolyline(
            (piece.outline / size).tolist(), close=True, dxfattribs={"layer": layers[piece.wood]}
        )
        if piece.blank is not None:
            _outline(model, piece.blank / size, "blank")
    _outline(model, plan.opening / size, "opening")
    for zone in plan.zones:
        _outline(model, zone.outline / size, f"zone-{zone.name}")
    outer = _frame(model, plan, size)
    (left, bottom), (right, top) = outer.min(axis=0), outer.max(axis=0)
    over = 0.02 * float(max(right - left, top - bottom))
    model.add_line((left - over, 0.0), (right + over, 0.0), dxfattribs={"layer": "centre"})
    model.add_line((0.0, bottom - over), (0.0, top + over), dxfattribs={"layer": "centre"})
    _numbers(model, plan, size)
    _title(model, plan, left=float(left), bottom=float(bottom) - 2 * over, height=over / 2)


def _layer_names(woods: Iterable[str]) -> dict[str, str]:
    """Name a layer for each wood; signs that no layer's name may hold become dashes."""
    names: dict[str, str] = {}
    for wood in woods:
        plain = re.sub(r'[<>/\\":;?*|=`\x00-\x1f]', "-", wood.strip()) or "unnamed"
        name, n = f"wood-{plain}", 2
        while name.lower() in (known.lower() for known in names.values()):
            name, n = f"wood-{plain}-{n}", n + 1
        names[wood] = name
    return names


def _outline(model: Any, corners: NDArray[np.float64], layer: str) -> None:
    """Draw an outline as single lines."""
    points = corners.tolist()
    for start, end in zip(points, [*points[1:], points[0]], strict=True):
        model.add_line(start, end, dxfattribs={"layer": layer})


def _frame(model: Any, plan: Plan, size: float) -> NDArray[np.float64]:
    """Draw the frame; give what bounds the drawing."""
    frame = plan.design.frame
    if frame is None:
        return plan.opening / size
    shape = frame_shape(plan.opening, width=frame.width, corner=frame.corner)
    _outline(model, shape.outer / size, "frame")
    for inner, far in shape.joints:
        start, end = (np.array(point) / size for point in (inner, far))
        model.add_line(start.tolist(), end.tolist(), dxfattribs={"layer": "frame"})
    return shape.outer / size


def _numbers(model: Any, plan: Plan, size: float) -> None:
    """Letter every piece along its grain with its part and its number."""
    from ezdxf.enums import TextEntityAlignment

    wanted = [
        Wanted(piece.outline, piece.grain, f"{piece.part} {piece.number}", "")
        for piece in plan.pieces
    ]
    for one, label in zip(wanted, place_labels(wanted, sizes=_SIZES), strict=True):
        if label is None:
            middle = one.outline.mean(axis=0)
            at, angle, cap = (float(middle[0]), float(middle[1])), 0.0, _SIZES.least
        else:
            at, angle, cap = label.at, label.angle, label.letter_cap
        text = model.add_text(
            one.letter, height=_WIDER * cap / size, rotation=angle, dxfattribs={"layer": "numbers"}
        )
        text.set_placement((at[0] / size, at[1] / size), align=TextEntityAlignment.MIDDLE_CENTER)


def _title(model: Any, plan: Plan, *, left: float, bottom: float, height: float) -> None:
    """Say what the drawing is, in which units, and where its front is."""
    design = plan.design
    units = in_english(_WORDS[design.units], design.english)
    words = [
        f"{design.name}, design mark {design.mark}" if design.mark else design.name,
        f"Units: {units}. Seen from above, show face up. FRONT is at this edge.",
    ]
    for n, line in enumerate(words, 1):
        model.add_text(line, height=height, dxfattribs={"layer": "title"}).set_placement(
            (left, bottom - 2 * n * height)
        )
