"""A spoiled piece comes from a spare, else from the shortest rest that will do."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from tesselath.cli import main
from tesselath.errors import DesignError
from tesselath.spoiled import describe_rescue, rescue_pieces

PART = {
    "mark": "A", "count": 8, "spares": 1, "wood": "oak", "width": 20.0, "strip_width": 20.0,
    "ripped": False, "overall": 300.0, "mitres": [0.0, 0.0], "handling": "slide",
}  # fmt: skip


def tables(*left: float, **changed: Any) -> dict[str, Any]:
    sticks = [
        {"name": str(n), "wood": "oak", "width": 20.0, "strip_width": 20.0, "left_over": rest}
        for n, rest in enumerate(left, 1)
    ]
    return {
        "pieces": [{"number": n, "part": "A"} for n in range(1, 9)],
        "parts": [{**PART, **changed}], "sticks": sticks, "setups": [{"parts": ["A"]}],
        "kerf": 3.0, "holding": 150.0,
    }  # fmt: skip


def test_spares_go_first_and_then_the_shortest_rest_that_will_do() -> None:
    answers = rescue_pieces(tables(900.0, 453.0, 452.0), [1, 2, 3])
    assert [(a.way, a.stick) for a in answers] == [
        ("spare", None), ("leftover", "2"), ("leftover", "1"),
    ]  # fmt: skip
    assert [a.spares_left for a in answers] == [0, 0, 0]
    assert answers[1].setup == 1


def test_a_rest_is_used_up_by_what_is_cut_from_it() -> None:
    # 303 mm a piece, and 150 mm stay in the clamp: 756 mm give two, 755 one.
    for rest, ways in ((756.0, ["leftover", "leftover"]), (755.0, ["leftover", "new stick"])):
        found = rescue_pieces(tables(rest, spares=0), [1, 2])
        assert [a.way for a in found] == ways


def test_a_ripped_part_is_not_cut_from_a_stick_of_full_width() -> None:
    found = rescue_pieces(tables(900.0, spares=0, width=12.0, ripped=True), [4])
    assert found[0].way == "new stick"


def test_a_made_up_part_is_made_up_again() -> None:
    found = rescue_pieces(tables(900.0, strip_width=None, handling="make up", spares=2), [4])
    assert (found[0].way, found[0].setup) == ("make up", None)


def test_a_number_that_the_plan_does_not_have_is_refused() -> None:
    with pytest.raises(DesignError, match="no piece 9, 12"):
        rescue_pieces(tables(900.0), [1, 9, 12])


def test_design_and_plan_folder_give_the_same_answer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    run = CliRunner()
    assert run.invoke(main, ["begin", "lid.toml"]).exit_code == 0
    assert run.invoke(main, ["plan", "lid.toml"]).exit_code == 0
    before = (tmp_path / "lid-plan" / "plan.json").read_bytes()
    first = run.invoke(main, ["plan", "lid.toml", "--spoiled", "1,2", "--json"])
    second = run.invoke(main, ["plan", "lid-plan", "--spoiled", "1,2", "--json"])
    assert first.exit_code == second.exit_code == 0
    assert json.loads(first.output) == json.loads(second.output)
    assert (tmp_path / "lid-plan" / "plan.json").read_bytes() == before
    said = run.invoke(main, ["plan", "lid-plan", "--spoiled", "1"]).output
    assert said.startswith("piece 1 (part ")
    for words, status in (
        (["lid-plan", "--spoiled", "x"], 2),
        (["lid-plan", "--spoiled", "999"], 1),
    ):
        result = run.invoke(main, ["plan", *words])
        assert result.exit_code == status
        assert "Traceback" not in result.output


def test_the_sentence_names_stick_and_set_up() -> None:
    (found,) = rescue_pieces(tables(900.0, spares=0), [5])
    assert describe_rescue(found) == (
        "piece 5 (part A): cut it from the rest of stick 1 at set-up 1; 0 spares of A remain."
    )
