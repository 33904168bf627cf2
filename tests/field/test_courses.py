"""Courses: joints where the rule puts them, pieces numbered by their outer joint."""

from __future__ import annotations

import itertools
import math
from contextlib import suppress

import numpy as np
import pytest
from hypothesis import given, strategies as st

from tesselath.errors import PatternError
from tesselath.field.courses import CourseStrips, lay_courses
from tesselath.pattern import Courses
from tesselath.pattern.expressions import parse_expression
from tesselath.pattern.pattern import RandomLengths
from tops import box, lay, own

#: Stepped diamonds with n = 2 rows to the next tone, each digit one cell s x w and the number of
#: its piece; rows 0 to 4 from the axis outward, the centre line in the middle (drawn by hand).
DIAMONDS = """
3 3 2 2 1 1 1 1 2 2 3 3
4 3 3 2 2 1 1 2 2 3 3 4
4 4 3 3 2 2 2 2 3 3 4 4
5 4 4 3 3 2 2 3 3 4 4 5
5 5 4 4 3 3 3 3 4 4 5 5
"""


PLACE = "own.toml, line 3, courses"


def _rule(laid: str, first: str, *lengths: str) -> Courses:
    return Courses(
        height=parse_expression("w"),
        laid=laid,
        first=parse_expression(first),
        lengths=tuple(parse_expression(length) for length in lengths),
        place=PLACE,
    )


def _by_chance(*, step: str | None = "step") -> Courses:
    return Courses(
        height=parse_expression("w"),
        laid="from left",
        first=parse_expression(0),
        lengths=(),
        random=RandomLengths(
            seed=parse_expression("seed"),
            least=parse_expression("least"),
            most=parse_expression("most"),
            stagger=parse_expression("stagger"),
            step=None if step is None else parse_expression(step),
        ),
        place=PLACE,
    )


def _lay(
    rule: Courses, *, left: float, right: float, front: float, back: float, **sizes: float
) -> CourseStrips:
    corners = np.array([left, front]), np.array([right, back])
    return lay_courses(rule, sizes, box=corners, most=100_000)


def _rows(strips: CourseStrips) -> dict[int, list[tuple[float, float, int]]]:
    """Begin, end and number of every strip, row by row from left to right."""
    rows: dict[int, list[tuple[float, float, int]]] = {}
    for k, (x, _), row, piece in zip(
        strips.which, strips.places, strips.rows, strips.names["piece"], strict=True
    ):
        rows.setdefault(int(row), []).append((float(x), float(x) + strips.lengths[k], int(piece)))
    return {row: sorted(cells) for row, cells in sorted(rows.items())}


def test_stepped_diamonds_have_the_numbers_of_the_drawing() -> None:
    s, w = 30.0, 20.0
    rule = _rule("from centre", "-s * abs(row)", "2 * s")
    strips = _lay(rule, left=-6 * s, right=6 * s, front=-4.5 * w, back=4.5 * w, s=s, w=w)
    rows = _rows(strips)
    assert sorted(rows) == list(range(-4, 5))
    for n, line in enumerate(DIAMONDS.split("\n")[1:6]):
        for row in {n, -n}:
            drawn = [int(letter) for letter in line.split()]
            found = [
                next(piece for begin, end, piece in rows[row] if begin < middle < end)
                for middle in (s * (k + 0.5) - 6 * s for k in range(12))
            ]
            assert found == drawn, f"row {row}"


def test_the_strip_over_the_centre_line_is_one_piece() -> None:
    rule = _rule("from centre", "-s * abs(row)", "2 * s")
    rows = _rows(_lay(rule, left=-90, right=90, front=-50, back=50, s=30.0, w=20.0))
    for row, cells in rows.items():
        straddling = [(begin, end) for begin, end, _ in cells if begin < 0 < end]
        assert len(straddling) == 1, row
        assert straddling[0][0] == -straddling[0][1]


def test_from_the_left_the_lengths_take_turns() -> None:
    # Lengths 30, 50, 20 over and over; joint m is the first m lengths further on, worked by hand.
    rule = _rule("from left", "s * row", "a", "b", "c")
    rows = _rows(
        _lay(rule, left=0, right=250, front=-10, back=30, s=7.0, w=20.0, a=30.0, b=50.0, c=20.0)
    )
    assert rows[0] == [
        (0, 30, 1),
        (30, 80, 2),
        (80, 100, 3),
        (100, 130, 4),
        (130, 180, 5),
        (180, 200, 6),
        (200, 230, 7),
        (230, 280, 8),
    ]
    assert [cell[:2] for cell in rows[1]][:2] == [(-13.0, 7.0), (7.0, 37.0)]
    assert [piece for *_, piece in rows[1]][:3] == [0, 1, 2]


