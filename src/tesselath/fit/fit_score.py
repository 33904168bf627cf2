"""Score: how good a layout is, by what a maker looks at.

Comes in: a design. Goes out: what its pieces come to, and the order of two such scores. Refuses:
what cannot be laid.

The order has no weights. First the limits: nothing under half a strip thick or with less than a
strip on the fence; then never thinner, in strips, than the design as given; then equal margins,
few parts, little waste, and nearness to what the maker wished.

A piece is measured against its own whole strip, so that a slim band is no sliver::

     ______________________
    |                ______|   thin:  least width of what is left / of the whole strip
    |_______________/          short: edge on the fence / width of the strip
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tesselath.design import Design
from tesselath.field import Fragment, LaidZone, Piece, field_outline, lay_zones, opening_outline
from tesselath.measure import ALIKE, cosine, sine
from tesselath.parts import Part, is_listed
from tesselath.shape import Outline, area, thickness
from tesselath.work import deal_and_group, number_laid

__all__ = [
    "LEAST_SHORT",
    "LEAST_THIN",
    "Layout",
    "Rank",
    "Score",
    "keeps_limits",
    "lay_out",
    "on_fence",
    "rank_score",
    "score_design",
]

#: Nothing thinner than this share of its strip, nothing with less on the fence than so many
#: widths of the strip; common practice.
LEAST_THIN, LEAST_SHORT = 0.5, 1.0

#: A layout may miss a limit by so much: a tip that a gap, or the rounding of a width, takes off.
_SLACK = 0.05
#: By less than this no layout is thinner than another.
_HAIR = 0.02


@dataclass(frozen=True, slots=True)
class Layout:
    """The pieces and parts of a design, without what they are cut from."""

    field: Outline
    zones: tuple[LaidZone, ...]
    pieces: tuple[Piece, ...]
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class Score:
    """What a maker looks at.

    ``thin`` is the thinnest piece of the field in shares of its own strip, ``short`` the least
    edge on the fence in widths of its strip; ``thinnest`` and ``shortest`` are the plan's own
    figures [mm]. ``alike`` tells for left and right, and for front and back, whether the margins
    carry the same pieces, or whole strips only. ``cut`` counts pieces of the field that its edge
    cuts; ``waste`` is the share of the stick's length and width that falls off; ``by_hand``
    counts parts to whose ends the saw cannot be set.
    """

    pieces: int
    parts: int
    thinnest: float
    shortest: float
    thin: float
    short: float
    alike: tuple[bool, bool]
    cut: int
    waste: float
    by_hand: int

    @property
    def holds(self) -> bool:
        """Whether it keeps both limits."""
        return keeps_limits(self.thin, self.short)


def keeps_limits(thin: float, short: float) -> bool:
    """Whether the thinnest and the shortest piece, in strips, keep the limits within a hair."""
    return thin >= LEAST_THIN - _SLACK and short >= LEAST_SHORT - _SLACK


#: Smaller is better.
Rank = tuple[float, ...]


def rank_score(score: Score, *, given: float, nearness: float) -> Rank:
    """Put a score into an order in which less is better."""
    missed = min(1.0, score.thin / LEAST_THIN, score.short / LEAST_SHORT)
    return (
        0.0 if score.holds else 1.0 - round(missed, 1),
        float(score.thin < min(given, 1.0) - _HAIR),
        float(score.by_hand > 0),
        float(-sum(score.alike)),
        float(score.parts),
        round(score.waste, 2),
        round(nearness, 3),
        # What grows by less than a tenth of a strip is no reason to change anything.
        -round(min(score.thin, 1.0), 1),
        -round(min(score.short, 1.0), 1),
    )


def lay_out(design: Design) -> Layout:
    """Lay a design as far as its parts.

    Returns
    -------
    Layout
        The zones, the pieces and the parts, as the plan will have them.

    Raises
    ------
    DesignError, PatternError
        If it cannot be laid.
    """
    field = field_outline(design, opening_outline(design), design.order)
    zones = lay_zones(design, field)
    pieces, parts, _ = deal_and_group(design, number_laid(design, zones))
    return Layout(field, zones, pieces, parts)


def score_design(design: Design) -> Score:
    """Score a design by the pieces it comes to."""
    layout = lay_out(design)
    zone = next(zone for zone in layout.zones if zone.name == "field")
    wholes: dict[tuple[float, ...], tuple[float, float]] = {}
    shares = [_shares(fragment, wholes) for fragment in zone.fragments]
    used = sum(p.overall * p.stick_width * p.count for p in layout.parts)
    wood = sum(area(part.shape) * part.count for part in layout.parts)
    thin = [thickness(piece.outline) for piece in layout.pieces]
    return Score(
        pieces=len(layout.pieces),
        parts=len(layout.parts),
        thinnest=round(min(thin, default=0.0), 6),
        shortest=round(min((piece.edge for piece in layout.pieces), default=0.0), 6),
        thin=min((share for share, _ in shares), default=0.0),
        short=min((share for _, share in shares), default=0.0),
        alike=(_alike(zone, 0), _alike(zone, 1)),
        cut=sum(fragment.kin < 0 for fragment in zone.fragments),
        waste=max(0.0, 1.0 - wood / used) if used else 0.0,
        by_hand=sum(not _is_sawn(part, design) for part in layout.parts),
    )


def _is_sawn(part: Part, design: Design) -> bool:
    """Whether the saw can be set to the ends of a part."""
    return not part.too_steep and all(is_listed(mitre, design.saw) for mitre in part.mitres)


def _shares(
    fragment: Fragment, wholes: dict[tuple[float, ...], tuple[float, float]]
) -> tuple[float, float]:
    """How thin and how short a piece is beside its own whole strip."""
    if fragment.kin >= 0:
        return 1.0, 9.0
    key = (round(area(fragment.whole), 2), round(fragment.grain, 3), len(fragment.whole))
    if key not in wholes:
        wholes[key] = thickness(fragment.whole), on_fence(fragment.whole, fragment.grain)
    whole_thick, whole_edge = wholes[key]
    asked = min(fragment.strip_width or whole_thick, whole_edge)
    thin = thickness(fragment.outline) / whole_thick
    short = on_fence(fragment.outline, fragment.grain) / asked if asked > ALIKE else 9.0
    return min(thin, 1.0), short


def on_fence(outline: Outline, grain: float) -> float:
    """The longest side that runs along the grain [mm]."""
    c, s = cosine(grain), sine(grain)
    p = outline.tolist()
    ways = [(x - p[n - 1][0], y - p[n - 1][1]) for n, (x, y) in enumerate(p)]
    along = [abs(c * x + s * y) for x, y in ways if abs(c * y - s * x) <= ALIKE]
    return max(along, default=0.0)


def _alike(zone: LaidZone, axis: int) -> bool:
    """Whether two opposite margins carry the same pieces, in whatever order."""
    rim = zone.outline[:, axis]
    sides = []
    for end, sign in ((rim.min(), 1.0), (rim.max(), -1.0)):
        margin = [
            fragment
            for fragment in zone.fragments
            if np.min(sign * (fragment.outline[:, axis] - end)) <= ALIKE
        ]
        sides.append(margin)
    if all(fragment.kin >= 0 for margin in sides for fragment in margin):
        return True  # whole strips at both edges, whichever way they lie
    one, other = (_measured([fragment.outline for fragment in margin]) for margin in sides)
    return one.shape == other.shape and bool(np.all(np.abs(one - other) <= 20 * ALIKE))


def _measured(outlines: Sequence[Outline]) -> NDArray[np.float64]:
    """Measure outlines so that equal heaps of them give equal rows, whichever way they lie."""
    return np.array([sorted(map(thickness, outlines)), sorted(area(o) ** 0.5 for o in outlines)])
