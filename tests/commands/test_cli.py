"""The command line: every help's example runs, faults are sentences, nothing on disk is lost."""

from __future__ import annotations

import json
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import HealthCheck, given, settings, strategies as st

from tesselath.commands import main
from tesselath.commands.cli import COMMANDS

ROOT = Path(__file__).parents[2]


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_every_commands_help_ends_with_an_example_that_works(bench: Path) -> None:
    order = [
        "begin",
        "plan",
        "refit",
        "compare",
        "fit",
        "patterns",
        "prove",
        "movement",
        "woods",
        "gallery",
    ]
    assert sorted(order) == sorted(COMMANDS)
    for name in order:
        last = run(name, "--help").output.strip().splitlines()[-1].strip()
        assert last.startswith("Example: tesselath ")
        result = run(*shlex.split(last.removeprefix("Example: tesselath ")))
        assert result.exit_code == 0, f"{last}\n{result.output}"


def test_help_lists_every_command(bench: Path) -> None:
    words = run("--help").output
    assert all(name in words for name in COMMANDS)


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


def test_plan_alone_is_written_when_it_is_asked_for(bench: Path) -> None:
    run("begin", "mine.toml")
    result = run("plan", "mine.toml", "--only", "plan")
    assert result.exit_code == 0, result.output
    assert [path.name for path in Path("mine-plan").iterdir()] == ["plan.json"]


def test_no_output_is_listed_that_cannot_be_written(bench: Path) -> None:
    result = run("plan", "mine.toml", "--only", "shop")
    assert result.exit_code == 2
    assert '"shop". There is no such output; there are plan, map,' in result.output
    assert "steps, shop" not in result.output


def test_readme_names_the_commands_that_exist_and_its_examples() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert "<!-- main job -->" in text
    assert "<!-- tests -->" in text
    for line in text.splitlines():
        if line.startswith("tesselath "):
            assert line.split()[1] in COMMANDS


DESIGN = """
name = "Hall table"
[opening]
width = "14"
depth = "9"
[field]
pattern = "{pattern}"
[field.set]
{sizes}
[strips]
{strips}
"""


def write_design(
    name: str = "top.toml", *, pattern: str = "stair", sizes: str = "", strips: str = ""
) -> Path:
    path = Path(name)
    path.write_text(DESIGN.format(pattern=pattern, sizes=sizes, strips=strips), encoding="utf-8")
    return path


def is_a_sentence(result: Result) -> bool:
    """Whether a command answered in words: neither a traceback nor a crash."""
    told = result.output
    return (
        (result.exception is None or isinstance(result.exception, SystemExit))
        and "Traceback" not in told
        and bool(told.strip())
    )


@pytest.mark.parametrize(
    ("words", "status"),
    [
        ("plan top.toml", 0),
        ("plan top.toml --only map,parts", 0),
        ("plan steep.toml", 1),  # its steps do not repeat: it cannot be made as asked
        ("plan long.toml", 1),  # its pieces are longer than any stick
        ("plan misspelt.toml", 2),
        ("plan nowhere.toml", 2),
        ("plan .", 2),
        ("plan picture.png", 2),
        ("plan", 2),
        ("plan top.toml --only nonsense", 2),
        ("plan top.toml --frobnicate", 2),
        ("nonsense", 2),
        ("begin", 2),
        ("begin top.toml", 2),
        ("begin top", 2),
        ("begin nowhere/top.toml", 2),
        ("begin new.toml --units feet", 2),
        ("begin new.toml --width 54", 1),
        ("patterns", 0),
        ("patterns herringbone", 0),
        ("patterns heringbone", 1),
        ("prove herringbone", 0),
    ],
)
def test_exit_status_says_who_can_put_it_right(bench: Path, words: str, status: int) -> None:
    write_design()
    write_design("misspelt.toml", sizes="width = 3")
    write_design("long.toml", strips="[[stock.stick]]\nlength = 8\n")
    Path("parallel.toml").write_text(
        'title = "t"\nsize.w = { value = "1 in" }\nstrip = [{ from = [0, 0], length = "w" }]\n'
        'repeat.steps = [["w", 0], ["2 * w", 0]]\n',
        encoding="utf-8",
    )
    write_design("steep.toml", pattern="parallel.toml")
    Path("picture.png").write_bytes(b"\x89PNG\r\n\x1a\n\x00\xff")
    before = sorted(p.name for p in bench.iterdir())
    result = run(*shlex.split(words))
    assert result.exit_code == status, result.output
    assert is_a_sentence(result)
    if status:
        # What went wrong left nothing behind.
        assert sorted(p.name for p in bench.iterdir()) == before


