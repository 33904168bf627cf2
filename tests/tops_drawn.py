"""Tops that the drawing tests share, each planned once."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from tesselath.design import parse_design, read_design
from tesselath.plan import Plan, plan_design

EXAMPLES = Path(__file__).parents[1] / "examples"

#: Small tops that ask for something special of the map.
DESIGNS = {
    "handed and trimmed": """
        name = "Handed"
        units = "mm"
        order = "trim"
        [opening]
        width = "420"
        depth = "260"
        [frame]
        width = "30"
        wood = "oak"
        corner = "butt"
        [strips]
        faces = "one"
        [field]
        pattern = "chevron"
        angle = "0 deg"
        [field.set]
        c = "105 mm"
    """,
    "lapped": """
        name = "Lapped"
        order = "lap"
        [opening]
        width = "12"
        depth = "9"
        [frame]
        width = "1 1/2"
        [field]
        pattern = "tumbling-block"
    """,
    "no frame": """
        name = "Box lid"
        [opening]
        width = "8"
        depth = "6"
        [field]
        pattern = "stepped-diamond"
        angle = "0 deg"
        [field.set]
        w = "1/2 in"
        s = "1/2 in"
        n = 2
    """,
    "figure": """
        name = "Star alone"
        [opening]
        width = "24"
        depth = "16"
        [frame]
        width = "2"
        wood = "cherry"
        [field]
        pattern = "eight-point-star"
    """,
    "tiny": """
        name = "Tiny"
        units = "mm"
        [opening]
        width = "160"
        depth = "120"
        [field]
        pattern = "herringbone"
        [field.set]
        w = "6.4 mm"
        r = 1.2
    """,
}


@cache
def planned(name: str) -> Plan:
    """Plan one of the designs above, or an example by the name of its folder."""
    if name in DESIGNS:
        text = "\n".join(line.strip() for line in DESIGNS[name].splitlines())
        return plan_design(parse_design(text, file_name=f"{name}.toml", beside=None))
    return plan_design(read_design(EXAMPLES / name / "design.toml"))


def example_names() -> list[str]:
    """Name the examples, so that a new one is tested without editing code."""
    return sorted(path.parent.name for path in EXAMPLES.glob("*/design.toml"))
