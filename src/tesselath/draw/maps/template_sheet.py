"""The template in one piece, for a print shop or a plotter.

Comes in: a plan. Goes out: one sheet, true to size.

    +--------------------------------+
    |  MIRRORED        BACK          |     the warning only where it is seen from below
    |    +--------------------+   |  |
    |  L |////////////////////|   |  |     check lines both ways
    |    +--------------------+   |  |
    |           FRONT                |
    |  Hall table   woods  signs     |
    +--------------------------------+
"""

from __future__ import annotations

import numpy as np

from tesselath.draw.maps.template import Template
from tesselath.draw.maps.template_edges import letter_edges
from tesselath.draw.maps.template_key import sign_blocks, template_words
from tesselath.draw.maps.template_letters import Cell, broken, letter_cells
from tesselath.draw.maps.title import Block, draw_foot, scale_block, title_block
from tesselath.draw.paper import Box, Item, Layer, Pens, Sheet, Text, check_line, moved, pens_for
from tesselath.measure import in_english

__all__ = ["draw_template_sheet"]

#: The least height of the warning on a mirrored sheet [mm].
_WARNING = 10.0


def draw_template_sheet(template: Template) -> Sheet:
    """Draw the template in one piece.

    Parameters
    ----------
    template : Template
        The template, as it is or mirrored.

    Returns
    -------
    Sheet
        The drawing; 1 mm of it is 1 mm of the top.
    """
    plan = template.plan
    edges = letter_edges(template)
    box = _union(edges.box, template.frame)
    pens = pens_for(max(box[2] - box[0], box[3] - box[1]))
    (lettering,) = letter_cells(template, [Cell(_grown(box, 1.0))], taken=edges.boxes)
    words, outer = _words(template, box, pens)
    title, width, height = _foot(template, pens, outer[2] - outer[0])
    margin, gap = max(8.0, 2.0 * pens.base), 1.5 * pens.base
    left, low = outer[0] - margin, outer[1] - gap - height - margin
    layers = (
        Layer("fine", broken(template.fine, lettering.boxes)),
        Layer("outlines", template.firm),
        Layer("edges", edges.items),
        Layer("numbers", lettering.items),
        Layer("surround", words),
        Layer("title", moved(title, outer[0], outer[1] - gap)),
    )
    across = max(outer[2] - outer[0], width) + 2 * margin
    what = in_english(template_words(template), plan.design.english)
    return Sheet(f"{plan.design.name}: {what}", left, low, across, outer[3] + margin - low, layers)


def _words(template: Template, box: Box, pens: Pens) -> tuple[tuple[Item, ...], Box]:
    """Name the sides, draw the upright check lines, warn of a mirrored drawing."""
    left, bottom, right, top = box
    cap, off = 1.5 * pens.base, 2.4 * pens.base
    x, y = (left + right) / 2, (bottom + top) / 2
    sides = ("RIGHT", "LEFT") if template.mirrored else ("LEFT", "RIGHT")
    items: list[Item] = [
        Text(word, at, cap, angle=angle, weight=600, role="direction")
        for word, at, angle in (
            ("FRONT", (x, bottom - off), 0.0),
            ("BACK", (x, top + off), 0.0),
            (sides[0], (left - off, y), 90.0),
            (sides[1], (right + off, y), 90.0),
        )
    ]
    left, bottom, right, top = _grown(box, off + cap)
    for n, (length, name) in enumerate(((100.0, "100 mm"), (101.6, "4 in"))):
        at = (right + 5.0 + 6.0 * n, bottom)
        items += check_line(at, length, f"check: {name}", upright=True)
    right, top = right + 13.0, max(top, bottom + 103.0)
    if template.mirrored:
        warning = max(_WARNING, 3.0 * pens.base)
        items.append(
            Text(
                "MIRRORED",
                (left, top + 0.3 * warning),
                warning,
                anchor="start",
                baseline="base",
                weight=600,
                role="mirrored",
            )
        )
        top += 1.3 * warning
    return tuple(items), (left, bottom, right, top)


def _foot(template: Template, pens: Pens, width: float) -> tuple[tuple[Item, ...], float, float]:
    """Set name, sizes, key and the level check lines."""
    plan, design = template.plan, template.plan.design
    across, away = (float(side) for side in np.ptp(plan.opening, axis=0))
    size = " x ".join(design.show(side) for side in (across, away))
    lines = [f"Opening {size}", f"{len(plan.pieces)} pieces in {len(plan.parts)} parts"]
    small = [
        word
        for word in (
            design.author,
            f"revision {design.revision}" if design.revision else "",
            design.licence,
            f"design mark {design.mark}" if design.mark else "",
        )
        if word
    ]
    seen = (
        ["MIRRORED, SEEN FROM BELOW", "Lay the pieces show face down."]
        if template.mirrored
        else ["SHOW FACE UP, SEEN FROM ABOVE", "Lay the pieces show face up."]
    )
    english = design.english
    blocks: list[Block] = [
        title_block(
            design.name,
            [in_english("Template at full size", english), *lines],
            small,
            pens=pens,
            room=max(39.0 * pens.base, 0.3 * width),
        ),
        *sign_blocks(template, pens),
        scale_block(
            words=[*seen, "Print at 100 % (1:1), never fitted to the paper."], scale=1.0, pens=pens
        ),
    ]
    return draw_foot(blocks, width=width, pens=pens)


def _union(one: Box, other: Box) -> Box:
    return (
        min(one[0], other[0]),
        min(one[1], other[1]),
        max(one[2], other[2]),
        max(one[3], other[3]),
    )


def _grown(box: Box, by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by
