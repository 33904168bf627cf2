"""The plan: one value that holds every stage's result and all notes.

Comes in: a design. Goes out: a ``Plan``; every output reads only this. Refuses: what cannot be made
as asked, in one sentence.

The flow, each arrow one function::

    design -> opening -> zones -> lay -> clip -> pieces -> parts -> set-ups, sticks, glue-ups,
                                                         shopping
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
import shapely

from tesselath.accuracy import Tolerance, plan_tolerance
from tesselath.advice import (
    Note,
    find_notes,
    note_cautions,
    note_frame_base,
    note_movement,
    note_opening,
    note_pins,
    note_saw,
    note_shift,
    note_stock,
    note_strip_widths,
    note_thickness,
    refuse_solid_slab,
    usual_width,
)
from tesselath.design import Design
from tesselath.errors import TesselathError
from tesselath.field import (
    EdgeTaper,
    LaidZone,
    Piece,
    measure_tapers,
    measured_opening,
    opening_outline,
)
from tesselath.fit import best_shift
from tesselath.frame import FrameBase, plan_frame_base
from tesselath.glue import (
    Finish,
    GlueUp,
    PinSize,
    choose_pin,
    is_ringed,
    plan_finish,
    plan_glue_ups,
)
from tesselath.measure import ALIKE, AREA_SHARE, SNAP_GRID
from tesselath.parts import Part, Stage, plan_stages
from tesselath.plan.totals import count_cuts, net_length, plan_totals
from tesselath.saw import MarkOut, Rip, SawCounts, Setup, count_settings, plan_mark_outs, plan_rips
from tesselath.shape import MeasuredOpening, Outline, area, outlines_of, thickness, tidy
from tesselath.stock import Bound, Stick
from tesselath.top import Hours, ShoppingRow, TrialCut, list_shopping, plan_trial_cuts, reckon_hours
from tesselath.wood import Movement, Stack, Weight, plan_movement, stack_up, weigh_top
from tesselath.work import Refit, Work, work_out

__all__ = [
    "EFFORT",
    "GlueUp",
    "OrderCost",
    "Plan",
    "Zone",
    "assemble_plan",
    "plan_design",
]

_ORDERS = ("let in", "trim", "lap")

#: The budget of the search for the fewest sticks, for each wood and width, in billions of steps:
#: for the order of work asked for, and for those it is compared with.
EFFORT, _COMPARED = 5.0, 0.5


@dataclass(frozen=True, slots=True)
class Zone:
    """A named part of the top: "field", "border-1" (outermost), "medallion-1"."""

    name: str
    outline: Outline


@dataclass(frozen=True, slots=True)
class OrderCost:
    """What one order of work would cost, for the trade-off that the plan prints."""

    order: str
    pieces: int
    parts: int
    cuts: int
    setups: int
    sticks: int
    net_length: float


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything the bench needs; every output reads only this.

    ``opening`` (n, 2) is the clear area inside the frame, counter-clockwise [mm].
    ``uncovered`` are the outlines inside the zones that no strip covers.
    """

    design: Design
    opening: Outline
    measured: MeasuredOpening | None  # how the readings come out, of an opening as measured
    tapers: tuple[EdgeTaper, ...]  # how its edges run off; none where it is not measured
    zones: tuple[Zone, ...]
    pieces: tuple[Piece, ...]
    parts: tuple[Part, ...]
    setups: tuple[Setup, ...]
    saw_counts: SawCounts
    mark_outs: tuple[MarkOut, ...]
    rips: tuple[Rip, ...]
    sticks: tuple[Stick, ...]
    bounds: tuple[Bound, ...]
    sticks_to_buy: Mapping[str, int]  # by wood
    frame_base: FrameBase
    movement: Movement
    stack: Stack
    weight: Weight
    pin: PinSize | None
    finish: Finish
    hours: Hours
    shopping: tuple[ShoppingRow, ...]
    glue_ups: tuple[GlueUp, ...]
    tolerance: Tolerance
    trial_cuts: tuple[TrialCut, ...]
    uncovered: tuple[Outline, ...]
    uncovered_area: float
    orders: tuple[OrderCost, ...]
    notes: tuple[Note, ...]
    totals: Mapping[str, object]
    stages: tuple[Stage, ...]  # what is cut first, and what when the opening is measured
    refit: Refit | None = None  # what is taken over from an earlier plan

    @property
    def all_parts(self) -> tuple[Part, ...]:
        """The parts to cut, and those of which every piece is cut already."""
        return self.parts if self.refit is None else (*self.parts, *self.refit.done)

    def part(self, mark: str) -> Part:
        """Find a part by its mark, cut already or not."""
        return next(part for part in self.all_parts if part.mark == mark)


