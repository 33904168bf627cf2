"""Two plans side by side: every figure is the plan's own, and nothing differs from itself."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import given, strategies as st

from effort import examples
from tesselath.commands import main
from tesselath.plan import plan_tables
from tesselath.revise import (
    changed_since,
    compare_plans,
    describe_changes,
    match_pieces,
    show_change,
    show_value,
)
from tesselath.revise.compare import show_measure
from tops import plan_of, tables_of, top

ONE = top()
SHORTER = top(depth="9 15/16 in")


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


@pytest.mark.parametrize("pattern", ["herringbone", "chevron", "basket-weave", "stepped-diamond"])
def test_a_plan_does_not_differ_from_itself(pattern: str) -> None:
    plan = tables_of(top(pattern))
    assert describe_changes(plan, plan) == ()
    assert not any(row.differs or row.change for row in compare_plans(plan, plan))
    assert match_pieces(plan, plan).kept == tuple(range(1, plan["totals"]["pieces"] + 1))


def test_figures_are_those_of_the_two_plans() -> None:
    a, b = tables_of(ONE), tables_of(SHORTER)
    rows = {row.key: row for row in compare_plans(a, b)}
    for key in ("pieces", "parts", "cuts", "setups", "sticks", "thinnest", "wood_area"):
        assert (rows[key].before, rows[key].after) == (a["totals"][key], b["totals"][key])
    assert rows["sticks_to_buy"].after == sum(b["totals"]["sticks_to_buy"].values())
    assert rows["opening_depth"].change == pytest.approx(-25.4 / 16)
    assert show_change(rows["opening_depth"], b) == "-1/16 in"
    assert show_change(rows["opening_width"], b) == ""


def test_a_width_off_the_tapes_marks_is_told_from_the_mark_beside_it() -> None:
    plan = {"units": "in", "tape": 25.4 / 32}
    assert show_measure(25.4 * 0.98, plan, exact=True) == "31/32 in (0.98)"
    assert show_measure(25.4 * 31 / 32, plan, exact=True) == "31/32 in"
    assert show_measure(24.61, {"units": "mm", "tape": 0.5}, exact=True) == "24.61 mm"


def test_what_a_measured_kerf_and_saw_change_is_told() -> None:
    a = tables_of(ONE)
    b = {**a, "kerf": 25.4 * 3 / 32, "saw_zero": 0.2, "mark": "ABCDEF"}
    told = " ".join(describe_changes(a, b))
    assert "Kerf: 3/32 in, was 1/8 in." in told
    assert "Saw's zero is off by: 0.2°, was 0°." in told
    assert "piece" not in told


def test_what_an_older_plan_does_not_tell_is_no_change() -> None:
    a = tables_of(ONE)
    old = {key: value for key, value in a.items() if key != "saw_angles"}
    assert describe_changes(old, a) == ()
    assert changed_since(old, a) == ()


def test_what_a_new_plan_changes_is_told_in_two_lines() -> None:
    a, b = tables_of(ONE), tables_of(SHORTER)
    asked, comes_to = changed_since(a, {**b, "saw_angles": [0.0, 45.0], "kerf": 2.0})
    assert asked.startswith("Opening, front to back 9 15/16 in, was 10 in; kerf 3/32 in (0.079)")
    assert asked.endswith("angles the saw has 0°, 45°, was any.")
    assert f"{len(match_pieces(a, b).kept)} pieces stay as planned" in comes_to
    assert changed_since(a, a) == ()


def test_a_plan_written_again_says_what_it_changes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("top.toml").write_text(ONE, encoding="utf-8")
    first = run("plan", "top.toml", "--only", "parts")
    assert "changed since" not in first.output
    again = run("plan", "top.toml", "--only", "parts")
    assert "changed since" not in again.output
    Path("top.toml").write_text(SHORTER, encoding="utf-8")
    told = run("plan", "top.toml", "--only", "parts").output
    assert "changed since the plan that was here:\n  - Opening, front to back 9 15/16 in" in told
    Path("top-plan/plan.json").write_text("{}", encoding="utf-8")
    over = run("plan", "top.toml", "--only", "parts", "--force", "--json")
    assert json.loads(over.output)["changes"] == []


def test_another_mark_alone_is_told_as_no_change_of_the_work() -> None:
    a = tables_of(ONE)
    (told,) = describe_changes(a, {**a, "mark": "ABCDEF"})
    assert "nothing that is cut or bought" in told


def test_a_smaller_opening_changes_only_pieces_at_its_edge() -> None:
    a, b = tables_of(ONE), tables_of(SHORTER)
    matched = match_pieces(a, b)
    assert matched.changed
    edge = b["opening"]["depth"] / 2 - b["opening"]["clearance"]
    for number in matched.changed:
        (outline,) = [p["outline"] for p in b["pieces"] if p["number"] == number]
        assert max(abs(y) for _, y in outline) == pytest.approx(edge, abs=1e-6)
    told = describe_changes(a, b)
    assert f"{len(matched.kept)} pieces stay as planned" in " ".join(told)


def test_a_figure_that_an_older_plan_does_not_tell_is_left_blank() -> None:
    a = tables_of(ONE)
    old = {k: v for k, v in a.items() if k not in {"pattern", "tape", "gap", "saw_zero", "looks"}}
    rows = {row.key: row for row in compare_plans(old, a)}
    assert rows["gap"].before is None
    assert rows["gap"].change is None
    assert describe_changes(old, old) == ()


@examples(25)
@given(st.data())
def test_every_piece_is_kept_changed_new_or_gone_once(data: st.DataObject) -> None:
    plan = _FIXED
    numbers = [p["number"] for p in plan["pieces"]]
    lost = data.draw(st.sets(st.sampled_from(numbers), max_size=10))
    shifted = data.draw(st.integers(0, 3))
    after = {
        **plan,
        "pieces": [
            {**p, "number": p["number"] + shifted}
            for p in plan["pieces"]
            if p["number"] not in lost
        ],
    }
    matched = match_pieces(plan, after)
    old = [*matched.kept, *matched.changed, *matched.gone, *(a for a, _ in matched.renumbered)]
    new = [*matched.kept, *matched.changed, *matched.new, *(b for _, b in matched.renumbered)]
    assert sorted(old) == numbers
    assert sorted(new) == [p["number"] for p in after["pieces"]]
    # What is still there is found again under whatever number; nothing else is lost or new.
    assert set(matched.gone) == lost
    assert not matched.new
    assert not matched.changed


_FIXED = tables_of(ONE)


def test_a_folder_a_file_and_a_design_are_compared(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("a.toml").write_text(ONE, encoding="utf-8")
    Path("b.toml").write_text(SHORTER, encoding="utf-8")
    run("plan", "a.toml", "--only", "parts")
    told = run("compare", "a-plan", "a.toml")
    assert told.exit_code == 0, told.output
    assert "Nothing has changed." in told.output
    answer = json.loads(
        run("compare", "a-plan/plan.json", "b.toml", "--json", "--picture", "ab.svg").output
    )
    rows = {row["key"]: row for row in answer["rows"]}
    assert rows["opening_depth"]["differs"]
    assert answer["changes"]
    picture = Path("ab.svg").read_text(encoding="utf-8")
    assert picture.startswith("<?xml")
    assert "outlined:" in picture
    assert run("compare", "a-plan", "b.toml", "--picture", "ab.svg").exit_code == 2


@pytest.mark.parametrize("name", ["nothing.json", "no-folder.toml", "empty"])
def test_what_is_no_plan_and_no_design_is_refused_in_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("empty").mkdir()
    Path("a.toml").write_text(ONE, encoding="utf-8")
    refused = run("compare", "a.toml", name)
    assert refused.exit_code == 2
    assert len(refused.output.strip().splitlines()) == 1
    assert "Traceback" not in refused.output


def test_json_tables_and_the_plans_own_tables_compare_alike() -> None:
    plan = plan_of(ONE)
    assert describe_changes(plan_tables(plan), tables_of(ONE)) == ()


def test_a_change_agrees_with_the_figures_beside_it() -> None:
    """23/32 in and 11/16 in, each to its mark, though 18.1 mm and 17.6 mm are half a mark apart."""
    a = tables_of(ONE)
    before = {**a, "totals": {**a["totals"], "thinnest": 18.1}}
    after = {**a, "totals": {**a["totals"], "thinnest": 17.6}}
    rows = {row.key: row for row in compare_plans(before, after)}
    shown = [show_value(v, "length", a) for v in (18.1, 17.6)]
    assert shown == ["23/32 in", "11/16 in"]
    assert show_change(rows["thinnest"], a) == "-1/32 in"
    # On one mark the difference is told in decimals, never as 0.
    near = {**a, "totals": {**a["totals"], "thinnest": 18.2}}
    rows = {row.key: row for row in compare_plans(before, near)}
    assert show_change(rows["thinnest"], a) == "+0.004 in"
    bare = {**a, "uncovered": {**a["uncovered"], "area": 6.4516}}
    rows = {row.key: row for row in compare_plans(a, bare)}
    assert show_value(6.4516, "area", a) == "0.01 sq in"
    assert show_change(rows["uncovered"], a) == "+0.01 sq in"


@given(st.floats(0.0, 60.0), st.floats(0.0, 60.0))
def test_what_differs_is_never_said_to_differ_by_nothing(one: float, other: float) -> None:
    a = tables_of(ONE)
    before = {**a, "totals": {**a["totals"], "thinnest": one}}
    after = {**a, "totals": {**a["totals"], "thinnest": other}}
    row = next(r for r in compare_plans(before, after) if r.key == "thinnest")
    shown = show_change(row, a)
    assert bool(shown) == row.differs
    assert not shown.removeprefix("+").removeprefix("-").startswith("0 ")


def test_a_part_that_has_become_several_is_told_once() -> None:
    a = tables_of(ONE)
    most = max(a["parts"], key=lambda part: part["count"])
    half = most["count"] // 2
    first = {**most, "mark": "XA", "numbers": most["numbers"][:half], "count": half}
    second = {
        **most,
        "mark": "XB",
        "numbers": most["numbers"][half:],
        "count": most["count"] - half,
    }
    parts = [part for part in a["parts"] if part["mark"] != most["mark"]]
    mark = dict.fromkeys(first["numbers"], "XA") | dict.fromkeys(second["numbers"], "XB")
    pieces = [{**p, "part": mark.get(p["number"], p["part"])} for p in a["pieces"]]
    told = describe_changes(a, {**a, "parts": [*parts, first, second], "pieces": pieces})
    assert f"Part {most['mark']} is now called XA and XB." in told


def test_parts_of_another_layout_are_not_compared_one_by_one() -> None:
    """Where no piece has stayed, its number says nothing of what it was."""
    a = tables_of(ONE)
    other = [{**p, "outline": [[x + 7.0, y] for x, y in p["outline"]]} for p in a["pieces"]]
    told = describe_changes(a, {**a, "pieces": other})
    assert told == (f"All {len(other)} pieces change.",)
