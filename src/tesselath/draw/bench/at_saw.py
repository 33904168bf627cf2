"""At the saw: how a stick lies for one set-up, and what the next cut takes from it.

Comes in: a plan and one of its set-ups. Goes out: a small sheet. Refuses: a part that is made up.

Always the same picture: fence on top, the maker at the bottom, show face up. What lies between
the stop and the blade is the piece::

      |<------- stop ------->|
    ==========================================  fence
    [ ]\\_____piece____________\\____ stick ..
                                \\
                                 o  handle

A piece too long for the picture is drawn with its middle left out; its ends stay true. Drawn for
a stop at the right the picture is not a mirror image: only the stop and the stick change sides.
"""

from __future__ import annotations

from math import atan2, cos, degrees, radians, sin

import numpy as np
import shapely

from tesselath.draw.bench.saw_view import BEHIND, WIDE, SawView
from tesselath.draw.paper import (
    INK,
    SIGNAL,
    Circle,
    Fill,
    Hatch,
    Item,
    Layer,
    Line,
    Point,
    Polygon,
    Sheet,
    Stroke,
    Text,
    box_outline,
    text_width,
)
from tesselath.measure import ANGLE_ALIKE, show_angle
from tesselath.parts import Part
from tesselath.plan import Plan
from tesselath.saw import Setup

__all__ = ["draw_at_saw", "touching_corner"]

#: Room above the fence's face and below the strip [mm].
_ABOVE, _BELOW = 11.5, 18.0
_CAP = 2.1
#: The line of words at the foot, below the strip [mm].
_FOOT = -16.5

_EDGE, _THIN = Stroke(0.45, INK), Stroke(0.18, INK)
_WASTE = Fill("#ffffff", Hatch(45.0, 1.1, 0.18))
_PIECE, _STICK = Fill("#e4e4e4"), Fill("#ffffff")


def draw_at_saw(plan: Plan, setup: Setup) -> Sheet:
    """Draw a set-up as the maker sees it.

    Source: common practice; the lean of a cut follows the handle: to the right like a backslash.

    Parameters
    ----------
    setup : Setup
        One of its set-ups, at the mitre saw.

    Returns
    -------
    Sheet
        The picture, 118 mm wide. Roles "fence", "stop", "piece", "stick", "waste", "kerf",
        "blade", "end-line", "handle" and "handling" name what is what.
    """
    part = plan.part(setup.parts[0])
    view = SawView.of(setup, part)
    layers = (
        Layer("wood", _wood(view, plan)),
        Layer("saw", (*_fence(view), *_blade(view, setup), *_end_line(view, setup, part))),
        Layer(
            "words",
            (
                *_stop_measure(view, setup, plan),
                *_letters(view, setup, part),
                *_handling(view, setup),
            ),
        ),
    )
    title = f"{' '.join(setup.parts)} at the saw"
    return Sheet(title, view.left, -view.high - _BELOW, WIDE, _ABOVE + view.high + _BELOW, layers)


def touching_corner(part: Part) -> str:
    """Tell which corner of the stick's end touches the stop: "fence", "maker" or "both".

    Examples
    --------
    A stop end square to the fence touches with its whole width.
    """
    lean = part.mitres[0] if part.stop_side == "left" else -part.mitres[1]
    if abs(lean) <= ANGLE_ALIKE:
        return "both"
    return "fence" if lean < 0 else "maker"


