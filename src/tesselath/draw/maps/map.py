"""The numbered assembly map: which piece goes where.

Comes in: a plan. Goes out: a sheet, true to scale.

Always the same picture: show face up, seen from above, FRONT at the bottom. Each piece carries
its part's letter and, smaller, its own number, along the grain. Woods are told by rulings along
the grain; colour is extra. Pieces cut already are plain grey. Layers, from below: frame, uncovered,
wood, grain, outlines, opening, centre, numbers, surround, title.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely

from tesselath.draw.maps.frame import FrameShape, frame_shape
from tesselath.draw.maps.labels import Label, LabelSizes, label_size
from tesselath.draw.maps.leaders import Leader, lead_out
from tesselath.draw.maps.legend import draw_legend
from tesselath.draw.maps.lettered import Lettered, draw_label, label_outline, letter_pieces
from tesselath.draw.maps.scaled_plan import scaled_plan
from tesselath.draw.maps.surround import (
    Surround,
    draw_centre_lines,
    draw_surround,
    draw_trim_line,
    texts_of,
)
from tesselath.draw.maps.wood import dress_woods, wood_colour
from tesselath.draw.paper import (
    INK,
    Circle,
    Corners,
    Fill,
    Item,
    Layer,
    Line,
    Pens,
    Polygon,
    Sheet,
    Stroke,
    Tape,
    moved,
    pens_for,
    text_outline,
    tinted,
)
from tesselath.field import Piece
from tesselath.measure import SNAP_GRID
from tesselath.plan import Plan

__all__ = ["draw_map"]

#: Letters grow with the strips, up to this share of their width.
_LETTER_SHARE = 0.44
#: Rulings: this many of the closest in a strip's width.
_RULED = 9.0


def draw_map(
    plan: Plan,
    *,
    palette: str = "wood",
    scale: float = 1.0,
    numbers: bool = True,
    legend: bool = True,
) -> Sheet:
    """Draw the numbered assembly map.

    Source: common practice; lettering of 4 and 2.5 mm is read at arm's length on a bench.

    Parameters
    ----------
    palette : {"wood", "plain"}
        The colours of the woods, or plain ones for colour-blind readers.
    scale : float
        How large a millimetre is drawn [mm]; lettering and pens keep their size on paper.
    numbers : bool
        Whether piece numbers are printed, or part letters only, as on an overview.
    legend : bool
        Whether name, key and check lines stand under the drawing.
    """
    drawing = _Drawing(scaled_plan(plan, scale), scale)
    names = list(dict.fromkeys(piece.wood for piece in plan.pieces))
    looks = dress_woods(names, woods=plan.design.woods, palette=palette)
    lettered = letter_pieces(
        drawing.plan.pieces,
        parts={part.mark: part for part in plan.all_parts},
        looks=looks,
        sizes=drawing.sizes,
        spacing=drawing.spacing,
        outline=drawing.pens.outline,
        numbers=numbers,
    )
    surround = draw_surround(
        drawing.plan.opening,
        frame=drawing.frame,
        pens=drawing.pens,
        tape=drawing.tape,
        field=drawing.field_box,
        field_pieces=_in_rows(drawing.plan),
    )
    bare, bare_labels = _uncovered(drawing.plan, drawing.pens)
    labels = (*lettered.labels, *bare_labels)
    taken: list[Corners] = [label_outline(label) for label in labels]
    air = 0.4 * drawing.pens.base
    taken += [text_outline(text, air=air) for text in texts_of(surround.items)]
    leaders = _leaders(drawing, lettered, taken, surround)
    taken += [label_outline(leader.label) for leader in leaders]
    layers = [
        Layer("frame", _frame(drawing)),
        Layer("uncovered", bare),
        Layer("wood", lettered.woods),
        Layer("grain", lettered.rulings),
        Layer("outlines", (*_overhang(drawing, taken), *lettered.outlines, *_misfits(drawing))),
        Layer("opening", _opening(drawing)),
        Layer("centre", (draw_centre_lines(drawing.outer_box, pens=drawing.pens, free=taken),)),
        Layer("numbers", _lettering(lettered, leaders, bare_labels, drawing)),
        Layer("surround", surround.items),
    ]
    foot = None
    if legend:
        left, _, right, _ = _drawn_box(surround, leaders)
        foot = draw_legend(
            drawing.plan,
            looks=looks,
            lettered=lettered,
            pens=drawing.pens,
            tape=drawing.tape,
            spacing=drawing.spacing,
            width=right - left,
        )
    return _laid_out(drawing, layers, _drawn_box(surround, leaders), foot)


@dataclass(frozen=True)
class _Drawing:
    """A plan as drawn, with what follows from its size."""

    plan: Plan
    scale: float

    @cached_property
    def frame(self) -> FrameShape | None:
        frame = self.plan.design.frame
        if frame is None:
            return None
        return frame_shape(self.plan.opening, width=frame.width * self.scale, corner=frame.corner)

    @cached_property
    def outer_box(self) -> tuple[float, float, float, float]:
        outer = self.frame.outer if self.frame else self.plan.opening
        left, bottom, right, top = shapely.Polygon(outer).bounds
        return left, bottom, right, top

    @cached_property
    def field_box(self) -> tuple[float, float, float, float]:
        outlines = [piece.outline for piece in self.plan.pieces] or [self.plan.opening]
        corners = np.concatenate(outlines)
        (left, bottom), (right, top) = corners.min(axis=0), corners.max(axis=0)
        return float(left), float(bottom), float(right), float(top)

    @cached_property
    def pens(self) -> Pens:
        left, bottom, right, top = self.outer_box
        return pens_for(max(right - left, top - bottom), strip=self.width)

    @cached_property
    def tape(self) -> Tape:
        return Tape(self.plan.design.tape, self.plan.design.units, self.scale)

    @cached_property
    def width(self) -> float:
        """The usual width of a piece on the drawing [mm]."""
        widths = [piece.width for piece in self.plan.pieces]
        return float(np.median(widths)) * self.scale if widths else 25.4

    @cached_property
    def sizes(self) -> LabelSizes:
        most = min(_LETTER_SHARE * self.width, 3.2 * self.pens.base)
        return LabelSizes(most=max(4.0, most))

    @cached_property
    def spacing(self) -> float:
        """The closest spacing of a ruling [mm]."""
        return max(self.width / _RULED, 0.35)


def _frame(drawing: _Drawing) -> tuple[Item, ...]:
    if drawing.frame is None:
        return ()
    design = drawing.plan.design
    wood = design.frame.wood if design.frame else None
    colour = wood_colour(wood, design.woods) if wood else "#e0d8c8"
    ring = (drawing.frame.outer, drawing.plan.opening[::-1])
    return (
        Polygon(ring, Fill(tinted(colour, 0.09)), role="frame"),
        Polygon((drawing.frame.outer,), stroke=drawing.pens.frame, role="frame"),
        Line(drawing.frame.joints, drawing.pens.frame, role="frame-joint"),
    )


def _in_rows(plan: Plan) -> list[Piece]:
    """Give the pieces whose rows are numbered; a figure that stands alone has none."""
    fills = plan.design.field.filling.pattern.fills
    return [piece for piece in plan.pieces if fills and piece.zone == "field"]


def _overhang(drawing: _Drawing, taken: Sequence[Corners]) -> tuple[Item, ...]:
    """Show what of the blanks lies beyond the trim line, or under the frame."""
    blanks = tuple(piece.blank for piece in drawing.plan.pieces if piece.blank is not None)
    if not blanks:
        return ()
    field = shapely.Polygon(drawing.plan.opening)
    busy = shapely.union_all([field, *(shapely.Polygon(corners) for corners in taken)])
    beyond = shapely.difference([shapely.Polygon(blank).exterior for blank in blanks], busy)
    runs = tuple(
        shapely.get_coordinates(part)
        for line in beyond
        for part in shapely.get_parts(shapely.line_merge(line))
        if part.geom_type == "LineString" and part.length > drawing.pens.outline.width
    )
    return (Line(runs, drawing.pens.hidden, role="overhang"),) if runs else ()


def _misfits(drawing: _Drawing) -> tuple[Item, ...]:
    """Outline the pieces, cut already, that no longer fit."""
    refit = drawing.plan.refit
    numbers = set() if refit is None else {misfit.number for misfit in refit.does_not_fit}
    outlines = tuple(p.outline for p in drawing.plan.pieces if p.number in numbers)
    return (Polygon(outlines, stroke=drawing.pens.misfit, role="misfit"),) if outlines else ()


def _opening(drawing: _Drawing) -> tuple[Item, ...]:
    pens, plan = drawing.pens, drawing.plan
    trimmed = plan.design.order == "trim"
    zones = tuple(
        zone.outline
        for zone in plan.zones
        if not (trimmed and np.array_equal(zone.outline, plan.opening))
    )
    items: list[Item] = [Polygon(zones, stroke=pens.zone, role="zone")] if zones else []
    if trimmed:
        return (*items, *draw_trim_line(plan.opening, pens=pens))
    if plan.design.order == "lap":
        items = [Polygon(zones, stroke=pens.hidden, role="zone")]
    return (*items, Polygon((plan.opening,), stroke=pens.frame, role="opening"))


def _uncovered(plan: Plan, pens: Pens) -> tuple[tuple[Item, ...], tuple[Label, ...]]:
    """Cross out what no strip covers, and say so where there is room."""
    if not plan.uncovered:
        return (), ()
    wood = shapely.union_all(
        [shapely.Polygon(piece.outline) for piece in plan.pieces], grid_size=SNAP_GRID
    )
    runs: list[Corners] = []
    labels: list[Label] = []
    sizes = LabelSizes()
    for outline in plan.uncovered:
        bare = shapely.difference(shapely.Polygon(outline), wood, grid_size=SNAP_GRID)
        if bare.is_empty or not isinstance(bare, shapely.Polygon | shapely.MultiPolygon):
            continue
        middle, room = shapely.get_coordinates(shapely.maximum_inscribed_circle(bare))
        width, height = label_size("open", "", 1.0, sizes=sizes)
        cap = min(1.2 * pens.base, 2 * float(np.hypot(*(room - middle))) / np.hypot(width, height))
        if cap >= sizes.least:
            at = (float(middle[0]), float(middle[1]))
            labels.append(Label(at, 0.0, "open", "", cap, 0.0, False, width * cap, height * cap))
            bare = bare.difference(shapely.Polygon(label_outline(labels[-1])))
        left, bottom, right, top = shapely.Polygon(outline).bounds
        cross = shapely.MultiLineString(
            [[(left, bottom), (right, top)], [(left, top), (right, bottom)]]
        )
        runs += [
            shapely.get_coordinates(part)
            for part in shapely.get_parts(cross.intersection(bare))
            if part.geom_type == "LineString"
        ]
    return (
        Polygon(plan.uncovered, Fill("#ffffff"), role="uncovered"),
        Line(tuple(runs), Stroke(max(0.25, pens.thin.width), "#777777"), role="uncovered"),
    ), tuple(labels)


def _leaders(
    drawing: _Drawing, lettered: Lettered, taken: Sequence[Corners], surround: Surround
) -> list[Leader]:
    if not lettered.unlabelled:
        return []
    opening = drawing.plan.opening
    edges: list[Corners] = [np.concatenate([opening, opening[:1]])]
    if drawing.frame is not None:
        edges += [np.concatenate([drawing.frame.outer, drawing.frame.outer[:1]])]
        edges += list(drawing.frame.joints)
    for item in surround.items:
        if isinstance(item, Line):
            edges += list(item.runs)
    sizes = replace(lettered.sizes, most=max(lettered.sizes.least, 0.6 * drawing.pens.base))
    return lead_out(
        lettered.unlabelled,
        sizes=sizes,
        taken=taken,
        edges=edges,
        closed=surround.ruled,
        field=opening,
    )


def _lettering(
    lettered: Lettered, leaders: Sequence[Leader], bare: Sequence[Label], drawing: _Drawing
) -> tuple[Item, ...]:
    """Print triangles, leaders and all lettering; letters first, then numbers, each by size."""
    count = len(drawing.plan.pieces)
    thin = drawing.pens.thin
    flags = tuple(label_outline(leader.label) for leader in leaders if leader.on_pieces)
    drawn: list[Item] = [*lettered.triangles]
    if leaders:
        drawn.append(
            Line(tuple((leader.start, leader.end) for leader in leaders), thin, role="leader")
        )
        drawn += [
            Circle(leader.start, 1.6 * thin.width, Fill(INK), role="leader") for leader in leaders
        ]
    if flags:
        drawn.append(Polygon(flags, Fill("#ffffff"), thin, role="leader-label"))
    labels = sorted(
        (*lettered.labels, *(leader.label for leader in leaders)),
        key=lambda label: (-label.letter_cap, int(label.number or 0)),
    )
    texts = [draw_label(label, pieces=count) for label in labels]
    words = [replace(draw_label(label, pieces=count)[0], role="uncovered") for label in bare]
    return (
        *drawn,
        *words,
        *(pair[0] for pair in texts),
        *(number for pair in texts for number in pair[1:]),
    )


def _drawn_box(surround: Surround, leaders: Sequence[Leader]) -> tuple[float, float, float, float]:
    """Give the box round all that is drawn: left, bottom, right, top."""
    corners = [
        (surround.box[0], surround.box[1]),
        (surround.box[2], surround.box[3]),
        *(corner for leader in leaders for corner in label_outline(leader.label)),
    ]
    (left, bottom), (right, top) = np.min(corners, axis=0), np.max(corners, axis=0)
    return float(left), float(bottom), float(right), float(top)


def _laid_out(
    drawing: _Drawing,
    layers: list[Layer],
    box: tuple[float, float, float, float],
    foot: tuple[tuple[Item, ...], float, float] | None,
) -> Sheet:
    """Hang the title block under the drawing, and fit the page round all."""
    base = drawing.pens.base
    left, bottom, right, top = box
    margin = max(5.0, 2.0 * base) if foot else 1.0
    legend, foot_width, foot_height = foot or ((), 0.0, -1.5 * base)
    wide = max(right - left, foot_width)
    start = (left + right - wide) / 2
    under = bottom - 1.5 * base
    if foot:
        layers.append(Layer("title", moved(legend, start, under)))
    low = under - foot_height - margin
    return Sheet(
        title=f"{drawing.plan.design.name}: numbered map",
        left=float(start - margin),
        bottom=float(low),
        width=float(wide + 2 * margin),
        height=float(top + margin - low),
        layers=tuple(layers),
    )
