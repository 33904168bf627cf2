"""Design files: what is read, what is filled in, and how faults are told."""

from __future__ import annotations

import itertools
import json
import os
import random
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, strategies as st

from tesselath.design import Design, design_file, parse_design, read_design
from tesselath.design.design_file import DesignFileError
from tesselath.design.design_schema import design_schema
from tesselath.errors import DesignError

BAD = sorted((Path(__file__).parent / "designs_bad").glob("*.toml"))
EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/design.toml"))

#: Words of pydantic and of the standard library's TOML reader that must not reach a maker.
FOREIGN = (
    "Input should",
    "pydantic",
    "validation error",
    "Value error",
    "Field required",
    "Extra inputs",
    "valid dictionary",
    "Expected",
    "Traceback",
    "None",
)

LEAST = '[opening]\nwidth = "54"\ndepth = "20"\n[field]\npattern = "herringbone"\n'

#: Every key whose default the contract shows, as an inch file and as a metric one would write it.
ALL_DEFAULTS = """
name = "Top"
units = "{units}"
tape = "{tape}"
paper = "{paper}"
order = "let in"
english = "{english}"
both_units = false
print_scale = [1.0, 1.0]
author = ""
revision = ""
licence = ""
format = 1
[opening]
width = "54 in"
depth = "20 in"
clearance = "{clearance}"
axis = "centre line"
corner_radius = 0
corner_clip = 0
oval = false
[strips]
thickness = "1/4 in"
gap = "0"
faces = "both"
overlength = "0"
kind = "strips on plywood"
[field]
pattern = "herringbone"
angle = "45 deg"
shift = ["0", "0"]
mirror = "none"
centre = "cut"
[stock]
kerf = "{kerf}"
rip_kerf = "{kerf}"
end_trim = "{trim}"
shared_cuts = "stick only"
defects = "10 %"
spares = "10 %"
spare_sticks = 1
[saw]
largest_mitre = "50 deg"
holding = "{hand}"
hand_distance = "{hand}"
stop_side = "left"
stop_reach = "48 in"
length_error = "1/64 in"
width_error = "1/128 in"
angle_error = "0.1 deg"
angle_offset = 0
angles = []
[room]
dry = {{ temperature = "21 C", humidity = 30 }}
humid = {{ temperature = "24 C", humidity = 65 }}
made = {{ moisture = 8 }}
[glue]
open_time = "8 min"
pace = "30 s"
hold = "weights"
spread = 180
"""
ODD_VALUES = (
    '"x"',
    "[]",
    "[1, 2]",
    "{ a = 1 }",
    "-1",
    "1e9",
    "true",
    '"-3 in"',
    "1979-05-27",
    f'"{"9" * 70}"',
    "[[0]]",
    '""',
    '"100 mm"',
    '["1", "x"]',
)
INCHES = {
    "units": "in",
    "tape": "1/32 in",
    "paper": "Letter",
    "english": "US",
    "clearance": "1/32",
    "kerf": "1/8",
    "trim": "1/2",
    "hand": "6 in",
}
METRIC = {
    "units": "mm",
    "tape": "0.5 mm",
    "paper": "A4",
    "english": "UK",
    "clearance": "0.8 mm",
    "kerf": "3.2 mm",
    "trim": "12 mm",
    "hand": "150 mm",
}


def parse(text: str) -> Design:
    return parse_design(text, file_name="top.toml", beside=None)


def faults_of(text: str) -> list[str]:
    try:
        parse(text)
    except DesignError as error:
        return [str(fault) for fault in error.faults]
    return []


# --- properties ---------------------------------------------------------------------------


