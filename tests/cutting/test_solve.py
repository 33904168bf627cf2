"""Planning the sticks: fewest, proven, and every stick can be sawn."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, strategies as st
from sawdust import (
    CASES,
    cheapest_sticks,
    check_plan_cuts,
    fewest_sticks,
    mitred,
    read_instance,
)

from tesselath.cutting import (
    RULES,
    CutPiece,
    Sawing,
    StickKind,
    StickPlan,
    check_certificate,
    plan_sticks,
    pointed_end,
    straight_end,
)
from tesselath.errors import SawError
from tesselath.measure import cosine, tangent

INCH = 25.4
RUNS = st.sampled_from([-40.0, -16.5, 0.0, 16.5, 40.0])
SAWINGS = st.builds(
    Sawing,
    st.just(40.0),
    st.sampled_from([1.0, 3.175]),
    st.sampled_from(RULES),
    st.sampled_from([0.0, 12.7]),
    st.sampled_from([0.0, 152.4]),
)
FREEDOMS = {
    "fixed": {"turn": False, "roll": False},
    "rotate": {"turn": True, "roll": False},
    "rotate_flip": {"turn": True, "roll": True},
}


def plan(
    pieces: list[CutPiece], length: float, sawing: Sawing, **more: Any
) -> tuple[StickPlan, list[StickKind]]:
    kinds = [StickKind(length)]
    return plan_sticks(pieces, kinds=kinds, sawing=sawing, **more), kinds


@pytest.mark.parametrize(
    ("piece", "stick", "count", "most"),
    # Hand-worked: n = floor((L + k) / (p + k)) with k 1/8 in.
    [
        (6.0, 60.0, 63, 9),  # blocks of 6 in: 9 a stick, not 10
        (1.25, 30.0, 21, 21),  # rips of 1 1/4 in from 30 in: 21, not 24
        (9.5, 48.0, 10, 5),  # fills the stick to the last 1/64 in
        (8.0, 48.0, 10, 5),  # 40.5 in with kerf: five, not six
    ],
)
def test_blocks_a_stick_are_those_counted_by_hand(
    piece: float, stick: float, count: int, most: int
) -> None:
    pieces = [CutPiece("A", piece * INCH, count)]
    result, kinds = plan(pieces, stick * INCH, Sawing(INCH, INCH / 8))
    assert max(len(each.pieces) for each in result.sticks) == most
    assert result.bought == result.least == -(-count // most)
    assert result.status == "the least possible"
    check_plan_cuts(result.sticks, pieces, kinds, Sawing(INCH, INCH / 8))


def test_a_tail_of_six_inches_keeps_eleven_blocks_of_eight_from_an_eight_foot_stick() -> None:
    # Hand-worked: (96 - 6) / (8 + 1/8) = 11.07; 6 5/8 in are left.
    sawing = Sawing(INCH, INCH / 8, holding=6 * INCH)
    result, _ = plan([CutPiece("A", 8 * INCH, 11)], 96 * INCH, sawing)
    assert result.bought == 1
    assert result.sticks[0].left_over == pytest.approx(6.625 * INCH)
    more, _ = plan([CutPiece("A", 8 * INCH, 12)], 96 * INCH, sawing)
    assert more.bought == more.least == 2


MULTI = [
    (case, freedom)
    for case in CASES["multi_stick"]
    for freedom in FREEDOMS
    if freedom in case["sticks"]
]


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize(
    ("case", "freedom"), MULTI, ids=lambda v: v if isinstance(v, str) else v["name"]
)
def test_mitred_jobs_take_the_sticks_found_by_exhaustive_search(
    case: dict[str, Any], freedom: str, rule: str
) -> None:
    # mitre_cases.json: own exhaustive search; there the tight rule and the safe one agree.
    width = case["w"]
    pieces = [
        mitred(f"P{n}", length, width * tangent(a), width * tangent(b), count, **FREEDOMS[freedom])
        for n, (length, a, b, count) in enumerate(case["pieces"])
    ]
    sawing = Sawing(width, case["k"], rule, shortest_loose=0.0)
    result, kinds = plan(pieces, case["L"], sawing)
    assert result.bought == result.least == case["sticks"][freedom]
    check_plan_cuts(result.sticks, pieces, kinds, sawing)


@pytest.mark.parametrize(
    "case",
    [case for case in CASES["multi_stick"] if "bounding_length" in case["sticks"]],
    ids=lambda case: case["name"],
)
def test_nesting_saves_sticks_against_long_point_lengths(case: dict[str, Any]) -> None:
    # mitre_cases.json: own exhaustive search by bounding lengths, and nested.
    tip_to_tip = [
        CutPiece(f"P{n}", length + case["w"] * (abs(tangent(a)) + abs(tangent(b))) / 2, count)
        for n, (length, a, b, count) in enumerate(case["pieces"])
    ]
    result, _ = plan(tip_to_tip, case["L"], Sawing(case["w"], case["k"]))
    assert result.bought == case["sticks"]["bounding_length"] > case["sticks"]["rotate"]


def test_ten_ring_pieces_nest_on_a_stick_that_takes_nine_laid_the_same_way() -> None:
    # A ring of twelve sides, long edge 90, strip 20, kerf 3 (own working): ten nested take 879.72.
    run = 20 * tangent(15.0)
    for turn, most, used in ((True, 10, 879.72), (False, 9, None)):
        piece = mitred("A", 90.0 - run, run, -run, 40, turn=turn)
        result, kinds = plan([piece], 900.0, Sawing(20.0, 3.0))
        assert max(len(stick.pieces) for stick in result.sticks) == most
        assert result.bought == result.least == -(-40 // most)
        if used is not None:
            # The stick's account counts the last kerf too.
            last = 3.0 / cosine(15.0)
            assert result.sticks[0].used == pytest.approx(used + last, abs=0.01)
        check_plan_cuts(result.sticks, [piece], kinds, Sawing(20.0, 3.0))


@given(
    st.lists(
        st.tuples(st.integers(60, 300), RUNS, RUNS, st.integers(1, 2)), min_size=1, max_size=3
    ),
    SAWINGS,
    st.sampled_from(sorted(FREEDOMS)),
)
def test_small_jobs_take_the_fewest_sticks_that_trying_everything_finds(
    sizes: list[tuple[int, float, float, int]], sawing: Sawing, freedom: str
) -> None:
    pieces = [
        mitred(f"P{n}", *size[:3], size[3], **FREEDOMS[freedom]) for n, size in enumerate(sizes)
    ]
    length = 620.0
    result, kinds = plan(pieces, length, sawing)
    fewest = fewest_sticks(pieces, length, sawing)
    assert result.least <= fewest <= result.bought
    assert result.bought == fewest
    assert result.least == fewest
    check_plan_cuts(result.sticks, pieces, kinds, sawing)
    proven = check_certificate(result.certificate, pieces, kinds=kinds, sawing=sawing)
    assert proven == result.certificate.least <= fewest


@given(
    st.lists(
        st.tuples(st.floats(30.0, 500.0), RUNS, RUNS, st.integers(1, 12)), min_size=1, max_size=8
    ),
    SAWINGS,
    st.booleans(),
    st.booleans(),
)
def test_every_stick_of_a_middling_job_can_be_sawn(
    sizes: list[tuple[float, float, float, int]], sawing: Sawing, turn: bool, roll: bool
) -> None:
    pieces = [
        mitred(f"P{n}", length + 40.0, a, b, count, turn=turn, roll=roll)
        for n, (length, a, b, count) in enumerate(sizes)
    ]
    result, kinds = plan(pieces, 1200.0, sawing, effort=4.0)
    check_plan_cuts(result.sticks, pieces, kinds, sawing)
    assert result.bought - 1 <= result.least <= result.bought
    proven = check_certificate(result.certificate, pieces, kinds=kinds, sawing=sawing)
    assert proven == result.certificate.least <= result.least
    assert proven == result.least or result.by_search


@given(
    st.lists(
        st.tuples(st.integers(120, 400), st.sampled_from([0.0, 20.0, 40.0]), st.integers(1, 4)),
        min_size=1,
        max_size=4,
    ),
    SAWINGS,
)
def test_sticks_with_pointed_and_clipped_ends_can_be_sawn(
    sizes: list[tuple[int, float, int]], sawing: Sawing
) -> None:
    point = pointed_end([(0.0, 40.0), (0.0, -40.0)])
    pieces = [
        CutPiece(
            f"P{n}",
            float(length),
            count,
            point if n % 2 else pointed_end([(0.0, run), (8.0, -60.0)]),
            point if n % 3 == 0 else straight_end(run),
            roll=bool(n % 2),
        )
        for n, (length, run, count) in enumerate(sizes)
    ]
    result, kinds = plan(pieces, 1200.0, sawing, effort=4.0)
    check_plan_cuts(result.sticks, pieces, kinds, sawing)
    assert result.least <= result.bought
    check_certificate(result.certificate, pieces, kinds=kinds, sawing=sawing)


def test_the_order_of_work_is_one_for_all_sticks_of_frames() -> None:
    pieces = [mitred("A", 360.0, 40.0, -40.0, 8), mitred("B", 260.0, 40.0, -40.0, 8)]
    result, _ = plan(pieces, 1800.0, Sawing(40.0, 3.0))
    assert all(stick.in_order for stick in result.sticks)
    for stick in result.sticks:
        marks = [placed.mark for placed in stick.pieces]
        assert marks == sorted(marks)
        # Trapezoids nest when every second one is turned.
        assert [placed.turned for placed in stick.pieces] in (
            [n % 2 == 0 for n in range(len(marks))],
            [n % 2 == 1 for n in range(len(marks))],
        )


def test_what_is_left_over_comes_in_one_long_piece() -> None:
    # Ten of 500 and two of 300 from 2,400 (kerf 0): three sticks, 1,600 over in all; four 500s
    # and one 300 fill a stick, so all but 2 x 100 of it can be in one piece.
    pieces = [CutPiece("A", 500.0, 10), CutPiece("B", 300.0, 2)]
    result, _ = plan(pieces, 2400.0, Sawing(40.0, 0.0))
    assert result.bought == result.least == 3
    assert max(stick.left_over for stick in result.sticks) == pytest.approx(1400.0)


def test_offcuts_are_used_before_a_stick_is_bought() -> None:
    kinds = [StickKind(2400.0), StickKind(700.0, 2, offcut=True)]
    pieces = [CutPiece("A", 320.0, 4)]
    result = plan_sticks(pieces, kinds=kinds, sawing=Sawing(40.0, 3.0))
    assert result.bought == result.least == 0
    assert [stick.length for stick in result.sticks] == [700.0, 700.0]
    more = plan_sticks([CutPiece("A", 320.0, 5)], kinds=kinds, sawing=Sawing(40.0, 3.0))
    assert more.bought == more.least == 1
    assert [len(stick.pieces) for stick in more.sticks] == [2, 2, 1]
    check_plan_cuts(more.sticks, [CutPiece("A", 320.0, 5)], kinds, Sawing(40.0, 3.0))


def test_an_offcut_without_a_count_is_one_offcut() -> None:
    kinds = [StickKind(2400.0), StickKind(700.0, offcut=True)]
    result = plan_sticks([CutPiece("A", 600.0, 3)], kinds=kinds, sawing=Sawing(40.0, 3.0))
    assert (result.bought, len(result.sticks)) == (1, 2)


def test_with_prices_the_cheapest_mixture_is_bought() -> None:
    # Two of 1,000 fit a stick of 2,400 (7.00) or one each a stick of 1,200 (3.00): short ones
    # are cheaper; a piece of 1,500 needs a long one, which takes no more.
    kinds = [StickKind(2400.0, price=7.0), StickKind(1200.0, price=3.0)]
    pieces = [CutPiece("A", 1000.0, 5), CutPiece("B", 1500.0, 1)]
    sawing = Sawing(40.0, 3.0)
    result = plan_sticks(pieces, kinds=kinds, sawing=sawing)
    assert result.cost == result.least_cost == 22.0
    assert result.status == "the cheapest possible"
    assert sorted(stick.length for stick in result.sticks) == [1200.0] * 5 + [2400.0]
    dear = [StickKind(2400.0, price=5.0), StickKind(1200.0, price=3.0)]
    assert plan_sticks(pieces, kinds=dear, sawing=sawing).cost == 5 + 5 + 5 + 3
    check_certificate(result.certificate, pieces, kinds=kinds, sawing=sawing)


@given(
    st.lists(
        st.tuples(st.integers(60, 280), RUNS, RUNS, st.integers(1, 2)), min_size=1, max_size=2
    ),
    st.lists(
        st.tuples(
            st.sampled_from([330, 480, 620]), st.sampled_from([None, 1, 2]), st.integers(1, 9)
        ),
        min_size=1,
        max_size=2,
        unique_by=lambda kind: kind[0],
    ),
    st.integers(0, 2),
    st.sampled_from(RULES),
)
def test_sticks_of_several_lengths_counts_and_prices_cost_what_trying_everything_finds(
    sizes: list[tuple[int, float, float, int]],
    stock: list[tuple[int, int | None, int]],
    offcuts: int,
    rule: str,
) -> None:
    pieces = [mitred(f"P{n}", *size[:3], size[3], roll=True) for n, size in enumerate(sizes)]
    sawing = Sawing(40.0, 3.175, rule)
    kinds = [StickKind(float(length), count, float(price)) for length, count, price in stock]
    kinds.append(StickKind(700.0, None, 10.0))  # there is always enough of the longest
    kinds += [StickKind(250.0, offcuts, offcut=True)] if offcuts else []
    costs = [0.0 if kind.offcut else float(kind.price or 0) for kind in kinds]
    result = plan_sticks(pieces, kinds=kinds, sawing=sawing)
    assert result.cost is not None
    assert result.least_cost is not None
    cheapest = cheapest_sticks(pieces, kinds, costs, sawing)
    assert result.least_cost - 1e-6 <= cheapest <= result.cost + 1e-6
    if result.status == "the cheapest possible":
        assert result.cost == pytest.approx(cheapest)
    check_plan_cuts(result.sticks, pieces, kinds, sawing)


def test_one_priced_kind_is_counted_and_paid() -> None:
    kinds = [StickKind(1000.0, price=3.2)]
    result = plan_sticks([CutPiece("A", 600.0, 3)], kinds=kinds, sawing=Sawing(40.0, 3.0))
    assert (result.bought, result.least) == (3, 3)
    assert result.cost == pytest.approx(9.6)
    assert result.least_cost == pytest.approx(9.6)


def test_a_stick_is_taken_no_longer_than_its_pieces_need() -> None:
    kinds = [StickKind(2400.0), StickKind(1200.0)]
    result = plan_sticks([CutPiece("A", 1000.0, 3)], kinds=kinds, sawing=Sawing(40.0, 3.0))
    assert sorted(stick.length for stick in result.sticks) == [1200.0, 2400.0]


def test_short_stock_is_planned_all_the_same_and_says_how_many_sticks_are_missing() -> None:
    kinds = [StickKind(1000.0, 2), StickKind(500.0, 1)]
    pieces = [CutPiece("A", 450.0, 9)]
    sawing = Sawing(40.0, 3.0)
    result = plan_sticks(pieces, kinds=kinds, sawing=sawing)
    assert result.missing == 2
    assert sum(stick.beyond for stick in result.sticks) == 2
    assert result.bought == result.least == 5
    check_plan_cuts(result.sticks, pieces, kinds, sawing)
    check_certificate(result.certificate, pieces, kinds=kinds, sawing=sawing)


def test_pieces_longer_than_any_stick_are_refused_together() -> None:
    pieces = [CutPiece("A", 990.0), CutPiece("B", 100.0), CutPiece("C", 1200.0)]
    with pytest.raises(SawError) as caught:
        plan(pieces, 1000.0, Sawing(40.0, 3.0, end_trim=12.0))
    assert [fault.place for fault in caught.value.faults] == ["part A", "part C"]
    assert "does not fit on the longest stick" in str(caught.value)


def test_impossible_stock_is_refused_with_every_fault() -> None:
    with pytest.raises(SawError) as caught:
        plan_sticks(
            [CutPiece("A", 90.0), CutPiece("A", 20.0, -1, straight_end(80.0), straight_end(-80.0))],
            kinds=[],
            sawing=Sawing(0.0, -1.0, "loose"),
        )
    rules = " ".join(fault.rule for fault in caught.value.faults)
    for part in (
        "wider than 0",
        "0 or more",
        "no such rule",
        "Two parts",
        "ends cross",
        "no stick",
    ):
        assert part in rules


def test_nothing_to_cut_needs_no_stick() -> None:
    result, kinds = plan([CutPiece("A", 90.0, 0)], 1000.0, Sawing(40.0, 3.0))
    assert (result.sticks, result.bought, result.least) == ((), 0, 0)
    assert check_certificate(result.certificate, [], kinds=kinds, sawing=Sawing(40.0, 3.0)) == 0


def test_a_last_cut_with_less_than_a_kerf_of_wood_is_told() -> None:
    # 3 x 330 + 2 x 3 = 996: 4 mm are left, a full kerf; of 998 only 2, and the saw skims.
    for length, skims in ((1000.0, 0), (998.0, 1), (996.0, 0)):
        result, _ = plan([CutPiece("A", 330.0, 3)], length, Sawing(40.0, 3.0))
        assert result.sticks[0].skims == skims


def test_a_certificate_with_raised_prices_or_other_pieces_is_refused() -> None:
    pieces, length = read_instance("fal_u120_00")
    sawing = Sawing(40.0, 0.0)
    result, kinds = plan(pieces, length, sawing)
    good = result.certificate
    assert check_certificate(good, pieces, kinds=kinds, sawing=sawing) == result.least == 48
    raised = replace(good, prices=tuple((mark, price * 2) for mark, price in good.prices))
    with pytest.raises(SawError, match="can be worth"):
        check_certificate(raised, pieces, kinds=kinds, sawing=sawing)
    with pytest.raises(SawError, match="does not price"):
        check_certificate(replace(good, prices=good.prices[1:]), pieces, kinds=kinds, sawing=sawing)
    with pytest.raises(SawError, match="not about these sticks"):
        check_certificate(good, pieces, kinds=[StickKind(999.0)], sawing=sawing)


def test_a_search_that_runs_out_of_work_says_how_far_from_the_least_it_may_be() -> None:
    # Falkenauer's triplets fill every stick: their optimum, 40, takes more than a short search.
    pieces, length = read_instance("fal_t120_00")
    first, kinds = plan(pieces, length, Sawing(1.0, 0.0), effort=0.02)
    again, _ = plan(pieces, length, Sawing(1.0, 0.0), effort=0.02)
    assert first == again  # steps are counted, not seconds
    gap = first.bought - first.least
    assert gap > 0
    number = "one stick" if gap == 1 else f"{gap} sticks"
    assert first.status == f"at most {number} above the least possible"
    assert first.least <= 40 <= first.bought
    check_certificate(first.certificate, pieces, kinds=kinds, sawing=Sawing(1.0, 0.0))


def test_no_clock_is_read_while_sticks_are_planned(monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped() -> float:
        raise AssertionError("the plan would depend on how fast the machine is")

    pieces, length = read_instance("fal_u120_00")
    for name in ("time", "monotonic", "perf_counter", "process_time"):
        monkeypatch.setattr(time, name, stopped)
    result, _ = plan(pieces, length, Sawing(1.0, 0.0))
    assert (result.bought, result.least) == (48, 48)


SCRIPT = """
from tesselath.cutting import *
pieces = [
    CutPiece(f"P{n}", 60.0 + 17.3 * n, 3 + n % 5, straight_end(20.0 * (n % 3)),
             straight_end(-20.0 * (n % 2)))
    for n in range(9)
]
print(plan_sticks(pieces, kinds=[StickKind(900.0), StickKind(400.0, 2, offcut=True)],
                  sawing=Sawing(40.0, 3.0, end_trim=12.0, holding=60.0)))
"""


def test_the_same_job_gives_the_same_bytes_on_any_hash_seed_and_prints_nothing_else() -> None:
    outputs = []
    for seed in ("1", "77"):
        env = {**os.environ, "PYTHONHASHSEED": seed}
        run = subprocess.run(
            [sys.executable, "-c", SCRIPT], env=env, capture_output=True, text=True, check=True
        )
        outputs.append(run.stdout)
        assert run.stdout.startswith("StickPlan(")  # no banner of the solver before it
        assert run.stdout.count("\n") == 1
        assert not run.stderr
    assert outputs[0] == outputs[1]
