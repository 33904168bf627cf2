"""Zones: borders, field and medallions, each laid and clipped in its place.

Comes in: the design and the outline of all strips. Goes out: for each zone its fragments. Refuses:
borders that leave no room, medallions outside the field.

Every boundary between two zones is the middle of a gap, like that between two strips::

    +---------------------------+
    | border-1                  |     borders inward from the outside
    |  +---------------------+  |
    |  | field   /\\         |  |     the field less what is let into it;
    |  |        /  \\ medal.  |  |     a later medallion lies on an earlier one
    |  |        \\  /        |  |
    |  +---------------------+  |     a mirrored field is laid in one part and
    +---------------------------+     reflected or turned into the others
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from tesselath.design import Border, Design, Filling
from tesselath.errors import DesignError, Fault, PatternError
from tesselath.field.border_cells import cut_wider, ring_of_border
from tesselath.field.cell import Prototype
from tesselath.field.clip import Clipped, Fragment, clip_grown
from tesselath.field.fold import Fold, join_twins, make_folds
from tesselath.field.lay import Laid, lay_pattern
from tesselath.field.layout import LaidFor, middle_of_field
from tesselath.field.rings import RingCell
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

__all__ = ["LaidZone", "lay_zones"]


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


def lay_zones(
    design: Design, outline: Outline, *, as_laid: LaidFor | None = None
) -> tuple[LaidZone, ...]:
    """Lay every zone of a top, in the order of gluing: from the inside outward.

    Parameters
    ----------
    outline : array (n, 2)
        What all strips together cover, as it lies finished [mm].
    as_laid : LaidFor, optional
        What the pattern of the field was laid for before: its strips stay where they were,
        however the outline has changed.

    Returns
    -------
    tuple of LaidZone
        Medallions, the last first; the field; borders, the innermost first.

    Raises
    ------
    DesignError, PatternError
        If a zone cannot be laid as asked.
    """
    gap = design.strips.gap
    grown = inset(outline, -gap / 2)[0]
    borders: list[LaidZone] = []
    for n, border in enumerate(design.borders, 1):
        laid, grown = _lay_border(design, border, n, grown)
        borders.append(laid)
    middle = middle_of_field(design, grown)
    shapes = [_medallion_shape(design, n, grown) for n in range(len(design.medallions))]
    medallions: list[LaidZone] = []
    for n, medallion in enumerate(design.medallions):
        visible = _less(shapes[n], shapes[n + 1 :])
        rim = _outer(shapes[n])
        medallions.append(
            _lay_filled(
                design,
                medallion.filling,
                f"medallion-{n + 1}",
                rim,
                visible,
                [Fold()],
                origin=_middle(rim),
            )
        )
    # What a pattern takes from its zone it takes from the zone it was laid for, its edge excepted.
    before = as_laid or LaidFor(grown, middle)
    folds = make_folds(design.field.mirror, before.middle)
    visible = _less(shapely.Polygon(grown), shapes) if shapes else None
    field = _lay_filled(
        design,
        design.field.filling,
        "field",
        grown,
        visible,
        folds,
        origin=before.middle,
        as_laid=None if as_laid is None else as_laid.edge,
    )
    return (*reversed(medallions), field, *reversed(borders))


def _middle(outline: Outline) -> tuple[float, float]:
    x, y = (outline.max(axis=0) + outline.min(axis=0)) / 2
    return float(x), float(y)


def _outer(shape: shapely.Geometry) -> Outline:
    ring = np.array(shapely.get_coordinates(shape.exterior))[:-1]
    return as_outline(ring if area(ring) > 0 else ring[::-1])


def _less(shape: shapely.Geometry, others: Sequence[shapely.Geometry]) -> shapely.Geometry:
    """What is left of an area under those that lie on it."""
    for other in others:
        shape = shapely.difference(shape, other, grid_size=SNAP_GRID)
    return shape


def _medallion_shape(design: Design, n: int, field: Outline) -> shapely.Geometry:
    """The part of a medallion's outline that lies in the field."""
    place = design.place(f"medallion.{n + 1}.points")
    points = as_outline(design.medallions[n].points)
    shape = shapely.Polygon(points)
    if not shape.is_valid or shape.area <= ALIKE:
        raise DesignError(
            Fault(place, None, "The outline of a medallion may not cross itself or be flat.")
        )
    inside = shapely.intersection(shape, shapely.Polygon(field), grid_size=SNAP_GRID)
    gap = design.strips.gap
    if inside.geom_type != "Polygon" or inside.is_empty or len(inset(_outer(inside), gap / 2)) != 1:
        raise DesignError(
            Fault(place, None, "The medallion does not lie in the field in one part.")
        )
    return inside