@given(
    lengths=st.lists(st.integers(5, 60), min_size=1, max_size=4),
    first=st.integers(-500, 500),
    left=st.integers(-400, 300),
    wide=st.integers(1, 400),
    laid=st.sampled_from(["from left", "from centre"]),
)
def test_rows_cover_the_box_without_gap_or_overlap(
    lengths: list[int], first: int, left: int, wide: int, laid: str
) -> None:
    names = {f"d{i}": float(d) for i, d in enumerate(lengths)}
    rule = _rule(laid, "f + row", *names)
    rows = _rows(
        _lay(
            rule, left=left, right=left + wide, front=-35, back=45, w=20.0, f=float(first), **names
        )
    )
    assert sorted(rows) == [-2, -1, 0, 1, 2] or sorted(rows) == list(range(-2, 3))
    for cells in rows.values():
        assert cells[0][0] <= left + 1e-6
        assert cells[-1][1] >= left + wide - 1e-6
        for (_, end, _), (begin, _, _) in itertools.pairwise(cells):
            assert begin == pytest.approx(end, abs=1e-6)


@given(
    lengths=st.lists(st.integers(5, 60), min_size=1, max_size=3),
    first=st.integers(-300, 300),
    reach=st.integers(10, 300),
)
def test_every_joint_stands_where_the_rule_says(lengths: list[int], first: int, reach: int) -> None:
    names = {f"d{i}": float(d) for i, d in enumerate(lengths)}
    for laid in ("from left", "from centre"):
        rule = _rule(laid, "f", *names)
        cells = _rows(
            _lay(rule, left=-reach, right=reach, front=-9, back=9, w=20.0, f=float(first), **names)
        )[0]
        joint, joints = first, {0: first}
        period = sum(lengths)
        for m in range(1, 400):
            joint += lengths[(m - 1) % len(lengths)]
            joints[m] = joint
        for begin, end, piece in cells:
            if laid == "from centre":
                assert max(abs(begin), abs(end)) == pytest.approx(joints[piece], abs=1e-6)
            elif piece > 0:
                assert end == pytest.approx(joints[piece], abs=1e-6)
                assert begin == pytest.approx(joints[piece - 1], abs=1e-6)
            else:
                # Before the first joint the lengths go on backwards.
                turns = -math.floor(piece / len(lengths))
                assert end == pytest.approx(
                    joints[piece + turns * len(lengths)] - turns * period, abs=1e-6
                )


def test_a_row_that_only_touches_the_box_is_not_laid() -> None:
    rule = _rule("from left", "0", "40 * w / w * w / w")
    rows = _rows(_lay(rule, left=0, right=80, front=-10, back=30, w=20.0))
    assert sorted(rows) == [0, 1]


def test_row_nought_lies_centred_on_the_axis() -> None:
    pattern = own(
        'title = "t"\nsize.w = { value = "20 mm" }\nsize.L = { value = "70 mm" }\n'
        '[courses]\nlengths = ["L"]\n'
    )
    laid, clipped = lay(pattern, box(300, 100))
    assert sorted(set(laid.rows.tolist())) == [-2, -1, 0, 1, 2]
    for fragment in clipped.fragments:
        middle = (fragment.outline[:, 1].min() + fragment.outline[:, 1].max()) / 2
        assert middle == pytest.approx(20 * fragment.row, abs=1e-9)


@pytest.mark.parametrize("angle", [0.0, 90.0, 180.0, 270.0, 30.0])
def test_rows_count_away_from_the_maker_however_the_pattern_is_turned(angle: float) -> None:
    pattern = own(
        'title = "t"\nsize.w = { value = "20 mm" }\nsize.L = { value = "70 mm" }\n'
        '[courses]\nlengths = ["L"]\n'
    )
    _, clipped = lay(pattern, box(300, 100), angle=angle)
    assert 0 in {f.row for f in clipped.fragments}
    # Rows run to the right, or away from the maker; they are numbered to their left.
    turn = math.radians(angle % 180)
    heights: dict[int, list[float]] = {}
    for f in clipped.fragments:
        x, y = f.whole.mean(axis=0)
        heights.setdefault(f.row, []).append(-x * math.sin(turn) + y * math.cos(turn))
    means = [float(np.mean(heights[row])) for row in sorted(heights)]
    assert means == sorted(means)
    assert np.diff(means) == pytest.approx(20.0, abs=1e-6)


