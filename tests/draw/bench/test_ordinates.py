"""Ordinates: words beside lines never cover each other, and stay as near as they can."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, strategies as st

from tesselath.draw.bench.ordinates import draw_ordinates, spread
from tesselath.draw.paper import Line, Text

PLACES = st.lists(st.floats(-500, 500), max_size=12).map(sorted)


@given(PLACES, st.floats(0.1, 20))
def test_neighbours_stand_clear_and_in_order(places: list[float], least: float) -> None:
    moved = spread(places, least)
    assert len(moved) == len(places)
    for before, after in pairwise(moved):
        assert after - before >= least - 1e-6


@given(PLACES, st.floats(0.1, 20))
def test_the_moves_cancel_out(places: list[float], least: float) -> None:
    # The least sum of squares leaves the mean where it was.
    assert sum(spread(places, least)) == pytest.approx(sum(places), abs=1e-6)


def test_places_with_room_stay() -> None:
    assert spread([0.0, 10.0, 25.0], 5.0) == [0.0, 10.0, 25.0]


@pytest.mark.parametrize("side", ["left", "bottom"])
def test_each_word_is_led_from_its_line(side: str) -> None:
    marks = [(0.0, "0"), (1.0, "centre 1 mm"), (30.0, "edge 30 mm")]
    items, depth = draw_ordinates(side, marks, edge=0.0, cap=2.0)
    (line,) = (item for item in items if isinstance(item, Line))
    along = 0 if side == "bottom" else 1
    assert [run[0][along] for run in line.runs] == [0.0, 1.0, 30.0]
    texts = [item for item in items if isinstance(item, Text)]
    assert [text.text for text in texts] == [words for _, words in marks]
    assert all(text.at[1 - along] > -depth for text in texts)
