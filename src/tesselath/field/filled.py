"""A zone filled with its pattern, part by part of a mirrored one.

Comes in: a filling and the outline it fills. Goes out: a laid zone, its fragments clipped.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from tesselath.design import Design, Filling
from tesselath.errors import PatternError
from tesselath.field.clip import Clipped, Fragment, clip_grown
from tesselath.field.fold import Fold, join_twins
from tesselath.field.lay import Laid, lay_pattern
from tesselath.measure import ALIKE, SNAP_GRID
from tesselath.pattern import settle_sizes
from tesselath.shape import (
    Outline,
    area,
    as_outline,
    clip_by_lines,
    inset,
    is_convex,
    overlay,
    tidy,
    turned,
)

__all__ = ["LaidZone", "lay_filled", "lay_settled", "woods_of_tones"]


@dataclass(frozen=True, slots=True)
class LaidZone:
    """One zone with its strips.

    ``outline`` is its outer edge as it lies finished; ``tones`` are the names the fragments
    index, ``woods`` the wood of each; ``bare`` is the area that no strip covers [mm2];
    ``trimmed`` tells whether its outer edge is trimmed when the order is "trim".
    """

    name: str
    outline: Outline
    fragments: tuple[Fragment, ...]
    cells: tuple[Outline, ...]
    tones: tuple[str, ...]
    woods: Mapping[str, str]
    bare: float
    vanished: int
    split: int
    trimmed: bool


def lay_filled(
    design: Design,
    filling: Filling,
    name: str,
    rim: Outline,
    visible: BaseGeometry | None,
    folds: Sequence[Fold],
    *,
    origin: tuple[float, float],
    as_laid: Outline | None = None,
) -> LaidZone:
    """Lay a pattern in a zone, part by part of a mirrored one."""
    gap = design.strips.gap
    before = rim if as_laid is None else as_laid
    if not isinstance(filling.shift, str):
        origin = (origin[0] + filling.shift[0], origin[1] + filling.shift[1])
    key = name.replace("-", ".")
    fragments: list[Fragment] = []
    cells: list[Outline] = []
    vanished = split = 0
    kinds = 0
    for fold in folds:
        part = _part_of(rim, visible, fold)
        cover = _cover(part)
        if part is None or cover is None:
            continue
        was = None if as_laid is None else _cover(_part_of(as_laid, None, fold))
        rings = rim if filling.pattern.rings is not None else before
        laid = lay_settled(
            design,
            filling,
            zone=cover,
            around=before,
            rings=fold.back(rings),
            origin=origin,
            key=key,
            drawn_for=was,
        )
        clipped = clip_grown(laid, grown=part, gap=gap)
        if design.order == "trim" and (fold.lines or visible is not None):
            clipped = _held_back(clipped, rim, visible, fold, gap)
        vanished += clipped.vanished
        split += clipped.split
        fragments += [fold.carry(f, kin_offset=kinds) for f in clipped.fragments]
        kinds += len(laid.prototypes)
        cells += [fold.carry_outline(cell) for cell in clipped.cells]
    if name == "field" and design.field.centre == "run through" and len(folds) > 1:
        fragments = join_twins(fragments, folds, gap=gap)
    whole = area(rim) if visible is None else float(visible.area)
    tones = filling.pattern.tones or ("plain",)
    return LaidZone(
        name,
        inset(rim, gap / 2)[0],
        tuple(fragments),
        tuple(cells),
        tones,
        woods_of_tones(design, tones),
        whole - sum(area(c) for c in cells),
        vanished,
        split,
        trimmed=name == "field",
    )


def _held_back(
    clipped: Clipped, rim: Outline, visible: BaseGeometry | None, fold: Fold, gap: float
) -> Clipped:
    """End the whole strips where a mirror line or a medallion cuts them, trim line or not.

    A blank may run on over the trim line, but never into what lies on the other side of a
    mirror line or into a medallion.
    """
    (x0, y0), (x1, y1) = rim.min(axis=0), rim.max(axis=0)
    far = float(x1 - x0 + y1 - y0)
    box = [(x0 - far, y0 - far), (x1 + far, y0 - far), (x1 + far, y1 + far), (x0 - far, y1 + far)]
    free: BaseGeometry = shapely.Polygon(
        clip_by_lines([(float(x), float(y)) for x, y in box], fold.lines)
    )
    if visible is not None:
        let_in = shapely.difference(shapely.Polygon(rim), visible, grid_size=SNAP_GRID)
        if fold.lines:
            let_in = shapely.transform(let_in, fold.back_points)
        free = shapely.difference(free, let_in, grid_size=SNAP_GRID)
    free = shapely.buffer(free, -gap / 2, join_style="mitre", mitre_limit=100.0)
    clear = shapely.buffer(free, ALIKE)
    held = []
    for fragment in clipped.fragments:
        whole = fragment.whole
        if fragment.kin < 0 and not clear.covers(shapely.Polygon(whole)):
            middle = shapely.Polygon(fragment.outline).representative_point()
            parts = [p for p in overlay([whole], free)[0] if shapely.Polygon(p).covers(middle)]
            whole = tidy(parts[0]) if parts else fragment.outline
        held.append(replace(fragment, whole=whole))
    return replace(clipped, fragments=tuple(held))


def _cover(part: Outline | BaseGeometry | None) -> Outline | None:
    """The outline to cover with strips so that they cover a part: itself, or its hull."""
    if part is None or isinstance(part, np.ndarray):
        return part
    ring = np.array(shapely.get_coordinates(shapely.convex_hull(part)))[:-1]
    return as_outline(ring if area(ring) > 0 else ring[::-1])


def _part_of(
    rim: Outline, visible: BaseGeometry | None, fold: Fold
) -> Outline | BaseGeometry | None:
    """The part of a zone that one fold carries onto its own, before it is carried."""
    if not fold.lines and visible is None:
        return rim
    if visible is None and is_convex(rim):
        back = fold.back(rim)
        corners = clip_by_lines([(float(x), float(y)) for x, y in back], fold.lines)
        return as_outline(corners) if corners else None
    shape = visible if visible is not None else shapely.Polygon(rim)
    if fold.lines:
        shape = shapely.transform(shape, fold.back_points)
        (x0, y0, x1, y1) = shape.bounds
        box = [(x0 - 1, y0 - 1), (x1 + 1, y0 - 1), (x1 + 1, y1 + 1), (x0 - 1, y1 + 1)]
        wedge = clip_by_lines(box, fold.lines)
        if not wedge:
            return None
        shape = shapely.intersection(shape, shapely.Polygon(wedge), grid_size=SNAP_GRID)
    # Where a part of the zone only touches another, it is a line or a point.
    areas = [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon" and part.area]
    return shapely.MultiPolygon(areas) if areas else None


def lay_settled(
    design: Design,
    filling: Filling,
    *,
    zone: Outline,
    around: Outline,
    origin: tuple[float, float],
    key: str,
    rings: Outline | None = None,
    drawn_for: Outline | None = None,
) -> Laid:
    """Settle a pattern's sizes for a zone and lay it, with complaints placed in the design."""
    box = np.ptp(np.asarray(turned(around, -filling.angle)), axis=0)
    try:
        sizes = settle_sizes(
            filling.pattern,
            filling.settings,
            strip_width=design.strips.width,
            gap=design.strips.gap,
            zone_width=float(box[0]),
            zone_depth=float(box[1]),
        )
        return lay_pattern(
            filling.pattern,
            sizes,
            angle=filling.angle,
            origin=origin,
            zone=zone,
            around=around if rings is None else rings,
            drawn_for=drawn_for,
        )
    except PatternError as error:
        default = design.place(f"{key}.pattern")
        raise PatternError(
            [replace(f, place=design.place(f.place) if f.place else default) for f in error.faults]
        ) from None


def woods_of_tones(design: Design, tones: Sequence[str]) -> dict[str, str]:
    """The wood of each tone; a mixed lot is dealt out piece by piece later."""
    found = {tone: design.tones.get(tone, tone) for tone in tones}
    return {tone: wood if isinstance(wood, str) else wood.woods[0] for tone, wood in found.items()}
