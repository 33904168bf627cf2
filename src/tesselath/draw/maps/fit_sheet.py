"""The candidates of a fit on one sheet: each top as it will look, with what it comes to.

Comes in: plans or layouts as tops, with their captions. Goes out: a sheet.

All tops are drawn at one scale, the given design first::

    +---------+  +---------+  +---------+
    |  as it  |  |    1    |  |    2    |
    +---------+  +---------+  +---------+
      caption      caption      caption
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil

from tesselath.draw.maps.preview import Top, draw_top
from tesselath.draw.paper import (
    INK,
    Item,
    Layer,
    Point,
    Sheet,
    Text,
    fitted_cap,
    moved,
    wrapped_text,
)

__all__ = ["Shown", "draw_fit"]

#: Lines under a picture at most [count].
_LINES = 6


@dataclass(frozen=True, slots=True)
class Shown:
    """One top of the sheet: what is seen of it, its title and what is said of it."""

    top: Top
    title: str
    words: Sequence[str]


def draw_fit(shown: Sequence[Shown], *, title: str) -> Sheet:
    """Draw the candidates of a fit beside each other.

    Parameters
    ----------
    shown : sequence of Shown
        The tops, the given design first.
    title : str
        What the sheet is called.

    Returns
    -------
    Sheet
        The picture, all tops at one scale.
    """
    sheets = [draw_top(one.top) for one in shown]
    width, height = max(s.width for s in sheets), max(s.height for s in sheets)
    columns = _columns(len(shown), width / height)
    rows = ceil(len(shown) / columns)
    cap = width / 46
    lines = [_lines(one, 0.94 * width, cap) for one in shown]
    foot = (3.6 + 1.75 * max(map(len, lines))) * cap
    layers: list[Layer] = []
    for n, (sheet, one) in enumerate(zip(sheets, shown, strict=True)):
        column, row = n % columns, n // columns
        left = column * width
        bottom = (rows - 1 - row) * (height + foot) + foot
        dx = left + (width - sheet.width) / 2 - sheet.left
        # Tops of different depths stand with their upper edges in one line.
        dy = bottom + height - sheet.height - sheet.bottom
        layers += [
            replace(layer, name=f"{layer.name}-{n}", items=moved(layer.items, dx, dy))
            for layer in sheet.layers
        ]
        at = (left + 0.03 * width, bottom + height - sheet.height - 0.6 * cap)
        layers.append(Layer(f"words-{n}", _words(one.title, lines[n], at, 0.94 * width, cap)))
    return Sheet(
        title=title,
        left=0.0,
        bottom=0.0,
        width=columns * width,
        height=rows * (height + foot),
        layers=tuple(layers),
    )


def _columns(count: int, shape: float) -> int:
    """So many tops beside each other that the sheet is a little wider than high."""
    best = min(range(1, count + 1), key=lambda n: abs(n * shape / ceil(count / n) - 1.3))
    return min(best, 4)


def _lines(one: Shown, room: float, cap: float) -> list[str]:
    """What is said of a top, broken into lines that fit."""
    return [line for words in one.words for line in wrapped_text(words, room, cap)][:_LINES]


def _words(
    title: str, lines: Sequence[str], at: Point, room: float, cap: float
) -> tuple[Item, ...]:
    """The title and the lines under a top."""
    x, y = at
    head = Text(
        title,
        at,
        fitted_cap(title, room, 1.2 * cap, 600),
        anchor="start",
        baseline="top",
        weight=600,
        colour=INK,
        role="caption",
    )
    told = (
        Text(
            line,
            (x, y - (2.3 + 1.75 * n) * cap),
            cap,
            anchor="start",
            baseline="top",
            colour=INK,
            role="caption",
        )
        for n, line in enumerate(lines)
    )
    return (head, *told)
