"""Openings that are no rectangle: whatever lies in them closes, and what is said of them is so."""

from __future__ import annotations

import json
from math import dist

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st
from test_zones import check_closed, zones_of

from effort import examples
from inspector import inspect_plan, terms_of
from tesselath.design import parse_design
from tesselath.errors import DesignError
from tesselath.field import opening_outline
from tesselath.plan import Plan, plan_design, plan_tables, write_plan_json
from tesselath.shape import area

MEASURED = """\
front = "24 in"
right = "16 3/8 in"
back = "23 3/4 in"
left = "16 in"
front_left_to_back_right = "29 in"
"""
OPENINGS = {
    "measured": MEASURED,
    "both diagonals": MEASURED + 'front_right_to_back_left = "28 11/16 in"\n',
    "at a wall": MEASURED + 'axis = "front edge"\n',
    "deeper": """\
front = "12 in"
right = "16 3/8 in"
back = "12 1/4 in"
left = "16 in"
front_left_to_back_right = "20 1/4 in"
""",
    "rounded": 'width = "24 in"\ndepth = "16 in"\ncorner_radius = "3 in"\n',
    "clipped": 'width = "24 in"\ndepth = "16 in"\ncorner_clip = "2 in"\n',
    "oval": 'width = "24 in"\ndepth = "16 in"\noval = true\n',
    "round": 'width = "18 in"\ndepth = "18 in"\noval = true\n',
    "points": 'points = [[0, 0], ["20 in", "1 in"], ["22 in", "12 in"], ["9 in", "15 in"]]\n',
    "points rounded": 'points = [[0, 0], ["20 in", 0], ["22 in", "12 in"], ["9 in", "15 in"]]\n'
    'corner_radius = "2 in"\n',
}
DENTED = 'points = [[0, 0], ["20 in", 0], ["20 in", "9 in"], ["9 in", "9 in"], '
DENTED += '["9 in", "16 in"], [0, "16 in"]]\n'
PLAIN = '[[border]]\nwidth = "1 1/2 in"\nwood = "walnut"\n'
TWO = PLAIN + '[[border]]\nwidth = "1 in"\nwood = "cherry"\n'
PATTERNED = (
    '[[border]]\nwidth = "2 in"\npattern = "basket-weave"\n[border.set]\nw = "1/2 in"\nn = 4\n'
)


def design(
    opening: str,
    *,
    border: str = "",
    field: str = "",
    gap: str = "0",
    strip: str = "1 in",
    head: str = "",
    pattern: str = "herringbone",
    more: str = "",
) -> str:
    """Write a design with one of the openings."""
    return f"""\
name = "Odd top"
{head}
[opening]
clearance = "1/32 in"
{opening}
[strips]
width = "{strip}"
gap = "{gap}"
{border}
[field]
pattern = "{pattern}"
{field}
[tones]
dark = "walnut"
light = "maple"
{more}
"""


def plan(text: str) -> Plan:
    return plan_design(parse_design(text, file_name="odd-top.toml", beside=None))


def note(made: Plan, code: str) -> str:
    """The text of a note of one class; nothing where there is none."""
    return next((n.text for n in made.notes if n.code == code), "")


# --- what is laid closes ---


@given(
    st.sampled_from(sorted(OPENINGS)),
    st.sampled_from(["", PLAIN, TWO, PATTERNED]),
    st.sampled_from(["none", "left-right", "four ways"]),
    st.sampled_from(["let in", "trim", "lap"]),
    st.sampled_from(["0", "1/32 in"]),
)
@examples(15)
def test_any_top_in_an_odd_opening_closes(
    opening: str, border: str, mirror: str, order: str, gap: str
) -> None:
    frame = '[frame]\nwidth = "2 in"\n'
    text = design(
        OPENINGS[opening],
        border=border,
        field=f'mirror = "{mirror}"',
        gap=gap,
        head=f'order = "{order}"',
        more=frame,
    )
    check_closed(text)


@pytest.mark.parametrize("rounded", ["", 'corner_radius = "1 in"', 'corner_clip = "1 in"'])
@pytest.mark.parametrize("mirror", ["none", "left-right"])
def test_an_opening_with_a_dent_closes_without_a_border(rounded: str, mirror: str) -> None:
    check_closed(design(DENTED + rounded, field=f'mirror = "{mirror}"', gap="1/32 in"))


@pytest.mark.parametrize(
    "corner", ["mitre", "pinwheel", "long through", "short through", "turn about", "square"]
)
@pytest.mark.parametrize("gap", ["0", "1/32 in"])
def test_every_corner_of_a_border_takes_the_taper(corner: str, gap: str) -> None:
    zones = check_closed(design(MEASURED, border=PLAIN + f'corner = "{corner}"\n', gap=gap))
    field = next(zone for zone in zones if zone.name == "field")
    # What the border leaves is square to the axes.
    (left, front), (right, back) = field.outline.min(axis=0), field.outline.max(axis=0)
    assert area(field.outline) == pytest.approx((right - left) * (back - front), rel=1e-9)
    border = next(zone for zone in zones if zone.name == "border-1")
    assert all(fragment.planed for fragment in border.fragments)


def test_an_opening_that_was_square_after_all_needs_no_plane() -> None:
    square = MEASURED.replace("16 3/8", "16").replace("23 3/4", "24").replace('"29', '"28.844410')
    zones = zones_of(design(square, border=PLAIN))
    assert not any(f.planed for zone in zones for f in zone.fragments)
    measured = opening_outline(parse_design(design(square), file_name="x", beside=None))
    assert measured == pytest.approx(
        25.4 * np.array([(-12, -8), (12, -8), (12, 8), (-12, 8)]), abs=0.01
    )


