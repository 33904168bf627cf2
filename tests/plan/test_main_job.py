"""The main job from the outside: the command line plans many tops and the inspector goes over each.

The inspector shares no code with the program; see ``inspector``.
"""

from __future__ import annotations

import copy
import math
import os
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import Phase, given, note, settings, strategies as st

from designs import ELL, ODD_MM, Plan, Top, plan_of, run
from effort import examples
from inspector import inspect_plan, region, terms_of
from inspector_folder import check_map, check_tables
from inspector_terms import parse_mm
from setting_out import check_layout, expected

PATTERNS = Path(__file__).parents[2] / "patterns"

#: How many tops are tried beside the ones that are listed.


HERRINGBONE = {"w": "1 in", "r": 5}
TOPS: dict[str, Top] = {
    "herringbone 45": Top("herringbone", HERRINGBONE, angle=45.0),
    "herringbone 0": Top("herringbone", HERRINGBONE),
    "herringbone 17": Top("herringbone", {"w": "1 in", "r": 4}, angle=17.0),
    "herringbone odd ratio": Top("herringbone", {"w": "1 1/4 in", "r": 4.3}, angle=45.0),
    "herringbone double": Top("herringbone", {"w": "20 mm", "r": 6, "n": 2}, ODD_MM, 45.0, "mm"),
    "herringbone triple": Top("herringbone", {"w": "22 mm", "r": 6.5, "n": 3}, ODD_MM, 0.0, "mm"),
    "herringbone gap": Top("herringbone", HERRINGBONE, angle=45.0, gap="1/16", clearance="1/32"),
    "herringbone trim": Top("herringbone", HERRINGBONE, angle=45.0, order="trim"),
    "herringbone trim 0": Top("herringbone", HERRINGBONE, order="trim", gap="1/32"),
    "herringbone lap": Top("herringbone", HERRINGBONE, angle=45.0, order="lap"),
    "herringbone one face": Top("herringbone", HERRINGBONE, angle=45.0, faces="one"),
    "herringbone one face 17": Top("herringbone", HERRINGBONE, angle=17.0, faces="one"),
    "herringbone ell": Top(
        "herringbone",
        {"w": "25 mm", "r": 5},
        None,
        45.0,
        "mm",
        points=tuple((float(x), float(y)) for x, y in ELL),
    ),
    "herringbone tiny": Top("herringbone", {"w": "1 in", "r": 5}, ("4", "3"), 45.0),
    "chevron": Top("chevron", {"w": "1 in", "c": "4 in"}),
    "chevron one face": Top("chevron", {"w": "1 in", "c": "4 in"}, faces="one"),
    "chevron one face, stop right": Top(
        "chevron", {"w": "1 in", "c": "4 in"}, faces="one", saw='stop_side = "right"'
    ),
    "chevron 30": Top(
        "chevron",
        {"w": "40 mm", "c": "130 mm", "rise": "30 deg"},
        ODD_MM,
        0.0,
        "mm",
        clearance="0.8",
    ),
    "chevron 60": Top("chevron", {"w": "25 mm", "c": "90 mm", "rise": "60 deg"}, ODD_MM, 0.0, "mm"),
    "chevron turned": Top(
        "chevron", {"w": "1 in", "c": "4 in", "rise": "35 deg"}, angle=90.0, faces="one"
    ),
    "chevron gap": Top("chevron", {"w": "25 mm", "c": "110 mm"}, ODD_MM, 0.0, "mm", gap="1.5"),
    "chevron trim": Top("chevron", {"w": "1 in", "c": "4 in"}, order="trim", faces="one"),
    "chevron lap": Top("chevron", {"w": "1 in", "c": "4 in"}, order="lap", gap="1/32"),
    "chevron ell": Top(
        "chevron",
        {"w": "25 mm", "c": "110 mm"},
        None,
        0.0,
        "mm",
        points=tuple((float(x), float(y)) for x, y in ELL),
    ),
    "stepped diamonds": Top("stepped-diamond", {"w": "1 in", "s": "1 1/2 in", "n": 3}),
    "stepped diamonds gap": Top(
        "stepped-diamond", {"w": "20 mm", "s": "30 mm", "n": 4}, ODD_MM, 0.0, "mm", gap="1"
    ),
    "stepped diamonds 30": Top(
        "stepped-diamond", {"w": "1 in", "s": "1 1/2 in", "n": 2}, angle=30.0, order="trim"
    ),
    "stair": Top("stair", {"w": "1 in", "s": "1 1/8 in", "L": "4 in"}),
    "stair 45": Top(
        "stair", {"w": "22 mm", "s": "30 mm", "L": "100 mm"}, ODD_MM, 45.0, "mm", faces="one"
    ),
    "basket weave": Top("basket-weave", {"w": "3/4 in", "n": 3}),
    "basket weave gap": Top("basket-weave", {"w": "3/4 in", "n": 4}, gap="1/16", clearance="1/16"),
    "basket weave 45": Top("basket-weave", {"w": "25 mm", "n": 3}, ODD_MM, 45.0, "mm"),
    "running bond": Top("running-bond", {"w": "1 1/2 in", "L": "8 in"}),
    "running bond third": Top(
        "running-bond", {"w": "35 mm", "L": "190 mm", "offset": 0.3}, ODD_MM, 0.0, "mm", gap="2"
    ),
    "running bond 10": Top(
        "running-bond", {"w": "1 1/2 in", "L": "8 in"}, angle=10.0, saw='largest_mitre = "60 deg"'
    ),
    "tumbling block": Top("tumbling-block", {"w": "1 1/4 in"}),
    "tumbling block one face": Top("tumbling-block", {"w": "1 1/4 in"}, faces="one"),
    "tumbling block gap": Top("tumbling-block", {"w": "32 mm"}, ODD_MM, 0.0, "mm", gap="1"),
    "tumbling block trim": Top("tumbling-block", {"w": "1 1/4 in"}, order="trim", angle=15.0),
    "tumbling block tiny": Top("tumbling-block", {"w": "1 1/4 in"}, ("4", "3")),
    "running bond thin kerf": Top(
        "running-bond",
        {"w": "1 in", "L": "6 in"},
        angle=45.0,
        stock='kerf = "3/32"\nspare_sticks = 2\nend_trim = 0',
    ),
    "chevron no spares": Top(
        "chevron",
        {"w": "1 in", "c": "5 in", "rise": "40 deg"},
        stock='defects = "20 %"\nspares = 0',
    ),
}

