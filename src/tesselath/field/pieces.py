"""Pieces: each thing that is cut and glued, numbered in gluing order.

Comes in: what the clip leaves of each strip, zone by zone. Goes out: numbered pieces, each with
what lies finished and, where that differs, the blank that is cut for it: pieces that are trimmed or
planed to a line after they are cut.

When the field is trimmed after gluing, an edge piece keeps its strip's own ends and its whole
width; an end that the trim line crosses is left over-long, so that edge pieces
join the inner parts::

        trim line |
     ______________|____                the strip:  |________________________|
    |   finished   |    |               its blank:  |___________________|  up to a tape mark
    |______________|____|
                    <--> over-length
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from tesselath.field.clip import Fragment
from tesselath.measure import ALIKE, ON_THE_LINE
from tesselath.shape import Outline, area, as_outline, turned

__all__ = ["Cut", "Loose", "Piece", "number_pieces"]


@dataclass(frozen=True, slots=True)
class Cut:
    """One straight cut of a piece as it lies at the saw.

    The cut line is x = at + y tan(mitre): x along the fence away from the stop, y towards the
    fence, y = 0 on the mid-line of the piece, x = 0 where the left end's main cut crosses the
    mid-line. ``op`` is "end", "corner" or "notch"; a notch has no line but the ``points`` of
    the corner that is sawn out.
    """

    op: str
    side: str  # "left" or "right"
    mitre: float | None
    at: float | None
    points: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Piece:
    """Piece 17: where it lies, and what is cut for it.

    ``outline`` (n, 2) is what lies finished, counter-clockwise, in the opening's axes [mm].
    ``blank`` is what is cut where that differs, else None. ``grain`` is 0 to under 180
    [degrees]. ``overall`` is the extent along the grain, ``width`` across it and ``edge`` the
    longest side along it, all of what is cut. ``glue_up`` is 0 until the glue-ups are planned;
    ``cut`` tells a piece that a refit takes over.
    """

    number: int
    part: str
    zone: str
    wood: str
    tone: str
    outline: Outline
    blank: Outline | None
    grain: float
    overall: float
    edge: float
    width: float
    row: int
    glue_up: int = 0
    cut: bool = False

    @property
    def cut_outline(self) -> Outline:
        """What the saw must make: the blank where there is one, else the outline."""
        return self.outline if self.blank is None else self.blank


@dataclass(frozen=True, slots=True)
class Loose:
    """A numbered piece before it has a part.

    ``kin`` tells pieces that are alike by construction: equal keys are copies of one whole
    strip; None has to be compared.
    """

    number: int
    zone: str
    wood: str
    tone: str
    outline: Outline
    blank: Outline | None
    grain: float
    strip_width: float | None
    row: int
    kin: tuple[str, int] | None

    @property
    def cut_outline(self) -> Outline:
        """What the saw must make: the blank where there is one, else the outline."""
        return self.outline if self.blank is None else self.blank


def number_pieces(
    fragments: Sequence[tuple[str, Sequence[Fragment]]],
    *,
    tones: Mapping[str, Sequence[str]],
    woods: Mapping[str, Mapping[str, str]],
    trimmed: Collection[str] = (),
    overlength: float = 0.0,
    tape: float,
) -> tuple[Loose, ...]:
    """Number what the clip left, row by row from the centre line outward.

    Source: common practice (rows are laid from centre lines outward).

    Parameters
    ----------
    fragments : sequence of (str, sequence of Fragment)
        The fragments of each zone, in the order in which the zones are glued.
    tones : mapping of str to sequence of str
        The names of the tones of each zone's pattern.
    woods : mapping of str to mapping of str to str
        The wood of each tone, zone by zone.
    trimmed : collection of str
        The zones whose edge pieces are trimmed after gluing; the others are cut to their
        finished shape.
    overlength : float
        How much such an edge piece is left over-long [mm].
    tape : float
        The finest mark of the maker's tape, to which a blank is rounded up [mm].

    Returns
    -------
    tuple of Loose
        The pieces, numbered from 1.
    """
    pieces: list[Loose] = []
    for zone, parts in fragments:
        names = tones[zone] or ("plain",)
        for part in sorted(parts, key=_gluing_order):
            tone = names[part.tone]
            blank: Outline | None = part.whole if part.planed else None
            if zone in trimmed and part.kin < 0 and blank is None:
                blank = _blank(part, overlength, tape)
                if area(blank) - area(part.outline) <= ALIKE * overlength:
                    blank = None  # a mirror line cut it, not the trim line
            pieces.append(
                Loose(
                    number=len(pieces) + 1,
                    zone=zone,
                    wood=woods[zone][tone],
                    tone=tone,
                    outline=part.outline,
                    blank=blank,
                    grain=part.grain,
                    strip_width=part.strip_width,
                    row=part.row,
                    kin=(zone, part.kin) if part.kin >= 0 else None,
                )
            )
    return tuple(pieces)


def _gluing_order(part: Fragment) -> tuple[float, ...]:
    """Rows 0, 1, -1, 2, -2 ...; along a row as it runs; then front to back."""
    x, y = part.outline.mean(axis=0)
    return (abs(part.row), part.row < 0, round(part.along, 3), round(float(y), 3), float(x))


def _blank(part: Fragment, overlength: float, tape: float) -> Outline:
    """The strip with its own ends, cut no shorter than the finished piece and the over-length."""
    strip = np.asarray(turned(part.whole, -part.grain))
    piece = np.asarray(turned(part.outline, -part.grain))
    low, high = strip[:, 1].min(), strip[:, 1].max()
    on_low = strip[:, 1] <= low + ALIKE
    on_high = strip[:, 1] >= high - ALIKE
    if on_low.sum() != 2 or on_high.sum() != 2 or len(strip) != 4:
        return part.whole  # a point or an outline of its own keeps its whole strip
    is_left = np.zeros(4, dtype=bool)
    for row in (on_low, on_high):
        corners = np.flatnonzero(row)
        is_left[corners[np.argmin(strip[corners, 0])]] = True
    spare_left = _spare(piece, strip[is_left], -1.0)
    spare_right = _spare(piece, strip[~is_left], 1.0)
    move_left = max(0.0, spare_left - overlength) if spare_left > ALIKE else 0.0
    move_right = max(0.0, spare_right - overlength) if spare_right > ALIKE else 0.0
    middle = float(strip[~is_left, 0].mean() - strip[is_left, 0].mean())
    wanted = ceil((middle - move_left - move_right) / tape - ON_THE_LINE) * tape
    give_back = min(wanted - (middle - move_left - move_right), move_left + move_right)
    from_right = min(give_back, move_right)
    move_right -= from_right
    move_left -= give_back - from_right
    if move_left + move_right <= ALIKE:
        return part.whole
    shortest = min(float(np.ptp(strip[on_low, 0])), float(np.ptp(strip[on_high, 0])))
    if move_left + move_right > shortest - ALIKE:
        return part.whole
    moved = strip.copy()
    moved[is_left, 0] += move_left
    moved[~is_left, 0] -= move_right
    return turned(as_outline(moved), part.grain)


def _spare(piece: NDArray[np.float64], end: NDArray[np.float64], sign: float) -> float:
    """How far an end of the strip may move in before it meets the piece [mm]."""
    (x0, y0), (x1, y1) = end
    reach = x0 + (piece[:, 1] - y0) / (y1 - y0) * (x1 - x0)
    return float(np.min(sign * (reach - piece[:, 0])))
