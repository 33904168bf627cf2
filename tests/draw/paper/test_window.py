"""A window on a drawing: nothing leaves it, and nothing within it is lost."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st

from tesselath.draw.paper import Circle, Fill, Line, Polygon, Stroke, Text, in_window

BOX = (-10.0, -5.0, 30.0, 25.0)
PEN = Stroke(0.2)
near = st.integers(-60, 60).map(float)
points = st.tuples(near, near)


@given(st.lists(st.lists(points, min_size=2, max_size=6), min_size=1, max_size=8))
def test_lines_within_a_window_are_what_lies_in_it(runs: list[list[tuple[float, float]]]) -> None:
    runs = [run for run in runs if shapely.LineString(run).length > 0.0]
    if not runs:
        return
    items = in_window([Line(tuple(map(tuple, runs)), PEN)], BOX)  # type: ignore[arg-type]
    window = shapely.box(*BOX)
    kept = [run for item in items if isinstance(item, Line) for run in item.runs]
    assert all(window.buffer(1e-9).covers(shapely.LineString(run)) for run in kept)
    inner = shapely.box(*BOX).buffer(-1e-6)
    wanted = shapely.union_all([shapely.LineString(run) for run in runs]).intersection(inner)
    shown = shapely.union_all([shapely.LineString(run) for run in kept] or [shapely.Point(0, 0)])
    assert wanted.difference(shown.buffer(1e-3)).length < 0.05


def test_a_filled_shape_is_cut_and_its_edge_left_open_at_the_cut() -> None:
    """A square of 20 from 20 to 40, cut at 30: half of it, and no line along the cut."""
    square = ((20.0, 0.0), (40.0, 0.0), (40.0, 20.0), (20.0, 20.0))
    fill, edge = in_window([Polygon((square,), Fill("#888888"), PEN)], BOX)
    assert isinstance(fill, Polygon)
    assert shapely.Polygon(fill.outlines[0]).area == pytest.approx(200.0)
    assert isinstance(edge, Line)
    assert sum(shapely.LineString(run).length for run in edge.runs) == pytest.approx(40.0)
    assert all(np.asarray(run)[:, 0].max() <= 30.0 + 1e-9 for run in edge.runs)


def test_lettering_and_circles_are_shown_whole_or_not_at_all() -> None:
    items = [
        Text("17", (0.0, 0.0), 2.5),
        Text("18", (29.9, 0.0), 2.5),
        Circle((0.0, 0.0), 2.0),
        Circle((29.0, 0.0), 2.0),
    ]
    assert in_window(items, BOX) == (items[0], items[2])


def test_what_lies_within_is_left_as_it_is() -> None:
    line = ((0.0, 0.0), (5.0, 5.0))
    shown = in_window([Line((line,), PEN, role="grain")], BOX)
    assert isinstance(shown[0], Line)
    assert np.array_equal(np.asarray(shown[0].runs[0]), line)
    assert shown[0].role == "grain"