@pytest.mark.parametrize(
    ("rule", "reason"),
    [
        (_rule("from left", "0", "d - d"), "longer than 0; in row"),
        (_rule("from left", "0", "d", "d - row * d"), "longer than 0; in row 1 it is 0 mm"),
        (_rule("from centre", "0", "-d"), "longer than 0"),
        (_rule("from left", "0", "d / 1000000"), "more than 100,000 are not laid"),
        (_rule("from centre", "0", "d / 1000000"), "more than 100,000 are not laid"),
    ],
)
def test_lengths_of_nothing_and_too_many_strips_are_refused(rule: Courses, reason: str) -> None:
    with pytest.raises(PatternError) as refusal:
        _lay(rule, left=-500, right=500, front=-100, back=100, w=20.0, d=40.0)
    assert reason in str(refusal.value)
    assert PLACE in str(refusal.value)


@pytest.mark.parametrize("w", [0.0, -20.0])
def test_rows_of_no_height_are_refused(w: float) -> None:
    with pytest.raises(PatternError, match="higher than 0"):
        _lay(_rule("from left", "0", "d"), left=0, right=9, front=0, back=9, w=w, d=40.0)


def test_too_many_rows_are_refused() -> None:
    with pytest.raises(PatternError, match="are not laid"):
        _lay(_rule("from left", "0", "d"), left=0, right=9, front=0, back=9e6, w=1.0, d=40.0)


def test_a_first_joint_a_long_way_off_is_laid_or_refused_quickly() -> None:
    rule = _rule("from centre", "-1000000000000 * w", "d")
    with suppress(PatternError):
        rows = _rows(_lay(rule, left=-100, right=100, front=-50, back=50, w=20.0, d=40.0))
        assert sorted(rows) == [-2, -1, 0, 1, 2]


CHANCE = {"w": 20.0, "least": 60.0, "most": 180.0, "stagger": 20.0, "step": 10.0}


@given(st.integers(0, 9999), st.floats(20, 400), st.integers(0, 25))
def test_random_strips_keep_their_lengths_and_their_joints_apart(
    seed: int, reach: float, stagger: int
) -> None:
    # (60 - 10) / 2 mm is the widest stagger that these lengths can always keep.
    sizes = {**CHANCE, "stagger": float(stagger), "seed": float(seed)}
    rows = _rows(_lay(_by_chance(), left=-reach, right=reach, front=-70, back=70, **sizes))
    assert sorted(rows) == list(range(-3, 4))
    for row, cells in rows.items():
        for begin, end, _ in cells:
            assert 60 - 1e-6 <= end - begin <= 180 + 1e-6
            steps = (end - begin - 60) / 10
            assert steps == pytest.approx(round(steps), abs=1e-6)
        for (_, end, _), (begin, _, _) in itertools.pairwise(cells):
            assert begin == pytest.approx(end, abs=1e-6)
        assert cells[0][0] <= -reach + 1e-6
        assert cells[-1][1] >= reach - 1e-6
        beside = [begin for begin, _, _ in rows.get(row + 1, [])[1:]]
        for begin, _, _ in cells[1:]:
            assert min((abs(begin - x) for x in beside), default=1e9) >= stagger - 1e-6


def test_the_same_seed_lays_the_same_rows_and_another_lays_others() -> None:
    def laid(seed: float) -> dict[int, list[tuple[float, float, int]]]:
        sizes = {**CHANCE, "seed": seed}
        return _rows(_lay(_by_chance(), left=-300, right=300, front=-70, back=70, **sizes))

    assert laid(7) == laid(7)
    assert laid(7) != laid(8)


@pytest.mark.parametrize(
    ("sizes", "reason"),
    [
        ({"least": 0.0}, "least length over 0"),
        ({"most": 60.0}, "a longer most"),
        ({"most": 30.0}, "a longer most"),
        ({"step": 0.0}, "a step over 0"),
        ({"step": -5.0}, "a step over 0"),
        ({"stagger": 40.0}, "25 mm apart at the most"),
        ({"least": 0.001, "most": 180.0, "stagger": 0.0, "step": 0.001}, "are not laid"),
    ],
)
def test_random_lengths_that_cannot_be_kept_are_refused(
    sizes: dict[str, float], reason: str
) -> None:
    with pytest.raises(PatternError) as refusal:
        _lay(
            _by_chance(), left=-300, right=300, front=-70, back=70, **{**CHANCE, "seed": 1, **sizes}
        )
    assert reason in str(refusal.value)
    assert PLACE in str(refusal.value)


def test_a_hair_does_not_lay_random_strips_anew() -> None:
    # Joints fall on whole steps from the left end, so that some stand exactly a stagger off.
    def joints(hair: float) -> list[float]:
        sizes = {**CHANCE, "seed": 3.0}
        rows = _rows(_lay(_by_chance(), left=-300, right=300 + hair, front=-70, back=70, **sizes))
        return [round(begin, 3) + 0.0 for cells in rows.values() for begin, _, _ in cells]

    assert joints(1e-10) == joints(0.0) == joints(-1e-10)