def plan_design(design: Design) -> Plan:
    """Plan a top: from the design to everything the bench needs.

    Raises
    ------
    DesignError, PatternError, SawError
        If the top cannot be made as asked.
    """
    refuse_solid_slab(design)
    asked = design.field.filling.shift
    design = best_shift(design) if isinstance(asked, str) else design
    opening = opening_outline(design)
    work = work_out(design, opening, design.order, effort=EFFORT)
    by_order = {
        order: work if order == design.order else _try(design, opening, order) for order in _ORDERS
    }
    orders = {order: other for order, other in by_order.items() if other is not None}
    plan = assemble_plan(design, opening, work, orders=orders)
    return replace(plan, notes=(*note_shift(design, asked=asked), *plan.notes))


def assemble_plan(
    design: Design,
    opening: Outline,
    work: Work,
    *,
    orders: Mapping[str, Work],
    refit: Refit | None = None,
) -> Plan:
    """Put together what one order of work comes to, with its notes and what it takes.

    Parameters
    ----------
    opening : array (n, 2)
        The clear area inside the frame [mm].
    orders : mapping of str to Work
        The orders of work that are compared.
    refit : Refit, optional
        What is taken over from an earlier plan; ``work.parts`` are then what is left to cut.

    Raises
    ------
    DesignError
        If frame or base cannot be made as asked.
    """
    uncovered, uncovered_area = _uncovered(work.zones, work.field, may_close=refit is None)
    left = tuple(piece for piece in work.pieces if not piece.cut)
    notes = find_notes(
        design,
        pieces=left,
        parts=work.parts,
        field=work.field,
        tones=_tones_used(work.pieces, work.zones),
        vanished=sum(zone.vanished for zone in work.zones),
        split=sum(zone.split for zone in work.zones),
        alike=work.alike,
        uncovered_area=uncovered_area,
        may_move=refit is None or not refit.cut,
    )
    to_buy: dict[str, int] = {}
    for purchase in work.sticks.to_buy:
        to_buy[purchase.wood] = to_buy.get(purchase.wood, 0) + purchase.strips
    whole = work.parts if refit is None else refit.whole
    rims = {zone.name: zone.outline for zone in work.zones}
    stages = plan_stages(work.pieces, rims, order=design.order)
    pieces, glue_ups = plan_glue_ups(
        design, zones=work.zones, pieces=work.pieces, parts=whole, stages=stages
    )
    frame_base = plan_frame_base(design, opening=opening, field=work.field, zones=rims)
    measured = measured_opening(design)
    border = design.borders[0].width if design.borders else None
    tapers = () if measured is None else measure_tapers(work.field, border=border)
    movement = plan_movement(
        design, pieces=work.pieces, parts=whole, opening=opening, field=work.field
    )
    stack = stack_up(design)
    rips = plan_rips(
        work.parts, work.sticks.sticks, to_buy=work.sticks.to_buy, wider=work.sticks.wider
    )
    hours = reckon_hours(
        design,
        parts=work.parts,
        setups=work.setups,
        rips=rips,
        sticks=len(work.sticks.sticks),
        glue_ups=len(glue_ups),
        frame_base=frame_base,
        area=area(opening),
    )
    saw_counts = count_settings(work.setups, work.sticks.sticks)
    pin, finish = choose_pin(design), plan_finish(design, opening)
    batten = glue_ups[0].batten
    tolerance = plan_tolerance(
        design,
        pieces=pieces,
        parts=whole,
        field=work.field,
        ringed=[zone.name for zone in work.zones if is_ringed(design, zone.name)],
        row_way=None if batten is None else batten.way,
    )
    trial_cuts = plan_trial_cuts(design, parts=work.parts, pieces=pieces, glue_ups=glue_ups)
    return Plan(
        design=design,
        opening=opening,
        measured=measured,
        tapers=tapers,
        zones=tuple(Zone(z.name, z.outline) for z in work.zones),
        pieces=pieces,
        parts=work.parts,
        setups=work.setups,
        saw_counts=saw_counts,
        mark_outs=plan_mark_outs(work.parts, saw=design.saw),
        rips=rips,
        sticks=work.sticks.sticks,
        bounds=work.sticks.bounds,
        sticks_to_buy=to_buy,
        frame_base=frame_base,
        movement=movement,
        stack=stack,
        weight=weigh_top(design, pieces=work.pieces, frame_base=frame_base),
        pin=pin,
        finish=finish,
        hours=hours,
        shopping=list_shopping(
            design,
            frame_base=frame_base,
            field=work.field,
            parts=work.parts,
            to_buy=work.sticks.to_buy,
            pin=pin,
            finish=finish,
            pins=sum(len(g.pins) for g in glue_ups),
        ),
        glue_ups=glue_ups,
        tolerance=tolerance,
        trial_cuts=trial_cuts,
        uncovered=uncovered,
        uncovered_area=uncovered_area,
        orders=tuple(_cost(order, other) for order, other in orders.items()),
        notes=(
            *note_opening(
                design,
                opening=opening,
                measured=measured,
                tapers=tapers,
                strip=usual_width(design, whole),
            ),
            *note_strip_widths(design, across=float(np.ptp(rims["field"], axis=0).max())),
            *note_frame_base(design, frame_base, opening=opening),
            *note_movement(design, movement),
            *note_thickness(design, stack),
            *note_saw(design, parts=work.parts, members=frame_base.members),
            *note_pins(design),
            *note_stock(design, work.sticks),
            *notes,
            *note_cautions(design, parts=work.parts, rips=rips),
        ),
        stages=stages if refit is None else plan_stages(left, rims, order=design.order),
        refit=refit,
        totals={
            **plan_totals(work, to_buy, len(glue_ups), tolerance.rounding),
            "angle_settings": saw_counts.angles,
            "stop_settings": saw_counts.stops,
            "handlings": saw_counts.handlings,
            "stops_by_like_sticks": saw_counts.stops_by_like_sticks,
            "hours": hours.total,
        },
    )


