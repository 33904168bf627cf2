"""A spoiled piece comes from a spare, else from the shortest rest that will do."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from tesselath.commands import main
from tesselath.errors import DesignError
from tesselath.revise import describe_rescue, rescue_pieces

PART = {
    "mark": "A",
    "count": 8,
    "spares": 1,
    "wood": "oak",
    "width": 20.0,
    "strip_width": 20.0,
    "ripped": False,
    "overall": 300.0,
    "mitres": [0.0, 0.0],
    "handling": "slide",
}


def tables(*left: float, **changed: Any) -> dict[str, Any]:
    sticks = [
        {
            "name": str(n),
            "wood": "oak",
            "width": 20.0,
            "strip_width": 20.0,
            "length": 2400.0,
            "left_over": rest,
        }
        for n, rest in enumerate(left, 1)
    ]
    return {
        "pieces": [{"number": n, "part": "A"} for n in range(1, 9)],
        "parts": [{**PART, **changed}],
        "sticks": sticks,
        "setups": [{"parts": ["A"]}],
        "kerf": 3.0,
        "holding": 150.0,
        "end_trim": 12.0,
        "tape": 25.4 / 32,
        "units": "in",
        "bounds": [{"wood": "oak", "width": 20.0, "sticks": len(left), "to_buy": len(left) + 2}],
    }


def test_spares_go_first_and_then_the_shortest_rest_that_will_do() -> None:
    answers = rescue_pieces(tables(900.0, 453.0, 452.0), [1, 2, 3])
    assert [(a.way, a.stick) for a in answers] == [
        ("spare", None),
        ("leftover", "2"),
        ("leftover", "1"),
    ]
    assert [a.spares_left for a in answers] == [0, 0, 0]
    assert answers[1].setup == 1


def test_a_rest_is_used_up_by_what_is_cut_from_it() -> None:
    # 303 mm a piece, and 150 mm stay in the clamp: 756 mm give two, 755 one.
    for rest, ways in ((756.0, ["leftover"] * 2), (755.0, ["leftover", "spare stick"])):
        found = rescue_pieces(tables(rest, spares=0), [1, 2])
        assert [a.way for a in found] == ways


def test_a_spare_stick_once_opened_is_used_up_before_the_next_and_then_one_is_bought() -> None:
    # 2,400 less 12 of trim and 150 held: seven pieces of 303 mm come out of each.
    found = rescue_pieces(tables(100.0, spares=0), [*range(1, 9)] * 2)
    ways = ["spare stick", *["leftover"] * 6] * 2 + ["buy", "leftover"]
    assert [a.way for a in found] == ways
    assert [a.stick for a in found] == ["new 1"] * 7 + ["new 2"] * 7 + ["new 3"] * 2
    assert [a.sticks_left for a in found] == [1] * 7 + [0] * 9


def test_a_narrow_part_is_cut_from_a_rest_of_its_width_before_a_wider_one_is_ripped() -> None:
    wide = rescue_pieces(tables(900.0, spares=0, width=12.0, ripped=True), [4])[0]
    assert (wide.way, wide.stick, wide.rip_to) == ("leftover", "1", 12.0)
    both = tables(900.0, 950.0, spares=0, width=12.0, ripped=True)
    both["sticks"][1]["width"] = 12.0
    assert [(a.stick, a.rip_to) for a in rescue_pieces(both, [4])] == [("2", None)]
    narrower = tables(900.0, spares=0)
    narrower["sticks"][0]["width"] = 12.0
    assert rescue_pieces(narrower, [4])[0].way == "spare stick"


def test_a_rest_under_12_in_is_not_ripped() -> None:
    # The piece and its kerf take 103 mm and 150 stay held: 304 mm would do, but are not ripped.
    for rest, way in ((304.0, "spare stick"), (305.0, "leftover")):
        part = {"spares": 0, "width": 12.0, "ripped": True, "overall": 100.0}
        assert rescue_pieces(tables(rest, **part), [4])[0].way == way


def test_a_rest_that_was_ripped_for_one_piece_is_as_narrow_for_the_next() -> None:
    found = rescue_pieces(tables(900.0, spares=0, width=12.0, ripped=True), [4, 5])
    assert [(a.stick, a.rip_to) for a in found] == [("1", 12.0), ("1", None)]


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


def test_runs_of_numbers_are_taken_as_the_tables_print_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    run = CliRunner()
    assert run.invoke(main, ["begin", "lid.toml"]).exit_code == 0
    assert run.invoke(main, ["plan", "lid.toml", "--only", "parts"]).exit_code == 0
    said = run.invoke(main, ["plan", "lid-plan", "--spoiled", "2-4,7"]).output
    assert [line.split()[1] for line in said.splitlines()] == ["2", "3", "4", "7"]
    for words in ("4-2", "-3", ",", "1-", "2-3-4", "99999999"):
        result = run.invoke(main, ["plan", "lid-plan", f"--spoiled={words}"])
        assert result.exit_code == 2, words
        assert "Piece numbers are meant" in result.output


@pytest.mark.parametrize(
    ("left", "changed", "numbers", "said"),
    [
        (
            (900.0,),
            {"spares": 0},
            [5],
            "piece 5 (part A): cut it from the rest of stick 1 at set-up 1; no spare of A is left.",
        ),
        ((900.0,), {"spares": 3}, [5], "piece 5 (part A): take a spare; 2 spares of A are left."),
        (
            (100.0,),
            {"spares": 0},
            [5],
            "piece 5 (part A): no rest is long enough: cut it from a spare stick of oak, new 1, at "
            "set-up 1; no spare of A is left, and 1 spare stick.",
        ),
        (
            (100.0,),
            {"spares": 0},
            [1, 5],
            "piece 5 (part A): cut it from the rest of new 1 at set-up 1; no spare of A is left.",
        ),
        (
            (100.0,),
            {"spares": 0},
            [*range(1, 9), *range(1, 8)],
            "piece 7 (part A): no rest is long enough and no spare stick is left: buy a stick of "
            "oak, new 3, and cut it from that at set-up 1; no spare of A is left.",
        ),
        (
            (900.0,),
            {"spares": 0, "width": 12.7, "ripped": True},
            [5],
            "piece 5 (part A): cut it from the rest of stick 1, ripped to 1/2 in first, full "
            "length, at set-up 1; no spare of A is left.",
        ),
    ],
)
def test_the_sentence_says_from_what_and_at_which_set_up(
    left: tuple[float, ...], changed: dict[str, Any], numbers: list[int], said: str
) -> None:
    plan = tables(*left, **changed)
    assert describe_rescue(rescue_pieces(plan, numbers)[-1], plan) == said
