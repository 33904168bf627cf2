"""Where things lie: the shipped patterns, and the checkout when the program runs in one.

The checkout is looked for upward from this file, so that no room needs to know how deep it lies.
"""

from __future__ import annotations

from pathlib import Path

__all__ = ["examples_folder", "patterns_folder"]

_PACKAGE = Path(__file__).parents[1]


def patterns_folder() -> Path:
    """Say where the shipped patterns lie: in the package, or beside src in a checkout."""
    inside = _PACKAGE / "patterns"
    return inside if inside.is_dir() else _checkout() / "patterns"


def examples_folder() -> Path | None:
    """Find the examples beside the source, in a checkout; None in an installed package."""
    folder = _checkout() / "examples"
    return folder if folder.is_dir() else None


def _checkout() -> Path:
    """Find the nearest folder above the package that holds ``patterns``."""
    above = (folder for folder in _PACKAGE.parents if (folder / "patterns").is_dir())
    return next(above, _PACKAGE)
