"""Expressions: plain arithmetic is right, anything else is refused with its reason."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import assume, example, given, strategies as st

from tesselath.errors import PatternError
from tesselath.pattern import constant
from tesselath.pattern.expressions import parse_expression
from tesselath.pattern.functions import FUNCTIONS

#: The names of the random expressions: two lengths, a plain number and an angle.
DIMENSIONS = {"w": 1.0, "s": 1.0, "n": 0.0, "rise": 0.0}


@dataclass(frozen=True)
class Sum:
    """A random expression: its text, and the same sum worked out by Python itself."""

    text: str
    work: Callable[[dict[str, float]], float]


def _both(sign: str, work: Callable[[float, float], float]) -> Callable[[tuple[Sum, Sum]], Sum]:
    def join(pair: tuple[Sum, Sum]) -> Sum:
        a, b = pair
        return Sum(f"({a.text} {sign} {b.text})", lambda v: work(a.work(v), b.work(v)))

    return join


def _call(name: str, work: Callable[..., float], count: int) -> Callable[[tuple[Sum, ...]], Sum]:
    def join(inner: tuple[Sum, ...]) -> Sum:
        listed = ", ".join(part.text for part in inner[:count])
        return Sum(f"{name}({listed})", lambda v: work(*(p.work(v) for p in inner[:count])))

    return join


def _sums() -> st.SearchStrategy[Sum]:
    def fixed(n: int) -> Sum:
        return Sum(str(n), lambda v: float(n))

    def named(name: str) -> Sum:
        return Sum(name, lambda v: v[name])

    leaves = st.one_of(st.integers(0, 9).map(fixed), st.sampled_from(sorted(DIMENSIONS)).map(named))
    return st.recursive(
        leaves,
        lambda inner: st.one_of(
            st.tuples(inner, inner).map(_both("+", lambda a, b: a + b)),
            st.tuples(inner, inner).map(_both("-", lambda a, b: a - b)),
            st.tuples(inner, inner).map(_both("*", lambda a, b: a * b)),
            st.tuples(inner, inner).map(_both("/", lambda a, b: a / b)),
            st.tuples(inner).map(_call("abs", abs, 1)),
            st.tuples(inner).map(_call("sqrt", math.sqrt, 1)),
            st.tuples(inner, inner).map(_call("min", min, 2)),
            st.tuples(inner, inner).map(_call("max", max, 2)),
            st.tuples(inner).map(lambda one: Sum(f"-{one[0].text}", lambda v: -one[0].work(v))),
        ),
        max_leaves=8,
    )


VALUES = st.fixed_dictionaries(
    {
        "w": st.floats(5, 80),
        "s": st.floats(5, 80),
        "n": st.integers(1, 9).map(float),
        "rise": st.floats(5, 75),
    }
)


@given(_sums(), VALUES)
def test_arithmetic_agrees_with_python(sum_: Sum, values: dict[str, float]) -> None:
    try:
        wanted = sum_.work(values)
    except (ZeroDivisionError, ValueError):
        # Python has no value there either, unless a square came out a hair below 0.
        return
    assume(math.isfinite(wanted) and abs(wanted) < 1e9)
    found = parse_expression(sum_.text).evaluate(values)
    assert found == pytest.approx(wanted, rel=1e-9, abs=1e-4)


@given(_sums(), st.lists(VALUES, min_size=1, max_size=5))
def test_an_array_gives_what_each_of_its_numbers_gives(
    sum_: Sum, rows: list[dict[str, float]]
) -> None:
    expression = parse_expression(sum_.text)
    try:
        singly = [expression.number(row) for row in rows]
    except PatternError:
        return
    columns = {name: np.array([row[name] for row in rows]) for name in DIMENSIONS}
    together = np.broadcast_to(np.asarray(expression.evaluate(columns)), (len(rows),))
    assert together.tolist() == pytest.approx(singly, rel=1e-15, abs=0)


@pytest.mark.parametrize("name", sorted(FUNCTIONS))
def test_every_function_takes_arrays_like_single_numbers(name: str) -> None:
    function = FUNCTIONS[name]
    values = np.array([0.0, 0.25, 0.5, 1.0])
    text = f"{name}({', '.join(['x', 'y', 'z'][: max(function.least, 1)])})"
    expression = parse_expression(text)
    columns = {"x": values, "y": values[::-1].copy(), "z": np.full(4, 0.3)}
    singly = [expression.number({k: float(v[i]) for k, v in columns.items()}) for i in range(4)]
    assert np.asarray(expression.evaluate(columns)).tolist() == singly


@given(_sums(), VALUES, st.floats(0.3, 3))
def test_a_sum_of_some_dimension_scales_with_it(
    sum_: Sum, values: dict[str, float], scale: float
) -> None:
    # What the check of dimensions promises: twice the lengths, 2 ** dimension times the value.
    expression = parse_expression(sum_.text)
    try:
        dimension = expression.dimension(DIMENSIONS)
        before = expression.number(values)
        after = expression.number({**values, "w": values["w"] * scale, "s": values["s"] * scale})
    except PatternError:
        return
    assume(1e-6 < abs(before) < 1e9)
    assert dimension is not None
    assert after == pytest.approx(before * scale**dimension, rel=1e-6, abs=1e-6)


@given(st.text(max_size=40))
@example("w % 0")
@example("\x00")
@example("\ud800")
@example("(" * 99)
@example("-" * 299 + "1")
@example("1 if w else 2")
def test_no_text_does_more_than_give_a_number_or_be_refused(text: str) -> None:
    told, value = "", math.nan
    try:
        value = parse_expression(text).number({"w": 25.0, "n": 2.0})
    except PatternError as refusal:
        told = str(refusal)
    assert math.isfinite(value) != bool(told)
    assert not told or len(told) > 20


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("__import__('os')", "no function __import__"),
        ("().__class__.__bases__", "a dot after a name"),
        ("w.real", "a dot after a name"),
        ("9 ** 9 ** 9", "powers"),
        ("2 ** 9", "powers"),
        ("pow(2, 9)", "no function pow"),
        ("eval('1')", "no function eval"),
        ("lambda: 1", "functions of your own"),
        ("(lambda x: x)(1)", "no function that"),
        ("max(*w, *n)", "stars"),
        ("min(w, key=n)", "takes plain values only"),
        ("(w := 3)", "[derive]"),
        ("w := 3", "cannot be read"),
        ("f'{w}'", "not part of a pattern's arithmetic"),
        ("'1'", "only plain numbers"),
        ("b'1'", "only plain numbers"),
        ("1j", "only plain numbers"),
        ("True", "only plain numbers"),
        ("None", "only plain numbers"),
        ("...", "only plain numbers"),
        ("1e999", "too large"),
        ("w[0]", "square brackets"),
        ("[w, n]", "lists"),
        ("w, n", "comma"),
        ("1,5", "comma"),
        ("{w: n}", "not part of a pattern's arithmetic"),
        ("{w}", "not part of a pattern's arithmetic"),
        ("[w for w in n]", "not part of a pattern's arithmetic"),
        ("w if n else 2", "choose(test, a, b)"),
        ("w and n", 'a * b for "both"'),
        ("w or n", 'max(a, b) for "either"'),
        ("not w", "only + and -"),
        ("~w", "only + and -"),
        ("w // n", "only + - * / and %"),
        ("w @ n", "only + - * / and %"),
        ("w << n", "only + - * / and %"),
        ("w & n", "only + - * / and %"),
        ("w in n", "only < <= > >= == !="),
        ("w is n", "only < <= > >= == !="),
        ("w <> n", "cannot be read"),
        ("w = n", "cannot be read"),
        ("import os", "cannot be read"),
        ("w\nn", "cannot be read"),
        ("w +", "cannot be read"),
        ("1/2 w", "cannot be read"),
        ("sin()", "takes 1"),
        ("sin(1, 2)", "takes 1"),
        ("min(1)", "takes 2 or more"),
        ("choose(1, 2)", "takes 3"),
        ("await w", "not part of a pattern's arithmetic"),
        ("", "may not be empty"),
        ("   ", "may not be empty"),
        ("+".join(["1"] * 151), "at most 300 characters"),
        ("+".join(["1"] * 120), "[derive]"),
    ],
)
def test_whatever_is_no_arithmetic_is_refused_with_its_reason(text: str, reason: str) -> None:
    with pytest.raises(PatternError) as refusal:
        parse_expression(text)
    assert reason in str(refusal.value)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("sqrt(-1)", "sqrt has no value there"),
        ("asin(2)", "asin has no value there"),
        ("acos(-1.5)", "acos has no value there"),
        ("tan(90)", "tan has no value there"),
        ("1 / 0", "divided by 0"),
        ("w / (n - 2)", "divided by 0"),
        ("w % (n - 2)", "divided by 0"),
        ("1e300 * 1e300", "finite"),
        ("1e308 * 10 - 1e308 * 10", "finite"),
        ("width", "there is no width here; there are n, w"),
        ("pi", "there is no pi here"),
    ],
)
def test_whatever_has_no_value_is_refused_with_its_reason(text: str, reason: str) -> None:
    expression = parse_expression(text)
    with pytest.raises(PatternError) as refusal:
        expression.evaluate({"w": 25.0, "n": 2.0})
    assert reason in str(refusal.value)
    assert text in str(refusal.value)


@pytest.mark.parametrize("function", ["sin", "cos", "tan"])
def test_the_sine_of_a_sum_beyond_all_numbers_is_refused(function: str) -> None:
    with pytest.raises(PatternError, match=r"no value|finite"):
        parse_expression(f"{function}(1e308 * 10)").evaluate({})


def test_one_number_of_an_array_without_a_value_refuses_the_whole() -> None:
    with pytest.raises(PatternError, match="divided by 0"):
        parse_expression("1 / k").evaluate({"k": np.array([2.0, 1.0, 0.0])})
    with pytest.raises(PatternError, match="sqrt has no value"):
        parse_expression("sqrt(k)").evaluate({"k": np.array([2.0, -1.0])})


def test_many_numbers_where_one_is_meant_are_refused() -> None:
    with pytest.raises(PatternError, match="many numbers"):
        parse_expression("2 * k").number({"k": np.array([1.0, 2.0])})


@pytest.mark.parametrize("written", [True, False])
def test_true_and_false_are_no_numbers(written: bool) -> None:
    with pytest.raises(PatternError, match="not a number"):
        parse_expression(written)


@pytest.mark.parametrize("written", [math.inf, -math.inf, math.nan, 10**400])
def test_a_number_that_is_not_finite_is_refused(written: float) -> None:
    with pytest.raises(PatternError, match="not a finite number"):
        parse_expression(written)


@given(st.integers(-1000, 1000), st.floats(-4e-10, 4e-10))
def test_a_hair_does_not_move_floor_ceil_and_round(n: int, hair: float) -> None:
    x = {"x": n + hair}
    assert parse_expression("floor(x)").evaluate(x) == n
    assert parse_expression("ceil(x)").evaluate(x) == n
    assert parse_expression("round(x)").evaluate(x) == n
    # Half up, as tapes are read: 2.5 is 3 and -2.5 is -2.
    assert parse_expression("round(x + 1/2)").evaluate(x) == n + 1


@given(st.integers(-50, 50), st.integers(1, 9), st.floats(1, 60))
def test_the_rest_of_a_whole_multiple_is_nothing(times: int, n: int, s: float) -> None:
    # s / n * n * times is seldom a multiple of s to the last bit.
    rest = parse_expression("(s / n * n * times) % s").number({"s": s, "n": n, "times": times})
    assert rest == pytest.approx(0.0, abs=1e-9)


@given(st.floats(-1e3, 1e3), st.floats(0.5, 60))
def test_the_rest_has_the_sign_of_the_divisor(x: float, y: float) -> None:
    rest = parse_expression("x % y").number({"x": x, "y": y})
    assert -1e-6 <= rest < y
    turns = (x - rest) / y
    assert turns == pytest.approx(round(turns), abs=1e-6)


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        ("x == y", 1),
        ("x != y", 0),
        ("x < y", 0),
        ("x > y", 0),
        ("x <= y", 1),
        ("x >= y", 1),
    ],
)
@given(st.floats(-100, 100), st.floats(-4e-10, 4e-10))
def test_comparisons_take_a_hair_for_nothing(text: str, holds: int, x: float, hair: float) -> None:
    assert parse_expression(text).evaluate({"x": x, "y": x + hair}) == holds


@given(st.floats(-100, 100), st.floats(1e-6, 10))
def test_comparisons_tell_apart_what_differs_by_more_than_a_hair(x: float, more: float) -> None:
    values = {"x": x, "y": x + more}
    for text, holds in (("x < y", 1), ("x == y", 0), ("x >= y", 0), ("x < y < x", 0)):
        assert parse_expression(text).evaluate(values) == holds


@pytest.mark.parametrize(
    "text",
    [
        "w + 1",
        "1 - w",
        "w + n",
        "w % 2",
        "w * s + w",
        "min(w, 1)",
        "max(n, s)",
        "w < 2",
        "choose(1, w, 2)",
        "sqrt(w) + w",
        "floor(w)",
        "ceil(w)",
        "round(w)",
        "sin(w)",
        "atan(w)",
        "1 / w + 1",
        "abs(w) + 1",
    ],
)
def test_a_length_and_a_plain_number_do_not_mix(text: str) -> None:
    with pytest.raises(PatternError, match="length"):
        parse_expression(text).dimension(DIMENSIONS)


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("w", 1),
        ("2 * w", 1),
        ("w + s", 1),
        ("w * s", 2),
        ("w / s", 0),
        ("1 / w", -1),
        ("sqrt(w * s)", 1),
        ("sqrt(w * w + s * s)", 1),
        ("w * sin(rise)", 1),
        ("w % s", 1),
        ("atan(w / s)", 0),
        ("floor(w / s)", 0),
        ("min(w, s, 0)", 1),
        ("w > s", 0),
        ("n + 1", 0),
        ("choose(n > 2, w, s)", 1),
        ("w + 0", 1),
        ("0", None),
        ("0 * w", None),
        ("-w", 1),
        ("max(0, w)", 1),
        ("(w + s) * (w - s) / w", 1),
    ],
)
def test_dimensions_follow_the_arithmetic(text: str, dimension: float | None) -> None:
    assert parse_expression(text).dimension(DIMENSIONS) == dimension


def test_a_measure_is_a_length_and_prints_as_it_was_written() -> None:
    eighth = constant(3.175, text="1/8 in", dimension=1)
    assert eighth.dimension({}) == 1
    assert eighth.number({}) == 3.175
    assert eighth.text == "1/8 in"


def test_angles_are_degrees_and_exact() -> None:
    # Identities.
    assert parse_expression("sin(30)").evaluate({}) == 0.5
    assert parse_expression("cos(60)").evaluate({}) == 0.5
    assert parse_expression("tan(45)").evaluate({}) == 1.0
    assert parse_expression("atan(1)").evaluate({}) == 45.0
    assert parse_expression("asin(1)").evaluate({}) == 90.0
    assert parse_expression("acos(0)").evaluate({}) == 90.0


def test_a_square_a_hair_below_nothing_has_the_root_of_nothing() -> None:
    value = parse_expression("sqrt(x)").number({"x": -1e-12})
    assert value == pytest.approx(0.0, abs=1e-5)


def test_names_are_those_used_without_functions() -> None:
    assert parse_expression("max(w, s * sin(rise)) + w").names() == ("rise", "s", "w")


def test_two_expressions_are_equal_when_their_text_is() -> None:
    assert parse_expression(" w + s ") == parse_expression("w + s")
    assert parse_expression("w + s") != parse_expression("s + w")
    assert len({parse_expression("w"), parse_expression("w")}) == 1