def _try(design: Design, opening: Outline, order: str) -> Work | None:
    """Work out another order for comparison; one that cannot be made is left out."""
    try:
        return work_out(design, opening, order, effort=_COMPARED)
    except TesselathError:
        return None


def _uncovered(
    zones: tuple[LaidZone, ...], field: Outline, *, may_close: bool
) -> tuple[tuple[Outline, ...], float]:
    """Find what no strip covers; nothing where every pattern closes."""
    whole = area(field)
    if may_close and abs(sum(zone.bare for zone in zones)) <= AREA_SHARE * 10 * whole:
        return (), 0.0
    # A hair is added to every cell, so that joints do not count as bare.
    cells = shapely.union_all(
        shapely.buffer(
            [shapely.Polygon(c) for zone in zones for c in zone.cells],
            10 * SNAP_GRID,
            join_style="mitre",
        ),
        grid_size=SNAP_GRID,
    )
    missing = shapely.difference(shapely.Polygon(field), cells, grid_size=SNAP_GRID)
    # What is thinner than the finest line is dust that the clip dropped.
    outlines = [o for o in map(tidy, outlines_of(missing)) if len(o) and thickness(o) > 2 * ALIKE]
    return tuple(outlines), sum(area(o) for o in outlines)


def _tones_used(pieces: tuple[Piece, ...], zones: tuple[LaidZone, ...]) -> list[str]:
    """The tones in use, in the order of the patterns, each once."""
    used = {(piece.zone, piece.tone) for piece in pieces}
    named = [tone for z in zones for tone in z.tones if (z.name, tone) in used and tone in z.woods]
    return list(dict.fromkeys(tone for tone in named if tone not in ("border", "corner")))


def _cost(order: str, work: Work) -> OrderCost:
    return OrderCost(
        order,
        len(work.pieces),
        len(work.parts),
        count_cuts(work.parts),
        len(work.setups),
        len(work.sticks.sticks),
        net_length(work.parts),
    )
