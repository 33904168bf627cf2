"""The plan folder: whole or not at all, nobody else's files touched."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, strategies as st

from effort import examples
from tesselath.errors import OutputError
from tesselath.files import write_file, write_folder
from tesselath.files.folder import FILE_NAMES

NAMES = st.sets(st.sampled_from(FILE_NAMES), max_size=6)

OURS = '{"format": "tesselath-plan/1"}'
OLD = {"plan.json": OURS, "map.svg": "old map", "parts.csv": "old parts"}
NEW = {"plan.json": OURS + "\n", "map.svg": "new map", "pieces.csv": "new pieces"}


def _held(folder: Path) -> dict[str, str]:
    return {p.name: p.read_text(encoding="utf-8") for p in folder.iterdir() if p.is_file()}


def _breaking(times: int, real: Callable[..., Any]) -> Callable[..., Any]:
    """A call that works some times and then finds the disk full."""
    left = [times]

    def call(*args: Any, **options: Any) -> Any:
        if not left[0]:
            raise OSError(28, "No space left on device")
        left[0] -= 1
        return real(*args, **options)

    return call


def test_a_new_folder_holds_what_was_written_and_nothing_beside_it(tmp_path: Path) -> None:
    folder = tmp_path / "a" / "b" / "plan"
    write_folder(OLD, into=folder)
    assert _held(folder) == OLD
    assert [p.name for p in folder.parent.iterdir()] == ["plan"]


def test_texts_and_bytes_are_written_as_they_are(tmp_path: Path) -> None:
    content: dict[str, str | bytes] = {
        "plan.json": OURS,
        "map.svg": "½ in\r\n",
        "plan.pdf": b"%PDF\x00\xff",
    }
    write_folder(content, into=tmp_path / "plan")
    assert (tmp_path / "plan" / "map.svg").read_bytes() == "½ in\r\n".encode()
    assert (tmp_path / "plan" / "plan.pdf").read_bytes() == b"%PDF\x00\xff"


def test_an_older_plan_is_renewed_and_what_it_no_longer_has_is_taken_away(tmp_path: Path) -> None:
    write_folder(OLD, into=tmp_path / "plan")
    write_folder(NEW, into=tmp_path / "plan")
    assert _held(tmp_path / "plan") == NEW


def test_a_makers_own_files_in_a_plan_folder_are_kept(tmp_path: Path) -> None:
    write_folder(OLD, into=tmp_path / "plan")
    (tmp_path / "plan" / "what the tape read.txt").write_text("20 1/16", encoding="utf-8")
    (tmp_path / "plan" / "photos").mkdir()
    (tmp_path / "plan" / "photos" / "one.jpg").write_bytes(b"jpg")
    write_folder(NEW, into=tmp_path / "plan")
    assert _held(tmp_path / "plan")["what the tape read.txt"] == "20 1/16"
    assert (tmp_path / "plan" / "photos" / "one.jpg").read_bytes() == b"jpg"


@pytest.mark.parametrize(
    "content",
    [
        {"letter.txt": "dear"},
        {"plan.json": "{}"},
        {"plan.json": "not json"},
        {"plan.json": "[1]"},
        {"plan.json": '{"format": 7}'},
        {"plan.json": '{"format": "another-plan/1"}'},
        {".hidden": ""},
    ],
)
def test_a_folder_that_no_plan_made_is_left_alone(tmp_path: Path, content: dict[str, str]) -> None:
    folder = tmp_path / "mine"
    folder.mkdir()
    for name, text in content.items():
        (folder / name).write_text(text, encoding="utf-8")
    with pytest.raises(OutputError, match="--force"):
        write_folder(NEW, into=folder)
    assert _held(folder) == content
    assert [p.name for p in tmp_path.iterdir()] == ["mine"]


def test_it_is_written_into_when_the_maker_says_so_and_keeps_what_was_there(tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    folder.mkdir()
    (folder / "letter.txt").write_text("dear", encoding="utf-8")
    write_folder(NEW, into=folder, force=True)
    assert _held(folder) == {**NEW, "letter.txt": "dear"}


def test_an_empty_folder_is_as_good_as_none(tmp_path: Path) -> None:
    (tmp_path / "plan").mkdir()
    write_folder(OLD, into=tmp_path / "plan")
    assert _held(tmp_path / "plan") == OLD


def test_a_file_of_that_name_is_no_folder(tmp_path: Path) -> None:
    (tmp_path / "plan").write_text("mine", encoding="utf-8")
    for force in (False, True):
        with pytest.raises(OutputError, match="not a folder"):
            write_folder(OLD, into=tmp_path / "plan", force=force)
    assert (tmp_path / "plan").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("written", [0, 1, 2])
@pytest.mark.parametrize("before", [None, OLD])
def test_a_full_disk_leaves_what_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, written: int, before: dict[str, str] | None
) -> None:
    folder = tmp_path / "plan"
    if before is not None:
        write_folder(before, into=folder)
    monkeypatch.setattr(Path, "write_bytes", _breaking(written, Path.write_bytes))
    with pytest.raises(OutputError, match="no space left on device"):
        write_folder(NEW, into=folder)
    if before is None:
        assert list(tmp_path.iterdir()) == []
    else:
        assert _held(folder) == before
        assert [p.name for p in tmp_path.iterdir()] == ["plan"]


@pytest.mark.parametrize(
    "moved",
    [0, 1, 2],
)
def test_a_lost_connection_while_files_change_places_leaves_one_plan_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moved: int
) -> None:
    folder = tmp_path / "plan"
    write_folder(OLD, into=folder)
    monkeypatch.setattr(Path, "replace", _breaking(moved, Path.replace))
    with pytest.raises(OutputError):
        write_folder(NEW, into=folder)
    assert _held(folder) in (OLD, NEW)
    assert [p.name for p in tmp_path.iterdir()] == ["plan"]


def test_a_place_that_cannot_be_written_is_told_with_the_reason(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(OutputError) as refusal:
        write_folder(OLD, into=tmp_path / "file" / "plan")
    assert "cannot be written (" in str(refusal.value)
    assert "--into" in str(refusal.value)
    assert refusal.value.exit_status == 2


@examples(15)
@given(NAMES, NAMES)
def test_a_folder_holds_the_latest_plan_and_nothing_of_an_older_one(
    tmp_path_factory: pytest.TempPathFactory, first: set[str], second: set[str]
) -> None:
    folder = tmp_path_factory.mktemp("bench") / "plan"
    for plan, names in ((OURS, first), (OURS + "\n", second)):
        write_folder({**dict.fromkeys(sorted(names), "x"), "plan.json": plan}, into=folder)
    assert set(_held(folder)) == second | {"plan.json"}


def test_some_files_of_the_same_plan_are_renewed_beside_the_others(tmp_path: Path) -> None:
    write_folder(OLD, into=tmp_path / "plan")
    write_folder({"plan.json": OURS, "map.svg": "new map"}, into=tmp_path / "plan")
    assert _held(tmp_path / "plan") == {**OLD, "map.svg": "new map"}


def test_a_file_is_written_once_and_replaced_only_when_the_maker_says_so(tmp_path: Path) -> None:
    path = tmp_path / "hall-table.toml"
    write_file(path, "one")
    with pytest.raises(OutputError, match="stays as it is"):
        write_file(path, "two")
    assert path.read_text(encoding="utf-8") == "one"
    write_file(path, "two", force=True)
    assert path.read_text(encoding="utf-8") == "two"
    assert [p.name for p in tmp_path.iterdir()] == ["hall-table.toml"]


def test_a_file_can_be_read_by_others_and_has_plain_line_ends(tmp_path: Path) -> None:
    path = tmp_path / "hall-table.toml"
    write_file(path, "a\nb\n")
    assert path.read_bytes() == b"a\nb\n"
    if os.name == "posix":
        assert path.stat().st_mode & 0o777 == 0o644


@pytest.mark.parametrize("force", [False, True])
def test_a_folder_is_not_replaced_by_a_file(tmp_path: Path, force: bool) -> None:
    (tmp_path / "top.toml").mkdir()
    with pytest.raises(OutputError):
        write_file(tmp_path / "top.toml", "x", force=force)
    assert (tmp_path / "top.toml").is_dir()


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="no such file or directory"):
        write_file(tmp_path / "nowhere" / "top.toml", "x")


def test_a_file_that_could_not_be_put_in_place_leaves_nothing_beside(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Path, "replace", _breaking(0, Path.replace))
    with pytest.raises(OutputError):
        write_file(tmp_path / "top.toml", "x")
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_cannot_be_written_is_not_sent_to_an_option_of_another_command(
    tmp_path: Path,
) -> None:
    with pytest.raises(OutputError) as refusal:
        write_file(tmp_path / "nowhere" / "top.toml", "x")
    assert "--into" not in str(refusal.value)


def test_figures_lie_in_a_folder_of_their_own_and_go_with_their_plan(tmp_path: Path) -> None:
    into = tmp_path / "plan"
    write_folder({"plan.json": OURS, "figures/1.svg": "one", "figures/2.svg": "two"}, into=into)
    assert (into / "figures/2.svg").read_text(encoding="utf-8") == "two"
    newer = OURS + "\n"
    write_folder({"plan.json": newer, "figures/1.svg": "new"}, into=into)
    assert (into / "figures/1.svg").read_text(encoding="utf-8") == "new"
    assert not (into / "figures/2.svg").exists()
