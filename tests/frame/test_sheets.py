"""Sheets: a panel larger than a sheet is joined of equal parts, none beyond its sheet."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, strategies as st

from tesselath.frame.sheets import cut_sheets
from tops import INCH

SHEET = (96 * INCH, 48 * INCH)


@given(
    st.floats(100, 6000),
    st.floats(100, 4000),
    st.tuples(st.floats(600, 3000), st.floats(400, 1600)),
    st.floats(0, 6),
)
def test_parts_lie_on_their_sheets_apart_and_make_the_panel(
    width: float, depth: float, sheet: tuple[float, float], kerf: float
) -> None:
    cut = cut_sheets(width, depth, sheet=sheet, kerf=kerf)
    assert len(cut.parts) == cut.across * cut.away
    assert cut.part[0] * cut.across == pytest.approx(width)
    assert cut.part[1] * cut.away == pytest.approx(depth)
    assert {part.sheet for part in cut.parts} == set(range(1, cut.sheets + 1))
    for part in cut.parts:
        assert sorted((part.length, part.width)) == pytest.approx(sorted(cut.part))
        assert -1e-6 <= part.x <= sheet[0] - part.length + 1e-5
        assert -1e-6 <= part.y <= sheet[1] - part.width + 1e-5
    for one, two in combinations(cut.parts, 2):
        if one.sheet == two.sheet:
            beside = max(two.x - one.x - one.length, one.x - two.x - two.length)
            behind = max(two.y - one.y - one.width, one.y - two.y - two.width)
            assert max(beside, behind) >= kerf - 1e-6


def test_a_base_of_120_by_30_needs_a_join() -> None:
    # A published dining top on one sheet of plywood: longer than the sheet's 96 in. By hand:
    # 60 in and 60 in take two sheets; 40 x 30 in goes three times into 96 x 48 in.
    cut = cut_sheets(120 * INCH, 30 * INCH, sheet=SHEET, kerf=INCH / 8)
    assert (cut.joins, cut.sheets, cut.fewer) == (1, 2, (3, 1))
    assert cut.part == pytest.approx((60 * INCH, 30 * INCH))


def test_a_base_as_large_as_the_sheet_is_the_sheet() -> None:
    cut = cut_sheets(*SHEET, sheet=SHEET, kerf=INCH / 8)
    assert (cut.joins, cut.sheets, cut.fewer) == (0, 1, None)


def test_a_base_may_lie_across_the_sheet() -> None:
    cut = cut_sheets(40 * INCH, 90 * INCH, sheet=SHEET, kerf=INCH / 8)
    (part,) = cut.parts
    assert (part.length, part.width) == pytest.approx((90 * INCH, 40 * INCH))
