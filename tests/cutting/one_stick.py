"""One stick: what a sequence of pieces takes, and the least that any sequence could take.

Comes in: pieces, the way they lie where a sequence is given, and how the stick is sawn. Goes out:
lengths on the mid-line, trim and held tail included. Refuses: pointed ends in the closed form.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from tesselath.cutting.ends import EndProfile
from tesselath.cutting.gaps import finish_cost, joint_gap, kerf_along, start_cost
from tesselath.cutting.stock import CutPiece, Sawing
from tesselath.errors import Fault, SawError
from tesselath.measure import ON_THE_LINE

__all__ = ["closed_form", "stick_sum"]


def stick_sum(laid: Sequence[tuple[CutPiece, bool, bool]], *, sawing: Sawing) -> float:
    """Add up what a sequence of pieces takes of a stick.

    Source: own derivation; see ``gaps``.

    Parameters
    ----------
    laid : sequence of (CutPiece, bool, bool)
        Each piece, whether it is turned end for end, whether it is rolled face down; from the
        stop end.
    sawing : Sawing
        Width, kerf, rule, trim and tail.

    Returns
    -------
    float
        Trim, pieces, kerfs, waste between them and the held tail [mm]; 0 for no piece. Without
        a tail the kerf of the last cut runs off the end and does not count.

    Raises
    ------
    SawError
        If the rule is not known.

    Examples
    --------
    Four frame sides of 260 mm on the mid-line, nested: 20 + 4 x 260 + 3 x 4.242641 + 20.

    >>> from tesselath.cutting.ends import straight_end
    >>> side = CutPiece("A", 260.0, 4, straight_end(40.0), straight_end(-40.0))
    >>> nested = [(side, turned, False) for turned in (False, True, False, True)]
    >>> round(stick_sum(nested, sawing=Sawing(40.0, 3.0)), 6)
    1092.727922
    """
    if not laid:
        return 0.0
    width, kerf, rule = sawing.width, sawing.kerf, sawing.rule
    ends = [_ends(*piece) for piece in laid]
    loose = [piece.length >= sawing.shortest_loose - ON_THE_LINE for piece, _, _ in laid]
    total = sawing.end_trim + start_cost(ends[0][0], width=width, kerf=kerf, rule=rule)
    total += sum(piece.length for piece, _, _ in laid)
    for ((_, right), held), ((left, _), _) in pairwise(zip(ends, loose, strict=True)):
        total += joint_gap(right, left, width=width, kerf=kerf, rule=rule, may_trim_loose=held)
    return total + finish_cost(
        ends[-1][1],
        width=width,
        kerf=kerf,
        rule=rule,
        holding=sawing.holding,
        may_trim_loose=loose[-1],
    )


def closed_form(pieces: Sequence[CutPiece], *, sawing: Sawing) -> float:
    """Give the least length that these pieces can take of one stick, in any sequence.

    Source: own derivation; for cutting without a kerf the same result stands in R. Lewis and
    P. Holborn, "How to pack trapezoids", IEEE Transactions on Evolutionary Computation 21
    (2017). A stick is a closed walk over the runs of its cuts, from the square end back to
    square; the walk needs every interval between runs crossed as often one way as the other
    (an even number of times where pieces may be turned), and all its parts connected. It is
    reached where a third cut may part two pieces.

    Parameters
    ----------
    pieces : sequence of CutPiece
        The pieces on the stick, each as often as its demand says. Where some may be turned or
        rolled and others not, all count as free to: the result is then a bound only.
    sawing : Sawing
        Width, kerf, trim and tail. The joint rule does not matter.

    Returns
    -------
    float
        The length [mm], to compare with ``stick_sum``, which under every rule is no less.

    Raises
    ------
    SawError
        If an end is pointed.

    Examples
    --------
    >>> from tesselath.cutting.ends import straight_end
    >>> side = CutPiece("A", 260.0, 4, straight_end(40.0), straight_end(-40.0))
    >>> round(closed_form([side], sawing=Sawing(40.0, 3.0)), 6)
    1092.727922
    """
    total = 0.0
    turn = any(piece.turn or piece.roll for piece in pieces)
    roll = any(piece.roll for piece in pieces)
    moves: list[tuple[float, float, int]] = []
    for piece in pieces:
        if piece.demand < 1:
            continue
        if not (piece.left.is_straight and piece.right.is_straight):
            raise SawError(
                Fault(f"part {piece.mark}", None, "The closed form holds for straight ends only.")
            )
        runs = [end.runs[0] for end in (piece.left, piece.right)]
        kerfs = [kerf_along(run, width=sawing.width, kerf=sawing.kerf) for run in runs]
        total += piece.demand * (piece.length + sum(kerfs) / 2)
        places = [
            math.copysign(abs(run) - (along - sawing.kerf), run)
            for run, along in zip(runs, kerfs, strict=True)
        ]
        if roll:
            places = [abs(place) for place in places]
        moves.append((places[0], places[1], piece.demand))
    if not moves:
        return 0.0
    tail = sawing.holding if sawing.holding > 0 else -sawing.kerf
    return sawing.end_trim + total + tail + _least_jumps(moves, turn=turn) / 2


def _ends(piece: CutPiece, turned: bool, rolled: bool) -> tuple[EndProfile, EndProfile]:
    left, right = piece.left, piece.right
    if rolled:
        left, right = left.rolled(), right.rolled()
    return (right, left) if turned else (left, right)


def _least_jumps(moves: Sequence[tuple[float, float, int]], *, turn: bool) -> float:
    """Give the length of jumps that closes all moves on a line into one walk through 0 [mm]."""
    places = sorted({0.0, *(place for move in moves for place in move[:2])})
    index = {place: i for i, place in enumerate(places)}
    crossings = [0] * (len(places) - 1)
    groups = list(range(len(places)))
    for start, end, count in moves:
        low, high = sorted((index[start], index[end]))
        sign = 1 if start <= end else -1
        for i in range(low, high):
            crossings[i] += sign * count
        _join(groups, low, high)
    if turn:  # signs do not matter where pieces can be turned, only how many cross
        crossings = [0] * len(crossings)
        for start, end, count in moves:
            low, high = sorted((index[start], index[end]))
            for i in range(low, high):
                crossings[i] = (crossings[i] + count) % 2
    jumps = 0.0
    for i, crossing in enumerate(crossings):
        if crossing:
            jumps += abs(crossing) * (places[i + 1] - places[i])
            _join(groups, i, i + 1)
    # What is still apart is joined by the shortest intervals, out and back.
    widths = sorted((places[i + 1] - places[i], i) for i in range(len(crossings)))
    for width, i in widths:
        if groups[i] != groups[i + 1]:
            jumps += 2 * width
            _join(groups, i, i + 1)
    return jumps


def _join(groups: list[int], first: int, second: int) -> None:
    """Make two places one component."""
    old, new = groups[second], groups[first]
    for i, group in enumerate(groups):
        if group == old:
            groups[i] = new
