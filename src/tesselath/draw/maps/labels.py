"""Labels inside pieces: a part letter with a piece number, along the grain, as large as is neat.

Comes in: outlines with their grain and what is to be written on each. Goes out: for each the place
and size of its lettering, or None where even the least size does not fit; ``leaders`` finds a place
outside for those.

Number beside letter, or under it where the piece is short; never upside down::

     ________________        ______
    /               /       |  A   |        the box round the lettering, with a little air,
   /   A  17       /        |  17  |        lies wholly inside the piece
  /_______________/         |______|

A box of height h about the level y fits between the outline's crossings with the band from
y - h/2 to y + h/2. Many levels and all sizes of a series are tried at once, and pieces of one
shape and grain are worked out once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from tesselath.draw.paper import text_width
from tesselath.measure import ANGLE_ALIKE, cosine, reading_angle, sine
from tesselath.shape import Outline, centroid, is_convex, turned

__all__ = ["Label", "LabelSizes", "Wanted", "label_size", "place_labels"]

#: Shares of the letter's height: air round the lettering, and between letter and number.
_AIR, _BESIDE, _UNDER = 0.25, 0.45, 0.45
_LEVELS = np.linspace(0.0, 1.0, 13)
_STEPS = 24
#: Lettering is drawn at the size that this share of the pieces can hold, for an even look;
#: a piece that could hold far larger lettering gets this share of it.
_COMMON, _OF_LARGE = 0.3, 0.5
#: Outlines that agree to this many decimals of a mm hold the same lettering.
_DECIMALS = 2
#: Processors differ in the last digits. What lies on a limit is taken as within it, what is alike
#: as equal, and a half is rounded up, so that every machine places a label alike [mm].
_HAIR, _FINE = 1e-6, 6


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be written on a piece; ``number`` may be empty."""

    outline: Outline
    grain: float
    letter: str
    number: str


@dataclass(frozen=True, slots=True)
class LabelSizes:
    """The least and the greatest height of a letter, and the least of a number [mm]."""

    least: float = 2.5
    most: float = 4.0
    least_number: float = 2.0
    share: float = 0.625  # a number's height in letters

    def number(self, letter: float) -> float:
        """Give the height of a number beside a letter of that height [mm]."""
        return max(self.share * letter, min(self.least_number, letter))


@dataclass(frozen=True, slots=True)
class Label:
    """Lettering in its place: the middle of its box, its angle, and the sizes [mm], [degrees]."""

    at: tuple[float, float]
    angle: float
    letter: str
    number: str
    letter_cap: float
    number_cap: float
    under: bool  # the number stands under the letter, not beside it
    width: float
    height: float


def place_labels(wanted: Sequence[Wanted], *, sizes: LabelSizes) -> list[Label | None]:
    """Place the lettering of many pieces.

    Parameters
    ----------
    wanted : sequence of Wanted
        The pieces and what is written on them.
    sizes : LabelSizes
        How small and how large lettering may be [mm].

    Returns
    -------
    list of Label or None
        One a piece; None where not even the least size fits.

    Notes
    -----
    A rectangle spans a band of a shape when no side of the shape crosses
    the band within it.

    Examples
    --------
    >>> strip = np.array([(0.0, 0.0), (60.0, 0.0), (60.0, 10.0), (0.0, 10.0)])
    >>> label, = place_labels([Wanted(strip, 0.0, "A", "17")], sizes=LabelSizes())
    >>> label.at, round(label.letter_cap, 3), label.number_cap
    ((30.0, 5.0), 4.0, 2.5)
    """
    shapes = [_shape(one) for one in wanted]
    fits = [_largest(shape, sizes) for shape in shapes]
    held = sorted(fit for fit in fits if fit >= 0)
    common = held[int(_COMMON * len(held))] if held else -1
    series = _series(sizes)
    return [
        _place(one, shape, _size(fit, common, series), sizes) if fit >= 0 else None
        for one, shape, fit in zip(wanted, shapes, fits, strict=True)
    ]


