"""Refit: plans the rest of a top anew while the pieces already cut stay as they are.

Comes in: the design as it is now measured, the tables of the earlier plan (``plan.json``), and the
numbers of the pieces that are cut. Goes out: a plan in which only the rest is to be cut. Refuses:
numbers the plan does not have, a plan of another pattern or of another layout.

Both plans count from the centre of the opening, so a cut piece lies where the earlier plan put it,
or off it by as much as the maker says. The pattern of the field goes on where it was, however the
opening has changed. Strips whose width has changed keep the pitch of those already cut: wider
ones are planed to it first, narrower ones leave their joints a little open.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import shapely

from tesselath.advice import Note, refuse_solid_slab
from tesselath.design import Design, MixedLot
from tesselath.field import (
    LaidFor,
    LaidZone,
    Loose,
    Piece,
    field_outline,
    field_width,
    lay_zones,
    opening_outline,
    show_layout,
)
from tesselath.fit import best_shift
from tesselath.measure import ALIKE, SNAP_GRID, counted, show_length
from tesselath.parts import Part, spare_pieces
from tesselath.plan import EFFORT, Plan, assemble_plan
from tesselath.revise.kept_marks import keep_marks, keep_numbers
from tesselath.revise.misfits import find_misfits
from tesselath.revise.same_layout import check_same_layout
from tesselath.revise.strip_width import make_of_width
from tesselath.shape import Outline, area, as_outline, outlines_of, tidy
from tesselath.work import (
    CutPiece,
    Misfit,
    Refit,
    cut_from_sticks,
    deal_and_group,
    lay_round,
    number_laid,
)

__all__ = ["refit_plan"]

Tables = Mapping[str, Any]


def refit_plan(
    design: Design, tables: Tables, cut: Sequence[int], *, moved: tuple[float, float] = (0.0, 0.0)
) -> Plan:
    """Plan what is left of a top, round the pieces that are cut.

    Parameters
    ----------
    design : Design
        The design with the opening, clearance and strips as they are now.
    tables : mapping
        The contents of plan.json of the earlier plan; pieces that it took over stay cut.
    cut : sequence of int
        The numbers of the pieces that are cut.
    moved : tuple of float
        How far what is cut lies to the right of and behind its place in the earlier plan, from
        the centre of the opening as it is now [mm].

    Returns
    -------
    Plan
        The plan; pieces keep their numbers, new ones go on after the last.

    Raises
    ------
    DesignError
        If a number is not in the plan, or the two are not of one layout.
    OutputError
        If the plan is of an earlier version.
    PatternError, SawError
        As for a plan.
    """
    design = _placed(design, tables, cut)
    check_same_layout(design, tables, cut)
    refuse_solid_slab(design)
    opening = opening_outline(design)
    field = field_outline(design, opening, design.order)
    zones, layout, narrower = _lay_on(design, tables, cut, field, moved)
    taken = _take_over(design, tables, cut, zones, moved)
    of_cut = {one.piece.number: one.piece for one in taken}
    rows = [row for row in tables["pieces"] if row["number"] not in of_cut]
    laid = lay_round(
        zones,
        taken,
        gap=design.strips.gap,
        earlier=[as_outline(np.asarray(row["outline"]) + moved) for row in rows],
    )
    last = max(row["number"] for row in tables["pieces"])
    fresh = keep_numbers(number_laid(design, laid.zones), rows, last=last)
    everything = sorted((*fresh, *map(_as_loose, taken)), key=lambda piece: piece.number)
    dealt = _as_dealt(design, tables, of_cut)
    pieces, parts, alike = deal_and_group(design, everything, as_dealt=dealt)
    pieces, parts = keep_marks(pieces, parts, tables, faces=design.strips.faces)
    pieces = tuple(
        replace(of_cut[piece.number], part=piece.part) if piece.number in of_cut else piece
        for piece in pieces
    )
    left, done = _left_to_cut(parts, set(of_cut), design.stock.spares)
    work = cut_from_sticks(design, field, laid.zones, pieces, left, alike=alike, effort=EFFORT)
    misfits = find_misfits(
        taken,
        {zone.name: zone.outline for zone in zones},
        opening=opening,
        short=laid.short,
        least=design.tape / 2,
        order=design.order,
    )
    refit = Refit(tables["mark"], taken, misfits, parts, done, layout, narrower, laid.left_open)
    plan = assemble_plan(design, opening, work, orders={design.order: work}, refit=refit)
    return replace(plan, notes=(*_notes(design, refit), *plan.notes))


def _placed(design: Design, tables: Tables, cut: Sequence[int]) -> Design:
    """The design with the shift that the fit chose before, or, with nothing cut, chooses now."""
    filling = design.field.filling
    if not isinstance(filling.shift, str):
        return design
    if not cut and not any("cut" in row for row in tables["pieces"]):
        return best_shift(design)
    shift = tuple(tables.get("layout", {}).get("shift", (0.0, 0.0)))
    return replace(design, field=replace(design.field, filling=replace(filling, shift=shift)))


def _lay_on(
    design: Design,
    tables: Tables,
    cut: Sequence[int],
    field: Outline,
    moved: tuple[float, float],
) -> tuple[tuple[LaidZone, ...], Mapping[str, object], float]:
    """Lay every zone, the field's pattern where it was if any of it is cut."""
    was = tables["layout"]
    numbers = set(cut)
    begun = {row["zone"] for row in tables["pieces"] if row["number"] in numbers or "cut" in row}
    total = tuple(np.add(was["moved"], moved))
    laid_as = _moved(design, total) if begun else design
    if "field" not in begun:
        zones = lay_zones(laid_as, field)
        edge = next(zone.outline for zone in zones if zone.name == "field")
        return zones, {**show_layout(design, edge), "moved": list(total)}, 0.0
    edge = as_outline(np.add(was["edge"], moved))
    x, y = (float(v) for v in np.add(was["middle"], moved))
    layout = {**was, "edge": edge.tolist(), "middle": [x, y], "moved": list(total)}
    pitch, width = was["field_width"], field_width(design)
    zones = lay_zones(_at_pitch(laid_as, was), field, as_laid=LaidFor(edge, (x, y)))
    if pitch is None or width is None:
        return zones, layout, 0.0
    if abs(pitch - width) <= ALIKE:
        return zones, layout, 0.0
    return make_of_width(zones, design, pitch=pitch, width=width), layout, pitch - width


