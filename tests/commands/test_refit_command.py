"""The refit command: a plan of its own, nothing lost, one sentence for what cannot be."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import given, strategies as st

from tesselath.commands import main
from tesselath.commands.refit_command import read_numbers
from tesselath.measure import show_numbers
from tops import top

TEXT = top(width="10 in", depth="6 in", angle="45 deg")


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("planned")
    (folder / "my.toml").write_text(TEXT, encoding="utf-8")
    assert run("plan", str(folder / "my.toml"), "--only", "parts").exit_code == 0
    return folder


@pytest.fixture
def bench(planned: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A design, the plan that was made of it, and the opening as it has turned out."""
    shutil.copytree(planned, tmp_path, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)
    Path("my.toml").write_text(TEXT.replace("6 in", "5 15/16 in"), encoding="utf-8")
    return tmp_path


def test_the_rest_goes_into_a_folder_of_its_own(bench: Path) -> None:
    before = {p.name: p.read_bytes() for p in Path("my-plan").iterdir()}
    result = run("refit", "my.toml", "--from", "my-plan", "--cut", "1-3, 5", "--only", "map,parts")
    assert result.exit_code == 0, result.output
    assert "4 pieces are cut already" in " ".join(result.output.split())
    assert "Wrote my-refit: map.svg, parts.csv, plan.json" in result.output
    assert {p.name: p.read_bytes() for p in Path("my-plan").iterdir()} == before
    made = json.loads(Path("my-refit/plan.json").read_text(encoding="utf-8"))
    assert made["refit"]["cut"] == [1, 2, 3, 5]
    old = json.loads(Path("my-plan/plan.json").read_text(encoding="utf-8"))
    was = {row["number"]: row["outline"] for row in old["pieces"]}
    assert all(row["outline"] == was[row["number"]] for row in made["pieces"] if row.get("cut"))


def test_the_map_draws_what_is_cut_apart_and_says_so(bench: Path) -> None:
    run("refit", "my.toml", "--from", "my-plan", "--cut", "1-3,5", "--only", "map")
    drawing = Path("my-refit/map.svg").read_text(encoding="utf-8")
    assert "cut-already" in drawing
    assert "cut already, 4 pieces: not to be cut again" in drawing
    numbers = re.findall(r'id="number-(\d+)"', drawing)
    made = json.loads(Path("my-refit/plan.json").read_text(encoding="utf-8"))
    assert sorted(map(int, numbers)) == sorted(row["number"] for row in made["pieces"])


def test_pieces_that_do_not_fit_are_outlined_and_told(bench: Path) -> None:
    every = f"1-{len(json.loads(Path('my-plan/plan.json').read_text())['pieces'])}"
    result = run("refit", "my.toml", "--from", "my-plan", "--cut", every, "--only", "map,parts")
    assert result.exit_code == 0, result.output
    assert "sticks out of the opening by 1/32 in" in " ".join(result.output.split())
    drawing = Path("my-refit/map.svg").read_text(encoding="utf-8")
    count = len(re.findall("misfit", drawing))
    assert count > 0
    assert "does not fit," in drawing


def test_every_file_of_a_refit_is_written(bench: Path) -> None:
    result = run("refit", "my.toml", "--from", "my-plan/plan.json", "--cut", "inner", "--json")
    assert result.exit_code == 0, result.output
    told = json.loads(result.stdout)
    assert sorted(told["files"]) == sorted(p.name for p in Path("my-refit").iterdir())
    assert told["refit"]["cut"]
    assert [row["stage"] for row in told["stages"]] == ["edge", "corner"]
    compared = run("compare", "my-plan", "my-refit", "--picture", "both.svg")
    assert compared.exit_code == 0, compared.output
    rescued = run("plan", "my-refit", "--spoiled", f"1,{told['refit']['cut'][0]}")
    assert rescued.exit_code == 0, rescued.output


