"""The inspector reads the folder: tables and map must say what ``plan.json`` says.

Comes in: a plan folder. Goes out: nothing. Refuses, with an AssertionError, a table that differs
from the plan and a map on which a piece is missing or that is not to scale.
"""

from __future__ import annotations

import csv
import json
import re
from collections import Counter
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import numpy as np
import shapely

__all__ = ["check_map", "check_tables", "read_plan"]

Plan = dict[str, Any]


def read_plan(folder: Path) -> Plan:
    """Read plan.json."""
    plan: Plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    return plan


def check_tables(folder: Path) -> None:
    """parts, pieces, setups and sticks have a row for each entry, with its main figures."""
    plan = read_plan(folder)
    parts = _rows(folder / "parts.csv")
    assert [_of(row, "mark") for row in parts] == [p["mark"] for p in plan["parts"]], "parts.csv"
    for row, part in zip(parts, plan["parts"], strict=True):
        say = f"parts.csv, {part['mark']}"
        assert int(_of(row, "count")) == part["count"], f"{say}: count"
        assert int(_of(row, "spares")) == part["spares"], f"{say}: spares"
        assert _of(row, "wood") == part["wood"], f"{say}: wood"
        assert _of(row, "handling") == part["handling"], f"{say}: handling"
        assert _expand(_of(row, "pieces")) == part["numbers"], f"{say}: which pieces"
    pieces = _rows(folder / "pieces.csv")
    assert [int(_of(row, "piece")) for row in pieces] == [p["number"] for p in plan["pieces"]]
    for row, piece in zip(pieces, plan["pieces"], strict=True):
        for key in ("part", "zone", "wood"):
            assert _of(row, key) == piece[key], f"pieces.csv, {piece['number']}: {key}"
    setups = [row for row in _rows(folder / "setups.csv") if row["table"] != "rip"]
    assert len(setups) == len(plan["setups"]), "setups.csv"
    for row, setup in zip(setups, plan["setups"], strict=True):
        assert row["parts"].split() == setup["parts"], f"setups.csv, step {row['step']}: parts"
        assert row["swing"] == setup["swing"], f"setups.csv, step {row['step']}: swing"
        assert int(row["count"]) == setup["count"], f"setups.csv, step {row['step']}: count"
        angles = [float(re.sub(r"[^\d.]", "", row[key])) for key in ("mitre", "on a 90 scale")]
        assert abs(sum(angles) - 90) < 0.02, f"setups.csv, step {row['step']}: {angles}"
    sticks = _rows(folder / "sticks.csv")
    names = dict.fromkeys(_of(row, "stick") for row in sticks)
    assert list(names) == [stick["name"] for stick in plan["sticks"]], "sticks.csv"


def check_map(folder: Path) -> None:
    """map.svg is to scale, draws each piece, and gives its number in a text of its own, once."""
    plan = read_plan(folder)
    root = ElementTree.fromstring((folder / "map.svg").read_text(encoding="utf-8"))
    box = [float(number) for number in root.attrib["viewBox"].split()]
    for key, size in zip(("width", "height"), box[2:], strict=True):
        match = re.fullmatch(r"([\d.]+)mm", root.attrib[key])
        assert match, f"map.svg: {key} is {root.attrib[key]!r}"
        assert abs(float(match[1]) - size) < 1e-6, f"map.svg: {key} {match[1]}, viewBox {size}"
    texts = [
        (e.attrib.get("class", ""), "".join(e.itertext()).strip(), e)
        for e in root.iter()
        if e.tag.endswith("}text")
    ]
    found = Counter(text for kind, text, _ in texts if kind == "piece-number")
    assert found == Counter(str(piece["number"]) for piece in plan["pieces"]), "map.svg: numbers"
    assert any("FRONT" in text for _, text, _ in texts), "map.svg does not say where the front is"
    right, up = _check_outlines(root, plan)
    woods = {piece["number"]: shapely.Polygon(piece["outline"]) for piece in plan["pieces"]}
    tree, order = shapely.STRtree(list(woods.values())), list(woods)
    for kind, text, element in texts:
        if kind == "piece-number":
            spot = shapely.Point(
                float(element.attrib["x"]) - right, up - float(element.attrib["y"])
            )
            over = [order[i] for i in tree.query(spot, predicate="within")]
            assert over in ([int(text)], []), f"map.svg: number {text} stands on piece {over}"


def _check_outlines(root: ElementTree.Element, plan: Plan) -> tuple[float, float]:
    """Hold each drawn piece against its outline; say where the plan's zero lies on the sheet."""
    drawn = {e.attrib["id"]: e.attrib["d"] for e in root.iter() if e.attrib.get("class") == "piece"}
    assert len(drawn) == len(plan["pieces"]), f"map.svg: {len(drawn)} pieces are drawn"
    offsets = []
    for piece in plan["pieces"]:
        numbers = re.findall(r"-?[\d.]+", drawn[f"piece-{piece['number']}"])
        corners = np.array(numbers, dtype=float).reshape(-1, 2)
        offsets.append(corners - np.array(piece["outline"]) * (1, -1))
    spread = np.ptp(np.vstack(offsets), axis=0)
    assert spread.max() < 0.003, f"map.svg: pieces are drawn up to {spread.max():.4f} mm off"
    right, up = np.vstack(offsets).mean(axis=0)
    return float(right), float(up)


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def _of(row: dict[str, str], word: str) -> str:
    """Find a column by its word, whatever unit stands behind it."""
    exact = [key for key in row if key == word]
    near = exact or [key for key in row if key.split(" ")[0].split("_")[0] == word]
    assert near, f"no column {word!r} among {list(row)}"
    return row[near[0]]


def _expand(written: str) -> list[int]:
    """Read "1-3 7" or "1-3, 7" as numbers."""
    numbers: list[int] = []
    for word in re.split(r"[,; ]+", written.strip()):
        low, _, high = word.partition("-")
        numbers.extend(range(int(low), int(high or low) + 1))
    return numbers
