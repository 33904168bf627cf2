"""The catalogue: finds pattern files, the shipped ones and the maker's own.

Comes in: a name or a path. Goes out: patterns. Refuses: names that no file has, naming the nearest
that one has.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from tesselath.errors import PatternError
from tesselath.files import patterns_folder

if TYPE_CHECKING:
    from tesselath.pattern.pattern import Pattern

__all__ = ["PatternTitle", "find_pattern", "list_patterns", "pattern_names"]


@dataclass(frozen=True, slots=True)
class PatternTitle:
    """What stands at the head of a pattern file: its name in the catalogue, title and note."""

    name: str
    title: str
    note: str


def find_pattern(name: str, *, beside: Path | None = None) -> Pattern:
    """Find a pattern by the name of a shipped one or by a path.

    Parameters
    ----------
    name : str
        A shipped pattern's name, or a path that ends in ``.toml``.
    beside : Path, optional
        The folder from which a relative path counts; left out, the current one.

    Raises
    ------
    PatternError
        If there is none of that name, or its file is faulty.

    Examples
    --------
    >>> find_pattern("herringbone").title
    'Herringbone'
    """
    if name.endswith(".toml") or "/" in name or "\\" in name:
        path = (beside or Path()) / name
        if not path.is_file():
            raise PatternError(f"There is no pattern file {name} beside the design.")
        return _read(path)
    if name in pattern_names():
        return _read_shipped(name)
    from difflib import get_close_matches

    near = get_close_matches(name, pattern_names(), n=1, cutoff=0.5)
    hint = f"Did you mean {near[0]}? " if near else ""
    raise PatternError(
        f"There is no pattern {name}. {hint}There are {', '.join(pattern_names())}; "
        'a file of your own is named with its ending, "my-own.toml".'
    )


def pattern_names() -> tuple[str, ...]:
    """List the shipped patterns, sorted."""
    return tuple(sorted(path.stem for path in patterns_folder().glob("*.toml")))


def list_patterns() -> tuple[PatternTitle, ...]:
    """List the heads of the shipped patterns, sorted by name; nothing more of them is read."""
    return tuple(_read_head(name) for name in pattern_names())


def _read_head(name: str) -> PatternTitle:
    file = tomllib.loads((patterns_folder() / f"{name}.toml").read_text(encoding="utf-8"))
    return PatternTitle(name, file["title"], file.get("note", ""))


@cache
def _read_shipped(name: str) -> Pattern:
    # Reading is pure: a shipped file does not change while the program runs.
    return _read(patterns_folder() / f"{name}.toml")


def _read(path: Path) -> Pattern:
    from tesselath.pattern.pattern_file import read_pattern

    return read_pattern(path)
