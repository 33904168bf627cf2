"""Finish: how much it takes, and the steps from bare wood to a top that is used.

Comes in: a design, its opening. Goes out: millilitres and steps.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from tesselath.design import Design
from tesselath.shape import Outline, area, corners_moved_out

__all__ = ["COATS", "Finish", "finish_steps", "plan_finish"]

#: Coats on each face [count]; common practice.
COATS = 3

#: What a litre covers in one coat [m2]; 8 to 12 on the tins, from memory.
_COVERS = 10.0


@dataclass(frozen=True, slots=True)
class Finish:
    """The finish: one face of the top [mm2], coats on each face, and how much to buy [ml]."""

    face: float
    coats: int
    amount: int


def plan_finish(design: Design, opening: Outline) -> Finish:
    """Reckon the finish for both faces.

    Source: common practice: as many coats behind as in front, or the panel cups.

    Parameters
    ----------
    design : Design
        The design, with its frame.
    opening : array (n, 2)
        The clear area inside the frame [mm].

    Returns
    -------
    Finish
        Its area and amount, up to the next 50 ml.
    """
    outer = opening if design.frame is None else corners_moved_out(opening, design.frame.width)
    face = area(outer)
    litres = 2 * COATS * face / 1e6 / _COVERS
    return Finish(face, COATS, ceil(litres * 1000 / 50 - 1e-9) * 50)


def finish_steps(design: Design) -> tuple[str, ...]:
    """List the steps from the levelled top to one that is used.

    Source: common practice.
    """
    steps = ["Try the finish on an offcut of each wood, with the same grit."]
    if (
        len(
            {
                wood
                for kept in design.tones.values()
                for wood in ((kept,) if isinstance(kept, str) else kept.woods)
            }
        )
        > 1
    ):
        steps.append(
            "Lift the dust with a vacuum and seal light and dark woods with a thin first coat "
            "before any rag is drawn across them: dark dust bleeds into light wood."
        )
    steps += [
        f"Give both faces the same {COATS} coats on the same day, back first, and seal the edges "
        "of the plywood: a panel finished on one face only cups.",
        "Rub down lightly between coats, along the strips.",
        "Rags with oil in them: spread flat out of doors, or under water in a lidded tin, each "
        "time.",
        "Leave the top a week before it is used, with air on both faces.",
    ]
    return tuple(steps)
