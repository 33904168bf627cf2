"""The rip list: boards first, wide before narrow, each fence setting with its count."""

from __future__ import annotations

import pytest

from tesselath.plan import Plan
from tesselath.saw import plan_rips
from tops import INCH, plan_of, rectangle, some_parts, some_stick, top

SLASH = [(0.0, 0.0), (100.0, 0.0), (120.0, 20.0), (20.0, 20.0)]


def test_rips_are_listed_wide_before_narrow_with_their_sticks() -> None:
    parts = some_parts(
        (3, rectangle(90, 20)), (2, rectangle(80, 8)), (2, rectangle(70, 12)), (1, rectangle(60, 8))
    )
    marks = {round(part.overall): part.mark for part in parts}
    sticks = [
        some_stick("1", marks[90]),
        some_stick("2", marks[70], marks[80], width=12.0),
        some_stick("3", marks[60], width=8.0),
    ]
    rips = plan_rips(parts, sticks)
    assert [(r.width, r.strip_width) for r in rips] == [(12.0, 20.0), (8.0, 20.0)]
    assert rips[0].sticks == ("2",)
    assert rips[1].sticks == ("2", "3")
    assert set(rips[1].parts) == {marks[80], marks[60]}


def test_only_narrow_parts_are_ripped() -> None:
    parts = some_parts((3, rectangle(90, 20)), (1, SLASH))
    assert plan_rips(parts, [some_stick("1", "A", "B")]) == ()


def test_a_wider_stick_is_ripped_to_the_strip_first_and_then_narrower() -> None:
    parts = some_parts((3, rectangle(90, 20)), (2, rectangle(80, 8)))
    wide, narrow = (next(p.mark for p in parts if p.ripped is r) for r in (False, True))
    sticks = [some_stick("1", wide), some_stick("2", narrow, width=8.0)]
    rips = plan_rips(parts, sticks, wider=[("oak", 20.0, 25.4)])
    assert [(r.source_width, r.width, r.sticks) for r in rips] == [
        (25.4, 20.0, ("1",)),
        (25.4, 8.0, ("2",)),
    ]


def _lid(board: str, strips: str = 'width = "3/4"\nthickness = "1/4"') -> Plan:
    sizes = 'w = "3/4 in"\nL = "6 in"'
    text = top("stack-bond", width="30", depth="15", sizes=sizes, strips=strips)
    return plan_of(f'{text}\n[[stock.board]]\nlength = "96"\n{board}\n')


def test_strips_sliced_off_an_edge_have_their_fence_setting_count_and_planing() -> None:
    # By hand: 1/4 in finished and 1/16 in to plane off: slices of 5/16 in; a board of 13/16 in is
    # planed to the strip's 3/4 in first.
    plan = _lid('width = "5 1/2"\nthickness = "13/16"\nplane = "1/16"')
    rips = [rip for rip in plan.rips if rip.source != "stick"]
    assert [rip.wood for rip in rips] == sorted(plan.sticks_to_buy)
    for rip in rips:
        assert rip.source == "board edge"
        assert rip.width == pytest.approx(5 / 16 * INCH)
        assert rip.source_width == pytest.approx(5.5 * INCH)
        assert rip.count == plan.sticks_to_buy[rip.wood] >= len(rip.sticks) > 0
        assert rip.plane_first == pytest.approx(0.75 * INCH)
        assert rip.plane_after == pytest.approx(0.25 * INCH)
    ripped = {name for rip in rips for name in rip.sticks}
    assert ripped == {stick.name for stick in plan.sticks}
    assert plan.rips[: len(rips)] == tuple(rips)


def test_boards_ripped_flat_are_planed_first_and_ripped_at_the_strip_s_width() -> None:
    plan = _lid('from = "face"\nthickness = "3/8"\nplane = "1/8"')
    rips = [rip for rip in plan.rips if rip.source == "board face"]
    assert rips
    for rip in rips:
        assert rip.width == pytest.approx(0.75 * INCH)
        assert (rip.source_width, rip.plane_after) == (None, None)
        assert rip.plane_first == pytest.approx(0.25 * INCH)
