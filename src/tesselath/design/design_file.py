"""The design file: reads what the maker wrote into a ``Design``.

Comes in: the path of a TOML file. Goes out: one frozen ``Design`` in mm and degrees, with every
default filled in. Refuses: a file that cannot be read, with line and column; and all that is wrong
in one that can, at once and in file order, each with file, line and key.

    text -> tables -> models -> checks among keys -> patterns -> Design
"""

from __future__ import annotations

import copy
import dataclasses
import re
import tomllib
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from tesselath.design.design import Design
from tesselath.design.design_build import build_design
from tesselath.design.design_checks import check_together
from tesselath.design.design_faults import (
    Complaint,
    Places,
    explain_findings,
    in_file_order,
    inner_table,
)
from tesselath.design.design_mark import mark_design
from tesselath.design.design_models import DesignModel, Table
from tesselath.design.design_zones import fill_zones
from tesselath.errors import DesignError, Fault
from tesselath.files import KeyPlace, explain_toml, find_places
from tesselath.measure import british

__all__ = ["DesignFileError", "parse_design", "read_design"]

#: A design is a page or two; more is some other file [bytes].
_LARGEST_FILE = 1_000_000
#: Rounds of leaving out faulty keys before the rest is left unchecked; two are usual.
_MOST_ROUNDS = 10
#: Tables and lists within each other; the deepest of a design is a medallion's corner, 4.
_DEEPEST = 20


class DesignFileError(DesignError):
    """A design file that cannot be read, or says what has no meaning."""

    exit_status = 2


def read_design(path: Path) -> Design:
    """Read a design file.

    Returns
    -------
    Design
        The design, checked [mm, degrees].

    Raises
    ------
    DesignFileError
        If the file cannot be read, or with all that is wrong in it.
    DesignError
        If all that is wrong is that this version does not build a thing it asks for.
    """
    try:
        with path.open("rb") as file:
            content = file.read(_LARGEST_FILE + 1)
    except (OSError, ValueError) as error:
        raise DesignFileError(Fault(str(path), None, *_unreadable(path, error))) from None
    if len(content) > _LARGEST_FILE:
        raise DesignFileError(Fault(path.name, None, "This file is too long to be a design."))
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        rule = "The file is not UTF-8 text."
        raise DesignFileError(
            Fault(path.name, None, rule, "Save it as plain text in UTF-8.")
        ) from None
    return parse_design(text, file_name=path.name, beside=path.parent)


def parse_design(text: str, *, file_name: str, beside: Path | None) -> Design:
    """Read the text of a design file.

    Parameters
    ----------
    file_name : str
        Its name, for messages, and for the design's name where none is given.
    beside : Path or None
        The folder from which a path to a pattern file counts; None for the current one.

    Returns
    -------
    Design
        The design, checked [mm, degrees].

    Raises
    ------
    DesignFileError
        With all that is wrong in it.
    DesignError
        If all that is wrong is that this version does not build a thing it asks for.

    Examples
    --------
    >>> text = '''
    ... opening = { width = "54", depth = "20" }
    ... field.pattern = "herringbone"
    ... '''
    >>> parse_design(text, file_name="hall-table.toml", beside=None).name
    'Hall table'
    """
    text = text.removeprefix("\ufeff")
    try:
        tables = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise DesignFileError(explain_toml(error, text=text, file_name=file_name)) from None
    if _depth(tables) > _DEEPEST:
        rule = "Its brackets are nested too deep for a design."
        raise DesignFileError(Fault(file_name, None, rule))
    tables, places = _spell(tables, file_name=file_name, found=find_places(text))
    model, complaints = _check_keys(tables, places)
    faulty = {key for complaint in complaints for key in (complaint.key, complaint.meant) if key}
    complaints += check_together(model, faulty=faulty)
    zones = fill_zones(model, beside=beside, faulty=faulty)
    complaints += zones.complaints
    faults = [*in_file_order(complaints, places=places), *zones.faults]
    if faults:
        raise DesignFileError(faults)
    design = build_design(
        model,
        fillings=zones.fillings,
        tones=zones.tones,
        places={key: places.place(key) for key in places.found},
        name=model.name or _words_of(file_name),
    )
    return dataclasses.replace(design, mark=mark_design(design))


