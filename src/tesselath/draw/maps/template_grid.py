"""The grid in which the template is cut into pages.

Comes in: the box of the drawing, the design's paper. Goes out: the pages that are needed, each with
its cell, its window, its neighbours and where it is joined.

A page shows its cell and a lap beyond it, on which its right-hand neighbour, and the one behind
it, are laid. Pages are counted from the front left corner, row by row::

    +-----------+-----------+
    |  4        :  5        |     ....  where the neighbour's cut edge comes to lie
    |...........:...........|
    |  2        :  3        |     page 1 is the key
    +-----------+-----------+
             FRONT
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
import shapely

from tesselath.design import Design
from tesselath.draw.paper import Box, Corners, Page, Point, page_for
from tesselath.parts import mark_letters

__all__ = ["INSET", "LAP", "Grid", "Join", "Tile", "lay_grid"]

#: The lap, and what is left free round a page's window for its marks [mm].
LAP, INSET = 8.0, 4.2


@dataclass(frozen=True, slots=True)
class Join:
    """A cut between two pages: its ends [mm], its letter, and whether it runs upright."""

    start: Point
    end: Point
    letter: str
    upright: bool

    @property
    def marks(self) -> list[Point]:
        """Where its register marks stand [mm]."""
        (x1, y1), (x2, y2) = self.start, self.end
        return [(x1 + s * (x2 - x1), y1 + s * (y2 - y1)) for s in (1 / 3, 2 / 3)]


@dataclass(frozen=True, slots=True)
class Tile:
    """One page: its number, its place in the grid, its cell and its window [mm].

    ``joins`` are by side ("left", "bottom", "right", "top"), with the page on the other side.
    """

    number: int
    column: int
    row: int
    cell: Box
    window: Box
    joins: dict[str, tuple[Join, int]]


@dataclass(frozen=True, slots=True)
class Grid:
    """All pages; the key is page 1 where there is more than one."""

    page: Page
    box: Box
    columns: int
    rows: int
    tiles: tuple[Tile, ...]

    @property
    def cuts(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """The x and the y at which the drawing is cut [mm]."""
        xs, ys = _lines(self.box, self.columns, self.rows)
        return tuple(xs[1:-1]), tuple(ys[1:-1])


def lay_grid(box: Box, *, design: Design, needed: Sequence[Corners]) -> Grid:
    """Cut a drawing into as few pages as may be, upright or lying."""
    pages = [page_for(design, landscape=landscape) for landscape in (False, True)]
    sizes = [_size(page, box) for page in pages]
    counts = [columns * rows for columns, rows in sizes]
    best = 0 if counts[0] <= counts[1] else 1
    (columns, rows), page = sizes[best], pages[best]
    xs, ys = _lines(box, columns, rows)
    cells = {
        (c, r): (xs[c], ys[r], xs[c + 1], ys[r + 1]) for r in range(rows) for c in range(columns)
    }
    shown = shapely.union_all([shapely.Polygon(corners) for corners in needed])
    shapely.prepare(shown)
    kept = [place for place, cell in cells.items() if shown.intersects(shapely.box(*cell))]
    first = 1 if len(kept) == 1 else 2
    numbers = {place: n for n, place in enumerate(kept, first)}
    joins = _joins(cells, numbers)
    tiles = tuple(
        Tile(
            number,
            *place,
            cells[place],
            _window(cells[place], place, numbers),
            joins.get(place, {}),
        )
        for place, number in numbers.items()
    )
    return Grid(page, box, columns, rows, tiles)


def _size(page: Page, box: Box) -> tuple[int, int]:
    """Count the columns and rows of a grid."""
    left, bottom, right, top = page.room
    wide, high = right - left - 2 * INSET, top - bottom - 2 * INSET
    width, height = box[2] - box[0], box[3] - box[1]
    # Cells of one size; each has its lap, even where the last column would need none.
    columns = 1 if width <= wide else ceil(width / (wide - LAP))
    rows = 1 if height <= high else ceil(height / (high - LAP))
    return columns, rows


def _lines(box: Box, columns: int, rows: int) -> tuple[list[float], list[float]]:
    left, bottom, right, top = box
    xs, ys = np.linspace(left, right, columns + 1), np.linspace(bottom, top, rows + 1)
    return xs.tolist(), ys.tolist()


def _window(cell: Box, place: tuple[int, int], numbers: dict[tuple[int, int], int]) -> Box:
    """Give what a page shows: its cell, and a lap where a neighbour is laid on it."""
    c, r = place
    left, bottom, right, top = cell
    beside, behind = (c + 1, r) in numbers, (c, r + 1) in numbers
    return left, bottom, right + LAP * beside, top + LAP * behind


def _joins(
    cells: dict[tuple[int, int], Box], numbers: dict[tuple[int, int], int]
) -> dict[tuple[int, int], dict[str, tuple[Join, int]]]:
    """Letter every cut between two pages, and give it to both."""
    found: dict[tuple[int, int], dict[str, tuple[Join, int]]] = {}
    count = 0
    for (c, r), number in numbers.items():
        left, bottom, right, top = cells[c, r]
        for other, upright in (((c + 1, r), True), ((c, r + 1), False)):
            if other not in numbers:
                continue
            start = (right, bottom) if upright else (left, top)
            join = Join(start, (right, top), mark_letters(count), upright)
            count += 1
            here, there = ("right", "left") if upright else ("top", "bottom")
            found.setdefault((c, r), {})[here] = join, numbers[other]
            found.setdefault(other, {})[there] = join, number
    return found
