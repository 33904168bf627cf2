"""The whole top at a glance for one glue-up, and the first pair at the centre lines.

Comes in: a plan and one of its glue-ups. Goes out: small sheets. Refuses: a pair that is none.

Done is grey, now is white in a thick line with an arrow the way the pieces follow each other, what
is not yet laid is left out::

      +-----------------+            5 ____ 4
      |   __            |          1  /    /        corners 1 to 6, each with its way
      |  |__|->         |           \\/    / 3       from both centre lines
      |#################|            2---+
      +-----------------+
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import hypot

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from tesselath.draw.maps import (
    LabelSizes,
    Wanted,
    draw_centre_lines,
    draw_label,
    frame_shape,
    label_outline,
    place_labels,
)
from tesselath.draw.paper import (
    INK,
    SIGNAL,
    Circle,
    Corners,
    Fill,
    Item,
    Layer,
    Line,
    Pens,
    Point,
    Polygon,
    Sheet,
    Stroke,
    Text,
)
from tesselath.field import Piece
from tesselath.glue import GlueUp
from tesselath.measure import ALIKE, SNAP_GRID
from tesselath.plan import Plan

__all__ = ["draw_first_pair", "draw_glue_overview", "lain_after", "pair_corners"]

_CAP = 2.1
_HAIR, _EDGE = Stroke(0.18, "#777777"), Stroke(0.4, INK)
_CENTRE = Stroke(0.25, SIGNAL, (4.0, 0.9, 0.6, 0.9))


def draw_glue_overview(
    plan: Plan,
    glue_up: GlueUp,
    *,
    width: float,
    height: float,
    lain: BaseGeometry | None = None,
) -> Sheet:
    """Draw where in the top a glue-up lies.

    Parameters
    ----------
    glue_up : GlueUp
        One of its glue-ups.
    width, height : float
        The room there is [mm].
    lain : BaseGeometry, optional
        What lies already, where it is known from the glue-up before [mm].

    Returns
    -------
    Sheet
        The picture; roles "done", "now" and "way".
    """
    frame = plan.design.frame
    outer = plan.opening
    if frame is not None:
        outer = frame_shape(plan.opening, width=frame.width, corner=frame.corner).outer
    left, low, right, high = shapely.Polygon(outer).bounds
    under = 4.4
    scale = min((width - 1.0) / (right - left), (height - under) / (high - low))
    now = [piece for piece in plan.pieces if piece.glue_up == glue_up.number]
    items: list[Item] = [Polygon((outer * scale,), stroke=_HAIR, role="frame")]
    if lain is None:
        lain = lain_after([p for p in plan.pieces if p.glue_up < glue_up.number])
    grey = [
        np.asarray(ring.coords)[:-1] * scale
        for part in shapely.get_parts(lain)
        if part.geom_type == "Polygon"
        for ring in (part.exterior, *part.interiors)
    ]
    if grey:
        items.append(Polygon(tuple(grey), Fill("#bdbdbd"), role="done"))
    items.append(
        Polygon(tuple(p.outline * scale for p in now), Fill("#ffffff"), Stroke(0.25), role="now")
    )
    items.append(Polygon((plan.opening * scale,), stroke=_EDGE, role="opening"))
    left, low, right, high = (edge * scale for edge in (left, low, right, high))
    centre = ((left, 0.0), (right, 0.0)), ((0.0, low), (0.0, high))
    items.append(Line(centre, _CENTRE, role="centre-line"))
    items += _way([next(p for p in now if p.number == n) for n in glue_up.numbers], scale)
    items.append(
        Text(
            "FRONT",
            ((left + right) / 2, low - 1.4),
            _CAP,
            baseline="top",
            weight=600,
            role="direction",
        )
    )
    title = f"{plan.design.name}: where glue-up {glue_up.number} lies"
    return Sheet(
        title,
        left - 0.5,
        low - under,
        right - left + 1.0,
        high - low + under + 0.5,
        (Layer("overview", tuple(items)),),
    )


def lain_after(pieces: Iterable[Piece], lain: BaseGeometry | None = None) -> BaseGeometry:
    """Give the ground that pieces cover together with what lay before them [mm].

    Examples
    --------
    >>> lain_after([]).is_empty
    True
    """
    shapes = [shapely.Polygon(piece.outline) for piece in pieces]
    before = [] if lain is None else [lain]
    return shapely.union_all([*before, *shapes], grid_size=SNAP_GRID)


def _way(pieces: Sequence[Piece], scale: float) -> list[Item]:
    """Draw the way from piece to piece, a dot where it begins, an arrow where a run ends."""
    shapes = [shapely.Polygon(piece.outline) for piece in pieces]
    points = [np.asarray(shape.centroid.coords)[0] * scale for shape in shapes]
    near = 0.25 * min(piece.width for piece in pieces)
    runs: list[list[NDArray[np.float64]]] = [[points[0]]]
    for n in range(1, len(points)):
        if shapely.distance(shapes[n - 1], shapes[n]) <= near:
            runs[-1].append(points[n])
        else:
            runs.append([points[n]])
    begin: Point = (float(points[0][0]), float(points[0][1]))
    items: list[Item] = [Circle(begin, 0.8, Fill(SIGNAL), role="way")]
    drawn = [run for run in runs if len(run) > 1]
    if not drawn:
        return items
    heads = tuple(_head(run[-1], run[-2]) for run in drawn)
    return [
        *items,
        Line(tuple(np.array(run) for run in drawn), Stroke(0.3, SIGNAL), role="way"),
        Polygon(heads, Fill(SIGNAL), role="way"),
    ]


def _head(tip: NDArray[np.float64], back: NDArray[np.float64]) -> Corners:
    """Give the head of an arrow."""
    length = max(hypot(*(tip - back)), 1e-6)
    along = (tip - back) / length * min(2.2, length)
    side = np.array([-along[1], along[0]]) / 3
    return np.array([tip, tip - along + side, tip - along - side])


def pair_corners(plan: Plan, glue_up: GlueUp) -> list[tuple[float, float]]:
    """Give the corners of the first pair, each once, from the lower left counter-clockwise.

    Parameters
    ----------
    glue_up : GlueUp
        A glue-up that has a first pair.

    Returns
    -------
    list of (x, y)
        The corners, from the centre lines [mm].
    """
    found: list[tuple[float, float]] = []
    for piece in _pair(plan, glue_up):
        for x, y in piece.outline.tolist():
            if all(hypot(x - a, y - b) > ALIKE for a, b in found):
                found.append((float(x), float(y)))
    middle = np.mean(found, axis=0)
    turn = np.pi * 1.25  # from the lower left
    return sorted(
        found,
        key=lambda c: round(
            (float(np.arctan2(c[1] - middle[1], c[0] - middle[0])) - turn) % (2 * np.pi), 6
        ),
    )


def _pair(plan: Plan, glue_up: GlueUp) -> list[Piece]:
    pieces = {piece.number: piece for piece in plan.pieces}
    return [pieces[number] for number in glue_up.first_pair]


def draw_first_pair(plan: Plan, glue_up: GlueUp, *, width: float, height: float) -> Sheet:
    """Draw the first pair at the centre lines, its corners numbered as `pair_corners` lists them.

    Parameters
    ----------
    glue_up : GlueUp
        A glue-up that has a first pair.
    width, height : float
        The room there is [mm].

    Returns
    -------
    Sheet
        The picture; roles "now", "corner" and "centre-line".
    """
    pair, corners = _pair(plan, glue_up), pair_corners(plan, glue_up)
    points = np.array([*corners, (0.0, 0.0)])
    (left, low), (right, high) = points.min(axis=0), points.max(axis=0)
    air = 5.0
    scale = min((width - 2 * air) / (right - left), (height - 2 * air) / (high - low), 1.0)
    left, low, right, high = (v * scale for v in (left, low, right, high))
    placed = place_labels(
        [Wanted(p.outline * scale, p.grain, p.part, str(p.number)) for p in pair],
        sizes=LabelSizes(1.6, 3.4, 1.4),
    )
    labels = [label for label in placed if label is not None]
    shown = tuple(piece.outline * scale for piece in pair)
    items: list[Item] = [
        Polygon(shown, Fill("#ffffff"), Stroke(0.5), role="now"),
        draw_centre_lines(
            (left - air + 2.0, low - air + 2.0, right + air - 2.0, high + air - 2.0),
            pens=Pens(_CAP),
            free=[label_outline(label) for label in labels],
        ),
    ]
    for label in labels:
        items += draw_label(label, pieces=len(plan.pieces))
    middle = np.mean(corners, axis=0) * scale
    for number, corner in enumerate(corners, 1):
        at = np.array(corner) * scale
        way = at - middle
        way = way / max(float(np.hypot(*way)), 1e-6)
        place = at + 2.6 * way
        items += [
            Circle((float(at[0]), float(at[1])), 0.6, Fill(INK), role="corner"),
            Text(
                str(number),
                (float(place[0]), float(place[1])),
                _CAP,
                weight=600,
                colour=SIGNAL,
                role="corner",
            ),
        ]
    return Sheet(
        f"{plan.design.name}: first pair",
        left - air,
        low - air,
        right - left + 2 * air,
        high - low + 2 * air,
        (Layer("first-pair", tuple(items)),),
    )
