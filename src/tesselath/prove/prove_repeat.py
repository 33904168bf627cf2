"""The repeat, proved: its area against its steps, overlaps, and what stays bare.

Comes in: a pattern with the values of its names. Goes out: what is wrong, and how many points were
looked at. Refuses: steps that are zero or parallel, and repeats too large to look at.

If the strips of one repeat have exactly the area of the repeat, |v1 x v2|, and no strip lies on
any copy of another, they tile: what one copy does not cover, another does. Points picked by
chance are a second, independent look::

      v2 +-------+         every strip is first moved by whole steps so that its middle lies in
        /  P    /          one parallelogram P; only copies whose box meets that of these strips
       +-------+ v1        can lie on them
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from random import Random

import numpy as np
import shapely
from numpy.typing import NDArray

from tesselath.errors import Fault, PatternError
from tesselath.field import Item, cell_items, cell_steps, reduce_steps
from tesselath.measure import AREA_SHARE, SLACK, show_number
from tesselath.pattern import Pattern
from tesselath.prove.proof import TilingFault
from tesselath.shape import (
    HAIR,
    Outline,
    area,
    as_outline,
    as_polygons,
    bare_parts,
    centroid,
    crossed_outlines,
    find_overlaps,
    shared_parts,
    wrongly_covered,
)

__all__ = [
    "MOST_PAIRS",
    "MOST_STRIPS",
    "POINTS",
    "check_repeat",
    "find_crossed",
    "item_place",
    "middle_of",
    "name_item",
    "nearest_to",
    "refuse_far",
    "show_share",
]

#: How many points are picked by chance in each look.
POINTS = 150

#: More strips in one repeat, and more copies to compare, are not looked at.
MOST_STRIPS, _MOST_COPIES = 5_000, 200_000

#: So many overlapping pairs are measured, and so many neighbours drawn.
MOST_PAIRS, _MOST_DRAWN = 60, 300

#: Of a repeat of at most so many strips, those round it are looked at as well where it fails.
_MOST_WIDE = 200

#: Farther from the origin than this no strip is looked at [mm]: a kilometre.
_FARTHEST = 1e6

Values = Mapping[str, float]
Vector = NDArray[np.float64]


def check_repeat(
    pattern: Pattern, values: Values, *, zone: Outline, rng: Random
) -> tuple[list[TilingFault], int]:
    """Prove one repeat of a pattern, or say what is wrong with it."""
    items = cell_items(pattern, values, angle=0.0, origin=(0.0, 0.0), zone=zone)
    steps = cell_steps(pattern, values)
    assert steps is not None
    place = dict(pattern.places).get("repeat.steps") or pattern.name
    if pattern.chart is not None:
        place = pattern.chart.place
    (ax, ay), (bx, by) = steps
    repeat = abs(ax * by - ay * bx)
    if repeat <= HAIR * max(1.0, abs(ax) + abs(ay), abs(bx) + abs(by)):
        rule = "The two steps must differ in direction, and neither may be 0, at these sizes."
        raise PatternError(Fault(place, None, rule))
    if len(items) > MOST_STRIPS:
        rule = f"One repeat has {len(items):,} strips; more than {MOST_STRIPS:,} are not proved."
        raise PatternError(Fault(place, None, rule, "Take a smaller repeat."))
    if not items:
        text = "No strip lies in the repeat."
        return [TilingFault("gap", text, place, area=repeat, share=1.0)], 0
    refuse_far(pattern, items)
    crossed = find_crossed(pattern, items)
    if crossed:
        return crossed, len(items)
    patch = _Patch.gather(pattern, items, np.array(steps), place)
    pairs = patch.pairs()
    short = 1.0 - sum(area(item.prototype.outline) for item in items) / repeat
    points = np.array([(rng.random(), rng.random()) for _ in range(POINTS)]) @ patch.net
    wrong = wrongly_covered(points, patch.outlines, wanted=(1, 1))
    faults: list[TilingFault] = []
    if pairs or short < -AREA_SHARE:
        faults.append(_overlap(patch, pairs, short, place))
    wide = patch
    if pairs or abs(short) > AREA_SHARE or len(wrong):
        if len(items) <= _MOST_WIDE:
            wide = _Patch.gather(pattern, items, np.array(steps), place, span=3)
        faults += _bare(wide, short, repeat, place)
    if len(wrong) and not faults:
        x, y = (float(part) for part in points[wrong[0]])
        faults.append(TilingFault("bare", "A point lies in no strip, or in two.", place, at=(x, y)))
    return [replace(fault, around=nearest_to(fault, wide.outlines)) for fault in faults], len(items)


@dataclass(frozen=True, slots=True)
class _Patch:
    """The strips of one repeat, then every copy that comes near them.

    ``net`` are the shortest steps; ``strips`` (m,) says of each outline which strip it is,
    ``ab`` (m, 2) at which of the pattern's own steps it lies.
    """

    pattern: Pattern
    items: Sequence[Item]
    net: Vector
    region: Outline
    outlines: list[Outline]
    strips: list[int]
    ab: list[tuple[int, int]]

    @classmethod
    def gather(
        cls, pattern: Pattern, items: Sequence[Item], steps: Vector, place: str, *, span: int = 1
    ) -> _Patch:
        """Gather every strip that comes near a region of ``span`` by ``span`` repeats."""
        net, change = reduce_steps(steps)
        inverse = np.linalg.inv(net)
        middles = np.array([centroid(item.prototype.outline) for item in items])
        home = np.floor(middles @ inverse + SLACK)
        own = [item.prototype.outline - way @ net for item, way in zip(items, home, strict=True)]
        least = np.array([outline.min(axis=0) for outline in own])
        most = np.array([outline.max(axis=0) for outline in own])
        squares = np.array([(0, 0), (1, 0), (1, 1), (0, 1)]) * span - (span - 1) / 2
        corners = squares @ net
        region = as_outline(corners if area(corners) > 0 else corners[::-1])
        low = np.minimum(least.min(axis=0), corners.min(axis=0))
        high = np.maximum(most.max(axis=0), corners.max(axis=0))
        reach = np.array(
            [
                (x, y)
                for x in (low[0] - high[0], high[0] - low[0])
                for y in (low[1] - high[1], high[1] - low[1])
            ]
        )
        last = np.ceil(np.abs(reach @ inverse).max(axis=0)).astype(int)
        if float(np.prod(2.0 * last + 1)) * len(items) > _MOST_COPIES:
            rule = "The strips of one repeat reach over too many others to be proved."
            raise PatternError(Fault(place, None, rule, "Take a smaller repeat."))
        ways = list(product(range(-last[0], last[0] + 1), range(-last[1], last[1] + 1)))
        ways.sort(key=lambda way: way != (0, 0))  # the repeat itself first
        outlines, strips, ab = [], [], []
        for way in ways:
            offset = np.array(way) @ net
            meets = ((least + offset < high) & (most + offset > low)).all(axis=1)
            for n in np.flatnonzero(meets | (way == (0, 0))):
                outlines.append(as_outline(own[n] + offset))
                strips.append(int(n))
                a, b = np.round((np.array(way) - home[n]) @ change)
                ab.append((int(a), int(b)))
        return cls(pattern, items, net, region, outlines, strips, ab)

    def pairs(self) -> list[tuple[int, int]]:
        """Pairs that lie on each other, one for each way two strips do."""
        kept: dict[tuple[int, ...], tuple[int, int]] = {}
        for i, j in find_overlaps(self.outlines, among=len(self.items)):
            (a, b), (c, d) = self.ab[i], self.ab[j]
            one = (self.strips[i], self.strips[j], c - a, d - b)
            other = (self.strips[j], self.strips[i], a - c, b - d)
            kept.setdefault(min(one, other), (i, j))
        return list(kept.values())

    def name(self, n: int) -> str:
        a, b = self.ab[n]
        return f"{name_item(self.pattern, self.items[self.strips[n]])} at a = {a}, b = {b}"


def name_item(pattern: Pattern, item: Item) -> str:
    """Name a strip by its entry in the file and its loops."""
    names = {key: value for key, value in item.names.items() if isinstance(value, float)}
    number = int(names.pop("item"))
    if pattern.rings is not None:
        return f"the piece on side {names['side']:g} of ring {names['ring']:g}"
    if pattern.chart is not None:
        row = names["row"] + 1
        return f"strip {number + 1} of the chart, in row {row:g} from the front"
    entry = (pattern.strips + pattern.pieces)[number]
    key = entry.place.rsplit(", ", 1)[-1] or f"strip.{number + 1}"
    return ", ".join([key, *(f"{loop} = {value:g}" for loop, value in names.items())])


def refuse_far(pattern: Pattern, items: Sequence[Item]) -> None:
    """Refuse strips so far from the origin that their corners are no longer exact."""
    for item in items:
        outline = item.prototype.outline
        if len(outline) < 3 or float(np.abs(outline).max()) > _FARTHEST:
            rule = "This strip lies too far from the pattern's origin, or has no width, to be cut."
            raise PatternError(Fault(item_place(pattern, item), None, rule))


def item_place(pattern: Pattern, item: Item) -> str:
    """Say where in the file a strip is written."""
    entries = pattern.strips + pattern.pieces
    if entries:
        return entries[int(np.max(item.names["item"]))].place
    rule = pattern.chart or pattern.rings
    return rule.place if rule else pattern.name


def show_share(share: float) -> str:
    """Print a share of the whole as per cent.

    >>> show_share(0.1), show_share(0.00002)
    ('10 %', 'less than 0.01 %')
    """
    percent = 100 * abs(share)
    return f"{show_number(percent, decimals=2)} %" if percent >= 0.01 else "less than 0.01 %"


def find_crossed(pattern: Pattern, items: Sequence[Item]) -> list[TilingFault]:
    """The first outline that crosses itself, if there is one."""
    outlines = [item.prototype.outline for item in items]
    for n, at in crossed_outlines(outlines):
        name = name_item(pattern, items[n])
        return [
            TilingFault(
                "crossed",
                f"The outline of {name} crosses or touches itself.",
                item_place(pattern, items[n]),
                at=at,
                pieces=(name,),
                between=(outlines[n],),
                around=tuple(outlines[:_MOST_DRAWN]),
            )
        ]
    return []


def _overlap(patch: _Patch, pairs: list[tuple[int, int]], short: float, place: str) -> TilingFault:
    """Say which strips lie on each other, the worst pair first."""
    shared = [
        (part[0], i, j)
        for i, j in pairs[:MOST_PAIRS]
        if (part := shared_parts(patch.outlines[i], patch.outlines[j]))
    ]
    text = ""
    if short < -AREA_SHARE:
        text = f"The strips of one repeat have {show_share(short)} more area than the repeat. "
    if not shared:
        text = text.strip() or "Two strips lie on each other by a hair."
        return TilingFault("overlap", text, place, share=max(-short, 0.0))
    worst, i, j = max(shared, key=lambda found: area(found[0]))
    text += f"Two strips lie on each other: {patch.name(i)}, and {patch.name(j)}"
    others = len(pairs) - 1
    text += f"; so do {others} other pairs." if others > 1 else "."
    whole = abs(float(np.linalg.det(patch.net)))
    return TilingFault(
        "overlap",
        text,
        place,
        at=middle_of(worst),
        pieces=(patch.name(i), patch.name(j)),
        area=area(worst),
        share=max(-short, area(worst) / whole),
        parts=tuple(part for part, _, _ in shared),
        between=(patch.outlines[i], patch.outlines[j]),
    )


def _bare(patch: _Patch, short: float, repeat: float, place: str) -> list[TilingFault]:
    """Say what of a repeat no strip covers."""
    parts = bare_parts(patch.region, patch.outlines)
    if not parts and short <= AREA_SHARE:
        return []
    # Of places alike the one in the middle is named.
    middle = patch.region.mean(axis=0)
    away_from = {id(part): float(np.hypot(*(part.mean(axis=0) - middle))) for part in parts}
    parts.sort(key=lambda part: (-round(area(part), 1), round(away_from[id(part)], 3)))
    share = max(short, sum(area(part) for part in parts) / area(patch.region))
    if short > AREA_SHARE:
        kind = "gap"
        text = (
            f"The strips of one repeat cover {show_share(1 - short)} of it; "
            f"{show_share(short)} stays bare."
        )
    else:
        kind = "bare"
        text = f"{show_share(share)} of a repeat lies under no strip."
    if not parts:
        return [TilingFault(kind, text, place, area=short * repeat, share=share)]
    at = middle_of(parts[0])
    away = shapely.distance(as_polygons(patch.outlines), shapely.Point(at))
    near = [int(n) for n in np.argsort(np.round(away, 6), kind="stable")[:2]]
    return [
        TilingFault(
            kind,
            text,
            place,
            at=at,
            pieces=tuple(patch.name(n) for n in near),
            area=area(parts[0]),
            share=share,
            parts=tuple(parts),
            between=tuple(patch.outlines[n] for n in near),
        )
    ]


def middle_of(part: Outline) -> tuple[float, float]:
    """A point within a part, as near to its middle as it may be."""
    inside = shapely.point_on_surface(shapely.Polygon(part))
    x, y = centroid(part)
    if shapely.distance(shapely.Polygon(part), shapely.Point(x, y)) <= 0.0:
        return x, y
    return float(inside.x), float(inside.y)


def nearest_to(fault: TilingFault, outlines: Sequence[Outline]) -> tuple[Outline, ...]:
    """The outlines nearest to a fault, for its drawing."""
    if fault.at is None:
        return tuple(outlines[:_MOST_DRAWN])
    away = [float(np.hypot(*(o.mean(axis=0) - np.array(fault.at)))) for o in outlines]
    order = sorted(range(len(outlines)), key=lambda n: (round(away[n], 6), n))
    return tuple(outlines[n] for n in order[:_MOST_DRAWN])
