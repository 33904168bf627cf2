"""Out of square: the four corners of an opening from its measured sides and diagonals.

Comes in: the readings of four sides and one diagonal or both. Goes out: the corners in the axes of
the whole program, what each measure comes to, and how far the readings miss each other. Refuses:
readings of which no opening can be made, with their numbers::

      D____c_____C
      |  .    .  |      five readings fix the corners; the sixth is one too many:
     d|    .     |b     least squares evens it out, and what is left over tells that a
      |  .    .  |      reading is wrong, never which
      A____a_____B

The origin is the mean of the corners, where the two lines through opposite mid-points cross.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import acos, atan2, cos, hypot, sin

import numpy as np
from numpy.typing import NDArray

from tesselath.errors import MeasureError
from tesselath.measure import ALIKE, SLACK
from tesselath.shape.outlines import Outline, area, as_outline

__all__ = [
    "DIAGONALS",
    "SIDES",
    "MeasuredOpening",
    "cannot_close",
    "other_diagonal",
    "solve_opening",
]

SIDES = ("front", "right", "back", "left")
DIAGONALS = ("front_left_to_back_right", "front_right_to_back_left")

#: The corners that each measure joins: 0 front left, and on counter-clockwise.
_ENDS = {
    "front": (0, 1),
    "right": (1, 2),
    "back": (2, 3),
    "left": (3, 0),
    "front_left_to_back_right": (0, 2),
    "front_right_to_back_left": (1, 3),
}

#: Readings that miss each other by more than this share of the diagonal are not of one opening:
#: half an inch in two feet, own choice.
_MOST_MISFIT = 0.02

_MOST_STEPS = 50

_Show = Callable[[float], str]


@dataclass(frozen=True, slots=True)
class MeasuredOpening:
    """An opening as it comes out of its readings.

    ``corners`` (4, 2) begin at the front left, counter-clockwise [mm]. ``fitted`` is what each
    side and diagonal comes to [mm]. ``misclosure`` is how far six readings miss each other,
    shared out over all of them [mm]; ``off`` is by how much the second diagonal reads more than
    the sides and the first one ask for [mm]. Both are None with one diagonal: nothing checks it.
    """

    corners: Outline
    fitted: Mapping[str, float]
    misclosure: float | None
    off: float | None


def solve_opening(read: Mapping[str, float], *, axis: str = "centre line") -> MeasuredOpening:
    """Find the corners of an opening from the readings of the tape.

    Parameters
    ----------
    read : mapping of str to float
        The readings by name: four sides, and one diagonal or both [mm].
    axis : {"centre line", "front edge"}
        What lies along the x axis (or, of an opening deeper than wide, the y axis): the line
        through the mid-points of the two short sides, or the front edge.

    Raises
    ------
    ValueError
        If no opening has these measures; see `cannot_close`.

    Notes
    -----
    With one diagonal the corners are exact. With both, Gauss and Newton's steps from the mean of
    the two exact shapes find the least sum of squares. Source: cosine rule; own derivation.

    Examples
    --------
    >>> read = {"front": 4.0, "right": 3.0, "back": 4.0, "left": 3.0,
    ...         "front_left_to_back_right": 5.0}
    >>> solve_opening(read).corners.round(9).tolist()
    [[-2.0, -1.5], [2.0, -1.5], [2.0, 1.5], [-2.0, 1.5]]
    """
    shapes = [_by_diagonal(read, key) for key in DIAGONALS if key in read]
    if any(shape is None or not _bulges(shape) for shape in shapes):
        raise MeasureError("No opening has these measures.")
    corners = np.mean([shape for shape in shapes if shape is not None], axis=0)
    misclosure = off = None
    if len(shapes) == 2:
        corners, misclosure = _evened_out(corners, read)
        off = read[DIAGONALS[1]] - other_diagonal(read, DIAGONALS[0])
    corners = _in_axes(corners, axis)
    return MeasuredOpening(as_outline(corners), _measures(corners), misclosure, off)


def cannot_close(read: Mapping[str, float], *, show: _Show) -> tuple[str, str] | None:
    """Say why no opening has these measures.

    Source: triangle inequality.

    Parameters
    ----------
    read : mapping of str to float
        The readings by name [mm].
    show : callable
        How a length is printed.

    Returns
    -------
    (str, str) or None
        The name of the reading that the sentence is about, and the sentence; None if it closes.

    Examples
    --------
    >>> read = {"front": 54.0, "right": 20.0, "back": 54.0, "left": 20.0,
    ...         "front_left_to_back_right": 75.0}
    >>> cannot_close(read, show=lambda mm: f"{mm:g} in")[1]
    'Front 54 in and right 20 in come to 74 in; this diagonal, 75 in, must be shorter than that.'
    """
    for key in (key for key in DIAGONALS if key in read):
        diagonal = read[key]
        for one, two in _triangles(key):
            a, b = read[one], read[two]
            if a + b <= diagonal + SLACK:
                return key, (
                    f"{one.capitalize()} {show(a)} and {two} {show(b)} come to {show(a + b)}; this "
                    f"diagonal, {show(diagonal)}, must be shorter than that."
                )
            if abs(a - b) >= diagonal - SLACK:
                return key, (
                    f"{one.capitalize()} {show(a)} and {two} {show(b)} differ by "
                    f"{show(abs(a - b))}; this diagonal, {show(diagonal)}, must be longer than "
                    "that."
                )
        shape = _by_diagonal(read, key)
        if shape is None or not _bulges(shape):
            sides = ", ".join(f"{name} {show(read[name])}" for name in SIDES)
            return key, (
                f"With {sides} and this diagonal, {show(diagonal)}, a corner points inward."
            )
    if len(DIAGONALS) == sum(key in read for key in DIAGONALS):
        wanted = other_diagonal(read, DIAGONALS[0])
        second = read[DIAGONALS[1]]
        if abs(second - wanted) > _MOST_MISFIT * wanted:
            return DIAGONALS[1], (
                f"With the four sides and the other diagonal, {show(read[DIAGONALS[0]])}, this one "
                f"comes to {show(wanted)}, and it reads {show(second)}."
            )
    return None


def other_diagonal(read: Mapping[str, float], key: str) -> float:
    """Tell what the other diagonal must read, from the sides and one of them [mm]."""
    shape = _by_diagonal(read, key)
    if shape is None:
        raise MeasureError("No opening has these measures.")
    one, two = _ENDS[DIAGONALS[1 - DIAGONALS.index(key)]]
    return float(hypot(*(shape[two] - shape[one])))


def _triangles(key: str) -> tuple[tuple[str, str], tuple[str, str]]:
    """The two pairs of sides that close a triangle with a diagonal."""
    a, b, c, d = SIDES
    return ((a, b), (c, d)) if key == DIAGONALS[0] else ((a, d), (b, c))


def _by_diagonal(read: Mapping[str, float], key: str) -> NDArray[np.float64] | None:
    """The corners by the four sides and one diagonal, the front edge along x."""
    first = DIAGONALS.index(key)
    a, b, c, d = (read[SIDES[(n + first) % 4]] for n in range(4))
    at_ab = _angle(a, read[key], b)
    at_ad = _angle(read[key], d, c)
    if at_ab is None or at_ad is None:
        return None
    # Seen from the corner where the diagonal begins, which is the front left or the front right.
    far = (read[key] * cos(at_ab), read[key] * sin(at_ab))
    last = (d * cos(at_ab + at_ad), d * sin(at_ab + at_ad))
    corners = np.roll(np.array([(0.0, 0.0), (a, 0.0), far, last]), first, axis=0)
    return _front_level(corners)


def _angle(one: float, two: float, opposite: float) -> float | None:
    """The angle between two sides of a triangle [radians]; None where it does not close."""
    share = (one * one + two * two - opposite * opposite) / (2.0 * one * two)
    return acos(share) if -1.0 < share < 1.0 else None


def _front_level(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    return _turned_by(corners - corners[0], -atan2(*(corners[1] - corners[0])[::-1]))


def _turned_by(corners: NDArray[np.float64], angle: float) -> NDArray[np.float64]:
    c, s = cos(angle), sin(angle)
    turned: NDArray[np.float64] = corners @ np.array([(c, s), (-s, c)])
    return turned


def _bulges(corners: NDArray[np.float64]) -> bool:
    """Whether every corner turns to the left by more than a hair."""
    edge = np.roll(corners, -1, axis=0) - corners
    after = np.roll(edge, -1, axis=0)
    turn = edge[:, 0] * after[:, 1] - edge[:, 1] * after[:, 0]
    return area(corners) > 0 and bool(np.all(turn > ALIKE * np.hypot(*edge.T)))


def _measures(corners: NDArray[np.float64]) -> dict[str, float]:
    return {key: float(hypot(*(corners[two] - corners[one]))) for key, (one, two) in _ENDS.items()}


def _evened_out(
    corners: NDArray[np.float64], read: Mapping[str, float]
) -> tuple[NDArray[np.float64], float]:
    """Fit the corners to six readings; the misclosure is what they miss each other by [mm]."""
    wanted = np.array([read[key] for key in _ENDS])
    for _ in range(_MOST_STEPS):
        found, slopes = _lengths_and_slopes(corners)
        step = np.linalg.lstsq(slopes, wanted - found, rcond=SLACK)[0]
        corners = corners + step.reshape(4, 2)
        if float(np.abs(step).max()) < SLACK:
            break
    found, slopes = _lengths_and_slopes(corners)
    # Residuals have one direction only, square to all that moving the corners can do.
    direction = np.linalg.svd(slopes)[0][:, 5]
    direction = -direction if direction[4] > 0 else direction
    return corners, float(direction @ (wanted - found))


def _lengths_and_slopes(
    corners: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The six measures, and how each follows the eight coordinates of the corners."""
    slopes = np.zeros((6, 8))
    lengths = np.zeros(6)
    for n, (one, two) in enumerate(_ENDS.values()):
        way = corners[two] - corners[one]
        lengths[n] = hypot(*way)
        slopes[n, 2 * two : 2 * two + 2] = way / lengths[n]
        slopes[n, 2 * one : 2 * one + 2] = -way / lengths[n]
    return lengths, slopes


def _in_axes(corners: NDArray[np.float64], axis: str) -> NDArray[np.float64]:
    """Put the corners in the program's axes: one direction only is taken from the opening."""
    corners = corners - corners.mean(axis=0)
    front, right, back, left = (corners[n] + np.roll(corners, -1, axis=0)[n] for n in range(4))
    lengths = _measures(corners)
    if axis == "front edge":
        x, y = corners[1] - corners[0]
        angle = atan2(y, x)
    elif lengths["front"] + lengths["back"] >= lengths["right"] + lengths["left"] - ALIKE:
        x, y = right - left
        angle = atan2(y, x)
    else:
        x, y = back - front
        angle = -atan2(x, y)
    return _turned_by(corners, -angle)
