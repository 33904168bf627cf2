"""Pins: how long a pin or brad is that holds a strip and does not pass the base.

Comes in: a design. Goes out: the length to buy, and its gauge. Where no usual length fits, a note
says so.
"""

from __future__ import annotations

from dataclasses import dataclass

from tesselath.design import Design
from tesselath.glue.hold import hold_of
from tesselath.measure import ON_THE_LINE

__all__ = ["PinSize", "choose_pin"]

#: Lengths that are sold [mm]; common practice.
_LENGTHS = {
    "in": tuple(25.4 * eighths / 8 for eighths in (4, 5, 6, 8, 9, 10, 11, 12, 14, 16)),
    "mm": (12.0, 15.0, 18.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0),
}

#: A pin wants this much wood below the strip: so far, or so much of the strip's thickness.
_BITE, _OF_THICKNESS = 9.525, 2 / 3

_GAUGE = {"pins": 23, "brads": 18}


@dataclass(frozen=True, slots=True)
class PinSize:
    """A pin or brad to buy: its gauge and length [mm]; ``longest`` is what the panel allows."""

    kind: str
    gauge: int
    length: float | None
    longest: float | None


def choose_pin(design: Design) -> PinSize | None:
    """Choose the pin for the thicknesses of strip and base.

    Source: common practice: strip and base less 1/8 in at most, and 3/8 in or two thirds of the
    strip into the base.

    Parameters
    ----------
    design : Design
        The design: how it holds its pieces, its strips and base.

    Returns
    -------
    PinSize or None
        The pin, its length None where none that is sold fits; None where no pins are used.
    """
    hold = design.glue.hold
    if hold not in _GAUGE:
        return None
    thick = design.strips.thickness
    wanted = thick + max(_BITE, _OF_THICKNESS * thick)
    longest = hold_of(design).longest_pin
    lengths = _LENGTHS[design.units]
    enough = [length for length in lengths if length >= wanted - ON_THE_LINE]
    if longest is None:
        return PinSize(hold, _GAUGE[hold], enough[0] if enough else None, None)
    short = [n for n in lengths if thick + ON_THE_LINE < n <= longest + ON_THE_LINE]
    fit = [length for length in enough if length <= longest + ON_THE_LINE]
    length = fit[0] if fit else short[-1] if short else None
    return PinSize(hold, _GAUGE[hold], length, longest)
