"""Pens: the line widths and letter sizes of one drawing, so that all of it is of one hand.

Comes in: how large the drawing is. Goes out: strokes and heights [mm].

Outlines stay fine at any size, since the drawing is true to scale and is printed or traced. The
lettering round it grows with the drawing, so that the whole can be read when it is seen small.
"""

from __future__ import annotations

from dataclasses import dataclass

from tesselath.draw.paper.sheet import Stroke

__all__ = ["INK", "SIGNAL", "Pens", "pens_for"]

#: Black, and the red of centre lines and trim lines; neither line is told by its colour alone.
INK, SIGNAL = "#000000", "#b3261e"

#: Ordinary lettering never falls under this [mm], and is this share of the longer side.
_LEAST, _SHARE = 2.5, 1 / 135


@dataclass(frozen=True, slots=True)
class Pens:
    """The pens of one drawing; ``base`` is the height of its ordinary capitals [mm]."""

    base: float
    #: The usual width of a piece [mm].
    strip: float = 25.4

    @property
    def outline(self) -> Stroke:
        """The edge of a piece; finer where pieces are a few mm wide."""
        return Stroke(min(0.25, 0.06 * self.strip), INK)

    @property
    def zone(self) -> Stroke:
        """The edge of a zone, and of the opening."""
        return Stroke(0.7, INK)

    @property
    def thin(self) -> Stroke:
        """Dimension lines, ticks and leaders; a little bolder on a large drawing."""
        return Stroke(max(0.18, 0.04 * self.base), INK)

    @property
    def frame(self) -> Stroke:
        """The edges and joints of the frame."""
        return Stroke(max(0.35, 0.07 * self.base), INK)

    @property
    def centre(self) -> Stroke:
        """Centre lines: a long dash, a dot."""
        long, gap = 4.0 * self.base, 0.8 * self.base
        return Stroke(max(0.3, 0.07 * self.base), SIGNAL, (long, gap, 0.5 * gap, gap))

    @property
    def trim(self) -> Stroke:
        """The line to which a glued field is trimmed."""
        return Stroke(max(0.7, 0.1 * self.base), SIGNAL, (2.4 * self.base, 1.0 * self.base))

    @property
    def misfit(self) -> Stroke:
        """The edge of a piece, cut already, that no longer fits; bolder than any other piece's."""
        return Stroke(min(max(0.6, 0.1 * self.base), 0.12 * self.strip), SIGNAL)

    @property
    def hidden(self) -> Stroke:
        """What lies beyond the trim line or under the frame."""
        return Stroke(max(0.18, 0.04 * self.base), "#555555", (self.base, 0.6 * self.base))


def pens_for(longer_side: float, *, strip: float = 25.4) -> Pens:
    """Choose the pens for a drawing.

    Source: common practice: lettering of a 135th of the sheet is read at arm's length.

    Parameters
    ----------
    longer_side : float
        The longer side of what is drawn [mm].
    strip : float
        The usual width of a piece [mm].

    Examples
    --------
    >>> pens_for(200.0).base, round(pens_for(1500.0).base, 2)
    (2.5, 11.11)
    """
    return Pens(max(_LEAST, longer_side * _SHARE), strip)