def label_size(
    letter: str, number: str, cap: float, *, sizes: LabelSizes, under: bool = False
) -> tuple[float, float]:
    """Give the width and height of a label's box, with its air [mm]."""
    width, height = _box(letter, len(number), np.array([cap]), sizes, under)
    return float(width[0]), float(height[0])


@dataclass(frozen=True, slots=True)
class _Shape:
    """What decides a label's place, from the outline's first corner: hashable."""

    corners: tuple[tuple[float, float], ...]
    angle: float
    letter: str
    digits: int


def _shape(wanted: Wanted) -> _Shape:
    corners = np.round(wanted.outline - wanted.outline[0] + _HAIR, _DECIMALS) + 0.0
    angle = round(reading_angle(wanted.grain), 3)
    return _Shape(tuple(map(tuple, corners.tolist())), angle, wanted.letter, len(wanted.number))


def _size(fit: int, common: int, series: NDArray[np.float64]) -> int:
    """Give the size at which a piece is lettered that could hold ``fit``."""
    share = int(np.searchsorted(series, _OF_LARGE * series[fit], side="right")) - 1
    return max(min(fit, common), share)


def _place(wanted: Wanted, shape: _Shape, size: int, sizes: LabelSizes) -> Label:
    cap = float(_series(sizes)[size])
    x, y, under = _middle(shape, size, sizes)
    width, height = label_size(wanted.letter, wanted.number, cap, sizes=sizes, under=under)
    c, s = cosine(shape.angle), sine(shape.angle)
    at = (
        float(wanted.outline[0, 0] + c * x - s * y),
        float(wanted.outline[0, 1] + s * x + c * y),
    )
    return Label(
        at, shape.angle, wanted.letter, wanted.number, cap, sizes.number(cap), under, width, height
    )


@lru_cache(maxsize=64)
def _series(sizes: LabelSizes) -> NDArray[np.float64]:
    return np.round(np.geomspace(sizes.least, max(sizes.most, sizes.least), _STEPS), _FINE)


