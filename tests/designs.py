"""Designs in short, and their plans as the world sees them.

Comes in: what of a design differs from the defaults. Goes out: the text of a design file, and
``plan.json`` or the plan folder that the program makes of it. Refuses: what the program refuses.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from click.testing import CliRunner

from inspector_terms import parse_mm

__all__ = ["ELL", "ODD_INCHES", "ODD_MM", "Plan", "Top", "plan_of", "run"]

Plan = dict[str, Any]

ODD_INCHES = ("23 5/8", "17 3/16")
ODD_MM = ("611", "407")
ELL = [[-280, -190], [300, -190], [300, 40], [70, 40], [70, 210], [-280, 210]]
_TWO = {"dark": "walnut", "light": "maple"}
_THREE = {"dark": "walnut", "mid": "cherry", "light": "maple"}
_TONES = {
    "basket-weave": _TWO,
    "chevron": _THREE,
    "herringbone": _TWO,
    "running-bond": _TWO,
    "stair": _THREE,
    "stepped-diamond": _THREE,
    "tumbling-block": _THREE,
}


@dataclass(frozen=True)
class Top:
    """A design in short: what differs from the defaults.

    ``more``, ``saw``, ``stock`` and ``sets`` go on in the tables [strips], [saw], [stock] and
    [field]; ``tail`` is whole tables, ``head`` keys before the first table.
    """

    pattern: str
    set: Mapping[str, Any] = field(default_factory=dict)
    size: tuple[str, str] | None = ODD_INCHES
    angle: float = 0.0
    units: str = "in"
    order: str = "let in"
    faces: str = "both"
    gap: str = "0"
    clearance: str = "0"
    shift: tuple[str, str] = ("0", "0")
    points: tuple[tuple[float, float], ...] = ()
    more: str = ""
    saw: str = ""
    stock: str = ""
    sets: str = ""
    head: str = ""
    tail: str = ""

    def text(self) -> str:
        """Write the design file."""
        sizes = "\n".join(f"{key} = {json.dumps(value)}" for key, value in self.set.items())
        if self.points:
            corners = json.dumps([list(point) for point in self.points])
            opening = f"points = {corners}"
        else:
            assert self.size
            opening = f'width = "{self.size[0]}"\ndepth = "{self.size[1]}"'
        lap = '[frame]\nwidth = "60 mm"\nlap = "7 mm"\n' if self.order == "lap" else ""
        woods = "\n".join(
            f'{tone} = "{wood}"' for tone, wood in _TONES.get(self.pattern, {}).items()
        )
        return f"""\
name = "{self.pattern} {self.angle:g}"
units = "{self.units}"
order = "{self.order}"
{self.head}
[opening]
{opening}
clearance = "{self.clearance}"
{lap}[strips]
gap = "{self.gap}"
faces = "{self.faces}"
{self.more}
[field]
pattern = "{self.pattern}"
angle = "{self.angle!r} deg"
shift = ["{self.shift[0]}", "{self.shift[1]}"]
{self.sets}
[field.set]
{sizes}
[tones]
{woods}
[stock]
{self.stock}
[saw]
{self.saw}
{self.tail}
"""

    def sizes_mm(self) -> dict[str, float]:
        """Give the sizes as plain numbers, lengths in mm."""
        found = {"rise": 45.0} if self.pattern == "chevron" else {}
        for key, value in self.set.items():
            if isinstance(value, str) and value.endswith("deg"):
                found[key] = float(value.removesuffix("deg"))
            else:
                found[key] = float(value) if isinstance(value, int | float) else parse_mm(value, "")
        return found


@cache
def plan_of(text: str) -> Plan:
    """Plan a design and give plan.json as read; every caller must leave it as it is."""
    from tesselath.design import read_design
    from tesselath.plan import plan_design, write_plan_json

    with TemporaryDirectory() as folder:
        design = Path(folder, "top.toml")
        design.write_text(text, encoding="utf-8")
        plan: Plan = json.loads(write_plan_json(plan_design(read_design(design))))
        return plan


def run(text: str, folder: Path, *, only: str = "map,parts,pieces,setups,sticks") -> Path:
    """Run the command line on a design, and give the plan folder; printed pages take longer."""
    from tesselath.commands import main

    design, into = folder / "top.toml", folder / "out"
    design.write_text(text, encoding="utf-8")
    given = ["--only", only] if only else []
    answer = CliRunner().invoke(main, ["plan", str(design), "--into", str(into), *given])
    assert answer.exit_code == 0, f"{answer.output}\n{answer.exception!r}"
    return into