def _wood(view: SawView, plan: Plan) -> tuple[Item, ...]:
    foot, kerf = -view.high, max(0.5, plan.design.stock.kerf * view.scale)
    piece = view.closed(
        [
            (view.stop_end(foot), foot),
            (view.blade(foot), foot),
            (view.blade(0.0), 0.0),
            (view.stop_end(0.0), 0.0),
        ]
    )
    kerf /= cos(atan2(view.at_blade, 1.0))
    torn = [
        (view.far, 0.0),
        (view.far - 1.6, foot / 3),
        (view.far + 0.6, 2 * foot / 3),
        (view.far - 1.0, foot),
    ]
    near = view.blade(foot) + kerf, view.blade(0.0) + kerf
    stick = view.closed([(near[0], foot), *torn[::-1], (near[1], 0.0)])
    slot = view.closed(
        [(view.blade(foot), foot), (near[0], foot), (near[1], 0.0), (view.blade(0.0), 0.0)]
    )
    items: list[Item] = [
        Polygon((stick,), _STICK, Stroke(0.3, INK), role="stick"),
        Polygon((piece,), _PIECE, _EDGE, role="piece"),
    ]
    items += _waste(view, near)
    items.append(Polygon((slot,), Fill("#4a4a4a"), role="kerf"))
    if view.gap:
        items += _break(view)
    if plan.design.strips.faces == "one":
        items += _face_line(view)
    return tuple(items)


def _waste(view: SawView, near: tuple[float, float]) -> list[Item]:
    """Hatch the wedge between this cut and the end of the next piece, where the saw is swung."""
    foot, lean = -view.high, view.at_stop
    if abs(lean - view.at_blade) <= 1e-4 or abs(lean + view.at_blade) <= 1e-4:
        return []
    start = max(near[1], near[0] + view.high * lean)
    end = [(start + foot * lean, foot), (start, 0.0)]
    wedge = view.closed([(near[0], foot), *end, (near[1], 0.0)])
    return [Polygon((wedge,), _WASTE, _THIN, role="waste")]


def _break(view: SawView) -> list[Item]:
    """Leave the middle of a long piece out: a band of paper between two torn lines."""
    half, foot = 1.1, -view.high
    levels = np.linspace(0.8, foot - 0.8, 9)
    swing = 0.7 * np.sin(np.linspace(0.0, 2 * np.pi, 9))
    edges = [
        [view.at(view.cut + off + float(s), float(y)) for s, y in zip(swing, levels, strict=True)]
        for off in (-half, half)
    ]
    return [
        Polygon(((*edges[0], *edges[1][::-1]),), Fill("#ffffff"), role="break"),
        Line((tuple(edges[0]), tuple(edges[1])), _THIN),
    ]


def _face_line(view: SawView) -> list[Item]:
    """The pencil line of a show face, near the fence, its arrow to the stop."""
    y = -0.16 * view.high
    start = view.stop_end(y) + 1.5
    pen = Stroke(0.3, "#6a6a6a")
    head = ((start, y), (start + 2.0, y + 0.6), (start + 2.0, y - 0.6))
    runs = ((start, view.blade(y) - 1.0), (view.blade(y) + 3.0, view.far - 2.0))
    return [
        Line(
            tuple((view.at(a, y), view.at(b, y)) for a, b in runs if b > a), pen, role="face-line"
        ),
        Polygon((tuple(view.at(u, v) for u, v in head),), Fill("#6a6a6a"), role="face-line"),
    ]


def _fence(view: SawView) -> tuple[Item, ...]:
    thick = 3.0
    left, right = sorted((view.side * -(BEHIND - 2.0), view.side * (view.far + 2.0)))
    bar = box_outline(left, 0.0, right - left, thick)
    deep = max(view.high, 5.0)
    stop = box_outline(-8.0 if view.side > 0 else 0.0, -deep, 8.0, deep)
    anchor = "end" if view.side > 0 else "start"
    return (
        Polygon((bar,), Fill("#2b2b2b"), role="fence"),
        Text("fence", (view.side * view.far, thick / 2), 1.9, anchor=anchor, colour="#ffffff"),
        Polygon((stop,), Fill("#6a6a6a"), Stroke(0.35, INK), role="stop"),
        Text("stop", (-4.0 * view.side, -deep / 2), 1.9, colour="#ffffff"),
    )


