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

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from tesselath.design import Border, Design, Filling
from tesselath.errors import DesignError, Fault
from tesselath.field.border_cells import cut_wider, ring_of_border
from tesselath.field.cell import Prototype
from tesselath.field.clip import Clipped, Fragment, clip_grown
from tesselath.field.filled import LaidZone, lay_filled, lay_settled, woods_of_tones
from tesselath.field.fold import Fold, make_folds
from tesselath.field.lay import Laid
from tesselath.field.layout import LaidFor, middle_of_field
from tesselath.field.rings import RingCell
from tesselath.measure import ALIKE, SNAP_GRID
from tesselath.shape import (
    Outline,
    area,
    as_outline,
    inset,
    turned,
)

__all__ = ["lay_zones"]


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
        seen = _less(shapes[n], shapes[n + 1 :])
        rim = _outer(shapes[n])
        medallions.append(
            lay_filled(
                design,
                medallion.filling,
                f"medallion-{n + 1}",
                rim,
                seen,
                [Fold()],
                origin=_middle(rim),
            )
        )
    # What a pattern takes from its zone it takes from the zone it was laid for, its edge excepted.
    before = as_laid or LaidFor(grown, middle)
    folds = make_folds(design.field.mirror, before.middle)
    visible = _less(shapely.Polygon(grown), shapes) if shapes else None
    field = lay_filled(
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


def _outer(shape: shapely.Polygon) -> Outline:
    ring = np.array(shapely.get_coordinates(shape.exterior))[:-1]
    return as_outline(ring if area(ring) > 0 else ring[::-1])


def _less(shape: BaseGeometry, others: Sequence[BaseGeometry]) -> BaseGeometry:
    """What is left of an area under those that lie on it."""
    for other in others:
        shape = shapely.difference(shape, other, grid_size=SNAP_GRID)
    return shape


def _medallion_shape(design: Design, n: int, field: Outline) -> shapely.Polygon:
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
    if (
        isinstance(inside, shapely.Polygon)
        and not inside.is_empty
        and len(inset(_outer(inside), gap / 2)) == 1
    ):
        return inside
    raise DesignError(Fault(place, None, "The medallion does not lie in the field in one part."))


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
        woods = woods_of_tones(design, tones)
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
    laid = lay_settled(
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