@given(seed=st.integers(0, 10**6), tries=st.integers(1, 6))
def test_a_file_changed_at_random_is_read_or_answered_line_by_line(seed: int, tries: int) -> None:
    chance = random.Random(seed)
    lines = ALL_DEFAULTS.format(**INCHES).splitlines()
    for _ in range(tries):
        at = chance.randrange(len(lines))
        what = chance.randrange(5)
        if what == 0:
            del lines[at]
        elif what == 1:
            lines[at] = lines[at].replace('"', "", chance.randrange(3))
        elif what == 2:
            lines[at] = lines[at][: chance.randrange(len(lines[at]) + 1)]
        elif what == 3:
            key = lines[at].split("=")[0]
            value = chance.choice(ODD_VALUES)
            lines[at] = f"{key}= {value}"
        else:
            lines.insert(at, chance.choice(lines))
    for fault in faults_of("\n".join(lines)):
        assert fault.startswith("top.toml, ")
        assert "\n" not in fault
        assert fault.endswith((".", "?"))
        assert not any(word in fault for word in FOREIGN)


@given(seed=st.integers(0, 10**6))
def test_the_mark_does_not_depend_on_how_the_file_is_laid_out(seed: int) -> None:
    chance = random.Random(seed)
    tables: list[list[str]] = [[]]
    for line in ALL_DEFAULTS.format(**INCHES).strip().splitlines():
        if line.startswith("["):
            tables.append([])
        tables[-1].append(line + chance.choice(["", "  # a remark"]))
    head, *rest = tables
    chance.shuffle(head)
    chance.shuffle(rest)
    text = "\n\n".join("\n".join(table) for table in [head, *rest])
    assert parse(text).mark == parse(ALL_DEFAULTS.format(**INCHES)).mark


@given(
    corners=st.lists(
        st.tuples(st.integers(-8, 8), st.integers(-8, 8)), min_size=3, max_size=7, unique=True
    )
)
def test_an_outline_is_taken_where_shapely_finds_a_simple_polygon(
    corners: list[tuple[int, int]],
) -> None:
    from shapely import Polygon

    points = json.dumps([[f"{x} in", f"{y} in"] for x, y in corners])
    text = f'opening.points = {points}\nfield.pattern = "herringbone"\nopening.clearance = "0"'
    shape = Polygon(corners)
    assert (not faults_of(text)) == (shape.is_valid and shape.area > 0)


# --- defaults -----------------------------------------------------------------------------


@pytest.mark.parametrize("shop", [INCHES, METRIC], ids=["in", "mm"])
def test_a_file_that_writes_every_default_is_the_same_design(shop: dict[str, str]) -> None:
    least = f'name = "Top"\nunits = "{shop["units"]}"\n' + LEAST.replace('"54"', '"54 in"').replace(
        '"20"', '"20 in"'
    )
    short, long = parse(least), parse(ALL_DEFAULTS.format(**shop))
    assert short.mark == long.mark
    assert short.stock == long.stock
    assert short.saw == long.saw
    assert short.room == long.room


def test_the_edge_is_left_longer_only_where_it_is_trimmed() -> None:
    assert parse(LEAST).strips.overlength == 0.0
    assert parse(f'order = "trim"\n{LEAST}').strips.overlength == 12.7
    metric = LEAST.replace('"54"', "1400").replace('"20"', "500")
    assert parse(f'order = "trim"\nunits = "mm"\n{metric}').strips.overlength == 12.0
    assert parse(f'order = "trim"\n{LEAST}[strips]\noverlength = 0').strips.overlength == 0.0


def test_an_overall_size_less_the_frame_is_the_opening() -> None:
    text = LEAST.replace('width = "54"\ndepth = "20"', 'overall = ["58 1/2", "24"]')
    design = parse(text + '[frame]\nwidth = "2 1/4"\n')
    assert design.opening.width == pytest.approx(54 * 25.4)
    assert design.opening.depth == pytest.approx(19.5 * 25.4)
    assert design.frame is not None
    assert design.frame.corner == "mitre"


def test_an_outline_may_be_any_simple_polygon() -> None:
    points = '[["-20", "-10"], ["20", "-10"], ["20", "0"], ["0", "0"], ["0", "10"], ["-20", "10"]]'
    design = parse(LEAST.replace('width = "54"\ndepth = "20"', f"points = {points}"))
    assert design.opening.points[2] == (508.0, 0.0)
    assert design.opening.width is None


