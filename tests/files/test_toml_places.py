"""The line of every key, in whatever way a file is written."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given, strategies as st

from tesselath.files import KeyPlace, find_lines, find_places

NAMES = st.text("abcxyz_-09", min_size=1, max_size=4)
QUIRKS = [
    '"a # b"',
    "'c = [d]'",
    '"e \\" f"',
    '"""g\nh = 1\n"""',
    "'''i\n[j]'''",
    "1.5",
    "-3",
    "true",
]
VALUES = st.recursive(
    st.sampled_from(QUIRKS),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(lambda items: f"[{', '.join(items)}]"),
        st.lists(inner, min_size=1, max_size=3).map(
            lambda items: "[ # a remark ]\n" + " , # [\n".join(items) + " ,\n]"
        ),
        st.dictionaries(NAMES, inner, max_size=3).map(
            lambda items: (
                "{ " + ", ".join(f"{key} = {value}" for key, value in items.items()) + " }"
            )
        ),
    ),
    max_leaves=6,
)
ENTRIES = st.dictionaries(NAMES, VALUES, max_size=4)


def every_key(value: Any, path: str = "") -> list[str]:
    """List the path of each key and item that the standard library reads."""
    pairs: list[tuple[str, Any]] = []
    if isinstance(value, dict):
        pairs = list(value.items())
    elif isinstance(value, list):
        pairs = [(str(n), item) for n, item in enumerate(value, 1)]
    paths = []
    for key, item in pairs:
        below = f"{path}.{key}" if path else key
        paths += [below, *every_key(item, below)]
    return paths


@given(
    top=ENTRIES,
    tables=st.dictionaries(NAMES.map(lambda name: f"T{name}"), ENTRIES, max_size=3),
    rows=st.lists(ENTRIES, max_size=3),
    spaced=st.booleans(),
    ending=st.sampled_from(["\n", "\r\n"]),
)
def test_every_key_of_a_file_has_a_place_and_no_other(
    top: dict[str, str],
    tables: dict[str, dict[str, str]],
    rows: list[dict[str, str]],
    spaced: bool,
    ending: str,
) -> None:
    lines = ["# a remark with [brackets] and = signs", ""]
    lines += [f"{key} = {value}" for key, value in top.items()]
    for name, entries in tables.items():
        lines.append(f"  [ {name} . 'in side' ]  # remark" if spaced else f"[{name}.'in side']")
        lines += [f'  "{key}"\t=  {value} # x' for key, value in entries.items()]
    for entries in rows:
        lines += ["[[rows.row]]", *(f"dotted.{key} = {value}" for key, value in entries.items())]
    text = ending.join("\n".join(lines).split("\n"))
    read = tomllib.loads(text)
    assert sorted(find_places(text)) == sorted(every_key(read))


@given(text=st.text("ab.=[]{}\"'#, \n\\1", max_size=40))
def test_a_text_that_is_no_toml_never_breaks_the_scanner(text: str) -> None:
    for place in find_places(text).values():
        assert 1 <= place.line <= text.count("\n") + 1


def test_keys_have_the_line_on_which_they_stand() -> None:
    text = """name = "Hall table"

[opening]
width = "54"
[field]
pattern = "herringbone"
set.r = 5
[[border]]
width = "1 1/2"
[[border]]
width = '24 1/8"'
[[stock.stick]]
length = 96
[woods.walnut]
price = 9.50
"""
    places = find_places(text)
    assert find_lines(text) == {
        "name": 1,
        "opening": 3,
        "opening.width": 4,
        "field": 5,
        "field.pattern": 6,
        "field.set": 7,
        "field.set.r": 7,
        "border": 8,
        "border.1": 8,
        "border.1.width": 9,
        "border.2": 10,
        "border.2.width": 11,
        "stock": 12,
        "stock.stick": 12,
        "stock.stick.1": 12,
        "stock.stick.1.length": 13,
        "woods": 14,
        "woods.walnut": 14,
        "woods.walnut.price": 15,
    }
    assert places["border.2.width"] == KeyPlace(11, 1, '24 1/8"')
    assert places["woods.walnut.price"].wrote == "9.50"
    assert places["opening"].wrote is None


def test_items_of_a_list_over_several_lines_have_their_own_line() -> None:
    text = 'points = [\n  ["-27", "-10"], # front left\n  ["27", 0],\n]\nnext = 1'
    places = find_places(text)
    assert places["points.2.1"] == KeyPlace(3, 4, "27")
    assert places["points.2"].wrote == '["27", 0]'
    assert places["next"].line == 5


def test_tables_within_repeated_tables_belong_to_the_last_one() -> None:
    text = "[[a]]\n[a.b]\nc = 1\n[[a]]\n[[a.d]]\n[[a.d]]\ne = 2"
    assert find_lines(text)["a.1.b.c"] == 3
    assert find_lines(text)["a.2.d.2.e"] == 7


def test_a_key_may_be_empty() -> None:
    assert find_lines("'' = 1\n[[\"\"]]\n[['']]\n''.b = 2")[".2..b"] == 4


@pytest.mark.parametrize("text", ["", "\n\n", "# only a remark", "\ufeffa"])
def test_an_empty_file_has_no_keys(text: str) -> None:
    assert find_places(text) == {}