def _blade(view: SawView, setup: Setup) -> tuple[Item, ...]:
    """Draw the line of the cut from behind the fence to the handle, and how it is swung."""
    lean = -view.at_blade * view.side  # to the right per mm towards the maker
    angle = degrees(atan2(lean, 1.0))
    pivot = view.at(view.length, 0.0)
    reach = max(view.high + 7.5, (view.high + 4.5) / cos(radians(angle)))

    def under(turn: float, far: float) -> Point:
        return pivot[0] + far * sin(radians(turn)), pivot[1] - far * cos(radians(turn))

    knob = under(angle, reach)
    items: list[Item] = [
        Line(
            ((under(angle, -4.6), knob),), Stroke(0.3, SIGNAL, (2.4, 0.6, 0.4, 0.6)), role="blade"
        ),
        Circle(knob, 1.3, Fill(INK), role="handle"),
    ]
    if setup.swing != "square":
        arc = [under(turn, reach) for turn in np.linspace(0.0, angle, 13)]
        stay = degrees(2.6 / reach) * (1 if angle > 0 else -1)
        tip, back = under(angle - stay, reach), under(angle - 2.6 * stay, reach)
        items += [
            Line((tuple(arc[:-1]),), _THIN, role="swing"),
            Line(
                (((pivot[0], pivot[1] - view.high), under(0.0, reach)),),
                Stroke(0.15, "#777777", (0.8, 0.8)),
            ),
            Polygon((_head(tip, back),), Fill(INK), role="swing"),
        ]
    words = "square"
    if setup.swing != "square":
        words = f"handle {setup.swing}, {show_angle(setup.mitre)}"
    other = f"90 scale: {show_angle(90.0 - setup.mitre)}"
    if setup.is_dialled:
        other = f"dial {setup.scale}, 90 scale: {show_angle(90.0 - setup.scale.angle)}"
    wide = max(text_width(words, _CAP, 600), text_width(other, 1.8))
    right = view.left + WIDE - 1.0
    x, away = knob[0], 2.6 if angle >= 0 else -2.6
    if not view.left + 1.0 <= x + away + (wide if away > 0 else -wide) <= right:
        # Beyond the way of the handle, which starts from square.
        x, away = (pivot[0], -away) if angle else (x, -away)
    anchor = "start" if away > 0 else "end"
    return (
        *items,
        Text(
            words,
            (x + away, knob[1] + 0.2),
            _CAP,
            anchor=anchor,
            baseline="middle",
            weight=600,
            role="swing-words",
        ),
        Text(
            other,
            (x + away, knob[1] - 2.9),
            1.8,
            anchor=anchor,
            baseline="middle",
            role="swing-words",
        ),
    )


def _head(tip: Point, back: Point) -> tuple[Point, ...]:
    dx, dy = tip[0] - back[0], tip[1] - back[1]
    return tip, (back[0] - dy / 3, back[1] + dx / 3), (back[0] + dy / 3, back[1] - dx / 3)


def _end_line(view: SawView, setup: Setup, part: Part) -> tuple[Item, ...]:
    """Say how the end at the stop was cut where that is another swing, and mark its point."""
    corner = touching_corner(part)
    y = -view.high if corner == "maker" else 0.0
    items: list[Item] = []
    if corner != "both":
        items.append(Circle(view.at(0.0, y), 1.1, stroke=Stroke(0.4, SIGNAL), role="touch"))
    if setup.handling == "swing":
        end = "square"
        if setup.end_swing != "square":
            end = f"{setup.end_swing} {show_angle(setup.end_mitre)}"
        items.append(
            Text(
                f"end at the stop: {end}",
                view.at(-8.0, _FOOT - view.high),
                _CAP,
                anchor="start" if view.side > 0 else "end",
                baseline="base",
                role="end-words",
            )
        )
    size = _triangle(view, part)
    if size:
        point = (0.0, 0.0), (size, 0.0), (view.stop_end(-size), -size)
        items.append(
            Polygon((tuple(view.at(u, v) for u, v in point),), Fill(INK), role="long-point")
        )
    return tuple(items)


