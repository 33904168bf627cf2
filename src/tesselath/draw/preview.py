"""The finished top: what it will look like, for choosing and for showing.

Comes in: a plan. Goes out: a sheet with the pieces in the colours of their woods, the grain along
each piece, the joints, and the frame. Refuses: nothing.

No numbers and no measures: this is the picture for the wall, the map is the one for the bench.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
import shapely
from numpy.typing import NDArray

from tesselath.draw.figure import chance, draw_figure
from tesselath.draw.frame import FrameShape, frame_shape
from tesselath.draw.sheet import Fill, Item, Layer, Line, Polygon, Sheet, Stroke, moved_corners
from tesselath.draw.wood import dress_woods, mixed, wood_colour
from tesselath.outlines import Outline
from tesselath.plan import Plan

__all__ = ["draw_preview"]

#: Boards of one wood differ: so many shades, so far apart.
_SHADES, _SHADE = 7, 0.04
#: All streaks of a drawing together, and the most on one piece [count].
_ALL_STREAKS, _STREAKS = 20_000, 13
_DARK, _LIGHT = "#1c120b", "#fff3dc"
_JOINT, _SHADOW, _NO_WOOD = "#20160f", "#e7e2da", "#b99d75"


def draw_preview(plan: Plan, *, palette: str = "wood") -> Sheet:
    """Draw the finished top.

    Parameters
    ----------
    plan : Plan
        The plan.
    palette : {"wood", "plain"}
        The colours of the woods, or plain ones for colour-blind readers.

    Returns
    -------
    Sheet
        The picture, true to scale.

    Raises
    ------
    ValueError
        If the palette is unknown.

    Notes
    -----
    Source: own choice.
    """
    names = list(dict.fromkeys(piece.wood for piece in plan.pieces))
    looks = dress_woods(names, woods=plan.design.woods, palette=palette)
    colours = {name: look.colour for name, look in looks.items()}
    frame = plan.design.frame
    shape = None
    if frame is not None:
        shape = frame_shape(plan.opening, width=frame.width, corner=frame.corner)
    outer = plan.opening if shape is None else shape.outer
    left, bottom, right, top = shapely.Polygon(outer).bounds
    size = max(right - left, top - bottom)
    hair = max(0.2, size / 3200)
    drop = moved_corners(outer, 0.006 * size, -0.008 * size)
    layers = (
        Layer("shadow", (Polygon((drop,), Fill(_SHADOW)),)),
        Layer("base", _base(plan)),
        Layer("wood", _boards(plan, colours)),
        Layer("grain", _grain(plan, colours)),
        Layer("joints", (_joints(plan, hair),)),
        Layer("frame", () if shape is None else _framed(plan, shape, hair)),
    )
    margin = 0.025 * size
    return Sheet(
        title=plan.design.name,
        left=float(left - margin),
        bottom=float(bottom - margin),
        width=float(right - left + 2 * margin),
        height=float(top - bottom + 2 * margin),
        layers=layers,
    )


def _base(plan: Plan) -> tuple[Item, ...]:
    """What shows between the strips: shadow in the gaps, plywood where nothing lies."""
    ground = Polygon((plan.opening,), Fill(_JOINT), role="base")
    if not plan.uncovered:
        return (ground,)
    return ground, Polygon(plan.uncovered, Fill(wood_colour("plywood")), role="uncovered")


def _boards(plan: Plan, colours: Mapping[str, str]) -> tuple[Item, ...]:
    by_colour: dict[str, list[Outline]] = {}
    for piece in plan.pieces:
        shade = int(chance(piece.number) * _SHADES) - _SHADES // 2
        colour = _shaded(colours[piece.wood], shade)
        by_colour.setdefault(colour, []).append(piece.outline)
    return tuple(
        Polygon(tuple(outlines), Fill(colour), role="board")
        for colour, outlines in by_colour.items()
    )


def _grain(plan: Plan, colours: Mapping[str, str]) -> tuple[Item, ...]:
    streaks = min(_STREAKS, _ALL_STREAKS // max(len(plan.pieces), 1))
    figures = (
        (colours[piece.wood], piece.width, line, kind)
        for piece in plan.pieces
        for line, kind in draw_figure(
            piece.outline, piece.grain, number=piece.number, streaks=streaks
        )
    )
    return _streaks(figures, typical=float(np.median([p.width for p in plan.pieces] or [1.0])))


def _streaks(
    figures: Iterable[tuple[str, float, NDArray[np.float64], float]], *, typical: float
) -> tuple[Item, ...]:
    """Draw streaks: most a little darker than the wood, some lighter, some broad and faint."""
    by_stroke: dict[Stroke, list[NDArray[np.float64]]] = {}
    for colour, width, line, kind in figures:
        broad = kind > 0.7
        other = _LIGHT if kind % 0.35 > 0.24 else _DARK
        tone = mixed(colour, other, 0.06 if broad else 0.12)
        thick = min(width, typical) * (0.05 if broad else 0.014)
        by_stroke.setdefault(Stroke(round(thick, 2), tone), []).append(line)
    return tuple(Line(tuple(lines), stroke, role="figure") for stroke, lines in by_stroke.items())


def _joints(plan: Plan, hair: float) -> Item:
    outlines = tuple(piece.outline for piece in plan.pieces)
    return Polygon(outlines, stroke=Stroke(hair, _JOINT), role="joint")


def _framed(plan: Plan, shape: FrameShape, hair: float) -> tuple[Item, ...]:
    frame = plan.design.frame
    wood = frame.wood if frame is not None else None
    width = frame.width if frame is not None else 1.0
    colour = wood_colour(wood, plan.design.woods) if wood else _NO_WOOD
    rails = [
        Polygon((rail.outline,), Fill(_shaded(colour, n % 2)), role="frame")
        for n, rail in enumerate(shape.rails)
    ]
    figures = (
        (colour, width, line, kind)
        for n, rail in enumerate(shape.rails, 1)
        for line, kind in draw_figure(rail.outline, rail.grain, number=7 * n, streaks=22)
    )
    return (
        *rails,
        *_streaks(figures, typical=0.4 * width),
        Line(shape.joints, Stroke(hair, _JOINT), role="frame-joint"),
        Polygon((shape.outer,), stroke=Stroke(hair, _JOINT), role="frame"),
        Polygon((plan.opening,), stroke=Stroke(3 * hair, _JOINT), role="opening"),
    )


def _shaded(colour: str, shade: int) -> str:
    return mixed(colour, _DARK if shade < 0 else _LIGHT, abs(shade) * _SHADE)
