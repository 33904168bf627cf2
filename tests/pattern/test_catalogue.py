"""The catalogue: shipped patterns by name, a maker's own by path."""

from __future__ import annotations

from pathlib import Path

import pytest

from tesselath.errors import PatternError
from tesselath.files import patterns_folder
from tesselath.pattern import find_pattern, list_patterns, pattern_names

#: The motifs that every book of strip work has; the catalogue may hold more.
COMMON = ("basket-weave", "chevron", "herringbone", "running-bond", "stepped-diamond")

OWN = 'title = "Mine"\nsize.w = { value = "1 in" }\nstrip = [{ from = [0, 0], length = "w" }]\n'


def test_every_file_of_the_folder_is_found_by_its_name() -> None:
    files = sorted(path.stem for path in patterns_folder().glob("*.toml"))
    assert list(pattern_names()) == files
    assert set(COMMON) <= set(files)
    for name in pattern_names():
        pattern = find_pattern(name)
        assert pattern.name == name
        assert Path(pattern.path).is_file()


def test_the_list_says_what_the_patterns_say_of_themselves() -> None:
    found = [find_pattern(name) for name in pattern_names()]
    heads = [(head.name, head.title, head.note) for head in list_patterns()]
    assert heads == [(pattern.name, pattern.title, pattern.note) for pattern in found]


def test_names_are_lower_case_words_joined_by_hyphens() -> None:
    for name in pattern_names():
        assert name == name.lower()
        assert name.replace("-", "").isalnum()


def test_a_file_of_ones_own_is_found_beside_the_design(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text(OWN, encoding="utf-8")
    assert find_pattern("mine.toml", beside=tmp_path).title == "Mine"


def test_an_own_file_in_another_folder_is_found(tmp_path: Path) -> None:
    (tmp_path / "motifs").mkdir()
    (tmp_path / "motifs" / "mine.toml").write_text(OWN, encoding="utf-8")
    assert find_pattern("motifs/mine.toml", beside=tmp_path).title == "Mine"
    assert find_pattern(str(tmp_path / "motifs" / "mine.toml")).title == "Mine"


def test_a_changed_file_of_ones_own_is_read_anew(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(OWN, encoding="utf-8")
    find_pattern("mine.toml", beside=tmp_path)
    path.write_text(OWN.replace("Mine", "Mine, better"), encoding="utf-8")
    assert find_pattern("mine.toml", beside=tmp_path).title == "Mine, better"


def test_a_name_that_nothing_has_is_refused_with_the_nearest_and_the_list() -> None:
    with pytest.raises(PatternError) as refusal:
        find_pattern("heringbone")
    text = str(refusal.value)
    assert "Did you mean herringbone?" in text
    assert all(name in text for name in pattern_names())


@pytest.mark.parametrize("name", ["mine.toml", "motifs/mine.toml", "../mine.toml"])
def test_a_file_that_is_not_there_is_refused_by_its_name(tmp_path: Path, name: str) -> None:
    with pytest.raises(PatternError, match=name.replace(".", r"\.")):
        find_pattern(name, beside=tmp_path)


def test_a_folder_is_no_pattern_file(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").mkdir()
    with pytest.raises(PatternError):
        find_pattern("mine.toml", beside=tmp_path)
