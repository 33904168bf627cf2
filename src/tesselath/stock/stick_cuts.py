"""How the pieces lie in a stick, and every cut that frees them.

Comes in: a stick of the plan, the parts, the kerf. Goes out: each piece's outline in the stick, and
the cuts in order from the stop end.

x runs along the stick from the stop end, y towards the fence, 0 on the mid-line::

      fence ==================================
       |  /       \\       \\      |/////////|
       | /   A     \\   A   \\ B   |  held   |
       |/___________\\_______\\____|/////////|
       0   1         2 3      ...        length

Neighbours whose ends match share one cut; where they differ the end of one and the start of the
next are cut each, both on the long stick.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tesselath.measure import ALIKE, cosine
from tesselath.parts import Part
from tesselath.stock.sticks import Laid, Stick

__all__ = ["LyingPiece", "StickCut", "cut_stick", "lay_stick", "same_sticks"]

#: Ends nearer to each other than this are one cut: no saw is set finer [mm].
_SAME_RUN = 0.05


@dataclass(frozen=True, slots=True)
class LyingPiece:
    """A piece as it lies in the stick.

    ``outline`` (n, 2) is in the stick's axes [mm]. ``runs`` are those of its left and right end:
    how far the end leans away from the stop on its way to the fence, over the width [mm].
    ``ends`` are where they cross the mid-line, from the stop end [mm].
    """

    mark: str
    outline: NDArray[np.float64]
    runs: tuple[float, float]
    ends: tuple[float, float]
    width: float
    rolled: bool
    #: The corner of a handed piece that is its long point at the stop; its sign stands there.
    sign: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class StickCut:
    """One cut: the line that stays on a piece, and the kerf beside it.

    The line crosses the mid-line ``at`` from the stop end [mm] and leans by ``run`` over the
    ``width`` [mm]; the kerf, ``kerf`` wide along the stick [mm], lies to the right of it, or to
    the left where the cut frees the start of a piece.
    """

    at: float
    run: float
    width: float
    kerf: float
    to_the_left: bool


def lay_stick(stick: Stick, parts: Mapping[str, Part]) -> tuple[LyingPiece, ...]:
    """Lay the pieces of a stick where they are cut.

    Source: own derivation: turning a strip end for end swaps its ends and keeps their lean,
    rolling it face down mirrors both.

    Parameters
    ----------
    parts : mapping of str to Part
        The parts by mark.

    Returns
    -------
    tuple of LyingPiece
        The pieces from the stop end; what is sawn by hand lies as its square blank.
    """
    return tuple(_lie(laid, parts[laid.mark]) for laid in stick.laid)


def _lie(laid: Laid, part: Part) -> LyingPiece:
    width = part.stick_width
    if part.handling == "mark and hand saw":
        left, right = laid.at, laid.at + part.overall
        half = width / 2
        corners = [(left, -half), (right, -half), (right, half), (left, half)]
        return LyingPiece(
            part.mark, np.array(corners), (0.0, 0.0), (left, right), width, laid.rolled
        )
    middle, a, b = part.ends_on_stick
    shape = np.array(part.shape)
    reach = shape[:, 0] if part.stop_side != "right" else -shape[:, 0]
    point = shape[int(reach.argmin())]
    if laid.turned:
        shape, point = np.array([middle, 0.0]) - shape, np.array([middle, 0.0]) - point
        a, b = b, a
    if laid.rolled:
        shape, point = shape[::-1] * (1.0, -1.0), point * (1.0, -1.0)
        a, b = -a, -b
    sign = None if part.handed_pair is None else (float(point[0]) + laid.at, float(point[1]))
    return LyingPiece(
        part.mark,
        shape + np.array([laid.at, 0.0]),
        (a, b),
        (laid.at, laid.at + middle),
        width,
        laid.rolled,
        sign,
    )


def cut_stick(pieces: Sequence[LyingPiece], *, kerf: float) -> tuple[StickCut, ...]:
    """List the cuts that free the pieces of a stick, in order from the stop end.

    Source: own derivation; along the stick a cut takes kerf / cos(mitre).

    Parameters
    ----------
    pieces : sequence of LyingPiece
        The pieces from the stop end.
    kerf : float
        The width of the saw cut, square to its line [mm].
    """
    cuts: list[StickCut] = []
    before: LyingPiece | None = None
    for piece in pieces:
        start, run = piece.ends[0], piece.runs[0]
        if before is None:
            fresh = start > ALIKE or abs(run) > ALIKE
        else:
            wide = _along(before.runs[1], before.width, kerf)
            fresh = (
                abs(before.runs[1] - run) > _SAME_RUN
                or abs(before.width - piece.width) > ALIKE
                or start - before.ends[1] > wide + _SAME_RUN
            )
        if fresh:
            cuts.append(_cut(start, run, piece.width, kerf, to_the_left=True))
        cuts.append(_cut(piece.ends[1], piece.runs[1], piece.width, kerf, to_the_left=False))
        before = piece
    return tuple(cuts)


def _cut(at: float, run: float, width: float, kerf: float, *, to_the_left: bool) -> StickCut:
    return StickCut(at, run, width, _along(run, width, kerf), to_the_left)


def _along(run: float, width: float, kerf: float) -> float:
    """The kerf along the stick: kerf over the cosine of the mitre [mm]."""
    return kerf / cosine(float(np.degrees(np.arctan2(run, width))))


def same_sticks(sticks: Sequence[Stick]) -> tuple[tuple[Stick, ...], ...]:
    """Put together the sticks that are cut alike, in the order of the first of each.

    Parameters
    ----------
    sticks : sequence of Stick
        The sticks of a plan.

    Returns
    -------
    tuple of tuple of Stick
        One entry for each different stick, with all that are like it.
    """
    alike: dict[tuple[object, ...], list[Stick]] = {}
    for stick in sticks:
        laid = tuple((p.mark, p.turned, p.rolled, round(p.at, 2)) for p in stick.laid)
        key = (
            stick.wood,
            round(stick.width, 2),
            round(stick.strip_width, 2),
            round(stick.length, 2),
            stick.offcut,
            laid,
        )
        alike.setdefault(key, []).append(stick)
    return tuple(tuple(group) for group in alike.values())
