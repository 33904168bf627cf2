"""Changes: what a fit may alter in a design, as values.

Comes in: a design and changes, each a key of the design file with its new value. Goes out: the
design with them, and how each is written. Refuses: keys that a fit never touches.

A value is rounded once, here, to what will be written; whatever is scored, drawn or promised
afterwards is the written value::

    opening, border         whole marks of the tape
    strips and sizes        whole marks, or as near as makes no difference
    shift                   where the pattern lies: nothing is cut to it
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import ceil, floor

from tesselath.design import Design
from tesselath.measure import ON_THE_LINE, show_number

__all__ = [
    "Change",
    "as_written",
    "change_design",
    "is_on_tape",
    "strip_key",
    "strip_width",
    "to_tape",
    "write_value",
]

#: Decimals of what lies off the tape's marks: in all rows of a top together they come to less
#: than the finest line.
_DECIMALS = {"in": 5, "mm": 4}


@dataclass(frozen=True, slots=True)
class Change:
    """One key of a design with its new value.

    ``kind`` is "length" [mm], "angle" [degrees], "number" or "shift" (right, back) [mm].
    """

    key: str
    value: float | tuple[float, float]
    kind: str = "length"

    @property
    def number(self) -> float:
        """The value, where it is one number."""
        assert not isinstance(self.value, tuple)
        return self.value


def change_design(design: Design, changes: Iterable[Change]) -> Design:
    """Give a design with some of its values changed."""
    for change in changes:
        match change.key.split("."):
            case ["opening", "width"]:
                design = replace(design, opening=replace(design.opening, width=change.number))
            case ["opening", "depth"]:
                design = replace(design, opening=replace(design.opening, depth=change.number))
            case ["border", number, "width"]:
                borders = list(design.borders)
                at = int(number) - 1
                borders[at] = replace(borders[at], width=change.number)
                design = replace(design, borders=tuple(borders))
            case ["strips", "width"]:
                design = replace(design, strips=replace(design.strips, width=change.number))
            case ["field", "angle"]:
                design = _refilled(design, angle=change.number)
            case ["field", "shift"]:
                assert isinstance(change.value, tuple)
                design = _refilled(design, shift=change.value)
            case ["field", "set", name]:
                settings = {**design.field.filling.settings, name: change.number}
                design = _refilled(design, settings=settings)
            case _:
                raise KeyError(change.key)
    return design


def _refilled(design: Design, **values: object) -> Design:
    filling = replace(design.field.filling, **values)  # type: ignore[arg-type]
    return replace(design, field=replace(design.field, filling=filling))


def strip_key(design: Design) -> str:
    """Name the key that sets the width of the field's strips."""
    return "field.set.w" if "w" in design.field.filling.settings else "strips.width"


def strip_width(design: Design) -> float | None:
    """Give the width of the field's strips [mm]; None where the pattern derives its own."""
    filling = design.field.filling
    size = filling.pattern.size("w")
    if size is None or size.name != "w":
        return None
    if "w" in filling.settings:
        return filling.settings["w"]
    return size.value if design.strips.width is None else design.strips.width


def to_tape(value: float, tape: float, *, up: bool | None = None) -> float:
    """Round a length to the marks of the tape: to the nearest, or up, or down.

    Source: identity.

    >>> to_tape(25.0, 25.4 / 32) / 25.4, to_tape(612.3, 0.5, up=False)
    (0.96875, 612.0)
    """
    marks = value / tape
    hair = ON_THE_LINE / tape
    if up is None:
        whole = floor(marks + 0.5 + hair)
    else:
        whole = ceil(marks - hair) if up else floor(marks + hair)
    return round(whole * tape, 9)


def is_on_tape(value: float, tape: float) -> bool:
    """Whether a length is a whole number of the tape's marks."""
    return abs(value - to_tape(value, tape)) < 10 * ON_THE_LINE


def as_written(value: float, design: Design, *, kind: str = "length") -> float:
    """Round a value to what will be written of it: a length in the design's units."""
    if kind in ("angle", "number"):
        return round(value, 5)
    if is_on_tape(value, design.tape):
        return to_tape(value, design.tape)
    unit = 25.4 if design.units == "in" else 1.0
    return round(round(value / unit, _DECIMALS[design.units]) * unit, 12)


def write_value(change: Change, design: Design) -> str:
    """Write the value of a change as a design file does, quotes and all.

    Parameters
    ----------
    design : Design
        The design, for its units and its tape.
    """
    if isinstance(change.value, tuple):
        return "[" + ", ".join(f'"{_length(part, design)}"' for part in change.value) + "]"
    if change.kind == "number":
        return show_number(change.value, decimals=5)
    if change.kind == "angle":
        return f'"{show_number(change.value, decimals=5)} deg"'
    return f'"{_length(change.value, design)}"'


def _length(mm: float, design: Design) -> str:
    if is_on_tape(mm, design.tape):
        return design.show_plain(mm)
    unit = 25.4 if design.units == "in" else 1.0
    return f"{show_number(mm / unit, decimals=_DECIMALS[design.units])} {design.units}"
