"""Symmetry: which turns, mirrors and glides leave a pattern as it is.

Comes in: the outlines of one repeat and its two steps, with or without tones. Goes out: the
wallpaper group by its short name, the finest steps, and the moves themselves. Where nothing repeats
the answer is None.

The group is searched, not looked up. The finest steps come first (a repeat may hold itself
several times), then every way in which the net of the steps maps onto itself is tried with every
shift that carries one piece onto another::

      +----+----+----+        a shift of A onto B is kept if it carries every piece of
      | A ->  B |    |        the repeat onto a piece; then each turn or mirror of the net,
      +----+----+----+        with each such shift, in the same way

A one-tone drawing shows outlines only, so the grain does not count.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import atan2, degrees, hypot

import numpy as np
from numpy.typing import NDArray

from tesselath.errors import PatternError
from tesselath.field.repeat import find_repeat, reduce_steps
from tesselath.measure import ALIKE
from tesselath.pattern import Pattern
from tesselath.shape import Outline, area, as_point, centroid, tidy

__all__ = ["GROUP_WORDS", "Move", "Symmetry", "find_symmetry", "pattern_symmetry"]

#: What each group holds, in the words of the shop.
GROUP_WORDS: Mapping[str, str] = {
    "p1": "no turns and no mirrors",
    "p2": "half turns, no mirrors",
    "pm": "mirrors one way",
    "pg": "glides one way",
    "cm": "mirrors one way, with glides between them",
    "pmm": "mirrors both ways",
    "pmg": "mirrors one way, glides the other, and half turns",
    "pgg": "glides both ways and half turns, no mirrors",
    "cmm": "mirrors both ways, with glides between them",
    "p4": "quarter turns, no mirrors",
    "p4m": "quarter turns and mirrors four ways",
    "p4g": "quarter turns, and mirrors that pass them by",
    "p3": "third turns, no mirrors",
    "p3m1": "third turns, each on mirrors",
    "p31m": "third turns, some of them off the mirrors",
    "p6": "sixth turns, no mirrors",
    "p6m": "sixth turns and mirrors six ways",
}

#: More pieces than this in one repeat are not searched; the search grows with their square.
_MOST_PIECES = 600

Vector = NDArray[np.float64]
Steps = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Move:
    """A turn, mirror or glide: a point p goes to ``matrix`` p + ``shift`` [mm]."""

    matrix: tuple[tuple[float, float], tuple[float, float]]
    shift: tuple[float, float]

    @property
    def turn(self) -> float | None:
        """By how much it turns [degrees]; None for a mirror or a glide."""
        (a, _), (c, _) = self.matrix
        return None if self.flips else degrees(atan2(c, a)) % 360.0

    @property
    def flips(self) -> bool:
        """Whether it is a mirror or a glide."""
        (a, b), (c, d) = self.matrix
        return a * d - b * c < 0.0


@dataclass(frozen=True, slots=True)
class Symmetry:
    """What leaves a pattern as it is.

    ``group`` is the short name; ``steps`` the shortest pair of steps [mm]; ``pieces`` how many
    pieces lie in that repeat [count]; ``moves`` one move of each kind, whole steps left out.
    """

    group: str
    steps: Steps
    pieces: int
    moves: tuple[Move, ...]


def pattern_symmetry(
    pattern: Pattern, sizes: Mapping[str, float], *, tones: bool = False
) -> Symmetry | None:
    """Find the symmetry of a pattern at given sizes.

    Parameters
    ----------
    sizes : mapping of str to float
        The value of every name, as `settle_sizes` gives them.
    tones : bool
        Whether a piece may only go onto one of its own tone.

    Returns
    -------
    Symmetry or None
        None where nothing repeats, or the repeat is too large to search.

    Raises
    ------
    PatternError
        If the pattern cannot be laid at these sizes.
    """
    repeat = find_repeat(pattern, sizes, tones=tones)
    if repeat is None or not 0 < len(repeat.outlines) <= _MOST_PIECES:
        return None
    return find_symmetry(repeat.outlines, repeat.steps, labels=repeat.tones if tones else None)


def find_symmetry(
    outlines: Sequence[Outline], steps: Steps, *, labels: Sequence[object] | None = None
) -> Symmetry:
    """Find every turn, mirror and glide of a repeat, and name the group.

    Source: names and marks of the seventeen groups as in the International
    Tables for Crystallography, volume A (from memory).

    Parameters
    ----------
    outlines : sequence of array (n, 2)
        The pieces of one repeat [mm].
    steps : pair of (x, y)
        The two steps along which it repeats [mm].
    labels : sequence of object, optional
        What else has to agree, such as the tone; anything hashable.

    Returns
    -------
    Symmetry
        The group, the finest steps and the moves.

    Raises
    ------
    PatternError
        If the steps are zero or parallel, or there is no piece.

    Examples
    --------
    >>> from tesselath.shape import as_outline
    >>> brick = as_outline([(0, 0), (8, 0), (8, 2), (0, 2)])
    >>> find_symmetry([brick], ((8.0, 0.0), (0.0, 2.0))).group
    'pmm'
    >>> find_symmetry([brick], ((8.0, 0.0), (4.0, 2.0))).group
    'cmm'
    """
    if not len(outlines):
        raise PatternError("There is no piece whose symmetry could be found.")
    net = reduce_steps(np.array(steps, dtype=float))[0]
    pieces = _Pieces.gather(outlines, labels or [None] * len(outlines))
    net, pieces = _finest(pieces, net)
    moves = [
        (matrix, shift)
        for matrix in _net_moves(net)
        if (shift := _shift_for(pieces, net, matrix)) is not None
    ]
    return Symmetry(
        group=_name_group(moves, net),
        steps=(as_point(net[0]), as_point(net[1])),
        pieces=len(pieces.middles),
        moves=tuple(Move((as_point(m[0]), as_point(m[1])), as_point(s)) for m, s in moves),
    )


@dataclass(frozen=True, slots=True)
class _Pieces:
    """The pieces of a repeat: middles (m, 2), corners about the middle, and a class of each."""

    middles: Vector
    corners: tuple[Vector, ...]
    kinds: NDArray[np.int64]

    @classmethod
    def gather(cls, outlines: Sequence[Outline], labels: Sequence[object]) -> _Pieces:
        shapes = [tidy(outline) for outline in outlines]
        middles = np.array([centroid(shape) for shape in shapes])
        corners = tuple(np.asarray(s) - m for s, m in zip(shapes, middles, strict=True))
        areas = np.array([area(shape) for shape in shapes])
        rims = np.array([np.hypot(*(s - np.roll(s, 1, axis=0)).T).sum() for s in shapes])
        order = np.argsort(areas, kind="stable")
        alike = np.zeros(len(shapes), dtype=np.int64)
        alike[order[1:]] = np.cumsum(np.diff(areas[order]) > ALIKE * rims[order[1:]])
        classes: dict[tuple[object, int, int], int] = {}
        kinds = [
            classes.setdefault((label, len(c), int(n)), len(classes))
            for label, c, n in zip(labels, corners, alike, strict=True)
        ]
        return cls(middles, corners, np.array(kinds, dtype=np.int64))

    def keep(self, chosen: list[int]) -> _Pieces:
        return _Pieces(
            self.middles[chosen], tuple(self.corners[k] for k in chosen), self.kinds[chosen]
        )

    @property
    def rarest(self) -> NDArray[np.int64]:
        """The pieces of the class with the fewest members."""
        kinds, counts = np.unique(self.kinds, return_counts=True)
        return np.flatnonzero(self.kinds == kinds[np.argmin(counts)])


def _finest(pieces: _Pieces, net: Vector) -> tuple[Vector, _Pieces]:
    """Find the shortest steps under which the pieces repeat, and the pieces of that repeat."""
    first, *others = pieces.rarest
    shifts = [pieces.middles[k] - pieces.middles[first] for k in others]
    kept = [shift for shift in shifts if _carries(pieces, net, np.eye(2), shift)]
    if not kept:
        return net, pieces
    around = list(product((-1, 0, 1), repeat=2))
    inverse = np.linalg.inv(net)
    ways = [a * net[0] + b * net[1] for a, b in around if (a, b) != (0, 0)]
    for shift in kept:
        share = shift @ inverse
        near = (share - np.round(share)) @ net
        ways += [near + a * net[0] + b * net[1] for a, b in around]
    ways.sort(key=lambda way: (round(hypot(*way), 6), -round(way[0], 6), -round(way[1], 6)))
    one = next(way for way in ways if hypot(*way) > ALIKE)
    other = next(
        way for way in ways if abs(one[0] * way[1] - one[1] * way[0]) > ALIKE * hypot(*one)
    )
    finer = reduce_steps(np.array([one, other]))[0]
    chosen: list[int] = []
    for k in range(len(pieces.middles)):
        same = [c for c in chosen if pieces.kinds[c] == pieces.kinds[k]]
        if not any(_off_net(pieces.middles[k] - pieces.middles[c], finer) < ALIKE for c in same):
            chosen.append(k)
    return finer, pieces.keep(chosen)


def _off_net(way: Vector, net: Vector) -> float:
    """How far a way is from the nearest whole steps [mm]."""
    share = way @ np.linalg.inv(net)
    return float(np.hypot(*((share - np.round(share)) @ net)))


def _net_moves(net: Vector) -> list[Vector]:
    """List every turn and mirror that maps the net of the steps onto itself, the identity first."""
    found = []
    for entries in product((1, 0, -1), repeat=4):
        image = np.array(entries, dtype=float).reshape(2, 2) @ net
        lengths = np.abs(np.hypot(*image.T) - np.hypot(*net.T))
        lean = abs(float(image[0] @ image[1] - net[0] @ net[1])) / float(np.hypot(*net[1]))
        if max(*lengths, lean) < ALIKE:
            found.append(np.asarray(np.linalg.solve(net, image).T, dtype=np.float64))
    return sorted(
        found,
        key=lambda m: (float(np.round(np.abs(m - np.eye(2)).sum(), 6)), np.round(m, 6).tolist()),
    )


def _shift_for(pieces: _Pieces, net: Vector, matrix: Vector) -> Vector | None:
    """Find the shift with which a turn or mirror carries every piece onto a piece."""
    rarest = pieces.rarest
    start = matrix @ pieces.middles[rarest[0]]
    for k in rarest:
        shift: Vector = pieces.middles[k] - start
        if _carries(pieces, net, matrix, shift):
            return shift
    return None


def _carries(pieces: _Pieces, net: Vector, matrix: Vector, shift: Vector) -> bool:
    """Whether a move carries every piece onto one of its own class; the first few decide most."""
    count = len(pieces.middles)
    inverse = np.linalg.inv(net)
    for chosen in (slice(0, 4), slice(4, count)):
        images = pieces.middles[chosen] @ matrix.T + shift
        share = (images[:, None] - pieces.middles[None]) @ inverse
        off = (share - np.round(share)) @ net
        meets = (off**2).sum(axis=2) < ALIKE**2
        meets &= pieces.kinds[chosen][:, None] == pieces.kinds[None]
        if not meets.any(axis=1).all():
            return False
        for n, there in enumerate(meets):
            corners = pieces.corners[n + (chosen.start or 0)] @ matrix.T
            if not any(_same(corners, pieces.corners[k]) for k in np.flatnonzero(there)):
                return False
    return True


def _same(one: Vector, other: Vector) -> bool:
    """Whether two outlines about their middles have the same corners, walked either way round."""
    apart = np.hypot(*np.moveaxis(one[:, None] - other[None], 2, 0))
    if len(one) != len(other) or apart.min(axis=1).max() > ALIKE:
        return False
    walk = np.diff(apart.argmin(axis=1)) % len(one)
    return bool((walk == 1).all() or (walk == len(one) - 1).all())


def _name_group(moves: list[tuple[Vector, Vector]], net: Vector) -> str:
    """Name the group by its turns, mirrors and glides."""
    flips = [(m, s) for m, s in moves if m[0, 0] * m[1, 1] - m[0, 1] * m[1, 0] < 0]
    order = len(moves) - len(flips)
    if not flips:
        return f"p{order}"
    mirrors = [_has_mirror(m, s, net) for m, s in flips]
    if order == 1:
        return ("cm" if _has_glides_between(flips[0][0], net) else "pm") if mirrors[0] else "pg"
    if order == 2:
        if all(mirrors):
            return "cmm" if _has_glides_between(flips[0][0], net) else "pmm"
        return "pmg" if any(mirrors) else "pgg"
    if order == 3:
        # Mirrors along the shortest step leave some of the third turns aside.
        along = _axis(flips[0][0])
        ways = [net[0], net[1], net[1] - net[0], net[0] + net[1]]
        least = min(hypot(*way) for way in ways)
        shortest = [way for way in ways if hypot(*way) < least + ALIKE]
        lean = min(abs(float(along[0] * way[1] - along[1] * way[0])) for way in shortest)
        return "p31m" if lean < ALIKE else "p3m1"
    if order == 4:
        return "p4m" if all(mirrors) else "p4g"
    return "p6m"


def _axis(matrix: Vector) -> Vector:
    """The direction of the line in which a mirror matrix reflects."""
    half = np.arctan2(matrix[1, 0], matrix[0, 0]) / 2
    return np.array([np.cos(half), np.sin(half)])


def _has_mirror(matrix: Vector, shift: Vector, net: Vector) -> bool:
    """Whether some whole steps turn a glide into a mirror: nothing is left along its line."""
    along = _axis(matrix)
    share = shift @ np.linalg.inv(net)
    near = (share - np.round(share)) @ net
    return any(
        abs(float(along @ (near + a * net[0] + b * net[1]))) < ALIKE
        for a, b in product(range(-3, 4), repeat=2)
    )


def _has_glides_between(matrix: Vector, net: Vector) -> bool:
    """Whether a step's run along the mirror's line is no step: the net is a rhombus to it."""
    along = _axis(matrix)
    return any(_off_net(along * float(along @ step), net) > ALIKE for step in net)
