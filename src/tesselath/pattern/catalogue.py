"""The catalogue: finds pattern files, the shipped ones and the maker's own.

Comes in: a name or a path. Goes out: patterns. Refuses: names that no file has, naming the
nearest that one has.
"""

from __future__ import annotations

from difflib import get_close_matches
from functools import cache
from pathlib import Path

from tesselath.errors import PatternError
from tesselath.files import patterns_folder
from tesselath.pattern.pattern import Pattern
from tesselath.pattern.pattern_file import read_pattern

__all__ = ["find_pattern", "pattern_names"]


def find_pattern(name: str, *, beside: Path | None = None) -> Pattern:
    """Find a pattern by the name of a shipped one or by a path.

    Parameters
    ----------
    name : str
        A shipped pattern's name, or a path that ends in ``.toml``.
    beside : Path, optional
        The folder from which a relative path counts; left out, the current one.

    Returns
    -------
    Pattern
        The pattern, read and checked.

    Raises
    ------
    PatternError
        If there is none of that name, or its file is faulty.

    Notes
    -----
    Source: own derivation.

    Examples
    --------
    >>> find_pattern("herringbone").title
    'Herringbone'
    """
    if name.endswith(".toml") or "/" in name or "\\" in name:
        path = (beside or Path()) / name
        if not path.is_file():
            raise PatternError(f"There is no pattern file {name} beside the design.")
        return read_pattern(path)
    if name in pattern_names():
        return _read_shipped(name)
    near = get_close_matches(name, pattern_names(), n=1, cutoff=0.5)
    hint = f"Did you mean {near[0]}? " if near else ""
    raise PatternError(
        f"There is no pattern {name}. {hint}There are {', '.join(pattern_names())}; "
        'a file of your own is named with its ending, "my-own.toml".'
    )


def pattern_names() -> tuple[str, ...]:
    """List the shipped patterns, sorted."""
    return tuple(sorted(path.stem for path in patterns_folder().glob("*.toml")))


@cache
def _read_shipped(name: str) -> Pattern:
    # Reading is pure: a shipped file does not change while the program runs.
    return read_pattern(patterns_folder() / f"{name}.toml")
