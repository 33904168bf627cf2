"""The cell: each strip of a repeat once, with its loops bounded and its cuts apart."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, strategies as st

from tesselath.errors import PatternError
from tesselath.field import cell_items, cell_steps
from tesselath.pattern import Pattern
from tesselath.shape import area
from tops import box, own

HEAD = 'title = "t"\nsize.w = { value = "20 mm" }\nsize.L = { value = "90 mm" }\n'
SIZES = {"w": 20.0, "L": 90.0, "pi": math.pi}


def _pattern(strip: str, *, steps: str = "") -> Pattern:
    repeat = f"repeat.steps = {steps}\n" if steps else ""
    return own(f"{HEAD}{repeat}strip = [{{ {strip} }}]\n")


def _items(pattern: Pattern, angle: float = 0.0, **sizes: float) -> list[tuple[float, float]]:
    items = cell_items(
        pattern, {**SIZES, **sizes}, angle=angle, origin=(0.0, 0.0), zone=box(500, 300)
    )
    return [(area(i.prototype.outline), i.prototype.grain) for i in items]


@given(
    st.floats(5, 60), st.floats(80, 400), st.floats(-50, 50), st.floats(-50, 50), st.floats(0, 360)
)
def test_a_strip_has_its_width_times_its_centre_line(
    w: float, length: float, first: float, last: float, toward: float
) -> None:
    # Identity: any two straight cuts about the ends of the centre-line leave w x length.
    pattern = own(
        HEAD + f'strip = [{{ from = [0, 0], toward = {toward}, length = "L", '
        f"cuts = [{first}, {last}] }}]\n"
    )
    run = w / 2 * abs(math.tan(math.radians(last)) - math.tan(math.radians(first)))
    if length < run + 1e-3:
        return
    items = cell_items(
        pattern, {"w": w, "L": length}, angle=0.0, origin=(0.0, 0.0), zone=box(500, 300)
    )
    assert area(items[0].prototype.outline) == pytest.approx(w * length, rel=1e-9)
    assert items[0].prototype.grain == pytest.approx(toward % 180.0)
    assert items[0].prototype.strip_width == pytest.approx(w)


def test_a_chevron_strip_measures_what_the_books_say() -> None:
    # Strip 40, column 200, slope 45: edge c / cos b = 282.843, tip to tip c / cos b + w tan b =
    # 322.843 (geometry of the chevron, worked by hand).
    pattern = own(
        'title = "t"\nsize.w = { value = "40 mm" }\nsize.c = { value = "200 mm" }\n'
        'strip = [{ from = [0, 0], to = ["c", "c"], cuts = [45, 45] }]\n'
    )
    (item,) = cell_items(
        pattern, {"w": 40.0, "c": 200.0}, angle=0.0, origin=(0.0, 0.0), zone=box(1, 1)
    )
    corners = item.prototype.outline
    edges = [math.dist(corners[i], corners[i - 1]) for i in range(4)]
    assert max(edges) == pytest.approx(282.843, abs=5e-4)
    along = corners @ [math.sqrt(0.5), math.sqrt(0.5)]
    assert along.max() - along.min() == pytest.approx(322.843, abs=5e-4)
    assert item.prototype.grain == 45.0
    # Both ends run along the column: straight away from the maker.
    assert sorted(round(x, 9) for x in corners[:, 0]) == [0, 0, 200, 200]


@pytest.mark.parametrize("toward", [0, 90, 180, 30])
def test_a_strip_to_a_point_and_one_toward_it_are_the_same(toward: int) -> None:
    end = f'["L * cos({toward})", "L * sin({toward})"]'
    to = _items(_pattern(f"from = [0, 0], to = {end}, cuts = [20, 30]"))
    by_length = _items(_pattern(f'from = [0, 0], toward = {toward}, length = "L", cuts = [20, 30]'))
    assert to[0] == pytest.approx(by_length[0])


def test_a_piece_clockwise_or_not_comes_out_counter_clockwise() -> None:
    for points in ('[0, 0], ["L", 0], ["L", "w"]', '["L", "w"], ["L", 0], [0, 0]'):
        pattern = own(f"{HEAD}piece = [{{ points = [{points}] }}]\n")
        assert _items(pattern)[0][0] == pytest.approx(900.0)


def test_an_outline_wider_than_a_strip_comes_from_no_strip() -> None:
    points = '[0, 0], ["L", 0], ["L", "2 * w"], [0, "2 * w"]'
    for grain, width in ((0, None), (90, None)):
        pattern = own(f"{HEAD}piece = [{{ points = [{points}], grain = {grain} }}]\n")
        (item,) = cell_items(pattern, SIZES, angle=0.0, origin=(0.0, 0.0), zone=box(1, 1))
        assert item.prototype.strip_width is width
    pattern = own(f'{HEAD}piece = [{{ points = [{points}], width = "2 * w" }}]\n')
    (item,) = cell_items(pattern, SIZES, angle=0.0, origin=(0.0, 0.0), zone=box(1, 1))
    assert item.prototype.strip_width == 40.0


def test_loops_nest_the_first_outermost_and_only_leaves_out() -> None:
    pattern = own(
        f'{HEAD}strip = [{{ times = {{ i = 3, j = "2" }}, only = "i != j", '
        'from = ["i * L", "j * w"], length = "L", tone = "i + j" }]\n'
    )
    items = cell_items(pattern, SIZES, angle=0.0, origin=(0.0, 0.0), zone=box(1, 1))
    assert [(i.names["i"], i.names["j"]) for i in items] == [(0, 1), (1, 0), (2, 0), (2, 1)]


def test_a_count_that_hangs_on_an_outer_loop_is_counted_for_each_of_its_turns() -> None:
    # A heap of strips, 1, 2 and 3 in a row: the loops nest.
    pattern = own(
        f'{HEAD}strip = [{{ times = {{ i = 3, j = "i + 1" }}, from = [0, 0], length = "L" }}]\n'
    )
    assert len(_items(pattern)) == 1 + 2 + 3


def test_a_strip_of_no_length_is_left_out() -> None:
    assert _items(_pattern('from = [0, 0], length = "L - L"')) == []
    assert _items(_pattern("from = [0, 0], to = [0, 0]")) == []
    assert _items(_pattern('times = { k = 0 }, from = [0, 0], length = "L"')) == []


@pytest.mark.parametrize(
    ("strip", "reason"),
    [
        ('from = [0, 0], length = "-L"', "longer and wider than 0"),
        ('from = [0, 0], length = "L", width = "w - w"', "longer and wider than 0"),
        ('from = [0, 0], length = "L", width = "-w"', "longer and wider than 0"),
        ('from = [0, 0], length = "w", cuts = [60, -60]', "cross inside the strip"),
        ('from = [0, 0], length = "L", cuts = [90, 0]', "between -89.9 and 89.9"),
        ('times = { k = "2.5" }, from = [0, 0], length = "L"', "whole number of times"),
        ('times = { k = "-1" }, from = [0, 0], length = "L"', "whole number of times"),
        ('times = { k = 1000000000 }, from = [0, 0], length = "L"', "more than 20,000"),
        ('times = { i = 1000, j = 1000, k = 1000 }, from = [0, 0], length = "L"', "20,000"),
        ('times = { i = "1000000 * 1000000 * 1000000" }, from = [0, 0], length = "L"', "20,000"),
        ('from = ["w * L / (L - L)", 0], length = "L"', "divided by 0"),
    ],
)
def test_what_no_saw_cuts_is_refused_with_one_sentence(strip: str, reason: str) -> None:
    pattern = _pattern(strip)
    with pytest.raises(PatternError) as refusal:
        _items(pattern)
    assert reason in str(refusal.value)
    assert len(refusal.value.faults) == 1


def test_many_items_are_bounded_together() -> None:
    strips = ", ".join(['{ times = { k = 15000 }, only = 0, from = [0, 0], length = "L" }'] * 2)
    pattern = own(f"{HEAD}strip = [{strips}]\n")
    with pytest.raises(PatternError, match="more than 20,000 strips"):
        _items(pattern)


def test_cuts_that_meet_in_a_point_leave_a_triangle() -> None:
    (piece,) = cell_items(
        _pattern('from = [0, 0], length = "w", cuts = [45, -45]'),
        SIZES,
        angle=0.0,
        origin=(0.0, 0.0),
        zone=box(1, 1),
    )
    assert len(piece.prototype.outline) == 3
    assert area(piece.prototype.outline) == pytest.approx(400.0)


def test_steps_are_those_of_the_file_and_a_figure_has_none() -> None:
    pattern = _pattern('from = [0, 0], length = "L"', steps='[["L", 0], ["L / 2", "w"]]')
    assert cell_steps(pattern, SIZES) == ((90.0, 0.0), (45.0, 20.0))
    assert cell_steps(_pattern('from = [0, 0], length = "L"'), SIZES) is None


def test_a_chart_repeats_by_its_own_size() -> None:
    pattern = own(
        'title = "t"\nsize.w = { value = "20 mm" }\n'
        '[chart]\ncell = ["2 * w", "w"]\nrepeat = true\nrows = """\nABB\nBBA\n"""\n'
        '[tone]\nnames = ["x", "y"]\nletters = { A = "x", B = "y" }\n'
    )
    assert cell_steps(pattern, SIZES) == ((120.0, 0.0), (0.0, 40.0))


def test_a_turned_cell_is_turned_exactly() -> None:
    pattern = _pattern('from = [0, 0], length = "L", cuts = [30, -30]')
    for angle in (0.0, 90.0, 45.0):
        items = cell_items(pattern, SIZES, angle=angle, origin=(3.0, 4.0), zone=box(1, 1))
        outline = items[0].prototype.outline - [3.0, 4.0]
        c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        flat = cell_items(pattern, SIZES, angle=0.0, origin=(0.0, 0.0), zone=box(1, 1))
        turned = flat[0].prototype.outline @ [[c, s], [-s, c]]
        assert outline == pytest.approx(turned, abs=1e-12)
        assert items[0].prototype.grain == angle
