"""Joints: all that the planning of sticks needs to know of shapes, as tables.

Comes in: the pieces and how the stick is sawn. Goes out: every way each piece can lie, and what
each pair of ends costs. See ``stock.check_stock``.

Every length is on the mid-line, so a stick with pieces 1 to n takes::

    trim + start(left 1) + length 1 + gap(right 1, left 2) + length 2 + ... + finish(right n)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tesselath.cutting.ends import EndProfile
from tesselath.cutting.gaps import finish_cost, joint_gap, start_cost
from tesselath.cutting.stock import CutPiece, Sawing
from tesselath.measure import ON_THE_LINE

__all__ = ["Chain", "Joints", "Lie", "find_chain", "lay_joints"]

Table = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Lie:
    """One way a piece can lie on the stick, by the rows and columns of the joint tables."""

    left: int
    right: int
    turned: bool
    rolled: bool


@dataclass(frozen=True, slots=True)
class Joints:
    """The tables: ways to lie per piece, gaps (rights, lefts), starts, finishes [mm].

    ``left_pads`` and ``right_pads`` are shares of the gap that each end needs whatever it
    meets: a piece weighs at least its length and its two pads, and what a joint takes beyond
    the pads is never negative.
    """

    pieces: tuple[CutPiece, ...]
    sawing: Sawing
    lies: tuple[tuple[Lie, ...], ...]
    gaps: Table
    starts: Table
    finishes: Table
    left_pads: Table
    right_pads: Table
    left_ends: tuple[EndProfile, ...]
    right_ends: tuple[EndProfile, ...]

    def weight(self, piece: int, lie: Lie) -> float:
        """Give the length and pads of a piece as it lies [mm]."""
        pads = self.left_pads[lie.left] + self.right_pads[lie.right]
        return float(self.pieces[piece].length + pads)

    def weights(self) -> Table:
        """Give the least weight of every piece, ``(n,)`` [mm]."""
        return np.array(
            [min(self.weight(i, lie) for lie in lies) for i, lies in enumerate(self.lies)]
        )

    def room(self, length: float) -> float:
        """Give the most that pieces on a stick of this length can weigh together [mm]."""
        ends = (self.starts - self.left_pads).min() + (self.finishes - self.right_pads).min()
        return float(length - self.sawing.end_trim - ends)


@dataclass(frozen=True, slots=True)
class Chain:
    """A way to lay every piece so that no joint takes more than the pads.

    ``keepers`` lie one way and leave the cut as they found it; ``togglers`` lie one way when
    the cut is as at the start, and another when it is not.
    """

    keepers: tuple[tuple[int, Lie], ...]
    togglers: tuple[tuple[int, Lie, Lie], ...]


def lay_joints(pieces: Sequence[CutPiece], sawing: Sawing) -> Joints:
    """Make the tables for these pieces.

    >>> from tesselath.cutting.ends import straight_end
    >>> ends = straight_end(40.0), straight_end(-40.0)
    >>> joints = lay_joints([CutPiece("A", 90.0, 4, *ends)], Sawing(40.0, 3.0))
    >>> [round(float(weight), 6) for weight in joints.weights()]
    [94.242641]
    """
    lefts: dict[EndProfile, int] = {}
    rights: dict[tuple[EndProfile, bool], int] = {}
    lies = []
    for piece in pieces:
        # Only under the tight rule does it matter whether the loose piece can be held.
        long_enough = sawing.rule != "tight" or piece.length >= sawing.shortest_loose - ON_THE_LINE
        ways: dict[tuple[int, int], Lie] = {}
        for rolled in (False, True)[: 1 + piece.roll]:
            left, right = piece.left, piece.right
            if rolled:
                left, right = left.rolled(), right.rolled()
            for turned in (False, True)[: 1 + piece.turn]:
                first, last = (right, left) if turned else (left, right)
                at = lefts.setdefault(first, len(lefts))
                to = rights.setdefault((last, long_enough), len(rights))
                ways.setdefault((at, to), Lie(at, to, turned, rolled))
        lies.append(tuple(ways.values()))
    width, kerf, rule = sawing.width, sawing.kerf, sawing.rule
    gaps = np.array(
        [
            [
                joint_gap(right, left, width=width, kerf=kerf, rule=rule, may_trim_loose=loose)
                for left in lefts
            ]
            for right, loose in rights
        ]
    ).reshape(len(rights), len(lefts))
    starts = np.array([start_cost(left, width=width, kerf=kerf, rule=rule) for left in lefts])
    finishes = np.array(
        [
            finish_cost(
                right,
                width=width,
                kerf=kerf,
                rule=rule,
                holding=sawing.holding,
                may_trim_loose=loose,
            )
            for right, loose in rights
        ]
    )
    return Joints(
        tuple(pieces),
        sawing,
        tuple(lies),
        gaps,
        starts,
        finishes,
        gaps.min(axis=0, initial=np.inf) / 2 if rights else starts,
        gaps.min(axis=1, initial=np.inf) / 2 if lefts else finishes,
        tuple(lefts),
        tuple(right for right, _ in rights),
    )


def find_chain(joints: Joints) -> Chain | None:
    """Find a way to lay every piece, whatever is on the stick, that wastes nothing at joints.

    Square pieces, parallelograms of one hand, isosceles trapezoids and
    any of the last two together, all of one angle, form such a chain: parallelograms first,
    trapezoids turned end for end after each other. A job with a chain is a plain cutting stock
    problem.
    """
    spare = joints.gaps - joints.left_pads[None, :] - joints.right_pads[:, None]
    clean = spare <= ON_THE_LINE
    starts = joints.starts - joints.left_pads
    finishes = joints.finishes - joints.right_pads
    opening = np.flatnonzero(starts <= starts.min(initial=np.inf) + ON_THE_LINE)
    closing = finishes <= finishes.min(initial=np.inf) + ON_THE_LINE
    for first in opening.tolist():
        for second in opening.tolist():
            chain = _chain_between(joints, clean, closing, first, second)
            if chain is not None:
                return chain
    return None


def _chain_between(
    joints: Joints, clean: NDArray[np.bool_], closing: NDArray[np.bool_], first: int, second: int
) -> Chain | None:
    """Lay every piece between cuts that suit two left ends, or say that it cannot be done."""
    least = joints.weights() + ON_THE_LINE
    keepers: list[tuple[int, Lie]] = []
    togglers: list[tuple[int, Lie, Lie]] = []
    for i, lies in enumerate(joints.lies):
        usable = [lie for lie in lies if closing[lie.right] and joints.weight(i, lie) <= least[i]]
        stay = [lie for lie in usable if lie.left == first and clean[lie.right, first]]
        out = [lie for lie in usable if lie.left == first and clean[lie.right, second]]
        back = [lie for lie in usable if lie.left == second and clean[lie.right, first]]
        if stay:
            keepers.append((i, stay[0]))
        elif out and back:
            togglers.append((i, out[0], back[0]))
        else:
            return None
    return Chain(tuple(keepers), tuple(togglers))
