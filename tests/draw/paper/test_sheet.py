"""The neutral sheet: items move as one, lettering stands where its anchor says."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, strategies as st

from tesselath.draw.paper import Circle, Line, Polygon, Sheet, Stroke, Text, moved

lengths = st.floats(-1000, 1000)


@given(lengths, lengths)
def test_every_kind_of_item_moves_by_the_same_way(dx: float, dy: float) -> None:
    corners = np.array([(0.0, 0.0), (4.0, 0.0), (0.0, 3.0)])
    pen = Stroke(0.25)
    items = [
        Line((corners, ((1.0, 2.0), (3.0, 4.0))), pen),
        Polygon((corners,)),
        Circle((1.0, 2.0), 3.0),
        Text("A", (1.0, 2.0), 4.0),
    ]
    way = np.array([dx, dy])
    line, polygon, circle, text = moved(items, dx, dy)
    assert np.allclose(line.runs[0], corners + way)
    assert np.allclose(line.runs[1], np.array([(1.0, 2.0), (3.0, 4.0)]) + way)
    assert np.allclose(polygon.outlines[0], corners + way)
    assert circle.centre == text.at == (1.0 + dx, 2.0 + dy)
    assert np.array_equal(items[1].outlines[0], corners)  # the first is left as it was


def test_only_items_of_a_sheet_are_moved() -> None:
    with pytest.raises(TypeError, match="is not an item of a sheet"):
        moved(["A"], 1.0, 1.0)  # type: ignore[list-item]


@pytest.mark.parametrize(
    ("baseline", "angle", "foot"),
    [
        ("base", 0.0, (10.0, 20.0)),
        ("middle", 0.0, (10.0, 18.0)),
        ("top", 0.0, (10.0, 16.0)),
        ("top", 90.0, (14.0, 20.0)),  # read from the right: its foot lies to the right
        ("middle", -90.0, (8.0, 20.0)),
    ],
)
def test_the_foot_of_lettering_follows_its_baseline(
    baseline: str, angle: float, foot: tuple[float, float]
) -> None:
    text = Text("A", (10.0, 20.0), 4.0, baseline=baseline, angle=angle)
    assert text.foot == pytest.approx(foot)


def test_the_top_of_a_sheet_lies_its_height_above_its_bottom() -> None:
    assert Sheet("", -5.0, -7.0, 20.0, 30.0, ()).top == 23.0
