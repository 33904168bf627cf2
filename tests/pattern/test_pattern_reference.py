"""The reference of the pattern language says what the program accepts, and its starter works."""

from __future__ import annotations

import re

import pytest
from pydantic import BaseModel

from tesselath.files import patterns_folder
from tesselath.pattern import find_pattern, pattern_models, pattern_names, starter_pattern
from tesselath.pattern.functions import FUNCTIONS
from tesselath.pattern.pattern_reference import pattern_reference
from tesselath.prove import prove_pattern
from tops import INCH, box, lay, own

#: What only gathers other tables, or is filled by its own section.
MODELS = [
    model
    for model in vars(pattern_models).values()
    if isinstance(model, type) and issubclass(model, BaseModel) and model.model_fields
]


def test_the_reference_beside_the_patterns_is_up_to_date() -> None:
    kept = patterns_folder() / "README.md"
    if not kept.is_file():
        pytest.skip("the reference has not been written")
    text = kept.read_text(encoding="utf-8")
    assert text == pattern_reference(), (
        "write it anew: python -m tesselath.pattern.pattern_reference"
    )


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_every_key_that_is_accepted_is_listed_with_its_meaning(model: type[BaseModel]) -> None:
    text = pattern_reference()
    rows = [line for line in text.split("\n") if line.startswith("| `")]
    for name, field in model.model_fields.items():
        assert field.description, f"{model.__name__}.{name} says nothing"
        key = f"| `{field.alias or name}` |"
        listed = [row for row in rows if row.startswith(key) and field.description in row]
        assert listed, f"{model.__name__}.{name} is not listed"


def test_every_function_and_pattern_is_listed() -> None:
    text = pattern_reference()
    for function in FUNCTIONS:
        assert f"`{function}`" in text
    shipped = text.split("## The shipped patterns")[1].split("\n")
    for name in pattern_names():
        pattern = find_pattern(name)
        (row,) = [line for line in shipped if line.startswith(f"| `{name}` |")]
        for size in pattern.sizes:
            assert f"{size.name} ({size.label})" in row


def test_the_reference_is_sound_markdown() -> None:
    lines = pattern_reference().split("\n")
    for n, line in enumerate(lines):
        if line.startswith("|"):
            columns = len(re.findall(r"(?<!\\)\|", line))
            above = lines[n - 1]
            assert not above.startswith("|") or len(re.findall(r"(?<!\\)\|", above)) == columns
            assert line.endswith("|")
    assert "PydanticUndefined" not in "\n".join(lines)
    assert "None" not in "\n".join(lines)
    assert [line for line in lines if line.startswith("# ")] == ["# The pattern language"]


def test_a_key_left_out_means_what_the_reference_says() -> None:
    text = pattern_reference()
    section = text.split("### `[[strip]]`")[1].split("###")[0]
    left_out = dict(re.findall(r"\| `(\w+)` \| (\S*) ?\|", section))
    assert left_out["from"] == "needed"
    assert left_out["width"] == "`w`"
    pattern = own(
        'title = "t"\nsize.w = { value = "20 mm" }\nstrip = [{ from = [0, 0], length = "w" }]'
    )
    (strip,) = pattern.strips
    assert strip.width.text == "w"
    assert [cut.text for cut in strip.cuts] == ["0", "0"]
    assert strip.toward.text == "0"


# --- the starter ---


def test_the_starter_loads_lays_and_closes() -> None:
    pattern = own(starter_pattern("My own"), name="my-own")
    assert pattern.title == "My own"
    assert pattern.fills
    for share in (0.0, 0.3, 0.5, 1.0):
        _, clipped = lay(pattern, box(431.0, 287.0), gap=1.5, angle=17.0, share=share)
        assert clipped.covered == pytest.approx((431 + 1.5) * (287 + 1.5), rel=1e-6)
    _, clipped = lay(pattern, box(400.0, 300.0))
    whole = [f for f in clipped.fragments if f.kin >= 0]
    assert whole
    for f in whole:
        assert f.outline[:, 0].max() - f.outline[:, 0].min() == pytest.approx(6 * INCH)
    assert {pattern.tones[f.tone] for f in clipped.fragments} == {"dark", "light"}


def test_the_starter_is_proved() -> None:
    proof = prove_pattern(own(starter_pattern("My own"), name="my-own"))
    assert proof.tiles


@pytest.mark.parametrize("title", ['The "old" floor', "50 % & more", "Ünïcode – tïtle", "it's"])
def test_the_starter_takes_any_title(title: str) -> None:
    assert own(starter_pattern(title)).title == title.replace('"', "'")


def test_a_backslash_in_a_title_is_kept() -> None:
    assert own(starter_pattern("Half \\ half")).title
