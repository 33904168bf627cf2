"""Writes a sheet as SVG, at true size.

Comes in: a ``Sheet`` in mm, y away from the maker. Goes out: the text of one self-contained SVG
file: width and height in mm, a viewBox of the same numbers, so that one user unit is 1 mm; the same
bytes for the same sheet.

Only what every SVG reader knows is used: groups, paths, circles, texts, patterns and plain
attributes. The lettering is embedded for browsers; programs that draw with installed fonts find
it by its name.
"""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import accumulate, groupby, pairwise
from math import isfinite
from typing import Any

import numpy as np

from tesselath.draw.paper.lettering import FALLBACKS, FAMILY, font_faces, font_size
from tesselath.draw.paper.sheet import (
    Circle,
    Corners,
    Fill,
    Hatch,
    Item,
    Layer,
    Line,
    Point,
    Polygon,
    Sheet,
    Stroke,
    Text,
)

__all__ = ["show_coordinate", "write_svg"]

#: The end of a whole number as Python prints it.
_WHOLE = re.compile(r"\.0(?![0-9])")
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")


def write_svg(sheet: Sheet, *, embed_font: bool = True) -> str:
    """Write a sheet as one SVG file.

    Source: Scalable Vector Graphics 1.1, W3C: user units follow the viewBox.

    Parameters
    ----------
    embed_font : bool
        Whether the lettering goes into the file (27 kB); not needed where the font is
        installed, or where a page that holds the drawing has it already.

    Examples
    --------
    >>> file = write_svg(Sheet("Lid", -10.0, -5.0, 20.0, 10.0, ()))
    >>> 'width="20mm"' in file and 'height="10mm"' in file and 'viewBox="0 0 20 10"' in file
    True
    """
    import svgwrite

    width, height = show_coordinate(sheet.width), show_coordinate(sheet.height)
    drawing = svgwrite.Drawing(debug=False, size=(f"{width}mm", f"{height}mm"))
    drawing.attribs["viewBox"] = f"0 0 {width} {height}"
    drawing.attribs["font-family"] = ", ".join(
        f"'{name}'" if " " in name else name for name in (FAMILY, *FALLBACKS)
    )
    drawing.set_desc(title=_clean(sheet.title))
    if embed_font:
        drawing.defs.add(drawing.style(font_faces()))
    hatches: dict[Hatch, str] = {}
    drawing.add(drawing.rect(insert=("0", "0"), size=(width, height), fill=sheet.paper, id="paper"))
    for layer in sheet.layers:
        drawing.add(_write_layer(drawing, layer, sheet=sheet, hatches=hatches))
    for hatch, name in hatches.items():
        drawing.defs.add(_write_hatch(drawing, hatch, name))
    return '<?xml version="1.0" encoding="utf-8"?>\n' + str(drawing.tostring()) + "\n"


def show_coordinate(value: float) -> str:
    """Print a number as drawings hold it: at most three decimals, no exponent, no -0.

    Parameters
    ----------
    value : float
        The number [mm], [degrees].

    Returns
    -------
    str
        The number, in every country with a point.

    Raises
    ------
    ValueError
        If it is not a finite number.

    Examples
    --------
    >>> show_coordinate(12.0), show_coordinate(-0.0002), show_coordinate(1234567.8916)
    ('12', '0', '1234567.892')
    """
    if not isfinite(value):
        raise ValueError(f"{value} cannot be drawn")
    shown = repr(round(float(value), 3) + 0.0)
    return shown[:-2] if shown.endswith(".0") else shown


def _write_layer(drawing: Any, layer: Layer, *, sheet: Sheet, hatches: dict[Hatch, str]) -> Any:
    """Write a layer as a group; neighbours that are drawn alike share one group within it."""
    group = drawing.g(id=f"layer-{_slug(layer.name)}")
    group.attribs["class"] = "layer"
    # A frame without corners has no joints: such lines of no runs are nothing to draw.
    drawn = (item for item in layer.items if not isinstance(item, Line) or len(item.runs))
    for style, alike in groupby(drawn, key=lambda item: _style(item, hatches)):
        inner = drawing.g()
        inner.attribs.update(style)
        group.add(inner)
        for item in alike:
            inner.add(_write_item(drawing, item, sheet=sheet))
            hatched = _write_hatched(drawing, item, sheet=sheet, hatches=hatches)
            if hatched is not None:
                inner.add(hatched)
    return group


def _write_item(drawing: Any, item: Item, *, sheet: Sheet) -> Any:
    match item:
        case Line():
            element = drawing.path(_trace(item.runs, sheet))
        case Polygon():
            element = drawing.path(_trace(item.outlines, sheet, close=True))
        case Circle():
            x, y = _flipped(item.centre, sheet)
            element = drawing.circle(r=show_coordinate(item.radius))
            element.attribs.update(cx=show_coordinate(x), cy=show_coordinate(y))
        case Text():
            element = _write_text(drawing, item, sheet=sheet)
        case _:
            raise TypeError(f"{item!r} is not an item of a sheet")
    if item.role:
        element.attribs["class"] = item.role
    if item.key:
        element.attribs["id"] = item.key
    return element


