"""Sticks: kerfs, trim and a held tail counted; every piece once; no stick beyond its length."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, strategies as st

from tesselath.design import Board, Offcut, StickStock, Stock
from tesselath.errors import DesignError, SawError
from tesselath.parts import Part
from tesselath.shape import area
from tesselath.stock import SHORTEST_RIP, Stick, StickPlan, plan_sticks
from tops import INCH, design_of, plan_of, rectangle, some_parts, top

#: Nothing but what a test says: no trim, no defects, no spare stick.
PLAIN = Stock(kerf=INCH / 8, end_trim=0.0, defects=0.0, spares=0.0, spare_sticks=0)


def _stock(*lengths: float, **more: float | str) -> Stock:
    kinds = tuple(StickStock(length=length) for length in lengths)
    return replace(PLAIN, sticks=kinds, **more)  # type: ignore[arg-type]


def _plan(
    parts: tuple[Part, ...],
    stock: Stock,
    *,
    holding: float = 0.0,
    faces: str = "both",
    units: str = "in",
) -> StickPlan:
    return plan_sticks(
        parts, stock, faces=faces, holding=holding, thickness=6.35, units=units, effort=2.0
    )


def _counts(plan: StickPlan) -> list[int]:
    return sorted((len(stick.pieces) for stick in plan.sticks), reverse=True)


def _of_woods(*woods: str, length: float, count: int) -> tuple[Part, ...]:
    """One part of each wood, all of one size."""
    return tuple(
        replace(part, mark=mark)
        for mark, wood in zip("ABC", woods, strict=False)
        for part in some_parts((count, rectangle(length, 20)), wood=wood)
    )


@st.composite
def _some_parts(draw: st.DrawFn) -> tuple[Part, ...]:
    """A few parts from one strip: square, mitred either way, ripped."""
    kinds = []
    for _ in range(draw(st.integers(1, 4))):
        count, length = draw(st.integers(1, 12)), draw(st.floats(40, 320))
        run = draw(st.sampled_from([0.0, 0.0, 10.0, 20.0]))
        across = draw(st.sampled_from([20.0, 20.0, 20.0, 14.0, 9.0]))
        lean = draw(st.sampled_from([run, -run]))
        corners = [(0.0, 0.0), (length + run, 0.0), (length + run - lean, across), (run, across)]
        kinds.append((count, corners))
    return some_parts(*kinds, spares=draw(st.sampled_from([0.0, 0.1])))


@given(
    _some_parts(),
    st.sampled_from([900.0, 1200.0, 2400.0]),
    st.sampled_from([0.0, 12.7]),
    st.sampled_from([0.0, 152.4]),
    st.sampled_from(["stick only", "safe"]),
)
def test_every_piece_is_cut_once_and_no_stick_beyond_its_length(
    parts: tuple[Part, ...], length: float, trim: float, holding: float, rule: str
) -> None:
    stock = _stock(length, end_trim=trim, shared_cuts=rule)
    plan = _plan(parts, stock, holding=holding)
    cut = Counter(mark for stick in plan.sticks for mark in stick.pieces)
    assert cut == {part.mark: part.count + part.spares for part in parts}
    by_mark = {part.mark: part for part in parts}
    for stick in plan.sticks:
        assert stick.length == length
        assert stick.used + stick.left_over == pytest.approx(length)
        assert stick.left_over >= holding - 1e-6
        assert [laid.mark for laid in stick.laid] == list(stick.pieces)
        _check_wood(stick, by_mark, stock)
    (bound,) = plan.bounds
    assert bound.sticks == len(plan.sticks)
    assert 1 <= bound.proven_least <= bound.sticks


def _check_wood(stick: Stick, by_mark: dict[str, Part], stock: Stock) -> None:
    """The wood of the pieces and a kerf between them do not take more than was used."""
    wood = sum(area(by_mark[m].shape) / by_mark[m].stick_width for m in stick.pieces)
    kerfs = (len(stick.pieces) - 1) * stock.kerf
    assert stock.end_trim + wood + kerfs <= stick.used + 1e-6
    for mark in stick.pieces:
        part = by_mark[mark]
        assert part.stick_width <= stick.width + 1e-6
        assert (stick.width < stick.strip_width - 0.005) == part.ripped


@pytest.mark.parametrize(
    ("stick", "piece", "kerf", "count"),
    [
        # n pieces of length p with kerf k from a stick L: floor((L + k) / (p + k)).
        (60, 6, 1 / 8, 9),  # worked example: 9, not 10
        (48, 8, 1 / 8, 5),  # a 4 ft board marked for six 8 in blocks gives five
        (30, 1.25, 1 / 8, 21),  # 21, not 24
        (48, 9.5, 1 / 8, 5),  # 48.125 / 9.625 is 5 to the last bit
        (96, 8, 1 / 8, 11),
        (48, 8, 0, 6),
    ],
)
def test_a_stick_gives_what_length_and_kerf_allow(
    stick: float, piece: float, kerf: float, count: int
) -> None:
    parts = some_parts((count + 1, rectangle(piece * INCH, 20)))
    plan = _plan(parts, _stock(stick * INCH, kerf=kerf * INCH))
    assert _counts(plan) == [count, 1]


def test_a_held_tail_and_a_trim_take_their_share() -> None:
    # 96 in less 1/2 in of trim and 6 in in the clamp leaves 89 1/2: eleven blocks of 8 in with
    # their kerfs are 89 3/8 (bench practice: eleven blocks from 96 in).
    parts = some_parts((11, rectangle(8 * INCH, 20)))
    plan = _plan(parts, _stock(96 * INCH, end_trim=INCH / 2), holding=6 * INCH)
    (stick,) = plan.sticks
    assert stick.used == pytest.approx((0.5 + 11 * 8.125) * INCH)
    assert stick.left_over == pytest.approx(6.125 * INCH)
    twelve = some_parts((12, rectangle(8 * INCH, 20)))
    assert _counts(_plan(twelve, _stock(96 * INCH, end_trim=INCH / 2), holding=6 * INCH)) == [11, 1]


def test_the_kerf_of_a_mitre_is_longer_and_twins_share_it() -> None:
    # Four trapezoids, 260 mm on the mid-line, 45 degrees, strip 40, kerf 3, turned end for end:
    # 20 + 4 x 260 + 3 x 4.242641 + 20 = 1092.7279 (worked by hand); then the cut that severs the
    # rest of the stick.
    trapezoid = [(-20.0, -20.0), (280.0, -20.0), (240.0, 20.0), (20.0, 20.0)]
    parts = some_parts((4, trapezoid), strip=40.0)
    (stick,) = _plan(parts, _stock(1500.0, kerf=3.0)).sticks
    assert stick.used == pytest.approx(1092.7279 + 3 * math.sqrt(2), abs=1e-3)
    assert sum(laid.turned for laid in stick.laid) in (1, 2, 3)
    # The safe rule leaves a full kerf of wood at every cut that is not shared: 1101.2132.
    (stick,) = _plan(parts, _stock(1500.0, kerf=3.0, shared_cuts="safe")).sticks
    assert stick.used == pytest.approx(1101.2132, abs=1e-3)


@pytest.mark.parametrize("ripped", [False, True])
def test_a_piece_too_long_for_any_stick_is_refused_with_one_sentence(ripped: bool) -> None:
    parts = some_parts((1, rectangle(60 * INCH, 12 if ripped else 20)))
    with pytest.raises(SawError) as refusal:
        _plan(parts, _stock(48 * INCH, 36 * INCH, end_trim=12.7), holding=6 * INCH)
    text = str(refusal.value)
    assert len(refusal.value.faults) == 1
    assert "part A" in text
    assert "60 in" in text
    assert "longer stick" in text


def test_a_piece_that_needs_the_held_tail_is_refused() -> None:
    parts = some_parts((1, rectangle(45 * INCH, 20)))
    assert len(_plan(parts, _stock(48 * INCH)).sticks) == 1
    with pytest.raises(SawError):
        _plan(parts, _stock(48 * INCH), holding=6 * INCH)


def test_narrow_parts_come_from_sticks_ripped_first() -> None:
    parts = some_parts((3, rectangle(200, 20)), (3, rectangle(180, 12)), (2, rectangle(150, 8)))
    plan = _plan(parts, _stock(2400.0))
    ripped = [stick for stick in plan.sticks if stick.width < 20]
    assert {stick.width for stick in ripped} == {12.0}
    # The rest of the stick is long enough to be ripped down again, to 8 mm.
    assert sum(len(stick.pieces) for stick in ripped) == 5
    assert all(stick.strip_width == 20.0 for stick in plan.sticks)


@given(
    st.lists(
        st.tuples(st.integers(1, 6), st.floats(60, 260), st.floats(6, 18)), min_size=2, max_size=5
    ),
    st.sampled_from([(2400.0,), (1200.0, 500.0), (900.0,)]),
)
def test_the_rest_of_a_stick_is_not_ripped_again_when_it_is_short(
    kinds: list[tuple[int, float, float]], lengths: tuple[float, ...]
) -> None:
    parts = some_parts(*((count, rectangle(long, wide)) for count, long, wide in kinds))
    stock = _stock(*lengths, end_trim=12.7)
    by_mark = {part.mark: part for part in parts}
    for stick in _plan(parts, stock, holding=100.0).sticks:
        cut = stock.end_trim
        for before, mark in zip((None, *stick.pieces), stick.pieces, strict=False):
            part = by_mark[mark]
            if before and by_mark[before].stick_width > part.stick_width + 0.005:
                assert stick.length - cut >= SHORTEST_RIP - 1e-6
            cut += part.overall + stock.kerf


def test_a_stick_too_short_to_be_ripped_is_not_ripped() -> None:
    # Nothing under 12 in is ever ripped: common practice.
    with pytest.raises(SawError):
        _plan(some_parts((2, rectangle(4 * INCH, 10))), _stock(10 * INCH))


def test_no_more_is_claimed_as_the_least_than_can_be_proven() -> None:
    # Two strips of 9 mm with a kerf of 3.2 between them come out of one stick of 25.4 mm.
    parts = some_parts((2, rectangle(40 * INCH, 9)), strip=25.4)
    (bound,) = _plan(parts, _stock(48 * INCH)).bounds
    assert bound.proven_least <= 1


@pytest.mark.parametrize(
    ("needed", "defects", "spare", "to_buy"),
    [
        # "20 % of what I buy is lost" is need / 0.80: 20 become 25, not 24. (100 become 125.)
        (20, 0.2, 0, 25),
        (4, 0.2, 1, 6),
        (9, 0.1, 0, 10),
        (9, 0.1, 1, 11),
        (1, 0.0, 0, 1),
        (1, 0.1, 1, 3),
    ],
)
def test_what_is_bought_covers_defects_and_spare_sticks(
    needed: int, defects: float, spare: int, to_buy: int
) -> None:
    parts = some_parts((needed, rectangle(500, 20)))
    stock = replace(_stock(600.0), defects=defects, spare_sticks=spare)
    plan = _plan(parts, stock)
    assert len(plan.sticks) == needed
    assert sum(purchase.count for purchase in plan.to_buy) == to_buy


def test_without_a_stick_listed_eight_feet_or_2400_mm_are_assumed() -> None:
    parts = some_parts((1, rectangle(500, 20)))
    for units, length in (("in", 96 * INCH), ("mm", 2400.0)):
        plan = _plan(parts, PLAIN, units=units)
        assert plan.unlisted == (("oak", 20.0),)
        assert [stick.length for stick in plan.sticks] == [length]


def test_sticks_of_another_wood_or_too_narrow_or_too_thin_are_left_alone() -> None:
    parts = some_parts((1, rectangle(500, 20)))
    for stick in (
        StickStock(length=900.0, wood="ash"),
        StickStock(length=900.0, width=18.0),
        StickStock(length=900.0, thickness=5.0),
    ):
        assert _plan(parts, replace(PLAIN, sticks=(stick,))).unlisted == (("oak", 20.0),)


def test_the_stick_of_the_very_width_goes_before_a_wider_one() -> None:
    parts = some_parts((1, rectangle(500, 20)))
    kinds = (StickStock(length=2400.0, width=30.0), StickStock(length=900.0, width=20.0))
    assert [s.length for s in _plan(parts, replace(PLAIN, sticks=kinds)).sticks] == [900.0]


def test_offcuts_are_used_before_anything_is_bought() -> None:
    parts = some_parts((4, rectangle(250, 20)))
    stock = replace(_stock(1000.0), offcuts=(Offcut(length=600.0, wood="oak", width=20.0),))
    plan = _plan(parts, stock)
    assert sorted((stick.offcut, len(stick.pieces)) for stick in plan.sticks) == [
        (False, 2),
        (True, 2),
    ]
    assert sum(purchase.count for purchase in plan.to_buy) == 1


def test_an_offcut_of_any_wood_is_cut_for_one_wood_only() -> None:
    # Two woods, two pieces of 100 mm each: one offcut of 210 mm takes two, the other wood buys.
    parts = _of_woods("ash", "oak", length=100.0, count=2)
    stock = replace(_stock(2400.0), kerf=3.0, offcuts=(Offcut(210.0),))
    plan = _plan(parts, stock)
    assert [(s.wood, s.offcut, len(s.pieces)) for s in plan.sticks] == [
        ("ash", True, 2),
        ("oak", False, 2),
    ]


def test_a_board_is_ripped_for_one_width_or_the_other() -> None:
    # One board of 100 mm gives three strips of 20 mm by 30; the second wood has none of it left.
    parts = _of_woods("ash", "oak", length=100.0, count=2)
    board = Board(600.0, 100.0, 20.0, from_="edge", count=1)
    plan = _plan(parts, replace(PLAIN, boards=(board,)))
    assert [bought.count for bought in plan.to_buy] == [1, 1]
    assert plan.short_of == (("oak", 20.0, 1, 0),)


def test_offcuts_are_ripped_for_narrow_parts_before_a_stick_is_bought() -> None:
    parts = some_parts((2, rectangle(90, 12)))
    plan = _plan(parts, replace(_stock(2400.0), offcuts=(Offcut(400.0, None, 20.0, 1),)))
    assert [(s.offcut, s.width) for s in plan.sticks] == [(True, 12.0)]
    assert (plan.bounds[0].sticks, plan.bounds[0].status) == (0, "the least possible")
    assert plan.to_buy == ()
    # An offcut under 12 in is not ripped.
    short = _plan(parts, replace(_stock(2400.0), offcuts=(Offcut(300.0, None, 20.0, 1),)))
    assert [s.offcut for s in short.sticks] == [False]


def test_an_offcut_longer_than_any_stick_does_not_stand_for_what_is_missing() -> None:
    parts = some_parts((9, rectangle(500, 20)))
    stock = replace(PLAIN, sticks=(StickStock(1200.0, count=1),), offcuts=(Offcut(1600.0),))
    plan = _plan(parts, stock)
    assert [s.length for s in plan.sticks] == [1600.0, 1200.0, 1200.0, 1200.0]
    assert plan.short_of == (("oak", 20.0, 3, 1),)


def test_what_is_listed_and_does_not_suffice_is_told() -> None:
    parts = some_parts((9, rectangle(500, 20)))
    stock = replace(PLAIN, sticks=(StickStock(length=600.0, count=4),))
    assert _plan(parts, stock).short_of == (("oak", 20.0, 9, 4),)
    enough = replace(PLAIN, sticks=(StickStock(length=600.0, count=9),))
    assert _plan(parts, enough).short_of == ()


def test_short_sticks_do_not_hide_that_long_ones_are_wanting() -> None:
    parts = some_parts((9, rectangle(500, 20)))
    kinds = (StickStock(length=600.0, count=4), StickStock(length=200.0, count=50))
    assert _plan(parts, replace(PLAIN, sticks=kinds)).short_of != ()


def test_each_wood_and_width_has_its_own_sticks_and_line() -> None:
    parts = (
        *some_parts((3, rectangle(200, 20)), wood="oak"),
        *(replace(p, mark="B") for p in some_parts((3, rectangle(200, 20)), wood="ash")),
        *(replace(p, mark="C") for p in some_parts((3, rectangle(200, 30)), strip=30.0)),
    )
    plan = _plan(parts, _stock(2400.0))
    assert [(b.wood, b.width) for b in plan.bounds] == [("ash", 20), ("oak", 30), ("oak", 20)]
    assert [set(stick.pieces) for stick in plan.sticks] == [{"B"}, {"C"}, {"A"}]
    assert [stick.name for stick in plan.sticks] == ["1", "2", "3"]


def test_a_part_a_hair_narrower_than_its_strip_is_not_ripped() -> None:
    # Less than half a mark of the tape: nobody rips a quarter of a mm off.
    parts = some_parts((3, rectangle(200, 19.8)))
    (stick,) = _plan(parts, _stock(2400.0)).sticks
    assert stick.width == stick.strip_width == 20.0


def test_made_up_parts_come_from_no_stick() -> None:
    plan = _plan(some_parts((3, rectangle(200, 60)), strip=None), _stock(2400.0))
    assert plan.sticks == ()
    assert plan.to_buy == ()


def test_planning_twice_gives_the_same_sticks() -> None:
    trapezoid = [(0.0, 0.0), (170.0, 0.0), (150.0, 20.0), (20.0, 20.0)]
    parts = some_parts((13, rectangle(203, 20)), (17, trapezoid), (5, rectangle(91, 12)))
    first, again = (_plan(parts, _stock(1200.0)) for _ in range(2))
    assert first == again


@pytest.mark.parametrize("faces", ["both", "one"])
@pytest.mark.parametrize("pattern", ["herringbone", "chevron", "stepped-diamond", "basket-weave"])
def test_patterns_stay_within_one_stick_of_the_proven_least(pattern: str, faces: str) -> None:
    strips = f'width = "1"\nfaces = "{faces}"'
    plan = plan_of(top(pattern, width="30", depth="16", angle="45 deg", strips=strips))
    assert plan.bounds
    for bound in plan.bounds:
        assert bound.proven_least <= bound.sticks <= bound.proven_least + 1, bound


@pytest.mark.parametrize(
    ("across", "units", "said"),
    [
        (20, "in", "12 in"),
        (20, "mm", "305 mm"),
        (12, "in", "12 in"),
        (12, "mm", "305 mm"),
    ],
)
def test_a_refusal_speaks_in_the_maker_s_units(across: float, units: str, said: str) -> None:
    parts = some_parts((2, rectangle(12 * INCH, across)))
    with pytest.raises(SawError) as caught:
        _plan(parts, _stock(200.0), units=units)
    assert said in str(caught.value)
    assert (" mm" in str(caught.value)) == (units == "mm")


def test_a_board_of_random_width_has_no_price_by_length() -> None:
    board = '[[stock.board]]\nlength = "96"\nthickness = "1"\nprice = 5\nper = "foot"\n'
    with pytest.raises(DesignError, match="random width has no price by the foot"):
        design_of(top(more=board))
    design_of(top(more=board + 'width = "6"\n'))
