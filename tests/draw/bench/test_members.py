"""The members of the frame: drawn in proportion, long point on top."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tesselath.draw.bench import draw_members
from tesselath.draw.paper import Polygon, Sheet, Text
from tops import plan_of, top

FRAME = '[frame]\nwidth = "2 in"\n'


def _shapes(sheet: Sheet) -> list[np.ndarray]:  # type: ignore[type-arg]
    return [
        np.asarray(item.outlines[0])
        for layer in sheet.layers
        for item in layer.items
        if isinstance(item, Polygon) and item.role == "member"
    ]


def _words(sheet: Sheet) -> str:
    texts = (item for layer in sheet.layers for item in layer.items if isinstance(item, Text))
    return " | ".join(text.text for text in texts)


def test_a_mitred_frame_has_two_sorts_with_their_points() -> None:
    # 16 x 10 in inside a frame 2 in wide: 20 and 14 in over the long points, hand-worked.
    sheet = draw_members(plan_of(top(more=FRAME)), width=182.0, height=80.0)
    front, side = _shapes(sheet)
    scale = np.ptp(front[:, 0]) / (20 * 25.4)
    assert np.ptp(side[:, 0]) / scale == pytest.approx(14 * 25.4)
    assert np.ptp(front[:, 1]) / scale == pytest.approx(2 * 25.4)
    low = front[front[:, 1] == front[:, 1].min()]
    assert np.ptp(low[:, 0]) / scale == pytest.approx(16 * 25.4)
    words = _words(sheet)
    for said in (
        "long point 20 in",
        "short point 16 in",
        "long point 14 in",
        "ends 45°",
        "front and back: make 2",
    ):
        assert said in words


def test_a_butted_frame_has_square_ends_and_one_length() -> None:
    sheet = draw_members(plan_of(top(more=FRAME + 'corner = "butt"\n')), width=182.0, height=80.0)
    words = _words(sheet)
    assert "length 20 in" in words
    assert "length 10 in" in words
    assert "short point" not in words
    for shape in _shapes(sheet):
        assert math.isclose(np.ptp(shape[:, 0]) * np.ptp(shape[:, 1]), _area(shape))


def _area(shape: np.ndarray) -> float:  # type: ignore[type-arg]
    x, y = shape[:, 0], shape[:, 1]
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2)
