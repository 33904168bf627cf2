"""The pieces as they are drawn on a map: tints, rulings, outlines, letters and numbers.

Comes in: the pieces as drawn, their parts, the looks of their woods, the sizes of lettering. Goes
out: items of a sheet, the boxes of the lettering, the pieces left for leaders.

A piece of a handed pair carries a small triangle in the corner that is the long point at the
stop end, as it will be marked on the stick::

     ______________
    |\\            /     the lettering keeps clear of the triangle
    |_\\  C-L 57  /
        \\_______/
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tesselath.draw.maps.grain import rule_lines, ruling_stroke
from tesselath.draw.maps.labels import Label, LabelSizes, Wanted, place_labels
from tesselath.draw.maps.wood import WoodLook
from tesselath.draw.paper import INK, Fill, Item, Line, Point, Polygon, Stroke, Text, text_width
from tesselath.field import Piece
from tesselath.measure import cosine, sine, turn_point
from tesselath.parts import Part
from tesselath.shape import Outline

__all__ = [
    "CUT_ALREADY",
    "Lettered",
    "corner_triangle",
    "draw_label",
    "label_outline",
    "letter_pieces",
    "long_point_triangle",
    "may_be_misread",
    "stop_corner",
    "without_corner",
]

#: More pieces than this without room for their lettering: it is printed smaller instead.
_MOST_LEADERS = 80
#: The least letter where so many pieces are tiny [mm]; read with a glass, or on a screen.
_TINIEST = 0.1
#: Gap between letter and number, in letters; the size of the triangle, in widths of a piece.
_GAP, _TRIANGLE = 0.45, 0.18
#: Rulings come this much nearer to the lettering than outlines do, in letters.
_RULED_AIR = 0.12
#: Pieces cut already: plain grey, light enough for a pencil tick.
CUT_ALREADY = Fill("#c9c9c9")
_TURNED = str.maketrans("01689", "01986")


@dataclass(frozen=True, slots=True)
class Lettered:
    """What is drawn on the pieces; ``unlabelled`` have no room for lettering of their own."""

    woods: tuple[Item, ...]
    rulings: tuple[Item, ...]
    outlines: tuple[Item, ...]
    triangles: tuple[Item, ...]
    labels: tuple[Label, ...]
    unlabelled: tuple[Wanted, ...]
    sizes: LabelSizes
    tiny: bool  # some lettering is smaller than it should be on paper


def letter_pieces(
    pieces: Sequence[Piece],
    *,
    parts: Mapping[str, Part],
    looks: Mapping[str, WoodLook],
    sizes: LabelSizes,
    spacing: float,
    outline: Stroke,
    numbers: bool = True,
) -> Lettered:
    """Draw pieces with their lettering."""
    triangles = {piece.number: long_point_triangle(piece, parts[piece.part]) for piece in pieces}
    wanted = [
        Wanted(
            without_corner(piece.outline, triangles[piece.number]),
            piece.grain,
            piece.part,
            str(piece.number) if numbers else "",
        )
        for piece in pieces
    ]
    placed = place_labels(wanted, sizes=sizes)
    tiny = placed.count(None) > _MOST_LEADERS
    if tiny:
        sizes = LabelSizes(_TINIEST, sizes.most, 0.8 * _TINIEST, sizes.share)
        placed = place_labels(wanted, sizes=sizes)
    solid = tuple(triangle for triangle in triangles.values() if triangle is not None)
    return Lettered(
        woods=_tints(pieces, looks),
        rulings=_rulings(pieces, placed, looks, spacing),
        outlines=tuple(
            Polygon((piece.outline,), stroke=outline, role="piece", key=f"piece-{piece.number}")
            for piece in pieces
        ),
        triangles=(Polygon(solid, Fill(INK), role="long-point"),) if solid else (),
        labels=tuple(label for label in placed if label is not None),
        unlabelled=tuple(one for one, label in zip(wanted, placed, strict=True) if label is None),
        sizes=sizes,
        tiny=tiny,
    )


def draw_label(label: Label, *, pieces: int) -> tuple[Text, ...]:
    """Print a letter and its number; ``pieces`` are all there are [count]."""
    gap = _GAP * label.letter_cap
    wide = text_width(label.letter, label.letter_cap, 600)
    number_wide = text_width(label.number, label.number_cap) if label.number else 0.0
    if label.under and label.number:
        whole = label.letter_cap + gap + label.number_cap
        places = [(-wide / 2, whole / 2 - label.letter_cap), (-number_wide / 2, -whole / 2)]
    else:
        left = -(wide + (gap + number_wide if label.number else 0.0)) / 2
        places = [(left, -label.letter_cap / 2), (left + wide + gap, -label.letter_cap / 2)]
    (x1, y1), (x2, y2) = (turn_point(x, y, label.angle) for x, y in places)
    x, y = label.at
    letter = Text(
        label.letter,
        (x + x1, y + y1),
        label.letter_cap,
        anchor="start",
        baseline="base",
        angle=label.angle,
        weight=600,
        role="part-letter",
    )
    if not label.number:
        return (letter,)
    number = Text(
        label.number,
        (x + x2, y + y2),
        label.number_cap,
        anchor="start",
        baseline="base",
        angle=label.angle,
        underline=may_be_misread(label.number, pieces),
        role="piece-number",
        key=f"number-{label.number}",
    )
    return letter, number


def label_outline(label: Label) -> tuple[Point, ...]:
    """Give the corners of the box of a label, with its air [mm]."""
    half, high = label.width / 2, label.height / 2
    corners = ((-half, -high), (half, -high), (half, high), (-half, high))
    turned = (turn_point(x, y, label.angle) for x, y in corners)
    return tuple((label.at[0] + x, label.at[1] + y) for x, y in turned)


def may_be_misread(number: str, pieces: int) -> bool:
    """Tell whether a number upside down is the number of another piece: 6 and 9, 68 and 89.

    Examples
    --------
    >>> [n for n in ("6", "8", "16", "69", "17", "60", "66") if may_be_misread(n, 95)]
    ['6', '16']
    >>> may_be_misread("66", 120)
    True
    """
    if not set(number) <= set("01689") or not set(number) & set("69"):
        return False
    other = number[::-1].translate(_TURNED)
    return other != number and other[0] != "0" and int(other) <= pieces


def _tints(pieces: Sequence[Piece], looks: Mapping[str, WoodLook]) -> tuple[Item, ...]:
    by_wood: dict[str, list[Outline]] = {}
    for piece in pieces:
        if not piece.cut:
            by_wood.setdefault(piece.wood, []).append(piece.outline)
    tints = tuple(
        Polygon(tuple(by_wood[wood]), Fill(look.tint), role=f"wood wood-{n}")
        for n, (wood, look) in enumerate(looks.items(), 1)
        if wood in by_wood
    )
    cut = tuple(piece.outline for piece in pieces if piece.cut)
    return (*tints, Polygon(cut, CUT_ALREADY, role="cut-already")) if cut else tints


def _rulings(
    pieces: Sequence[Piece],
    placed: Sequence[Label | None],
    looks: Mapping[str, WoodLook],
    spacing: float,
) -> tuple[Item, ...]:
    """Rule every piece still to be cut; pieces of one shape, lettering and wood are ruled once."""
    done: dict[tuple[object, ...], NDArray[np.float64]] = {}
    by_wood: dict[str, list[NDArray[np.float64]]] = {}
    for piece, label in zip(pieces, placed, strict=True):
        look = looks[piece.wood]
        if piece.cut or look.ruling.spacing <= 0.0:
            continue
        first = piece.outline[0]
        shape = np.round(piece.outline - first, 2) + 0.0
        free = None if label is None else _free_box(label, first, piece.grain)
        key = (
            shape.tobytes(),
            round(piece.grain, 3),
            piece.wood,
            None if free is None else tuple(round(edge, 2) for edge in free),
        )
        if key not in done:
            done[key] = rule_lines(
                shape, piece.grain, ruling=look.ruling, spacing=spacing, free=free
            )
        by_wood.setdefault(piece.wood, []).append(done[key] + first)
    return tuple(
        Line(
            tuple(np.concatenate(by_wood[wood])),
            ruling_stroke(look, spacing=spacing),
            role=f"ruling ruling-{n}",
        )
        for n, (wood, look) in enumerate(looks.items(), 1)
        if any(len(lines) for lines in by_wood.get(wood, ()))
    )


def _free_box(
    label: Label, first: NDArray[np.float64], grain: float
) -> tuple[float, float, float, float]:
    """Give a label's box from the outline's first corner, in axes along the grain."""
    x, y = turn_point(label.at[0] - float(first[0]), label.at[1] - float(first[1]), -grain)
    spare = _RULED_AIR * label.letter_cap
    half, high = label.width / 2 - spare, label.height / 2 - spare
    return x - half, y - high, x + half, y + high


def long_point_triangle(piece: Piece, part: Part) -> NDArray[np.float64] | None:
    """Draw the triangle in the long point at the stop end of a handed piece; None for others."""
    if part.handed_pair is None:
        return None
    shape = np.asarray(part.shape)
    corner = _match(shape, piece)[stop_corner(part)]
    n = int(np.hypot(*(piece.outline - corner).T).argmin())
    return corner_triangle(piece.outline, n, width=float(np.ptp(shape[:, 1])))


def stop_corner(part: Part) -> int:
    """Tell which corner of a part's shape is the long point at the stop end."""
    reach = np.asarray(part.shape)[:, 0]
    return int((-reach if part.stop_side == "right" else reach).argmin())