def _moved(design: Design, by: Sequence[float]) -> Design:
    """The design with its medallions where the glued field has taken them."""
    medallions = tuple(
        replace(one, points=tuple((x + by[0], y + by[1]) for x, y in one.points))
        for one in design.medallions
    )
    return replace(design, medallions=medallions)


def _at_pitch(design: Design, layout: Mapping[str, Any]) -> Design:
    """The design laid at the pitch of the pieces that are cut."""
    filling = design.field.filling
    settings = {key: value for key, value in filling.settings.items() if key != "w"}
    if "w" in layout["set"]:
        settings["w"] = layout["set"]["w"]
    field = replace(design.field, filling=replace(filling, settings=settings))
    strips = replace(design.strips, width=layout["strip_width"])
    return replace(design, field=field, strips=strips)


def _take_over(
    design: Design,
    tables: Tables,
    cut: Sequence[int],
    zones: Sequence[LaidZone],
    moved: tuple[float, float],
) -> tuple[CutPiece, ...]:
    """Take the pieces that are cut, as they lie in the earlier plan."""
    widths = {part["mark"]: part["strip_width"] for part in tables["parts"]}
    wanted = set(cut)
    rims = {zone.name: zone for zone in zones}
    taken = []
    for row in tables["pieces"]:
        if row["number"] not in wanted and "cut" not in row:
            continue
        outline = as_outline(np.asarray(row["outline"]) + moved)
        blank = as_outline(np.asarray(row["blank"]) + moved) if "blank" in row else None
        piece = Piece(
            number=row["number"],
            part=row["part"],
            zone=row["zone"],
            wood=row["wood"],
            tone=row["tone"],
            outline=outline,
            blank=blank,
            grain=row["grain"],
            overall=row["overall"],
            edge=row["edge"],
            width=row["width"],
            row=row["row"],
            glue_up=row["glue_up"],
            cut=True,
        )
        if design.order == "trim" and rims[piece.zone].trimmed:
            piece = _trimmed(piece, rims[piece.zone].outline)
        taken.append(CutPiece(piece, widths[row["part"]]))
    return tuple(sorted(taken, key=lambda one: one.piece.number))


