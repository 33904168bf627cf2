"""The starter: a short commented design file to fill in.

Comes in: a pattern's name, units, and the opening's size if it is known. Goes out: the text of a
design file that can be planned as it is: about a dozen lines that count, and every other key as a
remark with its default. Refuses: a pattern that there is none of, and an opening that is no length.

The defaults are those of the design's models, so that the starter cannot tell another tale.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from tesselath.design import design_models as models
from tesselath.design.starter_words import EXAMPLES, EXAMPLES_MM, REMARKS, REMARKS_MM
from tesselath.errors import MeasureError
from tesselath.measure import parse_length, show_length, show_number
from tesselath.pattern import Pattern, Size, find_pattern

__all__ = ["starter_design"]

_DEFAULT = "stepped-diamond"
#: By units: the size over the frame, the frame, the strips. With the default pattern, its sizes
#: below and the default clearance (1 mm in metric) every piece comes out whole.
_SHOP: Mapping[str, Mapping[str, Any]] = {
    "in": {
        "overall": ["28 1/16", "17 9/16"],
        "frame": "2",
        "base": "23/32",
        "strip": "1 1/2",
        "thickness": "1/4",
        "stick": "96",
        "set": {"s": "3 in", "n": 3},
    },
    "mm": {
        "overall": ["702", "462"],
        "clearance": "1",
        "frame": "50",
        "base": "18",
        "strip": "40",
        "thickness": "6",
        "stick": "2400",
        "set": {"s": "75 mm", "n": 3},
    },
}
_USUAL_WOODS = {"dark": "walnut", "mid": "cherry", "light": "maple", "plain": "walnut"}
_MORE_WOODS = ("walnut", "maple", "cherry", "ash", "oak", "mahogany", "birch", "beech")
#: Where remarks begin [characters].
_REMARK_AT = 38


def starter_design(
    *,
    pattern: str = _DEFAULT,
    units: str = "in",
    width: str | None = None,
    depth: str | None = None,
    name: str | None = None,
    beside: Path | None = None,
) -> str:
    """Write a short commented design file.

    Parameters
    ----------
    pattern : str
        A pattern's name, or a path to a file of the maker's own.
    units : {"in", "mm"}
        The file's units.
    width, depth : str, optional
        The opening, as the maker writes it; left out, a small top's.
    name : str, optional
        The design's name; left out, the file's name will be it.
    beside : Path, optional
        The folder from which a path to a pattern counts.

    Raises
    ------
    PatternError
        If there is no such pattern.
    MeasureError
        If the opening is no length, or only one side of it is given.

    Examples
    --------
    >>> print(starter_design().splitlines()[1])
    # Write fractions in quotes: "54 1/2". A length without a unit is in the units below.
    """
    found = find_pattern(pattern, beside=beside)
    shop = _SHOP[units]
    live = {
        "units": units,
        "order": "let in",
        "frame.width": shop["frame"],
        "frame.wood": "walnut",
        "base.thickness": shop["base"],
        "strips.thickness": shop["thickness"],
        "field.pattern": pattern,
        "field.angle": "45 deg" if found.name == "herringbone" else "0 deg",
        "stock.stick.length": shop["stick"],
    }
    if name is not None:
        live["name"] = name
    if width is None and depth is None:
        live["opening.overall"] = shop["overall"]
        live |= {"opening.clearance": shop["clearance"]} if "clearance" in shop else {}
    else:
        live |= _read_opening(width, depth, units)
    strip = found.size("w")
    if strip is not None:
        live["strips.width"] = _strip_width(strip, shop["strip"], units)
    lines = [
        "# A design for tesselath. Change what you like, then: tesselath plan this-file.toml",
        '# Write fractions in quotes: "54 1/2". A length without a unit is in the units below.',
        "# A line that begins with # does not count; it shows a key that was left out, with its",
        "# default. To set it, take the # off the line, and off the header above it.",
        "",
        *_entries("", live, units),
        *_table("opening", live, units),
        *_table("frame", live, units),
        *_table("base", live, units),
        *_table("strips", live, units),
        *_table("border", live, units),
        *_table("field", live, units),
        *_sizes(found, units),
        *_table("medallion", live, units),
        *_tones(found),
        *_table("woods.walnut", live, units),
        *_table("stock", live, units),
        *_table("stock.stick", live, units),
        *_table("stock.board", live, units),
        *_table("stock.offcut", live, units),
        *_table("saw", live, units),
        *_table("room", live, units),
        *_table("glue", live, units),
        *_table("pace", live, units),
    ]
    return "\n".join(lines) + "\n"


#: Each table's model, and whether it may stand several times.
_TABLES: Mapping[str, tuple[type[models.Table], bool]] = {
    "": (models.DesignModel, False),
    "opening": (models.OpeningModel, False),
    "frame": (models.FrameModel, False),
    "base": (models.SheetModel, False),
    "strips": (models.StripsModel, False),
    "border": (models.BorderModel, True),
    "field": (models.FieldModel, False),
    "medallion": (models.MedallionModel, True),
    "woods.walnut": (models.WoodModel, False),
    "stock": (models.StockModel, False),
    "stock.stick": (models.StickModel, True),
    "stock.board": (models.BoardModel, True),
    "stock.offcut": (models.OffcutModel, True),
    "saw": (models.SawModel, False),
    "room": (models.RoomModel, False),
    "glue": (models.GlueModel, False),
    "pace": (models.PaceModel, False),
}


#: Tables whose header may stand without an entry, so that an entry put in lands in the right one.
_STANDING = ("stock", "saw", "room", "glue", "pace")


def _table(table: str, live: Mapping[str, Any], units: str) -> Iterator[str]:
    """Write a table; its header counts only where one of its lines does."""
    _, several = _TABLES[table]
    counts = table in _STANDING or any(key.rpartition(".")[0] == table for key in live)
    header = f"[[{table}]]" if several else f"[{table}]"
    yield ""
    yield _line(header if counts else f"# {header}", REMARKS.get(table, ""))
    yield from _entries(table, live, units)


def _entries(table: str, live: Mapping[str, Any], units: str) -> Iterator[str]:
    """Write a table's keys: those that count first, then the others as remarks."""
    model, _ = _TABLES[table]
    remarks = {**REMARKS, **(REMARKS_MM if units == "mm" else {})}
    later: list[str] = []
    for key, name in model.keys().items():
        path = f"{table}.{key}" if table else key
        told = model.model_fields[name].json_schema_extra
        remark = remarks.get(path, model.model_fields[name].description or "")
        if path in live:
            yield _line(f"{key} = {_toml(live[path])}", remark)
        elif isinstance(told, dict) and told["default"] != {}:
            usual = told["default_mm" if units == "mm" else "default"]
            later.append(_line(f"# {key} = {_toml(usual)}", remark))
        elif path in EXAMPLES:
            later.append(_line(f"# {key} = {_example(path, units)}", remark))
    yield from later


