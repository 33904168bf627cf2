"""Hours: the sums a shop makes, at the design's own pace."""

from __future__ import annotations

import pytest

from tops import plan_of, top

#: An hour for one of its kind, and nothing for the rest.
NOTHING = {
    "stick": "0 s",
    "set_up": "0 s",
    "cut": "0 s",
    "by_hand": "0 s",
    "base": "0 s",
    "member": "0 s",
    "glue_up": "0 s",
    "finish": "0 s",
}
MORE = '[frame]\nwidth = "2 in"\n[base]\n[glue]\npace = "1 s"\nopen_time = "20 s"\n'


def _paced(**pace: str) -> str:
    rows = "".join(f'{key} = "{value}"\n' for key, value in (NOTHING | pace).items())
    return top(angle="17 deg", more=f"{MORE}[pace]\n{rows}")


@pytest.mark.parametrize(
    ("key", "work"),
    [
        ("stick", "sticks trimmed and marked"),
        ("set_up", "saw set up and tested"),
        ("cut", "cuts at the saw"),
        ("by_hand", "pieces marked and sawn by hand"),
        ("base", "base sawn and joined"),
        ("member", "frame"),
    ],
)
def test_a_kind_of_work_takes_its_pace_times_its_count(key: str, work: str) -> None:
    rows = {row.work: row for row in plan_of(_paced(**{key: "1 h"})).hours.rows}
    assert rows[work].hours == pytest.approx(rows[work].count)
    others = [row for name, row in rows.items() if name not in (work, "dry fit", "glue-ups")]
    assert all(row.hours == 0 for row in others)


def test_counts_are_those_of_the_plan() -> None:
    plan = plan_of(_paced())
    counts = {row.work: row.count for row in plan.hours.rows}
    assert counts["sticks trimmed and marked"] == len(plan.sticks)
    assert counts["saw set up and tested"] == len(plan.setups) + len(plan.rips)
    assert counts["glue-ups"] == len(plan.glue_ups)
    assert counts["frame"] == 4
    assert counts["dry fit"] == len(plan.pieces)
    # Every piece and spare that is sawn has two ends.
    made = sum(p.count + p.spares for p in plan.parts if p.handling != "make up")
    assert counts["cuts at the saw"] == 2 * made


def test_pieces_are_laid_twice_at_the_glues_pace() -> None:
    plan = plan_of(_paced())
    hours = {row.work: row.hours for row in plan.hours.rows}
    assert hours["dry fit"] == pytest.approx(len(plan.pieces) / 3600)
    assert hours["glue-ups"] == pytest.approx(len(plan.pieces) / 3600)


def test_the_total_goes_up_to_the_next_half_hour_and_into_the_totals() -> None:
    plan = plan_of(_paced(finish="6 h"))
    whole = sum(row.hours for row in plan.hours.rows)
    assert whole <= plan.hours.total < whole + 0.5
    assert plan.hours.total % 0.5 == 0
    assert plan.totals["hours"] == plan.hours.total
    # A small top is finished no faster than a quarter of a square metre.
    assert whole == pytest.approx(1.5, abs=0.3)


def test_gluing_goes_over_as_many_days_as_its_glue_ups_need() -> None:
    plan = plan_of(_paced() + "glue_ups_a_day = 1\n")
    assert plan.hours.glue_days == len(plan.glue_ups) > 1