def _trimmed(piece: Piece, rim: Outline) -> Piece:
    """Let the trim line fall where it falls now; what was cut stays as it is."""
    blank = shapely.Polygon(piece.cut_outline)
    inside = outlines_of(shapely.intersection(blank, shapely.Polygon(rim), grid_size=SNAP_GRID))
    if not inside:
        return piece
    largest = tidy(max(inside, key=area))
    now, before = shapely.LinearRing(largest), shapely.LinearRing(piece.outline)
    if shapely.hausdorff_distance(now, before) <= ALIKE:
        return piece
    return replace(piece, outline=largest, blank=piece.cut_outline)


def _as_loose(one: CutPiece) -> Loose:
    p = one.piece
    return Loose(
        p.number, p.zone, p.wood, p.tone, p.outline, p.blank, p.grain, one.strip_width, p.row, None
    )


def _as_dealt(design: Design, tables: Tables, cut: Container[int]) -> dict[int, str]:
    """The wood of each piece of a mixed lot as the earlier plan dealt it."""
    lots = {tone: lot.woods for tone, lot in design.tones.items() if isinstance(lot, MixedLot)}
    return {
        row["number"]: row["wood"]
        for row in tables["pieces"]
        if row["number"] in cut or row["wood"] in lots.get(row["tone"], ())
    }


def _left_to_cut(
    parts: Sequence[Part], cut: set[int], spares: float
) -> tuple[tuple[Part, ...], tuple[Part, ...]]:
    """Sort the parts into what is left of them to cut, and those that are done."""
    left, done = [], []
    for part in parts:
        numbers = tuple(n for n in part.numbers if n not in cut)
        if len(numbers) == len(part.numbers):
            left.append(part)
        elif numbers:
            count = len(numbers)
            left.append(
                replace(part, numbers=numbers, count=count, spares=spare_pieces(count, spares))
            )
        else:
            done.append(part)
    return tuple(left), tuple(done)


def _notes(design: Design, refit: Refit) -> list[Note]:
    """Say what is taken over, and what of it no longer fits, one line a class."""

    def show(mm: float) -> str:
        return design.show_plain(mm, up=True)

    def fine(mm: float) -> str:
        tape = min(design.tape, 25.4 / 64 if design.units == "in" else 0.1)
        return show_length(mm, tape=tape, units=design.units)

    if not refit.cut:
        return []
    numbers = tuple(one.piece.number for one in refit.cut)
    pieces = counted(len(numbers), "piece is", "pieces are")
    notes = [
        Note(
            "already-cut",
            f"{pieces} cut already and taken over from plan {refit.from_mark} as "
            "they are; only the rest is to be cut.",
            numbers,
        )
    ]
    classes: dict[str, list[Misfit]] = {}
    for misfit in refit.does_not_fit:
        classes.setdefault(misfit.do, []).append(misfit)
    for do, misfits in classes.items():
        worst = max(misfits, key=lambda m: (round(m.by, 3), -m.number))
        which = tuple(sorted({m.number for m in misfits}))
        named = (
            f"Piece {worst.number}, already cut, {worst.how} by {show(worst.by)}."
            if len(which) == 1
            else f"{len(which)} pieces already cut no longer fit; the worst, piece "
            f"{worst.number}, {worst.how} by {show(worst.by)}."
        )
        notes.append(Note("does-not-fit", f"{named} {do}", which))
    notes += _left_open_notes(refit, show) + _width_notes(refit, fine)
    return notes


def _left_open_notes(refit: Refit, show: Callable[[float], str]) -> list[Note]:
    if not refit.left_open:
        return []
    count = len(refit.left_open)
    return [
        Note(
            "left-open",
            f"{count} {'places stay' if count > 1 else 'place stays'} open that the "
            f"earlier plan did not have, {show(max(refit.left_open))} wide at the most: too thin "
            "for a piece. Fill such a place with a shaving of the same wood.",
        )
    ]


def _width_notes(refit: Refit, show: Callable[[float], str]) -> list[Note]:
    if refit.narrower > 0.0:
        text = (
            f"The strips are {show(refit.narrower)} narrower than those already cut; laid at the "
            "pitch of those, each new joint is open by as much."
        )
        return [Note("joint-opens", text)]
    if refit.narrower < 0.0:
        text = (
            f"The strips are {show(-refit.narrower)} wider than those already cut. Plane or rip "
            "them to the width of those before anything is cut from them."
        )
        return [Note("strips-wider", text)]
    return []
