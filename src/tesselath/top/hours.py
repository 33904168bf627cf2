"""Hours: what the work takes at a stated pace.

Comes in: the design with its pace, and what is to be cut and glued. Goes out: hours by kind of
work, and the days of gluing.

The pace is a careful amateur's; whoever is faster says so in the design.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from tesselath.design import Design
from tesselath.frame import FrameBase
from tesselath.parts import Part
from tesselath.saw import Rip, Setup

__all__ = ["Hours", "WorkHours", "reckon_hours"]


@dataclass(frozen=True, slots=True)
class WorkHours:
    """One kind of work: how many times, and how long in all [h]."""

    work: str
    count: int
    unit: str
    hours: float


@dataclass(frozen=True, slots=True)
class Hours:
    """The hours of a job by kind of work, and over how many days the gluing goes [count]."""

    rows: tuple[WorkHours, ...]
    glue_days: int

    @property
    def total(self) -> float:
        """All of it, up to the next half hour [h]."""
        return ceil(2 * sum(row.hours for row in self.rows) - 1e-9) / 2


def reckon_hours(
    design: Design,
    *,
    parts: Sequence[Part],
    setups: Sequence[Setup],
    rips: Sequence[Rip],
    sticks: int,
    glue_ups: int,
    frame_base: FrameBase,
    area: float,
) -> Hours:
    """Reckon the hours of a job.

    Source: common practice; each pace can be set in the design.

    Parameters
    ----------
    design : Design
        The design: its pace.
    parts : sequence of Part
        The parts, spares included.
    setups, rips : sequence
        The settings of the saws.
    sticks, glue_ups : int
        How many [count].
    area : float
        The area of the top, for levelling and finish [mm2].

    Returns
    -------
    Hours
        One row for each kind of work there is.
    """
    pace = design.pace
    made = [(part, part.count + part.spares) for part in parts]
    pieces = sum(part.count for part in parts)
    sawn = [(p, n) for p, n in made if p.handling != "make up"]
    cuts = sum(sum(cut.op == "end" for cut in part.cuts) * count for part, count in sawn)
    by_hand = sum(n for part, n in made if part.handling in ("mark and hand saw", "make up"))
    members = len(frame_base.members)
    joins = 0 if frame_base.base is None else 1 + frame_base.base.sheets.joins
    square_metres = area / 1e6
    laid = pieces * design.glue.pace
    rows = (
        WorkHours("sticks trimmed and marked", sticks, "sticks", sticks * pace.stick),
        WorkHours(
            "saw set up and tested",
            len(setups) + len(rips),
            "set-ups",
            (len(setups) + len(rips)) * pace.set_up,
        ),
        WorkHours("cuts at the saw", cuts, "cuts", cuts * pace.cut),
        WorkHours("pieces marked and sawn by hand", by_hand, "pieces", by_hand * pace.by_hand),
        WorkHours("base sawn and joined", joins, "parts", joins * pace.base),
        WorkHours("frame", members, "members", members * pace.member),
        WorkHours("dry fit", pieces, "pieces", laid),
        WorkHours("glue-ups", glue_ups, "glue-ups", laid + glue_ups * pace.glue_up),
        WorkHours(
            "levelling and finish",
            ceil(square_metres),
            "square metres",
            max(square_metres, 0.25) * pace.finish,
        ),
    )
    kept = tuple(
        WorkHours(row.work, row.count, row.unit, row.hours / 3600) for row in rows if row.count
    )
    return Hours(kept, ceil(glue_ups / pace.glue_ups_a_day))
