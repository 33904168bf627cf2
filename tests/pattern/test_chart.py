"""Charts: every letter becomes part of one strip, and what is drawn is what is laid."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

import pytest
import shapely
from hypothesis import given, strategies as st

from tesselath.errors import PatternError
from tesselath.pattern import Cell, join_chart, mirrored_rows
from tesselath.pattern.chart import Chart, parse_rows
from tesselath.shape import area
from tops import box, lay, own

PLACE = "own.toml, line 5, chart.rows"


@st.composite
def grids(draw: st.DrawFn, letters: str = "AB ") -> list[str]:
    """Rows of letters, all equally long."""
    columns = draw(st.integers(1, 9))
    row = st.text(st.sampled_from(letters), min_size=columns, max_size=columns)
    return draw(st.lists(row, min_size=1, max_size=7))


def _join(rows: Sequence[str], join: str = "along", *, repeat: bool = False) -> Chart:
    return join_chart(rows, join=join, repeat=repeat, place=PLACE)


def _redraw(chart: Chart) -> list[str]:
    """Draw a chart from its rectangles, each letter no more than once."""
    drawn: dict[tuple[int, int], str] = {}
    for cell in chart.cells:
        for x in range(cell.left, cell.right):
            for y in range(cell.front, cell.back):
                at = (x % chart.columns, y % chart.rows)
                assert at not in drawn, f"{at} is laid twice"
                drawn[at] = cell.letter
    return [
        "".join(drawn.get((x, y), " ") for x in range(chart.columns))
        for y in reversed(range(chart.rows))
    ]


# --- joining ---


@given(grids(), st.sampled_from(["along", "none"]), st.booleans())
def test_every_letter_is_laid_once_where_it_is_drawn(
    rows: list[str], join: str, repeat: bool
) -> None:
    chart = _join(rows, join, repeat=repeat)
    assert (chart.columns, chart.rows) == (len(rows[0]), len(rows))
    assert _redraw(chart) == rows
    assert all(cell.right > cell.left and cell.back > cell.front for cell in chart.cells)


@given(grids())
def test_along_the_rows_a_run_of_one_letter_is_one_strip(rows: list[str]) -> None:
    cells = _join(rows).cells
    runs = [(letter, len(list(run))) for row in reversed(rows) for letter, run in groupby(row)]
    drawn = [(letter, length) for letter, length in runs if letter != " "]
    assert [(c.letter, c.right - c.left) for c in cells] == drawn
    assert all(c.back == c.front + 1 and not c.upright for c in cells)


@given(grids("AB"), st.integers(0, 9))
def test_in_a_repeat_it_does_not_matter_where_the_chart_begins(rows: list[str], by: int) -> None:
    def lengths(rows: Sequence[str]) -> list[list[tuple[str, int]]]:
        cells = _join(rows, repeat=True).cells
        return [
            sorted((c.letter, c.right - c.left) for c in cells if c.front == y)
            for y in range(len(rows))
        ]

    moved = [row[by % len(row) :] + row[: by % len(row)] for row in rows]
    assert lengths(moved) == lengths(rows)


def test_a_run_goes_on_over_the_edge_of_a_repeat_only() -> None:
    ends = [(c.left, c.right) for c in _join(["AABBBA"], repeat=True).cells]
    assert ends == [(-1, 2), (2, 5)]
    ends = [(c.left, c.right) for c in _join(["AABBBA"]).cells]
    assert ends == [(0, 2), (2, 5), (5, 6)]


@given(grids("AAB"))
def test_blocks_are_whole_regions_or_refused(rows: list[str]) -> None:
    try:
        chart = _join(rows, "block")
    except PatternError as refusal:
        assert "are no rectangle" in str(refusal)  # noqa: PT017
        # A column or a row alone can always be joined.
        assert len(rows) > 1
        assert len(rows[0]) > 1
        return
    assert _redraw(chart) == rows
    for cell in chart.cells:
        assert cell.upright == (cell.back - cell.front > cell.right - cell.left)
        # Beside a block, side to side, there is no more of its letter.
        for other in chart.cells:
            if other is not cell and other.letter == cell.letter:
                assert not _touch(cell, other)


def _touch(a: Cell, b: Cell) -> bool:
    wide = min(a.right, b.right) - max(a.left, b.left)
    high = min(a.back, b.back) - max(a.front, b.front)
    return (wide > 0 and high == 0) or (high > 0 and wide == 0)


@given(st.lists(st.integers(1, 4), min_size=1, max_size=4), st.integers(1, 4), st.integers(1, 3))
def test_blocks_of_any_size_are_found(widths: list[int], height: int, rows: int) -> None:
    # A brick wall: rows of blocks, each letter used for every other block.
    line = "".join("AB"[n % 2] * width for n, width in enumerate(widths))
    other = "".join("CD"[n % 2] * width for n, width in enumerate(widths))
    drawing = [line if n % 2 else other for n in range(rows) for _ in range(height)]
    chart = _join(drawing, "block")
    assert len(chart.cells) == rows * len(widths)
    assert _redraw(chart) == drawing
    assert {(c.right - c.left, c.back - c.front) for c in chart.cells} == {
        (width, height) for width in widths
    }


def test_a_bent_region_is_refused_with_its_row() -> None:
    with pytest.raises(PatternError) as refusal:
        _join(["BBB", "AAB", "ABB"], "block")
    text = str(refusal.value)
    assert text.startswith(PLACE)
    assert 'The letters "A" at row 3 are no rectangle.' in text
    assert "another letter" in text


def test_a_space_stays_bare() -> None:
    for join in ("along", "none", "block"):
        assert [c.letter for c in _join([" A ", "   "], join).cells] == ["A"]


# --- mirroring ---


@given(grids("ABC"), st.sampled_from(["none", "right", "up", "four ways"]))
def test_a_mirrored_chart_is_its_own_mirror_image(rows: list[str], mirror: str) -> None:
    whole = mirrored_rows(rows, mirror)
    if mirror in ("right", "four ways"):
        assert all(row == row[::-1] for row in whole)
    if mirror in ("up", "four ways"):
        assert whole == whole[::-1]
    across = 2 if mirror in ("right", "four ways") else 1
    # What is drawn is the right and the back part.
    drawn = [row[len(row) - len(rows[0]) :] for row in whole[: len(rows)]]
    assert drawn == rows
    assert len(whole[0]) == across * len(rows[0])
    assert len(whole) == len(rows) * (2 if mirror in ("up", "four ways") else 1)


# --- reading ---


def test_the_first_row_lies_at_the_back() -> None:
    assert parse_rows("AB\nCD\n", PLACE) == ("AB", "CD")
    back = {c.letter for c in _join(parse_rows("AB\nCD\n", PLACE), "none").cells if c.front == 1}
    assert back == {"A", "B"}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("ABC\nAB\n", "Row 2 has 2 letters where another has 3."),
        ("AB\n\nAB", "Row 2 has 0 letters where another has 2."),
        ("AB\nABC\nAB", "Row 1 has 2 letters where another has 3."),
        ("", "at least one row"),
        ("\n\n", "at least one row"),
        (("A" * 200 + "\n") * 101, "at most 20,000 letters"),
    ],
)
def test_ragged_empty_and_endless_charts_are_refused(text: str, said: str) -> None:
    with pytest.raises(PatternError) as refusal:
        parse_rows(text, PLACE)
    assert said in str(refusal.value)
    assert str(refusal.value).startswith(PLACE)
    assert "\n" not in str(refusal.value)


# --- as a pattern ---

CHART = """
title = "Own chart"
size.w = {{ value = "20 mm" }}
size.s = {{ value = "30 mm" }}
[chart]
cell = ["s", "w"]
join = "{join}"
mirror = "{mirror}"
repeat = {repeat}
rows = '''
{rows}
'''
[tone]
names = ["dark", "light"]
letters = {{ A = "dark", B = "light", C = "dark", D = "light" }}
"""


def _pattern_text(*rows: str, join: str, mirror: str = "none", repeat: bool = False) -> str:
    return CHART.format(join=join, mirror=mirror, repeat=str(repeat).lower(), rows="\n".join(rows))


@pytest.mark.parametrize("mirror", ["none", "right", "up", "four ways"])
@pytest.mark.parametrize("gap", [0.0, 2.0])
def test_a_repeated_chart_closes_and_keeps_its_tones(mirror: str, gap: float) -> None:
    pattern = own(_pattern_text("AABB", "BABB", "AAAB", join="along", mirror=mirror, repeat=True))
    _, clipped = lay(pattern, box(431, 257), gap=gap)
    assert clipped.covered == pytest.approx((431 + gap) * (257 + gap), rel=1e-6)
    across, away = (2 if mirror in m else 1 for m in (("right", "four ways"), ("up", "four ways")))
    whole = mirrored_rows(["AABB", "BABB", "AAAB"], mirror)
    for f in clipped.fragments:
        assert f.grain == 0
        x, y = f.outline.mean(axis=0)
        # The middle of the chart lies on the origin.
        column = int((x / 30 + 2 * across) // 1 % (4 * across))
        row = int((y / 20 + 1.5 * away) // 1 % (3 * away))
        assert pattern.tones[f.tone] == {"A": "dark", "B": "light"}[whole[::-1][row][column]]


def test_a_chart_that_stands_alone_is_as_large_as_drawn() -> None:
    pattern = own(_pattern_text("AB", "CD", join="none", mirror="four ways"))
    _, clipped = lay(pattern, box(400, 400))
    assert not pattern.fills
    assert clipped.covered == pytest.approx(4 * 30 * 4 * 20)
    whole = shapely.union_all([shapely.Polygon(f.outline) for f in clipped.fragments])
    assert whole.bounds == pytest.approx((-60, -40, 60, 40))


def test_a_block_has_its_grain_along_its_longer_side() -> None:
    pattern = own(_pattern_text("AAC", "BBC", "BBC", join="block"))
    _, clipped = lay(pattern, box(400, 400))
    # Cells of 30 x 20 mm: A is 60 x 20 mm, C 30 x 60 mm, B 60 x 40 mm.
    found = sorted((area(f.outline), f.grain, f.strip_width) for f in clipped.fragments)
    assert [v for row in found for v in row if v is not None] == pytest.approx(
        [1200, 0, 20, 1800, 90, 30, 2400, 0, 40]
    )


def test_a_letter_without_a_tone_is_refused() -> None:
    with pytest.raises(PatternError, match="E"):
        own(_pattern_text("AE", join="none"))
