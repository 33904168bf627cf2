"""Congruence: which pieces are alike, however they are turned.

Comes in: outlines with their grain. Goes out: the class of each, and whether it is the mirror image
of its class.

Only lengths are compared (they share one level of noise; angles of short edges do not), and two
signs for each corner, which make dents and grain count. All lengths are sorted together and a new
number begins wherever the gap exceeds the tolerance, so that "alike" is transitive and does not
hang on the order of the pieces, as rounding of coordinates would.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tesselath.measure import ALIKE, cosine, sine
from tesselath.shape.outlines import Outline

__all__ = ["Kinds", "group_alike"]

#: A chain of lengths wider than this many tolerances is cut on a fixed grid, so that a dense
#: family of lengths does not run together into one.
_LONGEST_CHAIN = 50


@dataclass(frozen=True, slots=True)
class Kinds:
    """Classes of outlines.

    ``kind`` (m,) is the class of each outline, numbered in order of appearance; outlines that
    are mirror images of each other share a class. ``hand`` (m,) is 1 or -1 for the two hands
    of a class and 0 where an outline is its own mirror image.
    """

    kind: NDArray[np.int64]
    hand: NDArray[np.int64]


def group_alike(
    outlines: Sequence[Outline], grains: Sequence[float], labels: Sequence[object]
) -> Kinds:
    """Group outlines that are congruent, with the same grain and the same label.

    Source: single-linkage clustering of lengths with a cut-off.

    Parameters
    ----------
    outlines : sequence of array (n, 2)
        Simple outlines, counter-clockwise, tidied [mm].
    grains : sequence of float
        The direction of the grain of each, modulo 180 [degrees].
    labels : sequence of object
        What else has to agree, such as the wood; anything hashable.

    Returns
    -------
    Kinds
        The class and the hand of each outline.

    Raises
    ------
    ValueError
        If the sequences differ in length.

    Examples
    --------
    >>> import numpy as np
    >>> ell = np.array([(0, 0), (4, 0), (4, 1), (1, 3), (0, 3)], dtype=float)
    >>> mirrored = (ell * (-1, 1))[::-1]
    >>> kinds = group_alike([ell, mirrored, ell + 7], [0, 0, 0], ["oak"] * 3)
    >>> kinds.kind.tolist(), kinds.hand.tolist()
    ([0, 0, 0], [1, -1, 1])
    """
    if not len(outlines) == len(grains) == len(labels):
        raise ValueError("outlines, grains and labels must be equally many")
    measures = [_measures(o, g) for o, g in zip(outlines, grains, strict=True)]
    ids = _number_lengths([lengths for lengths, _ in measures])
    classes: dict[tuple[object, ...], int] = {}
    kind = np.zeros(len(outlines), dtype=np.int64)
    hand = np.zeros(len(outlines), dtype=np.int64)
    for n, (numbers, (_, signs)) in enumerate(zip(ids, measures, strict=True)):
        own = _least_turn(_words(numbers, signs))
        mirrored = _least_turn(_mirrored(numbers, signs))
        key = (min(own, mirrored), labels[n])
        kind[n] = classes.setdefault(key, len(classes))
        hand[n] = 0 if own == mirrored else 1 if own < mirrored else -1
    return Kinds(kind, hand)


def _measures(outline: Outline, grain: float) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Give three lengths and two signs a corner: edge, skip, run along the grain; turn, lean."""
    p = np.asarray(outline)
    edge = np.roll(p, -1, axis=0) - p
    skip = np.roll(p, -2, axis=0) - p
    along = edge @ np.array([cosine(grain), sine(grain)])
    across = edge @ np.array([-sine(grain), cosine(grain)])
    following = np.roll(edge, -1, axis=0)
    turn = edge[:, 0] * following[:, 1] - edge[:, 1] * following[:, 0]
    leaning = (np.abs(along) > 2 * ALIKE) & (np.abs(across) > 2 * ALIKE)
    lengths = np.column_stack((np.hypot(*edge.T), np.hypot(*skip.T), np.abs(along)))
    signs = np.column_stack((np.sign(turn), np.where(leaning, np.sign(along * across), 0.0)))
    return lengths, signs.astype(np.int64)


def _number_lengths(tables: list[NDArray[np.float64]]) -> list[NDArray[np.int64]]:
    """Number all lengths together; a new number where the next one is clearly longer."""
    if not tables:
        return []
    values = np.concatenate([t.ravel() for t in tables])
    order = np.argsort(values, kind="stable")
    ranked = values[order]
    starts = np.concatenate(([True], np.diff(ranked) > ALIKE))
    chain = np.cumsum(starts) - 1
    first = ranked[starts][chain]
    # Within an over-long chain, a fixed grid from its least value.
    widths = np.maximum.reduceat(ranked, np.flatnonzero(starts)) - ranked[starts]
    step = np.where((widths > _LONGEST_CHAIN * ALIKE)[chain], (ranked - first) // ALIKE, 0)
    numbers = np.empty(len(values), dtype=np.int64)
    changed = np.concatenate(([True], (np.diff(chain) > 0) | (np.diff(step) != 0)))
    numbers[order] = np.cumsum(changed) - 1
    splits = np.cumsum([t.size for t in tables])[:-1]
    return [
        part.reshape(table.shape)
        for part, table in zip(np.split(numbers, splits), tables, strict=True)
    ]


_Word = tuple[int, ...]


def _words(numbers: NDArray[np.int64], signs: NDArray[np.int64]) -> list[_Word]:
    return [(*n, *s) for n, s in zip(numbers.tolist(), signs.tolist(), strict=True)]


def _mirrored(numbers: NDArray[np.int64], signs: NDArray[np.int64]) -> list[_Word]:
    """The words of the mirror image, walked counter-clockwise again.

    Walking backwards, corner i begins the edge to corner i - 1, skips to i - 2, and turns at
    i - 1 as the edge before did.
    """
    n = len(numbers)
    return [
        (
            int(numbers[i - 1, 0]),
            int(numbers[i - 2, 1]),
            int(numbers[i - 1, 2]),
            int(signs[i - 2, 0]),
            -int(signs[i - 1, 1]),
        )
        for i in range(n - 1, -1, -1)
    ]


def _least_turn(words: list[_Word]) -> tuple[_Word, ...]:
    """The least of all rotations of a cyclic word."""
    n = len(words)
    best = tuple(words)
    least = min(words)
    for start in range(n):
        if words[start] == least:
            best = min(best, tuple(words[start:] + words[:start]))
    return best
