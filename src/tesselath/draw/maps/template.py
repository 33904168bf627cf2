"""The template: the whole map at full size, to lay the pieces on, and its mirror image.

Comes in: a plan. Goes out: the drawing on its plane, ready to be cut into pages or printed in one;
lettering is set for each page, so that none is cut in two.

Mirrored it is the same top seen from below, as pieces lie when they are laid face down on film
or tape. Only the geometry is mirrored: front stays at the bottom, words and numbers stay
readable, and a piece keeps its number and the mark of its part::

     LEFT  |/////|     |  RIGHT         RIGHT  |     |\\\\\\\\\\|  LEFT
           |17///|     |                       |     |\\\\\\17|
                FRONT                                FRONT
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from tesselath.draw.maps.frame import frame_shape
from tesselath.draw.maps.grain import inside_spans, rule_lines, ruling_stroke
from tesselath.draw.maps.labels import LabelSizes, Wanted
from tesselath.draw.maps.lettered import long_point_triangle, without_corner
from tesselath.draw.maps.rod_marks import RodMark, mark_rod
from tesselath.draw.maps.rows import RowMark, mark_rows
from tesselath.draw.maps.wood import WoodLook, dress_woods
from tesselath.draw.paper import (
    INK,
    SIGNAL,
    Box,
    Corners,
    Fill,
    Item,
    Line,
    Polygon,
    Stroke,
    runs_of,
)
from tesselath.field import Piece
from tesselath.measure import cosine, reading_angle, sine
from tesselath.plan import Plan, Zone
from tesselath.shape import Outline, as_outline

__all__ = [
    "CENTRE",
    "OPENING",
    "OUTLINE",
    "OVER",
    "ROW",
    "ROW_CAP",
    "TRIM",
    "Template",
    "lay_template",
]

OUTLINE, OPENING = Stroke(0.25, INK), Stroke(0.6, INK)
TRIM = Stroke(0.6, SIGNAL, (6.0, 2.5))
ROW = Stroke(0.15, "#3a5f7d", (3.0, 1.5))
CENTRE = Stroke(0.35, SIGNAL, (10.0, 2.0, 1.2, 2.0))
_FRAME, _HIDDEN = Stroke(0.35, "#555555"), Stroke(0.18, "#555555", (2.5, 1.5))
_ZONE = Stroke(0.4, INK)
_BARE, _GRAIN = Stroke(0.25, "#777777"), Stroke(0.15, "#444444")
#: Rulings: this many of the closest in a strip's width, and not closer than this [mm].
_RULED, _CLOSEST = 7.0, 0.8
#: Their pen, as a share of that on the map.
_FINE = 0.6
#: A letter is this share of the strip's width, and this high at the most [mm].
_SHARE, _MOST = 0.4, 6.0
#: How far row lines and centre lines run beyond the field [mm].
OVER = 3.0
#: How high the numbers of rows are [mm].
ROW_CAP = 3.0
#: An arrow along the grain: the share of the piece's length, the most [mm], its head [mm].
_ARROW, _ARROW_MOST, _HEAD = 0.4, 40.0, 1.6


@dataclass(frozen=True, slots=True)
class Template:
    """The drawing on its plane, front at the bottom, and what is still to be lettered [mm].

    ``plan`` is as seen: mirrored where the template is. ``fine`` are lines that are broken for
    lettering, ``firm`` those that are not. ``marks`` are those of the story stick, across and
    away; ``rows`` are the numbers of the rows at ``ROW_CAP``. ``field`` is the box of all pieces
    and the opening, ``frame`` that of the frame's outer edge.
    """

    plan: Plan
    mirrored: bool
    fine: tuple[Item, ...]
    firm: tuple[Item, ...]
    wanted: tuple[Wanted, ...]
    sizes: LabelSizes
    looks: dict[str, WoodLook]
    marks: tuple[tuple[RodMark, ...], tuple[RodMark, ...]]
    rows: tuple[RowMark, ...]
    field: Box
    frame: Box


def lay_template(plan: Plan, *, mirrored: bool = False) -> Template:
    """Draw the map at full size.

    Parameters
    ----------
    mirrored : bool
        Whether it is seen from below, to lay the pieces on face down.
    """
    triangles = [long_point_triangle(piece, plan.part(piece.part)) for piece in plan.pieces]
    if mirrored:
        plan = _mirrored(plan)
        triangles = [None if t is None else t[[0, 2, 1]] * (-1.0, 1.0) for t in triangles]
    names = list(dict.fromkeys(piece.wood for piece in plan.pieces))
    looks = dress_woods(names, woods=plan.design.woods)
    width = float(np.median([piece.width for piece in plan.pieces]))
    spacing = max(width / _RULED, _CLOSEST)
    field = _box_of([plan.opening, *(piece.cut_outline for piece in plan.pieces)])
    frame_items, outer = _frame(plan)
    marks = mark_rod(plan, 0)[0], mark_rod(plan, 1)[0]
    return Template(
        plan=plan,
        mirrored=mirrored,
        fine=(*_grain(plan.pieces, looks, spacing), *_row_lines(marks, field), *_centre(field)),
        firm=(
            *frame_items,
            *_bare(plan),
            *_overhang(plan),
            *_pieces(plan),
            *_edges(plan),
            *_triangles(triangles),
        ),
        wanted=tuple(
            Wanted(
                without_corner(piece.outline, triangle), piece.grain, piece.part, str(piece.number)
            )
            for piece, triangle in zip(plan.pieces, triangles, strict=True)
        ),
        sizes=LabelSizes(most=max(4.0, min(_SHARE * width, _MOST))),
        looks=looks,
        marks=marks,
        rows=tuple(_rows(plan)),
        field=field,
        frame=_box_of([plan.opening] if outer is None else [outer]),
    )


def _mirrored(plan: Plan) -> Plan:
    """Give the plan as it is seen from below, front still at the bottom."""
    return replace(
        plan,
        opening=_flipped(plan.opening),
        zones=tuple(Zone(zone.name, _flipped(zone.outline)) for zone in plan.zones),
        pieces=tuple(
            replace(
                piece,
                outline=_flipped(piece.outline),
                grain=-piece.grain % 180.0,
                blank=None if piece.blank is None else _flipped(piece.blank),
            )
            for piece in plan.pieces
        ),
        uncovered=tuple(map(_flipped, plan.uncovered)),
    )


def _flipped(outline: Outline) -> Outline:
    return as_outline(outline[::-1] * (-1.0, 1.0))


def _box_of(outlines: Sequence[Corners]) -> Box:
    corners = np.concatenate([np.asarray(outline) for outline in outlines])
    (left, bottom), (right, top) = corners.min(axis=0), corners.max(axis=0)
    return float(left), float(bottom), float(right), float(top)


def _grain(pieces: Sequence[Piece], looks: dict[str, WoodLook], spacing: float) -> list[Item]:
    """Rule the pieces along the grain; those of the wood that is left blank get an arrow."""
    ruled: dict[str, list[NDArray[np.float64]]] = {}
    shafts: list[Corners] = []
    heads: list[Corners] = []
    for piece in pieces:
        ruling = looks[piece.wood].ruling
        if ruling.spacing > 0.0:
            lines = rule_lines(
                piece.outline, piece.grain, ruling=ruling, spacing=spacing, free=None
            )
            ruled.setdefault(piece.wood, []).append(lines)
        else:
            arrow = _arrow(piece)
            shafts += arrow[:1]
            heads += arrow[1:]
    items: list[Item] = [
        Line(tuple(np.concatenate(lines)), _ruling_pen(looks[wood], spacing), role="ruling")
        for wood, lines in ruled.items()
        if any(map(len, lines))
    ]
    if shafts:
        items += [
            Line(tuple(shafts), _GRAIN, role="grain"),
            Line(tuple(heads), _GRAIN, role="grain"),
        ]
    return items


def _ruling_pen(look: WoodLook, spacing: float) -> Stroke:
    """Rule in fine lines: at full size there is enough of them."""
    pen = ruling_stroke(look, spacing=spacing)
    return replace(pen, width=pen.width * _FINE)


def _arrow(piece: Piece) -> list[NDArray[np.float64]]:
    """Draw the grain as an arrow to both sides, on the side of the piece that is below."""
    angle = reading_angle(piece.grain)
    c, s = cosine(angle), sine(angle)
    turn = np.array([[c, s], [-s, c]])
    level = piece.outline @ turn.T
    low, high = float(level[:, 1].min()), float(level[:, 1].max())
    y = low + 0.17 * (high - low)
    spans = inside_spans(level, y, 0.0)
    if not spans:
        return []
    left, right = max(spans, key=lambda span: span[1] - span[0])
    half = min(_ARROW * (right - left), _ARROW_MOST) / 2
    size = min(_HEAD, half / 2, 0.12 * (high - low) / 0.35)
    if half < 1.0:
        return []
    middle = (left + right) / 2
    lines = [np.array([(middle - half, y), (middle + half, y)])]
    for end, way in ((middle - half, 1.0), (middle + half, -1.0)):
        lines.append(
            np.array(
                [(end + way * size, y + 0.35 * size), (end, y), (end + way * size, y - 0.35 * size)]
            )
        )
    return [np.asarray(line @ turn) for line in lines]


def _rows(plan: Plan) -> list[RowMark]:
    """Number the rows of the field; a figure that stands alone has none."""
    if not plan.design.field.filling.pattern.fills:
        return []
    pieces = [piece for piece in plan.pieces if piece.zone == "field"]
    return mark_rows(pieces, opening=plan.opening, cap=ROW_CAP)


def _row_lines(marks: Sequence[Sequence[RodMark]], field: Box) -> list[Item]:
    """Draw where rows begin and end, across the field; other lines as ticks beside it."""
    runs: list[Corners] = []
    for axis, along in enumerate(marks):
        low, high = field[1 - axis], field[3 - axis]
        for mark in along:
            if not field[axis] <= mark.at <= field[axis + 2]:
                continue
            spans = [(low - OVER, low), (high, high + OVER)]
            if mark.kind == "row":
                spans = [(low - OVER, high + OVER)]
            for start, end in spans:
                ends = [(mark.at, start), (mark.at, end)]
                runs.append(tuple(ends if axis == 0 else [(y, x) for x, y in ends]))
    long = tuple(run for run in runs if _length(run) > 2 * OVER)
    short = tuple(run for run in runs if _length(run) <= 2 * OVER)
    drawn: list[Item] = [Line(long, ROW, role="row-line")] if long else []
    return [*drawn, Line(short, replace(ROW, dash=()), role="row-tick")] if short else drawn


def _length(run: Corners) -> float:
    return float(np.ptp(np.asarray(run), axis=0).sum())


def _centre(field: Box) -> list[Item]:
    left, bottom, right, top = field
    runs = (
        ((left - 2 * OVER, 0.0), (right + 2 * OVER, 0.0)),
        ((0.0, bottom - 2 * OVER), (0.0, top + 2 * OVER)),
    )
    return [Line(runs, CENTRE, role="centre-line")]


def _frame(plan: Plan) -> tuple[list[Item], Outline | None]:
    """Draw the frame's outer edge and its joints."""
    frame = plan.design.frame
    if frame is None:
        return [], None
    shape = frame_shape(plan.opening, width=frame.width, corner=frame.corner)
    return [
        Polygon((shape.outer,), stroke=_FRAME, role="frame"),
        Line(shape.joints, _FRAME, role="frame-joint"),
    ], shape.outer


