"""Outlines: areas, clips and insets against shapely and against identities."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, strategies as st

from tesselath.measure import ALIKE, ON_THE_LINE
from tesselath.shape import (
    Line,
    Outline,
    area,
    as_outline,
    centroid,
    clip_by_lines,
    edge_lines,
    inset,
    is_convex,
    overlay,
    tidy,
    turned,
)
from tops import box

POINTS = st.tuples(st.integers(-3000, 3000), st.integers(-3000, 3000))


def _hull(points: list[tuple[int, int]]) -> Outline:
    """A random convex outline, in tenths of a mm, with no needle and no nearly straight corner."""
    hull = shapely.convex_hull(shapely.MultiPoint(np.array(points) / 10))
    assume(hull.geom_type == "Polygon" and hull.area > 100 and hull.area > hull.length)
    outline = as_outline(shapely.get_coordinates(shapely.orient_polygons(hull))[:-1])
    edge = np.roll(outline, -1, axis=0) - outline
    after = np.roll(edge, -1, axis=0)
    turn = edge[:, 0] * after[:, 1] - edge[:, 1] * after[:, 0]
    assume(np.all(turn > 0.01 * np.hypot(*edge.T) * np.hypot(*after.T)))
    return outline


CONVEX = st.lists(POINTS, min_size=3, max_size=9).map(_hull)
LINES = st.builds(
    lambda turn, c: (math.cos(math.radians(turn)), math.sin(math.radians(turn)), c),
    st.floats(0, 360),
    st.floats(-200, 200),
)

ELL = as_outline([(0, 0), (60, 0), (60, 20), (20, 20), (20, 50), (0, 50)])


def _shape(outline: Outline | list[tuple[float, float]]) -> shapely.Polygon:
    return shapely.Polygon(outline)


def _half_plane(line: Line) -> shapely.Polygon:
    nx, ny, c = line
    x, y, far = nx * c, ny * c, 4000.0
    corners = [
        (x - ny * far, y + nx * far),
        (x + ny * far, y - nx * far),
        (x + ny * far - nx * far, y - nx * far - ny * far),
        (x - ny * far - nx * far, y + nx * far - ny * far),
    ]
    return shapely.Polygon(corners)


def _apart(a: Outline, b: Outline) -> float:
    return float(shapely.hausdorff_distance(_shape(a), _shape(b)))


@given(CONVEX, st.floats(-1e5, 1e5))
def test_area_and_centre_of_gravity_agree_with_shapely(outline: Outline, away: float) -> None:
    moved = as_outline(outline + away)
    assert area(moved) == pytest.approx(_shape(outline).area, rel=1e-9)
    assert area(moved[::-1]) == pytest.approx(-_shape(outline).area, rel=1e-9)
    middle = _shape(outline).centroid
    assert centroid(moved) == pytest.approx((middle.x + away, middle.y + away), abs=1e-6)


def test_regular_polygons_have_the_areas_of_the_table() -> None:
    with (Path(__file__).parents[1] / "data" / "polygon_mitre.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) > 5
    for row in rows:
        n, radius = int(row["sides"]), float(row["circumradius_over_side"])
        corners = [
            (radius * math.cos(math.tau * k / n), radius * math.sin(math.tau * k / n))
            for k in range(n)
        ]
        # The radius is printed to six places.
        assert area(corners) == pytest.approx(float(row["area_over_side2"]), rel=5e-6)


@given(CONVEX)
def test_the_hull_of_points_is_convex_and_an_ell_is_not(outline: Outline) -> None:
    assert is_convex(outline)
    assert not is_convex(ELL)
    # A corner pushed in beyond the line of its neighbours makes a dent.
    dented = np.insert(outline, 1, (0.5 * outline[0] + 0.5 * outline[1]), axis=0)
    dented[1] += 0.1 * (outline.mean(axis=0) - dented[1])
    assert not is_convex(dented)


def test_a_corner_on_a_straight_side_does_not_make_a_dent() -> None:
    assert is_convex([(0, 0), (5, 0), (10, 0), (10, 4), (0, 4)])
    assert is_convex([(0, 0), (5, 1e-9), (10, 0), (10, 4), (0, 4)])
    assert not is_convex([(0, 0), (5, 0.01), (10, 0), (10, 4), (0, 4)])


@given(CONVEX)
def test_an_outline_lies_inside_the_lines_of_its_own_edges(outline: Outline) -> None:
    lines = edge_lines(outline)
    assert len(lines) == len(outline)
    for nx, ny, c in lines:
        assert math.hypot(nx, ny) == pytest.approx(1.0)
        reach = outline @ [nx, ny] - c
        assert reach.max() <= 1e-9
        assert np.sum(np.abs(reach) < 1e-7) >= 2


@given(CONVEX, st.lists(LINES, min_size=1, max_size=5))
def test_a_clip_by_lines_has_the_area_of_shapelys_overlay(
    outline: Outline, lines: list[Line]
) -> None:
    clipped = clip_by_lines([(float(x), float(y)) for x, y in outline], lines)
    wanted = _shape(outline)
    for line in lines:
        wanted = wanted.intersection(_half_plane(line))
    # A sliver thinner than the line may go.
    assert area(clipped) == pytest.approx(wanted.area, abs=2 * ON_THE_LINE * 2000)
    for x, y in clipped:
        for nx, ny, c in lines:
            assert nx * x + ny * y - c <= ON_THE_LINE
    if clipped:
        assert is_convex(clipped)


@given(CONVEX)
def test_a_clip_by_its_own_edges_changes_nothing(outline: Outline) -> None:
    corners = [(float(x), float(y)) for x, y in outline]
    assert clip_by_lines(corners, edge_lines(outline)) == corners


@given(st.floats(-0.9, 0.9), st.floats(0, 360))
def test_a_line_within_a_hair_of_a_side_cuts_nothing_off(hair: float, turn: float) -> None:
    square = turned(box(40, 30), turn)
    corners = [(float(x), float(y)) for x, y in square]
    nx, ny, c = edge_lines(square)[0]
    near = (nx, ny, c + hair * ON_THE_LINE)
    assert clip_by_lines(corners, [near]) == corners
    assert clip_by_lines(corners, [(-nx, -ny, -c + hair * ON_THE_LINE)]) == []


def test_neighbours_along_a_cut_get_the_very_same_point() -> None:
    # The shared side of two strips is cut by one line; both must end in one corner.
    line = (math.cos(0.3), math.sin(0.3), 7.1)
    left = clip_by_lines([(0, 0), (20, 0), (20, 3), (0, 3)], [line])
    right = clip_by_lines([(0, 3), (20, 3), (20, 6), (0, 6)], [line])
    shared = [p for p in left if p in right]
    assert (0, 3) in shared
    assert len(shared) == 2


@given(CONVEX, st.floats(0.1, 120))
def test_an_inset_of_a_convex_outline_is_what_lies_that_far_inside(
    outline: Outline, distance: float
) -> None:
    left = inset(outline, distance)
    wanted = _shape(outline).buffer(-distance, join_style="mitre", mitre_limit=1e6)
    assert len(left) <= 1
    # What is thinner than a line may stay or go.
    found = sum(area(part) for part in left)
    assert found == pytest.approx(wanted.area, abs=ON_THE_LINE * 4000)
    for part in left:
        far = min(-np.max(part @ [nx, ny] - c) for nx, ny, c in edge_lines(outline))
        assert far == pytest.approx(distance, abs=1e-5) or far > distance


@given(CONVEX, st.floats(0.01, 50))
def test_growing_and_shrinking_again_comes_back(outline: Outline, distance: float) -> None:
    (grown,) = inset(outline, -distance)
    assert area(grown) > area(outline)
    (back,) = inset(grown, distance)
    assert back == pytest.approx(outline, abs=1e-6)


@given(st.floats(0.1, 9.9), st.floats(0, 360))
def test_an_ell_shrinks_like_an_ell(distance: float, turn: float) -> None:
    (left,) = inset(turned(ELL, turn), distance)
    d = distance
    # The legs are 20 wide: worked by hand from the two rectangles.
    wanted = (60 - 2 * d) * (20 - 2 * d) + (20 - 2 * d) * 30
    assert area(left) == pytest.approx(wanted, rel=1e-9)


def test_an_ell_vanishes_when_its_legs_do() -> None:
    assert inset(ELL, 10.1) == []


def test_an_hourglass_splits_in_two() -> None:
    glass = as_outline(
        [
            (0, 0),
            (50, 0),
            (50, 20),
            (30, 20),
            (30, 30),
            (50, 30),
            (50, 50),
            (0, 50),
            (0, 30),
            (20, 30),
            (20, 20),
            (0, 20),
        ]
    )
    assert len(inset(glass, 6.0)) == 2


@pytest.mark.parametrize("distance", [1.0, -1.0])
def test_a_corner_on_a_straight_side_does_not_hinder_an_inset(distance: float) -> None:
    (left,) = inset(as_outline([(0, 0), (5, 0), (10, 0), (10, 8), (0, 8)]), distance)
    assert area(left) == pytest.approx((10 - 2 * distance) * (8 - 2 * distance))


def test_no_inset_at_all_gives_the_outline_itself() -> None:
    assert inset(ELL, 0.0)[0] is ELL


@given(CONVEX, CONVEX)
def test_an_overlay_has_the_area_of_shapelys_own(strip: Outline, zone: Outline) -> None:
    (parts,) = overlay([strip], _shape(zone))
    wanted = _shape(strip).intersection(_shape(zone))
    assert sum(area(p) for p in parts) == pytest.approx(wanted.area, abs=ON_THE_LINE * 4000)
    assert all(area(p) > 0 for p in parts)


def test_an_overlay_gives_the_largest_part_first_and_keeps_the_order_of_the_strips() -> None:
    across = as_outline([(-10, 40), (70, 40), (70, 45), (-10, 45)])
    comb = shapely.Polygon(
        [(0, 0), (60, 0), (60, 50), (50, 50), (50, 10), (20, 10), (20, 50), (0, 50)]
    )
    outside = as_outline(across + np.array([0, 100]))
    first, second = overlay([outside, across], comb)
    assert first == []
    assert [round(area(part)) for part in second] == [100, 50]


def test_touching_strips_have_no_overlap_on_the_grid() -> None:
    # In plain doubles an overlay of neighbours that share a side to the last bit but one may
    # return a whole strip; the grid is there for that (a known fault of overlay engines).
    rng = np.random.default_rng(7)
    for _ in range(60):
        turn, w, length = rng.uniform(0, 360), rng.uniform(5, 40), rng.uniform(50, 300)
        first = turned(as_outline([(0, 0), (length, 0), (length, w), (0, w)]), turn)
        second = turned(
            as_outline([(3, w), (length + 3, w), (length + 3, 2 * w), (3, 2 * w)]), turn
        )
        (parts,) = overlay([first], _shape(second))
        assert sum(area(p) for p in parts) < 1e-3


@given(CONVEX, st.integers(0, 3), st.floats(0.05, 0.95), st.integers(0, 8))
def test_tidying_takes_needless_corners_away_and_nothing_else(
    outline: Outline, extra: int, share: float, start: int
) -> None:
    edges = np.hypot(*(outline - np.roll(outline, 1, axis=0)).T)
    assume(edges.min() > 1.0)
    corners = [(float(x), float(y)) for x, y in outline]
    n = start % len(corners)
    a, b = corners[n], corners[(n + 1) % len(corners)]
    middle = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
    messy = corners[: n + 1] + [middle] * (extra > 0) + [middle] * (extra > 1) + corners[n + 1 :]
    left = tidy(as_outline(messy))
    assert _apart(left, outline) < 1e-4
    assert len(left) <= len(outline)


@given(CONVEX)
def test_a_tidy_outline_is_left_as_it_is(outline: Outline) -> None:
    once = tidy(outline)
    assert tidy(once).tolist() == once.tolist()
    edges = np.hypot(*(once - np.roll(once, 1, axis=0)).T)
    assert edges.min() >= ALIKE


@given(st.floats(0.0005, ALIKE * 0.7), st.floats(0, 360))
def test_a_corner_planed_off_by_a_hair_comes_back_sharp(hair: float, turn: float) -> None:
    planed = as_outline([(0, 0), (40, 0), (40, 20 - hair), (40 - hair, 20), (0, 20)])
    left = tidy(turned(planed, turn))
    assert len(left) == 4
    assert _apart(left, turned(as_outline([(0, 0), (40, 0), (40, 20), (0, 20)]), turn)) < 1e-9


@pytest.mark.parametrize(
    "corners",
    [
        [],
        [(0, 0)],
        [(0, 0), (5, 0)],
        [(0, 0), (5, 0), (9, 0)],
        [(0, 0), (50, 0), (50, 1e-6), (0, 1e-6)],
        [(0, 0), (0.001, 0), (0.001, 0.001)],
    ],
)
def test_what_has_no_width_comes_out_empty(corners: list[tuple[float, float]]) -> None:
    assert len(tidy(as_outline(corners))) == 0


def test_a_real_sliver_is_kept() -> None:
    sliver = as_outline([(0, 0), (50, 0), (50, 0.02), (0, 0.02)])
    assert tidy(sliver).tolist() == sliver.tolist()


@given(CONVEX, st.floats(-360, 360))
def test_turning_keeps_area_and_convexity(outline: Outline, angle: float) -> None:
    there = turned(outline, angle)
    assert area(there) == pytest.approx(area(outline), rel=1e-9)
    assert is_convex(there)
    assert turned(there, -angle) == pytest.approx(outline, abs=1e-9)


def test_an_outline_cannot_be_changed_by_whom_it_is_given_to() -> None:
    with pytest.raises(ValueError, match="read-only"):
        box(3, 2)[0, 0] = 9.0
