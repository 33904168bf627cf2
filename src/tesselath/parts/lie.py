"""How a piece lies at the saw: its straight cuts, its edge on the fence, its end at the stop.

Comes in: an outline with its grain. Goes out: the outline as it lies at the saw, with its cuts.
What cannot be sawn straight through comes out with notches.

Always the same picture: fence above, show face up, stick from the right, stop at the left::

    ====================== fence ======================
    |stop   \\_______edge_______\\......... stick .......
             \\                  \\
              \\__________________\\        a mitre m: x = x_mid + y tan(m), y towards the fence

The longest edge lies on the fence. At the end that meets the stop the corner on the fence is the
foremost one, so that the stop reads the edge itself; where that cannot be, because only one face
may show, the stop goes to the other side.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees, inf

import numpy as np
import shapely
from numpy.typing import NDArray

from tesselath.field import Cut
from tesselath.measure import ALIKE, ANGLE_ALIKE, ON_THE_LINE, cosine, tangent
from tesselath.shape import Outline, area, as_outline, is_convex, turned

__all__ = ["Lying", "lie_at_saw"]


#: What the grid of an overlay may turn a short end by [degrees].
_NOISE = 1e-5


@dataclass(frozen=True, slots=True)
class Lying:
    """A piece as it lies at the saw.

    ``shape`` (n, 2): x along the fence from the stop end's mid-line crossing, y towards the
    fence from the mid-line [mm]. ``edge`` is the side on the fence, ``other`` the one towards
    the maker, 0 where there is a point [mm]. ``longest`` is the longest side along the grain.
    """

    shape: NDArray[np.float64]
    width: float
    overall: float
    edge: float
    other: float
    longest: float
    mitres: tuple[float, float]
    cuts: tuple[Cut, ...]
    stop_side: str
    #: What the stop is set to: from cut to cut along the fence, as the two end cuts leave it [mm].
    on_fence: float
    #: How much the deepest corner cut takes off what the two end cuts leave; endless for a
    #: notch, 0 when two cuts make the piece [mm].
    deepest_corner: float


def lie_at_saw(outline: Outline, grain: float, *, faces: str, stop_side: str) -> Lying:
    """Lay a piece at the saw.

    A piece may always be turned end for end; that never changes its hand. Source: common
    practice; own derivation.

    >>> import numpy as np
    >>> slash = np.array([(0, 0), (100, 0), (120, 20), (20, 20)], dtype=float)
    >>> lie_at_saw(slash, 0.0, faces="both", stop_side="left").mitres
    (-45.0, -45.0)
    >>> lie_at_saw(slash, 0.0, faces="one", stop_side="left").stop_side
    'right'
    """
    flat = np.asarray(turned(outline, -grain))
    middle = (flat.min(axis=0) + flat.max(axis=0)) / 2
    flat = flat - middle
    ways = [flat, -flat]
    if faces == "both":
        ways += [(flat * (1, -1))[::-1], (flat * (-1, 1))[::-1]]
    choices = [_Way(way) for way in ways]
    sides = [stop_side] if faces == "both" else [stop_side, _other_side(stop_side)]
    ranked = []
    for n, side in enumerate(sides):
        for i, choice in enumerate(choices):
            must, wish = choice.rank(side)
            # The stop stays where the maker has it unless no way suits that side.
            ranked.append((must, n, wish, i))
    _, n, _, i = min(ranked)
    return choices[i].lying(sides[n])


def _other_side(side: str) -> str:
    return "right" if side == "left" else "left"


class _Way:
    """One way of putting the piece down, with its ends read off."""

    def __init__(self, points: NDArray[np.float64]) -> None:
        self.points = points
        hull = points
        if not is_convex(points):
            coordinates = shapely.get_coordinates(shapely.convex_hull(shapely.Polygon(points)))
            hull = np.array(coordinates)[:-1]
            hull = hull if area(hull) > 0 else hull[::-1]
        self.hull = hull
        low, high = hull[:, 1].min(), hull[:, 1].max()
        self.middle = (low + high) / 2
        n = len(hull)
        bottom = [i for i in range(n) if hull[i, 1] <= low + ALIKE]
        top = [i for i in range(n) if hull[i, 1] >= high - ALIKE]
        # Counter-clockwise, the bottom runs to the right and the top to the left.
        b_right, t_right = max(bottom, key=lambda i: hull[i, 0]), max(top, key=lambda i: hull[i, 0])
        b_left, t_left = min(bottom, key=lambda i: hull[i, 0]), min(top, key=lambda i: hull[i, 0])
        self.edge = float(hull[t_right, 0] - hull[t_left, 0])
        self.other = float(hull[b_right, 0] - hull[b_left, 0])
        self.ends = {
            "left": self._end([(i, (i + 1) % n) for i in _walk(t_left, b_left, n)]),
            "right": self._end([(i, (i + 1) % n) for i in _walk(b_right, t_right, n)]),
        }
        self.mitres = (self.ends["left"][0][0], self.ends["right"][0][0])

    def _end(self, edges: list[tuple[int, int]]) -> list[tuple[float, float]]:
        """Give (mitre, x on the mid-line) of each cut of an end, the main cut first."""
        lines = []
        for i, j in edges:
            (x0, y0), (x1, y1) = self.hull[i], self.hull[j]
            if y1 < y0:
                x0, y0, x1, y1 = x1, y1, x0, y0
            mitre = _snapped(degrees(atan2(x1 - x0, y1 - y0)))
            share = (self.middle - y0) / (y1 - y0) if y1 > y0 else 0.5
            lines.append((y1 - y0, mitre, float(x0 + share * (x1 - x0)), (y0 + y1) / 2))
        main = max(lines, key=lambda line: (round(line[0], 4), -abs(line[1])))
        rest = sorted((line for line in lines if line is not main), key=lambda line: line[3])
        return [(line[1], line[2]) for line in [main, *rest]]

    def rank(self, stop_side: str) -> tuple[tuple[bool, bool], list[object]]:
        """Order the ways, the best is the least: what must be, then what is wished for."""
        left, right = self.mitres
        at_stop, at_blade = (left, right) if stop_side == "left" else (-right, -left)
        corners = len(self.ends[stop_side]) - 1
        longer_on_fence = round(self.other - self.edge, 3) <= ALIKE
        foremost_on_fence = at_stop <= ANGLE_ALIKE
        wishes: list[object] = [
            corners,  # corner cuts away from the stop
            round(abs(at_stop), 3),  # the squarer end at the stop
            round(-at_blade, 3),
            [[round(float(v), 2) + 0.0 for v in xy] for xy in self._from_least()],
        ]
        return (not longer_on_fence, not foremost_on_fence), wishes

    def _from_least(self) -> NDArray[np.float64]:
        start = min(range(len(self.points)), key=lambda i: tuple(np.round(self.points[i], 2)))
        return np.roll(self.points, -start, axis=0)

    def lying(self, stop_side: str) -> Lying:
        """Put the piece down this way."""
        zero = self.ends["left"][0][1]
        origin = np.array([zero, self.middle])
        cuts = [
            Cut("end" if k == 0 else "corner", side, mitre, at - zero + 0.0)
            for side in ("left", "right")
            for k, (mitre, at) in enumerate(self.ends[side])
        ]
        cuts += _notches(self.points - origin, self.hull - origin)
        x = self.points[:, 0]
        return Lying(
            shape=as_outline(self.points - origin),
            width=float(np.ptp(self.hull[:, 1])),
            overall=float(np.ptp(x)),
            edge=self.edge,
            other=self.other,
            longest=_longest_along(self.points),
            mitres=self.mitres,
            cuts=tuple(cuts),
            stop_side=stop_side,
            on_fence=self._between_cuts(),
            deepest_corner=self._deepest_corner(cuts),
        )

    def _between_cuts(self) -> float:
        half = float(np.ptp(self.hull[:, 1])) / 2
        (left, x0), (right, x1) = self.ends["left"][0], self.ends["right"][0]
        return x1 - x0 + half * (tangent(right) - tangent(left))

    def _deepest_corner(self, cuts: list[Cut]) -> float:
        """How far the piece stays behind the corners of the strip that its end cuts leave."""
        if any(cut.op == "notch" for cut in cuts):
            return inf
        deepest = 0.0
        half = float(np.ptp(self.hull[:, 1])) / 2
        for side in ("left", "right"):
            main, *rest = self.ends[side]
            for mitre, at in rest:
                # The lines meet at the height where both have the same x.
                lean = tangent(main[0]) - tangent(mitre)
                meet = (at - main[1]) / lean if abs(lean) > ON_THE_LINE else half
                corner = half if meet > 0 else -half
                apart = abs(at - main[1] - lean * corner) * cosine(mitre)
                deepest = max(deepest, apart)
        return deepest


def _snapped(mitre: float) -> float:
    """A mitre that is a whole or a half degree but for the noise of the overlay is just that."""
    plain = round(2 * mitre) / 2
    return (plain if abs(mitre - plain) < _NOISE else mitre) + 0.0


def _walk(start: int, end: int, n: int) -> list[int]:
    """The corners from one to another, counter-clockwise, the last left out."""
    steps = []
    i = start
    while i != end:
        steps.append(i)
        i = (i + 1) % n
    return steps


def _longest_along(points: NDArray[np.float64]) -> float:
    """The longest side along the grain; 0 when there is none."""
    edge = np.roll(points, -1, axis=0) - points
    along = np.abs(edge[:, 1]) <= ALIKE
    return float(np.abs(edge[along, 0]).max(initial=0.0))


def _notches(points: NDArray[np.float64], hull: NDArray[np.float64]) -> list[Cut]:
    """What has to be sawn out of the hull of a piece with a dent."""
    if len(points) == len(hull):
        return []
    missing = shapely.difference(shapely.Polygon(hull), shapely.Polygon(points))
    notches = []
    for part in shapely.get_parts(missing):
        ring = np.array(shapely.get_coordinates(part))[:-1]
        if abs(area(ring)) <= ALIKE * ALIKE:
            continue
        side = "left" if ring[:, 0].mean() < points[:, 0].mean() else "right"
        corners = tuple((float(x), float(y)) for x, y in (ring if area(ring) > 0 else ring[::-1]))
        notches.append(Cut("notch", side, None, None, corners))
    return sorted(notches, key=lambda cut: cut.points)
