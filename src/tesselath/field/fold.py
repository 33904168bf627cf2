"""Folds: a field laid in one part and mirrored or turned into the others.

Comes in: the name of the mirror. Goes out: folds, each the part that is laid and how it is carried
to its place.

    left-right      front-back      four ways       quarters turned
      b | d             d            b | d             b | d
      q | p           -----          --+--             --+--      d carried by quarter turns
                        q            q | p             p | q

A mirror line is a joint like any other. Where pieces shall run through it, the twins on both sides
are joined, if together they are one straight strip.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from tesselath.field.clip import Fragment, shrink_cell
from tesselath.measure import ALIKE, ANGLE_ALIKE, SNAP_GRID, cosine, sine
from tesselath.shape import Line, Outline, area, as_outline, is_convex, tidy, turned

__all__ = ["Fold", "join_twins", "make_folds"]

_Matrix = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Fold:
    """One part of a mirrored field: the half-planes it is laid in, and how it is carried.

    ``matrix`` maps the laid part to its place, about ``centre`` [mm].
    """

    lines: tuple[Line, ...] = ()
    matrix: _Matrix = ((1.0, 0.0), (0.0, 1.0))
    centre: tuple[float, float] = (0.0, 0.0)

    @property
    def flips(self) -> bool:
        """Whether it turns what it carries into its mirror image."""
        (a, b), (c, d) = self.matrix
        return a * d - b * c < 0

    def points(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Carry points to their place."""
        carried: NDArray[np.float64] = (points - self.centre) @ np.array(self.matrix).T
        return carried + self.centre

    def back_points(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Carry points back to the part that is laid; the matrix is its own transpose's inverse."""
        carried: NDArray[np.float64] = (points - self.centre) @ np.array(self.matrix)
        return carried + self.centre

    def back(self, outline: Outline) -> Outline:
        """Carry an outline back, counter-clockwise again."""
        points = self.back_points(np.asarray(outline))
        return as_outline(points[::-1] if self.flips else points)

    def carry(self, fragment: Fragment, *, kin_offset: int) -> Fragment:
        """Carry a fragment to its place; what it is kin to is told apart from other folds."""
        kin = fragment.kin + kin_offset if fragment.kin >= 0 else -1
        if self.matrix == ((1.0, 0.0), (0.0, 1.0)):
            return replace(fragment, kin=kin)
        (a, _), (c, _) = self.matrix
        turn = float(np.degrees(np.arctan2(c, a)))
        grain = (turn - fragment.grain if self.flips else fragment.grain + turn) % 180.0
        upside_down = self.matrix[1][1] < 0 or (self.matrix[1][1] == 0 and c < 0)
        backward = a < 0
        return replace(
            fragment,
            outline=self.carry_outline(fragment.outline),
            whole=self.carry_outline(fragment.whole),
            cell=self.carry_outline(fragment.cell),
            grain=grain,
            kin=kin,
            row=-fragment.row if upside_down else fragment.row,
            along=-fragment.along if backward else fragment.along,
        )

    def carry_outline(self, outline: Outline) -> Outline:
        """Carry an outline to its place, counter-clockwise again."""
        points = self.points(np.asarray(outline))
        return as_outline(points[::-1] if self.flips else points)


def make_folds(mirror: str, centre: tuple[float, float]) -> tuple[Fold, ...]:
    """Give the parts of a mirrored field.

    Parameters
    ----------
    mirror : {"none", "left-right", "front-back", "four ways", "quarters turned"}
        How the field is mirrored.
    centre : tuple of float
        Where its lines cross [mm].

    Returns
    -------
    tuple of Fold
        The parts; the first is the one that is laid where it belongs.

    Examples
    --------
    >>> [fold.flips for fold in make_folds("four ways", (0.0, 0.0))]
    [False, True, True, False]
    """
    x, y = centre
    right, back = (-1.0, 0.0, -x), (0.0, -1.0, -y)
    one: _Matrix = ((1.0, 0.0), (0.0, 1.0))
    across: _Matrix = ((-1.0, 0.0), (0.0, 1.0))
    away: _Matrix = ((1.0, 0.0), (0.0, -1.0))
    turns: list[_Matrix] = [
        ((cosine(t), -sine(t)), (sine(t), cosine(t))) for t in (0.0, 90.0, 180.0, 270.0)
    ]
    lines, matrices = {
        "none": ((), [one]),
        "left-right": ((right,), [one, across]),
        "front-back": ((back,), [one, away]),
        "four ways": ((right, back), [one, across, away, turns[2]]),
        "quarters turned": ((right, back), turns),
    }[mirror]
    return tuple(Fold(lines, matrix, centre) for matrix in matrices)


def join_twins(
    fragments: Sequence[Fragment], folds: Sequence[Fold], *, gap: float
) -> list[Fragment]:
    """Join the twins on both sides of a mirror line that together are one straight strip.

    Two are joined when they have the same tone and grain, share an edge on the line, and their
    union bulges everywhere and is no wider than their strip.
    """
    joined = list(fragments)
    for nx, ny, c in folds[0].lines:
        joined = _join_across(joined, (nx, ny, c), gap)
    return joined


def _join_across(fragments: list[Fragment], line: Line, gap: float) -> list[Fragment]:
    nx, ny, c = line
    edges: dict[tuple[int, int], list[int]] = {}
    for n, fragment in enumerate(fragments):
        distance = fragment.cell @ np.array([nx, ny]) - c
        on_line = np.flatnonzero(np.abs(distance) <= ALIKE)
        if len(on_line) == 2:
            places = sorted(float(v) for v in fragment.cell[on_line] @ np.array([-ny, nx]))
            key = (round(places[0] / ALIKE / 4), round(places[1] / ALIKE / 4))
            edges.setdefault(key, []).append(n)
    gone: set[int] = set()
    result: dict[int, Fragment] = {}
    for pair in edges.values():
        if len(pair) != 2:
            continue
        one = _one_strip(fragments[pair[0]], fragments[pair[1]], gap)
        if one is not None:
            result[pair[0]] = one
            gone.add(pair[1])
    return [result.get(n, f) for n, f in enumerate(fragments) if n not in gone]


def _one_strip(a: Fragment, b: Fragment, gap: float) -> Fragment | None:
    """Two fragments as one piece, if they are one straight strip."""
    turn = abs(a.grain - b.grain) % 180.0
    if a.tone != b.tone or min(turn, 180.0 - turn) > ANGLE_ALIKE or a.strip_width is None:
        return None
    union = shapely.union(shapely.Polygon(a.cell), shapely.Polygon(b.cell), grid_size=SNAP_GRID)
    if not isinstance(union, shapely.Polygon) or len(union.interiors):
        return None
    ring = np.array(shapely.get_coordinates(union.exterior))[:-1]
    cell = tidy(as_outline(ring if area(ring) > 0 else ring[::-1]))
    across = float(np.ptp(np.asarray(turned(cell, -a.grain))[:, 1]))
    if not is_convex(cell) or across > a.strip_width + gap + ALIKE:
        return None
    parts = shrink_cell(cell, gap)
    if len(parts) != 1:
        return None
    # Both halves of the whole strip, and the gap between them.
    hull = shapely.convex_hull(shapely.union(shapely.Polygon(a.whole), shapely.Polygon(b.whole)))
    around = np.array(shapely.get_coordinates(hull))[:-1]
    whole = tidy(as_outline(around if area(around) > 0 else around[::-1]))
    return replace(a, outline=parts[0], whole=whole, cell=cell, kin=-1)
