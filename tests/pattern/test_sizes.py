"""Sizes: what a design may set, by which name, within which limits."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from tesselath.errors import MeasureError, PatternError
from tesselath.pattern import (
    Pattern,
    check_settings,
    find_pattern,
    pattern_names,
    settle_sizes,
    show_size,
)
from tesselath.pattern.sizes import RESERVED, outside_limits, parse_literal
from tops import INCH, own

BOND = """
title = "Bond"
size.w = { value = "1 in", least = "1/4 in", most = "4 in", label = "strip width", wood = true }
size.L = { value = "6 in", least = "1 in", most = "60 in", label = "strip length", wood = true }
size.c = { value = "3 in", least = "1 in", most = "9 in", label = "column" }
size.rise = { value = "45 deg", least = "5 deg", most = "75 deg", label = "rise" }
size.n = { value = 2, least = 1, most = 9, whole = true, label = "strips abreast" }
size.share = { value = "1/2", least = 0, most = 1, label = "share" }
derive.half = "L / 2"
must = [{ that = "L > w", say = "a strip must be longer than it is wide." }]
strip = [{ from = [0, "w / 2"], length = "L" }]
repeat.steps = [["L", 0], ["share * L", "w"]]
"""


@pytest.fixture(name="bond")
def _bond() -> Pattern:
    return own(BOND, name="bond")


def _settle(
    pattern: Pattern, settings: dict[str, float], width: float | None = None, gap: float = 0.0
) -> dict[str, float]:
    return settle_sizes(
        pattern, settings, strip_width=width, gap=gap, zone_width=1000.0, zone_depth=500.0
    )


@pytest.mark.parametrize(
    ("written", "kind", "value"),
    [
        ("3/4 in", "length", 19.05),
        ("19 mm", "length", 19.0),
        ("2 cm", "length", 20.0),
        ('1 1/2"', "length", 38.1),
        ("30 deg", "angle", 30.0),
        ("22.5°", "angle", 22.5),
        (5, "number", 5.0),
        (0.25, "number", 0.25),
        ("1/3", "number", 1 / 3),
        ("-2", "number", -2.0),
        (0, "number", 0.0),
    ],
)
def test_the_kind_of_a_size_is_told_by_how_it_is_written(
    written: object, kind: str, value: float
) -> None:
    # One inch is exactly 25.4 mm (international yard and pound, 1959).
    found = parse_literal(written)
    assert found[0] == kind
    assert found[1] == pytest.approx(value, abs=1e-12)


@pytest.mark.parametrize(
    "written", [True, None, [1], "", "wide", "1 1/2", "1,5 in", float("inf"), float("nan"), 10**400]
)
def test_what_is_no_size_is_refused(written: object) -> None:
    with pytest.raises(MeasureError):
        parse_literal(written)


def test_a_size_is_set_by_its_letter_or_by_its_label(bond: Pattern) -> None:
    by_letter = check_settings(bond, {"w": "3/4 in", "n": 3})
    by_label = check_settings(bond, {"strip width": "3/4 in", "strips abreast": 3})
    assert by_letter == by_label == ({"w": 19.05, "n": 3.0}, [])


@pytest.mark.parametrize(
    ("key", "written", "rule", "remedy"),
    [
        ("width", "1 in", "no such size; it has w (strip width), L (strip length)", ""),
        ("strip witdh", "1 in", "no such size", "Did you mean strip width?"),
        ("w", "5 in", "w (strip width) must be at most 4 in", ""),
        ("w", "1/8 in", "w (strip width) must be at least 1/4 in", ""),
        ("w", 1, 'w is a length such as "3/4 in"', 'Write "1 in" or "1 mm"'),
        ("w", "3/4", "w is a length", 'Write "3/4 in" or "3/4 mm"'),
        ("w", "30 deg", "w is a length", ""),
        ("rise", "1 in", 'rise is an angle such as "30 deg"', ""),
        ("rise", 80, "must be at most 75 deg", ""),
        ("n", "2 in", "n is a plain number", ""),
        ("n", 2.5, "must be a whole number", ""),
        ("n", True, "A length, an angle or a number", ""),
        ("n", 0, "must be at least 1", ""),
        ("w", "1,5 in", "comma", ""),
    ],
)
def test_a_wrong_setting_is_told_in_one_sentence(
    bond: Pattern, key: str, written: object, rule: str, remedy: str
) -> None:
    values, faults = check_settings(bond, {key: written})
    assert values == {}
    assert len(faults) == 1
    assert faults[0].key == key
    assert rule in faults[0].rule
    assert remedy in faults[0].remedy


def test_a_size_set_twice_is_told(bond: Pattern) -> None:
    _, faults = check_settings(bond, {"w": "1 in", "strip width": "1 in"})
    assert ["set twice" in f.rule for f in faults] == [True]


def test_all_wrong_settings_are_told_at_once(bond: Pattern) -> None:
    _, faults = check_settings(bond, {"x": 1, "w": "9 in", "n": 2.5, "L": "2 in"})
    assert [f.key for f in faults] == ["x", "w", "n"]


def test_a_bare_number_is_degrees_where_an_angle_is_meant(bond: Pattern) -> None:
    assert check_settings(bond, {"rise": 30}) == ({"rise": 30.0}, [])


@given(st.floats(0.25, 4), st.sampled_from(["in", "mm"]))
def test_a_limit_may_be_reached(value: float, unit: str) -> None:
    bond = own(BOND)
    size = bond.size("w")
    assert size is not None
    mm = value * INCH
    assert outside_limits(size, mm) == ""
    assert outside_limits(size, 4 * INCH + 0.01) != ""
    assert outside_limits(size, 0.25 * INCH - 0.01) != ""


@pytest.mark.parametrize("gap", [0.0, 0.5, 3.175])
def test_a_pieces_own_measure_is_laid_with_its_gap_and_a_distance_is_not(
    bond: Pattern, gap: float
) -> None:
    values = _settle(bond, {}, gap=gap)
    assert values["w"] == pytest.approx(25.4 + gap)
    assert values["L"] == pytest.approx(6 * 25.4 + gap)
    assert values["c"] == pytest.approx(3 * 25.4)
    assert values["half"] == pytest.approx((6 * 25.4 + gap) / 2)


def test_the_strips_of_the_design_give_w_unless_the_field_sets_it(bond: Pattern) -> None:
    assert _settle(bond, {})["w"] == 25.4
    assert _settle(bond, {}, width=30.0)["w"] == 30.0
    assert _settle(bond, {"w": 20.0}, width=30.0)["w"] == 20.0


def test_strips_too_wide_for_a_pattern_are_told_where_the_strips_stand(bond: Pattern) -> None:
    with pytest.raises(PatternError) as refusal:
        _settle(bond, {}, width=200.0)
    assert refusal.value.faults[0].place == "strips.width"
    assert "at most 4 in" in str(refusal.value)
    assert "Set w for the pattern bond" in str(refusal.value)


def test_a_relation_that_does_not_hold_is_told_with_its_sentence(bond: Pattern) -> None:
    with pytest.raises(PatternError) as refusal:
        _settle(bond, {"L": 60.0, "w": 80.0})
    assert "a strip must be longer than it is wide." in str(refusal.value)
    assert "bond.toml, line 10" in str(refusal.value)
    assert ".." not in str(refusal.value)


def test_a_pattern_knows_the_box_of_its_zone_and_pi() -> None:
    pattern = own(
        'title = "t"\nsize.w = { value = "1 in" }\nderive.half = "zone_width / 2"\n'
        'derive.round = "pi * zone_depth"\nstrip = [{ from = [0, 0], length = "half" }]\n'.replace(
            "derive.round", "derive.rim"
        )
    )
    values = _settle(pattern, {})
    assert values["half"] == 500.0
    assert values["rim"] == pytest.approx(1570.7963267948966)


def test_a_derived_value_without_a_value_is_told() -> None:
    pattern = own(
        'title = "t"\nsize.w = { value = "1 in" }\nsize.n = { value = 0 }\n'
        'derive.part = "w / n"\nstrip = [{ from = [0, 0], length = "part" }]\n'
    )
    with pytest.raises(PatternError, match="divided by 0"):
        _settle(pattern, {})


def test_a_size_is_shown_as_both_kinds_of_tape_read_it(bond: Pattern) -> None:
    size, rise, n = bond.size("w"), bond.size("rise"), bond.size("n")
    assert size is not None
    assert rise is not None
    assert n is not None
    assert show_size(size, 19.05) == "3/4 in (19.1 mm)"
    assert show_size(rise, 45.0) == "45 deg"
    assert show_size(n, 3.0) == "3"


@pytest.mark.parametrize("name", pattern_names())
def test_every_shipped_pattern_settles_at_its_own_sizes_and_at_its_limits(name: str) -> None:
    pattern = find_pattern(name)
    _settle(pattern, {})
    for size in pattern.sizes:
        for limit in (size.least, size.most):
            assert limit is not None
            assert outside_limits(size, limit) == ""
            told = ""
            try:
                values = _settle(pattern, {size.name: limit})
            except PatternError as error:
                told = str(error)
            # What is refused within its limits is refused by one of the pattern's own relations.
            if told:
                assert any(must.say in told for must in pattern.musts), told
            else:
                assert values[size.name] == limit


def test_functions_and_counters_cannot_be_redefined() -> None:
    assert {"sqrt", "pi", "row", "piece", "a", "b", "item", "ring", "side", "if"} <= RESERVED
    assert not {"w", "L", "n", "k", "s", "e", "rise"} & RESERVED