def _bare(plan: Plan) -> list[Item]:
    """Cross out what no strip covers."""
    runs: list[Corners] = []
    for outline in plan.uncovered:
        left, bottom, right, top = _box_of([outline])
        cross = shapely.MultiLineString(
            [[(left, bottom), (right, top)], [(left, top), (right, bottom)]]
        )
        shape = shapely.Polygon(outline)
        for line in cross.geoms:
            runs += runs_of(shapely.intersection(line, shape))
    if not plan.uncovered:
        return []
    return [
        Line(tuple(runs), _BARE, role="uncovered"),
        Polygon(plan.uncovered, stroke=OUTLINE, role="uncovered"),
    ]


def _overhang(plan: Plan) -> list[Item]:
    """Show what of the blanks lies beyond the trim line, or under the frame."""
    field = shapely.Polygon(plan.opening)
    runs = [
        run
        for piece in plan.pieces
        if piece.blank is not None
        for run in runs_of(shapely.difference(shapely.Polygon(piece.blank).exterior, field))
    ]
    return [Line(tuple(runs), _HIDDEN, role="overhang")] if runs else []


def _pieces(plan: Plan) -> list[Item]:
    return [Polygon(tuple(p.outline for p in plan.pieces), stroke=OUTLINE, role="piece")]


def _edges(plan: Plan) -> list[Item]:
    """Draw the zones and the opening, or the line to which the field is trimmed."""
    trimmed = plan.design.order == "trim"
    zones = tuple(zone.outline for zone in plan.zones)
    pen = TRIM if trimmed else OPENING
    return [
        *([Polygon(zones, stroke=_ZONE, role="zone")] if zones else []),
        Polygon((plan.opening,), stroke=pen, role="trim-line" if trimmed else "opening"),
    ]


def _triangles(triangles: Sequence[NDArray[np.float64] | None]) -> list[Item]:
    solid = tuple(triangle for triangle in triangles if triangle is not None)
    return [Polygon(solid, Fill(INK), role="long-point")] if solid else []
