"""Small tops for the tests of single stages: a pattern laid and clipped, or a whole plan.

Comes in: the text of a pattern or of a design. Goes out: what the stages make of it, by the
shortest way and with nothing checked. Refuses: what the program refuses.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import cache
from math import cos, radians, sin
from typing import Any

import numpy as np
from hypothesis import assume, strategies as st

from tesselath.design import Design, Saw, parse_design
from tesselath.errors import PatternError
from tesselath.field import Clipped, Loose, clip_strips, lay_pattern
from tesselath.field.lay import Laid
from tesselath.parts import Part, group_parts
from tesselath.pattern import Pattern, find_pattern, pattern_names, settle_sizes
from tesselath.pattern.pattern_file import parse_pattern
from tesselath.plan import Plan, plan_design, write_plan_json
from tesselath.shape import Outline, as_outline, inset, turned
from tesselath.stock import Stick
from tesselath.stock.sticks import Laid as Place

__all__ = [
    "FILLING",
    "INCH",
    "box",
    "design_of",
    "draw_sizes",
    "lay",
    "lay_drawn",
    "own",
    "plan_of",
    "quadrilateral",
    "rectangle",
    "some_ell",
    "some_parts",
    "some_stick",
    "some_zone",
    "tables_of",
    "top",
]

INCH = 25.4

#: The shipped patterns that fill a zone of any shape.
FILLING = tuple(
    name for name in pattern_names() if find_pattern(name).family in ("lattice", "courses")
)


def own(text: str, *, name: str = "own") -> Pattern:
    """Read a pattern from its text, as if it stood in a file of that name."""
    return parse_pattern(text, name=name, path=f"{name}.toml", file_name=f"{name}.toml")


def box(width: float, depth: float) -> Outline:
    """A zone with square corners, its middle at the origin [mm]."""
    x, y = width / 2, depth / 2
    return as_outline([(-x, -y), (x, -y), (x, y), (-x, y)])


def quadrilateral(corners: list[tuple[float, float]], turn: float = 0.0) -> Outline:
    """Four corners, turned by plain arithmetic [mm, degrees]."""
    c, s = cos(radians(turn)), sin(radians(turn))
    return as_outline([(c * x - s * y, s * x + c * y) for x, y in corners])


def lay(
    pattern: Pattern,
    zone: Outline,
    *,
    gap: float = 0.0,
    angle: float = 0.0,
    origin: tuple[float, float] = (0.0, 0.0),
    **sizes: float,
) -> tuple[Laid, Clipped]:
    """Lay a pattern over a zone and cut it to the zone, as the plan does."""
    grown = inset(zone, -gap / 2)[0]
    extent = np.ptp(np.asarray(turned(grown, -angle)), axis=0)
    settled = settle_sizes(
        pattern,
        sizes,
        strip_width=None,
        gap=gap,
        zone_width=float(extent[0]),
        zone_depth=float(extent[1]),
    )
    laid = lay_pattern(pattern, settled, angle=angle, origin=origin, zone=grown)
    return laid, clip_strips(laid, zone=zone, gap=gap)


def top(
    pattern: str = "herringbone",
    *,
    width: str = "16 in",
    depth: str = "10 in",
    head: str = "",
    opening: str = "",
    angle: str = "0 deg",
    field: str = "",
    sizes: str = "",
    strips: str = "",
    more: str = "",
) -> str:
    """Write a design file in which only what differs from the defaults is said."""
    return f"""\
