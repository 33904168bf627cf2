"""Moisture: what the handbook prints is what the formulas give, and changes add up."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given, strategies as st

from tesselath.wood import find_seasons
from tesselath.wood.moisture import change_share, equilibrium_moisture, moisture_of
from tops import design_of, top

DATA = Path(__file__).parents[1] / "data"
MOISTURES = st.floats(0, 30)
SHRINKAGES = st.floats(0.5, 15)


def test_every_printed_cell_of_the_moisture_table_is_within_7_hundredths() -> None:
    # Wood Handbook, FPL-GTR-190 (2010), Table 4-2: 18 temperatures by 19 humidities.
    with (DATA / "emc.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    cells = 0
    for row in rows:
        celsius = (float(row.pop("fahrenheit")) - 32) / 1.8
        for humidity, printed in row.items():
            reckoned = equilibrium_moisture(celsius, float(humidity) / 100)
            assert abs(reckoned - float(printed)) < 0.07, (celsius, humidity)
            cells += 1
    assert cells == 342


@pytest.mark.parametrize(
    ("celsius", "humidity", "moisture"),
    # Worked by hand from the handbook's equation, chapter 4.
    [(20, 50, 9.27), (20, 75, 14.45), (20, 95, 23.94), (5, 85, 18.47), (21.1, 30, 6.17)],
)
def test_moisture_of_the_air_by_the_handbooks_equation(
    celsius: float, humidity: float, moisture: float
) -> None:
    assert equilibrium_moisture(celsius, humidity / 100) == pytest.approx(moisture, abs=0.005)
    assert moisture_of({"temperature": celsius, "humidity": humidity}) == pytest.approx(
        moisture, abs=0.005
    )


@pytest.mark.parametrize("humidity", [-0.01, 1.0, 50.0])
def test_a_humidity_that_is_no_share_is_refused(humidity: float) -> None:
    with pytest.raises(ValueError, match="humidity"):
        equilibrium_moisture(20, humidity)


def test_white_fir_of_the_handbook_grows_by_1_7_mm() -> None:
    # Wood Handbook, FPL-GTR-190 (2010), chapter 13: 232 mm (9.15 in), C 0.00245, 8 to 11 %.
    grown = 232 * change_share(8, 11, coefficient=0.00245)
    assert grown == pytest.approx(1.7, abs=0.05)
    assert 232 + grown == pytest.approx(233.7, abs=0.05)
    assert 9.15 * change_share(8, 11, coefficient=0.00245) == pytest.approx(0.067, abs=0.0005)


def test_an_inch_and_a_half_of_cherry_moves_0_756_mm_over_eight_points() -> None:
    # C of black cherry, tangential, is 0.00248 (Table 13-5): 38.1 x 0.00248 x 8.
    assert 38.1 * change_share(6, 14, coefficient=0.00248) == pytest.approx(0.756, abs=0.0005)


@given(MOISTURES, MOISTURES, MOISTURES, SHRINKAGES)
def test_changes_beyond_the_range_of_the_coefficients_add_up(
    first: float, second: float, third: float, shrinkage: float
) -> None:
    def grow(start: float, end: float) -> float:
        return 1 + change_share(start, end, coefficient=None, shrinkage=shrinkage)

    assert grow(first, second) * grow(second, third) == pytest.approx(grow(first, third))


@given(SHRINKAGES)
def test_from_green_to_ovendry_wood_shrinks_by_its_shrinkage(shrinkage: float) -> None:
    dried = change_share(30, 0, coefficient=None, shrinkage=shrinkage)
    assert dried == pytest.approx(-shrinkage / 100)


@given(st.floats(30, 200), MOISTURES, SHRINKAGES)
def test_wood_wetter_than_its_fibres_hold_swells_no_more(
    wet: float, dry: float, shrinkage: float
) -> None:
    change = change_share(wet, dry, coefficient=None, shrinkage=shrinkage)
    assert change == change_share(30, dry, coefficient=None, shrinkage=shrinkage)


def test_outside_6_to_14_percent_the_shrinkage_counts_where_it_is_known() -> None:
    # (15 - 5) / (30 x 100 / 7.1 - 30 + 5) by hand: 10 / 397.535.
    both = change_share(5, 15, coefficient=0.00248, shrinkage=7.1)
    assert both == pytest.approx(10 / 397.535, rel=1e-5)
    assert change_share(5, 15, coefficient=0.00248) == pytest.approx(0.0248)
    with pytest.raises(ValueError, match="coefficient or a shrinkage"):
        change_share(5, 15, coefficient=None)


def test_a_design_says_how_dry_and_how_humid_its_room_is() -> None:
    usual = find_seasons(design_of(top()))
    # 21 C and 30 %, 24 C and 65 %: 6.2, and between 12.0 and 11.7 of Table 4-2.
    assert (usual.dry, usual.humid, usual.made) == pytest.approx((6.17, 11.85, 8), abs=0.01)
    own = find_seasons(design_of(top(more="[room]\ndry = { moisture = 5 }\n")))
    assert (own.dry, own.made) == (5, 8)
    assert own.humid == usual.humid
