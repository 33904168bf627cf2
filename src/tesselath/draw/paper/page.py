"""A page of true-size drawing: its room, its check lines, its foot.

Comes in: the design, what the page shows. Goes out: sheets as large as the paper. Refuses: a paper
that is not known.

Every such page carries a line of 100 mm and one of 4 in both ways: paper that a printer has
shrunk "to fit" is found out with a tape before anything is cut by it::

    +--------------------------------+
    |                              | |
    |     room for the drawing     | |  100 mm and 4 in
    |                              | |
    |                                |
    |------100 mm------  Hall table  |
    |------4 in---------  page 1 of 3|
    +--------------------------------+

Where the design corrects a printer, the page is drawn that much smaller and stretched again
when it is written, so that margins and paper stay as they are.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tesselath.design import Design
from tesselath.draw.paper.lettering import fitted_cap, text_width
from tesselath.draw.paper.pens import INK
from tesselath.draw.paper.sheet import Item, Layer, Line, Point, Sheet, Stroke, Text
from tesselath.measure import show_number

__all__ = ["PAPERS", "Page", "check_line", "lay_page", "page_for"]

#: The sizes of paper, upright [mm]. Source: ISO 216; ASME Y14.1 (8.5 x 11 in).
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}

#: What no home printer reaches at the edge of the paper, and the height of the foot [mm].
_MARGIN, _FOOT = 8.0, 17.0
#: The width of the strip at the right with the upright check lines [mm].
_STRIP = 11.0
_SMALL, _LARGE = 2.0, 3.2
_PEN = Stroke(0.3, INK)


@dataclass(frozen=True, slots=True)
class Page:
    """A page as it is drawn, and how much it is stretched to the paper's size [mm]."""

    width: float
    height: float
    stretch: tuple[float, float]

    @property
    def room(self) -> tuple[float, float, float, float]:
        """What is free for the drawing: left, bottom, right, top [mm]."""
        return (
            _MARGIN,
            _MARGIN + _FOOT,
            self.width - _MARGIN - _STRIP,
            self.height - _MARGIN,
        )


def page_for(design: Design, *, landscape: bool = False) -> Page:
    """Choose the page of a design's true-size drawings.

    Source: common practice: most printers leave 4 to 7 mm of the paper white.

    Parameters
    ----------
    design : Design
        The design: its paper and its printer's correction.
    landscape : bool
        Whether the paper lies on its longer side.
    """
    width, height = PAPERS[design.paper]
    if landscape:
        width, height = height, width
    across, along = design.print_scale
    return Page(width / across, height / along, (across, along))


def lay_page(
    page: Page,
    layers: Sequence[Layer],
    *,
    design: Design,
    what: str,
    number: int,
    of: int,
) -> Sheet:
    """Put a drawing on its page, with check lines and foot.

    Source: common practice; "fit to page" prints A4 on Letter at 94 %.

    Parameters
    ----------
    layers : sequence of Layer
        The drawing, with the page's lower left corner at the origin.
    design : Design
        The design that the page belongs to.
    what : str
        What the page shows, such as "part cards".
    number, of : int
        Which page it is, of how many [count].
    """
    foot = (*_check_lines(page), *_foot(page, design, what, number, of))
    return Sheet(
        f"{design.name}: {what}, page {number} of {of}",
        0.0,
        0.0,
        page.width,
        page.height,
        (*layers, Layer("page", foot)),
    )


def check_line(at: Point, length: float, words: str, *, upright: bool = False) -> tuple[Item, ...]:
    """Draw a line to lay a tape on, with ticks at its quarters.

    Parameters
    ----------
    at : (x, y)
        Its lower or left end [mm].
    length : float
        Its length [mm].
    upright : bool
        Whether it runs away from the maker.

    Returns
    -------
    tuple of Item
        The line with its ticks, and the words beside it.

    Examples
    --------
    >>> line, words = check_line((8.0, 20.0), 100.0, "100 mm")
    >>> line.runs[0], words.text
    (((8.0, 20.0), (108.0, 20.0)), '100 mm')
    """

    def place(run: float, off: float) -> Point:
        return (at[0] - off, at[1] + run) if upright else (at[0] + run, at[1] + off)

    ticks = tuple(
        (place(share * length, -tick), place(share * length, tick))
        for share in (0.0, 0.25, 0.5, 0.75, 1.0)
        for tick in (1.2 if share in (0.0, 1.0) else 0.6,)
    )
    return (
        Line(((place(0.0, 0.0), place(length, 0.0)), *ticks), _PEN, role="check-line"),
        Text(
            words,
            place(1.0, 0.8),
            _SMALL,
            anchor="start",
            baseline="base",
            angle=90.0 if upright else 0.0,
            role="check-line",
        ),
    )


def _check_lines(page: Page) -> tuple[Item, ...]:
    """Draw both lines across, under the drawing, and both upright, to its right."""
    left, _, right, _ = page.room
    foot = _MARGIN + _FOOT
    return (
        *check_line((left, _MARGIN + 8.5), 100.0, "check: 100 mm"),
        *check_line((left, _MARGIN + 3.0), 101.6, "check: 4 in"),
        *check_line((right + 5.0, foot), 100.0, "check: 100 mm", upright=True),
        *check_line((right + 10.0, foot), 101.6, "check: 4 in", upright=True),
    )


def _foot(page: Page, design: Design, what: str, number: int, of: int) -> tuple[Item, ...]:
    """Set name, sheet, page and how to print beside the check lines."""
    left, _, _, _ = page.room
    start, end = left + 106.0, page.width - _MARGIN
    count = f"page {number} of {of}"
    room = end - start - text_width(count, 2.5, 600) - 4.0
    title = _title(design.name, what, room)
    marks = [
        word
        for word in (
            design.author,
            design.revision and f"revision {design.revision}",
            design.licence,
            design.mark and f"design mark {design.mark}",
        )
        if word
    ]
    lines = [
        "Print at 100 % (actual size) and measure the check lines.",
        _advice(design),
        " · ".join(marks),
    ]
    y = _MARGIN + 11.0
    items: list[Item] = [
        Text(
            title,
            (start, y),
            fitted_cap(title, room, _LARGE, 600),
            anchor="start",
            baseline="base",
            weight=600,
            role="title",
        ),
        Text(count, (end, y), 2.5, anchor="end", baseline="base", weight=600, role="page-number"),
    ]
    for line in lines:
        y -= 3.6
        if line:
            cap = fitted_cap(line, end - start, _SMALL)
            items.append(Text(line, (start, y), cap, anchor="start", baseline="base"))
    return tuple(items)


def _title(name: str, what: str, room: float) -> str:
    """Say whose page it is; a name too long for the foot is cut short, what it shows is not."""
    title, kept = f"{name}: {what}", name
    while len(kept) > 8 and fitted_cap(title, room, _LARGE, 600) < _SMALL:
        kept = kept[:-1]
        title = f"{kept.rstrip()}\N{HORIZONTAL ELLIPSIS}: {what}"
    return title


def _advice(design: Design) -> str:
    across, along = (show_number(scale, decimals=4) for scale in design.print_scale)
    if (across, along) == ("1", "1"):
        return "One is off? Set print_scale to 100 over what the tape reads."
    return f"Drawn with print_scale = [{across}, {along}] for the printer."
