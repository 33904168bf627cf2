"""The starter: short, whole, and honest about every default."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from tesselath.design import Design, parse_design, starter_design
from tesselath.design.design_schema import design_schema
from tesselath.errors import MeasureError, PatternError
from tesselath.pattern import find_pattern, pattern_names
from tesselath.plan import plan_design

UNITS = ["in", "mm"]
KEY_LINE = re.compile(r"(?P<remark># )?(?P<entry>[\w-]+ = .*?)(?:\s{2,}# .*)?")
HEADER_LINE = re.compile(r"(?P<remark># )?(?P<header>\[{1,2}[\w.]+\]{1,2})(?:\s{2,}# .*)?")


def parse(text: str) -> Design:
    return parse_design(text, file_name="top.toml", beside=None)


def entries(text: str) -> list[tuple[str, str, bool]]:
    """List the table, the entry and whether it counts, for each line that shows a key."""
    table, found = "", []
    for line in text.splitlines():
        if header := HEADER_LINE.fullmatch(line):
            table = header["header"].strip("[]")
        elif entry := KEY_LINE.fullmatch(line):
            found.append((table, entry["entry"], entry["remark"] is None))
    return found


@pytest.mark.parametrize("units", UNITS)
def test_the_starter_plans_with_square_cuts_whole_pieces_and_only_the_usual_cautions(
    units: str,
) -> None:
    plan = plan_design(parse(starter_design(units=units)))
    assert [note.code for note in plan.notes if not note.code.startswith("caution")] == []
    assert {mitre for part in plan.parts for mitre in part.mitres} == {0.0}
    step = plan.design.field.filling.settings["s"]
    width = plan.design.strips.width
    assert width is not None
    for part in plan.parts:
        assert part.width == pytest.approx(width)
        assert part.overall / step == pytest.approx(round(part.overall / step))
    assert len(plan.pieces) > 20


@pytest.mark.parametrize("units", UNITS)
def test_the_starter_has_about_a_dozen_lines_that_count(units: str) -> None:
    live = [entry for _, entry, counts in entries(starter_design(units=units)) if counts]
    assert 12 <= len(live) <= 18
    assert 'pattern = "stepped-diamond"' in live
    lengths = [entry for entry in live if re.match(r"(width|thickness|length|s|clearance) ", entry)]
    assert all('"' in entry for entry in lengths)
    assert 'Write fractions in quotes: "54 1/2".' in starter_design(units=units)


@pytest.mark.parametrize("units", UNITS)
def test_every_key_of_the_contract_stands_in_the_starter_with_its_default(units: str) -> None:
    schema = json.loads(design_schema())
    shown = {}
    for table, entry, _ in entries(starter_design(units=units)):
        key, _, value = entry.partition(" = ")
        shown[f"{table}.{key}" if table else key] = tomllib.loads(f"v = {value}")["v"]
    for key, told in every_key(schema, schema, ""):
        assert key in shown, key
        if "default" in told and key not in {"opening.clearance", "strips.thickness"}:
            usual = (
                told["default_mm"] if units == "mm" and "default_mm" in told else told["default"]
            )
            chosen = {"order": "let in", "units": units, "field.angle": "0 deg"}
            assert shown[key] == chosen.get(key, usual), key


def every_key(schema: dict[str, Any], node: dict[str, Any], path: str) -> list[tuple[str, Any]]:
    """List every key of the schema that is no table, with what the schema tells of it."""
    found = []
    for key, told in node.get("properties", {}).items():
        below = f"{path}.{key}" if path else key
        inner = told.get("items", told)
        inner = schema["$defs"][inner["$ref"].split("/")[-1]] if "$ref" in inner else inner
        by_name = told.get("additionalProperties")
        if below in {"tones", "field.set"}:
            continue  # the maker's own names
        if below == "woods":
            wood = schema["$defs"][by_name["$ref"].split("/")[-1]]
            found += every_key(schema, wood, "woods.walnut")
        elif inner.get("properties") and not below.startswith("room."):
            found += every_key(schema, inner, below)
        else:
            found.append((below, told))
    return found


@pytest.mark.parametrize("units", UNITS)
def test_a_remark_becomes_a_setting_when_its_sign_is_taken_off(units: str) -> None:
    """Each commented entry, put alone into a file, is accepted or told to be for later."""
    text = starter_design(units=units)
    plain = parse(text)
    skip = {"opening", "border", "medallion", "stock.board", "stock.offcut"}  # not one at a time
    later = {"measured", "angles"}
    for table, entry, counts in entries(text):
        key = entry.split(" = ")[0]
        if counts or table in skip or key in later:
            continue
        at = text.index(f"[{table}]") if table else 0
        changed = text[:at] + text[at:].replace(f"# {entry}", entry, 1)
        changed = changed.replace("# [woods", "[woods", 1)
        if key == "price":
            changed = changed.replace("# per", "per", 1)
        design = parse(changed)
        assert design.field.filling.pattern == plain.field.filling.pattern


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("name", pattern_names())
def test_every_pattern_has_a_starter_that_lists_its_sizes_and_tones(name: str, units: str) -> None:
    text = starter_design(pattern=name, units=units)
    design = parse(text)
    pattern = find_pattern(name)
    assert design.field.filling.pattern.name == name
    assert sorted(design.tones) == sorted(pattern.tones or ("plain",))
    shown = {entry.split(" = ")[0] for table, entry, _ in entries(text) if table == "field.set"}
    assert shown == {size.name for size in pattern.sizes}


def test_an_opening_of_the_makers_own_takes_the_place_of_the_overall_size() -> None:
    design = parse(starter_design(width="54 1/2", depth="508 mm", name='The "hall" table\\'))
    assert design.opening.width == 54.5 * 25.4
    assert design.opening.depth == 508.0
    assert design.name == 'The "hall" table\\'


def test_a_pattern_of_the_makers_own_may_be_started_from(tmp_path: Path) -> None:
    text = (Path(__file__).parents[2] / "patterns" / "stair.toml").read_text("utf-8")
    text = text.replace('"1/4 in"', '"1 3/4 in"').replace('"1 in"', '"2 in"')
    text = re.sub(r"names = .*", 'names = ["nut brown", "light"]', text)
    (tmp_path / "mine.toml").write_text(text, encoding="utf-8")
    started = starter_design(pattern="mine.toml", beside=tmp_path)
    design = parse_design(started, file_name="top.toml", beside=tmp_path)
    assert design.strips.width == 50.8
    assert design.tones["light"] == "maple"
    assert "nut brown" in design.tones


def test_what_cannot_be_started_is_refused() -> None:
    with pytest.raises(PatternError, match="herringbone"):
        starter_design(pattern="herringbonne")
    with pytest.raises(MeasureError, match="give both"):
        starter_design(width="54")
    with pytest.raises(MeasureError, match="decimal"):
        starter_design(width="54,5", depth="20")
