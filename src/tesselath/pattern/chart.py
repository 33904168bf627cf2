"""Charts: a pattern drawn in letters, as makers draw it on squared paper.

Comes in: rows of letters, the first at the back. Goes out: rectangles with a letter each. Refuses:
ragged rows; a region of one letter that is no rectangle where each is to be one strip.

A space stays bare. ``join`` says what becomes one strip::

    along    AABBB  a run of one letter in a row: two strips here
    block    AAB    each region of one letter, which must be a rectangle, its grain along the
             AAB    longer side: a square and an upright here
    none     AAB    every letter by itself
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tesselath.errors import Fault, PatternError

__all__ = ["Cell", "Chart", "join_chart", "mirrored_rows", "parse_rows"]

_MOST_LETTERS = 20_000


@dataclass(frozen=True, slots=True)
class Cell:
    """A rectangle of letters: columns ``left`` to ``right``, rows ``front`` to ``back``.

    Counted in letters from the chart's front left corner; ``right`` and ``back`` are beyond the
    last one [count]. ``upright`` tells that the grain runs from front to back.
    """

    letter: str
    left: int
    right: int
    front: int
    back: int
    upright: bool


@dataclass(frozen=True, slots=True)
class Chart:
    """A chart made whole: its size in letters, where its origin lies, and its rectangles."""

    columns: int
    rows: int
    cells: tuple[Cell, ...]


def parse_rows(text: str, place: str) -> tuple[str, ...]:
    r"""Read the rows of a chart.

    >>> parse_rows("AB\nBA\n", "chart.rows")
    ('AB', 'BA')
    """
    rows = text.strip("\n").splitlines()
    if not rows or not rows[0]:
        raise PatternError(Fault(place, None, "A chart needs at least one row of letters."))
    widest = max(len(row) for row in rows)
    for n, row in enumerate(rows, 1):
        if len(row) != widest:
            rule = f"Row {n} has {len(row)} letters where another has {widest}."
            raise PatternError(Fault(place, row, rule, 'Fill up with a letter, or " " for bare.'))
    if widest * len(rows) > _MOST_LETTERS:
        raise PatternError(Fault(place, None, f"A chart has at most {_MOST_LETTERS:,} letters."))
    return tuple(rows)


def mirrored_rows(rows: Sequence[str], mirror: str) -> tuple[str, ...]:
    """Complete a chart of which only a half or a quarter is drawn.

    Parameters
    ----------
    rows : sequence of str
        The drawn rows, the first at the back.
    mirror : {"none", "right", "up", "four ways"}
        Which part is drawn: all, the right half, the back half, the right back quarter.

    Returns
    -------
    tuple of str
        The whole chart, mirrored at the edge of the letters.

    Examples
    --------
    >>> mirrored_rows(["AB", "CD"], "four ways")
    ('BAAB', 'DCCD', 'DCCD', 'BAAB')
    """
    whole = list(rows)
    if mirror in ("right", "four ways"):
        whole = [row[::-1] + row for row in whole]
    if mirror in ("up", "four ways"):
        whole = whole + whole[::-1]
    return tuple(whole)


def join_chart(rows: Sequence[str], *, join: str, repeat: bool, place: str) -> Chart:
    """Join the letters of a whole chart into strips.

    Parameters
    ----------
    rows : sequence of str
        The whole chart, the first row at the back.
    join : {"along", "block", "none"}
        What becomes one strip.
    repeat : bool
        Whether the chart repeats; then a run goes on over its edge.
    place : str
        Where it stands, for complaints.

    Raises
    ------
    PatternError
        If a region that is to be one strip is no rectangle.

    Examples
    --------
    >>> [(c.letter, c.left, c.right) for c in join_chart(["AAB"], join="along", repeat=False,
    ...  place="").cells]
    [('A', 0, 2), ('B', 2, 3)]
    """
    grid = list(rows)[::-1]
    columns, height = len(grid[0]), len(grid)
    if join == "none":
        cells = [
            Cell(letter, x, x + 1, y, y + 1, upright=False)
            for y, row in enumerate(grid)
            for x, letter in enumerate(row)
        ]
    elif join == "along":
        cells = [cell for y, row in enumerate(grid) for cell in _runs(row, y, repeat)]
    else:
        cells = _blocks(grid, place)
    return Chart(columns, height, tuple(c for c in cells if c.letter != " "))


def _runs(row: str, y: int, repeat: bool) -> list[Cell]:
    """The runs of one row; in a repeat the last runs on into the first of the next."""
    cells: list[Cell] = []
    start = 0
    for x in range(1, len(row) + 1):
        if x == len(row) or row[x] != row[start]:
            cells.append(Cell(row[start], start, x, y, y + 1, upright=False))
            start = x
    if repeat and len(cells) > 1 and cells[0].letter == cells[-1].letter:
        first, last = cells[0], cells.pop()
        cells[0] = Cell(first.letter, last.left - len(row), first.right, y, y + 1, upright=False)
    return cells


def _blocks(grid: list[str], place: str) -> list[Cell]:
    """Each region of one letter as one rectangle."""
    taken: set[tuple[int, int]] = set()
    cells = []
    for y, row in enumerate(grid):
        for x, letter in enumerate(row):
            if (x, y) in taken or letter == " ":
                continue
            region = _region(grid, x, y)
            taken |= region
            left, right = min(c for c, _ in region), max(c for c, _ in region) + 1
            front, back = min(r for _, r in region), max(r for _, r in region) + 1
            if len(region) != (right - left) * (back - front):
                rule = f'The letters "{letter}" at row {len(grid) - y} are no rectangle.'
                remedy = "Use another letter for a part of them, or join along the rows."
                raise PatternError(Fault(place, None, rule, remedy))
            upright = back - front > right - left
            cells.append(Cell(letter, left, right, front, back, upright))
    return cells


def _region(grid: list[str], x: int, y: int) -> set[tuple[int, int]]:
    """All letters that hang together with one, side to side."""
    region = {(x, y)}
    edge = [(x, y)]
    while edge:
        cx, cy = edge.pop()
        for nx, ny in ((cx + 1, cy), (cx - 1, cy), (cx, cy + 1), (cx, cy - 1)):
            inside = 0 <= ny < len(grid) and 0 <= nx < len(grid[0])
            if inside and (nx, ny) not in region and grid[ny][nx] == grid[y][x]:
                region.add((nx, ny))
                edge.append((nx, ny))
    return region
