"""The view of a saw: where stop, blade, strip and handle lie in the picture of a set-up.

Comes in: a set-up and its part. Goes out: measures of the picture [mm].

u runs from the stop outward along the fence, y towards the fence, 0 on its face; for a stop at
the right u runs to the left. A piece too long for the picture loses its middle::

    stop |__________ ~ ~ __________\\   u = length at the fence
         0         cut             y = -high
"""

from __future__ import annotations

from dataclasses import dataclass

from tesselath.draw.paper import Point
from tesselath.measure import tangent
from tesselath.parts import Part
from tesselath.saw import Setup

__all__ = ["BEHIND", "WIDE", "SawView", "shown_scale"]

#: The picture [mm]: its width, what lies beyond the stop, the strip's height, the longest piece.
WIDE, BEHIND, _HIGH, _LONGEST = 118.0, 13.0, 13.0, 66.0


@dataclass(frozen=True, slots=True)
class SawView:
    """The picture's measures [mm]: u runs from the stop outward, ``side`` says which way that is.

    ``at_stop`` and ``at_blade`` are how far each cut leans outward per mm towards the fence.
    ``length`` is from stop to blade along the fence, as drawn after ``gap`` was left out at
    ``cut`` [mm].
    """

    side: float
    scale: float
    high: float
    length: float
    at_stop: float
    at_blade: float
    cut: float
    gap: float
    kerf: float = 0.0

    @staticmethod
    def of(setup: Setup, part: Part) -> SawView:
        side = -1.0 if setup.stop_side == "right" else 1.0
        stop, blade = (0, 1) if side > 0 else (1, 0)
        scale = shown_scale(setup.strip_width, max(map(abs, part.mitres)))
        high = setup.strip_width * scale
        at_stop, at_blade = (side * tangent(part.mitres[n]) for n in (stop, blade))
        length = setup.stop * scale
        tip = max(length, length - high * at_blade)
        gap = max(0.0, tip - _LONGEST)
        ends = max(0.0, -high * at_stop), min(length, length - high * at_blade) - gap
        return SawView(
            side,
            scale,
            high,
            length - gap,
            at_stop,
            at_blade,
            (max(ends[0], 0.0) + ends[1]) / 2,
            gap,
        )

    @property
    def left(self) -> float:
        return -BEHIND if self.side > 0 else BEHIND - WIDE

    @property
    def far(self) -> float:
        """Where the picture of the stick ends [mm]."""
        return WIDE - BEHIND - 3.0

    def at(self, u: float, y: float) -> Point:
        return self.side * u, y

    def stop_end(self, y: float) -> float:
        """The stick's end at the stop, at a height; 0 at its foremost corner."""
        foremost = min(0.0, -self.high * self.at_stop)
        return y * self.at_stop - foremost

    def blade(self, y: float) -> float:
        return self.length + y * self.at_blade

    def closed(self, corners: list[Point]) -> tuple[Point, ...]:
        """Place corners given by u and y, counter-clockwise again if the picture is turned."""
        placed = [self.at(*corner) for corner in corners]
        return tuple(placed if self.side > 0 else placed[::-1])


def shown_scale(strip_width: float, steepest: float) -> float:
    """Give the scale of the picture for a strip [mm] and the steepest of its cuts [degrees].

    >>> shown_scale(26.0, 45.0)
    0.5
    """
    run = abs(tangent(min(abs(steepest), 85.0)))
    return min(_HIGH / strip_width, 34.0 / (strip_width * max(run, 0.1)), 1.5)
