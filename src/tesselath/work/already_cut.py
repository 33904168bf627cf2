"""Already cut: lays what is left round the pieces that are cut already.

Comes in: the zones as they would be laid anew, and the pieces cut. Goes out: the zones with only
what is still to be cut, by how much cut pieces fall short, and what stays open.

A strip whose place is taken is not cut again; one that a cut piece only reaches into loses what
lies under it::

    frame |____________________________
          |  new  |####|####|####| new |     ####  cut, and as it is
          |_______|####|####|####|_____|     a strip of the new layout that lies half under
          |   |####|####|####|   new   |     a cut piece is its place; what then stays bare
          |___|####|####|####|_________|     is too thin for a piece and is told

Slivers that only the change of the opening has brought are left open rather than cut. A border is
never notched for a piece of the field that reaches into it; that piece is named.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from tesselath.field import Fragment, LaidZone, Piece
from tesselath.measure import ALIKE, SNAP_GRID
from tesselath.parts import Part
from tesselath.shape import Outline, edge_lines, is_convex, outlines_of, thickness, tidy

__all__ = ["CutPiece", "LaidRound", "Misfit", "Refit", "lay_round"]

#: What is left of a strip beside the piece that has its place is made if it is at least so wide,
#: as a share of the strip; so is any other strip.
_FILLED, _WORTH = 0.5, 0.125

#: A cut piece that lies on a strip with this share of itself has that strip's place; a strip is a
#: piece of the earlier plan when they share so much of the smaller one.
_ITS_PLACE = 0.5

#: A strip lies along cut pieces when this share of its outline does.
_ALONG = 0.4

#: Corners sharper than a right angle are bevelled when a piece is grown by the gap: their tips
#: would reach into strips that keep the gap as they are.
_TIP = 1.42


@dataclass(frozen=True, slots=True)
class CutPiece:
    """A piece that is cut already, and the strip it was cut from [mm]."""

    piece: Piece
    strip_width: float | None


@dataclass(frozen=True, slots=True)
class Misfit:
    """A cut piece that no longer fits: how, by how much [mm], and what to do."""

    number: int
    how: str
    by: float
    do: str


@dataclass(frozen=True, slots=True)
class Refit:
    """What a plan takes over from an earlier one.

    ``from_mark`` is the mark of the earlier design; ``whole`` are all parts as if nothing were
    cut, ``done`` those of which nothing is left to cut; ``layout`` is how the pieces that are cut
    were laid; ``narrower`` is how much the strips have become narrower than those already cut,
    negative if wider [mm]; ``left_open`` are the widths of the slivers that are not cut [mm].
    """

    from_mark: str
    cut: tuple[CutPiece, ...]
    does_not_fit: tuple[Misfit, ...]
    whole: tuple[Part, ...]
    done: tuple[Part, ...]
    layout: Mapping[str, object]
    narrower: float
    left_open: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class LaidRound:
    """What is still to be cut, laid round what is cut.

    ``short`` tells by how much cut pieces fall short of the edge of their place, by number [mm];
    ``left_open`` are the widths of the slivers that are not cut [mm].
    """

    zones: tuple[LaidZone, ...]
    short: Mapping[int, float]
    left_open: tuple[float, ...]


def lay_round(
    zones: Sequence[LaidZone],
    cut: Sequence[CutPiece],
    *,
    earlier: Sequence[Outline],
    gap: float,
) -> LaidRound:
    """Take out of a new layout what is cut already.

    Parameters
    ----------
    zones : sequence of LaidZone
        The zones as laid anew.
    cut : sequence of CutPiece
        The pieces that are cut.
    earlier : sequence of array (n, 2)
        The outlines of the earlier plan's pieces that are not cut [mm].
    gap : float
        The designed space between pieces [mm].

    Returns
    -------
    LaidRound
        What is still to be cut.
    """
    found = _Found(np.array([shapely.Polygon(outline) for outline in earlier]), {}, [])
    laid = tuple(_lay_zone(zone, cut, gap, found) for zone in zones)
    return LaidRound(laid, found.short, tuple(found.left_open))


@dataclass(frozen=True, slots=True)
class _Found:
    """What comes to light while zones are laid."""

    earlier: NDArray[np.object_]
    short: dict[int, float]
    left_open: list[float]


def _lay_zone(zone: LaidZone, cut: Sequence[CutPiece], gap: float, found: _Found) -> LaidZone:
    border = zone.name.startswith("border")
    near = [one for one in cut if not border or one.piece.zone.startswith("border")]
    if not near:
        return zone
    site = _Site(zone, near, found.earlier, gap)
    kept: list[Fragment] = []
    for n, fragment in enumerate(zone.fragments):
        kept += _keep(site, n, fragment, found)
    mine = [w for w, one in zip(site.wood, near, strict=True) if one.piece.zone == zone.name]
    grown = shapely.buffer(mine, gap / 2, join_style="mitre") if gap else np.array(mine)
    cells = (*(f.cell for f in kept), *(o for shape in grown for o in outlines_of(shape)))
    return replace(zone, fragments=tuple(kept), cells=cells)


class _Site:
    """The strips of a zone and the cut pieces on and beside them."""

    def __init__(
        self,
        zone: LaidZone,
        cut: Sequence[CutPiece],
        earlier: NDArray[np.object_],
        gap: float,
    ) -> None:
        self.cut, self.gap = cut, gap
        self.wood = np.array([shapely.Polygon(one.piece.outline) for one in cut])
        self.seen = np.array([shapely.Polygon(f.outline) for f in zone.fragments])
        self.beside: dict[int, list[int]] = {}
        reach = shapely.buffer(self.wood, gap + 2 * ALIKE)
        pieces, strips = shapely.STRtree(self.seen).query(reach, predicate="intersects")
        pairs = sorted(zip(strips.tolist(), pieces.tolist(), strict=True))
        for strip, piece in pairs:
            self.beside.setdefault(strip, []).append(piece)
        self.earlier, self.tree = earlier, shapely.STRtree(earlier)
        self.owners: dict[int, list[int]] = {}
        for piece, strip in self._places(zone, pairs).items():
            self.owners.setdefault(strip, []).append(piece)

    def _places(self, zone: LaidZone, pairs: Sequence[tuple[int, int]]) -> dict[int, int]:
        """Find the strip of the new layout whose place each cut piece has."""
        pairs = [(f, c) for f, c in pairs if self.cut[c].piece.zone == zone.name]
        if not pairs:
            return {}
        wood = self.wood[[c for _, c in pairs]]
        seen = self.seen[[f for f, _ in pairs]]
        whole = np.array([shapely.Polygon(zone.fragments[f].whole) for f, _ in pairs])
        on_seen = shapely.area(shapely.intersection(wood, seen, grid_size=SNAP_GRID))
        on_whole = shapely.area(shapely.intersection(wood, whole, grid_size=SNAP_GRID))
        best: dict[int, tuple[float, int]] = {}
        for (f, c), shared, all_shared in zip(pairs, on_seen, on_whole, strict=True):
            if shared <= ALIKE or all_shared < _ITS_PLACE * self.wood[c].area:
                continue
            if shared > best.get(c, (0.0, -1))[0] + ALIKE:
                best[c] = (float(shared), f)
        return {c: f for c, (_, f) in sorted(best.items())}

    def lies_on(self, n: int, c: int) -> bool:
        """Tell whether a cut piece, with its gap, lies on a strip by more than a fine line."""
        grown = shapely.buffer(self.wood[c], self.gap) if self.gap else self.wood[c]
        shared = shapely.intersection(self.seen[n], grown, grid_size=SNAP_GRID)
        return any(thickness(o) > 2 * ALIKE for o in map(tidy, outlines_of(shared)) if len(o))

    def taken(self, pieces: Sequence[int]) -> BaseGeometry:
        """The place that cut pieces take, with the gap round them."""
        wood = self.wood[list(pieces)]
        if self.gap:
            wood = shapely.buffer(wood, self.gap, join_style="mitre", mitre_limit=_TIP)
        return shapely.union_all(wood, grid_size=SNAP_GRID)

    def is_new(self, n: int) -> bool:
        """Tell whether a strip is no piece of the earlier plan."""
        shape = self.seen[n]
        others = self.earlier[self.tree.query(shape, predicate="intersects")]
        shared = shapely.area(shapely.intersection(others, shape, grid_size=SNAP_GRID))
        least = _ITS_PLACE * np.minimum(shapely.area(others), shape.area)
        return not bool(np.any(shared >= least))

    def along(self, n: int) -> list[int]:
        """The cut pieces along which a strip lies, if it does so with much of its outline."""
        if n not in self.beside:
            return []
        ring = self.seen[n].exterior
        reach = shapely.buffer(self.wood[self.beside[n]], self.gap + 2 * ALIKE)
        lengths = shapely.length(shapely.intersection(reach, ring))
        if float(lengths.sum()) < _ALONG * ring.length:
            return []
        return [c for c, length in zip(self.beside[n], lengths, strict=True) if length > ALIKE]


def _keep(site: _Site, n: int, fragment: Fragment, found: _Found) -> list[Fragment]:
    """Say what is still to be cut of one strip."""
    owners, beside = site.owners.get(n, []), site.beside.get(n, [])
    over = [c for c in beside if c in owners or site.lies_on(n, c)]
    width = fragment.strip_width or thickness(fragment.whole)
    if not over:
        thick = _broad(fragment.outline)
        if thick >= _WORTH * width or not site.is_new(n):
            return [fragment]
        found.left_open.append(thick)
        _fall_short(site, site.along(n), thick, found)
        return []
    kept = []
    taken = site.taken(over)
    for part in _less(fragment.outline, taken):
        if _broad(part) >= width * (_FILLED if owners else _WORTH):
            kept.append(_own(fragment, part, taken, site.gap))
        elif owners:
            by, nearest = min((_beyond(site.cut[c].piece.outline, part), c) for c in owners)
            _fall_short(site, [nearest], by, found)
    return kept


def _fall_short(site: _Site, pieces: Sequence[int], by: float, found: _Found) -> None:
    for c in pieces:
        number = site.cut[c].piece.number
        found.short[number] = max(found.short.get(number, 0.0), by)


def _beyond(wood: Outline, part: Outline) -> float:
    """How far a piece would have to grow, its corners sharp, to take in what is left [mm]."""
    points = np.asarray(part)
    if not is_convex(wood):
        return float(np.max(shapely.distance(shapely.points(points), shapely.Polygon(wood))))
    return max(float(np.max(points @ (nx, ny) - c)) for nx, ny, c in edge_lines(wood))


def _broad(outline: Outline) -> float:
    """How wide a shape is where it is widest; of one with a notch, the widest disc in it [mm]."""
    if is_convex(outline):
        return thickness(outline)
    return 2.0 * float(shapely.maximum_inscribed_circle(shapely.Polygon(outline)).length)


def _less(outline: Outline, taken: BaseGeometry) -> list[Outline]:
    left = shapely.difference(shapely.Polygon(outline), taken, grid_size=SNAP_GRID)
    return [o for o in map(tidy, outlines_of(left)) if len(o) and thickness(o) > 2 * ALIKE]


def _own(fragment: Fragment, part: Outline, taken: BaseGeometry, gap: float) -> Fragment:
    """Make a fragment of its own of a part of one."""
    cell = shapely.Polygon(part)
    if gap:
        cell = shapely.buffer(cell, gap / 2, join_style="mitre", mitre_limit=100.0)
    within = shapely.intersection(cell, shapely.Polygon(fragment.cell), grid_size=SNAP_GRID)
    inner = shapely.Polygon(part).representative_point()
    wholes = [o for o in _less(fragment.whole, taken) if shapely.Polygon(o).covers(inner)]
    return replace(
        fragment,
        outline=part,
        whole=wholes[0] if wholes else part,
        kin=-1,
        cell=outlines_of(within)[0],
    )
