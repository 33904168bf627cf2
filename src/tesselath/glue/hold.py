"""Hold: what keeps the pieces down while the glue sets.

Comes in: how the design holds its pieces, the pieces. Goes out: how long, with which words, and
where pins go.

A pin stands on the middle of its piece, away from its ends and from every line that is still to
be sawn or planed::

        +--------------------------------+
        |     x                    x     |  trim line
        +--------------------------------+----:
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from tesselath.design import Design
from tesselath.field import Piece
from tesselath.measure import cosine, sine
from tesselath.shape import Outline

__all__ = ["Hold", "Pin", "hold_of", "place_pins"]

#: No pin stands nearer to a line still to be sawn, routed or planed [mm]; 3/4 in, common practice.
_CLEAR_OF_TRIM = 19.05

#: A pin stands at this share of a piece's length from its ends, but no nearer than this [mm],
#: which keeps thin wood from splitting; common practice.
_IN_FROM_END = 0.2
_LEAST_FROM_END = 15.0

#: A pin ends this far above the underside of the base [mm]; 1/8 in, common practice.
_ABOVE_UNDERSIDE = 3.175


@dataclass(frozen=True, slots=True)
class Pin:
    """A pin or brad: the piece it holds, and where [mm]."""

    number: int
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Hold:
    """How pieces are held: for how long [min], the longest pin [mm], and what to mind."""

    by: str
    under: str  # as it is said of the pieces: "under weights"
    minutes: float
    longest_pin: float | None
    words: tuple[str, ...]


_WORDS: dict[str, tuple[str, float, tuple[str, ...]]] = {
    "weights": (
        "under weights",
        45.0,
        (
            "Lay film over the pieces, a flat board on it, weights on that; glue that is wet on "
            "one face only cups a panel overnight.",
        ),
    ),
    "pins": (
        "pinned",
        15.0,
        (
            "Pin each piece as soon as it is down; fingers 4 in (100 mm) from the nailer, for a "
            "pin wanders along the grain; wear eye protection.",
            "No pin within 3/4 in (19 mm) of a line still to be sawn, routed or planed, none in a "
            "piece shorter than twice its width: that one is weighted.",
        ),
    ),
    "brads": (
        "nailed",
        15.0,
        (
            "Nail each piece as soon as it is down; fingers 4 in (100 mm) from the nailer, for a "
            "brad wanders along the grain; wear eye protection.",
            "No brad within 3/4 in (19 mm) of a line still to be sawn, routed or planed, none in a "
            "piece shorter than twice its width: that one is weighted.",
        ),
    ),
    "tape": (
        "taped",
        60.0,
        (
            "Stretch tape across every joint as it closes, and over the edge on to what lies "
            "already; then film, a flat board and a few weights.",
        ),
    ),
    "vacuum": (
        "in the bag",
        60.0,
        (
            "Tape the pieces so that none creeps, lay film and a breather over them, and draw the "
            "bag down slowly; look at the joints before the pressure is full.",
        ),
    ),
}


def hold_of(design: Design) -> Hold:
    """Say how the pieces of a design are held.

    Source: common practice (clamped 30 to 60 minutes, full strength after 24 hours).

    Parameters
    ----------
    design : Design
        The design: how it holds, its strips and base.
    """
    under, minutes, words = _WORDS[design.glue.hold]
    longest = None
    if design.glue.hold in ("pins", "brads") and design.base and design.base.thickness:
        longest = design.strips.thickness + design.base.thickness - _ABOVE_UNDERSIDE
    return Hold(design.glue.hold, under, minutes, longest, words)


def place_pins(design: Design, pieces: Sequence[Piece], *, trimmed: Outline | None) -> list[Pin]:
    """Say where pins or brads go; nowhere when the design holds its pieces otherwise.

    Source: common practice.
    """
    if design.glue.hold not in ("pins", "brads"):
        return []
    line = None if trimmed is None else shapely.linearrings(trimmed)
    pins = []
    for piece in pieces:
        for x, y in _along_middle(piece):
            point = shapely.Point(x, y)
            if line is None or shapely.distance(point, line) >= _CLEAR_OF_TRIM:
                pins.append(Pin(piece.number, x, y))
    return pins


def _along_middle(piece: Piece) -> list[tuple[float, float]]:
    """Two places on the middle of a piece, one in its very middle when it is short."""
    corners = np.asarray(piece.outline)
    way = np.array([cosine(piece.grain), sine(piece.grain)])
    normal = np.array([-way[1], way[0]])
    along, across = corners @ way, corners @ normal
    low, high = float(along.min()), float(along.max())
    width = float(np.ptp(across))
    if high - low < 2 * width:
        return []
    level = float(across.max() + across.min()) / 2
    inset = max(_IN_FROM_END * (high - low), _LEAST_FROM_END)
    places = [low + inset, high - inset] if high - low > 2 * inset else [(low + high) / 2]
    inside = shapely.buffer(shapely.Polygon(corners), -width / 4, join_style="mitre")
    found = []
    for place in places:
        x, y = (float(v) for v in place * way + level * normal)
        if inside.covers(shapely.Point(x, y)):
            found.append((x, y))
    return found
