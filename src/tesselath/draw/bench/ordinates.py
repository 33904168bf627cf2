"""Ordinates: measures of many lines from one zero, spread so that none covers another.

Comes in: where the lines lie along an edge and what is written at them. Goes out: items of a sheet,
and how far they reach.

Each line goes on outside the edge, bends to where there is room, and carries its measure::

      |     |  ||   |
      |     | /  \\  |
      1     5 6   7 9
"""

from __future__ import annotations

from collections.abc import Sequence

from tesselath.draw.paper import INK, Item, Line, Point, Stroke, Text, text_width

__all__ = ["draw_ordinates", "spread"]

#: From the edge to the bend, over the bend, and to the words [mm].
_OUT, _BEND, _AIR = 1.2, 3.2, 0.8
_LEAD = Stroke(0.15, "#444444")


def draw_ordinates(
    side: str, marks: Sequence[tuple[float, str]], *, edge: float, cap: float
) -> tuple[tuple[Item, ...], float]:
    """Write measures beside the lines that run to an edge.

    Source: common practice of ordinate dimensions.
    """
    upright = {"left": False, "bottom": True}[side]
    places = spread([at for at, _ in marks], 1.55 * cap)
    inner, outer, words = edge - _OUT, edge - _OUT - _BEND, edge - _OUT - _BEND - _AIR

    def at(along: float, off: float) -> Point:
        return (along, off) if upright else (off, along)

    runs = tuple(
        (at(mark, edge), at(mark, inner), at(place, outer))
        for (mark, _), place in zip(marks, places, strict=True)
    )
    items: list[Item] = [Line(runs, _LEAD, role="ordinate")] if runs else []
    items += [
        Text(
            text,
            at(place, words),
            cap,
            anchor="end",
            angle=90.0 if upright else 0.0,
            colour=INK,
            role="ordinate",
        )
        for (_, text), place in zip(marks, places, strict=True)
    ]
    longest = max((text_width(text, cap) for _, text in marks), default=0.0)
    return tuple(items), (_OUT + _BEND + _AIR + longest if marks else 0.0)


def spread(places: Sequence[float], least: float) -> list[float]:
    """Move places apart, as little as can be, until neighbours are at least so far apart.

    The sum of the squares of the moves is the least there is. Source: pool-adjacent-violators
    algorithm (Ayer et al., 1955), on the places less n times the distance.

    >>> spread([0.0, 1.0, 10.0], 3.0)
    [-1.0, 2.0, 10.0]
    """
    pools: list[tuple[float, int]] = []
    for n, place in enumerate(places):
        mean, count = place - n * least, 1
        while pools and pools[-1][0] > mean:
            other, many = pools.pop()
            mean, count = (other * many + mean * count) / (many + count), many + count
        pools.append((mean, count))
    bases = [mean for mean, count in pools for _ in range(count)]
    return [base + n * least for n, base in enumerate(bases)]