SMALL = Top("chevron", {"w": "1 in", "c": "3 in"}, ("13 3/8", "10 5/8"), faces="one")
TOPS["small, with both hands"] = SMALL


# --- the inspections --------------------------------------------------------------------------


@pytest.mark.parametrize("name", TOPS)
def test_every_plan_passes_the_inspector(name: str) -> None:
    text = TOPS[name].text()
    inspect_plan(plan_of(text), terms_of(text))


_TRAPEZOIDS = '[[border]]\nwidth = "50 mm"\ncorner = "square"\npattern = "trapezoid-bars"'
_PLAIN_BANDS = """\
[[border]]
width = "1 1/2"
wood = "walnut"
[[border]]
width = "3/4"
corner = "pinwheel"
wood = "maple"
"""
_FIGURE = """\
[[medallion]]
points = [["6 in", 0], [0, "4 in"], ["-6 in", 0], [0, "-4 in"]]
pattern = "chevron"
"""
ZONED: dict[str, Top] = {
    "square corners, band of trapezoids": Top("herringbone", HERRINGBONE, tail=_TRAPEZOIDS),
    "two bands": Top("chevron", {"w": "1 in", "c": "4 in"}, tail=_PLAIN_BANDS, faces="one"),
    "bands and a gap": Top(
        "stepped-diamond",
        {"w": "1 in", "s": "1 in"},
        tail=_PLAIN_BANDS,
        gap="1/32",
        clearance="1/32",
    ),
    "figure let in": Top("herringbone", HERRINGBONE, angle=45.0, tail=_FIGURE),
    "four ways": Top(
        "running-bond", {"w": "1 in", "L": "5 in"}, angle=45.0, sets='mirror = "four ways"'
    ),
    "left-right, run through": Top(
        "chevron",
        {"w": "1 in", "c": "5 in"},
        faces="one",
        sets='mirror = "left-right"\ncentre = "run through"',
    ),
    "quarters turned, trimmed": Top(
        "stair",
        {"w": "1 in", "s": "1 in", "L": "4 in"},
        order="trim",
        sets='mirror = "quarters turned"',
        tail=_PLAIN_BANDS,
    ),
    "all at once": Top(
        "herringbone",
        HERRINGBONE,
        angle=45.0,
        tail=_PLAIN_BANDS + _FIGURE,
        sets='mirror = "left-right"',
        faces="one",
        gap="1/64",
    ),
}


