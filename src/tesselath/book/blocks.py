"""Blocks: what the printable plan says, before any file format.

The chapters build these values. Goes out: frozen values that every writer (typst, Markdown, single
figures) reads.

Words are plain text. ``____`` is a line to write on; a fraction such as 24 1/8 is set as one by
writers that can.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tesselath.draw.paper import Sheet

__all__ = [
    "BLANK",
    "Beside",
    "Block",
    "Chapter",
    "Contents",
    "Figure",
    "Heading",
    "NewPage",
    "Points",
    "Room",
    "Table",
    "Title",
    "Words",
    "figure_file",
    "figures_of",
    "number_figures",
]

#: A line to write on.
BLANK = "____"


@dataclass(frozen=True, slots=True)
class Room:
    """What a page leaves for its blocks [mm]."""

    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Title:
    """The title of the book, over its first page."""

    text: str
    under: str


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading within a chapter; level 2 or 3."""

    text: str
    level: int = 2


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph; ``style`` is "body", "strong", "small" or "caution"."""

    text: str
    style: str = "body"


@dataclass(frozen=True, slots=True)
class Points:
    """A list; ``sign`` is "tick" (a box to tick), "number" or "dot"."""

    items: tuple[str, ...]
    sign: str = "dot"


@dataclass(frozen=True, slots=True)
class Table:
    """A table; its head is repeated on every page it runs over.

    ``align`` has a letter a column: l, c or r, or L for the columns that take the room left
    over. Without a head it is a list of facts. ``ticks`` sets a box to tick before each row;
    ``strong`` the first column in bold.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    align: str
    ticks: bool = False
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Figure:
    """A numbered figure; ``width`` is how wide it is printed, None for its sheet's own [mm]."""

    name: str
    sheet: Sheet
    caption: str
    width: float | None = None


@dataclass(frozen=True, slots=True)
class Beside:
    """Two columns of blocks that stay together; ``left_width`` is the left one's [mm]."""

    left: tuple[Block, ...]
    right: tuple[Block, ...]
    left_width: float


@dataclass(frozen=True, slots=True)
class Contents:
    """The chapters with their pages."""


@dataclass(frozen=True, slots=True)
class NewPage:
    """The rest begins on a new page."""


Block = Title | Contents | Heading | Words | Points | Table | Figure | Beside | NewPage


@dataclass(frozen=True, slots=True)
class Chapter:
    """A chapter, on pages of its own; ``step`` when it is work to do, for the steps.

    A ``wide`` one stands on pages that lie on their longer side; one ``within`` another stands
    on a page of its own and is not in the contents. One that may ``run_on`` begins under the one
    before where a good part of the page is left; a ``whole`` one is not broken over pages.
    """

    title: str
    blocks: tuple[Block, ...]
    step: bool = False
    wide: bool = False
    within: bool = False
    run_on: bool = False
    whole: bool = False


def figures_of(blocks: Sequence[Block]) -> list[Figure]:
    """Gather the figures in the order in which they are printed and numbered.

    >>> lid = Figure("lid", Sheet("Lid", 0.0, 0.0, 20.0, 10.0, ()), "The lid.")
    >>> [one.name for one in figures_of([Heading("Lid"), Beside((lid,), (), 20.0)])]
    ['lid']
    """
    found: list[Figure] = []
    for block in blocks:
        if isinstance(block, Figure):
            found.append(block)
        elif isinstance(block, Beside):
            found += figures_of((*block.left, *block.right))
    return found


def number_figures(chapters: Sequence[Chapter]) -> list[tuple[int, Figure]]:
    """Number the figures of a book as they are printed.

    Examples
    --------
    >>> lid = Figure("lid", Sheet("Lid", 0.0, 0.0, 20.0, 10.0, ()), "The lid.")
    >>> [(n, one.name) for n, one in number_figures([Chapter("Lid", (lid,))])]
    [(1, 'lid')]
    """
    blocks = [block for chapter in chapters for block in chapter.blocks]
    return list(enumerate(figures_of(blocks), 1))


def figure_file(number: int, name: str) -> str:
    """Name the file of a figure that is written alone, without its ending.

    Examples
    --------
    >>> figure_file(3, "section")
    'figures/03-section'
    """
    return f"figures/{number:02d}-{name}"
