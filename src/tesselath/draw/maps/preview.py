"""The finished top: what it will look like, for choosing and for showing.

Comes in: a plan, or what is seen of one. Goes out: a sheet with the pieces in the colours of their
woods, the grain along each piece, the joints, and the frame.

No numbers and no measures: this is the picture for the wall, the map is the one for the bench.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
import shapely
from numpy.typing import NDArray

from tesselath.design import WoodDetail
from tesselath.draw.maps.figure import chance, draw_figure
from tesselath.draw.maps.frame import FrameShape, frame_shape
from tesselath.draw.maps.wood import dress_woods, wood_colour
from tesselath.draw.paper import (
    Fill,
    Item,
    Layer,
    Line,
    Polygon,
    Sheet,
    Stroke,
    mixed,
    moved_corners,
)
from tesselath.plan import Plan
from tesselath.shape import Outline

__all__ = ["FrameLook", "Laid", "Top", "draw_preview", "draw_top"]

#: Boards of one wood differ: so many shades, so far apart.
_SHADES, _SHADE = 7, 0.04
#: All streaks of a drawing together, and the most on one piece [count].
_ALL_STREAKS, _STREAKS = 20_000, 13
_DARK, _LIGHT = "#1c120b", "#fff3dc"
_JOINT, _SHADOW, _NO_WOOD = "#20160f", "#e7e2da", "#b99d75"


class Laid(Protocol):
    """What is seen of a piece."""

    @property
    def number(self) -> int:
        """Its number, from which its shade and figure follow."""

    @property
    def wood(self) -> str:
        """The name of its wood."""

    @property
    def outline(self) -> Outline:
        """Where it lies [mm]."""

    @property
    def grain(self) -> float:
        """The direction of its grain [degrees]."""

    @property
    def width(self) -> float:
        """Its width across the grain [mm]."""


@dataclass(frozen=True, slots=True)
class FrameLook:
    """What is seen of a frame: its width [mm], how its corners are made, its wood."""

    width: float
    corner: str
    wood: str | None


@dataclass(frozen=True, slots=True)
class Top:
    """What is seen of a finished top; ``woods`` is what the design says of them."""

    name: str
    opening: Outline
    pieces: Sequence[Laid]
    uncovered: tuple[Outline, ...]
    frame: FrameLook | None
    woods: Mapping[str, WoodDetail]


def draw_preview(plan: Plan, *, palette: str = "wood") -> Sheet:
    """Draw the finished top of a plan; see `draw_top`."""
    frame = plan.design.frame
    look = None if frame is None else FrameLook(frame.width, frame.corner, frame.wood)
    name, woods = plan.design.name, plan.design.woods
    top = Top(name, plan.opening, plan.pieces, plan.uncovered, look, woods)
    return draw_top(top, palette=palette)


def draw_top(top: Top, *, palette: str = "wood") -> Sheet:
    """Draw a finished top."""
    names = list(dict.fromkeys(piece.wood for piece in top.pieces))
    looks = dress_woods(names, woods=top.woods, palette=palette)
    colours = {name: look.colour for name, look in looks.items()}
    frame = top.frame
    shape = None
    if frame is not None:
        shape = frame_shape(top.opening, width=frame.width, corner=frame.corner)
    outer = top.opening if shape is None else shape.outer
    left, bottom, right, high = shapely.Polygon(outer).bounds
    size = max(right - left, high - bottom)
    hair = max(0.2, size / 3200)
    drop = moved_corners(outer, 0.006 * size, -0.008 * size)
    layers = (
        Layer("shadow", (Polygon((drop,), Fill(_SHADOW)),)),
        Layer("base", _base(top)),
        Layer("wood", _boards(top, colours)),
        Layer("grain", _grain(top, colours)),
        Layer("joints", (_joints(top, hair),)),
        Layer("frame", () if shape is None else _framed(top, shape, hair)),
    )
    margin = 0.025 * size
    return Sheet(
        title=top.name,
        left=float(left - margin),
        bottom=float(bottom - margin),
        width=float(right - left + 2 * margin),
        height=float(high - bottom + 2 * margin),
        layers=layers,
    )


def _base(top: Top) -> tuple[Item, ...]:
    """What shows between the strips: shadow in the gaps, plywood where nothing lies."""
    ground = Polygon((top.opening,), Fill(_JOINT), role="base")
    if not top.uncovered:
        return (ground,)
    return ground, Polygon(top.uncovered, Fill(wood_colour("plywood")), role="uncovered")


def _boards(top: Top, colours: Mapping[str, str]) -> tuple[Item, ...]:
    by_colour: dict[str, list[Outline]] = {}
    for piece in top.pieces:
        shade = int(chance(piece.number) * _SHADES) - _SHADES // 2
        colour = _shaded(colours[piece.wood], shade)
        by_colour.setdefault(colour, []).append(piece.outline)
    return tuple(
        Polygon(tuple(outlines), Fill(colour), role="board")
        for colour, outlines in by_colour.items()
    )


def _grain(top: Top, colours: Mapping[str, str]) -> tuple[Item, ...]:
    streaks = min(_STREAKS, _ALL_STREAKS // max(len(top.pieces), 1))
    figures = (
        (colours[piece.wood], piece.width, line, kind)
        for piece in top.pieces
        for line, kind in draw_figure(
            piece.outline, piece.grain, number=piece.number, streaks=streaks
        )
    )
    return _streaks(figures, typical=float(np.median([p.width for p in top.pieces] or [1.0])))


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


def _joints(top: Top, hair: float) -> Item:
    outlines = tuple(piece.outline for piece in top.pieces)
    return Polygon(outlines, stroke=Stroke(hair, _JOINT), role="joint")


def _framed(top: Top, shape: FrameShape, hair: float) -> tuple[Item, ...]:
    frame = top.frame
    wood = frame.wood if frame is not None else None
    width = frame.width if frame is not None else 1.0
    colour = wood_colour(wood, top.woods) if wood else _NO_WOOD
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
        Polygon((top.opening,), stroke=Stroke(3 * hair, _JOINT), role="opening"),
    )


def _shaded(colour: str, shade: int) -> str:
    return mixed(colour, _DARK if shade < 0 else _LIGHT, abs(shade) * _SHADE)
