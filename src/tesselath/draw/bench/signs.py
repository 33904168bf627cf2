"""Signs beside a stick: roll it over, swing the saw."""

from __future__ import annotations

from math import cos, pi, sin

import numpy as np

from tesselath.draw.paper import (
    Item,
    Line,
    Stroke,
)

__all__ = ["roll_sign", "swing_sign"]


def roll_sign() -> tuple[Item, ...]:
    """An arrow over the stick's back: roll it face down; centred on the origin."""
    arc = tuple((1.3 * cos(a), 1.1 * sin(a)) for a in np.linspace(1.05 * pi, -0.02 * pi, 12))
    head = ((0.75, 0.45), (arc[-1][0], arc[-1][1] - 0.15), (1.75, 0.5))
    return (Line((arc, head), Stroke(0.3), role="roll"),)


def swing_sign() -> tuple[Item, ...]:
    """Two arrow heads side by side: swing the saw over; centred on the origin."""
    bar = ((-1.5, 0.4), (1.5, 0.4))
    heads = (((-0.8, 1.0), (-1.5, 0.4), (-0.8, -0.2)), ((0.8, 1.0), (1.5, 0.4), (0.8, -0.2)))
    return (Line((bar, *heads), Stroke(0.3), role="swing"),)