def _box(
    letter: str, digits: int, cap: NDArray[np.float64], sizes: LabelSizes, under: bool
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Give widths and heights for many sizes; every digit counts as the widest one."""
    air = 2 * _AIR * cap
    wide = text_width(letter, 1.0, 600) * cap
    if digits == 0:
        return wide + air, cap + air
    number = np.array([sizes.number(float(one)) for one in cap])
    counted = digits * text_width("0", 1.0) * number
    if under:
        return np.maximum(wide, counted) + air, cap + _UNDER * cap + number + air
    return wide + _BESIDE * cap + counted + air, cap + air


@lru_cache(maxsize=65536)
def _fits(shape: _Shape, sizes: LabelSizes) -> tuple[NDArray[np.bool_], NDArray[np.float64]]:
    """Try both arrangements, all sizes and levels: whether the box fits, and the best middle."""
    # Turned back: lettering lies level.
    corners = np.round(turned(np.array(shape.corners), -shape.angle), _FINE)
    series = _series(sizes)
    boxes = [_box(shape.letter, shape.digits, series, sizes, under) for under in (False, True)]
    widths = np.stack([width for width, _ in boxes])[..., None]
    heights = np.stack([height for _, height in boxes])[..., None]
    low, high = corners[:, 1].min(), corners[:, 1].max()
    levels = low + heights / 2 + (high - low - heights) * _LEVELS
    wish = np.array(centroid(corners))
    half = heights / 2 - _HAIR
    left, right = _free_span(corners, levels - half, levels + half, wish[0])
    fits = (right - left >= widths - _HAIR) & (heights <= high - low + _HAIR)
    x = np.clip(wish[0], left + widths / 2, np.maximum(right - widths / 2, left + widths / 2))
    away = np.where(fits, np.round(np.hypot(x - wish[0], levels - wish[1]), _FINE), np.inf)
    best = away.argmin(axis=-1)[..., None]
    middles = np.concatenate(
        [np.take_along_axis(x, best, -1), np.take_along_axis(levels, best, -1)], axis=-1
    )
    return fits.any(axis=-1), middles


def _largest(shape: _Shape, sizes: LabelSizes) -> int:
    """Give the greatest size of the series that fits, in either arrangement; -1 for none."""
    fits, _ = _fits(shape, sizes)
    sizes_that_fit = np.flatnonzero(fits.any(axis=0))
    return int(sizes_that_fit[-1]) if len(sizes_that_fit) else -1


def _middle(shape: _Shape, size: int, sizes: LabelSizes) -> tuple[float, float, bool]:
    """Give the middle of a box that fits; the number beside the letter wherever it can be."""
    fits, middles = _fits(shape, sizes)
    under = 0 if fits[0, size] else 1
    x, y = middles[under, size]
    return float(x), float(y), bool(under)


def _free_span(
    corners: NDArray[np.float64],
    bottom: NDArray[np.float64],
    top: NDArray[np.float64],
    wish: float,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Give the span inside the shape that no side crosses, for bands of many heights."""
    if is_convex(corners):
        left, right = _crossings(corners, bottom)
        upper_left, upper_right = _crossings(corners, top)
        return np.maximum(left, upper_left), np.minimum(right, upper_right)
    spans = [
        _widest_gap(corners, low, high, wish)
        for low, high in zip(bottom.ravel(), top.ravel(), strict=True)
    ]
    both = np.array(spans).reshape(*bottom.shape, 2)
    return both[..., 0], both[..., 1]


def _crossings(
    corners: NDArray[np.float64], levels: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Give where level lines enter and leave a convex shape; an empty span where they miss it."""
    (x1, y1), (x2, y2) = corners.T, np.roll(corners, -1, axis=0).T
    rise = np.where(y1 == y2, 1.0, y2 - y1)
    level = levels[..., None]
    meets = (np.minimum(y1, y2) <= level) & (level <= np.maximum(y1, y2)) & (y1 != y2)
    x = x1 + (level - y1) / rise * (x2 - x1)
    return (
        np.where(meets, x, np.inf).min(axis=-1, initial=np.inf),
        np.where(meets, x, -np.inf).max(axis=-1, initial=-np.inf),
    )


def _widest_gap(
    corners: NDArray[np.float64], bottom: float, top: float, wish: float
) -> tuple[float, float]:
    """Give the widest span of a band within any shape; of two alike the one nearer the wish."""
    (x1, y1), (x2, y2) = corners.T, np.roll(corners, -1, axis=0).T
    rise = np.where(y1 == y2, 1.0, y2 - y1)
    enters = np.clip((bottom - y1) / rise, 0.0, 1.0)
    leaves = np.clip((top - y1) / rise, 0.0, 1.0)
    flat = y1 == y2
    enters, leaves = np.where(flat, 0.0, enters), np.where(flat, 1.0, leaves)
    meets = (np.minimum(y1, y2) < top) & (np.maximum(y1, y2) > bottom)
    ends = np.sort(np.stack([x1 + enters * (x2 - x1), x1 + leaves * (x2 - x1)])[:, meets], axis=0)
    order = np.argsort(ends[0], kind="stable")
    starts, stops = ends[0, order], np.maximum.accumulate(ends[1, order])
    level = (bottom + top) / 2
    best = (np.inf, -np.inf)
    for left, right in zip(stops[:-1].tolist(), starts[1:].tolist(), strict=True):
        crossed = ((y1 > level) != (y2 > level)) & (
            x1 + (level - y1) / rise * (x2 - x1) < (left + right) / 2
        )
        if right <= left or np.count_nonzero(crossed) % 2 == 0:
            continue
        nearer = abs((left + right) / 2 - wish) < abs((best[0] + best[1]) / 2 - wish)
        wider = right - left - (best[1] - best[0])
        if best[1] < best[0] or wider > ANGLE_ALIKE or (wider > -ANGLE_ALIKE and nearer):
            best = (left, right)
    return best
