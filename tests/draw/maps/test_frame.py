"""The frame as drawn: rails that cover the ring, joints where rails meet."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st

from tesselath.design import Frame
from tesselath.draw.maps import frame_shape
from tesselath.draw.maps.frame import is_box
from tesselath.frame import Member
from tesselath.frame.frame_base import measure_members
from tesselath.shape import Outline, area, as_outline, round_corners

sides = st.floats(100, 2000)


def plan_members(opening: Outline, width: float) -> tuple[Member, ...]:
    """The members that are made for a frame as it is drawn."""
    return measure_members(Frame(width), opening)


@given(sides, sides, st.floats(5, 100), st.sampled_from(["mitre", "butt"]))
def test_rails_cover_the_ring_round_the_opening_once(
    width: float, depth: float, frame: float, corner: str
) -> None:
    opening = as_outline([(0, 0), (width, 0), (width, depth), (0, depth)])
    shape = frame_shape(opening, width=frame, corner=corner)
    ring = (width + 2 * frame) * (depth + 2 * frame) - width * depth
    areas = [shapely.Polygon(rail.outline).area for rail in shape.rails]
    assert sum(areas) == pytest.approx(ring)
    whole = shapely.union_all(
        [shapely.Polygon(rail.outline) for rail in shape.rails], grid_size=1e-6
    )
    assert whole.area == pytest.approx(ring, rel=1e-6)


def test_mitres_of_a_square_corner_run_at_45_degrees() -> None:
    opening = as_outline([(-50, -20), (50, -20), (50, 20), (-50, 20)])
    shape = frame_shape(opening, width=10.0, corner="mitre")
    assert len(shape.joints) == 4
    for (x1, y1), (x2, y2) in shape.joints:
        assert abs(x2 - x1) == pytest.approx(10.0)
        assert abs(y2 - y1) == pytest.approx(10.0)
    assert np.allclose(np.sort(shapely.Polygon(shape.outer).bounds), [-60, -30, 30, 60])


def test_in_a_butted_frame_front_and_back_run_through() -> None:
    opening = as_outline([(-50, -20), (50, -20), (50, 20), (-50, 20)])
    shape = frame_shape(opening, width=10.0, corner="butt")
    lengths = {rail.grain: np.ptp(rail.outline, axis=0).max() for rail in shape.rails}
    assert lengths == {0.0: 120.0, 90.0: 40.0}


def test_a_corner_out_of_square_is_mitred_in_equal_halves() -> None:
    opening = as_outline([(0, 0), (100, 0), (130, 60), (0, 60)])
    shape = frame_shape(opening, width=12.0, corner="butt")  # butts only fit square corners
    ring = shapely.Polygon(shape.outer).area - shapely.Polygon(opening).area
    assert sum(shapely.Polygon(rail.outline).area for rail in shape.rails) == pytest.approx(ring)
    for (x, y), far in shape.joints:
        edges = shapely.linestrings(np.stack([opening, np.roll(opening, -1, axis=0)], axis=1))
        at_corner = [edge for edge in edges if edge.distance(shapely.Point(x, y)) < 1e-9]
        away = []
        for edge in at_corner:
            (x1, y1), (x2, y2) = edge.coords
            length = np.hypot(x2 - x1, y2 - y1)
            away.append(abs((far[0] - x1) * (y2 - y1) - (far[1] - y1) * (x2 - x1)) / length)
        assert away == pytest.approx([12.0, 12.0])


def test_a_round_opening_is_framed_in_quarters() -> None:
    turn = np.radians(np.arange(0, 360, 5))
    oval = as_outline(np.column_stack([200 * np.cos(turn), 120 * np.sin(turn)]))
    shape = frame_shape(oval, width=20.0, corner="mitre")
    assert len(shape.rails) == len(shape.joints) == 4
    assert len(plan_members(oval, 20.0)) == 4  # as many as are listed to be made
    for (x0, y0), (x1, y1) in shape.joints:
        assert np.hypot(x1 - x0, y1 - y0) == pytest.approx(20.0, rel=0.01)


def test_a_rounded_corner_is_joined_half_way_round() -> None:
    box = as_outline([(0, 0), (300, 0), (300, 200), (0, 200)])
    shape = frame_shape(round_corners(box, 40.0), width=30.0, corner="mitre")
    assert len(shape.rails) == 4
    for (x0, y0), (x1, y1) in shape.joints:
        assert abs(x1 - x0) == pytest.approx(abs(y1 - y0))  # at 45 degrees
        assert np.hypot(x1 - x0, y1 - y0) == pytest.approx(30.0, rel=0.01)
    areas = sum(area(rail.outline) for rail in shape.rails)
    assert areas == pytest.approx(area(shape.outer) - area(round_corners(box, 40.0)))
    mitres = [member.mitres for member in plan_members(round_corners(box, 40.0), 30.0)]
    assert mitres == [pytest.approx((45.0, 45.0))] * 4


def test_a_half_round_end_is_two_members_joined_square() -> None:
    box = as_outline([(0, 0), (300, 0), (300, 200), (0, 200)])
    shape = frame_shape(round_corners(box, 100.0), width=30.0, corner="mitre")
    assert len(shape.rails) == 6
    members = plan_members(round_corners(box, 100.0), 30.0)
    assert [member.shaped for member in members].count(True) == 4
    assert all(member.mitres == (0.0, 0.0) for member in members)


def test_a_corner_that_points_into_the_opening_is_joined_to_the_outer_one() -> None:
    ell = [(0, 0), (400, 0), (400, 90), (190, 90), (190, 250), (0, 250)]
    shape = frame_shape(round_corners(as_outline(ell), 15.0), width=30.0, corner="mitre")
    assert len(shape.rails) == 6
    assert any(far == pytest.approx((220.0, 120.0)) for _, far in shape.joints)


def test_round_is_no_box() -> None:
    turn = np.radians(np.arange(0, 360, 5))
    oval = as_outline(np.column_stack([200 * np.cos(turn), 120 * np.sin(turn)]))
    assert not is_box(oval)