def test_a_design_without_a_name_is_called_by_its_file() -> None:
    def name(file_name: str) -> str:
        return parse_design(LEAST, file_name=file_name, beside=None).name

    assert name("hall-table.toml") == "Hall table"
    assert name("Side_Table.2.toml") == "Side Table 2"


def test_all_stock_of_the_contract_is_read() -> None:
    design = parse(
        LEAST
        + """
        [field.set]
        "length in widths" = 4
        w = "3/4 in"
        [tones]
        dark = "walnut"
        [woods.walnut]
        species = "Walnut, black"
        colour = "#5B4030"
        price = 9.50
        per = "board foot"
        [[stock.stick]]
        wood = "walnut"
        width = "1"
        thickness = "1/4"
        length = "96"
        count = 40
        price = 3.20
        [[stock.stick]]
        length = "2.4 m"
        """
    )
    assert dict(design.field.filling.settings) == {"r": 4.0, "w": 19.05}
    assert design.tones == {"dark": "walnut"}
    assert design.woods["walnut"].colour == "#5b4030"
    assert [stick.length for stick in design.stock.sticks] == [2438.4, 2400.0]
    assert design.stock.sticks[0].count == 40
    assert design.stock.sticks[1].wood is None


def test_american_spelling_is_read_as_british() -> None:
    design = parse(
        'license = "CC0"\n'
        + LEAST
        + 'center = "cut"\n[frame]\nwidth = "2"\ncorner = "Miter"\n[saw]\nlargest_miter = 47\n'
        + '[woods.maple]\ncolor = "#eee"\nprice = 2\nper = "cubic meter"\n'
    )
    assert design.licence == "CC0"
    assert design.frame is not None
    assert design.frame.corner == "mitre"
    assert design.saw.largest_mitre == 47.0
    assert design.woods["maple"].colour == "#eeeeee"
    assert design.woods["maple"].per == "cubic metre"
    assert design.place("saw.largest_mitre") == "top.toml, line 12, saw.largest_mitre"


def test_a_wood_spelt_with_a_capital_is_the_same_wood() -> None:
    design = parse(
        LEAST
        + '[tones]\ndark = "Walnut"\n[frame]\nwidth = "2"\nwood = "walnut"\n'
        + '[woods.WALNUT]\nprice = 9.5\nper = "foot"\n'
        + '[[stock.stick]]\nwood = "walnut "\nlength = 96\n'
    )
    assert design.frame is not None
    assert design.frame.wood == design.tones["dark"] == design.stock.sticks[0].wood == "Walnut"
    assert design.woods["Walnut"].name == "Walnut"


def test_a_tone_may_be_spelt_either_way(tmp_path: Path) -> None:
    pattern = (Path(__file__).parents[2] / "patterns" / "herringbone.toml").read_text("utf-8")
    (tmp_path / "mine.toml").write_text(pattern.replace('"dark"', '"grey"'), encoding="utf-8")
    text = LEAST.replace('"herringbone"', '"mine.toml"') + '[tones]\ngray = "ash"\n'
    assert parse_design(text, file_name="top.toml", beside=tmp_path).tones == {"grey": "ash"}


# --- places and marks ---------------------------------------------------------------------


def test_a_design_knows_where_its_keys_stand() -> None:
    design = parse(LEAST + "[field.set]\nr = 4\n[[stock.stick]]\nlength = 96\n")
    assert design.place("opening.width") == "top.toml, line 2, opening.width"
    assert design.place("field.set.r") == "top.toml, line 7, field.set.r"
    assert design.place("stock.stick.1.length") == "top.toml, line 9, stock.stick.length"
    assert design.place("stock.kerf") == "stock.kerf"


