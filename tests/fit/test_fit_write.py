"""Writing a fit: the maker's file keeps its comments and its order."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from tesselath.design import Design, parse_design
from tesselath.fit import Change, rewrite_design, write_value
from tesselath.fit.fit_change import as_written, change_design, to_tape
from tesselath.fit.fit_propose import value_of
from tops import INCH

FILE = """\
# A tray for the hall.
name = "Tray"   # the name

[opening]
depth = "10"          # measured on Monday
width = '18 1/4 in'
[strips]
# bought planed
width = "1 in"
[[border]]
width = "1 1/2"
wood = "oak"
[field]
pattern = "chevron"   # points to the back
angle = "0 deg"
[field.set]
"column width" = "3 in"
"""
CHANGES = (
    Change("opening.width", 18 * INCH),
    Change("border.1.width", 1.625 * INCH),
    Change("strips.width", 0.96875 * INCH),
    Change("field.set.c", 2.87654 * INCH),
    Change("field.shift", (0.5 * INCH, -0.12345 * INCH), "shift"),
)


def read(text: str) -> Design:
    return parse_design(text, file_name="tray.toml", beside=None)


def rewritten(text: str, *changes: Change) -> str:
    return rewrite_design(text, changes, read(text), remark="changed")


def test_comments_order_and_everything_else_stay() -> None:
    new = rewritten(FILE, *CHANGES)
    assert new.splitlines() == [
        "# changed",
        "# A tray for the hall.",
        'name = "Tray"   # the name',
        "",
        "[opening]",
        'depth = "10"          # measured on Monday',
        'width = "18 in"',
        "[strips]",
        "# bought planed",
        'width = "31/32 in"',
        "[[border]]",
        'width = "1 5/8 in"',
        'wood = "oak"',
        "[field]",
        'pattern = "chevron"   # points to the back',
        'angle = "0 deg"',
        'shift = ["1/2 in", "-0.12345 in"]',
        "[field.set]",
        '"column width" = "2.87654 in"',
    ]


def test_the_new_file_reads_as_the_changed_design() -> None:
    new, wanted = read(rewritten(FILE, *CHANGES)), change_design(read(FILE), CHANGES)
    for change in CHANGES[:4]:
        assert value_of(new, change.key) == pytest.approx(value_of(wanted, change.key), abs=1e-9)
    assert new.field.filling.shift == pytest.approx(wanted.field.filling.shift, abs=1e-9)


LEAST = 'opening = { width = "18", depth = "10" }\nfield = { pattern = "chevron" } # one line\n'
DOTTED = 'opening.width = "18"\nopening.depth = "10"\nfield.pattern = "chevron"\n'
SET = DOTTED + 'field.set."column width" = "3 in"\n'
HEADERS = '[opening]\nwidth = "18"\ndepth = "10"\n[field]\npattern = "chevron"\n[field.set]\n'
OVERALL = '[opening]\noverall = ["20", "12"]\n[frame]\nwidth = "1"\n[field]\npattern = "chevron"\n'


@pytest.mark.parametrize("text", [LEAST, DOTTED, SET, HEADERS, OVERALL, FILE])
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_every_way_to_write_a_design_can_be_changed(text: str, ending: str) -> None:
    new = read(rewritten(text.replace("\n", ending), *(c for c in CHANGES if c.key[0] != "b")))
    wanted = change_design(read(text), [c for c in CHANGES if c.key[0] != "b"])
    assert new.opening.width == pytest.approx(18 * INCH)
    assert new.opening.depth == read(text).opening.depth
    assert new.strips.width == wanted.strips.width
    assert new.field.filling.settings["c"] == pytest.approx(2.87654 * INCH)
    assert new.field.filling.shift == pytest.approx(wanted.field.filling.shift)


@given(st.floats(60, 5000), st.sampled_from(["in", "mm"]))
def test_a_value_is_read_as_it_was_meant(value: float, units: str) -> None:
    text = (
        f'units = "{units}"\nopening.width = "18 in"\nopening.depth = "10 in"\n'
        'field.pattern = "chevron"\n'
    )
    design = read(text)
    written = as_written(value, design)
    new = rewrite_design(text, [Change("opening.width", written)], design, remark="x")
    assert read(new).opening.width == pytest.approx(written, abs=1e-6)
    assert abs(written - value) < 0.01


@given(st.floats(0.1, 3000), st.sampled_from([INCH / 32, INCH / 64, 0.5, 1.0]))
def test_tape_marks_lie_on_either_side(value: float, tape: float) -> None:
    low, high = to_tape(value, tape, up=False), to_tape(value, tape, up=True)
    assert low - 1e-5 <= value <= high + 1e-5
    assert high - low <= tape + 1e-5


def test_an_angle_and_a_number_are_written_plainly() -> None:
    design = read(DOTTED)
    assert write_value(Change("field.angle", 30.0, "angle"), design) == '"30 deg"'
    assert write_value(Change("field.set.r", 6.0312, "number"), design) == "6.0312"
