"""The mark of a design: six letters by which the card of an older plan is told apart.

Comes in: a design. Goes out: its mark.

The mark follows from what the design says, pattern included, not from how its file is laid
out: a remark, another order of the keys or "1/2 in" for "0.5 in" leave it as it is. What is left
at its usual value does not count, so that a design keeps its mark when a later version learns a
new key.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
from collections.abc import Mapping

from tesselath.design.design import Design
from tesselath.pattern import Expression

__all__ = ["mark_design"]

#: Letters that are not taken for a figure or another letter on a card.
_LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ"
#: Where a thing stands in a file says nothing of the thing.
_NOT_CONTENTS = ("mark", "path", "place", "places")


def mark_design(design: Design) -> str:
    """Give a design its mark.

    Source: SHA-256. Two designs share a mark by chance once in 148 million.
    """
    contents = json.dumps(_plain(design), sort_keys=True, separators=(",", ":"))
    number = int.from_bytes(hashlib.sha256(contents.encode()).digest(), "big")
    mark = ""
    for _ in range(6):
        number, letter = divmod(number, len(_LETTERS))
        mark += _LETTERS[letter]
    return mark


def _plain(value: object) -> object:
    """Turn a value into lists, mappings and text that are written in one way only."""
    if isinstance(value, Expression):
        return value.text
    if dataclasses.is_dataclass(value):
        return {
            field.name: _plain(getattr(value, field.name))
            for field in dataclasses.fields(value)
            if field.name not in _NOT_CONTENTS and getattr(value, field.name) != _usual(field)
        }
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    if isinstance(value, float):
        return repr(value + 0.0)
    if value is None or isinstance(value, str | int):
        return value
    raise TypeError(f"{type(value).__name__} has no place in a design")


def _usual(field: dataclasses.Field[object]) -> object:
    """Find the value that a field has when nothing is said of it; it is its own if it has none."""
    if field.default_factory is not dataclasses.MISSING:
        return field.default_factory()
    return field.default
