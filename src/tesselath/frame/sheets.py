"""Sheets: how a panel is sawn from sheets, with joins where it is larger than one.

Comes in: a panel's size, the size of a sheet, the kerf. Goes out: equal parts, where each lies on
which sheet, and how many sheets that takes.

A panel longer than the sheet is made of equal parts, few joins first::

     _______________________        ____________________
    |       :       |       |      |  1  |  2  |  3  |//|     a sheet, its parts,
    |   1   :   2   |   3   |      |     |     |     |//|     and what is left over
    |_______:_______|_______|      |_____|_____|_____|//|
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from tesselath.measure import ON_THE_LINE

__all__ = ["SheetCut", "SheetPart", "cut_sheets"]

#: A base of more parts than this is looked at no further for one that saves a sheet [count].
_MOST_PARTS = 8


@dataclass(frozen=True, slots=True)
class SheetPart:
    """A part of the panel on its sheet: lower left corner and size there [mm]."""

    sheet: int
    x: float
    y: float
    length: float
    width: float


@dataclass(frozen=True, slots=True)
class SheetCut:
    """How a panel comes from sheets [mm].

    ``part`` is the size of each of ``across`` x ``away`` equal parts, left to right and front to
    back as they lie in the top. ``fewer`` has parts and sheets of a way with more joins that
    needs fewer sheets, None where there is none.
    """

    sheet: tuple[float, float]
    across: int
    away: int
    part: tuple[float, float]
    sheets: int
    parts: tuple[SheetPart, ...]
    fewer: tuple[int, int] | None

    @property
    def joins(self) -> int:
        """How many joins the panel has [count]."""
        return self.across - 1 + self.away - 1


def cut_sheets(width: float, depth: float, *, sheet: tuple[float, float], kerf: float) -> SheetCut:
    """Cut a panel from sheets, in as few parts as can be.

    Source: equal parts by common practice.

    A base of 120 x 30 in is longer than a sheet of 96 x 48 in. Two parts take two sheets; three
    parts of 40 x 30 in would come from one.

    >>> cut = cut_sheets(120 * 25.4, 30 * 25.4, sheet=(96 * 25.4, 48 * 25.4), kerf=3.175)
    >>> cut.across, cut.away, cut.sheets, cut.fewer
    (2, 1, 2, (3, 1))
    """
    ways = []
    for across in range(1, max(_MOST_PARTS, ceil(width / min(sheet))) + 1):
        for away in range(1, max(_MOST_PARTS, ceil(depth / min(sheet))) + 1):
            part = width / across, depth / away
            laid = _fill(part, sheet, kerf)
            if laid:
                count = across * away
                sheets = ceil(count / len(laid))
                ways.append(((count, sheets, across), across, away, part, laid, sheets))
    least, across, away, part, laid, sheets = min(ways)
    saving = min(
        (way[0] for way in ways if way[5] < sheets and way[0][0] <= _MOST_PARTS), default=None
    )
    parts = tuple(
        SheetPart(n // len(laid) + 1, *laid[n % len(laid)], *_size(part, laid, sheet, kerf))
        for n in range(least[0])
    )
    fewer = None if saving is None else (saving[0], saving[1])
    return SheetCut(sheet, across, away, part, sheets, parts, fewer)


def _fill(
    part: tuple[float, float], sheet: tuple[float, float], kerf: float
) -> list[tuple[float, float]]:
    """Lay as many parts on a sheet as go, all one way: their lower left corners."""
    return max((_grid(size, sheet, kerf) for size in (part, part[::-1])), key=len)


def _size(
    part: tuple[float, float],
    laid: list[tuple[float, float]],
    sheet: tuple[float, float],
    kerf: float,
) -> tuple[float, float]:
    """Give a part's size as it lies on the sheet."""
    return part if _grid(part, sheet, kerf) == laid else part[::-1]


def _grid(
    size: tuple[float, float], sheet: tuple[float, float], kerf: float
) -> list[tuple[float, float]]:
    along, across = (
        int((room + kerf + ON_THE_LINE) // (side + kerf))
        for room, side in zip(sheet, size, strict=True)
    )
    return [
        (x * (size[0] + kerf), y * (size[1] + kerf)) for y in range(across) for x in range(along)
    ]
