"""The border of a rounded or oval opening: a band of even width that follows the curve.

Comes in: the outline with its curves, and what it would be without them. Goes out: cells, one a
side, joined half-way round each corner; an oval has eight, joined square to its edge::

      .--------.             .-----.
     /\\________/\\           /|_____|\\
     | |      | |          |_|     |_|

Refuses: a border wider than the sharpest curve of an oval.
"""

from __future__ import annotations

from math import atan2, degrees, hypot

import numpy as np
import shapely

from tesselath.errors import DesignError, Fault
from tesselath.field.rings import RingCell
from tesselath.measure import ALIKE, SNAP_GRID, cosine, sine
from tesselath.shape import (
    CHORD,
    Line,
    Outline,
    area,
    as_outline,
    clip_by_lines,
    edge_lines,
    inset,
    tidy,
    turned,
)

__all__ = ["lay_round_border"]

#: An oval border is made of so many pieces [count].
_PIECES = 8


def lay_round_border(
    outline: Outline, *, sharp: Outline | None, width: float, place: str
) -> tuple[RingCell, ...]:
    """Lay a border along an outline that is rounded or oval.

    A piece whose curve is deeper than the band is wide comes from no strip: its width is None.
    Source: own derivation; an ellipse's sharpest radius is the square of its short half axis over
    the long one.
    """
    left = inset(outline, width)
    if len(left) != 1:
        return ()
    if sharp is None:
        half = np.ptp(np.asarray(outline), axis=0) / 2
        sharpest = float(min(half)) ** 2 / float(max(half))
        if width > sharpest + ALIKE:
            rule = (
                "A border may not be wider than the oval's sharpest curve, a radius of "
                f"{sharpest:.0f} mm."
            )
            raise DesignError(Fault(place, f"{width:.1f} mm", rule, "Make it narrower."))
        wedges = _oval_wedges(outline)
    else:
        wedges = _corner_wedges(sharp)
    inner = shapely.Polygon(left[0])
    cells = []
    for side, (direction, lines) in enumerate(wedges):
        part = clip_by_lines([(float(x), float(y)) for x, y in outline], lines)
        if not part:
            continue
        band = shapely.difference(shapely.Polygon(part), inner, grid_size=SNAP_GRID)
        largest = max(shapely.get_parts(band), key=lambda shape: shape.area)
        ring = np.array(shapely.get_coordinates(largest.exterior))[:-1]
        cell = tidy(as_outline(ring if area(ring) > 0 else ring[::-1]))
        across = float(np.ptp(np.asarray(turned(cell, -direction))[:, 1]))
        # Chords lie a hair off the curve, so a corner as round as the band is wide looks deeper.
        strip = width if across <= width + CHORD else None
        cells.append(RingCell(cell, direction % 180.0, strip, 0, side, direction))
    return tuple(cells)


def _corner_wedges(sharp: Outline) -> list[tuple[float, list[Line]]]:
    """For each side its direction, and what lies nearer to it than to any other side."""
    lines = edge_lines(sharp)
    first = min(range(len(lines)), key=lambda i: (round(lines[i][1], 6), round(lines[i][0], 6)))
    wedges = []
    for n in range(len(lines)):
        nx, ny, c = lines[(first + n) % len(lines)]
        nearer = []
        for mx, my, d in lines:
            dx, dy = mx - nx, my - ny
            length = hypot(dx, dy)
            if length > ALIKE:
                nearer.append((dx / length, dy / length, (d - c) / length))
        wedges.append((round(degrees(atan2(nx, -ny)), 9) % 360.0, nearer))
    return wedges


def _oval_wedges(outline: Outline) -> list[tuple[float, list[Line]]]:
    """Part an oval at the normals half-way between its axes and their diagonals."""
    middle = (outline.max(axis=0) + outline.min(axis=0)) / 2
    a, b = (float(v) for v in np.ptp(np.asarray(outline), axis=0) / 2)
    step = 360.0 / _PIECES
    wedges = []
    for n in range(_PIECES):
        start, end = (_normal_line(a, b, middle, (n + k) * step - 90.0) for k in (-0.5, 0.5))
        before = (-start[0], -start[1], -start[2])
        wedges.append((n * step, [before, end]))
    return wedges


def _normal_line(a: float, b: float, middle: Outline, angle: float) -> Line:
    """The normal of an ellipse that points in a direction, as a half-plane to its right."""
    c, s = cosine(angle), sine(angle)
    length = hypot(a * c, b * s)
    x, y = middle[0] + a * a * c / length, middle[1] + b * b * s / length
    return -s, c, float(-s * x + c * y)
