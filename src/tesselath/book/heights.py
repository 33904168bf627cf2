"""Heights: about how much of a page some blocks take, so that a drawing may fill the rest.

Comes in: blocks, the width of their column. Goes out: a height, a little on the safe side.

The typesetter has the last word; these are its sizes of type and its gaps, reckoned with the
font's own widths.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from tesselath.book.blocks import BLANK, Beside, Block, Figure, Heading, Points, Room, Table, Words
from tesselath.draw.paper import text_width

__all__ = ["height_of", "room_left"]

#: Capitals and the way from line to line of the body's type of 9.6 points, and its gap [mm].
_CAP, _LINE, _GAP = 2.37, 4.35, 2.9
#: Sign of a list, gap between its items; inset of a table's cell, sideways and up [mm].
_SIGN, _ITEM, _INSET = 5.0, 1.7, 1.15
_BLANK_WIDE = 19.0


def height_of(blocks: Sequence[Block], width: float) -> float:
    """Reckon how high some blocks stand under each other.

    Reckoned from the sizes in which the book is set.

    >>> height_of([Words("Lay the pieces.")], 100.0)
    5.27
    """
    return sum(_height(block, width) for block in blocks)


def room_left(blocks: Sequence[Block], room: Room, *, title: float) -> float:
    """Reckon how much of the page is left under blocks that follow the title of a chapter."""
    left = room.height - title
    for block in blocks:
        high = _height(block, room.width)
        left = (room.height if high > left else left) - high
    return left


def _height(block: Block, width: float) -> float:
    match block:
        case Words():
            inset = (5.0, 2.4) if block.style == "caution" else (0.0, 0.0)
            return _text(block.text, width - inset[0]) + inset[1] + _GAP
        case Points():
            return sum(_text(item, width - _SIGN) + _ITEM for item in block.items) + _GAP
        case Heading():
            return 8.5 if block.level > 2 else 12.0
        case Table():
            return _table(block, width)
        case Figure():
            shown = block.width or block.sheet.width
            caption = _text(block.caption, width) + 1.0 if block.caption else 0.0
            return block.sheet.height * shown / block.sheet.width + 7.0 + caption
        case Beside():
            right = width - block.left_width - 5.0
            return _GAP + max(
                height_of(block.left, block.left_width), height_of(block.right, right)
            )
    return 0.0


def _text(text: str, width: float) -> float:
    """Reckon a paragraph; a line seldom fills its width to the last letter."""
    long = text_width(text.replace(BLANK, ""), _CAP) + text.count(BLANK) * _BLANK_WIDE
    lines = max(1, ceil(long / (0.94 * width)))
    return _CAP + (lines - 1) * _LINE


def _table(table: Table, width: float) -> float:
    """Reckon a table: columns as wide as their widest cell, the rest shared by those marked L."""
    rows = [*([table.head] if table.head else []), *table.rows]
    if not rows:
        return 0.0
    widths = [
        max(
            text_width(row[n].replace(BLANK, ""), _CAP) + _BLANK_WIDE * row[n].count(BLANK)
            for row in rows
        )
        + 2 * _INSET
        for n in range(len(table.align))
    ]
    wide = [n for n, align in enumerate(table.align) if align == "L"]
    lead = 4.6 if table.ticks else 0.0
    rest = width - lead - sum(w for n, w in enumerate(widths) if n not in wide)
    for n in wide:
        widths[n] = max(rest / len(wide), 8.0)
    return _GAP + sum(
        2 * _INSET + max([_CAP, *(_text(row[n], widths[n] - 2 * _INSET) for n in wide)])
        for row in rows
    )
