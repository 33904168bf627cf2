"""Angles: exact where the workshop needs it, right everywhere else."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, strategies as st

from tesselath.measure import cosine, sine, tangent, turn_point

ANGLES = st.floats(-720, 720)
STEPS = st.integers(-48, 48).map(lambda n: 15.0 * n)


@given(ANGLES)
def test_sine_and_cosine_agree_with_the_standard_library(angle: float) -> None:
    assert math.isclose(sine(angle), math.sin(math.radians(angle)), abs_tol=2e-15 * 8)
    assert math.isclose(cosine(angle), math.cos(math.radians(angle)), abs_tol=2e-15 * 8)


@given(STEPS)
def test_workshop_angles_obey_their_symmetries_to_the_last_bit(angle: float) -> None:
    assert sine(-angle) == -sine(angle)
    assert cosine(-angle) == cosine(angle)
    assert cosine(angle) == sine(90.0 - angle)
    assert sine(180.0 - angle) == sine(angle)
    assert sine(angle + 360.0) == sine(angle)


@pytest.mark.parametrize(
    ("angle", "square"),
    [(0, 0.0), (30, 0.25), (45, 0.5), (60, 0.75), (90, 1.0)],
)
def test_sines_are_those_of_the_table_of_chords(angle: float, square: float) -> None:
    # Half the square roots of 0, 1, 2, 3, 4: Euclid, Elements XIII (identities).
    assert math.isclose(sine(angle) ** 2, square, rel_tol=4e-16)
    assert sine(angle) == math.sqrt(square)


def test_a_plain_float_would_not_do() -> None:
    # Shown so that nobody takes the helper out: strips laid with these do not meet.
    assert math.tan(math.radians(45)) != 1.0
    assert math.cos(math.radians(60)) != 0.5
    assert tangent(45) == 1.0
    assert tangent(-45) == -1.0
    assert cosine(60) == 0.5


@pytest.mark.parametrize("angle", [90.0, -90.0, 270.0])
def test_there_is_no_tangent_of_a_right_angle(angle: float) -> None:
    with pytest.raises(ZeroDivisionError):
        tangent(angle)


@given(st.floats(-1e-12, 1e-12))
def test_an_angle_a_hair_off_zero_is_a_hair_off(angle: float) -> None:
    assert abs(sine(angle)) <= 2e-14
    assert cosine(angle) == pytest.approx(1.0, abs=1e-15)


@given(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4), ANGLES)
def test_turning_keeps_the_distance_and_turning_back_undoes_it(
    x: float, y: float, angle: float
) -> None:
    there = turn_point(x, y, angle)
    assert math.hypot(*there) == pytest.approx(math.hypot(x, y), abs=1e-9)
    assert turn_point(*there, -angle) == pytest.approx((x, y), abs=1e-9)


@given(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4))
def test_four_quarter_turns_come_back_to_the_very_same_point(x: float, y: float) -> None:
    point = (x, y)
    for _ in range(4):
        point = turn_point(*point, 90.0)
    assert point == (x, y)


def test_a_turn_is_counter_clockwise_seen_from_above() -> None:
    assert turn_point(1.0, 0.0, 90.0) == (0.0, 1.0)
    assert turn_point(0.0, 1.0, 90.0) == (-1.0, 0.0)
