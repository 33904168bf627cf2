"""The grid: whole units lose no piece that fits."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, strategies as st

from tesselath.cutting.grid import choose_grids, lay_grid

LENGTHS = st.lists(st.floats(20.0, 600.0), min_size=1, max_size=8)


def test_blocks_that_fill_a_stick_exactly_are_not_lost_to_rounding() -> None:
    # 9 1/2 in with 1/8 in kerf from 48 in: five; in tenths of a mm only four fit (own working).
    grids = choose_grids([9.625 * 25.4], [48.125 * 25.4])
    assert [grid.rooms[0] // int(grid.heavy[0]) for grid in grids] == [5]
    tenths = lay_grid([9.625 * 25.4], [48.125 * 25.4], 0.1)
    assert (tenths.rooms[0] // tenths.heavy[0], tenths.rooms[0] // tenths.light[0]) == (4, 5)


def test_inch_lengths_are_planned_in_sixty_fourths_and_common_parts_of_them() -> None:
    (grid,) = choose_grids([2.5 * 25.4, 3.75 * 25.4], [96 * 25.4])
    assert grid.unit == pytest.approx(1.25 * 25.4)
    assert grid.heavy.tolist() == grid.light.tolist() == [2, 3]
    assert grid.exact


def test_metric_lengths_are_planned_in_their_own_unit() -> None:
    (grid,) = choose_grids([283.2, 120.6], [2403.2])
    assert grid.unit == pytest.approx(0.6)
    assert grid.heavy.tolist() == [472, 201]


def test_lengths_that_follow_no_tape_get_a_coarse_and_a_fine_grid() -> None:
    grids = choose_grids([282.84271247, 120.7], [2400.0])
    assert len(grids) == 2
    assert grids[0].unit > grids[1].unit == 0.01
    assert not grids[1].exact


@given(LENGTHS, st.floats(600.0, 3000.0), st.floats(0.005, 5.0))
def test_heavy_weights_cover_and_light_ones_never_exceed_a_length(
    lengths: list[float], room: float, unit: float
) -> None:
    grid = lay_grid(lengths, [room], unit)
    assert (grid.heavy * unit >= np.array(lengths) - 1.1e-6).all()
    assert (grid.light * unit <= np.array(lengths) + 1.1e-6).all()
    assert grid.rooms[0] * unit <= room + 0.005
    assert (grid.wide_rooms[0] + 1) * unit > room + 0.005