def _stop_measure(view: SawView, setup: Setup, plan: Plan) -> tuple[Item, ...]:
    """The stop along the fence, as a dimension over it."""
    up = all(plan.part(mark).fitted for mark in setup.parts)
    words = plan.design.show(setup.stop, up=up)
    level, length = 5.6, view.length
    (a, b) = sorted((view.at(0.0, 0.0)[0], view.at(length, 0.0)[0]))
    small = min(1.8, length / 4)
    heads = (
        ((a, level), (a + small, level + 0.5), (a + small, level - 0.5)),
        ((b, level), (b - small, level + 0.5), (b - small, level - 0.5)),
    )
    text = f"stop {words}"
    middle = (a + b) / 2
    half = text_width(text, 2.4, 600) / 2
    middle = min(max(middle, view.left + half + 1.0), view.left + WIDE - half - 1.0)
    return (
        Line(
            (((a, 3.0), (a, level + 0.9)), ((b, 3.0), (b, level + 0.9)), ((a, level), (b, level))),
            _THIN,
            role="dimension",
        ),
        Polygon(heads, Fill(INK), role="dimension"),
        Text(text, (middle, level + 1.3), 2.4, baseline="base", weight=600, role="dimension"),
    )


def _letters(view: SawView, setup: Setup, part: Part) -> tuple[Item, ...]:
    """Print the letters of the parts in the piece, or under it where it has no room."""
    marks, foot = " ".join(setup.parts), -view.high
    one = text_width(marks, 1.0, 600)
    start, end = view.stop_end(foot / 2), view.cut - 1.8 if view.gap else view.blade(foot / 2)
    start += _triangle(view, part)
    beside = 0.55 * (abs(view.at_stop) + abs(view.at_blade) * (not view.gap))
    most = 0.34 * view.high
    caps = [(min(most, (end - start - 1.6) / (one + beside)), (start + end) / 2, foot / 2)]
    corners = [
        (view.stop_end(foot), foot),
        (view.blade(foot), foot),
        (view.blade(0.0), 0.0),
        (view.stop_end(0.0), 0.0),
    ]
    (u, y), (u1, y1) = shapely.get_coordinates(
        shapely.maximum_inscribed_circle(shapely.Polygon(corners))
    )
    if not view.gap and part.handed_pair is None:
        caps.append(
            (1.8 * float(np.hypot(u1 - u, y1 - y) / np.hypot(one, 1.0)), float(u), float(y))
        )
    cap, u, y = max(caps)
    if cap >= 2.0:
        cap = min(cap, most)
        return (Text(marks, view.at(u, y), cap, weight=600, role="part-letter"),)
    below = foot - 3.4
    return (
        Line(((view.at(u, y), view.at(u, foot - 2.8)),), _THIN),
        Text(marks, view.at(u, below), 2.5, baseline="top", weight=600, role="part-letter"),
    )


def _triangle(view: SawView, part: Part) -> float:
    """How large the mark of a handed part is, in the corner that meets stop and fence [mm]."""
    if part.handed_pair is None:
        return 0.0
    return min(0.42 * view.high, 0.3 * view.length)


def _handling(view: SawView, setup: Setup) -> tuple[Item, ...]:
    """The sign of how the stick moves between two cuts, at its free end."""
    words = {
        "slide": "slide on to the stop",
        "roll": "roll face over, then slide",
        "swing": "swing between cuts, then slide",
    }[setup.handling]
    far, y = view.far, _FOOT - view.high
    u, level = far - text_width(words, _CAP) - 2.0, y + _CAP / 2
    tip, tail = view.at(u - 11.0, level), view.at(u, level)
    heads = [_head(tip, view.at(u - 8.8, level))]
    runs: list[tuple[Point, ...]] = [(tail, tip)]
    if setup.handling == "roll":
        middle, turn = view.at(u - 4.5, level), np.radians(np.linspace(235.0, -65.0, 15))
        loop = [(middle[0] + 1.6 * cos(t), middle[1] + 1.5 + 1.5 * sin(t)) for t in turn]
        runs.append(tuple(loop))
        heads.append(_head(loop[-1], loop[-4]))
    anchor = "end" if view.side > 0 else "start"
    return (
        Line(tuple(runs), Stroke(0.4, INK), role="handling"),
        Polygon(tuple(heads), Fill(INK), role="handling"),
        Text(words, view.at(far, y), _CAP, anchor=anchor, baseline="base", role="handling-words"),
    )
