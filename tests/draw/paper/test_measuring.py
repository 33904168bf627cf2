"""Dimensions, rulers and row numbers: what they read, and how they are read."""

from __future__ import annotations

from math import hypot

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st

from tesselath.draw.maps.rows import mark_rows
from tesselath.draw.paper import (
    Line,
    Tape,
    Text,
    draw_dimension,
    draw_ruler,
    pens_for,
    ruler_depth,
    text_outline,
)
from tops_drawn import planned

INCH = 25.4
SIDES = ["left", "right", "bottom", "top"]


@given(st.floats(60, 3000), st.sampled_from(SIDES), st.sampled_from(["in", "mm"]))
def test_ruler_numbers_stand_clear_of_each_other(half: float, side: str, units: str) -> None:
    pens, tape = pens_for(2 * half), Tape(INCH / 32 if units == "in" else 0.5, units)
    items = draw_ruler(side, edge=0.0, span=(-half, half), tape=tape, pens=pens)
    boxes = [shapely.Polygon(text_outline(item)) for item in items if isinstance(item, Text)]
    for n, box in enumerate(boxes):
        assert not any(box.intersects(other) for other in boxes[n + 1 :])
    depth = ruler_depth(side, span=(-half, half), tape=tape, pens=pens)
    lettering = shapely.union_all(boxes)
    reach = max(
        abs(edge)
        for edge in (lettering.bounds[n] for n in ((0, 2) if side in ("left", "right") else (1, 3)))
    )
    assert reach <= depth


def test_a_ruler_counts_both_ways_from_one_zero() -> None:
    items = draw_ruler(
        "bottom",
        edge=0.0,
        span=(-6 * INCH, 6 * INCH),
        tape=Tape(INCH / 32, "in"),
        pens=pens_for(12 * INCH),
    )
    texts = [item for item in items if isinstance(item, Text)]
    shown = [text.text for text in texts]
    middle = len(shown) // 2
    assert shown[0] == shown[-1] == "6\N{DOUBLE PRIME}"
    assert shown[middle] == "0"
    assert shown == shown[::-1]
    assert "1\N{DOUBLE PRIME}" in shown[:middle]
    assert texts[shown.index("1\N{DOUBLE PRIME}")].at[0] == pytest.approx(-INCH)


@given(st.floats(20, 2000), st.floats(0, 360), st.floats(5, 50))
def test_a_dimension_line_is_as_long_as_what_it_measures(
    length: float, turn: float, away: float
) -> None:
    end = (length * np.cos(np.radians(turn)), length * np.sin(np.radians(turn)))
    items = draw_dimension((0.0, 0.0), end, away=away, tape=Tape(0.5, "mm"), pens=pens_for(length))
    line, _, text = items
    assert isinstance(line, Line)
    (x1, y1), (x2, y2) = line.runs[-1]
    assert hypot(x2 - x1, y2 - y1) == pytest.approx(length)
    assert shapely.LineString(line.runs[-1]).distance(shapely.Point(0, 0)) == pytest.approx(away)
    assert isinstance(text, Text)
    assert -90.0 < text.angle <= 90.0
    assert float(text.text.removesuffix(" mm")) == pytest.approx(length, abs=0.25)


def test_a_scaled_drawing_prints_the_true_length() -> None:
    tape = Tape(INCH / 32, "in", scale=0.25)
    *_, text = draw_dimension((0, 0), (3 * INCH, 0), away=9.0, tape=tape, pens=pens_for(100))
    assert isinstance(text, Text)
    assert text.text == "12 in"


@pytest.mark.parametrize("name", ["chest-lid", "hall-table", "dining-table", "crowded-tray"])
def test_rows_are_numbered_at_the_edge_where_they_end(name: str) -> None:
    plan = planned(name)
    marks = mark_rows(plan.pieces, opening=plan.opening, cap=3.0)
    ring = shapely.LinearRing(plan.opening)
    numbered = {mark.text.replace("\N{MINUS SIGN}", "-") for mark in marks}
    assert numbered <= {f"{piece.row:+d}" if piece.row else "0" for piece in plan.pieces}
    for mark in marks:
        at = (mark.edge, mark.at) if mark.side in ("left", "right") else (mark.at, mark.edge)
        assert ring.distance(shapely.Point(at)) < 3.0
    for side in SIDES:
        places = sorted(mark.at for mark in marks if mark.side == side)
        assert all(np.diff(places) >= 4.5 - 1e-9)


def test_every_row_of_level_courses_is_numbered_at_both_sides() -> None:
    plan = planned("chest-lid")
    marks = mark_rows(plan.pieces, opening=plan.opening, cap=5.0)
    rows = {piece.row for piece in plan.pieces}
    for side in ("left", "right"):
        assert len([mark for mark in marks if mark.side == side]) == len(rows)
    assert {mark.side for mark in marks} == {"left", "right"}