@pytest.mark.parametrize("name", ZONED)
def test_every_plan_with_zones_passes_the_inspector(name: str) -> None:
    text = ZONED[name].text()
    inspect_plan(plan_of(text), terms_of(text))


@pytest.mark.deep
@pytest.mark.parametrize("pattern", sorted(path.stem for path in PATTERNS.glob("*.toml")))
@pytest.mark.parametrize(
    "variant",
    [{}, {"gap": "1/32", "faces": "one"}, {"order": "trim", "angle": 30.0}, {"order": "lap"}],
    ids=str,
)
def test_every_shipped_pattern_passes_the_inspector(
    pattern: str, variant: dict[str, Any], request: pytest.FixtureRequest
) -> None:
    if pattern == "framed-block" and "gap" in variant:
        known = "corners too thin to keep wood are 0.40 % of the field, a hair over the limit"
        request.applymarker(pytest.mark.xfail(strict=True, reason=known))
    text = Top(pattern, {}, ("19 5/8", "14 3/16"), **variant).text()
    inspect_plan(plan_of(text), terms_of(text))


@pytest.mark.parametrize("name", TOPS)
def test_pieces_lie_where_the_motif_puts_them(name: str) -> None:
    top = TOPS[name]
    plan, terms = plan_of(top.text()), terms_of(top.text())
    laid = expected(
        top.pattern, top.sizes_mm(), field=region(plan, terms), gap=terms.gap, angle=top.angle
    )
    check_layout(plan, laid)


@pytest.mark.parametrize(
    "name", ["herringbone 17", "herringbone trim", "chevron one face", "tumbling block gap"]
)
def test_tables_and_map_say_what_the_plan_says(name: str, tmp_path: Path) -> None:
    folder = run(TOPS[name].text(), tmp_path)
    check_tables(folder)
    check_map(folder)


@pytest.mark.deep
@pytest.mark.parametrize("name", TOPS)
def test_every_top_is_written_in_every_form(name: str, tmp_path: Path) -> None:
    folder = run(TOPS[name].text(), tmp_path, only="")
    assert all(path.stat().st_size > 100 for path in folder.iterdir())
    assert {"plan.pdf", "cards.pdf", "rod.pdf", "template.pdf", "map.dxf"} <= {
        path.name for path in folder.iterdir()
    }


@st.composite
def tops(draw: st.DrawFn) -> Top:
    """Any shipped pattern at odd sizes, turns and shifts, in an odd opening."""
    pattern = draw(st.sampled_from(sorted(_SIZES)))
    mm = st.integers(220, 700).map(lambda n: n + 0.3)
    angle = draw(st.sampled_from([0.0, 45.0, 90.0, 30.0]) | st.integers(-1800, 1800).map(_tenth))
    shift = draw(st.tuples(*[st.integers(-300, 300).map(lambda n: f"{n / 7:.4f}")] * 2))
    sizes = {key: draw(values) for key, values in _SIZES[pattern].items()}
    return Top(
        pattern,
        sizes,
        (str(draw(mm)), str(draw(mm))),
        angle,
        "mm",
        order=draw(st.sampled_from(["let in", "let in", "trim", "lap"])),
        faces=draw(st.sampled_from(["both", "one"])),
        gap=draw(st.sampled_from(["0", "0", "0.8", "2.5"])),
        clearance=draw(st.sampled_from(["0", "0.8", "3"])),
        shift=(shift[0], shift[1]),
        saw=draw(st.sampled_from(["", 'stop_side = "right"', "largest_mitre = 30"])),
    )