def _unreadable(path: Path, error: Exception) -> tuple[str, str]:
    """Say why a file cannot be opened, and what would do."""
    # Some systems answer a folder as a file that may not be read.
    if isinstance(error, IsADirectoryError | PermissionError) and path.is_dir():
        inside = sorted(path.glob("*.toml"))
        remedy = f"Give the file in it, {inside[0]}." if inside else "Give a design file."
        return "This is a folder, not a design.", remedy
    if isinstance(error, FileNotFoundError | NotADirectoryError):
        return "There is no such file.", f"tesselath begin {path} writes one to start from."
    if isinstance(error, PermissionError):
        return "This file may not be read.", "Ask for the right to read it."
    return "This file cannot be read.", "Check its name and the disk."


def _depth(tables: dict[str, Any]) -> int:
    """Count how deep tables and lists stand within each other."""
    depth = 0
    level: list[Any] = [tables]
    while level:
        depth += 1
        inner = [list(item.values()) if isinstance(item, dict) else item for item in level]
        level = [item for items in inner for item in items if isinstance(item, dict | list)]
    return depth


def _spell(
    tables: dict[str, Any], *, file_name: str, found: dict[str, KeyPlace]
) -> tuple[dict[str, Any], Places]:
    """Give keys their British spelling, in the tables and among the places."""
    renamed: dict[str, str] = {}
    spelled = _spell_table(tables, DesignModel, "", renamed)
    places: dict[str, KeyPlace] = {}
    for key, place in found.items():
        path = ""
        for part in key.split("."):
            path = f"{path}.{part}" if path else part
            path = renamed.get(path, path)
        places.setdefault(path, place)
    return spelled, Places(file_name, places)


def _spell_table(
    written: Any, table: type[Table] | None, path: str, renamed: dict[str, str]
) -> Any:
    if isinstance(written, list):
        return [
            _spell_table(item, table, f"{path}.{number}", renamed)
            for number, item in enumerate(written, 1)
        ]
    if not isinstance(written, dict) or table is None:
        return written
    spelled: dict[str, Any] = {}
    known = table.keys()
    for key, value in written.items():
        here = british(key)
        right = here if key not in known and here in known and here not in written else key
        below = f"{path}.{right}" if path else right
        if right != key:
            renamed[f"{path}.{key}" if path else key] = below
        inner, by_name = inner_table(table, right)
        if by_name and isinstance(value, dict):
            spelled[right] = {
                name: _spell_table(item, inner, f"{below}.{name}", renamed)
                for name, item in value.items()
            }
        else:
            spelled[right] = _spell_table(value, inner, below, renamed)
    return spelled


def _check_keys(tables: dict[str, Any], places: Places) -> tuple[DesignModel, list[Complaint]]:
    """Check each key; where some are faulty, give the design without them as well."""
    units = str(tables.get("units", "in")).strip().lower()
    context = {"units": "mm" if units.startswith(("mm", "milli")) else "in"}
    complaints: list[Complaint] = []
    left = copy.deepcopy(tables)
    for _ in range(_MOST_ROUNDS):
        try:
            return DesignModel.model_validate(left, context=context), complaints
        except ValidationError as error:
            # A table left out may then be missing itself: that is no fault of the maker's.
            complaints = complaints or explain_findings(error, places=places)
            for finding in error.errors(include_url=False):
                _leave_out(left, finding["loc"], missing=finding["type"] == "missing")
    return _plain_design(context["units"]), complaints


def _leave_out(tables: dict[str, Any], loc: tuple[str | int, ...], *, missing: bool) -> None:
    """Take a faulty entry out, or put the least in where one is missing."""
    numbers = [step for step, part in enumerate(loc) if isinstance(part, int)]
    if numbers:
        loc, missing = loc[: numbers[0]], False  # a list goes as a whole: its items are counted
    if missing and loc in (("opening",), ("field",)):
        tables[str(loc[0])] = {}
    elif missing and loc == ("field", "pattern"):
        tables["field"]["pattern"] = "?"
    else:
        table: Any = tables
        for part in loc[: -2 if missing else -1]:
            table = table.get(part, {})
        table.pop(loc[-2 if missing else -1], None)


def _plain_design(units: str) -> DesignModel:
    """Give a design that leaves every key out."""
    least = {"opening": {}, "field": {"pattern": "?"}}
    return DesignModel.model_validate(least, context={"units": units})


def _words_of(file_name: str) -> str:
    """Make a design's name from its file's."""
    words = " ".join(re.sub(r"[-_.]+", " ", Path(file_name).stem).split())
    return words[:1].upper() + words[1:] if words else "Design"
