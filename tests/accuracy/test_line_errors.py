"""How errors add up along a line: sums of standard tolerance analysis, and shapes by hand."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sqrt

import numpy as np
import pytest
from hypothesis import given, strategies as st

from tesselath.accuracy import errors_along, read_edges
from tesselath.accuracy.line_errors import ErrorLine, add_errors
from tesselath.design import Saw
from tesselath.field import Piece
from tesselath.shape import as_outline

SAW = Saw(length_error=0.4, width_error=0.2, angle_error=0.1)


def _piece(number: int, corners: list[tuple[float, float]], grain: float, part: str = "A") -> Piece:
    outline = as_outline(corners)
    width, overall = (float(v) for v in sorted(np.ptp(np.asarray(outline), axis=0)))
    return Piece(
        number, part, "field", "oak", "plain", outline, None, grain, overall, overall, width, 0
    )


def _box(number: int, x: float, width: float, grain: float, part: str = "A") -> Piece:
    corners = [(x, 0.0), (x + width, 0.0), (x + width, 30.0), (x, 30.0)]
    return _piece(number, corners, grain, part)


def _errors(pieces: list[Piece], y: float = 10.0, saw: Saw = SAW) -> ErrorLine:
    return errors_along(read_edges(pieces), saw, start=(-5.0, y), end=(900.0, y))


def test_ten_parts_off_by_a_tenth_add_up_to_one_and_as_a_rule_to_a_third() -> None:
    # Standard tolerance analysis, worked by hand: 10 x 0.1, and 0.1 x the root of 10.
    assert add_errors([(1.0, 0.1)] * 10) == pytest.approx((1.0, 0.31623), abs=1e-5)


def test_a_gap_between_three_blocks_in_a_slot_is_off_by_its_four_limits() -> None:
    # Worked by hand: slot 4.020 less 2.000, 1.500, 0.500; limits 0.005, 0.005, 0.003, 0.002.
    terms = [(1.0, 0.005), (-1.0, 0.005), (-1.0, 0.003), (-1.0, 0.002)]
    assert add_errors(terms) == pytest.approx((0.015, 0.007937), abs=1e-6)


def test_fourteen_joints_off_by_a_64th_are_off_by_seven_32nds() -> None:
    # A maker's own sum: 14 x 1/64 in = 7/32 in.
    assert add_errors([(1.0, 1 / 64)] * 14)[0] == pytest.approx(7 / 32)


@given(st.integers(1, 20), st.floats(0.01, 1.0))
def test_strips_side_by_side_are_off_by_as_many_widths(count: int, error: float) -> None:
    pieces = [_box(n, 20.0 * n, 20.0, 90.0) for n in range(count)]
    line = _errors(pieces, saw=replace(SAW, width_error=error))
    assert line.length == pytest.approx(20.0 * count)
    assert line.numbers == tuple(range(count))
    assert line.worst == pytest.approx(count * error)
    assert line.likely == pytest.approx(sqrt(count) * error)
    # Strips of one milling are off alike: nothing averages out.
    assert line.by_setting == pytest.approx(count * error)


def test_pieces_end_to_end_are_off_by_their_lengths_and_their_ends() -> None:
    pieces = [_box(1, 0.0, 80.0, 0.0), _box(2, 80.0, 60.0, 0.0, part="B")]
    line = _errors(pieces)
    # Two lengths, and four square ends 30 mm wide, each turned about its middle by 0.1 degrees.
    turn = 15.0 * radians(0.1)
    assert line.worst == pytest.approx(2 * 0.4 + 4 * turn)
    assert line.likely == pytest.approx(sqrt(2 * 0.4**2 + 4 * turn**2))


@given(st.floats(20.0, 70.0))
def test_a_strip_that_leans_counts_its_width_along_the_line(lean: float) -> None:
    # A line at an angle to the grain crosses w / sin(angle), and so does the error of the width.
    run = 30.0 / np.tan(radians(90.0 - lean))
    corners = [(0.0, 0.0), (40.0, 0.0), (40.0 + run, 30.0), (run, 30.0)]
    line = _errors([_piece(1, corners, 90.0 - lean)])
    assert line.worst == pytest.approx(0.2 / cos(radians(lean)))
    assert line.length == pytest.approx(40.0)


def test_a_line_that_begins_within_a_piece_counts_the_one_edge_it_crosses() -> None:
    pieces = [_box(1, -10.0, 20.0, 90.0), _box(2, 10.0, 20.0, 90.0)]
    line = errors_along(read_edges(pieces), SAW, start=(0.0, 9.0), end=(99.0, 9.0))
    assert line.worst == pytest.approx(1.5 * 0.2)
    assert line.length == pytest.approx(30.0)


def test_a_line_that_misses_every_piece_is_exact() -> None:
    line = _errors([_box(1, 0.0, 20.0, 90.0)], y=40.0)
    assert (line.numbers, line.length, line.worst) == ((), 0.0, 0.0)
