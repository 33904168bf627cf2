"""Ends: the shape of a piece's two ends.

Comes in: signed runs (how far an end leans over the width of the strip), or the cuts of an end.
Goes out: end profiles, and how far an end sticks out past a line. Refuses: an end without a cut.

A straight end is the line x = m + run * y / width, m where it crosses the mid-line::

      y = +w/2  ______________/      run > 0 leans forward, like a slash
                             /
      mid-line  . . . . . . m . .
                           /
      y = -w/2  __________/

A pointed or clipped end is several such lines, each set outward from m by its offset; the wood
ends at the innermost of them. Turning a piece end for end keeps its profiles as they are and
swaps their places; rolling it face down about its long axis negates every run.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tesselath.errors import Fault, SawError
from tesselath.measure import ALIKE, ON_THE_LINE, tangent

__all__ = [
    "EndProfile",
    "end_corners",
    "end_of_cuts",
    "pointed_end",
    "reach",
    "straight_end",
]


@dataclass(frozen=True, slots=True)
class EndProfile:
    """The shape of one end, the same whether it lies to the left or to the right.

    Parameters
    ----------
    facets : tuple of (float, float)
        (offset, run) of every cut [mm], by falling run: how far outward from where the end
        crosses the mid-line the cut crosses it, and how far it leans over the strip's width.

    Examples
    --------
    >>> straight_end(40.0).rolled()
    EndProfile(facets=((0.0, -40.0),))
    """

    facets: tuple[tuple[float, float], ...]

    @property
    def runs(self) -> tuple[float, ...]:
        """The runs of the cuts [mm]."""
        return tuple(run for _, run in self.facets)

    @property
    def is_straight(self) -> bool:
        """Whether one cut makes the end."""
        return len(self.facets) == 1

    @property
    def steepest(self) -> float:
        """The largest lean of the cuts, whichever way [mm]."""
        return max(abs(run) for run in self.runs)

    def rolled(self) -> EndProfile:
        """Give the end as it is when the piece lies face down."""
        return EndProfile(tuple((offset, 0.0 - run) for offset, run in reversed(self.facets)))


def straight_end(run: float) -> EndProfile:
    """Describe an end made by one cut.

    Parameters
    ----------
    run : float
        Width times the tangent of the signed mitre [mm]; 0 is a square end.

    Raises
    ------
    Nothing.
    """
    return EndProfile(((0.0, run + 0.0),))


def pointed_end(cuts: Sequence[tuple[float, float]]) -> EndProfile:
    """Describe an end made by several cuts, the wood ending at the innermost of them.

    Parameters
    ----------
    cuts : sequence of (float, float)
        (offset, run) of each cut [mm]; cuts that take nothing off are dropped, and the offsets
        are measured anew from where the end crosses the mid-line.

    Raises
    ------
    SawError
        If there is no cut.

    Examples
    --------
    A point of 45 degrees on a 40 mm strip, its apex on the mid-line, and a cut that misses:

    >>> pointed_end([(0.0, -40.0), (0.0, 40.0), (100.0, 0.0)])
    EndProfile(facets=((0.0, 40.0), (0.0, -40.0)))
    """
    if not cuts:
        raise SawError(Fault("", None, "An end needs at least one cut."))
    inmost = min(offset for offset, _ in cuts)
    lines = sorted({(offset - inmost, run + 0.0) for offset, run in cuts}, key=_by_falling_run)
    kept: list[tuple[float, float]] = []
    for line in lines:
        if kept and kept[-1][1] - line[1] < ON_THE_LINE:  # parallel: the inner one counts
            if line[0] >= kept[-1][0]:
                continue
            kept.pop()
        while len(kept) > 1 and _crossing(kept[-2], kept[-1]) >= _crossing(kept[-1], line):
            kept.pop()
        kept.append(line)
    # A line that is innermost only beyond the edges of the strip takes nothing off.
    while len(kept) > 1 and _crossing(kept[0], kept[1]) <= -0.5 + _share(kept[0], kept[1]):
        kept.pop(0)
    while len(kept) > 1 and _crossing(kept[-2], kept[-1]) >= 0.5 - _share(kept[-2], kept[-1]):
        kept.pop()
    return EndProfile(tuple(kept))


def end_of_cuts(
    cuts: Sequence[tuple[float, float]], *, side: str, width: float
) -> tuple[EndProfile, float]:
    """Describe the end that a part's cuts make, and say where it crosses the mid-line.

    Parameters
    ----------
    cuts : sequence of (float, float)
        (mitre [degrees], at [mm]) of each cut of this end: the line x = at + y tan(mitre), x
        along the fence from the stop end, y towards the fence, y = 0 on the mid-line.
    side : str
        "left" (the stop end) or "right".
    width : float
        Width of the strip [mm].

    Returns
    -------
    tuple of EndProfile and float
        The end, and x where it crosses the mid-line [mm].

    Raises
    ------
    SawError
        If there is no cut.

    Examples
    --------
    >>> end_of_cuts([(45, 200.0), (0, 210.0)], side="right", width=40)
    (EndProfile(facets=((0.0, 40.0), (10.0, 0.0))), 200.0)
    """
    outward = 1.0 if side == "right" else -1.0
    lines = [(outward * at, width * tangent(mitre)) for mitre, at in cuts]
    end = pointed_end(lines)
    return end, outward * min((offset for offset, _ in lines), default=0.0)


def reach(end: EndProfile, run: float) -> float:
    """Say how far an end sticks out beyond a line through its mid-line crossing.

    The end is concave as a function of the place across the strip, so
    it reaches farthest at a corner. For a straight end it is half the difference of the runs.

    >>> reach(straight_end(40.0), -40.0)
    40.0
    """
    return max(place - run * t for t, place in end_corners(end))


def end_corners(end: EndProfile) -> list[tuple[float, float]]:
    """List the corners of an end, as a right end, from one edge of the strip to the other.

    >>> end_corners(straight_end(40.0))
    [(-0.5, -20.0), (0.5, 20.0)]
    """
    first, last = end.facets[0], end.facets[-1]
    corners = [(-0.5, first[0] - first[1] / 2)]
    for inner, outer in zip(end.facets, end.facets[1:], strict=False):
        t = _crossing(inner, outer)
        corners.append((t, inner[0] + inner[1] * t))
    corners.append((0.5, last[0] + last[1] / 2))
    return corners


def _by_falling_run(line: tuple[float, float]) -> tuple[float, float]:
    return (-line[1], line[0])


def _crossing(first: tuple[float, float], second: tuple[float, float]) -> float:
    """Say where across the strip two cuts meet; the first leans more."""
    return (second[0] - first[0]) / (first[1] - second[1])


def _share(first: tuple[float, float], second: tuple[float, float]) -> float:
    """Say what share of the width a cut may touch and still be dust."""
    return ALIKE / max(abs(first[1] - second[1]), ALIKE)
