"""Stages: every piece is cut in one go or another, and what hangs on the opening comes later."""

from __future__ import annotations

import csv
import json
from collections.abc import Sequence

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st

from effort import examples
from tesselath.field import Piece
from tesselath.parts import Stage, plan_stages, stage_of
from tesselath.pattern import find_pattern
from tesselath.plan import Plan, plan_tables
from tesselath.shape import Outline, as_outline
from tesselath.tables import write_pieces
from tops import FILLING, box, lay, plan_of, quadrilateral, top


def pieces_of(outlines: Sequence[Outline], zone: str = "field") -> list[Piece]:
    """Pieces of which only outline and zone matter."""
    return [
        Piece(n, "A", zone, "oak", "plain", outline, None, 0.0, 1.0, 1.0, 1.0, 1, 1)
        for n, outline in enumerate(outlines, 1)
    ]


def names(stages: Sequence[Stage]) -> list[str]:
    return [name for _, name in sorted(stage_of(stages).items())]


def test_nine_squares_are_one_inner_four_edge_and_four_corner_pieces() -> None:
    nine = [
        as_outline([(x, y), (x + 10, y), (x + 10, y + 10), (x, y + 10)])
        for y in (-15, -5, 5)
        for x in (-15, -5, 5)
    ]
    stages = plan_stages(pieces_of(nine), {"field": box(30, 30)}, order="let in")
    assert [(stage.name, stage.numbers) for stage in stages] == [
        ("inner", (5,)),
        ("edge", (2, 4, 6, 8)),
        ("corner", (1, 3, 7, 9)),
    ]


def test_a_piece_that_only_touches_the_edge_with_a_corner_is_an_inner_piece() -> None:
    diamond = as_outline([(0, -15), (10, 0), (0, 15), (-10, 0)])
    stages = plan_stages(pieces_of([diamond]), {"field": box(30, 30)}, order="let in")
    assert names(stages) == ["inner"]


def test_a_strip_from_side_to_side_is_no_corner_piece() -> None:
    strips = [as_outline([(-15, y), (15, y), (15, y + 10), (-15, y + 10)]) for y in (-15, -5, 5)]
    stages = plan_stages(pieces_of(strips), {"field": box(30, 30)}, order="let in")
    assert names(stages) == ["corner", "edge", "corner"]


def test_a_round_opening_has_no_corner_pieces() -> None:
    around = np.radians(np.arange(0, 360, 5))
    rim = as_outline(np.column_stack([100 * np.cos(around), 100 * np.sin(around)]))
    circle = shapely.Polygon(rim)
    cut = [
        shapely.intersection(circle, shapely.box(x, y, x + 50, y + 50))
        for x in range(-100, 100, 50)
        for y in range(-100, 100, 50)
    ]
    outlines = [as_outline(shapely.get_coordinates(shape)[:-1]) for shape in cut]
    found = names(plan_stages(pieces_of(outlines), {"field": rim}, order="let in"))
    assert sorted(found) == ["edge"] * 12 + ["inner"] * 4


@pytest.mark.parametrize("order", ["trim", "lap"])
def test_what_is_trimmed_or_lapped_is_cut_in_one_go(order: str) -> None:
    stages = plan_stages(pieces_of([box(30, 30)]), {"field": box(30, 30)}, order=order)
    assert names(stages) == ["all"]


def test_a_figure_let_into_the_field_waits_for_no_opening() -> None:
    zones = {"field": box(30, 30), "medallion-1": box(10, 10)}
    pieces = pieces_of([box(10, 10)], zone="medallion-1")
    assert names(plan_stages(pieces, zones, order="let in")) == ["inner"]


@examples(25)
@given(st.sampled_from(FILLING), st.integers(0, 23), st.data())
def test_edge_pieces_are_those_with_a_side_on_the_edge(
    name: str, steps: int, data: st.DataObject
) -> None:
    """Told by the length of edge that shapely finds on each piece.

    No strip lies within a degree of the edge unless it lies along it, so that the two cannot be
    taken for each other.
    """
    x, y = data.draw(st.floats(60, 140)), data.draw(st.floats(60, 140))
    lean = data.draw(st.sampled_from([0.0, 5.0, -5.0]))
    zone = quadrilateral([(-x, -y), (x, -y + lean), (x + lean, y), (-x, y)])
    _, clipped = lay(find_pattern(name), zone, angle=7.5 * steps)
    outlines = [fragment.outline for fragment in clipped.fragments]
    found = names(plan_stages(pieces_of(outlines), {"field": zone}, order="let in"))
    rim = shapely.LinearRing(zone)
    for outline, stage in zip(outlines, found, strict=True):
        near = shapely.intersection(shapely.Polygon(outline), shapely.buffer(rim, 1e-3))
        on_edge = near.area / 1e-3 if not near.is_empty else 0.0
        if stage == "inner":
            assert on_edge < 0.1
        else:
            assert on_edge > 1e-3


PLANS = {
    "herringbone": top(angle="45 deg"),
    "chevron with a border": top("chevron", more='[[border]]\nwidth = "1 in"\nwood = "walnut"\n'),
    "bond, trimmed": top("running-bond", head='order = "trim"'),
}


@pytest.fixture(name="plan", params=PLANS, ids=list(PLANS))
def _plan(request: pytest.FixtureRequest) -> Plan:
    return plan_of(PLANS[request.param])


def test_every_piece_is_in_one_stage(plan: Plan) -> None:
    numbers = [number for stage in plan.stages for number in stage.numbers]
    assert sorted(numbers) == [piece.number for piece in plan.pieces]
    assert all(list(stage.numbers) == sorted(stage.numbers) for stage in plan.stages)


def test_plan_json_and_pieces_csv_tell_the_stage(plan: Plan) -> None:
    rows = json.loads(json.dumps(plan_tables(plan)["stages"]))
    told = {number: row["stage"] for row in rows for number in row["numbers"]}
    for row in csv.DictReader(write_pieces(plan).splitlines()):
        assert row["stage"] == told[int(row["piece"])]
