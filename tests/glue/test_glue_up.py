"""The order of gluing, checked on the shapes: whole, without a hole, within the open time."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cache
from itertools import groupby, pairwise
from math import hypot
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st

from effort import examples
from tesselath.design import Design, Saw, parse_design
from tesselath.field import Piece, field_outline, lay_zones, number_pieces, opening_outline
from tesselath.glue import GlueUp, plan_glue_ups
from tesselath.glue.glue_up import glue_up_size
from tesselath.parts import Stage, group_parts, plan_stages, stage_of
from tops import FILLING, INCH, top

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/design.toml"))

#: Small tops of every kind: patterns, joints, mirrors, medallions, orders.
BORDER = '[[border]]\nwidth = "1 in"\ncorner = "{}"\nwood = "walnut"\n'
DIAMOND = """
[[medallion]]
points = [["{x} in", "0 in"], ["0 in", "3 in"], ["-{x} in", "0 in"], ["0 in", "-3 in"]]
pattern = "rings"
"""
TEXTS = {
    "long through": top("running-bond", more=BORDER.format("long through")),
    "pinwheel": top("basket-weave", more=BORDER.format("pinwheel") * 2),
    "square": top("herringbone", angle="45 deg", more=BORDER.format("square")),
    "patterned": top(
        "herringbone",
        more=BORDER.format("mitre").replace('wood = "walnut"', 'pattern = "basket-weave"'),
    ),
    "medallion": top("herringbone", angle="45 deg", more=DIAMOND.format(x=4)),
    "four ways": top("herringbone", angle="45 deg", field='mirror = "four ways"'),
    "turned": top("chevron", field='mirror = "quarters turned"'),
    "run through": top("herringbone", field='mirror = "left-right"\ncentre = "run through"'),
    "trim": top("herringbone", head='order = "trim"', more=BORDER.format("mitre")),
    "gap": top("tumbling-block", strips='gap = "1/16 in"'),
    "star": top("eight-point-star"),
    "rings": top("rings"),
    "long rows": top(
        "running-bond",
        width="60 in",
        depth="6 in",
        head='order = "trim"',
        more='[glue]\nopen_time = "3 min"',
    ),
}


@dataclass(frozen=True)
class Top:
    """A top as far as its gluing asks: no sticks, no set-ups."""

    design: Design
    pieces: tuple[Piece, ...]
    glue_ups: tuple[GlueUp, ...]
    stages: tuple[Stage, ...]


@cache
def glued(text: str) -> Top:
    """Lay a top and plan its gluing."""
    design = parse_design(text, file_name="test-top.toml", beside=None)
    zones = lay_zones(design, field_outline(design, opening_outline(design), design.order))
    loose = number_pieces(
        [(zone.name, zone.fragments) for zone in zones],
        tones={zone.name: zone.tones for zone in zones},
        woods={zone.name: zone.woods for zone in zones},
        tape=design.tape,
    )
    pieces, parts = group_parts(
        loose, faces="both", stop_side="left", saw=Saw(), spares=0.1, tape=design.tape
    )
    rims = {zone.name: zone.outline for zone in zones}
    stages = plan_stages(pieces, rims, order=design.order)
    glued = plan_glue_ups(design, zones=zones, pieces=pieces, parts=parts, stages=stages)
    return Top(design, *glued, stages)


def _check_prefixes(plan: Top) -> None:
    """Lay the pieces one by one; the shape stays in one part and shuts nothing in.

    By shapely's union of outlines grown over their gap, which knows nothing of the order's graph.
    """
    grown = dict(
        zip(
            (p.number for p in plan.pieces),
            shapely.buffer(
                [shapely.Polygon(p.outline) for p in plan.pieces],
                plan.design.strips.gap / 2 + 0.05,
                join_style="mitre",
            ),
            strict=True,
        )
    )
    left = dict(grown)
    laid = shapely.Polygon()
    for glue_up in plan.glue_ups:
        for number in glue_up.numbers:
            laid = shapely.union(laid, left.pop(number))
            assert laid.geom_type == "Polygon", f"piece {number} touches nothing that lies"
            for ring in laid.interiors:
                hole = shapely.Polygon(ring)
                inside = [
                    n for n, shape in left.items() if hole.covers(shape.representative_point())
                ]
                assert not inside, f"piece {number} shuts in {inside}"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_an_example_grows_in_one_part_and_shuts_nothing_in(path: Path) -> None:
    plan = glued(path.read_text(encoding="utf-8"))
    _check_prefixes(plan)
    _check_glue_ups(plan)


@pytest.mark.parametrize("name", FILLING)
def test_a_pattern_grows_in_one_part_and_shuts_nothing_in(name: str) -> None:
    _check_prefixes(glued(top(name, width="12 in", depth="9 in")))


@pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS)
def test_a_top_with_borders_mirrors_or_medallions_does_too(text: str) -> None:
    plan = glued(text)
    _check_prefixes(plan)
    _check_glue_ups(plan)


@examples(12)
@given(
    angle=st.floats(0, 90),
    x=st.floats(-3, 3),
    y=st.floats(-3, 3),
    pattern=st.sampled_from(["herringbone", "basket-weave", "tumbling-block", "windmill"]),
    gap=st.sampled_from(["0 in", "1/16 in"]),
)
def test_a_top_turned_and_moved_anyhow_does_too(
    angle: float, x: float, y: float, pattern: str, gap: str
) -> None:
    field = f'shift = ["{x:.3f} in", "{y:.3f} in"]'
    text = top(
        pattern,
        width="11 in",
        depth="8 in",
        angle=f"{angle:.2f} deg",
        field=field,
        strips=f'gap = "{gap}"',
    )
    plan = glued(text)
    _check_glue_ups(plan)
    # A crumb at the edge may touch nothing along an edge; it is laid all the same.
    if min(p.width for p in plan.pieces) > 3:
        _check_prefixes(plan)


def _check_glue_ups(plan: Top) -> None:
    """Each piece once, at most as many as the open time allows, with the trays that hold them."""
    parts = {p.number: p.part for p in plan.pieces}
    assert sorted(n for g in plan.glue_ups for n in g.numbers) == sorted(parts)
    for place, glue_up in enumerate(plan.glue_ups, 1):
        assert glue_up.number == place
        assert 1 <= len(glue_up.numbers) <= glue_up_size(plan.design)
        assert dict(glue_up.trays) == Counter(parts[n] for n in glue_up.numbers)
        assert glue_up.minutes * 60 <= plan.design.glue.open_time
        left, front, right, back = glue_up.box
        assert glue_up.spread_area <= (right - left) * (back - front) * (1 + 1e-9)
        assert all(check.after in glue_up.numbers for check in glue_up.checks)
        assert glue_up.checks


def test_borders_come_after_what_they_surround_and_never_share_its_glue_up() -> None:
    plan = glued(TEXTS["pinwheel"])
    kinds = [{z.startswith("border") for z in g.zones} for g in plan.glue_ups]
    assert all(len(kind) == 1 for kind in kinds)
    flags = [kind.pop() for kind in kinds]
    assert flags == sorted(flags)
    zones = [plan.pieces[n - 1].zone for g in plan.glue_ups for n in g.numbers]
    assert zones[-8:] == ["border-2"] * 4 + ["border-1"] * 4


def test_a_butted_side_goes_on_after_the_side_it_butts_against() -> None:
    plan = glued(TEXTS["long through"])
    order = [n for g in plan.glue_ups for n in g.numbers][-4:]
    lengths = [plan.pieces[n - 1].overall for n in order]
    assert min(lengths[:2]) > max(lengths[2:])


def test_each_side_of_a_pinwheel_but_the_first_butts_against_one_that_lies() -> None:
    plan = glued(top("running-bond", more=BORDER.format("pinwheel")))
    border = [n for g in plan.glue_ups for n in g.numbers][-4:]
    middles = [plan.pieces[n - 1].outline.mean(axis=0) for n in border]
    turns = [a[0] * b[1] - a[1] * b[0] for a, b in pairwise(middles)]
    # The end of each side butts against the next one counter-clockwise, so they go on clockwise.
    assert all(turn < 0 for turn in turns)


def test_mitred_sides_follow_each_other_round() -> None:
    plan = glued(top("running-bond", more=BORDER.format("mitre")))
    border = [n for g in plan.glue_ups for n in g.numbers][-4:]
    shapes = [shapely.Polygon(plan.pieces[n - 1].outline) for n in border]
    for one, after in pairwise(shapes):
        assert shapely.distance(one, after) < 0.01


def test_rows_are_kept_together_when_that_leaves_little_open_time_unused() -> None:
    # Rows of 5 or 6 pieces: two of them, or three, fit in 16 pieces.
    plan = glued(top("running-bond", width="40 in", depth="12 in", head='order = "trim"'))
    for glue_up in plan.glue_ups[:-2]:
        rows = {(plan.pieces[n - 1].row) for n in glue_up.numbers}
        whole = [p.number for p in plan.pieces if p.row in rows]
        assert sorted(glue_up.numbers) == whole


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_what_is_cut_to_the_opening_as_measured_is_glued_after_the_rest(path: Path) -> None:
    plan = glued(path.read_text(encoding="utf-8"))
    goes = stage_of(plan.stages)
    for zone in ("field", "medallion-1"):
        order = [
            goes[n] in ("inner", "all")
            for g in plan.glue_ups
            for n in g.numbers
            if plan.pieces[n - 1].zone == zone
        ]
        assert order == sorted(order, reverse=True)


def test_corner_pieces_are_glued_last() -> None:
    plan = glued(top("herringbone", angle="45 deg"))
    goes = stage_of(plan.stages)
    order = [goes[n] for g in plan.glue_ups for n in g.numbers]
    assert [name for name, _ in groupby(order)] == ["inner", "edge", "corner"]


def test_a_row_longer_than_an_open_time_is_laid_in_even_parts_from_the_middle() -> None:
    plan = glued(TEXTS["long rows"])
    first, second = plan.glue_ups[0].numbers, plan.glue_ups[1].numbers
    xs = [float(plan.pieces[n - 1].outline.mean(axis=0)[0]) for n in first]
    assert xs == sorted(xs)
    assert xs[0] >= 0
    xs = [float(plan.pieces[n - 1].outline.mean(axis=0)[0]) for n in second]
    assert xs == sorted(xs, reverse=True)
    assert xs[0] < 0
    assert abs(len(first) - len(second)) <= 1


def test_the_first_pair_lies_at_the_centre_lines_side_by_side() -> None:
    for path in EXAMPLES:
        plan = glued(path.read_text(encoding="utf-8"))
        pair, goes = plan.glue_ups[0].first_pair, stage_of(plan.stages)
        assert pair == plan.glue_ups[0].numbers[:2]
        shapes = [shapely.Polygon(plan.pieces[n - 1].outline) for n in pair]
        assert shapely.distance(*shapes) <= plan.design.strips.gap + 0.01
        first = plan.pieces[pair[0] - 1]
        nearest = min(
            hypot(*p.outline.mean(axis=0))
            for p in plan.pieces
            if (p.zone, p.row, goes[p.number]) == (first.zone, first.row, goes[first.number])
        )
        assert hypot(*first.outline.mean(axis=0)) == pytest.approx(nearest, abs=0.01)
        assert not any(g.first_pair or g.batten for g in plan.glue_ups[1:])


def test_the_batten_touches_the_first_row_and_nothing_crosses_it() -> None:
    plan = glued(top("herringbone", angle="45 deg"))
    batten = plan.glue_ups[0].batten
    assert batten is not None
    line = shapely.LineString([batten.start, batten.end])
    shapes = [shapely.Polygon(plan.pieces[n - 1].outline) for n in plan.glue_ups[0].numbers]
    touching = [shape for shape in shapes if shapely.distance(line, shape) < 0.01]
    assert len(touching) >= 2
    assert all(
        shapely.intersection(line, shape).length < 0.01
        or shapely.intersection(shape, shapely.buffer(line, 0.01)).area < 1
        for shape in shapes
    )
    assert batten.way == pytest.approx(0)


def test_checks_read_what_the_outlines_say() -> None:
    plan = glued(TEXTS["square"])
    for glue_up in plan.glue_ups:
        for check in glue_up.checks:
            if check.side == "over all":
                continue
            corners = np.asarray(plan.pieces[check.number - 1].outline)
            values = corners[:, 0 if check.axis == "across" else 1]
            sign = -1 if check.side in ("left", "front") else 1
            assert max(sign * values) == pytest.approx(check.planned)


def test_a_ring_is_checked_over_all() -> None:
    # A border of four sides round a field of 16 x 10 in ends at 16 and 10 in.
    plan = glued(top("herringbone", more=BORDER.format("mitre")))
    last = {check.axis: check.planned for check in plan.glue_ups[-1].checks[-2:]}
    assert last == {"across": pytest.approx(16 * INCH), "away": pytest.approx(10 * INCH)}


def test_glue_is_the_spread_times_the_area() -> None:
    plan = glued(top("herringbone", more="[glue]\nspread = 200\n"))
    # 16 x 10 in are 0.103226 m2; at 200 g/m2 that takes 20.6 g.
    assert sum(g.grams for g in plan.glue_ups) == pytest.approx(20.645, abs=0.001)