@pytest.mark.parametrize(
    "words", ["plan top.toml", "patterns", "patterns stair", "begin new.toml", "prove stair"]
)
def test_every_command_answers_in_json_and_nothing_else(bench: Path, words: str) -> None:
    write_design()
    result = run(*shlex.split(words), "--json")
    assert result.exit_code == 0, result.output
    assert isinstance(json.loads(result.stdout), dict)


def test_a_pattern_is_listed_with_the_keys_of_the_contract(bench: Path) -> None:
    rows = json.loads(run("patterns", "--json").output)["patterns"]
    assert len(rows) > 5
    for row in rows:
        assert {"name", "title", "note", "family", "fills", "sizes", "tones", "path"} <= set(row)
        assert run("patterns", row["name"]).output.startswith(f"{row['name']}: {row['title']}")
    assert [row["name"] for row in rows] == sorted(row["name"] for row in rows)


def test_only_some_files_are_written_and_plan_json_always(bench: Path) -> None:
    write_design()
    run("plan", "top.toml", "--only", " parts , map ")
    assert sorted(p.name for p in Path("top-plan").iterdir()) == [
        "map.svg",
        "parts.csv",
        "plan.json",
    ]


def test_a_plan_made_twice_has_the_same_bytes(bench: Path) -> None:
    write_design(pattern="herringbone")
    for folder in ("one", "other"):
        assert run("plan", "top.toml", "--into", folder).exit_code == 0
    for path in sorted(Path("one").iterdir()):
        assert path.read_bytes() == (Path("other") / path.name).read_bytes(), path.name


def test_a_faulty_design_leaves_the_older_plan_as_it_was(bench: Path) -> None:
    write_design()
    run("plan", "top.toml")
    before = {p.name: p.read_bytes() for p in Path("top-plan").iterdir()}
    write_design(strips="[[stock.stick]]\nlength = 8\n")
    assert run("plan", "top.toml").exit_code == 1
    assert {p.name: p.read_bytes() for p in Path("top-plan").iterdir()} == before


def test_a_folder_may_have_a_name_in_any_letters(bench: Path) -> None:
    write_design("Flurtisch für Öle.toml")
    result = run("plan", "Flurtisch für Öle.toml")
    assert result.exit_code == 0, result.output
    assert Path("Flurtisch für Öle-plan", "plan.json").is_file()


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_no_spoilt_design_ends_in_a_traceback(bench: Path, data: st.DataObject) -> None:
    path = write_design(
        pattern="herringbone", sizes='w = "3/4 in"\nr = 4', strips='gap = "1/32"\nfaces = "one"\n'
    )
    text = path.read_text(encoding="utf-8")
    start = data.draw(st.integers(0, len(text)))
    end = min(len(text), start + data.draw(st.integers(0, 8)))
    put = data.draw(st.sampled_from(["", '"', "0", "9" * 30, "]", "[", "k", "-", "{", "\n", "1/0"]))
    path.write_text(text[:start] + put + text[end:], encoding="utf-8")
    result = run("plan", "top.toml", "--only", "parts")
    assert is_a_sentence(result), (result.output, result.exception)
    assert result.exit_code in (0, 1, 2)


@pytest.mark.parametrize(
    ("length", "more"),
    [
        ('"w * (2 + sin(1e308 * 10))"', ""),
        ('"w"', '[courses]\nlaid = "from centre"\nfirst = "-1000000000000 * w"\nlengths = ["w"]\n'),
    ],
)
def test_no_hostile_pattern_ends_in_a_traceback(bench: Path, length: str, more: str) -> None:
    strip = f"strip = [{{ from = [0, 0], length = {length} }}]\n" if not more else ""
    Path("hostile.toml").write_text(
        f'title = "t"\nsize.w = {{ value = "1 in" }}\n{strip}{more}', encoding="utf-8"
    )
    write_design(pattern="hostile.toml")
    assert is_a_sentence(run("plan", "top.toml"))


def test_readme_shows_what_the_program_prints(bench: Path) -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = text.split("```text\n")[1].split("```")[0]
    design = str(ROOT / "examples" / "hall-table" / "design.toml")
    assert run("plan", design, "--into", "hall-table-plan").output == shown
