"""The command line: every help's example runs, faults are sentences, nothing on disk is lost."""

from __future__ import annotations

import json
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from tesselath.cli import main

ROOT = Path(__file__).parents[1]


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_every_commands_help_ends_with_an_example_that_works(bench: Path) -> None:
    order = ["begin", "plan", "patterns", "prove", "gallery"]
    assert sorted(order) == sorted(main.commands)
    for name in order:
        last = run(name, "--help").output.strip().splitlines()[-1].strip()
        assert last.startswith("Example: tesselath ")
        result = run(*shlex.split(last.removeprefix("Example: tesselath ")))
        assert result.exit_code == 0, f"{last}\n{result.output}"


def test_help_lists_every_command(bench: Path) -> None:
    words = run("--help").output
    assert all(name in words for name in main.commands)


def test_begin_refuses_to_overwrite(bench: Path) -> None:
    Path("mine.toml").write_text("keep me", encoding="utf-8")
    result = run("begin", "mine.toml")
    assert result.exit_code == 2
    assert "Traceback" not in result.output
    assert Path("mine.toml").read_text(encoding="utf-8") == "keep me"


def test_a_foreign_folder_is_not_written_into(bench: Path) -> None:
    run("begin", "mine.toml")
    Path("other").mkdir()
    Path("other/letter.txt").write_text("dear", encoding="utf-8")
    result = run("plan", "mine.toml", "--into", "other")
    assert result.exit_code == 2
    assert sorted(p.name for p in Path("other").iterdir()) == ["letter.txt"]
    assert run("plan", "mine.toml", "--into", "other", "--force").exit_code == 0
    assert Path("other/letter.txt").read_text(encoding="utf-8") == "dear"


def test_an_unquoted_fraction_is_answered_with_write_it_in_quotes(bench: Path) -> None:
    text = '[opening]\nwidth = 54 1/2\ndepth = "20"\n[field]\npattern = "stair"\n'
    Path("bad.toml").write_text(text, encoding="utf-8")
    result = run("plan", "bad.toml")
    assert result.exit_code == 2
    assert "quotes" in result.output
    assert "line 2" in result.output
    assert not Path("bad-plan").exists()


def test_a_plan_answers_in_json_and_holds_its_files(bench: Path) -> None:
    run("begin", "mine.toml", "--units", "mm")
    answer = json.loads(run("plan", "mine.toml", "--json").output)
    assert sorted(answer["files"]) == sorted(p.name for p in Path(answer["folder"]).iterdir())
    made = json.loads(Path("mine-plan/plan.json").read_text(encoding="utf-8"))
    assert made["totals"] == answer["totals"]


def test_faults_answer_in_json_too(bench: Path) -> None:
    result = run("plan", "nowhere.toml", "--json")
    assert result.exit_code == 2
    assert json.loads(result.output)["errors"][0]["rule"]


def test_an_output_of_a_later_version_is_said_to_be_not_yet_supported(bench: Path) -> None:
    run("begin", "mine.toml")
    result = run("plan", "mine.toml", "--only", "cards")
    assert result.exit_code == 2
    assert "not yet supported" in result.output


def test_readme_names_the_commands_that_exist_and_its_examples() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert "<!-- main job -->" in text
    assert "<!-- tests -->" in text
    for line in text.splitlines():
        if line.startswith("tesselath "):
            assert line.split()[1] in main.commands
