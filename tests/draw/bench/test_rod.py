"""The story stick: every line at its true place, whole when its strips are joined again."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, strategies as st

from paper_checks import MM, check_lines, faults, items_of, off_page, read, texts_of
from tesselath.draw.bench import draw_rods
from tesselath.draw.bench.rod import _spread
from tesselath.draw.maps import mark_rod
from tesselath.draw.paper import Line, Polygon, Sheet, Text, write_pdf, write_svg
from tops import plan_of, top
from tops_drawn import example_names, planned

TOPS = [*example_names(), "handed and trimmed", "no frame", "tiny", "figure"]


@cache
def rods(name: str) -> tuple[Sheet, ...]:
    return draw_rods(planned(name))


def strips(name: str) -> list[tuple[str, float, float, list[float], list[float]]]:
    """Give each strip: its name, where its left edge is, its width, its joins, its ticks."""
    found = []
    for sheet in rods(name):
        boxes = [
            np.asarray(i.outlines[0]) for i in items_of(sheet, "cut-line") if isinstance(i, Polygon)
        ]
        for box in boxes:
            (left, low), (right, high) = box.min(axis=0), box.max(axis=0)

            def inside(
                role: str, sheet: Sheet = sheet, high: float = high, low: float = low
            ) -> list[float]:
                lines = [i for i in items_of(sheet, role) if isinstance(i, Line)]
                return sorted(
                    run[0][0]
                    for i in lines
                    for run in i.runs
                    if low - 0.01 <= min(run[0][1], run[1][1])
                    and max(run[0][1], run[1][1]) <= high + 0.01
                )

            names = [
                i.text
                for i in items_of(sheet, "rod-name")
                if isinstance(i, Text) and low < i.at[1] < high
            ]
            ticks = [x for k in ("edge", "row", "line", "joint") for x in inside(f"rod-{k}")]
            joins = [x for x in inside("join-line") if left - 0.01 <= x <= right + 0.01]
            found.append(
                (
                    names[0] if names else "",
                    left,
                    right - left,
                    joins,
                    [*ticks, *inside("centre-line")],
                )
            )
    return found


@pytest.mark.parametrize("name", TOPS)
def test_strips_joined_line_on_line_carry_every_mark_at_its_place(name: str) -> None:
    """The whole stick is put together again as a maker does it, and read off."""
    for axis, way in ((0, "ACROSS"), (1, "AWAY")):
        marks, _ = mark_rod(planned(name), axis)
        wanted = sorted([*(mark.at for mark in marks), 0.0])
        places: list[float] = []
        origin = wanted[0] - 6.0  # 6 mm of blank stick lie before the first mark
        for title, left, _, joins, ticks in strips(name):
            if way not in title:
                continue
            places += [tick - left + origin for tick in ticks]
            if joins and joins[-1] - left > 1.0:
                origin += joins[-1] - left
        read_off = np.unique(np.round(places, 3))
        merged = read_off[np.diff(read_off, prepend=-np.inf) > 0.002]
        assert len(merged) == len(wanted)
        assert np.abs(merged - wanted).max() < 0.002


@pytest.mark.parametrize("name", TOPS)
def test_no_label_lies_on_another_or_leaves_the_page(name: str) -> None:
    assert [fault for sheet in rods(name) for fault in faults(sheet)] == []
    assert [role for sheet in rods(name) for role in off_page(sheet)] == []


@pytest.mark.parametrize("name", ["hall-table", "sideboard"])
def test_no_mark_stands_on_a_join(name: str) -> None:
    for _, left, _, joins, ticks in strips(name):
        assert all(abs(join - tick) > 1.0 for join in joins[-1:] for tick in ticks)
        assert all(join >= left - 0.01 for join in joins)


def test_the_stick_has_the_edges_of_frame_opening_and_field() -> None:
    """58 x 25 9/16 in overall, opening 54 1/2 x 20 9/16, clearance 1/32: from examples."""
    marks, _ = mark_rod(planned("hall-table"), 1)
    edges = {mark.words: abs(mark.at) / 25.4 for mark in marks if mark.kind == "edge"}
    assert edges["opening"] == pytest.approx(20.5625 / 2)
    assert edges["field"] == pytest.approx(20.5625 / 2 - 1 / 32)
    assert edges["frame"] == pytest.approx(20.5625 / 2 + 2.5)


def test_rows_of_level_courses_are_marked_where_they_begin_and_end() -> None:
    """Eleven rows of 40 mm fill 440 mm: the lines stand at 20, 60, 100, 140, 180 mm both ways."""
    marks, rows = mark_rod(planned("chest-lid"), 1)
    lines = [round(mark.at, 3) for mark in marks if mark.kind == "row"]
    assert lines == [-180, -140, -100, -60, -20, 20, 60, 100, 140, 180]
    assert [row.at for row in rows] == pytest.approx([40.0 * n for n in range(-5, 6)])


def test_a_pattern_without_lines_is_marked_where_joints_meet_the_edge() -> None:
    marks, _ = mark_rod(planned("crowded-tray"), 0)
    assert {mark.kind for mark in marks} == {"edge", "joint"}


def test_running_measures_count_from_the_centre_line_both_ways() -> None:
    texts = [text for sheet in rods("chest-lid") for text in texts_of(sheet)]
    for words in ("20 mm", "60 mm", "180 mm", "centre: 0", "opening: 221 mm"):
        assert texts.count(words) >= (1 if words[-1] == "0" else 2)


def test_on_paper_lines_lie_where_they_should_and_check_lines_measure_true() -> None:
    page = read(write_pdf(rods("no frame"), title="Rod")).pages[0]
    for lengths in check_lines(page).values():
        assert sorted(lengths) == pytest.approx([100.0, 101.6], abs=0.05)
    marks, _ = mark_rod(planned("no frame"), 0)
    ticks = np.unique(
        np.round([line["x0"] / MM for line in page.lines if abs(line["x1"] - line["x0"]) < 0.01], 3)
    )
    first = 8.0 + 6.0
    for mark in marks:
        assert np.abs(ticks - (first + mark.at - marks[0].at)).min() < 0.05


def test_a_length_of_the_stick_without_a_mark_is_drawn_all_the_same() -> None:
    text = top(
        width="120 in",
        depth="44 in",
        angle="45 deg",
        sizes='w = "4 in"',
        more='[base]\nthickness = "3/4 in"\n',
    )
    sheets = draw_rods(plan_of(text))
    lines = [i for s in sheets for layer in s.layers for i in layer.items if isinstance(i, Line)]
    assert all(line.runs for line in lines)
    assert all(write_svg(sheet, embed_font=False) for sheet in sheets)


def test_the_same_plan_prints_the_same_bytes() -> None:
    once, again = (write_pdf(draw_rods(planned("no frame")), title="Rod") for _ in range(2))
    assert once == again


@given(st.lists(st.floats(0.0, 200.0), min_size=1, max_size=60))
def test_measures_are_spread_in_order_and_clear_of_each_other(places: list[float]) -> None:
    places = sorted(places)
    spread = _spread(places, 2.0, 198.0)
    assert all(b - a >= 2.9 - 1e-9 for a, b in pairwise(spread))
    assert spread[0] >= 2.0 - 1e-9
    assert spread[-1] <= 198.0 + 1e-9
    if all(b - a >= 2.9 for a, b in pairwise(places)) and (
        places[0] >= 2.0 and places[-1] <= 198.0
    ):
        assert spread == pytest.approx(places)