def _tenth(tenths: int) -> float:
    return tenths / 10


def _mm(least: int, most: int) -> st.SearchStrategy[str]:
    return st.integers(least * 8, most * 8).map(lambda n: f"{n / 8} mm")


_SIZES: dict[str, dict[str, st.SearchStrategy[Any]]] = {
    "herringbone": {"w": _mm(20, 60), "r": st.integers(12, 80).map(_tenth), "n": st.integers(1, 3)},
    "chevron": {
        "w": _mm(20, 60),
        "c": _mm(40, 250),
        "rise": st.integers(10, 70).map(lambda n: f"{n} deg"),
    },
    "stepped-diamond": {"w": _mm(20, 60), "s": _mm(12, 60), "n": st.integers(2, 6)},
    "stair": {"w": _mm(20, 60), "s": _mm(12, 60), "L": _mm(40, 250)},
    "basket-weave": {"w": _mm(12, 40), "n": st.integers(1, 6)},
    "running-bond": {"w": _mm(20, 60), "L": _mm(60, 300), "offset": st.integers(0, 10).map(_tenth)},
    "tumbling-block": {"w": _mm(25, 70)},
}


@given(top=tops())
@settings(
    examples(6),  # a plan takes longer than a sum
    # To shrink a top takes a plan a try; the text that is noted can be cut down by hand.
    phases=[Phase.explicit, Phase.generate],
)
def test_any_top_passes_the_inspector(top: Top) -> None:
    text = top.text()
    plan, terms = plan_of(text), terms_of(text)
    note(text)
    inspect_plan(plan, terms)
    shift = (parse_mm(top.shift[0], "mm"), parse_mm(top.shift[1], "mm"))
    field = region(plan, terms)
    laid = expected(
        top.pattern, top.sizes_mm(), field=field, gap=terms.gap, angle=top.angle, shift=shift
    )
    check_layout(plan, laid)


# --- what must not matter ---------------------------------------------------------------------


def kinds(plan: Plan) -> Counter[tuple[Any, ...]]:
    """Give the parts without their marks and numbers."""
    return Counter(
        (
            part["count"],
            part["spares"],
            part["wood"],
            part["handling"],
            len(part["cuts"]),
            *(_near(part[key]) for key in ("overall", "width", "edge")),
            *sorted(_near(abs(mitre)) for mitre in part["mitres"]),
        )
        for part in plan["parts"]
    )


def _near(value: float) -> float:
    """Round to hundredths; the odd offset keeps fractions of an inch off the halves."""
    return round(value + 0.00037, 2)


@pytest.mark.parametrize(
    "name",
    [
        "herringbone 17",
        "herringbone gap",
        "chevron one face",
        "stepped diamonds 30",
        "stair 45",
        "running bond 10",
        "tumbling block",
        "basket weave",
    ],
)
def test_turning_the_whole_design_leaves_the_parts_alike(name: str) -> None:
    top = TOPS[name]
    assert top.size
    turned = replace(top, angle=top.angle + 90, size=top.size[::-1])
    one, other = plan_of(top.text()), plan_of(turned.text())
    assert kinds(one) == kinds(other)
    for key in ("pieces", "parts", "cuts", "setups", "sticks", "sticks_to_buy"):
        assert one["totals"][key] == other["totals"][key], key


def _step_of(top: Top, along: float, away: float) -> Top:
    """Shift a design by a step in the pattern's own axes [mm]."""
    c, s = math.cos(math.radians(top.angle)), math.sin(math.radians(top.angle))
    x, y = along * c - away * s, along * s + away * c
    return replace(top, shift=(f"{x:.12f} mm", f"{y:.12f} mm"))