# --- what is cut ---


def test_border_pieces_are_cut_parallel_from_one_strip_and_planed_to_the_opening() -> None:
    made = plan(design(MEASURED, border=PLAIN))
    pieces = [piece for piece in made.pieces if piece.zone == "border-1"]
    widest = max(edge.wide or 0.0 for edge in made.tapers)
    for piece in pieces:
        assert piece.blank is not None
        part = made.part(piece.part)
        assert part.strip_width == pytest.approx(widest)
        assert not part.ripped
        blank, finished = shapely.Polygon(piece.blank), shapely.Polygon(piece.outline)
        assert blank.buffer(0.01).covers(finished)
        # What is planed off lies along the opening only.
        rim = shapely.Polygon(made.opening).exterior
        assert blank.difference(finished.buffer(0.01)).distance(rim) < 1.0
    text = note(made, "opening-taper")
    assert "takes it up" in text
    assert text.count(" at the ") == 2 * sum(bool(edge.wide_end) for edge in made.tapers)


def test_a_round_opening_says_that_it_is_drawn_with_chords() -> None:
    made = plan(design(OPENINGS["round"], border=PLAIN))
    text = note(made, "opening-curved")
    assert f"{len(made.opening)} corners in all" in text
    assert "0.004 in inside the true curve" in text  # a tenth of a millimetre
    mitred = plan(design(OPENINGS["rounded"], border=PLAIN + 'corner = "pinwheel"\n'))
    assert "joined half-way round it" in note(mitred, "opening-curved")
    assert not note(plan(design(OPENINGS["clipped"])), "opening-curved")


def test_corners_that_leave_no_room_for_each_other_are_refused_with_the_most() -> None:
    text = design('width = "24 in"\ndepth = "16 in"\ncorner_radius = "8 1/4 in"\n')
    with pytest.raises(DesignError, match=r"opening\.corner_radius: .8 1/4 in.* 8 in at the"):
        plan(text)


@pytest.mark.parametrize("opening", ["measured", "oval"])
def test_a_plan_of_an_odd_opening_passes_the_inspector(opening: str) -> None:
    text = design(OPENINGS[opening], border=PLAIN, more='[saw]\nangle_offset = "0.2 deg"\n')
    inspect_plan(json.loads(write_plan_json(plan(text))), terms_of(text))


def test_margins_in_a_measured_opening_are_alike_left_and_right_front_and_back() -> None:
    """A maker's public post: border pieces that differ from side to side look wrong."""
    zones = zones_of(
        design(MEASURED, border=PLAIN, pattern="checkerboard", field='angle = "0 deg"')
    )
    field = next(zone for zone in zones if zone.name == "field")
    low, high = field.outline.min(axis=0), field.outline.max(axis=0)
    boxes = [(f.outline.min(axis=0), f.outline.max(axis=0)) for f in field.fragments]
    for n in (0, 1):
        near = {round(float((b - a)[n]), 6) for a, b in boxes if abs(a[n] - low[n]) < 1e-6}
        far = {round(float((b - a)[n]), 6) for a, b in boxes if abs(b[n] - high[n]) < 1e-6}
        assert len(near) == 1
        assert near == far


# --- what is said of the readings ---


def test_the_diagonal_that_was_not_measured_is_foretold() -> None:
    """A maker's public post: 54, 20 1/16, 53 15/16, 20 in and one diagonal of 57 9/16 in."""
    sides = 'front = "54"\nright = "20 1/16"\nback = "53 15/16"\nleft = "20"\n'
    made = plan(design(sides + 'front_left_to_back_right = "57 9/16"\n', border=PLAIN))
    text = note(made, "opening-measured")
    assert "front right to back left, should read 57 9/16 in" in text
    assert "the short sides (left and right) twice" in text
    tables = plan_tables(made)["opening"]
    assert isinstance(tables, dict)
    corners = tables["outline"]
    read = [dist(corners[n], corners[(n + 1) % 4]) / 25.4 for n in range(4)]
    assert read == pytest.approx([54, 20.0625, 53.9375, 20])
    assert tables["fitted"]["front_right_to_back_left"] / 25.4 == pytest.approx(57.5700, abs=1e-4)
    assert tables["misclosure"] is None
    assert [taper["edge"] for taper in tables["tapers"]] == ["front", "right", "back", "left"]


@pytest.mark.parametrize(
    ("diagonal", "code"),
    [("28 11/16 in", "opening-measured"), ("28 3/8 in", "opening-misread")],
)
def test_six_readings_are_evened_out_or_doubted(diagonal: str, code: str) -> None:
    made = plan(design(MEASURED + f'front_right_to_back_left = "{diagonal}"\n', strip="3 in"))
    assert note(made, code)
    assert made.measured is not None
    assert made.measured.off is not None
    if code == "opening-misread":
        assert "which one, they cannot tell" in note(made, code)
        assert f"it reads {diagonal}" in note(made, code)


def test_a_field_cut_to_the_opening_says_so() -> None:
    text = note(plan(design(MEASURED, strip="3 in")), "opening-taper")
    assert "the field is cut to it" in text
    assert "A border would take it up" in text
    assert not note(plan(design(OPENINGS["rounded"])), "opening-taper")