def corner_triangle(outline: Outline, n: int, *, width: float) -> NDArray[np.float64]:
    """Draw the small triangle in a corner of a handed piece, for the width of its strip [mm]."""
    here, before, after = outline[n], outline[n - 1], outline[(n + 1) % len(outline)]
    sides = [float(np.hypot(*(other - here))) for other in (after, before)]
    size = min(_TRIANGLE * width, *(0.4 * side for side in sides))
    toward = [(other - here) / side for other, side in zip((after, before), sides, strict=True)]
    return np.array([here, here + size * toward[0], here + size * toward[1]])


def _match(shape: NDArray[np.float64], piece: Piece) -> NDArray[np.float64]:
    """Lay the part's shape back on the piece it came from: turned by the grain, or end for end."""
    cut = piece.cut_outline
    target = cut.mean(axis=0)
    best, least = shape, np.inf
    for angle in (piece.grain, piece.grain + 180.0):
        c, s = cosine(angle), sine(angle)
        laid = shape @ np.array([[c, s], [-s, c]])
        laid = laid + (target - laid.mean(axis=0))
        miss = sum(float(np.hypot(*(cut - corner).T).min()) for corner in laid)
        if miss < least - 1e-3:
            best, least = laid, miss
    return best


def without_corner(outline: Outline, triangle: NDArray[np.float64] | None) -> Outline:
    """Leave a corner out of an outline, so that lettering keeps clear of the triangle there."""
    if triangle is None:
        return outline
    n = int(np.hypot(*(outline - triangle[0]).T).argmin())
    return np.concatenate([outline[:n], triangle[[2, 1]], outline[n + 1 :]])