def test_the_mark_is_six_letters_that_change_with_the_contents() -> None:
    changes = ["", 'name = "Other"\n', 'order = "trim"\n', "both_units = true\n"]
    texts = [change + LEAST for change in changes]
    texts += [LEAST.replace('"54"', '"54 1/64"'), LEAST + "[field.set]\nr = 4.5\n"]
    texts += [LEAST.replace("herringbone", "chevron"), LEAST + '[tones]\ndark = "walnut"\n']
    marks = [parse(text).mark for text in texts]
    assert len(set(marks)) == len(marks)
    for mark in marks:
        assert len(mark) == 6
        assert set(mark) <= set("ABCDEFGHJKLMNPRSTUVWXYZ")
    assert parse(LEAST.replace('"54"', "'54.0 in' # wide")).mark == marks[0]


def test_the_mark_is_the_same_on_any_hash_seed() -> None:
    code = (
        "from tesselath.design.design_file import parse_design as p;"
        f"print(p({LEAST!r}, file_name='top.toml', beside=None).mark)"
    )
    marks = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(sys.path)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("0", "4711")
    }
    assert marks == {parse(LEAST).mark + "\n"}


# --- faults -------------------------------------------------------------------------------


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_each_faulty_file_is_answered_as_it_says_itself(path: Path) -> None:
    lines = path.read_text("utf-8").splitlines()
    expected = [line.removeprefix("#> ") for line in lines if line.startswith("#> ")]
    status = next(int(line.split()[1]) for line in lines if line.startswith("#exit "))
    with pytest.raises(DesignError) as caught:
        read_design(path)
    faults = [str(fault) for fault in caught.value.faults]
    assert len(faults) == len(expected), "\n".join(faults)
    for fault, words in zip(faults, expected, strict=True):
        assert fault.startswith(f"{path.name}, {words}")
        assert not any(word in fault for word in FOREIGN)
    assert caught.value.exit_status == status


def test_a_pattern_file_of_the_makers_own_has_its_own_places(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text('title = "Mine"\nnonsense = 1\n', encoding="utf-8")
    text = LEAST.replace('"herringbone"', '"mine.toml"') + "[strips]\ngap = -1\n"
    with pytest.raises(DesignFileError) as caught:
        parse_design(text, file_name="top.toml", beside=tmp_path)
    places = [fault.place for fault in caught.value.faults]
    assert places[0] == "top.toml, line 7, strips.gap"
    assert any(place.startswith("mine.toml, line 2") for place in places[1:])


def test_a_missing_pattern_file_is_told_at_its_key() -> None:
    faults = faults_of(LEAST.replace('"herringbone"', '"no-such.toml"'))
    assert len(faults) == 1
    assert faults[0].startswith('top.toml, line 5, field.pattern: "no-such.toml". ')


def test_keys_that_print_badly_do_not_break_a_message_in_two() -> None:
    faults = faults_of(LEAST + '"a\\nb" = 1\n[tones]\n"c\\td" = "x"\n[woods."e\\nf"]\nprice = -1\n')
    assert len(faults) == 3
    assert not any("\n" in fault or "\t" in fault for fault in faults)


@pytest.mark.parametrize("deep", [30, 200, 400])
def test_brackets_nested_too_deep_are_refused(deep: int) -> None:
    faults = faults_of(f"{LEAST}shift = {'[' * deep}{']' * deep}\nangel = 3\n")
    assert faults == ["top.toml: Its brackets are nested too deep for a design."] or (
        len(faults) == 1 and "nested too deep" in faults[0]
    )


# --- files --------------------------------------------------------------------------------


def test_a_file_may_begin_with_a_byte_order_mark(tmp_path: Path) -> None:
    path = tmp_path / "top.toml"
    path.write_bytes(b"\xef\xbb\xbf" + LEAST.replace("\n", "\r\n").encode())
    assert read_design(path).place("opening.width") == "top.toml, line 2, opening.width"


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (LEAST.encode("utf-16"), "The file is not UTF-8 text."),
        ('name = "Für Käthe"\n'.encode("latin-1"), "The file is not UTF-8 text."),
        (b"# " + b"x" * 1_000_001, "This file is too long to be a design."),
        (b"\x00\x01\x02", "top.toml, line 1"),
    ],
)
def test_a_file_that_is_no_design_gets_one_sentence(
    tmp_path: Path, content: bytes, says: str
) -> None:
    path = tmp_path / "top.toml"
    path.write_bytes(content)
    with pytest.raises(DesignFileError, match=says) as caught:
        read_design(path)
    assert len(caught.value.faults) == 1
    assert caught.value.exit_status == 2