# Steps [mm] after which each motif, tones and all, comes to lie on itself.
_STEPS: dict[str, tuple[float, float]] = {
    "herringbone 45": (25.4 + 5 * 25.4, 25.4 - 5 * 25.4),  # (w, w) and (L, -L)
    "herringbone 17": (3 * 25.4, 3 * 25.4),
    "herringbone double": (6 * 20.0, -6 * 20.0),
    "herringbone gap": (2 * (25.4 + 1.5875), 2 * (25.4 + 1.5875)),
    "chevron": (2 * 101.6, 3 * 25.4 * math.sqrt(2)),  # three tones up
    "stair": (3 * 101.6, 0.0),
    "basket weave 45": (3 * 25.0, -3 * 25.0),
    "running bond": (2 * 203.2, 2 * 38.1),
    "tumbling block": (math.sqrt(3) * 31.75 / math.sin(math.pi / 3), 0.0),
}


@pytest.mark.parametrize("name", _STEPS)
def test_a_step_of_the_motif_changes_nothing(name: str) -> None:
    top = TOPS[name]
    one, other = plan_of(top.text()), plan_of(_step_of(top, *_STEPS[name]).text())
    assert kinds(one) == kinds(other)
    assert one["totals"]["sticks"] == other["totals"]["sticks"]
    for a, b in zip(one["pieces"], other["pieces"], strict=True):
        assert (a["number"], a["part"], a["wood"], a["row"]) == (
            b["number"],
            b["part"],
            b["wood"],
            b["row"],
        )
        assert sorted(map(_rounded, a["outline"])) == sorted(map(_rounded, b["outline"]))


def _rounded(point: list[float]) -> tuple[float, float]:
    return round(point[0], 5) + 0.0, round(point[1], 5) + 0.0


@pytest.mark.parametrize("name", ["herringbone 45", "chevron one face", "stepped diamonds"])
def test_inches_and_mm_give_the_same_mm(name: str) -> None:
    top = TOPS[name]
    metric = replace(
        top,
        units="mm",
        size=("600.075", "436.5625"),
        set={k: f"{parse_mm(v, '')!r} mm" if isinstance(v, str) else v for k, v in top.set.items()},
    )
    one, other = plan_of(top.text()), plan_of(metric.text())
    assert kinds(one) == kinds(other)
    for a, b in zip(one["pieces"], other["pieces"], strict=True):
        assert np.allclose(a["outline"], b["outline"], rtol=0, atol=1e-9), a["number"]
        assert a["wood"] == b["wood"]


def test_same_design_gives_the_same_bytes_on_any_hash_seed(tmp_path: Path) -> None:
    found = []
    for seed in ("1", "77"):
        folder = tmp_path / seed
        folder.mkdir()
        (folder / "top.toml").write_text(SMALL.text(), encoding="utf-8")
        command = [sys.executable, "-m", "tesselath", "plan", "top.toml", "--into", "out"]
        answer = subprocess.run(
            command,
            cwd=folder,
            env={**os.environ, "PYTHONHASHSEED": seed},
            check=False,
            capture_output=True,
            text=True,
        )
        assert answer.returncode == 0, answer.stderr
        files = {path.name: path.read_bytes() for path in sorted((folder / "out").iterdir())}
        found.append((answer.stdout, files))
    assert "plan.json" in found[0][1]
    assert found[0] == found[1]


# --- does the inspector see? ------------------------------------------------------------------


def _shift_piece(plan: Plan) -> None:
    for point in plan["pieces"][7]["outline"]:
        point[0] += 0.02


def _drop_piece(plan: Plan) -> None:
    plan["pieces"].pop()


def _mirror_first_chiral(plan: Plan) -> None:
    """Exchange the outlines of two pieces of a handed pair's hands."""
    part = next(p for p in plan["parts"] if p["handed_pair"])
    piece = plan["pieces"][part["numbers"][-1] - 1]
    x0 = min(x for x, _ in piece["outline"]) + max(x for x, _ in piece["outline"])
    piece["outline"] = [[x0 - x, y] for x, y in reversed(piece["outline"])]
    piece["grain"] = (180.0 - piece["grain"]) % 180.0


def _setup(plan: Plan) -> Plan:
    """Find a set-up that makes parallelograms."""
    return next(s for s in plan["setups"] if s["mitre"] > 1 and s["handling"] == "slide")


def _swing_round(plan: Plan) -> None:
    setup = _setup(plan)
    setup["swing"] = setup["end_swing"] = {"L": "R", "R": "L"}[setup["swing"]]


