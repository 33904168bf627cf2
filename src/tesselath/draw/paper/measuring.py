"""Measures on a drawing: dimension lines, and rulers that run from one zero.

Comes in: two points or a range, the words to print, the pens. Goes out: items of a sheet.

A dimension line stands off its object; a ruler hugs an edge and counts both ways from the
centre line, so that no error adds up from mark to mark::

    |<------------- 54 in ------------->|        +--+--+--+--+--+--+--+
                                                 12 8  4  0  4  8  12
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import atan2, degrees, hypot

import numpy as np
from numpy.typing import NDArray

from tesselath.draw.paper.lettering import text_width
from tesselath.draw.paper.pens import INK, Pens
from tesselath.draw.paper.sheet import Fill, Item, Line, Point, Polygon, Text
from tesselath.measure import ON_THE_LINE, reading_angle, show_both, show_length, turn_point

__all__ = ["Tape", "draw_dimension", "draw_ruler", "ruler_depth", "without_ease"]

#: Where ruler marks may stand, by units [mm].
_STEPS = {
    "in": tuple(25.4 * inches for inches in (0.5, 1, 2, 3, 4, 6, 12, 24, 48, 96)),
    "mm": (5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 250.0, 500.0, 1000.0, 2000.0),
}
#: Lengths in base heights: a ruler's tick, the air round its numbers, an arrow head.
_TICK, _GAP, _ARROW = 0.8, 0.5, 1.0
#: A dimension nearer to upright than this is lettered as if it were [degrees].
_NEARLY_UPRIGHT = 5.0


@dataclass(frozen=True, slots=True)
class Tape:
    """How lengths are read: the finest mark [mm], the units, and the drawing's scale.

    With ``both`` the other unit stands in brackets.
    """

    mark: float
    units: str
    scale: float = 1.0
    both: bool = False

    def show(self, drawn: float) -> str:
        """Print what a length on the drawing stands for."""
        return _shown(drawn / self.scale, self.mark, self.units, self.both)

    def show_mark(self, drawn: float) -> str:
        """Print a mark of a ruler; it always carries its unit, so that no mark reads as a piece."""
        if drawn == 0.0:
            return "0"
        length = self.show(abs(drawn))
        return length.removesuffix(" in") + "\N{DOUBLE PRIME}" if self.units == "in" else length


@lru_cache(maxsize=4096)
def _shown(length: float, mark: float, units: str, both: bool) -> str:
    """Print a length; rulers try the same marks over and over."""
    show = show_both if both else show_length
    return show(length, tape=mark, units=units)


def draw_dimension(
    start: Point,
    end: Point,
    *,
    away: float,
    tape: Tape,
    pens: Pens,
    words: str = "",
    clear: float = 0.0,
) -> tuple[Item, ...]:
    """Draw a dimension line beside an edge that runs from start to end.

    Source: common practice of technical drawing.

    Parameters
    ----------
    start, end : (x, y)
        The ends of what is measured [mm].
    away : float
        How far the line stands off, to the right as one walks from start to end [mm].
    tape : Tape
        How the length is printed.
    pens : Pens
        The pens of the drawing.
    words : str
        What is printed before the length.
    clear : float
        So far from the edge the extension lines stay away, for what is lettered there [mm].

    Returns
    -------
    tuple of Item
        Extension lines, the line, arrow heads and lettering; the lettering last.

    Examples
    --------
    >>> from tesselath.draw.paper.pens import pens_for
    >>> items = draw_dimension((0.0, 0.0), (50.8, 0.0), away=10.0,
    ...                        tape=Tape(25.4 / 32, "in"), pens=pens_for(100.0))
    >>> items[-1].text
    '2 in'
    """
    length = hypot(end[0] - start[0], end[1] - start[1])
    along = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    aside = along[1], -along[0]

    def at(run: float, off: float) -> Point:
        x = start[0] + along[0] * run + aside[0] * off
        return x, start[1] + along[1] * run + aside[1] * off

    base, arrow = pens.base, min(_ARROW * pens.base, length / 4)
    gap = 0.4 * base
    lines = (
        (at(0, clear + gap), at(0, away + gap)),
        (at(length, clear + gap), at(length, away + gap)),
        (at(0, away), at(length, away)),
    )
    heads = tuple(
        (at(tip, away), at(foot, away - arrow / 5), at(foot, away + arrow / 5))
        for tip, foot in ((0.0, arrow), (length, length - arrow))
    )
    angle = reading_angle(degrees(atan2(along[1], along[0])))
    if angle < _NEARLY_UPRIGHT - 90.0:  # a side a little out of plumb still reads from the right
        angle = 90.0
    up = turn_point(0.0, 1.0, angle)
    middle = at(length / 2, away)
    foot = middle[0] + up[0] * gap, middle[1] + up[1] * gap
    text = f"{words} {tape.show(length)}".strip()
    return (
        Line(lines, pens.thin, role="dimension"),
        Polygon(heads, Fill(INK), role="dimension"),
        Text(text, foot, base, baseline="base", angle=angle, role="dimension"),
    )


def ruler_depth(side: str, *, span: tuple[float, float], tape: Tape, pens: Pens) -> float:
    """Tell how much room a ruler takes from its edge outward [mm]."""
    across = pens.base
    if side in ("left", "right"):
        marks, _ = _marks(side, span, tape=tape, pens=pens)
        across = max(text_width(tape.show_mark(mark), pens.base) for mark in marks)
    return (_TICK + 2 * _GAP) * pens.base + across


def draw_ruler(
    side: str, *, edge: float, span: tuple[float, float], tape: Tape, pens: Pens
) -> tuple[Item, ...]:
    """Draw running measures along an edge, both ways from the centre line.

    Source: common practice (a setting-out rod measures everything from one zero).

    Parameters
    ----------
    side : {"left", "right", "bottom", "top"}
        On which side of the drawing the edge is.
    edge : float
        Where the edge is: its x for left and right, its y for bottom and top [mm].
    span : (float, float)
        From where to where it runs; 0 is the centre line [mm].
    tape : Tape
        How lengths are printed.
    pens : Pens
        The pens of the drawing.

    Examples
    --------
    >>> from tesselath.draw.paper.pens import pens_for
    >>> items = draw_ruler("bottom", edge=0.0, span=(-45.0, 45.0), tape=Tape(0.5, "mm"),
    ...                    pens=pens_for(100.0))
    >>> [item.text for item in items[1:]]
    ['45 mm', '20 mm', '0', '20 mm', '45 mm']
    """
    out = {"left": -1.0, "bottom": -1.0, "right": 1.0, "top": 1.0}[side]
    upright = side in ("bottom", "top")
    tick, gap = _TICK * pens.base, _GAP * pens.base

    def at(mark: float, off: float) -> Point:
        return (mark, edge + out * off) if upright else (edge + out * off, mark)

    marks, step = _marks(side, span, tape=tape, pens=pens)
    fine = step / (4 if tape.units == "in" else 5)
    between = range(int(span[0] / fine), int(span[1] / fine) + 1)
    ticks = [(at(mark, 0.0), at(mark, tick)) for mark in marks]
    ticks += [(at(n * fine, 0.0), at(n * fine, tick / 2)) for n in between]
    anchor = "middle" if upright else ("end" if side == "left" else "start")
    # At its ends the numbers stand inside, clear of extension lines.
    inward = {marks[0]: 1.0, marks[-1]: -1.0}
    shift = _inward(side, pens)
    anchors = {1.0: "start", -1.0: "end"} if upright else {}
    baseline = {"bottom": "top", "top": "base"}.get(side, "middle")
    return (
        Line(tuple(ticks), pens.thin, role="ruler"),
        *(
            Text(
                tape.show_mark(mark),
                at(mark + shift * inward.get(mark, 0.0), tick + gap),
                pens.base,
                anchor=anchors.get(inward.get(mark, 0.0), anchor),
                baseline=baseline,
                role="ruler",
            )
            for mark in marks
        ),
    )


def without_ease(shape: NDArray[np.float64], least: float) -> NDArray[np.float64]:
    """Leave out sides that no tape can read: their neighbours run on until they meet.

    Parameters
    ----------
    shape : array (n, 2)
        The outline [mm].
    least : float
        The shortest side that is kept [mm].

    Returns
    -------
    array (m, 2)
        The outline as it is measured; three corners are always left.

    Examples
    --------
    >>> eased = np.array([(0.0, 0.0), (9.9, 0.0), (10.0, 0.1), (10.0, 5.0), (0.0, 5.0)])
    >>> without_ease(eased, 0.4).round(6).tolist()
    [[0.0, 0.0], [10.0, 0.0], [10.0, 5.0], [0.0, 5.0]]
    """
    corners = list(shape)
    n = 0
    while n < len(corners) and len(corners) > 3:
        here, after = corners[n], corners[(n + 1) % len(corners)]
        if hypot(*(after - here)) >= least:
            n += 1
            continue
        before, beyond = corners[n - 1], corners[(n + 2) % len(corners)]
        one, other = here - before, after - beyond
        cross = one[0] * other[1] - one[1] * other[0]
        share = (
            ((beyond - before)[0] * other[1] - (beyond - before)[1] * other[0]) / cross
            if abs(cross) > ON_THE_LINE
            else 1.0
        )
        meet = before + share * one
        corners[n] = meet if hypot(*(meet - here)) <= 4 * least else (here + after) / 2
        del corners[(n + 1) % len(corners)]
        n = 0
    return np.array(corners)


def _marks(
    side: str, span: tuple[float, float], *, tape: Tape, pens: Pens
) -> tuple[list[float], float]:
    """Give the marks that get a number, whole steps and the two ends; and the step."""
    low, high = span
    air = 0.7 * pens.base

    def room(mark: float) -> float:
        """Tell how much of the ruler a number takes."""
        upright = side in ("bottom", "top")
        return text_width(tape.show_mark(mark), pens.base) if upright else 1.4 * pens.base

    for step in (step * tape.scale for step in _STEPS[tape.units]):
        whole = [n * step for n in range(int(low / step), int(high / step) + 1)]
        if not whole or step >= max(map(room, whole)) + 2 * air:
            break
    ends = _inward(side, pens) + air
    kept = [
        mark
        for mark in whole
        if mark - low >= ends + room(low) + room(mark) / 2
        and high - mark >= ends + room(high) + room(mark) / 2
    ]
    return [low, *kept, high], step


def _inward(side: str, pens: Pens) -> float:
    """Tell by how much the numbers at the ends are moved inward."""
    return _GAP * pens.base if side in ("bottom", "top") else 0.75 * pens.base
