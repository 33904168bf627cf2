"""Strip width: makes strips that were laid at one pitch of narrower stock.

Comes in: zones as laid, and the width of the strips at hand. Goes out: the zones with their strips
of that width, each in the middle of its place. Wider stock is planed to the pitch first, so that
nothing changes.

    pitch |=========|=========|      joints open by what the strips lack
           [=======] [=======]
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import shapely

from tesselath.design import Design, Filling
from tesselath.field import Fragment, LaidZone
from tesselath.measure import ALIKE
from tesselath.shape import Outline, as_outline, clip_by_lines, is_convex, overlay, tidy, turned

__all__ = ["make_of_width"]


def make_of_width(
    zones: Sequence[LaidZone], design: Design, *, pitch: float, width: float
) -> tuple[LaidZone, ...]:
    """Make every strip that was laid at one pitch of narrower strips at hand."""
    if width >= pitch - ALIKE:
        return tuple(zones)
    return tuple(
        zone if "w" in _settings(design, zone.name) else _made(zone, pitch, width) for zone in zones
    )


def _made(zone: LaidZone, pitch: float, width: float) -> LaidZone:
    fragments: list[Fragment] = []
    for fragment in zone.fragments:
        if fragment.strip_width is None or abs(fragment.strip_width - pitch) > ALIKE:
            fragments.append(fragment)
        else:
            fragments += _of_width(fragment, width)
    return replace(zone, fragments=tuple(fragments))


def _settings(design: Design, zone: str) -> Mapping[str, float]:
    """The sizes of a border's or a medallion's own; the field's are those of the strips."""
    kind, _, number = zone.partition("-")
    filling: Filling | None = None
    if kind == "border":
        filling = design.borders[int(number) - 1].filling
    elif kind == "medallion":
        filling = design.medallions[int(number) - 1].filling
    return {} if filling is None else filling.settings


def _of_width(fragment: Fragment, width: float) -> list[Fragment]:
    """Cut a strip from narrower stock, in the middle of its place."""
    strip = np.asarray(turned(fragment.whole, -fragment.grain))
    low, high = float(strip[:, 1].min()), float(strip[:, 1].max())
    if width >= high - low - ALIKE:
        return [replace(fragment, strip_width=width)]
    middle = (low + high) / 2
    lines = [(0.0, 1.0, middle + width / 2), (0.0, -1.0, width / 2 - middle)]
    made = []
    for part in _between(fragment.outline, fragment.grain, lines):
        (whole, *_) = _between(fragment.whole, fragment.grain, lines) or [part]
        made.append(replace(fragment, outline=part, whole=whole, strip_width=width))
    return made if len(made) < 2 else [replace(part, kin=-1) for part in made]


def _between(
    outline: Outline, grain: float, lines: Sequence[tuple[float, float, float]]
) -> list[Outline]:
    """Keep what of an outline lies between two lines along the grain."""
    level = turned(outline, -grain)
    if is_convex(level):
        corners = clip_by_lines([(float(x), float(y)) for x, y in level], lines)
        parts = [as_outline(corners)] if len(corners) > 2 else []
    else:
        (x0, _), (x1, _) = level.min(axis=0), level.max(axis=0)
        (_, _, top), (_, _, foot) = lines
        parts = overlay([level], shapely.box(x0 - 1, -foot, x1 + 1, top))[0]
    return [kept for kept in (tidy(turned(part, grain)) for part in parts) if len(kept)]
