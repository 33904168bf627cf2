"""The simulation against the root sum square, and against itself."""

from __future__ import annotations

import pytest

from tesselath.accuracy.chance import simulate
from tesselath.accuracy.line_errors import ErrorLine, Term


def _line(terms: list[Term]) -> ErrorLine:
    return ErrorLine("row", (0.0, 0.0), (1.0, 0.0), 1.0, (), 0.0, 0.0, 0.0, tuple(terms))


def _row(first: int, count: int = 10, limit: float = 0.1) -> ErrorLine:
    return _line([Term(n, "width", "oak", 1.0, limit) for n in range(first, first + count)])


def test_one_row_in_twenty_is_off_by_more_than_the_root_sum_square() -> None:
    # Ten errors of 0.1 have a root sum square of 0.3162; with limits at two standard deviations
    # 4.55 % of rows lie beyond it, and half beyond 0.3372 of it (normal distribution).
    found = simulate([_row(0)], tops=20_000)
    assert found.most == pytest.approx(1.96 / 2 * 0.31623, rel=0.03)
    assert found.half == pytest.approx(0.6745 / 2 * 0.31623, rel=0.03)


def test_the_same_seed_gives_the_same_tops_and_another_gives_others() -> None:
    lines = [_row(0), _row(20)]
    assert simulate(lines, seed=3) == simulate(lines, seed=3)
    assert simulate(lines, seed=3) != simulate(lines, seed=4)


def test_a_piece_that_two_lines_cross_is_off_alike_in_both() -> None:
    once, twice = simulate([_row(0)]), simulate([_row(0), _row(0)])
    assert (once.half, once.most) == pytest.approx((twice.half, twice.most), abs=1e-4)


def test_the_worst_of_many_rows_is_off_by_more_than_one_row() -> None:
    one, many = simulate([_row(0)]), simulate([_row(20 * n) for n in range(12)])
    assert many.half > one.most * 0.9
    assert many.largest >= many.most > many.half


def test_the_two_ends_of_a_piece_are_off_each_by_itself() -> None:
    ends = [Term(1, "angle", "A", 1.0, 0.1), Term(1, "angle", "A", 1.0, 0.1)]
    alike = [Term(1, "width", "A", 2.0, 0.1)]
    # Two independent errors of 0.1 come to 0.1414, one error counted twice to 0.2.
    apart = simulate([_line(ends)], tops=20_000).most
    assert apart == pytest.approx(0.1414 * 0.98, rel=0.03)
    assert simulate([_line(alike)], tops=20_000).most == pytest.approx(0.2 * 0.98, rel=0.03)


def test_every_top_is_counted_once() -> None:
    found = simulate([_row(0)], tops=950)
    assert sum(found.counts) == found.tops == 950
    assert len(found.edges) == len(found.counts) + 1
    assert found.edges[-1] == pytest.approx(found.largest)


def test_a_top_without_errors_is_exact() -> None:
    assert simulate([_line([])]).largest == 0.0
