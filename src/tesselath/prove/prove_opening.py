"""The opening, proved: what is laid and clipped there covers it once, and keeps the gap.

Comes in: a pattern with its settings and an opening. Goes out: what is wrong. Refuses: what the
layout refuses.

This looks at what a maker gets, after the layout and the clip, while ``prove_repeat`` looks at
the pattern as it is written. Rings round the opening leave its middle bare by right once their
count is used up; it is the opening moved in by all their widths together.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from random import Random

import numpy as np
from numpy.typing import NDArray

from tesselath.field import Clipped, clip_strips, lay_pattern
from tesselath.measure import ALIKE, AREA_SHARE, show_number
from tesselath.pattern import Pattern
from tesselath.prove.proof import TilingFault
from tesselath.prove.prove_repeat import POINTS, middle_of, nearest_to, show_share
from tesselath.prove.trials import Trial
from tesselath.shape import (
    Outline,
    area,
    as_outline,
    bare_parts,
    find_overlaps,
    inset,
    shared_parts,
    tidy,
    times_covered,
    too_close,
    wrongly_covered,
)

__all__ = ["check_opening"]

#: Where an edge of no length vanishes its neighbours are drawn on until they meet; the tip may
#: then stand so much into the gap [mm].
_SHARP = 10 * ALIKE


def check_opening(
    pattern: Pattern, values: Mapping[str, float], trial: Trial, *, rng: Random
) -> tuple[list[TilingFault], int]:
    """Lay and clip a pattern in an opening, and prove what lies there."""
    grown = inset(trial.outline, -trial.gap / 2)[0]
    laid = lay_pattern(pattern, values, angle=trial.angle, origin=trial.origin, zone=grown)
    clipped = clip_strips(laid, zone=trial.outline, gap=trial.gap)
    look = _Look(pattern, trial, grown, clipped, _bare_by_right(pattern, values, grown))
    faults = look.overlaps()
    faults += look.bare(surely=bool(faults))
    faults += [*look.points(rng), *look.joints()]
    return faults, len(clipped.cells)


def _bare_by_right(pattern: Pattern, values: Mapping[str, float], grown: Outline) -> list[Outline]:
    """What lies inside the last ring, where a count of rings ends before the middle."""
    rings = pattern.rings
    if rings is None or rings.around != "zone":
        return []
    count = round(rings.count.number(values))
    widths = [width.number(values) for width in rings.widths]
    turns, rest = divmod(count, len(widths))
    depth = turns * sum(widths) + sum(widths[:rest])
    if depth > float(np.ptp(grown, axis=0).min()):
        return []
    return [left for left in map(tidy, inset(grown, depth)) if len(left)]


class _Look:
    """What lies in one opening, looked at in turn."""

    def __init__(
        self,
        pattern: Pattern,
        trial: Trial,
        grown: Outline,
        clipped: Clipped,
        by_right: list[Outline],
    ) -> None:
        self.pattern, self.trial, self.grown = pattern, trial, grown
        self.cells, self.covered = list(clipped.cells), clipped.covered
        self.woods = [fragment.outline for fragment in clipped.fragments]
        self.by_right = by_right
        self.place = (
            pattern.courses.place
            if pattern.courses
            else (pattern.rings.place if pattern.rings else pattern.name)
        )

    def overlaps(self) -> list[TilingFault]:
        pairs = find_overlaps(self.cells, among=len(self.cells), hair=ALIKE)
        shared = [
            (parts[0], i, j)
            for i, j in pairs[:20]
            if (parts := shared_parts(self.cells[i], self.cells[j]))
        ]
        if not shared:
            return []
        worst, i, j = max(shared, key=lambda found: area(found[0]))
        lapped = tuple(part for part, _, _ in shared)
        return [
            self._fault(
                "overlap",
                "Pieces lie on each other.",
                lapped,
                worst,
                (self.cells[i], self.cells[j]),
            )
        ]

    def bare(self, *, surely: bool) -> list[TilingFault]:
        """What stays bare; looked for where the area says so, or ``surely`` beside overlaps."""
        wanted = area(self.grown) - sum(area(outline) for outline in self.by_right)
        short = wanted - self.covered
        agrees = abs(short) <= AREA_SHARE * area(self.grown)
        if not self.pattern.fills or (agrees and not surely):
            return []
        # What is thinner than the finest pencil line was dropped by the clip, rightly.
        parts = bare_parts(self.grown, self.cells + self.by_right, hair=ALIKE)
        if not parts:
            return []
        share = sum(area(part) for part in parts) / area(self.grown)
        text = f"{show_share(share)} of the opening stays bare."
        return [self._fault("bare", text, tuple(parts), parts[0], ())]

    def points(self, rng: Random) -> list[TilingFault]:
        least, most = self.grown.min(axis=0), self.grown.max(axis=0)
        chance: NDArray[np.float64] = np.array(
            [(rng.random(), rng.random()) for _ in range(POINTS)]
        )
        points = least + chance * (most - least)
        points = points[times_covered(points, [self.grown]) == 1]
        counted = self.cells + self.by_right
        least_times = 1 if self.pattern.fills else 0
        wrong = wrongly_covered(points, counted, wanted=(least_times, 1), hair=ALIKE)
        if not len(wrong):
            return []
        x, y = (float(part) for part in points[wrong[0]])
        times = int(times_covered(points[wrong[:1]], counted)[0])
        kind, text = (
            ("bare", "A point lies in no piece.")
            if times == 0
            else ("overlap", f"A point lies in {times} pieces.")
        )
        spot = as_outline([(x - 1, y - 1), (x + 1, y - 1), (x + 1, y + 1), (x - 1, y + 1)])
        return [self._fault(kind, text, (), spot, ())]

    def joints(self) -> list[TilingFault]:
        gap = self.trial.gap
        if gap <= 2 * _SHARP or not self.woods:
            return []
        pairs = too_close(self.woods, gap=gap, hair=_SHARP)
        if not pairs:
            return []
        i, j = pairs[0]
        text = f"Two pieces lie nearer to each other than the gap of {show_number(gap)} mm."
        return [self._fault("joint", text, (), self.woods[i], (self.woods[i], self.woods[j]))]

    def _fault(
        self,
        kind: str,
        text: str,
        parts: tuple[Outline, ...],
        worst: Outline,
        between: tuple[Outline, ...],
    ) -> TilingFault:
        width, depth = (show_number(float(v)) for v in np.ptp(self.trial.outline, axis=0))
        where = f"an opening of {width} x {depth} mm"
        if self.trial.angle:
            where += f", the pattern turned {show_number(self.trial.angle)} degrees"
        if self.trial.gap:
            where += f", a gap of {show_number(self.trial.gap)} mm"
        fault = TilingFault(
            kind,
            text,
            self.place,
            at=middle_of(worst),
            area=area(worst) if parts else 0.0,
            share=sum(area(part) for part in parts) / area(self.grown),
            opening=where,
            parts=parts,
            between=between,
        )
        return replace(fault, around=nearest_to(fault, self.cells))
