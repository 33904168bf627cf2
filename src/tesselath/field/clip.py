"""Clip: cuts the laid strips to their zone, and shrinks each by half the gap.

Comes in: whole strips as arrays and the outline of the zone. Goes out: fragments, each a whole
strip or what the zone leaves of one, with the strip it came from. Numerical dust vanishes, real
slivers stay.

A copy that lies inside the zone is never clipped: it is its prototype, moved, so that equal
pieces are equal by construction. With a gap the zone is grown by half of it first, so that the
outside of the field stays put::

      zone edge      |  cell  |         wood = cell less half a gap on every side
      ---------------+--------+---
                       [wood]
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from tesselath.field.cell import Prototype
from tesselath.field.lay import Laid
from tesselath.measure import ALIKE, ON_THE_LINE
from tesselath.shape import (
    Line,
    Outline,
    area,
    as_outline,
    as_polygons,
    clip_by_lines,
    edge_lines,
    inset,
    is_convex,
    overlay,
    tidy,
)

__all__ = ["Clipped", "Fragment", "clip_grown", "clip_strips", "shrink_cell"]


@dataclass(frozen=True, slots=True)
class Fragment:
    """A strip, or what the zone leaves of one.

    ``outline`` (n, 2) is the wood, counter-clockwise, in the opening's axes [mm]; ``whole`` is
    the wood of the whole strip. ``strip_width`` is the wood's, None for an outline cut from no
    one strip. ``kin`` is the prototype of a whole strip, -1 for a clipped one.
    """

    outline: Outline
    whole: Outline
    grain: float
    strip_width: float | None
    tone: int
    row: int
    along: float
    kin: int
    cell: Outline  # the wood with its half gap all round
    planed: bool = False  # cut as the whole, then planed to the outline


@dataclass(frozen=True, slots=True)
class Clipped:
    """What a zone holds: its fragments, and what was lost in the shrinking.

    ``covered`` is the area of the cells inside the zone [mm2]; ``vanished`` counts strips of
    which the gap left nothing, ``split`` those it left in several parts [count].
    """

    fragments: tuple[Fragment, ...]
    cells: tuple[Outline, ...]
    covered: float
    vanished: int
    split: int


def clip_strips(laid: Laid, *, zone: Outline, gap: float) -> Clipped:
    """Cut laid strips to a zone.

    Parameters
    ----------
    laid : Laid
        The whole strips, laid over the zone grown by half the gap.
    zone : array (n, 2)
        Where the wood may lie: any simple outline, counter-clockwise [mm].
    gap : float
        The designed space between pieces [mm].

    Returns
    -------
    Clipped
        The fragments, in the order of the strips.

    Notes
    -----
    The half-plane clip serves convex zones, shapely on a grid the rest.
    """
    return clip_grown(laid, grown=inset(zone, -gap / 2)[0], gap=gap)


def clip_grown(laid: Laid, *, grown: Outline | BaseGeometry, gap: float) -> Clipped:
    """Cut laid strips to a zone that has been grown by half the gap; see `clip_strips`.

    ``grown`` may also be a shapely area, with holes where something else is let in.
    """
    woods = [shrink_cell(p.outline, gap) for p in laid.prototypes]
    if isinstance(grown, np.ndarray) and is_convex(grown):
        inside, pieces = _convex(laid, grown)
    else:
        shape = shapely.Polygon(grown) if isinstance(grown, np.ndarray) else grown
        inside, pieces = _any_shape(laid, shape)
    reaches_in = _reaching_in(grown, gap)
    fragments: list[Fragment] = []
    cells: list[Outline] = []
    vanished = split = 0
    for n, k in enumerate(laid.which):
        prototype, offset = laid.prototypes[k], laid.offsets[n]
        wholes = [as_outline(wood + offset) for wood in woods[k]]
        if inside[n]:
            whole_cell = as_outline(prototype.outline + offset)
            here = [(whole_cell, wholes)]
        else:
            here = [(cell, shrink_cell(cell, gap)) for cell in pieces[n]]
        for cell, parts in here:
            cells.append(cell)
            # What lies in the half gap beyond the field's edge has nothing to lose.
            vanished += not parts and reaches_in(cell)
            split += len(parts) > 1
            for part in parts:
                fragments.append(
                    Fragment(
                        outline=part,
                        whole=wholes[0] if wholes else part,
                        grain=prototype.grain,
                        strip_width=_wood_width(prototype, gap),
                        tone=int(laid.tones[n]),
                        row=int(laid.rows[n]),
                        along=float(laid.along[n]),
                        kin=int(k) if inside[n] and len(parts) == 1 else -1,
                        cell=cell,
                    )
                )
    covered = sum(area(cell) for cell in cells)
    kept = _clear_of_corners(fragments, grown, gap)
    return Clipped(tuple(kept), tuple(cells), covered, vanished, split)


def _clear_of_corners(
    fragments: list[Fragment], grown: Outline | BaseGeometry, gap: float
) -> list[Fragment]:
    """Cut off what stands over a corner that points into the zone.

    A corner of the zone that points inwards lies farther from the grown zone's corner than half
    the gap: a strip can pass outside the one, and still, shrunk, lie over the other.
    """
    if gap == 0.0 or (isinstance(grown, np.ndarray) and is_convex(grown)) or not fragments:
        return fragments
    shape = shapely.Polygon(grown) if isinstance(grown, np.ndarray) else grown
    zone = shapely.buffer(shape, -gap / 2, join_style="mitre")
    wider = shapely.buffer(zone, ALIKE, join_style="mitre")
    shapely.prepare(wider)
    clear = shapely.covers(wider, [shapely.Polygon(f.outline) for f in fragments])
    over = np.flatnonzero(~np.asarray(clear))
    cut = overlay([fragments[n].outline for n in over], zone)
    parts = {int(n): left for n, left in zip(over, cut, strict=True)}
    kept: list[Fragment] = []
    for n, fragment in enumerate(fragments):
        if n not in parts:
            kept.append(fragment)
            continue
        left = [part for part in map(tidy, parts[n]) if _has_width(part)]
        kept += [replace(fragment, outline=part, kin=-1) for part in left]
    return kept


def _reaching_in(grown: Outline | BaseGeometry, gap: float) -> Callable[[Outline], bool]:
    """Make the test whether a cell lies farther in than the half gap by which a zone was grown."""
    if gap == 0.0:
        return lambda _cell: True
    if isinstance(grown, np.ndarray) and is_convex(grown):
        lines = np.array(edge_lines(grown))
        # Deep enough for each side at its own deepest corner: enough for cells cut by one side.
        return lambda cell: bool(
            np.all(np.max(lines[:, 2] - cell @ lines[:, :2].T, axis=0) > gap / 2 + ALIKE)
        )
    shape = shapely.Polygon(grown) if isinstance(grown, np.ndarray) else grown
    field = shapely.buffer(shape, -gap / 2 - ALIKE, join_style="mitre")
    shapely.prepare(field)
    return lambda cell: bool(field.intersects(shapely.Polygon(cell)))


def _wood_width(prototype: Prototype, gap: float) -> float | None:
    return None if prototype.strip_width is None else prototype.strip_width - gap


def shrink_cell(cell: Outline, gap: float) -> list[Outline]:
    """Leave half a gap free inside every edge, and drop what is thinner than a pencil line."""
    if gap == 0.0:
        return [part for part in [tidy(cell)] if len(part)]
    return [part for part in map(tidy, inset(cell, gap / 2)) if _has_width(part)]


def _has_width(outline: Outline) -> bool:
    """Whether anything of an outline is wider than the finest line."""
    if len(outline) < 3:
        return False
    rim = np.hypot(*(outline - np.roll(outline, 1, axis=0)).T).sum()
    return bool(area(outline) > ALIKE * rim / 4)


def _convex(laid: Laid, zone: Outline) -> tuple[NDArray[np.bool_], dict[int, list[Outline]]]:
    """Sort copies by their distance to each side; clip only those that a side crosses."""
    lines = edge_lines(zone)
    inside = np.ones(len(laid.which), dtype=bool)
    outside = np.zeros(len(laid.which), dtype=bool)
    crossed = np.zeros((len(laid.which), len(lines)), dtype=bool)
    for i, (nx, ny, c) in enumerate(lines):
        normal = np.array([nx, ny])
        reach = [p.outline @ normal for p in laid.prototypes]
        far = np.array([r.max() for r in reach])[laid.which] + laid.offsets @ normal - c
        near = np.array([r.min() for r in reach])[laid.which] + laid.offsets @ normal - c
        crossed[:, i] = far > ON_THE_LINE
        inside &= ~crossed[:, i]
        outside |= near >= -ON_THE_LINE
    pieces: dict[int, list[Outline]] = {}
    for n in np.flatnonzero(~inside):
        pieces[int(n)] = [] if outside[n] else _clip_one(laid, int(n), lines, crossed[n])
    return inside & ~outside, pieces


def _clip_one(laid: Laid, n: int, lines: list[Line], crossed: NDArray[np.bool_]) -> list[Outline]:
    prototype = laid.prototypes[laid.which[n]]
    cell = as_outline(prototype.outline + laid.offsets[n])
    if is_convex(cell):
        needed = [line for line, cut in zip(lines, crossed, strict=True) if cut]
        left = as_outline(clip_by_lines([(float(x), float(y)) for x, y in cell], needed))
        parts = [left]
    else:
        box = _big_zone(cell, lines)
        parts = overlay([cell], shapely.Polygon(box))[0]
    return [part for part in map(tidy, parts) if _has_width(part)]


def _big_zone(cell: Outline, lines: list[Line]) -> Outline:
    """The part of a convex zone round one cell, as an outline."""
    (x0, y0), (x1, y1) = cell.min(axis=0) - 1.0, cell.max(axis=0) + 1.0
    return as_outline(
        clip_by_lines(
            [
                (float(x0), float(y0)),
                (float(x1), float(y0)),
                (float(x1), float(y1)),
                (float(x0), float(y1)),
            ],
            lines,
        )
    )


def _any_shape(
    laid: Laid, shape: BaseGeometry
) -> tuple[NDArray[np.bool_], dict[int, list[Outline]]]:
    """Sort copies with shapely: what a hair's wider zone contains is inside, the rest is cut."""
    wider = shapely.buffer(shape, ON_THE_LINE, join_style="mitre")
    shapely.prepare(wider)
    cells = [
        as_outline(laid.prototypes[k].outline + offset)
        for k, offset in zip(laid.which, laid.offsets, strict=True)
    ]
    if not cells:
        return np.zeros(0, dtype=bool), {}
    polygons = as_polygons(cells)
    inside = np.asarray(shapely.covers(wider, polygons))
    rest = np.flatnonzero(~inside)
    pieces: dict[int, list[Outline]] = {}
    for n, parts in zip(rest, overlay([cells[n] for n in rest], shape), strict=True):
        pieces[int(n)] = [part for part in map(tidy, parts) if _has_width(part)]
    return inside, pieces
