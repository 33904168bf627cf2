"""Sticks cut by cut: every piece as its part, a kerf between all, no cut into a piece."""

from __future__ import annotations

import itertools
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st

from effort import examples
from tesselath.design import parse_design, read_design
from tesselath.plan import Plan, plan_design
from tesselath.stock import StickCut, cut_stick, lay_stick, same_sticks

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted(path.parent.name for path in ROOT.glob("examples/*/design.toml"))

#: What no saw can be set to [mm].
_HAIR = 0.05


def _planned(name: str) -> Plan:
    return plan_design(read_design(ROOT / "examples" / name / "design.toml"))


def _band(cut: StickCut) -> shapely.Polygon:
    side = -cut.kerf if cut.to_the_left else cut.kerf
    half, lean = cut.width / 2, cut.run / 2
    return shapely.Polygon(
        [
            (cut.at - lean, -half),
            (cut.at + side - lean, -half),
            (cut.at + side + lean, half),
            (cut.at + lean, half),
        ]
    )


def _check(plan: Plan) -> None:
    by_mark = {part.mark: part for part in plan.parts}
    kerf = plan.design.stock.kerf
    for stick in plan.sticks:
        pieces = lay_stick(stick, by_mark)
        shapes = [shapely.Polygon(piece.outline) for piece in pieces]
        assert tuple(piece.mark for piece in pieces) == stick.pieces
        for piece, shape in zip(pieces, shapes, strict=True):
            part = by_mark[piece.mark]
            if part.handling == "mark and hand saw":
                assert np.ptp(piece.outline[:, 0]) == pytest.approx(part.overall)
            else:
                assert shape.area == pytest.approx(shapely.Polygon(part.shape).area)
            assert piece.outline[:, 0].min() > plan.design.stock.end_trim - 0.01
            assert piece.outline[:, 0].max() < stick.length - plan.design.saw.holding + 0.01
        for one, next_ in itertools.pairwise(shapes):
            assert one.distance(next_) > kerf - 0.06
        cuts = cut_stick(pieces, kerf=kerf)
        assert len(pieces) <= len(cuts) <= 2 * len(pieces)
        # A piece that is still on the stick is never cut into: the kerf at its start lies before
        # it, the kerf at its end behind it, and what comes later is farther on. Parts alike
        # within a hair are cut at one setting, so a hair of their points may go.
        left = [shape.buffer(-_HAIR, join_style="mitre") for shape in shapes]
        for cut in cuts:
            band = _band(cut)
            assert not any(shape.intersects(band) for shape in left)
            if not cut.to_the_left:
                left.pop(0)
        assert not left


@pytest.mark.parametrize("name", EXAMPLES)
def test_pieces_are_their_parts_and_a_kerf_apart(name: str) -> None:
    _check(_planned(name))


@examples(8)
@given(
    angle=st.sampled_from([0, 22.5, 30, 45]),
    faces=st.sampled_from(["one", "both"]),
    rule=st.sampled_from(["stick only", "safe"]),
    depth=st.floats(9.0, 15.0),
)
def test_no_cut_goes_into_a_piece_that_is_still_on_the_stick(
    angle: float, faces: str, rule: str, depth: float
) -> None:
    text = f"""
units = "in"
opening = {{ width = "16", depth = "{depth:.3f}" }}
strips = {{ faces = "{faces}" }}
field = {{ pattern = "chevron", angle = {angle} }}
stock = {{ shared_cuts = "{rule}" }}
"""
    _check(plan_design(parse_design(text, file_name="top.toml", beside=None)))


def test_every_stick_is_in_one_group_and_groups_are_cut_alike() -> None:
    plan = _planned("hall-table")
    groups = same_sticks(plan.sticks)
    names = [stick.name for group in groups for stick in group]
    assert sorted(names, key=int) == [stick.name for stick in plan.sticks]
    assert any(len(group) > 1 for group in groups)
    for group in groups:
        assert len({stick.pieces for stick in group}) == 1


def test_equal_ends_share_one_cut_over_the_cosine() -> None:
    plan = _planned("hall-table")
    by_mark = {part.mark: part for part in plan.parts}
    kerf = plan.design.stock.kerf
    for stick in plan.sticks:
        pieces = lay_stick(stick, by_mark)
        shared = sum(abs(a.runs[1] - b.runs[0]) < 0.05 for a, b in itertools.pairwise(pieces))
        cuts = cut_stick(pieces, kerf=kerf)
        assert len(cuts) == 2 * len(pieces) - shared
        for cut in cuts:  # at 45 degrees a kerf takes its width times the root of 2
            slope = abs(cut.run) / cut.width
            assert cut.kerf == pytest.approx(kerf * (1 + slope**2) ** 0.5)
