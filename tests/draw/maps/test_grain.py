"""Rulings and figure: lines lie within their piece, along the grain."""

from __future__ import annotations

import numpy as np
import shapely
from hypothesis import given, strategies as st

from tesselath.draw.maps import dress_woods, rule_lines, ruling_stroke
from tesselath.draw.maps.figure import chance, draw_figure
from tesselath.draw.maps.wood import Ruling
from tesselath.shape import as_outline, turned

pieces = st.tuples(
    st.floats(10, 120), st.floats(3, 40), st.floats(-10, 10), st.floats(0, 179.9)
).map(
    lambda p: (
        turned(as_outline([(0, 0), (p[0], 0), (p[0] + p[2], p[1]), (p[2], p[1])]), p[3]),
        p[3],
    )
)
RULINGS = [Ruling("close", 1.0), Ruling("wide", 2.5), Ruling("pairs", 3.0, pairs=True)]


@given(pieces, st.sampled_from(RULINGS), st.floats(0.4, 4.0))
def test_ruled_lines_lie_within_their_piece_along_the_grain(
    piece: tuple[np.ndarray, float], ruling: Ruling, spacing: float
) -> None:
    outline, grain = piece
    lines = rule_lines(outline, grain, ruling=ruling, spacing=spacing, free=None)
    inside = shapely.Polygon(outline).buffer(1e-6)
    assert all(inside.covers(line) for line in shapely.linestrings(lines))
    if len(lines):
        dx, dy = (lines[:, 1] - lines[:, 0]).T
        assert np.allclose(np.sin(np.arctan2(dy, dx) - np.radians(grain)), 0.0, atol=1e-6)


@given(pieces, st.floats(0.4, 3.0))
def test_rulings_leave_the_lettering_free(piece: tuple[np.ndarray, float], spacing: float) -> None:
    outline, grain = piece
    level = turned(outline, -grain)
    x, y = level.mean(axis=0)
    free = (x - 4.0, y - 1.5, x + 4.0, y + 1.5)
    lines = rule_lines(outline, grain, ruling=RULINGS[0], spacing=spacing, free=free)
    box = shapely.box(*free).buffer(-1e-6)
    assert not any(box.intersects(shapely.LineString(turned(line, -grain))) for line in lines)


@given(st.floats(4.0, 60.0), st.floats(0.3, 2.0))
def test_lines_lie_even_to_both_sides_of_the_middle(width: float, spacing: float) -> None:
    strip = as_outline([(0, 0), (90, 0), (90, width), (0, width)])
    lines = rule_lines(strip, 0.0, ruling=RULINGS[0], spacing=spacing, free=None)
    levels = lines[:, 0, 1]
    assert np.allclose(np.sort(levels), np.sort(width - levels))
    assert np.allclose(np.diff(levels), spacing)


def test_a_blank_wood_is_not_ruled() -> None:
    strip = as_outline([(0, 0), (90, 0), (90, 20), (0, 20)])
    assert len(rule_lines(strip, 0.0, ruling=Ruling("blank", 0.0), spacing=2.0, free=None)) == 0


def test_dots_are_round_and_stand_as_far_apart_as_said() -> None:
    looks = dress_woods(["wenge", "cherry", "oak", "maple"], woods={})
    pen = ruling_stroke(looks["oak"], spacing=2.0)
    assert pen.ends == "round"
    assert pen.dash[0] < 0.1 < pen.dash[1]


@given(pieces, st.integers(1, 100_000), st.integers(1, 15))
def test_streaks_lie_within_their_piece_and_never_change(
    piece: tuple[np.ndarray, float], number: int, streaks: int
) -> None:
    outline, grain = piece
    first = draw_figure(outline, grain, number=number, streaks=streaks)
    again = draw_figure(outline, grain, number=number, streaks=streaks)
    # A streak bows by a hundredth of the width at most.
    inside = shapely.Polygon(outline).buffer(0.02 * 40)
    for (line, kind), (other, other_kind) in zip(first, again, strict=True):
        assert inside.covers(shapely.LineString(line))
        assert np.array_equal(line, other)
        assert kind == other_kind


@given(st.integers(0, 1_000_000), st.integers(0, 1000))
def test_chance_lies_from_nought_to_under_one(number: int, throw: int) -> None:
    assert 0.0 <= chance(number, throw) < 1.0


def test_chance_is_spread_evenly() -> None:
    throws = np.array([chance(number, throw) for number in range(200) for throw in range(10)])
    counts, _ = np.histogram(throws, bins=10, range=(0, 1))
    assert counts.min() > 150  # 200 each on average
    assert counts.max() < 250
