"""How a book prints lengths, angles and marks of parts.

Comes in: a plan. Goes out: words.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from tesselath.measure import show_angle, show_number
from tesselath.parts import Part
from tesselath.plan import Plan

__all__ = ["Show"]


class Show:
    """Prints what a plan holds, to the maker's tape and in both units where that is asked."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.units = plan.design.units

    def __call__(self, mm: float | None, *, up: bool = False) -> str:
        """Print a length; a dash where there is none."""
        return "–" if mm is None else self.plan.design.show(mm, up=up)

    def bare(self, mm: float | None, *, up: bool = False) -> str:
        """Print a length for a table whose head names the unit."""
        if mm is None:
            return "–"
        other = {"in": "mm", "mm": "in"}[self.units]
        return re.sub(rf" ({self.units}|{other})(?=$| |\))", "", self(mm, up=up))

    @property
    def unit(self) -> str:
        """The unit that the head of such a table names: in, or mm (in)."""
        if not self.plan.design.both_units:
            return self.units
        return {"in": "in (mm)", "mm": "mm (in)"}[self.units]

    def by(self, *sizes: float | None) -> str:
        """Print sizes with their sign: 54 in × 20 in."""
        return " × ".join(self(size) for size in sizes if size is not None)

    def end(self, mitre: float, swing: str) -> str:
        """Print a cut with both readings of a saw."""
        if swing == "square":
            return "square"
        return f"{swing} {show_angle(abs(mitre))} ({show_angle(90.0 - abs(mitre))})"

    def hours(self, hours: float) -> str:
        """Print hours to the tenth."""
        return f"{show_number(round(hours, 1), decimals=1)} h"

    def sticks(self, names: Sequence[str], most: int = 14) -> str:
        """Print the names of sticks; many are counted."""
        if len(names) > most:
            return f"{len(names)} sticks, {names[0]} to {names[-1]}"
        return " ".join(names)

    def marks(self, marks: Sequence[str], most: int = 24) -> str:
        """Print the marks of parts; many are cut short."""
        if len(marks) > most:
            return f"{' '.join(marks[:most])} and {len(marks) - most} more"
        return " ".join(marks)

    def parts(self, parts: Iterable[Part]) -> str:
        """Print marks with what is to be made of each: A 24 + 3 spare."""
        return ", ".join(
            f"{p.mark} {p.count}" + (f" + {p.spares} spare" if p.spares else "") for p in parts
        )
