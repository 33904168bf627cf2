"""Front doors: how a room opens a name when it is asked for it, and loads nothing before.

A room's ``__init__`` lists its doors by module; the same names stand under TYPE_CHECKING, where a
type checker and a reader find them. So ``tesselath --help`` answers at once.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from importlib import import_module

__all__ = ["open_doors"]

_Doors = tuple[list[str], Callable[[str], object], Callable[[], list[str]]]


def open_doors(room: str, homes: Mapping[str, str]) -> _Doors:
    """Make a room's ``__all__``, ``__getattr__`` and ``__dir__`` from its names by module."""
    home = {name: module for module, names in homes.items() for name in names.split()}

    def get(name: str) -> object:
        if name not in home:
            raise AttributeError(f"module {room!r} has no attribute {name!r}")
        value = getattr(import_module(f"{room}.{home[name]}"), name)
        setattr(sys.modules[room], name, value)  # asked once only
        return value

    return sorted(home), get, lambda: sorted(home)
