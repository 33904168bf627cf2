"""Paper: the pages of the book, their margins and what they leave.

Comes in: a design. Goes out: the room of a page. Refuses: a paper that is not known.
"""

from __future__ import annotations

from tesselath.book.blocks import Room
from tesselath.design import Design

__all__ = ["OVER", "PAPERS", "SIDE", "UNDER", "page_room"]

#: What typst calls a paper, and its size, upright [mm]. Source: ISO 216; ASME Y14.1.
PAPERS = {"A4": ("a4", 210.0, 297.0), "Letter": ("us-letter", 215.9, 279.4)}

#: The margins: at the sides, over and under the text [mm].
SIDE, OVER, UNDER = 17.0, 21.0, 19.0


def page_room(design: Design, *, wide: bool = False) -> Room:
    """Tell how much of a page of the book is free.

    Source: ISO 216; ASME Y14.1.
    """
    _, width, height = PAPERS[design.paper]
    if wide:
        width, height = height, width
    return Room(width - 2 * SIDE, height - OVER - UNDER)
