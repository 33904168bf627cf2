"""Faults of a design file: what the models found, with file, line and key, in trade words.

Comes in: the places of the keys, and what pydantic found. Goes out: faults in file order. No
wording of pydantic's passes through here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, get_args, get_origin

from pydantic import ValidationError

from tesselath.design.design_models import DesignModel, Table
from tesselath.errors import Fault, MeasureError
from tesselath.files import KeyPlace
from tesselath.measure import british, nearest

__all__ = ["Complaint", "Places", "explain_findings", "in_file_order", "inner_table"]

_LONGEST_QUOTE = 60


@dataclass(frozen=True, slots=True)
class Places:
    """Where the keys of one file stand, and what was written there."""

    file_name: str
    found: Mapping[str, KeyPlace]

    def place(self, key: str) -> str:
        """Say where a key stands: the line of the nearest table above it, if it was left out."""
        near = self._near(key)
        line = f", line {near.line}" if near else ""
        shown = f", {_printable(self.shown(key))}" if key else ""
        return f"{self.file_name}{line}{shown}"

    def shown(self, key: str) -> str:
        """Give a key without the number of a table that stands only once."""
        parts: list[str] = []
        path = ""
        for part in key.split("."):
            one = f"{path}.1"
            path = f"{path}.{part}" if path else part
            alone = path == one and path.removesuffix("1") + "2" not in self.found
            if alone and path in self.found and self.found[path].wrote is None:
                continue
            parts.append(part)
        return ".".join(parts)

    def wrote(self, key: str) -> str | None:
        """Give what was written at a key, as in the file; None for a table."""
        place = self.found.get(key)
        return None if place is None else place.wrote

    def order(self, key: str) -> tuple[int, int]:
        """Give the line and column that put a key in its order."""
        near = self._near(key)
        return (near.line, near.column) if near else (0, 0)

    def _near(self, key: str) -> KeyPlace | None:
        while key:
            if key in self.found:
                return self.found[key]
            key = key.rpartition(".")[0]
        return None


@dataclass(frozen=True, slots=True)
class Complaint:
    """What is wrong with a key, before it is given its place."""

    key: str
    rule: str
    remedy: str = ""
    #: What to quote instead of what stands in the file, where that is a whole list.
    wrote: str | None = None
    #: The known key that was likely meant by one that is not known.
    meant: str = ""

    def fault(self, places: Places) -> Fault:
        """Give it its place."""
        wrote = places.wrote(self.key) if self.wrote is None else self.wrote
        if wrote is not None:
            wrote = _printable(" ".join(wrote.split()))
            if len(wrote) > _LONGEST_QUOTE:
                wrote = f"{wrote[: _LONGEST_QUOTE - 3]}..."
        return Fault(places.place(self.key), wrote, self.rule, self.remedy)


def in_file_order(complaints: Iterable[Complaint], *, places: Places) -> list[Fault]:
    """Give complaints their places and the order of the file."""
    ordered = sorted(complaints, key=lambda complaint: places.order(complaint.key))
    faults: list[Fault] = []
    for complaint in ordered:
        fault = complaint.fault(places)
        if fault not in faults:
            faults.append(fault)
    return faults


def explain_findings(error: ValidationError, *, places: Places) -> list[Complaint]:
    """Put what pydantic found into the words of the house."""
    return [_explain(found, places) for found in error.errors(include_url=False)]


def _explain(found: Any, places: Places) -> Complaint:
    loc = tuple(found["loc"])
    key = ".".join(str(part + 1) if isinstance(part, int) else part for part in loc)
    kind = found["type"]
    if kind == "value_error":
        return _explain_value(key, found["ctx"]["error"], places)
    if kind == "missing":
        return _explain_missing(key, loc)
    if kind == "extra_forbidden":
        return _explain_unknown(key, loc)
    shown = places.shown(key)
    table = _table_at(loc)
    if kind == "list_type" and table:
        rule = "Of these there may be several, so its header has two brackets."
        return Complaint(key, rule, f"Write [[{shown}]].")
    if kind in ("model_type", "dict_type"):
        if isinstance(found["input"], list) and isinstance(loc[-1], str):
            rule = "Of this table there is only one, so its header has one bracket."
            return Complaint(key, rule, f"Write [{shown}].")
        return Complaint(key, "A table is meant here.", f"Write its entries under [{shown}].")
    if kind == "list_type":
        return Complaint(key, "A list in square brackets is meant here.")
    return Complaint(key, "This is not what is meant here.")


def _explain_value(key: str, error: object, places: Places) -> Complaint:
    fault = error.faults[0] if isinstance(error, MeasureError) else Fault("", None, str(error))
    whole = places.wrote(key)
    wrote = fault.wrote
    if whole is not None and not (whole.startswith("[") and wrote and wrote in whole):
        wrote = None  # the file's own words, unless one item of a list is meant
    return Complaint(key, fault.rule, fault.remedy, wrote)


def _explain_missing(key: str, loc: tuple[str | int, ...]) -> Complaint:
    table = _table_at(loc[:-1]) or DesignModel
    name = table.keys().get(str(loc[-1]), str(loc[-1]))
    examples = table.model_fields[name].examples or []
    example = str(examples[0]) if examples else ""
    if len(loc) == 1:
        rule = f"The table [{key}] is missing."
        return Complaint(key, rule, f"Write [{key}] and under it {example}.")
    if not example.startswith("["):
        example = f'"{example}"'
    return Complaint(key, f"{loc[-1]} is missing here.", f"Write {loc[-1]} = {example}.")


def _explain_unknown(key: str, loc: tuple[str | int, ...]) -> Complaint:
    word = str(loc[-1])
    table = _table_at(loc[:-1]) or DesignModel
    known = sorted(table.keys())
    near = nearest(word.lower().replace(" ", "_").replace("-", "_"), known)
    homes = _homes(british(word), DesignModel, "")
    top = british(word)
    if near:
        remedy = f"Did you mean {near}? "
    elif top in DesignModel.keys():  # noqa: SIM118 - not a mapping
        remedy = f"Write [{top}] as a header of its own. "
        if _model_in(DesignModel.model_fields[top].annotation) is None:
            remedy = "It stands at the top of the file, above the first header. "
    elif homes and len(homes) <= 3:
        remedy = f"It stands under {_either(homes)}. "
    else:
        remedy = ""
    owner = "a design" if table is DesignModel else _header(loc[:-1])
    return Complaint(
        key,
        f"There is no such key {'here' if table is DesignModel else f'under {owner}'}.",
        f"{remedy}The keys of {owner} are {', '.join(known)}.",
        # The key is what is wrong, not what stands there.
        word,
        ".".join([*key.split(".")[:-1], near]) if near else "",
    )


def _table_at(loc: tuple[str | int, ...]) -> type[Table] | None:
    """Find the model of the table at a place; None where there is none."""
    table: type[Table] = DesignModel
    pending = False  # the next step is a list's number or a name of the maker's own
    for part in loc:
        if pending:
            pending = False
            continue
        inner, _ = inner_table(table, str(part))
        if inner is None:
            return None
        pending = get_origin(table.model_fields[table.keys()[str(part)]].annotation) in (list, dict)
        table = inner
    return table


def inner_table(table: type[Table], key: str) -> tuple[type[Table] | None, bool]:
    """Find the model of the tables under a key."""
    name = table.keys().get(key)
    annotation = table.model_fields[name].annotation if name else None
    return _model_in(annotation), get_origin(annotation) is dict


def _model_in(annotation: Any) -> type[Table] | None:
    """Find the table within an annotation such as ``list[StickModel]``."""
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation
    found = (_model_in(inner) for inner in get_args(annotation))
    return next((inner for inner in found if inner), None)


def _homes(word: str, table: type[Table], header: str) -> list[str]:
    """List the tables that know a key."""
    homes = [header] if header and word in table.keys() else []  # noqa: SIM118 - not a mapping
    for key, name in table.keys().items():
        annotation = table.model_fields[name].annotation
        inner = _model_in(annotation)
        if inner is None:
            continue
        path = f"{header.strip('[]')}.{key}" if header else key
        if get_origin(annotation) is dict:
            path = f"{path}.NAME"
        homes += _homes(
            word, inner, f"[[{path}]]" if get_origin(annotation) is list else f"[{path}]"
        )
    return homes


def _printable(text: str) -> str:
    return "".join(sign if sign.isprintable() else "?" for sign in text)


def _header(loc: tuple[str | int, ...]) -> str:
    path = ".".join(part for part in loc if isinstance(part, str))
    return f"[[{path}]]" if isinstance(loc[-1], int) else f"[{path}]"


def _either(words: list[str]) -> str:
    return f"{', '.join(words[:-1])} or {words[-1]}" if len(words) > 1 else words[0]
