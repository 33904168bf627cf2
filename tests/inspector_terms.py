"""What a design file asks for, read by the inspector's own few lines.

Comes in: the text of a design file. Goes out: its terms in mm, degrees and shares of 1, with the
defaults of the contract. Refuses, with an AssertionError, lengths that no test design uses.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

__all__ = ["Terms", "parse_mm", "terms_of"]


@dataclass(frozen=True, slots=True)
class Terms:
    """What the design file asks for, in mm, degrees and shares of 1."""

    units: str
    order: str
    tape: float
    clearance: float
    gap: float
    faces: str
    overlength: float
    lap: float
    kerf: float
    end_trim: float
    shared_cuts: str
    defects: float
    spares: float
    spare_sticks: int
    holding: float
    largest_mitre: float
    stop_side: str
    tones: dict[str, str]

    @property
    def may_roll(self) -> bool:
        """Whether a piece may lie on its other face."""
        return self.faces == "both"


def parse_mm(written: Any, units: str) -> float:
    """Read a length of a test design [mm]; only what the test designs use."""
    if isinstance(written, int | float):
        return float(written) * (25.4 if units == "in" else 1.0)
    match = re.fullmatch(r"\s*(-?)([\d./ ]+?)\s*(in|mm|cm|ft)?\s*", written)
    assert match, f"the inspector cannot read the length {written!r}"
    sign, number, unit = match.groups()
    value = sum((Fraction(word) for word in number.split()), Fraction(0))
    scale = {"in": 25.4, "mm": 1.0, "cm": 10.0, "ft": 304.8}[unit or units]
    return float(value) * scale * (-1.0 if sign else 1.0)


def terms_of(design: str) -> Terms:
    """Read the terms from the text of a design file, with the defaults of the contract."""
    tables = tomllib.loads(design)
    units = tables.get("units", "in")
    metric = units == "mm"

    def length(table: str, key: str, inches: float, mm: float | None = None) -> float:
        plain = inches * 25.4 if not metric or mm is None else mm
        written = tables.get(table, {}).get(key)
        return plain if written is None else parse_mm(written, units)

    def share(key: str, default: float) -> float:
        written = tables.get("stock", {}).get(key, default)
        return float(written.rstrip(" %")) / 100 if isinstance(written, str) else float(written)

    order = tables.get("order", "let in")
    saw = tables.get("saw", {})
    return Terms(
        units=units,
        order=order,
        tape=parse_mm(tables["tape"], units) if "tape" in tables else 0.5 if metric else 25.4 / 32,
        clearance=length("opening", "clearance", 1 / 32, 0.8),
        gap=length("strips", "gap", 0.0),
        faces=tables.get("strips", {}).get("faces", "both"),
        overlength=length("strips", "overlength", 0.5 if order == "trim" else 0.0),
        lap=length("frame", "lap", 0.25),
        kerf=length("stock", "kerf", 1 / 8, 3.2),
        end_trim=length("stock", "end_trim", 1 / 2, 12.0),
        shared_cuts=tables.get("stock", {}).get("shared_cuts", "stick only"),
        defects=share("defects", 0.10),
        spares=share("spares", 0.10),
        spare_sticks=int(tables.get("stock", {}).get("spare_sticks", 1)),
        holding=length("saw", "holding", 6.0, 150.0),
        largest_mitre=float(str(saw.get("largest_mitre", 50)).removesuffix("deg")),
        stop_side=saw.get("stop_side", "left"),
        tones=dict(tables.get("tones", {})),
    )