def _other_stop(plan: Plan) -> None:
    setup = _setup(plan)
    setup["stop_side"] = {"left": "right", "right": "left"}[setup["stop_side"]]


def _split_part(plan: Plan) -> None:
    """Call half of a part by a new letter."""
    part = max(plan["parts"], key=lambda p: p["count"])
    new = copy.deepcopy(part)
    last = max(p["mark"].split("-")[0] for p in plan["parts"])
    new["mark"], new["handed_pair"] = chr(ord(last) + 1), None
    new["numbers"], part["numbers"] = part["numbers"][:6], part["numbers"][6:]
    for p in (new, part):
        p["count"] = len(p["numbers"])
        p["spares"] = math.ceil(p["count"] * 0.1)
    for number in new["numbers"]:
        plan["pieces"][number - 1]["part"] = new["mark"]
    plan["parts"].append(new)


def _set(path: str, change: Callable[[Any], Any]) -> Callable[[Plan], None]:
    """Change one value of a plan, by its path."""

    def tamper(plan: Plan) -> None:
        *steps, last = [int(step) if step.isdigit() else step for step in path.split(".")]
        place: Any = plan
        for step in steps:
            place = place[step]
        place[last] = change(place[last])

    return tamper


_TAMPERINGS: dict[str, Callable[[Plan], None]] = {
    "a piece is moved by a fiftieth of a mm": _shift_piece,
    "a piece is missing": _drop_piece,
    "a piece is the mirror image": _mirror_first_chiral,
    "a part is torn in two": _split_part,
    "a number comes twice": _set("pieces.3.number", lambda n: n - 1),
    "a grain is turned": _set("pieces.3.grain", lambda g: (g + 90) % 180),
    "an outline runs clockwise": _set("pieces.3.outline", lambda o: o[::-1]),
    "an outline repeats its first point": _set("pieces.3.outline", lambda o: [*o, o[0]]),
    "an overall is a hair too long": _set("pieces.3.overall", lambda v: v + 0.02),
    "an edge is the strip width too long": _set("parts.0.edge", lambda v: v + 25.4),
    "a count is one off": _set("parts.0.count", lambda n: n + 1),
    "a spare is forgotten": _set("parts.0.spares", lambda n: n - 1),
    "a wood is another": _set("pieces.3.wood", lambda w: "oak" if w != "oak" else "ash"),
    "a mark has the letter O": _set("parts.0.mark", lambda m: "O"),
    "a mitre leans the other way": _set("parts.0.cuts.0.mitre", lambda m: -m),
    "a cut is a tenth off": _set("parts.0.cuts.1.at", lambda at: at + 0.1),
    "the saw swings to the other side": _swing_round,
    "the stop is set a strip's width too far": lambda plan: _setup(plan).update(
        stop=_setup(plan)["stop"] + 25.4
    ),
    "the stop stands at the other side": _other_stop,
    "the stick is rolled between cuts": lambda plan: _setup(plan).update(handling="roll"),
    "a part has no set-up": _set("setups.0.parts", lambda parts: parts[1:]),
    "a stick loses a piece": _set("sticks.0.pieces", lambda marks: marks[1:]),
    "a piece lies too near its neighbour": _set("sticks.0.laid.1.at", lambda at: at - 1),
    "a stick is longer than it is": _set("sticks.0.left_over", lambda v: v + 1),
    "a stick has no tail": _set("sticks.0", lambda s: {**s, "used": s["length"], "left_over": 0}),
    "a stick to buy is forgotten": _set("totals.sticks_to_buy.walnut", lambda n: n - 1),
    "a piece is glued twice": _set("glue_ups.0.numbers", lambda n: [*n, n[0]]),
    "a note names no piece": _set("notes.0.numbers", lambda n: [9999]),
    "a total is off": _set("totals.wood_area", lambda v: v * 1.001),
}


@pytest.mark.parametrize("tampering", _TAMPERINGS)
def test_inspector_sees_that(tampering: str) -> None:
    text = SMALL.text()
    plan = copy.deepcopy(plan_of(text))
    _TAMPERINGS[tampering](plan)
    with pytest.raises(AssertionError):
        inspect_plan(plan, terms_of(text))
