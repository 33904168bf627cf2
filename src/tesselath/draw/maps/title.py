"""The foot of a drawing: title block, key of woods, signs, check lines.

Comes in: the words, the looks of the woods with their counts, the pens, the width at hand. Goes
out: items that hang from y = 0 downward, and the height they take.

The parts stand side by side where the drawing is wide enough and under each other where not::

    ------------------------------------------------------------------
    Hall table               WOODS            SIGNS        SHOW FACE UP
    Herringbone, 45 deg      [///] W walnut   A 17 ...     |---4 in---|
    Opening 54 x 20 in       [   ] M maple    -.-.- ...    |--100 mm--|
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tesselath.draw.maps.grain import ruled_swatch
from tesselath.draw.maps.wood import WoodLook
from tesselath.draw.paper import (
    INK,
    Item,
    Line,
    Pens,
    Point,
    Polygon,
    Stroke,
    Text,
    box_outline,
    fitted_cap,
    moved,
    text_width,
    wrapped_text,
)

__all__ = ["Block", "draw_foot", "key_block", "scale_block", "sign_block", "title_block"]

_GREY = "#555555"


@dataclass(frozen=True, slots=True)
class Block:
    """Items that hang from the origin to the right and down, and the room they take [mm]."""

    items: tuple[Item, ...]
    width: float
    height: float


def draw_foot(
    blocks: Sequence[Block], *, width: float, pens: Pens
) -> tuple[tuple[Item, ...], float, float]:
    """Arrange blocks under a line, side by side as far as they go.

    Parameters
    ----------
    blocks : sequence of Block
        The blocks, in order.
    width : float
        The width at hand [mm].
    pens : Pens
        The pens of the drawing.

    Returns
    -------
    items, width, height
        The items, hanging from the origin, and the room they take [mm].
    """
    gap = 3.0 * pens.base
    columns = next(
        columns
        for columns in (*_columns(blocks), [list(blocks)])
        if len(columns) == 1 or _wide(columns, gap) <= width
    )
    width = max(width, _wide(columns, gap))
    spare = width - sum(max(block.width for block in column) for column in columns)
    between = min(spare / max(len(columns) - 1, 1), 9.0 * pens.base)
    items: list[Item] = [Line((((0.0, 0.0), (width, 0.0)),), pens.frame)]
    x, lowest = 0.0, 0.0
    for column in columns:
        y = -1.6 * pens.base
        for block in column:
            items += moved(block.items, x, y)
            y -= block.height + 1.6 * pens.base
        x += max(block.width for block in column) + between
        lowest = min(lowest, y)
    return tuple(items), width, -lowest


def _columns(blocks: Sequence[Block]) -> list[list[list[Block]]]:
    """Give ways to set the blocks: each in a column of its own, or the last under the first."""
    if len(blocks) < 4:
        return [[[block] for block in blocks]]
    first, *middle, last = blocks
    return [
        [[block] for block in blocks],
        [[first, last], *([block] for block in middle)],
        [[first, last], list(middle)],
    ]


def _wide(columns: Sequence[Sequence[Block]], gap: float) -> float:
    widths = (max(block.width for block in column) for column in columns)
    return sum(widths) + gap * (len(columns) - 1)


def title_block(
    title: str, lines: Sequence[str], small: Sequence[str], *, pens: Pens, room: float
) -> Block:
    """Set the name of a design over its lines; what does not fit the room becomes smaller."""
    base = pens.base
    cap = fitted_cap(title, room, 2.2 * base, 600)
    items: list[Item] = [
        Text(title, (0.0, 0.0), cap, anchor="start", baseline="top", weight=600, role="title")
    ]
    y = -cap - 1.3 * base
    widest = text_width(title, cap, 600)
    for line, ink, height in (
        *((line, INK, base) for line in lines),
        *((line, _GREY, max(0.85 * base, 2.0)) for line in small),
    ):
        for part in wrapped_text(line, room, height):
            items.append(Text(part, (0.0, y), height, anchor="start", baseline="top", colour=ink))
            widest = max(widest, text_width(part, height))
            y -= 1.75 * height
    return Block(tuple(items), widest, -y)


def key_block(
    rows: Sequence[tuple[WoodLook, str]],
    *,
    extra: Sequence[tuple[Sequence[Item], str]],
    spacing: float,
    pens: Pens,
) -> Block:
    """List the woods: a ruled patch, the letter, the words; then patches of other kinds."""
    base = pens.base
    wide, high, pitch = 4.4 * base, 2.0 * base, 2.9 * base
    letters = max((text_width(look.letter, base, 600) for look, _ in rows), default=0.0)
    items: list[Item] = [_heading("WOODS, RULED ALONG THE GRAIN", pens)]
    widest = text_width("WOODS, RULED ALONG THE GRAIN", 0.85 * base, 600)
    y = -2.1 * base
    indent = wide + base
    for look, words in rows:
        items += moved(ruled_swatch(look, width=wide, height=high, spacing=spacing), 0.0, y - high)
        middle = y - high / 2
        items.append(Text(look.letter, (indent, middle), base, anchor="start", weight=600))
        items.append(Text(words, (indent + letters + base, middle), base, anchor="start"))
        widest = max(widest, indent + letters + base + text_width(words, base))
        y -= pitch
    for patch, words in extra:
        items += moved(patch, 0.0, y - high)
        items.append(Text(words, (indent + letters + base, y - high / 2), base, anchor="start"))
        widest = max(widest, indent + letters + base + text_width(words, base))
        y -= pitch
    return Block(tuple(items), widest, -y - (pitch - high))


def sign_block(rows: Sequence[tuple[Sequence[Item], str]], *, pens: Pens) -> Block:
    """Explain the signs: what is drawn in a room of 4.4 by 2 base heights, and its words."""
    base = pens.base
    items: list[Item] = [_heading("SIGNS", pens)]
    widest, y = 0.0, -2.1 * base
    for drawn, words in rows:
        items += moved(drawn, 0.0, y - 2.0 * base)
        items.append(Text(words, (5.4 * base, y - base), base, anchor="start"))
        widest = max(widest, 5.4 * base + text_width(words, base))
        y -= 2.9 * base
    return Block(tuple(items), widest, -y - 0.9 * base)


def scale_block(*, words: Sequence[str], scale: float, pens: Pens) -> Block:
    """Say how the drawing is seen and printed, over check lines of 4 in and 100 mm."""
    base = pens.base
    cap = 1.4 * base
    first, *rest = words
    width = text_width(first, cap, 600) + 2.0 * base
    box = box_outline(0.0, -cap - 1.6 * base, width, cap + 1.6 * base)
    items: list[Item] = [
        Polygon((box,), stroke=Stroke(pens.frame.width, INK)),
        Text(first, (width / 2, -cap / 2 - 0.8 * base), cap, weight=600, role="show-face"),
    ]
    y = -cap - 3.0 * base
    for words_ in rest:
        items.append(Text(words_, (0.0, y), base, anchor="start", baseline="top"))
        width = max(width, text_width(words_, base))
        y -= 1.75 * base
    for length, name in ((101.6, "4 in"), (100.0, "100 mm")):
        y -= 2.4 * base
        drawn = length * scale
        items += _check_line((0.0, y), drawn, f"check: {name}", pens)
        width = max(width, drawn, text_width(f"check: {name}", base) + 1.0)
    return Block(tuple(items), width, -y + 0.6 * base)


def _check_line(at: Point, length: float, words: str, pens: Pens) -> tuple[Item, ...]:
    x, y = at
    tick = 0.5 * pens.base
    runs = tuple(
        (
            (x + share * length, y - (tick if share in (0.0, 1.0) else tick / 2)),
            (x + share * length, y + (tick if share in (0.0, 1.0) else tick / 2)),
        )
        for share in (0.0, 0.25, 0.5, 0.75, 1.0)
    )
    return (
        Line((((x, y), (x + length, y)), *runs), Stroke(max(0.3, pens.thin.width), INK)),
        Text(
            words,
            (x + 0.5 * pens.base, y + 0.55 * pens.base),
            0.85 * pens.base,
            anchor="start",
            baseline="base",
            role="check-line",
        ),
    )


def _heading(words: str, pens: Pens) -> Text:
    return Text(
        words,
        (0.0, 0.0),
        0.85 * pens.base,
        anchor="start",
        baseline="top",
        weight=600,
        colour=_GREY,
    )
