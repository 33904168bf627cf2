"""Measured strips: the mean is planned with, the spread is told as drift."""

from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import given, strategies as st

from tesselath.advice import note_strip_widths
from tesselath.design import parse_design
from tesselath.saw import reckon_drift, reckon_widths
from tops import plan_of, top

INCH = 25.4


def test_fourteen_joints_a_64th_off_are_seven_32nds() -> None:
    """A maker's public post: 14 joints, each 1/64 in off, came to 7/32 in."""
    assert reckon_drift(14, worst=1 / 64, each=1 / 64).worst == 7 / 32


def test_a_sixteenth_over_a_chequer_lies_between_likely_and_worst() -> None:
    """A maker's public post: rows of a chequer of 1 in strips differed by 1/16 in."""
    drift = reckon_drift(16, worst=1 / 128, each=1 / 128)
    assert drift.likely == pytest.approx(1 / 32)  # root n times t
    assert drift.worst == 1 / 8  # n times t
    assert drift.likely < 1 / 16 < drift.worst


@given(st.lists(st.floats(10, 60), min_size=2, max_size=20))
def test_every_strip_lies_within_the_spread(measured: list[float]) -> None:
    widths = reckon_widths(measured)
    assert widths.least <= widths.mean + 1e-9
    assert widths.mean <= widths.most + 1e-9
    assert widths.worst == pytest.approx(
        max(widths.most - widths.mean, widths.mean - widths.least), abs=1e-9
    )
    # No strip is farther off than the usual error times the root of n - 1 (Samuelson, 1968).
    assert widths.worst <= widths.each * (len(measured) - 1) / sqrt(len(measured)) + 1e-6


def test_reclaimed_strips_are_planned_with_their_mean() -> None:
    """A maker's public post: reclaimed strips that vary in width by 0.037 in."""
    strips = 'width = "1 in"\nmeasured = ["0.962 in", "0.971 in", "0.98 in", "0.99 in", "0.999 in"]'
    stock = '[[stock.stick]]\nwidth = "1 in"\nlength = "96 in"\n'
    made = plan_of(top("running-bond", strips=strips, more=stock))
    mean = 0.9804 * INCH
    assert made.design.strips.width == pytest.approx(mean)
    whole = [part for part in made.parts if not part.ripped]
    assert whole
    assert all(part.strip_width == pytest.approx(mean) for part in whole)
    notes = {note.code: note.text for note in made.notes}
    text = notes["strips-measured"]
    assert "0.962 in to 0.999 in wide" in text
    assert "their mean, 0.980 in" in text
    rows = 16  # of 0.98 in side by side over 16 in
    assert f"Over {rows} of them side by side" in text
    assert f"{rows * 0.0186:.3f} in if all err one way" in text
    assert "the widest beside the narrowest" in text
    # The sticks that are listed as 1 in are those that were measured: nothing is ripped first.
    assert "stick-wider" not in notes
    assert "strips-other-width" not in notes


def test_a_name_far_from_what_was_measured_is_told() -> None:
    text = top(strips='width = "1 in"\nmeasured = ["0.93 in", "0.94 in"]')
    design = parse_design(text, file_name="top.toml", beside=None)
    notes = {note.code: note.text for note in note_strip_widths(design, across=254.0)}
    assert "[strips] width says 1 in" in notes["strips-other-width"]
    assert "measure 5 or more" in notes["strips-measured"]


def test_nothing_is_said_of_strips_that_were_not_measured() -> None:
    design = parse_design(top(), file_name="top.toml", beside=None)
    assert note_strip_widths(design, across=254.0) == ()
