"""The kinds of value that are measures: lengths, angles, shares, times, counts and the like.

Comes in: what the file's reader found, and the file's units. Goes out: mm, degrees, shares of 1,
seconds, plain numbers. Refuses: with one sentence, a value of the wrong kind or outside its limits;
the message names neither place nor key.

A kind is a mark on a field of a pydantic model. It reads the value and describes it in the
JSON schema, so that no other wording than ours reaches a maker.

Each function takes the noun its messages begin with, and limits, and gives a ``Kind``. None of
them raises; a ``Kind`` raises ``MeasureError`` when it reads what it cannot take.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import Field, GetJsonSchemaHandler
from pydantic_core import core_schema

from tesselath.errors import Fault, MeasureError
from tesselath.measure import (
    parse_angle,
    parse_duration,
    parse_length,
    parse_share,
    parse_temperature,
    show_angle,
    show_length,
    show_number,
)

__all__ = [
    "Kind",
    "angle",
    "count",
    "default",
    "duration",
    "length",
    "number",
    "pair",
    "per_cent",
    "point",
    "print_scale",
    "refusal",
    "share",
    "tape",
    "temperature",
]

#: The sizes beyond which a length is a slip of the keyboard [mm].
_FAR = 20_000.0
_TAPES = {"in": ("1/8 in", "1/16 in", "1/32 in", "1/64 in"), "mm": ("1 mm", "0.5 mm", "0.1 mm")}


@dataclass(frozen=True)
class Kind:
    """A mark on a field: how its value is read, and how the schema describes it."""

    read: Callable[[object, str], Any]
    schema: Mapping[str, Any]

    def __get_pydantic_core_schema__(self, _source: object, _handler: object) -> Any:
        """Let pydantic read the field by this kind alone."""

        def read(value: object, info: core_schema.ValidationInfo[dict[str, str]]) -> Any:
            return self.read(value, (info.context or {}).get("units", "in"))

        return core_schema.with_info_plain_validator_function(read)

    def __get_pydantic_json_schema__(
        self, _schema: object, _handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Describe the field for editors."""
        return dict(self.schema)


def default(inches: Any, metric: Any = None, **told: Any) -> Any:
    """Give a field its default as a maker would write it, in inch and in metric files."""
    by_units = {"default": inches, "default_mm": inches if metric is None else metric}
    return Field(default=None, json_schema_extra=by_units, **told)


def length(
    noun: str,
    *,
    above: float | None = None,
    least: float | None = None,
    most: float = _FAR,
    signed: bool = False,
    than: str = "more",
    remedy: str = "",
) -> Kind:
    """Make the kind of a length, with its limits [mm]."""

    def read(value: object, units: str) -> float:
        mm = parse_length(value, units=units, signed=True)
        if above is not None and mm <= above:
            raise refusal(value, f"{noun} must be {than} than {_shown(above, units)}.", remedy)
        if least is not None and mm < least:
            raise refusal(value, f"{noun} must be at least {_shown(least, units)}.", remedy)
        if abs(mm) > most:
            raise refusal(value, f"{noun} must be at most {_shown(most, units)}.", remedy)
        return mm

    if not signed and above is None and least is None:
        above = 0.0
    return Kind(read, {"type": ["string", "number"]})


def tape() -> Kind:
    """Make the kind of the finest mark on a tape."""

    def read(value: object, units: str) -> float:
        mm = parse_length(value, units=units)
        for mark in _TAPES[units]:
            if mm == parse_length(mark):
                return mm
        listed = ", ".join(f'"{mark}"' for mark in _TAPES[units])
        noun = "inches" if units == "in" else "millimetres"
        raise refusal(value, f"A tape in {noun} has one of these as its finest mark: {listed}.")

    return Kind(read, {"type": ["string", "number"]})


def pair(noun: str, *, above: float | None = 0.0, most: float = _FAR, signed: bool = False) -> Kind:
    """Make the kind of two lengths in square brackets, across and away [mm]."""
    one = length(noun, above=None if signed else above, most=most, signed=signed)

    def read(value: object, units: str) -> tuple[float, float]:
        if not isinstance(value, list) or len(value) != 2:
            rule = "Two lengths in square brackets are meant here."
            raise refusal(value, rule, 'Write them like ["58", "24"].')
        return one.read(value[0], units), one.read(value[1], units)

    return Kind(read, _list_of(["string", "number"], 2))


def point(*, or_word: str = "") -> Kind:
    """Make the kind of a point, two lengths that may be negative, or one word instead."""
    plain = pair("A coordinate", signed=True)

    def read(value: object, units: str) -> tuple[float, float] | str:
        if or_word and isinstance(value, str):
            if value.strip().lower() == or_word:
                return or_word
            rule = f'Two lengths in square brackets are meant here, or "{or_word}".'
            raise refusal(value, rule, 'Write them like ["1/2", "0"].')
        found: tuple[float, float] = plain.read(value, units)
        return found

    if or_word:
        return Kind(read, {"anyOf": [plain.schema, {"const": or_word}]})
    return Kind(read, plain.schema)


