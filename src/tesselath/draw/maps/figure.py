"""Figure: the streaks of the grain, as the finished wood shows them.

Comes in: outlines with their grain. Goes out: fine lines along each piece, dark and light, always
the same for the same piece. A piece without room gets none.

Chance here is whole-number arithmetic, so that a picture is the same on every machine::

     ______________________
    |   -----        ----  |
    | ---------  ------    |
    |_____-------__________|
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tesselath.draw.maps.grain import inside_spans
from tesselath.measure import cosine, sine
from tesselath.shape import Outline

__all__ = ["chance", "draw_figure"]

_POINTS = np.linspace(0.0, 1.0, 7)


def chance(number: int, draw: int = 0) -> float:
    """Give a number from 0 to under 1 that looks like chance and never changes.

    Source: the closing steps of MurmurHash3 (A. Appleby, public domain), from memory.

    >>> [round(chance(number), 2) for number in (1, 2, 3)] == [round(chance(1), 2)] * 3
    False
    >>> 0.0 <= chance(17, 4) < 1.0
    True
    """
    mix = (number * 0x9E3779B1 + draw * 0x27D4EB2F + 0x1B873593) & 0xFFFFFFFF
    for shift, factor in ((16, 0x85EBCA6B), (13, 0xC2B2AE35)):
        mix = ((mix ^ (mix >> shift)) * factor) & 0xFFFFFFFF
    return (mix ^ (mix >> 16)) / 2.0**32


def draw_figure(
    outline: Outline, grain: float, *, number: int, streaks: int
) -> list[tuple[NDArray[np.float64], float]]:
    """Draw the streaks of one piece.

    >>> strip = np.array([(0.0, 0.0), (60.0, 0.0), (60.0, 10.0), (0.0, 10.0)])
    >>> lines = draw_figure(strip, 0.0, number=1, streaks=4)
    >>> len(lines), all(0 < y < 10 for line, _ in lines for _, y in line)
    (4, True)
    """
    c, s = cosine(grain), sine(grain)
    corners = np.asarray(outline) @ np.array([[c, -s], [s, c]])
    low, high = float(corners[:, 1].min()), float(corners[:, 1].max())
    width = high - low
    back = np.array([[c, s], [-s, c]])
    lines = []
    for n in range(streaks):
        throws = [chance(number, 5 * n + draw) for draw in range(5)]
        level = low + width * (0.04 + 0.92 * (n + throws[0]) / streaks)
        for left, right in inside_spans(corners, level, 0.01 * width):
            start = left + (right - left) * 0.6 * throws[1] ** 3
            end = right - (right - left) * 0.6 * throws[2] ** 3
            bow = 0.015 * width * (2 * throws[3] - 1)
            x = start + (end - start) * _POINTS
            y = level + bow * np.sin(np.pi * _POINTS)
            lines.append((np.column_stack([x, y]) @ back, throws[4]))
    return lines
