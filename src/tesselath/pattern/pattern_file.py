"""The pattern file: reads a motif written as text into a ``Pattern``.

Comes in: a path. Goes out: a frozen ``Pattern`` whose every expression is parsed, whose names are
all known and whose lengths and numbers are not mixed. Refuses: all faults at once, each with file,
line and key; syntax faults one at a time with line and column.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

from pydantic import ValidationError

from tesselath.errors import Fault, PatternError
from tesselath.files import explain_toml, find_lines
from tesselath.pattern.pattern import (
    Pattern,
)
from tesselath.pattern.pattern_models import (
    PatternModel,
)
from tesselath.pattern.pattern_reader import PatternReader

__all__ = ["parse_pattern", "read_pattern"]


def read_pattern(path: Path) -> Pattern:
    """Read a pattern file."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError):
        rule = "The pattern file cannot be read."
        raise PatternError(Fault(path.name, None, rule, "It must be a UTF-8 text.")) from None
    return parse_pattern(text, name=path.stem, path=str(path), file_name=path.name)


def parse_pattern(text: str, *, name: str, path: str, file_name: str) -> Pattern:
    """Read the text of a pattern file; see `read_pattern`."""
    try:
        tables = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise PatternError(explain_toml(error, text=text, file_name=file_name)) from None
    reader = PatternReader(file_name, find_lines(text))
    try:
        model = PatternModel.model_validate(tables)
    except ValidationError as error:
        raise PatternError(reader.complaints(error)) from None
    pattern = reader.pattern(model, name=name, path=path)
    if reader.faults:
        raise PatternError(reader.in_order())
    return pattern
