"""Curves: rounded and clipped corners and ovals, as polygons that stay inside the true curve."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st

from tesselath.field.round_border import lay_round_border
from tesselath.measure import ALIKE
from tesselath.shape import (
    CHORD,
    Outline,
    area,
    as_outline,
    clip_corners,
    draw_oval,
    is_convex,
    room_for_corners,
    round_corners,
)

ELL = as_outline([(0, 0), (400, 0), (400, 90), (190, 90), (190, 250), (0, 250)])


def box(width: float, depth: float) -> Outline:
    return as_outline([(0, 0), (width, 0), (width, depth), (0, depth)])


# --- outlines ---


@given(st.floats(60, 3000), st.floats(60, 2000))
def test_an_oval_lies_inside_the_ellipse_and_a_hair_from_it(width: float, depth: float) -> None:
    oval = draw_oval(width, depth)
    a, b = width / 2, depth / 2
    assert (oval[:, 0] / a) ** 2 + (oval[:, 1] / b) ** 2 == pytest.approx(np.ones(len(oval)))
    assert is_convex(oval)
    assert np.array_equal(-oval, np.roll(oval, len(oval) // 2, axis=0))  # the same turned round
    true = np.linspace(0, 2 * pi, 7 * len(oval))
    ellipse = shapely.points(a * np.cos(true), b * np.sin(true))
    assert shapely.distance(ellipse, shapely.Polygon(oval).exterior).max() <= CHORD + 1e-9
    assert area(oval) == pytest.approx(pi * a * b, rel=0.01)


@given(st.floats(60, 900), st.floats(60, 900), st.floats(0.05, 1.0))
def test_rounding_takes_four_minus_pi_of_the_radius_squared(
    width: float, depth: float, share: float
) -> None:
    radius = share * min(width, depth) / 2
    rounded = round_corners(box(width, depth), radius)
    lost = (4 - pi) * radius**2
    assert width * depth - area(rounded) == pytest.approx(lost, rel=0.06)
    # No corner stands beyond the true arc by more than an edge that vanishes.
    x = np.clip(rounded[:, 0], radius, width - radius)
    y = np.clip(rounded[:, 1], radius, depth - radius)
    assert np.hypot(rounded[:, 0] - x, rounded[:, 1] - y).max() <= radius + ALIKE


@given(st.floats(1, 44))
def test_a_corner_that_points_inward_is_rounded_the_other_way(radius: float) -> None:
    rounded = shapely.Polygon(round_corners(ELL, radius))
    sharp = shapely.Polygon(ELL)
    # The one re-entrant corner gives what it rounds to the opening; its five others take it.
    per_corner = (1 - pi / 4) * radius**2
    assert rounded.area == pytest.approx(sharp.area - 4 * per_corner, abs=0.3 * per_corner)
    assert rounded.difference(sharp).area == pytest.approx(per_corner, rel=0.06, abs=0.01)


@given(st.floats(60, 900), st.floats(60, 900), st.floats(0.05, 0.99))
def test_a_clipped_corner_loses_as_much_of_each_side(
    width: float, depth: float, share: float
) -> None:
    cut = share * min(width, depth) / 2
    clipped = clip_corners(box(width, depth), cut)
    assert len(clipped) == 8
    assert width * depth - area(clipped) == pytest.approx(2 * cut**2)


def test_room_ends_where_two_curves_meet() -> None:
    three = as_outline([(0, 0), (300, 0), (0, 400)])
    # The tangents of an inscribed circle: its radius is area over half the rim, 60000/600.
    assert room_for_corners(three, rounded=True) == pytest.approx(100.0)
    assert room_for_corners(three, rounded=False) == pytest.approx(150.0)
    assert area(round_corners(three, 100.0)) == pytest.approx(pi * 1e4, rel=0.01)
    with pytest.raises(ValueError, match="leave room"):
        round_corners(three, 100.1)
    assert room_for_corners(ELL, rounded=True) == pytest.approx(45.0)


# --- borders that follow them ---


@given(st.floats(200, 900), st.floats(200, 900), st.floats(0.02, 1.0), st.floats(5, 60))
def test_a_border_round_a_rounded_opening_is_one_piece_a_side(
    width: float, depth: float, share: float, band: float
) -> None:
    sharp = box(width, depth)
    radius = share * min(width, depth) / 2
    outline = round_corners(sharp, radius)
    cells = lay_round_border(outline, sharp=sharp, width=band, place="border.1")
    assert [cell.direction for cell in cells] == [0.0, 90.0, 180.0, 270.0]
    # A band wider than the corners are round has square corners inside.
    inner = shapely.Polygon(sharp if band >= radius else outline).buffer(
        -band, join_style="mitre", mitre_limit=100
    )
    laid = shapely.union_all([shapely.Polygon(c.outline) for c in cells], grid_size=1e-6)
    assert laid.area == pytest.approx(sum(area(c.outline) for c in cells), abs=0.01)
    ring = shapely.Polygon(outline).difference(inner)
    assert laid.symmetric_difference(ring).area < 0.02 * (width + depth) / 100


@given(st.floats(300, 900), st.floats(0.6, 1.6), st.floats(5, 40))
def test_a_border_round_an_oval_is_eight_pieces_joined_square(
    width: float, share: float, band: float
) -> None:
    oval = draw_oval(width, share * width)
    cells = lay_round_border(oval, sharp=None, width=band, place="border.1")
    assert len(cells) == 8
    inner = shapely.Polygon(oval).buffer(-band, join_style="mitre", mitre_limit=100)
    ring = shapely.Polygon(oval).area - inner.area
    assert sum(area(cell.outline) for cell in cells) == pytest.approx(ring, rel=1e-4)
    # Each opposite pair is the same piece turned round.
    for n in range(4):
        assert area(cells[n].outline) == pytest.approx(area(cells[n + 4].outline), abs=1e-3)


@pytest.mark.parametrize(("radius", "from_a_strip"), [(20.0, True), (40.0, True), (80.0, False)])
def test_a_corner_rounder_than_the_band_needs_a_wider_board(
    radius: float, from_a_strip: bool
) -> None:
    sharp = box(600, 400)
    cells = lay_round_border(round_corners(sharp, radius), sharp=sharp, width=40.0, place="")
    assert [cell.width for cell in cells] == [40.0 if from_a_strip else None] * 4
    # Half-way round, the mitre runs at 45 degrees from the outer curve to the inner one.
    outer, inner = (r * (1 - 2**-0.5) for r in (radius, max(radius - 40.0, 0.0)))
    ends = shapely.Polygon(cells[0].outline).intersection(shapely.Polygon(cells[1].outline))
    assert ends.length == pytest.approx(2**0.5 * (40.0 - outer + inner), abs=0.3)


def test_a_border_wider_than_an_ovals_sharpest_curve_is_refused() -> None:
    oval = draw_oval(600, 300)  # 150^2/300 = 75
    assert len(lay_round_border(oval, sharp=None, width=75.0, place="border.1")) == 8
    with pytest.raises(Exception, match="sharpest curve, a radius of 75 mm"):
        lay_round_border(oval, sharp=None, width=76.0, place="border.1")
