"""What every page on paper is held to, and how one is read back.

Comes in: sheets, or the bytes of a PDF. Goes out: what is wrong with them. Refuses: nothing.
"""

from __future__ import annotations

import io
from collections.abc import Iterator

import pdfplumber
import shapely

from tesselath.draw.paper import Item, Line, Polygon, Sheet, Text, text_outline

#: Points to a mm; ISO 32000: a unit of a page is 1/72 in.
MM = 72 / 25.4


def items_of(sheet: Sheet, role: str = "") -> list[Item]:
    """Give the items of a sheet, all or those of a role."""
    return [i for layer in sheet.layers for i in layer.items if not role or i.role == role]


def texts_of(sheet: Sheet) -> list[str]:
    return [item.text for item in items_of(sheet) if isinstance(item, Text)]


def faults(sheet: Sheet, *, edge: float = 4.0) -> Iterator[str]:
    """Name each label that lies on another, and each that leaves what a printer reaches."""
    texts = [item for item in items_of(sheet) if isinstance(item, Text)]
    boxes = [shapely.Polygon(text_outline(text)) for text in texts]
    page = shapely.box(
        sheet.left + edge,
        sheet.bottom + edge,
        sheet.left + sheet.width - edge,
        sheet.bottom + sheet.height - edge,
    )
    for text, box in zip(texts, boxes, strict=True):
        if not page.contains(box):
            yield f'"{text.text}" leaves the page {sheet.title}'
    tree = shapely.STRtree(boxes)
    for one, other in tree.query(boxes, predicate="overlaps").T.tolist():
        if one < other and boxes[one].intersection(boxes[other]).area > 0.01:
            yield f'"{texts[one].text}" lies on "{texts[other].text}" in {sheet.title}'


def off_page(sheet: Sheet) -> list[str]:
    """Name the kinds of lines that leave the page."""
    page = shapely.box(
        sheet.left, sheet.bottom, sheet.left + sheet.width, sheet.bottom + sheet.height
    ).buffer(0.01)
    out = []
    for item in items_of(sheet):
        runs = item.runs if isinstance(item, Line) else getattr(item, "outlines", ())
        if isinstance(item, Line | Polygon) and not all(
            page.contains(shapely.LineString(run)) for run in runs
        ):
            out.append(item.role)
    return out


def read(data: bytes) -> pdfplumber.PDF:
    """Open a PDF."""
    return pdfplumber.open(io.BytesIO(data))


def straight_lines(page: pdfplumber.page.Page) -> list[tuple[float, float, float, float]]:
    """Give every straight line of a page in mm from its lower left corner: x0, y0, x1, y1."""
    return [
        (line["x0"] / MM, line["y0"] / MM, line["x1"] / MM, line["y1"] / MM) for line in page.lines
    ]


def check_lines(page: pdfplumber.page.Page) -> dict[str, list[float]]:
    """Give the lengths of lines of 97 to 104 mm on a page, across and upright [mm]."""
    found: dict[str, list[float]] = {"across": [], "upright": []}
    for x0, y0, x1, y1 in straight_lines(page):
        if abs(y1 - y0) < 0.01 and 97.0 < x1 - x0 < 104.0:
            found["across"].append(x1 - x0)
        if abs(x1 - x0) < 0.01 and 97.0 < y1 - y0 < 104.0:
            found["upright"].append(y1 - y0)
    return found
