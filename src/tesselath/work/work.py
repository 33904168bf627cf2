"""Work: what one order of work comes to, from the opening to the sticks.

Comes in: a design, its opening, an order of work. Goes out: zones, pieces, parts, set-ups, sticks.
Refuses: what cannot be laid or cut as asked.

The steps, each a function of its own::

    opening -> field -> zones -> number_laid -> deal_and_group -> cut_from_sticks
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from tesselath.design import Design, MixedLot
from tesselath.errors import DesignError, Fault
from tesselath.field import LaidZone, Loose, Piece, field_outline, lay_zones, number_pieces
from tesselath.parts import Part, deal_woods, group_parts
from tesselath.saw import Setup, plan_setups
from tesselath.shape import Outline
from tesselath.stock import StickPlan, plan_sticks

__all__ = ["Work", "cut_from_sticks", "deal_and_group", "number_laid", "work_out"]


@dataclass(frozen=True, slots=True)
class Work:
    """What one order of work comes to."""

    field: Outline
    zones: tuple[LaidZone, ...]
    pieces: tuple[Piece, ...]
    parts: tuple[Part, ...]
    setups: tuple[Setup, ...]
    sticks: StickPlan
    alike: int  # pairs of one wood of a mixed lot side by side


def work_out(design: Design, opening: Outline, order: str, *, effort: float) -> Work:
    """Go through the stages from the opening to the sticks.

    Parameters
    ----------
    opening : array (n, 2)
        The clear area inside the frame [mm].
    order : {"let in", "trim", "lap"}
        The order of work, which may be another than the design's.
    effort : float
        The budget of the search for the fewest sticks, for each wood and width [steps, billions].

    Raises
    ------
    DesignError, PatternError, SawError
        If the top cannot be made as asked.
    """
    design = _in_order(design, order)
    field = field_outline(design, opening, order)
    zones = lay_zones(design, field)
    if not any(zone.fragments for zone in zones):
        raise DesignError(
            Fault(
                design.place("field"),
                None,
                "No strip of the pattern lies in the opening.",
                "Change the shift, or make the strips wider than the gap.",
            )
        )
    pieces, parts, alike = deal_and_group(design, number_laid(design, zones))
    return cut_from_sticks(design, field, zones, pieces, parts, alike=alike, effort=effort)


def number_laid(design: Design, zones: Sequence[LaidZone]) -> tuple[Loose, ...]:
    """Number what the zones hold, in gluing order; see `number_pieces`."""
    return number_pieces(
        [(zone.name, zone.fragments) for zone in zones],
        tones={zone.name: zone.tones for zone in zones},
        woods={zone.name: zone.woods for zone in zones},
        trimmed=[zone.name for zone in zones if zone.trimmed and design.order == "trim"],
        overlength=design.strips.overlength,
        tape=design.tape,
    )


def deal_and_group(
    design: Design, loose: Sequence[Loose], *, as_dealt: Mapping[int, str] | None = None
) -> tuple[tuple[Piece, ...], tuple[Part, ...], int]:
    """Deal the woods of mixed lots and group the pieces into parts.

    Parameters
    ----------
    design : Design
        The design, for its lots, saw and glue.
    loose : sequence of Loose
        The pieces, ascending by number.
    as_dealt : mapping of int to str, optional
        The wood of pieces of mixed lots that an earlier plan has dealt, by number.

    Returns
    -------
    pieces, parts and int
        The pieces with their marks, the parts, and how many pairs of one wood of a mixed lot lie
        side by side [count].
    """
    lots = {tone: lot for tone, lot in design.tones.items() if isinstance(lot, MixedLot)}
    dealt, alike = deal_woods(loose, lots, gap=design.strips.gap)
    if as_dealt:
        dealt = tuple(replace(p, wood=as_dealt.get(p.number, p.wood)) for p in dealt)
    pieces, parts = group_parts(
        dealt,
        faces=design.strips.faces,
        stop_side=design.saw.stop_side,
        saw=design.saw,
        spares=design.stock.spares,
        tape=design.tape,
    )
    return pieces, parts, alike


def cut_from_sticks(
    design: Design,
    field: Outline,
    zones: tuple[LaidZone, ...],
    pieces: tuple[Piece, ...],
    parts: tuple[Part, ...],
    *,
    alike: int,
    effort: float,
) -> Work:
    """Plan sticks and set-ups for the parts.

    Parameters
    ----------
    design : Design
        The design, for its stock and saw.
    field : array (n, 2)
        What the strips cover [mm].
    zones : tuple of LaidZone
        The zones as laid.
    pieces, parts : tuple
        What is to be cut.
    alike : int
        Pairs of one wood of a mixed lot side by side [count].
    effort : float
        The budget of the search for the fewest sticks, for each wood and width [steps, billions].

    Raises
    ------
    SawError
        If a piece is longer than any stick leaves to cut.
    """
    sticks = plan_sticks(
        parts,
        design.stock,
        faces=design.strips.faces,
        holding=design.saw.holding,
        thickness=design.strips.thickness,
        units=design.units,
        woods=design.woods,
        effort=effort,
    )
    return Work(
        field,
        zones,
        pieces,
        parts,
        plan_setups(parts, sticks.sticks, saw=design.saw),
        sticks,
        alike,
    )


def _in_order(design: Design, order: str) -> Design:
    """The design as it would be if the work were done in another order."""
    if order == design.order:
        return design
    overlength = (12.7 if design.units == "in" else 12.0) if order == "trim" else 0.0
    return replace(design, order=order, strips=replace(design.strips, overlength=overlength))
