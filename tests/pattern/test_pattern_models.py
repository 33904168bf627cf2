"""Pattern models: what each key may hold, and nothing unknown."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from pydantic import BaseModel, ValidationError

from tesselath.pattern import pattern_models
from tesselath.pattern.expressions import parse_expression
from tesselath.pattern.pattern_models import PatternModel, PieceModel, SizeModel, StripModel

MODELS = [
    model
    for name in pattern_models.__all__
    if isinstance(model := getattr(pattern_models, name), type) and issubclass(model, BaseModel)
]


def _fields() -> Iterator[tuple[str, str]]:
    for model in MODELS:
        for name, field in model.model_fields.items():
            yield f"{model.__name__}.{name}", field.description or ""


@pytest.mark.parametrize("model", MODELS, ids=lambda m: m.__name__)
def test_every_model_refuses_what_it_does_not_know(model: type[BaseModel]) -> None:
    with pytest.raises(ValidationError) as refusal:
        model.model_validate({"nonsense": 1})
    assert any(e["type"] == "extra_forbidden" for e in refusal.value.errors())


@pytest.mark.parametrize("model", MODELS, ids=lambda m: m.__name__)
def test_every_model_is_frozen(model: type[BaseModel]) -> None:
    assert model.model_config["frozen"]
    assert model.model_config["extra"] == "forbid"


@pytest.mark.parametrize(("field", "description"), list(_fields()))
def test_every_key_says_what_it_is(field: str, description: str) -> None:
    assert len(description) >= 4, field


def test_a_strip_is_square_as_wide_as_w_and_laid_once_unless_it_says_more() -> None:
    strip = StripModel.model_validate({"from": [0, 0], "length": "L"})
    nought = parse_expression(0)
    assert strip.width == parse_expression("w")
    assert strip.cuts == (nought, nought)
    assert strip.turn == nought
    assert strip.times == {}
    assert strip.only is None
    assert strip.tone is None


def test_an_outline_has_three_corners_or_more() -> None:
    with pytest.raises(ValidationError):
        PieceModel.model_validate({"points": [[0, 0], [1, 0]]})


@pytest.mark.parametrize("written", [None, [1], {"k": 1}, True])
def test_only_numbers_and_texts_are_expressions(written: object) -> None:
    with pytest.raises(ValidationError):
        StripModel.model_validate({"from": [written, 0], "length": "L"})


@pytest.mark.parametrize("written", [1, 1.5, "3/4 in", "30 deg"])
def test_a_size_is_a_number_or_a_text(written: object) -> None:
    assert SizeModel.model_validate({"value": written}).value == written


@pytest.mark.parametrize("count", [200, 201])
def test_a_pattern_has_at_most_two_hundred_strips(count: int) -> None:
    table = {"title": "Many", "strip": [{"from": [0, 0], "length": "w"}] * count}
    if count > 200:
        with pytest.raises(ValidationError):
            PatternModel.model_validate(table)
    else:
        assert len(PatternModel.model_validate(table).strip) == count
