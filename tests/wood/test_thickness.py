"""Thickness: strips against the recess, the frame against the base, names against sizes."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, strategies as st

from tesselath.wood import known_sizes, sold_as, stack_up
from tops import INCH, design_of, plan_of, top

DATA = Path(__file__).parents[1] / "data"


def framed(
    *,
    strips: str = "1/4 in",
    recess: str = "1/4 in",
    thickness: str = "1 in",
    base: str = "23/32 in",
    more: str = "",
    head: str = "",
) -> str:
    frame = f'[frame]\nwidth = "2 in"\nthickness = "{thickness}"\n'
    frame += f'recess = "{recess}"\n' if recess else ""
    return top(
        "running-bond",
        sizes='L = "8 in"',
        head=head,
        strips=f'width = "1 in"\nthickness = "{strips}"\n',
        more=f'{frame}{more}[base]\nthickness = "{base}"\n',
    )


def note(text: str, code: str) -> str:
    return next((n.text for n in plan_of(text).notes if n.code == code), "")


def test_three_quarter_strips_in_a_recess_of_five_eighths_stand_proud_by_an_eighth() -> None:
    text = framed(strips="3/4 in", recess="5/8 in", thickness="1 1/2 in")
    assert stack_up(design_of(text)).degree == "warning"
    said = note(text, "stack")
    assert "proud of the frame by 1/8 in" in said
    assert "plane the strips to 5/8 in" in said


@pytest.mark.parametrize(
    ("strips", "recess", "degree"),
    # Beyond 1/32 in is too much to sand; within 1/64 in is level.
    [
        ("1/4 in", "1/4 in", "level"),
        ("17/64 in", "1/4 in", "level"),
        ("9/32 in", "1/4 in", "dress"),
        ("19/64 in", "1/4 in", "warning"),
        ("1/4 in", "9/32 in", "dress"),
        ("1/4 in", "5/16 in", "warning"),
    ],
)
def test_the_stack_is_judged_by_what_can_be_sanded(strips: str, recess: str, degree: str) -> None:
    text = framed(strips=strips, recess=recess)
    assert stack_up(design_of(text)).degree == degree
    assert bool(note(text, "stack")) == (degree == "warning")


@given(st.integers(1, 40), st.integers(1, 60))
def test_proud_is_what_the_strips_and_their_glue_exceed_the_recess_by(
    strips: int, recess: int
) -> None:
    text = framed(strips=f"{strips}/64 in", recess=f"{recess}/64 in")
    stack = stack_up(design_of(text))
    assert stack.proud is not None
    assert stack.proud - stack.glue == pytest.approx((strips - recess) / 64 * INCH)


def test_the_base_counts_for_the_frame_and_not_for_the_recess() -> None:
    thin, thick = (stack_up(design_of(framed(base=b))) for b in ("1/2 in", "23/32 in"))
    assert thin.proud == thick.proud
    assert thin.covers is not None
    assert thick.covers is not None
    # 1 in of frame less 1/4 in of recess less the sheet.
    assert thin.covers == pytest.approx(0.25 * INCH)
    assert thick.covers == pytest.approx((0.75 - 23 / 32) * INCH)


def test_a_base_that_shows_below_its_frame_is_told() -> None:
    assert "3/32 in" in note(framed(thickness="7/8 in"), "base-shows")
    assert note(framed(), "base-shows") == ""


def test_a_frame_on_the_base_shows_the_whole_edge_and_leaves_its_own_recess() -> None:
    text = framed(recess="", thickness="1/4 in", more='sits = "on the base"\n')
    stack = stack_up(design_of(text))
    assert stack.recess == pytest.approx(INCH / 4)
    assert "lipping" in note(text, "base-shows")
    deeper = framed(recess="1/8 in", thickness="1/4 in", more='sits = "on the base"\n')
    assert "rebated" in note(deeper, "recess")


def test_under_a_lap_the_strips_leave_a_lip() -> None:
    lapped = framed(recess="1/2 in", head='order = "lap"')
    assert stack_up(design_of(lapped)).lip == pytest.approx(INCH / 4 - 0.1)
    assert note(lapped, "stack") == ""
    assert "no lip" in note(framed(recess="1/4 in", head='order = "lap"'), "stack")


def test_without_a_frame_or_a_recess_nothing_is_compared() -> None:
    assert stack_up(design_of(top())).degree == "unknown"
    assert stack_up(design_of(framed(recess=""))).proud is None


def test_sizes_are_those_of_the_standards() -> None:
    # PS 20 (dressed sizes), the hardwood trade's quarters, the US panel trade, BS EN 336.
    with (DATA / "lumber_sizes.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    published = sorted(round(float(row["actual_mm"]), 2) for row in rows)
    assert len(known_sizes()) == len(rows)
    assert sorted(size.actual for size in known_sizes()) == pytest.approx(published, abs=0.006)


@pytest.mark.parametrize(
    ("sort", "dimension", "condition", "nominal", "actual"),
    [
        ("softwood board", "width", "dry", "2", "3/2"),
        ("softwood board", "width", "dry", "4", "7/2"),
        ("softwood board", "width", "green", "6", "45/8"),
        ("softwood board", "width", "dry", "8", "29/4"),
        ("softwood board", "thickness", "dry", "1", "3/4"),
        ("hardwood", "thickness", "S2S", "1", "13/16"),
        ("hardwood", "thickness", "S2S", "5/4", "17/16"),
        ("plywood", "thickness", None, "3/4", "23/32"),
        ("plywood", "thickness", None, "1/4", "7/32"),
    ],
)
def test_a_name_is_answered_with_what_it_measures(
    sort: str, dimension: str, condition: str | None, nominal: str, actual: str
) -> None:
    size = float(Fraction(nominal)) * INCH
    sold = sold_as(size, sort=sort, dimension=dimension, condition=condition)
    assert sold is not None
    assert sold.actual == pytest.approx(float(Fraction(actual)) * INCH)


def test_plywood_by_its_name_gets_a_note_and_by_its_measure_none() -> None:
    assert "23/32 in" in note(framed(base="3/4 in"), "nominal-size")
    assert "plywood" not in note(framed(base="23/32 in"), "nominal-size")
    assert "47 mm" in note(
        top("running-bond", head='units = "mm"', strips='width = "50 mm"'), "nominal-size"
    )
