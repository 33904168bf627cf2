"""The section: frame, base and strips cut through at the edge of the top.

Comes in: a plan with a frame or a base. Goes out: a sheet, at full size where that fits. What the
design leaves open is drawn without a measure::

      frame     strips                    frame
     +-----+  ____________               +-----+____________
     |/////| |____________|              |/////|____________|
     |/////| |  base      |              +-----+--base------+
     +-----+ +------------+              +------------------+
      round the base                      on the base
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from tesselath.draw.bench.ordinates import spread
from tesselath.draw.paper import (
    INK,
    Circle,
    Fill,
    Hatch,
    Item,
    Layer,
    Line,
    Pens,
    Point,
    Polygon,
    Sheet,
    Stroke,
    Tape,
    Text,
    draw_dimension,
    text_width,
)
from tesselath.plan import Plan

__all__ = ["draw_section"]

#: What is drawn where the design gives no thickness [mm].
_FRAME, _BASE = 25.4, 18.0
#: How much of the field is shown, as a share of the width of the frame, and at the least [mm].
_SHOWN, _LEAST = 0.9, 45.0
_CAP = 2.2
#: Room for the measures on the left, and from the torn edge to the words [mm].
_DIMENSIONS, _LEAD_OUT = 10.0, 6.0
_SCALES = (1.0, 0.75, 0.5, 1 / 3, 0.25)
_EDGE, _THIN, _LEAD = Stroke(0.45, INK), Stroke(0.25, INK), Stroke(0.15, "#444444")
_ENDGRAIN = Fill("#e6dcc8", Hatch(45.0, 2.0, 0.16, "#777777"))
_PLY = Fill("#f6f1e6", Hatch(0.0, 1.1, 0.14, "#999999"))
_STRIP = Fill("#cfcfcf")


@dataclass(frozen=True, slots=True)
class _Cut:
    """Levels and places [mm]: x from the frame's inner edge, y from the strips' under side."""

    frame: tuple[float, float, float] | None  # outer x, under side, top
    lap: float
    field: float  # where the strips begin
    strips: float
    base: tuple[float, float] | None  # where it begins, its under side
    shown: float


def draw_section(plan: Plan, *, width: float, height: float) -> Sheet:
    """Draw the edge of the top in section.

    Parameters
    ----------
    width, height : float
        The room there is [mm].

    Returns
    -------
    Sheet
        The picture, at full size or smaller; roles "frame", "base" and "strip".
    """
    cut = _measure(plan)
    words = _words(plan, cut)
    beside = _LEAD_OUT + max(text_width(text, _CAP) for _, text in words) + 2.0
    outer = cut.frame[0] if cut.frame else min(cut.field, 0.0)
    low = min(cut.frame[1] if cut.frame else 0.0, cut.base[1] if cut.base else 0.0)
    top = max(cut.frame[2] if cut.frame else 0.0, cut.strips)
    room = (width - beside - _DIMENSIONS) / (cut.shown - outer), (height - 16.0) / (top - low)
    scale = min(*room, 1.0)
    scale = next((s for s in _SCALES if s <= scale), scale)
    tape = Tape(plan.design.tape, plan.design.units, scale)
    items = [*_wood(plan, cut, scale), *_measures(plan, cut, tape), *_callouts(words, cut, scale)]
    high = max((top - low) * scale, 1.6 * _CAP * len(words))
    foot = (low + top) / 2 * scale - high / 2 - 5.0
    left = outer * scale - _DIMENSIONS
    return Sheet(
        f"{plan.design.name}: section",
        left,
        foot,
        cut.shown * scale + beside - left,
        top * scale + 11.0 - foot,
        (Layer("section", tuple(items)),),
    )


def _measure(plan: Plan) -> _Cut:
    design = plan.design
    frame, base, strips = design.frame, design.base, design.strips.thickness
    lap = frame.lap if frame is not None and design.order == "lap" else 0.0
    clear = design.opening.clearance if design.order == "let in" and frame is not None else 0.0
    field = -lap if lap else clear
    thick = (base.thickness or _BASE) if base is not None else 0.0
    cut_base = None
    sides = None
    if frame is not None:
        deep = frame.thickness or _FRAME
        top = frame.recess or strips + (0.35 * deep if lap else 0.0)
        on_base = frame.sits == "on the base" and base is not None
        sides = (-frame.width, 0.0, deep) if on_base else (-frame.width, top - deep, top)
    if base is not None:
        begin = 0.0
        if frame is not None and frame.sits == "on the base":
            begin = -frame.width
        elif frame is not None and design.order != "trim":
            begin = base.clearance - lap
        cut_base = (begin, -thick)
    shown = max(_LEAST, _SHOWN * (frame.width if frame else 0.0))
    return _Cut(sides, lap, field, strips, cut_base, shown)


def _words(plan: Plan, cut: _Cut) -> list[tuple[Point, str]]:
    """Give what is written beside the section, and the place each word points to."""
    design, show = plan.design, plan.design.show
    frame, base = design.frame, design.base
    strip = 0.9 * cut.shown, cut.strips / 2
    words = [(strip, f"strips, {show(design.strips.thickness)} thick")]
    if base is not None and cut.base is not None:
        thick = "" if base.thickness is None else f", {show(base.thickness)} thick"
        words.append(((0.9 * cut.shown, 0.35 * cut.base[1]), f"base{thick}"))
        if cut.frame and cut.base[0] + cut.lap > 0:
            middle = (cut.base[0] - cut.lap) / 2
            words.append(
                ((middle, 0.75 * cut.base[1]), f"{show(base.clearance)} between base and frame")
            )
    if frame is not None and cut.frame:
        if cut.field > 0:
            words.append(
                ((cut.field / 2, 0.85 * cut.strips), f"{show(cut.field)} between field and frame")
            )
        if cut.lap:
            words.append(
                (
                    (-0.3 * cut.lap, (cut.strips + cut.frame[2]) / 2),
                    f"frame covers the field by {show(cut.lap)}",
                )
            )
        if frame.recess is not None and base is not None:
            words.append(
                ((0.0, cut.frame[2]), f"recess, frame's face to base: {show(frame.recess)}")
            )
    return sorted(words, key=lambda word: word[0][1])


def _wood(plan: Plan, cut: _Cut, scale: float) -> list[Item]:
    """Draw what is cut through; the field goes on beyond a torn edge."""
    end = cut.shown
    items: list[Item] = []
    if cut.base is not None:
        begin, under = cut.base
        items.append(
            _solid([(begin, under), (end, under), (end, 0.0), (begin, 0.0)], _PLY, scale, "base")
        )
    step = plan.design.strips.width or 25.4
    places = [cut.field, *_joints(cut.field, end, step), end]
    items += [
        _solid([(a, 0.0), (b, 0.0), (b, cut.strips), (a, cut.strips)], _STRIP, scale, "strip")
        for a, b in pairwise(places)
    ]
    if cut.frame is not None:
        out, under, top = cut.frame
        corners = [(out, under), (0.0, under), (0.0, top), (out, top)]
        if cut.lap:
            corners[1:2] = [(-cut.lap, under), (-cut.lap, cut.strips), (0.0, cut.strips)]
        items.append(_solid(corners, _ENDGRAIN, scale, "frame"))
    low = (cut.base[1] if cut.base else 0.0) * scale - 1.0
    high = cut.strips * scale + 1.0
    levels = [low + (high - low) * n / 6 for n in range(7)]
    torn = [(end * scale + (0.7 if n % 2 else -0.7), y) for n, y in enumerate(levels)]
    white = [*torn, (end * scale + 2.0, high), (end * scale + 2.0, low)]
    items.append(Polygon((tuple(white),), Fill("#ffffff")))
    items.append(Line((tuple(torn),), _THIN, role="torn"))
    return items


def _joints(start: float, end: float, step: float) -> list[float]:
    """Give the joints of the strips shown; where the first one lies is for the eye only."""
    first = start + 0.62 * step
    return [first + n * step for n in range(int((end - first) / step) + 1) if first < end - 2.0]


def _solid(corners: list[Point], fill: Fill, scale: float, role: str) -> Polygon:
    return Polygon((tuple((x * scale, y * scale) for x, y in corners),), fill, _EDGE, role=role)


def _measures(plan: Plan, cut: _Cut, tape: Tape) -> list[Item]:
    """Measure the frame: its width over it, its thickness beside it."""
    frame = plan.design.frame
    if frame is None or cut.frame is None:
        return []
    out, under, top = (side * tape.scale for side in cut.frame)
    pens = Pens(_CAP)
    items = [*draw_dimension((0.0, top), (out, top), away=4.5, tape=tape, pens=pens)]
    if frame.thickness is not None:
        items += draw_dimension((out, top), (out, under), away=5.5, tape=tape, pens=pens)
    middle = out / 2, (under + top) / 2
    items.append(Text("frame", middle, _CAP, weight=600))
    return items


def _callouts(words: list[tuple[Point, str]], cut: _Cut, scale: float) -> list[Item]:
    """Write the words beside the section, each with a line to what it names."""
    edge = cut.shown * scale + 3.0
    levels = spread([point[1] * scale for point, _ in words], 1.7 * _CAP)
    items: list[Item] = []
    for ((x, y), text), level in zip(words, levels, strict=True):
        start = x * scale, y * scale
        run = (start, (edge, level), (edge + 2.0, level))
        items += [
            Line((run,), _LEAD, role="leader"),
            Circle(start, 0.45, Fill(INK), role="leader"),
            Text(text, (edge + 3.0, level), _CAP, anchor="start", role="callout"),
        ]
    return items