def _lay_border(design: Design, border: Border, n: int, grown: Outline) -> tuple[LaidZone, Outline]:
    """Lay one border and give what is left inside it."""
    gap = design.strips.gap
    cells, left, blanks = ring_of_border(design, border, n, grown)
    if any(cell.side < 0 for cell in cells) or len(left) != 1:
        raise DesignError(
            Fault(
                design.place(f"border.{n}.width"),
                f"{border.width:g} mm",
                "The borders leave no room for a field.",
                "Make them narrower.",
            )
        )
    filling = border.filling
    if filling is None:
        tones: tuple[str, ...] = ("border",)
        woods = {"border": border.wood or "border"}
        parts = [_keep_cells(cells, gap)]
        if blanks:
            parts = [cut_wider(parts[0], blanks, gap)]
    else:
        tones = filling.pattern.tones or ("plain",)
        woods = _woods(design, tones)
        squares = [cell for cell in cells if cell.corner]
        parts = [_lay_side(design, filling, cell) for cell in cells if not cell.corner]
        if squares:
            parts.append(_keep_cells(squares, gap))
            if border.wood:
                tones = (*tones, "corner")
                woods["corner"] = border.wood
                parts[-1] = _retoned(parts[-1], len(tones) - 1)
    fragments = tuple(_own_kinds(parts))
    bare = sum(area(c.outline) for c in cells) - sum(part.covered for part in parts)
    return (
        LaidZone(
            f"border-{n}",
            inset(grown, gap / 2)[0],
            fragments,
            tuple(c for part in parts for c in part.cells),
            tones,
            woods,
            bare,
            sum(p.vanished for p in parts),
            sum(p.split for p in parts),
            trimmed=False,
        ),
        left[0],
    )


def _own_kinds(parts: Sequence[Clipped]) -> list[Fragment]:
    """Number the kinds of strips through all sides and corners, so that none are mixed up."""
    fragments: list[Fragment] = []
    first = 0
    for part in parts:
        fragments += [replace(f, kin=f.kin + first) if f.kin >= 0 else f for f in part.fragments]
        first = max([first, *(f.kin + 1 for f in fragments)])
    return fragments


def _retoned(clipped: Clipped, tone: int) -> Clipped:
    return replace(clipped, fragments=tuple(replace(f, tone=tone) for f in clipped.fragments))


def _keep_cells(cells: Sequence[RingCell], gap: float) -> Clipped:
    """Take cells as they are: nothing is clipped, each is its own strip."""
    m = len(cells)
    laid = Laid(
        tuple(Prototype(c.outline, c.grain, c.width) for c in cells),
        np.arange(m),
        np.zeros((m, 2)),
        np.zeros(m, dtype=np.int64),
        np.zeros(m, dtype=np.int64),
        np.arange(m, dtype=float),
        0.0,
    )
    everywhere = np.vstack([c.outline for c in cells])
    (x0, y0), (x1, y1) = everywhere.min(axis=0) - 1.0, everywhere.max(axis=0) + 1.0
    return clip_grown(laid, grown=as_outline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]), gap=gap)


def _lay_side(design: Design, filling: Filling, cell: RingCell) -> Clipped:
    """Fill one side of a border, the pattern turned with the side, its origin at the middle."""
    turned_filling = replace(filling, angle=filling.angle + cell.direction)
    box = turned(cell.outline, -cell.direction)
    middle = (box.max(axis=0) + box.min(axis=0)) / 2
    (origin,) = np.asarray(turned(as_outline([middle]), cell.direction))
    # A shift in a border runs along its side.
    shift = filling.shift if not isinstance(filling.shift, str) else (0.0, 0.0)
    (moved,) = np.asarray(turned(as_outline([shift]), cell.direction))
    laid = _lay(
        design,
        turned_filling,
        zone=cell.outline,
        around=cell.outline,
        origin=(float(origin[0] + moved[0]), float(origin[1] + moved[1])),
        key="border",
    )
    clipped = clip_grown(laid, grown=cell.outline, gap=design.strips.gap)
    moved_along = [replace(f, along=f.along + 1e6 * cell.side) for f in clipped.fragments]
    return replace(clipped, fragments=tuple(moved_along))


def _lay_filled(
    design: Design,
    filling: Filling,
    name: str,
    rim: Outline,
    visible: shapely.Geometry | None,
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
        laid = _lay(
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
        _woods(design, tones),
        whole - sum(area(c) for c in cells),
        vanished,
        split,
        trimmed=name == "field",
    )


def _held_back(
    clipped: Clipped, rim: Outline, visible: shapely.Geometry | None, fold: Fold, gap: float
) -> Clipped:
    """End the whole strips where a mirror line or a medallion cuts them, trim line or not.

    A blank may run on over the trim line, but never into what lies on the other side of a
    mirror line or into a medallion.
    """
    (x0, y0), (x1, y1) = rim.min(axis=0), rim.max(axis=0)
    far = float(x1 - x0 + y1 - y0)
    box = [(x0 - far, y0 - far), (x1 + far, y0 - far), (x1 + far, y1 + far), (x0 - far, y1 + far)]
    free = shapely.Polygon(clip_by_lines([(float(x), float(y)) for x, y in box], fold.lines))
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


def _cover(part: Outline | shapely.Geometry | None) -> Outline | None:
    """The outline to cover with strips so that they cover a part: itself, or its hull."""
    if part is None or isinstance(part, np.ndarray):
        return part
    ring = np.array(shapely.get_coordinates(shapely.convex_hull(part)))[:-1]
    return as_outline(ring if area(ring) > 0 else ring[::-1])


def _part_of(
    rim: Outline, visible: shapely.Geometry | None, fold: Fold
) -> Outline | shapely.Geometry | None:
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


def _lay(
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


def _woods(design: Design, tones: Sequence[str]) -> dict[str, str]:
    """The wood of each tone; a mixed lot is dealt out piece by piece later."""
    found = {tone: design.tones.get(tone, tone) for tone in tones}
    return {tone: wood if isinstance(wood, str) else wood.woods[0] for tone, wood in found.items()}