name = "Test top"
{head}
[opening]
width = "{width}"
depth = "{depth}"
clearance = "0"
{opening}
[field]
pattern = "{pattern}"
angle = "{angle}"
{field}
[field.set]
{sizes}
[strips]
{strips}
{more}
"""


def design_of(text: str) -> Design:
    """Read a design file."""
    return parse_design(text, file_name="test-top.toml", beside=None)


@cache
def plan_of(text: str) -> Plan:
    """Plan a design file; a plan is frozen, so one is enough for all who ask."""
    return plan_design(design_of(text))


def tables_of(text: str) -> dict[str, Any]:
    """Plan a design file, and give plan.json as another program reads it."""
    found: dict[str, Any] = json.loads(write_plan_json(plan_of(text)))
    return found


def some_stick(name: str, *marks: str, width: float = 20.0) -> Stick:
    """Make a stick of which only the parts in it and its width matter."""
    return Stick(
        name=name,
        wood="oak",
        width=width,
        strip_width=20.0,
        length=2400.0,
        pieces=marks,
        used=1.0,
        left_over=2399.0,
        laid=tuple(Place(m, False, False, 0.0) for m in marks),
    )


@st.composite
def draw_sizes(draw: st.DrawFn, pattern: Pattern) -> dict[str, float]:
    """Sizes within a pattern's limits, of strips neither too many nor too few for a tray."""
    sizes: dict[str, float] = {}
    for size in pattern.sizes:
        least, most = size.least or 0.0, size.most or size.value * 4
        if size.kind == "length":
            # A strip of 15 to 60 mm, a length of 30 to 250.
            small, large = (15.0, 60.0) if size.name == "w" else (30.0, 250.0)
            low, high = min(max(least, small), most), max(min(most, large), least)
            sizes[size.name] = draw(st.floats(min(low, high), max(low, high)))
        elif size.whole:
            sizes[size.name] = draw(st.integers(round(least), min(round(most), 6)))
        else:
            sizes[size.name] = draw(st.floats(least, most))
    return sizes


@st.composite
def some_zone(draw: st.DrawFn) -> Outline:
    """A convex opening of four sides, seldom square, turned anyhow."""
    x, y = draw(st.floats(50, 150)), draw(st.floats(50, 110))
    corners = [
        (sx * x + draw(st.floats(-15, 15)), sy * y + draw(st.floats(-15, 15)))
        for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    return quadrilateral(corners, draw(st.one_of(st.just(0.0), st.floats(0, 360))))


@st.composite
def some_ell(draw: st.DrawFn) -> Outline:
    """An opening shaped like an L, turned anyhow."""
    x, y = draw(st.floats(70, 150)), draw(st.floats(70, 110))
    cut_x, cut_y = draw(st.floats(20, 60)), draw(st.floats(20, 60))
    corners = [(-x, -y), (x, -y), (x, y - cut_y), (x - cut_x, y - cut_y), (x - cut_x, y), (-x, y)]
    return quadrilateral(corners, draw(st.one_of(st.just(0.0), st.floats(0, 360))))


def lay_drawn(
    pattern: Pattern,
    zone: Outline,
    sizes: dict[str, float],
    *,
    gap: float,
    angle: float,
    origin: tuple[float, float],
) -> tuple[Laid, Clipped]:
    """Lay a pattern at drawn sizes; sizes that it refuses are drawn anew."""
    told = ""
    try:
        return lay(pattern, zone, gap=gap, angle=angle, origin=origin, **sizes)
    except PatternError as refusal:
        told = str(refusal)
    # A shipped pattern refuses sizes within its limits only by a relation of its own.
    relations = [must.say for must in pattern.musts] + ["joints can be kept"]
    assert any(say in told for say in relations), told
    assume(False)
    raise AssertionError("never reached")


def rectangle(length: float, width: float) -> list[tuple[float, float]]:
    """The corners of a piece with square ends [mm]."""
    return [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)]


def some_parts(
    *kinds: tuple[int, Sequence[tuple[float, float]]],
    strip: float | None = 20.0,
    wood: str = "oak",
    faces: str = "both",
    stop_side: str = "left",
    saw: Saw | None = None,
    spares: float = 0.0,
) -> tuple[Part, ...]:
    """Parts made of pieces with the grain along x: how many of each, and its corners [mm]."""
    outlines = [corners for count, corners in kinds for _ in range(count)]
    loose = [
        Loose(
            number=n,
            zone="field",
            wood=wood,
            tone="plain",
            outline=as_outline(np.array(corners, dtype=float)),
            blank=None,
            grain=0.0,
            strip_width=strip,
            row=0,
            kin=None,
        )
        for n, corners in enumerate(outlines, 1)
    ]
    return group_parts(
        loose,
        faces=faces,
        stop_side=stop_side,
        saw=saw or Saw(),
        spares=spares,
        tape=INCH / 32,
    )[1]