def test_what_is_no_file_gets_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "top.toml").write_text(LEAST, encoding="utf-8")
    for path, says in (
        (
            tmp_path,
            f"This is a folder, not a design. Give the file in it, {tmp_path / 'top.toml'}.",
        ),
        (tmp_path / "none.toml", "There is no such file."),
        (tmp_path / "top.toml" / "x.toml", "There is no such file."),
        (Path("a\0b"), "This file cannot be read."),
        (tmp_path / ("x" * 300), "This file cannot be read."),
    ):
        with pytest.raises(DesignFileError) as caught:
            read_design(path)
        assert says in str(caught.value)
        assert len(caught.value.faults) == 1
        assert caught.value.exit_status == 2


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read all")
def test_a_file_without_permission_gets_one_sentence(tmp_path: Path) -> None:
    path = tmp_path / "top.toml"
    path.write_text(LEAST, encoding="utf-8")
    path.chmod(0)
    with pytest.raises(DesignFileError, match="may not be read"):
        read_design(path)


# --- schema and examples ------------------------------------------------------------------


def known(schema: dict[str, Any], steps: list[str]) -> bool:
    """Tell whether a key is in the schema; a list's items and a maker's own names are passed."""
    node = schema
    for step in steps:
        while "$ref" in node or "items" in node:
            node = schema["$defs"][node["$ref"].split("/")[-1]] if "$ref" in node else node["items"]
        if step in node.get("properties", {}):
            node = node["properties"][step]
        elif isinstance(node.get("additionalProperties"), dict):
            node = node["additionalProperties"]
        else:
            return False
    return True


def unknown_keys(schema: dict[str, Any], table: Any, steps: tuple[str, ...] = ()) -> list[str]:
    """List the keys of a file that the schema does not know."""
    if isinstance(table, list):
        return [key for item in table for key in unknown_keys(schema, item, steps)]
    if not isinstance(table, dict):
        return []
    found = []
    for key, value in table.items():
        path = (*steps, key)
        if not known(schema, list(path)):
            found.append(".".join(path))
        found += unknown_keys(schema, value, path)
    return found


def test_the_schema_that_ships_is_up_to_date() -> None:
    shipped = Path(design_file.__file__).with_name("design_schema.json").read_text("utf-8")
    assert shipped == design_schema(), "write it anew: python -m tesselath.design.design_schema"


def test_the_schema_knows_every_key_of_a_full_design_and_no_other() -> None:
    schema = json.loads(design_schema())
    tables = tomllib.loads(ALL_DEFAULTS.format(**INCHES))
    assert unknown_keys(schema, tables) == []
    tables["opening"]["widht"] = 1
    tables["tape2"] = 1
    assert unknown_keys(schema, tables) == ["opening.widht", "tape2"]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_every_example_is_read_and_known_to_the_schema(path: Path) -> None:
    design = read_design(path)
    assert design.mark
    tables = tomllib.loads(path.read_text("utf-8"))
    assert unknown_keys(json.loads(design_schema()), tables) == []


def test_faults_come_in_the_order_of_the_file() -> None:
    for first, second in itertools.permutations(
        ['tape = "x"', 'paper = "A0"', "both_units = 1"], 2
    ):
        faults = faults_of(f"{first}\n{second}\n{LEAST}")
        keys = [line.split(" =")[0] for line in (first, second)]
        assert [fault.split(", ")[2].split(":")[0] for fault in faults] == keys