def test_a_refit_made_twice_has_the_same_bytes(bench: Path) -> None:
    for folder in ("one", "other"):
        result = run("refit", "my.toml", "--from", "my-plan", "--cut", "inner", "--into", folder)
        assert result.exit_code == 0
    for path in sorted(Path("one").iterdir()):
        assert path.read_bytes() == (Path("other") / path.name).read_bytes(), path.name


def test_a_second_refit_goes_on_from_the_folder_of_the_first(bench: Path) -> None:
    run("refit", "my.toml", "--from", "my-plan", "--cut", "inner", "--only", "parts")
    result = run("refit", "my.toml", "--from", "my-refit", "--cut", "edge", "--only", "parts")
    assert result.exit_code == 2
    assert "it stays as it is" in result.output
    result = run(
        "refit",
        "my.toml",
        "--from",
        "my-refit",
        "--cut",
        "edge",
        "--only",
        "parts",
        "--into",
        "my-second",
    )
    assert result.exit_code == 0, result.output
    stages = json.loads(Path("my-second/plan.json").read_text())["stages"]
    assert [row["stage"] for row in stages] == ["corner"]


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        ("my.toml --from my-plan --cut 1-2 --moved 1/32,-1/16", 0, "Wrote my-refit"),
        ("my.toml --from my-plan", 2, "--cut"),
        ("my.toml --cut 1", 2, "--from"),
        ("my.toml --from my-plan --cut 0", 1, "no piece 0"),
        ("my.toml --from my-plan --cut 1-99999999", 1, "no piece"),
        ("my.toml --from my-plan --cut 7-3", 2, "from the lower number up"),
        ("my.toml --from my-plan --cut walnut", 2, "inner or edge or corner"),
        ("my.toml --from my-plan --cut ,", 2, "Say which pieces"),
        ("my.toml --from my-plan --cut 1 --moved 1/32", 2, "Two lengths"),
        ("my.toml --from my-plan --cut 1 --moved 1/32,left", 2, "left"),
        ("my.toml --from my-plan --cut 1 --into my-plan", 2, "it stays as it is"),
        ("my.toml --from my-plan --cut 1 --only nonsense", 2, "no such output"),
        ("my.toml --from nowhere --cut 1", 2, "no plan of this version"),
        ("my.toml --from my.toml --cut 1", 2, "no plan of this version"),
        ("my.toml --from broken.json --cut 1", 2, "no plan of this version"),
        ("nowhere.toml --from my-plan --cut 1", 2, "nowhere.toml"),
        ("other.toml --from my-plan --cut 1", 1, "another pattern"),
        ("my.toml --from my-plan --cut 1 --into other", 2, "no plan made"),
    ],
)
def test_refit_answers_in_a_sentence_and_loses_nothing(
    bench: Path, words: str, status: int, said: str
) -> None:
    Path("other").mkdir()
    Path("other/letter.txt").write_text("dear", encoding="utf-8")
    Path("other.toml").write_text(TEXT.replace("herringbone", "chevron"), encoding="utf-8")
    text = Path("my-plan/plan.json").read_text(encoding="utf-8")
    Path("broken.json").write_text(text.replace('"outline"', '"shape"'), encoding="utf-8")
    before = {p: p.read_bytes() for p in sorted(bench.rglob("*")) if p.is_file()}
    result = run("refit", *words.split(), *([] if "--only" in words else ["--only", "parts"]))
    assert result.exit_code == status, result.output
    assert said in result.output
    assert "Traceback" not in result.output
    after = {p: p.read_bytes() for p in sorted(bench.rglob("*")) if p.is_file()}
    assert {p: after.get(p) for p in before} == before
    if status:
        assert after == before


@given(st.sets(st.integers(1, 60), min_size=1), st.sampled_from([", ", ",", " ", " , "]))
def test_numbers_are_read_as_the_program_prints_them(numbers: set[int], between: str) -> None:
    shown = show_numbers(sorted(numbers)).replace(" ", between)
    assert read_numbers(shown, {"stages": []}) == tuple(sorted(numbers))
