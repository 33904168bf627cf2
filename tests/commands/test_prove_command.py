"""The prove command: what it says, its exit status, its JSON and its drawing."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner, Result

from tesselath.commands import main

BOND = """\
title = "Loose bond"
size.w = { value = "1 in", least = "1/4 in", most = "4 in", label = "strip width", wood = true }
strip = [{ from = [0, "w / 2"], length = "5 * w", width = "0.9 * w" }]
repeat.steps = [["5 * w", 0], ["2 * w", "w"]]
"""


def prove(*words: str) -> Result:
    return CliRunner().invoke(main, ["prove", *words])


@pytest.fixture
def loose(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a pattern of which a tenth stays bare."""
    monkeypatch.chdir(tmp_path)
    Path("loose.toml").write_text(BOND, encoding="utf-8")
    return tmp_path


def test_a_pattern_that_closes_is_said_to_hold() -> None:
    result = prove("herringbone", "--rounds", "1")
    assert result.exit_code == 0
    assert result.output.startswith("herringbone: holds. It fills any opening")
    assert "pgg" in result.output
    assert "With its tones: p2" in " ".join(result.output.split())


def test_a_figure_says_what_it_covers() -> None:
    result = prove("eight-point-star", "--rounds", "0")
    assert result.exit_code == 0
    words = " ".join(result.output.split())
    assert "It stands alone; no piece lies on another." in words
    assert "93.3 sq in" in words


def test_a_gap_fails_with_its_place_and_sizes(loose: Path) -> None:
    result = prove("loose.toml", "--rounds", "2")
    assert result.exit_code == 1
    words = " ".join(result.output.split())
    assert words.startswith("loose: does not hold. gap: loose.toml, line 4, repeat.steps: ")
    assert "10 % stays bare" in words
    assert "its own sizes: w = 1 in (25.4 mm)" in words
    assert "found at 3 of 3 sets of sizes" in words
    assert "at x " in words
    assert "a = 0, b = -1" in words


def test_json_holds_what_the_sentences_say(loose: Path) -> None:
    failed = prove("loose.toml", "--json", "--rounds", "1")
    answer = json.loads(failed.output)
    assert failed.exit_code == 1
    assert (answer["holds"], answer["tiles"], answer["stands_alone"]) == (False, False, False)
    (fault,) = answer["faults"]
    assert fault["kind"] == "gap"
    assert fault["share"] == pytest.approx(0.1)
    assert fault["sizes"] == {"w": 25.4}
    assert (fault["own_sizes"], fault["found"], fault["opening"]) == (True, 2, None)
    assert len(fault["at"]) == 2
    held = json.loads(prove("chevron", "--json", "--rounds", "0").output)
    assert held["holds"]
    assert held["tiles"]
    assert held["faults"] == []
    assert held["group"] == "pmg"
    repeat = held["repeat"]
    # cos 45 / (c w) strips per area (published: tests/data/tilings.csv), c = 6 in, w = 1 in.
    assert repeat["pieces_per_area"] == pytest.approx(0.5**0.5 / (6 * 25.4 * 25.4))


def test_the_fault_is_drawn_where_it_is_asked_for(loose: Path) -> None:
    result = prove("loose.toml", "--rounds", "0", "--draw", "fault.svg")
    assert result.exit_code == 1
    assert "Drew the place in fault.svg." in result.output
    root = ElementTree.fromstring(Path("fault.svg").read_text(encoding="utf-8"))
    space = "{http://www.w3.org/2000/svg}"
    groups = [group.get("id") for group in root.iter(f"{space}g") if group.get("id")]
    assert groups == ["layer-pieces", "layer-beside", "layer-fault", "layer-frame", "layer-words"]
    words = " ".join(text.text or "" for text in root.iter(f"{space}text"))
    assert "10 % stays bare" in words


def test_nothing_is_drawn_unasked_or_where_nothing_fails(loose: Path) -> None:
    prove("loose.toml", "--rounds", "0")
    result = prove("stair", "--rounds", "0", "--draw", "fault.svg")
    assert result.exit_code == 0
    assert "no fault to draw" in result.output
    assert [path.name for path in loose.iterdir()] == ["loose.toml"]


def test_a_drawing_does_not_replace_a_file_unasked(loose: Path) -> None:
    Path("fault.svg").write_text("mine", encoding="utf-8")
    result = prove("loose.toml", "--rounds", "0", "--draw", "fault.svg")
    assert result.exit_code == 2
    assert Path("fault.svg").read_text(encoding="utf-8") == "mine"
    assert prove("loose.toml", "--rounds", "0", "--draw", "fault.svg", "--force").exit_code == 1
    assert Path("fault.svg").read_text(encoding="utf-8").startswith("<?xml")


def test_a_drawing_that_is_no_svg_is_refused(loose: Path) -> None:
    result = prove("loose.toml", "--rounds", "0", "--draw", "fault.png")
    assert result.exit_code == 2
    assert "ends in .svg" in result.output
    assert not Path("fault.png").exists()


def test_an_unknown_pattern_is_answered_with_the_nearest() -> None:
    result = prove("heringbone")
    assert result.exit_code != 0
    assert "herringbone" in result.output
    assert "Traceback" not in result.output


def test_a_hostile_file_is_one_sentence_and_in_json_too(loose: Path) -> None:
    hostile = BOND.replace('["5 * w", 0]', '["4 * w", "2 * w"]')
    Path("flat.toml").write_text(hostile, encoding="utf-8")
    result = prove("flat.toml")
    assert result.exit_code == 1
    assert len(result.output.strip().splitlines()) == 1
    assert "differ in direction" in result.output
    answer = json.loads(prove("flat.toml", "--json").output)
    assert len(answer["errors"]) == 1


def test_the_same_words_and_drawing_on_any_hash_seed(loose: Path) -> None:
    made = []
    for seed in ("1", "2"):
        command = [
            sys.executable,
            "-m",
            "tesselath",
            "prove",
            "loose.toml",
            "--rounds",
            "3",
            "--draw",
            "fault.svg",
            "--force",
        ]
        result = subprocess.run(
            command, env={**os.environ, "PYTHONHASHSEED": seed}, capture_output=True, check=False
        )
        made.append((result.returncode, result.stdout, Path("fault.svg").read_bytes()))
    assert made[0] == made[1]
    assert made[0][0] == 1