def angle(noun: str, *, least: float, most: float) -> Kind:
    """Make the kind of an angle [degrees]."""

    def read(value: object, _units: str) -> float:
        degrees = parse_angle(value)
        if not least <= degrees <= most:
            rule = f"{noun} lies between {show_angle(least)} and {show_angle(most)}."
            raise refusal(value, rule)
        return degrees

    return Kind(read, {"type": ["string", "number"]})


def share(noun: str, *, most: float) -> Kind:
    """Make the kind of a share of the whole."""

    def read(value: object, _units: str) -> float:
        part = parse_share(value)
        if part > most:
            raise refusal(value, f"{noun} must be at most {show_number(most * 100)} %.")
        return part

    return Kind(read, {"type": ["string", "number"]})


def per_cent(noun: str, *, most: float) -> Kind:
    """Make the kind of a number that is a percentage as it stands, as in humidity = 30."""

    def read(value: object, _units: str) -> float:
        plain = value.strip().removesuffix("%") if isinstance(value, str) else value
        amount = _number(plain, value, noun)
        if not 1 <= amount <= most:
            rule = f"{noun} lies between 1 and {show_number(most)} per cent."
            raise refusal(value, rule, "Write it like 30.")
        return amount

    return Kind(read, {"type": ["string", "number"]})


def number(noun: str, *, least: float, most: float) -> Kind:
    """Make the kind of a plain number."""

    def read(value: object, _units: str) -> float:
        amount = _number(value, value, noun)
        if not least <= amount <= most:
            rule = f"{noun} lies between {show_number(least)} and {show_number(most)}."
            raise refusal(value, rule)
        return amount

    return Kind(read, {"type": "number"})


def count(noun: str, *, least: int, most: int) -> Kind:
    """Make the kind of a whole number."""

    def read(value: object, _units: str) -> int:
        whole = isinstance(value, int) and not isinstance(value, bool)
        if not (whole and isinstance(value, int) and least <= value <= most):
            rule = f"{noun} is a whole number from {least} to {most}."
            if least == most:
                rule = f"{noun} is {least}."
            raise refusal(value, rule)
        return value

    return Kind(read, {"type": "integer", "minimum": least, "maximum": most})


def duration(noun: str, *, least: float, most: float) -> Kind:
    """Make the kind of a time [s]."""

    def read(value: object, _units: str) -> float:
        seconds = parse_duration(value)
        if not least <= seconds <= most:
            rule = f"{noun} lies between {show_number(least)} s and {show_number(most / 60)} min."
            raise refusal(value, rule)
        return seconds

    return Kind(read, {"type": "string"})


def temperature(noun: str, *, least: float, most: float) -> Kind:
    """Make the kind of a temperature [degrees Celsius]."""

    def read(value: object, _units: str) -> float:
        celsius = parse_temperature(value)
        if not least <= celsius <= most:
            rule = f"{noun} lies between {show_number(least)} C and {show_number(most)} C."
            raise refusal(value, rule)
        return celsius

    return Kind(read, {"type": "string"})


def print_scale() -> Kind:
    """Make the kind of a printer's correction, across and along."""
    one = number("A print scale", least=0.8, most=1.25)

    def read(value: object, units: str) -> tuple[float, float]:
        if not isinstance(value, list) or len(value) != 2:
            rule = "Two numbers in square brackets are meant here."
            raise refusal(value, rule, "Write them like [1.0, 1.0].")
        return one.read(value[0], units), one.read(value[1], units)

    return Kind(read, _list_of(["number"], 2))


def _number(plain: object, value: object, noun: str) -> float:
    """Read a plain number, or a text that is one."""
    if isinstance(plain, str) and re.fullmatch(r"\s*-?\d{1,9}(\.\d{1,9})?\s*", plain):
        return float(plain)
    if isinstance(plain, bool) or not isinstance(plain, int | float) or not abs(plain) < 1e15:
        raise refusal(value, f"{noun} is a plain number.")
    return float(plain)


def _shown(mm: float, units: str) -> str:
    if mm == 0:
        return "0"
    if units == "in":
        return show_length(mm, tape=25.4 / 64, units="in")
    return show_length(mm, tape=0.1, units="mm")


def _list_of(types: list[str], items: int) -> dict[str, Any]:
    return {"type": "array", "items": {"type": types}, "minItems": items, "maxItems": items}


def refusal(value: object, rule: str, remedy: str = "") -> MeasureError:
    """Make the error of a value that breaks a rule; who knows the place adds it."""
    wrote = value if isinstance(value, str) else json.dumps(value, default=str)[:60]
    return MeasureError(Fault("", wrote, rule, remedy))
