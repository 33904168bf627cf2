"""plan.json: the contract with other programs, key by key, at full precision."""

from __future__ import annotations

import json
import math
import re
from dataclasses import replace
from typing import Any

import pytest

from tesselath.plan import Plan, plan_tables, write_plan_json
from tesselath.shape import area, as_outline
from tops import plan_of, top

TEXTS = {
    "herringbone": top(angle="17 deg"),
    "chevron": top("chevron", strips='faces = "one"'),
    "trimmed": top("stepped-diamond", head='order = "trim"', strips='overlength = "1/2 in"'),
    "star": top("eight-point-star"),
}
#: What every reader may rely on (the published format tesselath-plan/1); more may stand there.
CONTRACT = {
    "": [
        "format",
        "name",
        "units",
        "order",
        "opening",
        "pieces",
        "parts",
        "setups",
        "sticks",
        "bounds",
        "shopping",
        "glue_ups",
        "uncovered",
        "notes",
        "totals",
    ],
    "opening": ["outline", "width", "depth", "area", "clearance"],
    "pieces": [
        "number",
        "part",
        "zone",
        "wood",
        "tone",
        "outline",
        "grain",
        "overall",
        "edge",
        "width",
        "row",
        "glue_up",
    ],
    "parts": [
        "mark",
        "count",
        "spares",
        "wood",
        "width",
        "strip_width",
        "edge",
        "overall",
        "long_point",
        "short_point",
        "mitres",
        "swings",
        "handling",
        "cuts",
        "handed_pair",
        "numbers",
    ],
    "setups": ["mitre", "swing", "stop", "stop_side", "handling", "parts", "count", "sticks"],
    "sticks": ["name", "wood", "width", "length", "pieces", "used", "left_over"],
    "bounds": ["wood", "width", "sticks", "proven_least", "status"],
    "shopping": ["what", "item", "wood", "length", "width", "thickness", "count", "unit", "price"],
    "glue_ups": ["number", "numbers"],
    "notes": ["code", "text", "numbers"],
    "uncovered": ["area", "outlines"],
    "totals": ["pieces", "parts", "cuts", "setups", "sticks", "field_area", "wood_area"],
}


@pytest.fixture(name="plan", params=TEXTS, ids=list(TEXTS))
def _plan(request: pytest.FixtureRequest) -> Plan:
    return plan_of(TEXTS[request.param])


def _read(plan: Plan) -> dict[str, Any]:
    def refuse(word: str) -> float:
        raise AssertionError(f"{word} is no JSON")

    found: dict[str, Any] = json.loads(write_plan_json(plan), parse_constant=refuse)
    return found


def test_every_key_of_the_format_is_there(plan: Plan) -> None:
    found = _read(plan)
    assert found["format"] == "tesselath-plan/1"
    for table, keys in CONTRACT.items():
        rows = found if not table else found[table]
        for row in rows if isinstance(rows, list) else [rows]:
            assert set(keys) <= set(row), table


def test_what_is_written_reads_back_as_the_tables_at_full_precision(plan: Plan) -> None:
    tables = plan_tables(plan)
    assert _read(plan) == json.loads(json.dumps(tables))
    for piece, row in zip(plan.pieces, _read(plan)["pieces"], strict=True):
        assert row["outline"] == piece.outline.tolist()
        assert row["overall"] == piece.overall


def test_outlines_run_counter_clockwise_without_a_repeated_corner(plan: Plan) -> None:
    found = _read(plan)
    outlines = [p["outline"] for p in found["pieces"]] + found["uncovered"]["outlines"]
    outlines += [p["blank"] for p in found["pieces"] if "blank" in p]
    for outline in [*outlines, found["opening"]["outline"]]:
        assert area([tuple(corner) for corner in outline]) > 0
        for one, other in zip(outline, [*outline[1:], outline[0]], strict=True):
            assert math.dist(one, other) > 1e-3


def test_a_blank_stands_only_where_it_differs_from_what_lies_finished(plan: Plan) -> None:
    for piece, row in zip(plan.pieces, _read(plan)["pieces"], strict=True):
        assert ("blank" in row) == (piece.blank is not None)
    if plan.design.order != "trim":
        assert not any("blank" in row for row in _read(plan)["pieces"])


def test_parts_own_pieces_and_set_ups_name_parts(plan: Plan) -> None:
    found = _read(plan)
    by_mark = {part["mark"]: part for part in found["parts"]}
    for piece in found["pieces"]:
        assert piece["number"] in by_mark[piece["part"]]["numbers"]
    for table in (*found["setups"], *found["sticks"]):
        for mark in table.get("parts", table.get("pieces", [])):
            assert mark in by_mark
    for part in found["parts"]:
        assert part["swings"][0] in ("L", "R", "square")
        assert part["handling"] in ("slide", "roll", "swing", "make up", "mark and hand saw")
        if part["handling"] == "make up":
            assert part["strip_width"] is None
        for cut in part["cuts"]:
            assert cut["op"] in ("end", "corner", "notch")
            assert cut["side"] in ("left", "right")
        if part["handed_pair"] is not None:
            assert by_mark[part["handed_pair"]]["handed_pair"] == part["mark"]


def test_angles_and_sides_keep_to_their_ranges(plan: Plan) -> None:
    found = _read(plan)
    assert all(0 <= piece["grain"] < 180 for piece in found["pieces"])
    assert all(-90 < m < 90 for part in found["parts"] for m in part["mitres"])
    assert all(0 <= setup["mitre"] < 90 for setup in found["setups"])
    assert all(s["used"] + s["left_over"] == pytest.approx(s["length"]) for s in found["sticks"])


def test_no_number_is_written_as_minus_nought(plan: Plan) -> None:
    opening = as_outline([(-0.0, -0.0), (300.0, -0.0), (300.0, 200.0), (-0.0, 200.0)])
    text = write_plan_json(replace(plan, opening=opening))
    assert "[[0.0, 0.0], [300.0, 0.0]" in text
    assert not re.search(r"-0\.0[,\]}]", text)


def test_a_plan_has_one_line_a_piece(plan: Plan) -> None:
    lines = write_plan_json(plan).splitlines()
    assert sum(line.lstrip().startswith('{"number": 1, ') for line in lines) == 2  # and a glue-up
    assert len(lines) > len(plan.pieces) + len(plan.parts)


def test_the_same_design_has_the_same_mark_and_another_another() -> None:
    one, other = plan_of(top(angle="17 deg")), plan_of(top(angle="18 deg"))
    assert plan_tables(one)["mark"] != plan_tables(other)["mark"]
    assert len(str(plan_tables(one)["mark"])) == 6