def _write_text(drawing: Any, item: Text, *, sheet: Sheet) -> Any:
    foot = _flipped(item.foot, sheet)
    x, y = show_coordinate(foot[0]), show_coordinate(foot[1])
    element = drawing.text(_clean(item.text))
    element.attribs.update(x=x, y=y)
    if item.underline:  # groups do not hand this down
        element.attribs["text-decoration"] = "underline"
    if item.angle:
        element.attribs["transform"] = f"rotate({show_coordinate(-item.angle)} {x} {y})"
    return element


def _write_hatched(
    drawing: Any, item: Item, *, sheet: Sheet, hatches: dict[Hatch, str]
) -> Any | None:
    """Lay the hatch over a coloured shape; a shape can hold only one paint."""
    fill = getattr(item, "fill", None)
    if fill is None or fill.hatch is None or fill.colour is None:
        return None
    element = _write_item(drawing, replace(item, role="", key=""), sheet=sheet)
    element.attribs["fill"] = f"url(#{hatches[fill.hatch]})"
    return element


def _style(item: Item, hatches: dict[Hatch, str]) -> dict[str, str]:
    """Give the attributes that neighbours may share; notes each hatch it meets."""
    if isinstance(item, Text):
        style = {
            "font-size": show_coordinate(font_size(item.cap)),
            "text-anchor": item.anchor,
            "fill": item.colour,
        }
        if item.weight != 400:
            style["font-weight"] = str(item.weight)
        return style
    fill = None if isinstance(item, Line) else item.fill
    return {"fill": _paint(fill, hatches), **_pen(item.stroke)}


def _paint(fill: Fill | None, hatches: dict[Hatch, str]) -> str:
    if fill is None:
        return "none"
    if fill.hatch is not None:
        name = hatches.setdefault(fill.hatch, f"hatch-{len(hatches) + 1}")
        return fill.colour or f"url(#{name})"
    return fill.colour or "none"


def _pen(stroke: Stroke | None) -> dict[str, str]:
    if stroke is None:
        return {}
    pen = {"stroke": stroke.colour, "stroke-width": show_coordinate(stroke.width)}
    if stroke.dash:
        pen["stroke-dasharray"] = " ".join(show_coordinate(part) for part in stroke.dash)
    if stroke.ends != "butt":
        pen["stroke-linecap"] = stroke.ends
        pen["stroke-linejoin"] = "round"
    return pen


def _write_hatch(drawing: Any, hatch: Hatch, name: str) -> Any:
    """Write a hatch as a tile; its lines run along the tile's x, which is then turned."""
    high = hatch.spacing
    wide = high if hatch.dots else (sum(hatch.dash) or high)
    pattern = drawing.pattern(
        size=(show_coordinate(wide), show_coordinate(high)),
        id=name,
        patternUnits="userSpaceOnUse",
        patternTransform=f"rotate({show_coordinate(-hatch.angle)})",
    )
    middle = show_coordinate(high / 2)
    if hatch.dots:
        dot = drawing.circle(r=show_coordinate(hatch.width / 2), fill=hatch.colour)
        dot.attribs.update(cx=middle, cy=middle)
        pattern.add(dot)
        return pattern
    line = drawing.path(f"M0 {middle}H{show_coordinate(wide)}", fill="none")
    line.attribs.update(_pen(Stroke(hatch.width, hatch.colour, hatch.dash)))
    pattern.add(line)
    return pattern


def _trace(runs: tuple[Corners, ...], sheet: Sheet, *, close: bool = False) -> str:
    """Write runs of corners as one path; the numbers as ``show_coordinate``, but many at once."""
    counts = [len(run) for run in runs]
    flipped = np.concatenate([np.asarray(run, dtype=float).reshape(-1, 2) for run in runs])
    flipped = flipped * (1.0, -1.0) + (-sheet.left, sheet.top)
    shown = [f"{x} {y}" for x, y in (np.round(flipped, 3) + 0.0).tolist()]
    ends = list(accumulate(counts, initial=0))
    traces = ["L".join(shown[start:end]) for start, end in pairwise(ends)]
    return _WHOLE.sub("", "M" + ("zM" if close else "M").join(traces) + ("z" if close else ""))


def _flipped(point: Point, sheet: Sheet) -> Point:
    """Turn a point of the drawing into one of the file, whose y runs down from the top edge."""
    return point[0] - sheet.left, sheet.top - point[1]


def _slug(name: str) -> str:
    return re.sub("[^a-z0-9]+", "-", name.lower()).strip("-")


def _clean(text: str) -> str:
    """Leave out the control characters that no XML file may hold."""
    return _CONTROL.sub(" ", text)
