"""Lengths, angles, shares, times and temperatures, read and printed."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, strategies as st

from tesselath.errors import MeasureError
from tesselath.measure import (
    parse_angle,
    parse_duration,
    parse_length,
    parse_share,
    parse_temperature,
    rounding_error,
    show_angle,
    show_area,
    show_both,
    show_length,
    show_number,
)
from tesselath.measure.measures import parse_exact_length

INCH_TAPES = [25.4 / parts for parts in (8, 16, 32, 64)]
METRIC_TAPES = [0.1, 0.5, 1.0]


# --- properties ---------------------------------------------------------------------------


@given(marks=st.integers(-39_000, 39_000), parts=st.sampled_from([1, 2, 4, 8, 16, 32, 64, 10]))
def test_a_length_on_an_inch_tape_reads_back_exactly(marks: int, parts: int) -> None:
    exact = Fraction(marks, parts) * Fraction(254, 10)
    shown = show_length(float(exact), tape=25.4 / parts, units="in")
    assert parse_exact_length(shown, signed=True) == exact
    assert parse_length(shown, signed=True) == float(exact)


@given(marks=st.integers(-200_000, 200_000), tape=st.sampled_from(METRIC_TAPES))
def test_a_length_on_a_metric_tape_reads_back_exactly(marks: int, tape: float) -> None:
    exact = marks * Fraction(repr(tape))
    shown = show_length(float(exact), tape=tape, units="mm")
    assert parse_length(shown, signed=True) == float(exact)


@given(mm=st.floats(-5e4, 5e4), tape=st.sampled_from(INCH_TAPES))
def test_an_inch_length_prints_within_half_a_mark_and_up_never_short(
    mm: float, tape: float
) -> None:
    assert abs(rounding_error(mm, tape=tape, units="in")) <= tape / 2 + 2e-6
    longer = rounding_error(abs(mm), tape=tape, units="in", up=True)
    assert -2e-6 <= longer < tape + 2e-6


@given(mm=st.floats(-5e4, 5e4), tape=st.sampled_from(METRIC_TAPES))
def test_the_stated_rounding_error_is_what_was_printed(mm: float, tape: float) -> None:
    printed = parse_length(show_length(mm, tape=tape, units="mm"), signed=True)
    assert printed - mm == pytest.approx(rounding_error(mm, tape=tape, units="mm"), abs=1e-9)


@given(mm=st.floats(-5e4, 5e4), tape=st.sampled_from(INCH_TAPES))
def test_no_length_prints_as_minus_nothing_or_as_an_unreduced_fraction(
    mm: float, tape: float
) -> None:
    shown = show_length(mm, tape=tape, units="in", unit=False)
    assert shown != "-0"
    assert "ft" not in shown
    if "/" in shown:
        top, bottom = map(int, shown.split()[-1].lstrip("-").split("/"))
        assert Fraction(top, bottom).denominator == bottom
        assert top < bottom
    assert show_length(-mm, tape=tape, units="in", unit=False).lstrip("-") == shown.lstrip("-")


@given(whole=st.integers(0, 400), top=st.integers(1, 63), words=st.sampled_from(range(6)))
def test_every_way_of_writing_a_mixed_number_is_the_same_length(
    whole: int, top: int, words: int
) -> None:
    ways = [
        f"{whole} {top}/64 in",
        f"{whole}-{top}/64 in",
        f"{whole}\u00a0{top}\u204464\u2009inches",
        f"{whole} {top}/64\u2033",
        f"{whole // 12} ft {whole % 12} {top}/64 in",
        f"{whole // 12}\u2032{whole % 12}-{top}/64\u201d",
    ]
    assert parse_exact_length(ways[words]) == (whole + Fraction(top, 64)) * Fraction(254, 10)


@given(text=st.text(max_size=40) | st.text("0123456789 /.-,'\"inftcm½⅛⁄′″%°CF", max_size=20))
def test_no_text_breaks_a_reader_of_measures(text: str) -> None:
    for read in (
        lambda: parse_length(text, units="in", signed=True),
        lambda: parse_length(text),
        lambda: parse_angle(text),
        lambda: parse_share(text),
        lambda: parse_duration(text),
        lambda: parse_temperature(text),
    ):
        try:
            value = read()
        except MeasureError as error:
            value = 0.0
            faults = error.faults
        else:
            faults = ()
        assert abs(value) <= 1e9
        assert [fault.place for fault in faults] in ([], [""])
        assert all(fault.rule.endswith(".") for fault in faults)


# --- lengths as written -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("24 1/8 in", "193/8"),
        ("24-1/8 in", "193/8"),
        ("24.125 in", "193/8"),
        ("2 ft 1/8 in", "193/8"),
        ('24 1/8"', "193/8"),
        ("24⅛ in", "193/8"),
        ("24 ⅛ in", "193/8"),
        ("24-⅛″", "193/8"),
        ("24¹⁄₈ in", "193/8"),
        ("24 1∕8 IN.", "193/8"),
        ("2' 3\"", "27"),
        ("2'3\"", "27"),
        ("2'-3\"", "27"),
        ("2’ 3”", "27"),
        ("2′ 3′′", "27"),
        ("2 feet 3 inches", "27"),
        ("2 ft 3", "27"),
        ("2 ft", "24"),
        ("1 ft 11 15/16 in", "383/16"),
        ("⅟16 in", "1/16"),
        (".5 in", "1/2"),
        ("9/8 in", "9/8"),
        ("２ in", "2"),
        ("0", "0"),
    ],
)
def test_inches_and_feet_are_read_as_makers_write_them(text: str, inches: str) -> None:
    assert parse_exact_length(text) == Fraction(inches) * Fraction(254, 10)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("612 mm", "612"),
        ("612mm", "612"),
        ("61.2 cm", "612"),
        ("0.612 m", "612"),
        ("612\u202fmm", "612"),
        ("3 meters", "3000"),
        ("3 millimetres", "3"),
    ],
)
def test_metric_lengths_are_read(text: str, mm: str) -> None:
    assert parse_exact_length(text) == Fraction(mm)


def test_a_number_without_a_unit_takes_the_units_of_the_file() -> None:
    assert parse_length("54 1/2", units="in") == 54.5 * 25.4
    assert parse_length(0.1, units="mm") == 0.1
    assert parse_exact_length(0.1, units="in") == Fraction(254, 100)
    assert parse_length("1/2 in", units="mm") == 12.7


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ("1,5 mm", 'decimal or thousands. Write "1.5 mm".'),
        ("2,400 mm", 'decimal or thousands. Write "2400 mm"'),
        ("2 ft, 3 in", "Leave it out."),
        ("5 yd", 'The unit "yd" is not one for a length. Write in, ft, mm, cm or m.'),
        ("", "A length is missing here."),
        ("   ", "A length is missing here."),
        ("wide", "cannot be read as a length"),
        ("3 in 1/8", "cannot be read as one length"),
        ("24 - 1/8 in", "cannot be read as one length"),
        ("5 mm 3 in", "cannot be read as one length"),
        ("3 in 2 ft", "cannot be read as one length"),
        ("1.5 1/2 in", "cannot be read as one length"),
        ("1/2/3 in", "cannot be read as a length"),
        ("1½½ in", "cannot be read as one length"),
        ("1 9/8 in", "less than 1"),
        ("1/0 in", "over 0"),
        ("9" * 100 + " mm", "too long"),
        ("2 km", 'The unit "km"'),
        ("2000 m", "longer than a kilometre"),
        ("-3 in", "cannot be negative"),
        (-3, "cannot be negative"),
        (True, "is a number or a text"),
        (None, "is a number or a text"),
        (["1"], "is a number or a text"),
        (float("inf"), "cannot be a length"),
        (float("nan"), "cannot be a length"),
        (10**400, "cannot be a length"),
    ],
)
def test_what_is_no_length_is_refused_in_one_sentence(value: object, says: str) -> None:
    with pytest.raises(MeasureError) as caught:
        parse_length(value, units="in")
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("value", [5, "5", "1/2", 0.5])
def test_a_length_that_must_carry_its_unit_does_not_pass_without(value: object) -> None:
    with pytest.raises(MeasureError, match=f'Write "{value} in" or "{value} mm"'):
        parse_length(value)


def test_nothing_needs_no_unit() -> None:
    assert parse_length(0) == parse_length("0") == parse_length(0.0) == 0.0


def test_a_point_may_be_negative() -> None:
    assert parse_length("-2 1/2 in", signed=True) == -63.5
    assert parse_length("−2 1/2", units="in", signed=True) == -63.5
    assert parse_length(-27, units="in", signed=True) == -685.8


# --- other measures -----------------------------------------------------------------------


def test_angles_are_read_in_degrees() -> None:
    assert [parse_angle(text) for text in ("45 deg", "45°", "22 1/2 degrees", "-30", 31.6)] == [
        45.0,
        45.0,
        22.5,
        -30.0,
        31.6,
    ]


def test_shares_are_read_as_parts_of_one() -> None:
    assert [parse_share(text) for text in ("10 %", "10%", "12.5 per cent", 0.1, 0, 1)] == [
        0.1,
        0.1,
        0.125,
        0.1,
        0.0,
        1.0,
    ]
    with pytest.raises(MeasureError, match='Write "10 %"'):
        parse_share(10)


def test_times_are_read_in_seconds() -> None:
    assert [parse_duration(text) for text in ("8 min", "30 s", "1.5 h", "1 h 30 min")] == [
        480.0,
        30.0,
        5400.0,
        5400.0,
    ]
    with pytest.raises(MeasureError, match="carries its unit"):
        parse_duration(8)


def test_temperatures_agree_with_the_fixed_points() -> None:
    # Source: definition of the two scales: 32 F is 0 C, 212 F is 100 C, -40 is -40.
    assert [parse_temperature(text) for text in ("32 F", "212 °F", "-40 F", "-40 C")] == [
        0.0,
        100.0,
        -40.0,
        -40.0,
    ]
    with pytest.raises(MeasureError, match="says C or F"):
        parse_temperature(21)


# --- printing -----------------------------------------------------------------------------


def test_eleven_sixteenths_prints_as_itself_with_no_error() -> None:
    mm = 0.6875 * 25.4
    for tape in INCH_TAPES[1:]:
        assert show_length(mm, tape=tape, units="in") == "11/16 in"
        assert rounding_error(mm, tape=tape, units="in") == 0.0


def test_a_fraction_is_reduced_and_carries_to_the_next_inch() -> None:
    # Source: worked by hand: 8/16 is 1/2; 63.6/64 is nearer to 64/64 than to 63/64.
    assert show_length(25.4 * 8 / 16, tape=25.4 / 16, units="in") == "1/2 in"
    assert show_length(25.4 * (2 + 63.6 / 64), tape=25.4 / 64, units="in") == "3 in"


@pytest.mark.parametrize(
    ("mm", "up", "shown"),
    [
        (0.0, False, "0 in"),
        (-0.0001, False, "0 in"),
        (25.4 * (1 + 1 / 64), False, "1 1/32 in"),  # an exact half goes up
        (25.4 * (1 + 1 / 64) - 1e-9, False, "1 1/32 in"),  # and so does one short by noise
        (25.4 * (1 + 1 / 64) - 1e-3, False, "1 in"),
        (-25.4 * (1 + 1 / 64), False, "-1 1/32 in"),
        (25.4 + 1e-9, True, "1 in"),  # noise is not trimmed off
        (25.4 + 1e-3, True, "1 1/32 in"),
        (1371.6, False, "54 in"),
    ],
)
def test_inches_round_half_up_and_edge_pieces_round_up(mm: float, up: bool, shown: str) -> None:
    assert show_length(mm, tape=25.4 / 32, units="in", up=up) == shown


@pytest.mark.parametrize(
    ("mm", "tape", "up", "shown"),
    [
        (612.0, 1.0, False, "612 mm"),
        (612.5, 1.0, False, "613 mm"),
        (612.3, 0.5, False, "612.5 mm"),
        (612.3, 0.1, False, "612.3 mm"),
        (612.1, 1.0, True, "613 mm"),
        (-0.2, 0.5, False, "0 mm"),
        (-0.25, 0.5, False, "-0.5 mm"),
    ],
)
def test_millimetres_go_to_the_tape(mm: float, tape: float, up: bool, shown: str) -> None:
    assert show_length(mm, tape=tape, units="mm", up=up) == shown


def test_both_units_stand_side_by_side() -> None:
    assert show_both(612.775, tape=25.4 / 32, units="in") == "24 1/8 in (613 mm)"
    assert show_both(600.0, tape=0.5, units="mm") == "600 mm (23 5/8 in)"


def test_a_tape_that_does_not_divide_an_inch_is_refused() -> None:
    for tape in (1.0, 0.5, 0.0, -1.0, 100.0):
        with pytest.raises(MeasureError):
            show_length(10.0, tape=tape, units="in")


def test_angles_print_without_trailing_zeros() -> None:
    assert [show_angle(angle) for angle in (45.0, 22.5, 31.606981, -0.001, -30.0)] == [
        "45°",
        "22.5°",
        "31.61°",
        "0°",
        "-30°",
    ]
    assert parse_angle(show_angle(22.5)) == 22.5


def test_areas_print_in_the_units_of_the_shop() -> None:
    # Source: 54 x 20 in is 1080 square inches, 7.5 square feet.
    assert show_area(54 * 20 * 645.16, units="in") == "7.5 sq ft"
    assert show_area(10 * 645.16, units="in") == "10 sq in"
    assert show_area(1_000_000.0, units="mm") == "1 m²"


def test_numbers_print_plainly() -> None:
    values = (1e7, 1e-9, -1e-9, 0.0005, 2.675, 1234.5678, 100.0)
    assert [show_number(value) for value in values] == [
        "10000000",
        "0",
        "0",
        "0.001",
        "2.675",
        "1234.568",
        "100",
    ]
    with pytest.raises(ValueError, match="not a number to print"):
        show_number(float("inf"))
