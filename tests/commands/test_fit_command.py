"""The fit command: what it prints, what it writes, and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner, Result

from tesselath.commands import main
from tesselath.design import read_design
from tesselath.plan import plan_design

TRAY = """\
# A tray whose strips are bought.
name = "Tray"
[opening]
width = "9 3/8"   # as drawn
depth = "6 5/8"
clearance = "0"
[strips]
width = "1"
[field]
pattern = "basket-weave"
angle = "0 deg"
"""


def fit(*words: str) -> Result:
    return CliRunner().invoke(main, ["fit", *words])


@pytest.fixture
def tray(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = Path("tray.toml")
    path.write_text(TRAY, encoding="utf-8")
    return path


def answer(*words: str) -> dict[str, Any]:
    result = fit(*words, "--json")
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.output)
    return found


def test_both_lists_are_shown_with_reasons(tray: Path) -> None:
    words = " ".join(fit("tray.toml", "--top", "1").output.split())
    assert words.startswith("Tray as it is: thinnest piece 5/16 in")
    assert "Keep the strips of 1 in" in words
    assert "1. Make the opening 9 x 6 in" in words
    assert "every piece is whole; thinnest piece grows from 5/16 to 1 in" in words
    assert "Keep the opening" in words
    assert "2. " in words.partition("Keep the opening")[2]
    assert not list(tray.parent.glob("tray-*"))


def test_applying_a_layout_keeps_its_promise(tray: Path) -> None:
    said = answer("tray.toml", "--keep", "strip", "--top", "2", "--apply", "1")
    (found,) = said["lists"]
    assert said["written"] == "tray-fit.toml"
    text = Path("tray-fit.toml").read_text(encoding="utf-8")
    assert "# A tray whose strips are bought." in text
    assert 'width = "9 in"   # as drawn' in text
    totals = plan_design(read_design(Path("tray-fit.toml"))).totals
    score = found["candidates"][0]["score"]
    for key in ("pieces", "parts", "thinnest", "shortest_edge"):
        assert totals[key] == score[key]
    assert tray.read_text(encoding="utf-8") == TRAY


def test_nothing_is_written_over_silently(tray: Path) -> None:
    once = ("tray.toml", "--keep", "strip", "--top", "1", "--apply", "1")
    Path("tray-fit.toml").write_text("mine", encoding="utf-8")
    refused = fit(*once)
    assert refused.exit_code == 2
    assert Path("tray-fit.toml").read_text(encoding="utf-8") == "mine"
    assert fit(*once, "--force").exit_code == 0
    itself = fit(*once, "--into", "tray.toml", "--force")
    assert itself.exit_code == 2
    assert "never written over" in itself.output
    assert tray.read_text(encoding="utf-8") == TRAY


@pytest.mark.parametrize(
    ("words", "status", "told"),
    [
        (("--keep", "strip", "--apply", "9"), 1, "There is no layout of this number; there are "),
        (("--into", "x.toml"), 2, "say which layout is written"),
        (("--keep", "strip", "--picture", "x.png"), 2, "its name ends in .svg"),
        (("--keep", "strip", "--apply", "1", "--into", "x.txt"), 2, "ends in .toml"),
        (("--keep", "both"), 2, "is not one of"),
        (("--top", "0"), 2, "range"),
    ],
)
def test_faults_are_sentences(tray: Path, words: tuple[str, ...], status: int, told: str) -> None:
    result = fit("tray.toml", *words)
    assert result.exit_code == status, result.output
    assert told in result.output
    assert "Traceback" not in result.output


def test_a_missing_design_is_said(tray: Path) -> None:
    result = fit("other.toml")
    assert result.exit_code == 2
    assert "There is no such file" in result.output


def test_the_picture_holds_every_layout(tray: Path) -> None:
    said = answer("tray.toml", "--keep", "strip", "--top", "2", "--picture", "tray.svg")
    root = ElementTree.parse("tray.svg").getroot()
    texts = ["".join(node.itertext()) for node in root.iter("{http://www.w3.org/2000/svg}text")]
    assert "As it is" in texts
    count = sum(len(one["candidates"]) for one in said["lists"])
    assert sum(text.startswith("Layout ") for text in texts) == count > 0