def _example(path: str, units: str) -> str:
    """Give an example in the file's units."""
    if units == "in" or path in EXAMPLES_MM:
        return EXAMPLES_MM[path] if units == "mm" else EXAMPLES[path]

    def metric(found: re.Match[str]) -> str:
        return f'"{show_length(parse_length(found[1], signed=True), tape=1.0, units="mm")}"'

    return re.sub(r'"([^"]* in)"', metric, EXAMPLES[path])


def _sizes(pattern: Pattern, units: str) -> Iterator[str]:
    """Write the pattern's sizes, by name, with their labels."""
    chosen: Mapping[str, Any] = _SHOP[units]["set"] if pattern.name == _DEFAULT else {}
    yield ""
    counts = any(size.name != "w" for size in pattern.sizes)
    header = "[field.set]" if counts else "# [field.set]"
    yield _line(header, "the pattern's sizes, by name or by label; a length carries its unit")
    for size in pattern.sizes:
        value = _toml(chosen.get(size.name, _size_text(size, units)))
        if size.name == "w":
            yield _line(f"# w = {value}", f"{size.label}; left out, that of [strips]")
        else:
            yield _line(f"{size.name} = {value}", size.label)


def _tones(pattern: Pattern) -> Iterator[str]:
    """Write a wood for each tone of the pattern."""
    yield ""
    yield _line("[tones]", "which wood for each tone of the pattern")
    taken = [_USUAL_WOODS[tone] for tone in pattern.tones if tone in _USUAL_WOODS]
    free = [wood for wood in _MORE_WOODS if wood not in taken] or list(_MORE_WOODS)
    for number, tone in enumerate(pattern.tones or ("plain",)):
        wood = _USUAL_WOODS.get(tone, free[number % len(free)])
        yield f"{_key(tone)} = {_toml(wood)}"


def _read_opening(width: str | None, depth: str | None, units: str) -> dict[str, Any]:
    """Check an opening given in so many words."""
    if width is None or depth is None:
        raise MeasureError("An opening has a width and a depth; give both, or neither.")
    for side in (width, depth):
        parse_length(side, units=units)
    return {"opening.width": width.strip(), "opening.depth": depth.strip()}


def _strip_width(size: Size, usual: str, units: str) -> str:
    """Take the usual strip, or the pattern's own where it does not allow the usual one."""
    mm = parse_length(usual, units=units)
    if (size.least is None or mm >= size.least) and (size.most is None or mm <= size.most):
        return usual
    return str(_size_text(size, units))


def _size_text(size: Size, units: str) -> str | float:
    """Give a size's default as a design writes it."""
    if size.kind == "length":
        tape = 25.4 / 64 if units == "in" else 0.01
        return show_length(size.value, tape=tape, units=units)
    if size.kind == "angle":
        return f"{show_number(size.value)} deg"
    return int(size.value) if size.value == int(size.value) else size.value


def _line(text: str, remark: str) -> str:
    return f"{text:<{_REMARK_AT - 2}}  # {remark}" if remark else text


def _key(word: str) -> str:
    plain = word.replace("-", "").replace("_", "")
    return word if plain.isalnum() and plain.isascii() else _toml(word)


def _toml(value: Any) -> str:
    """Write a value as TOML does."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_toml(item)}" for key, item in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_toml(item) for item in value) + "]"
    # Texts, numbers, true and false are written as in JSON.
    return json.dumps(value, ensure_ascii=False)
