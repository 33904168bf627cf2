"""Symmetry: the seventeen groups from their general positions, and tilings from outside values."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable
from functools import cache
from math import cos, hypot, isclose, radians, sin, sqrt, tan
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, strategies as st

from tesselath.errors import PatternError
from tesselath.field import GROUP_WORDS, find_repeat, find_symmetry, pattern_symmetry, reduce_steps
from tesselath.field.symmetry import Symmetry
from tesselath.pattern import Pattern, find_pattern, settle_sizes
from tesselath.pattern.pattern_file import parse_pattern
from tesselath.shape import Outline, area, as_outline, turned

TILINGS = Path(__file__).parents[1] / "data" / "tilings.csv"

with TILINGS.open(encoding="utf-8", newline="") as file:
    ROWS = list(csv.DictReader(file))

#: One unit of the published tables, in mm.
UNIT = 20.0

#: General positions of the seventeen groups, as printed in the International Tables for
#: Crystallography, volume A (from memory): the image of (x, y) in parts of the two steps.
POSITIONS: dict[str, str] = {
    "p1": "x,y",
    "p2": "x,y; -x,-y",
    "pm": "x,y; -x,y",
    "pg": "x,y; -x,y+1/2",
    "cm": "x,y; -x,y; x+1/2,y+1/2; -x+1/2,y+1/2",
    "pmm": "x,y; -x,-y; -x,y; x,-y",
    "pmg": "x,y; -x,-y; -x+1/2,y; x+1/2,-y",
    "pgg": "x,y; -x,-y; -x+1/2,y+1/2; x+1/2,-y+1/2",
    "cmm": "x,y; -x,-y; -x,y; x,-y; x+1/2,y+1/2; -x+1/2,-y+1/2; -x+1/2,y+1/2; x+1/2,-y+1/2",
    "p4": "x,y; -x,-y; -y,x; y,-x",
    "p4m": "x,y; -x,-y; -y,x; y,-x; -x,y; x,-y; y,x; -y,-x",
    "p4g": "x,y; -x,-y; -y,x; y,-x; -x+1/2,y+1/2; x+1/2,-y+1/2; y+1/2,x+1/2; -y+1/2,-x+1/2",
    "p3": "x,y; -y,x-y; -x+y,-x",
    "p3m1": "x,y; -y,x-y; -x+y,-x; -y,-x; -x+y,y; x,x-y",
    "p31m": "x,y; -y,x-y; -x+y,-x; y,x; x-y,-y; -x,-x+y",
    "p6": "x,y; -y,x-y; -x+y,-x; -x,-y; y,-x+y; x-y,x",
    "p6m": "x,y; -y,x-y; -x+y,-x; -x,-y; y,-x+y; x-y,x; -y,-x; -x+y,y; x,x-y; y,x; x-y,-y; -x,-x+y",
}
ORDER = {name: len(text.split(";")) for name, text in POSITIONS.items()} | {"cm": 2, "cmm": 4}


def steps_for(name: str) -> np.ndarray:
    """Two steps of the right kind, and no more regular than the group needs."""
    if name in ("p1", "p2"):
        return np.array([(30.0, 0.0), (11.0, 47.0)])
    if name.startswith(("p3", "p6")):
        return np.array([(40.0, 0.0), (-20.0, 20.0 * sqrt(3))])
    if name.startswith("p4"):
        return np.array([(40.0, 0.0), (0.0, 40.0)])
    return np.array([(31.0, 0.0), (0.0, 53.0)])


def positions(name: str) -> list[tuple[np.ndarray, np.ndarray]]:
    """Read the general positions as matrices and shifts, in parts of the steps."""

    def read(text: str) -> tuple[list[float], float]:
        shift = 0.5 if text.endswith("+1/2") else 0.0
        plain = text.removesuffix("+1/2")
        signs = [0.0, 0.0]
        for n, letter in enumerate("xy"):
            if letter in plain:
                signs[n] = -1.0 if f"-{letter}" in plain else 1.0
        return signs, shift

    found = []
    for position in POSITIONS[name].split("; "):
        (row1, s1), (row2, s2) = (read(part.strip()) for part in position.split(","))
        found.append((np.array([row1, row2]), np.array([s1, s2])))
    return found


def orbit(name: str) -> list[Outline]:
    """Every image of one scalene triangle in a repeat of the group."""
    steps = steps_for(name)
    triangle = np.array([(0.11, 0.05), (0.24, 0.09), (0.13, 0.21)])
    outlines = []
    for matrix, shift in positions(name):
        corners = (triangle @ matrix.T + shift) @ steps
        outlines.append(as_outline(corners if area(corners) > 0 else corners[::-1]))
    return outlines


def pair(steps: np.ndarray) -> tuple[tuple[float, float], tuple[float, float]]:
    (a, b), (c, d) = steps.tolist()
    return (a, b), (c, d)


@pytest.mark.parametrize("name", POSITIONS)
def test_every_group_is_found_from_its_general_positions(name: str) -> None:
    found = find_symmetry(orbit(name), pair(steps_for(name)))
    assert found.group == name
    assert len(found.moves) == ORDER[name]
    assert found.pieces == len(POSITIONS[name].split(";")) // (2 if name.startswith("c") else 1)


@given(
    st.sampled_from(sorted(POSITIONS)),
    st.floats(0, 360),
    st.integers(-2, 2),
    st.integers(-2, 2),
    st.integers(1, 2),
    st.randoms(use_true_random=False),
)
def test_turning_skewing_and_repeating_the_repeat_change_nothing(
    name: str, angle: float, along: int, across: int, times: int, chance: object
) -> None:
    steps = steps_for(name)
    outlines = [outline + np.array([n, 0]) @ steps for n in range(times) for outline in orbit(name)]
    chance.shuffle(outlines)  # type: ignore[attr-defined]
    longer = np.array([(float(times), 0.0), (0.0, 1.0)]) @ steps
    skewed = np.array([(1, 0), (along, 1)]) @ np.array([(1, across), (0, 1)]) @ longer
    moved = [as_outline(turned(o, angle) + np.array((7.0, -3.0))) for o in outlines]
    found = find_symmetry(moved, pair(np.asarray(turned(as_outline(skewed), angle))))
    assert found.group == name
    assert len(found.moves) == ORDER[name]
    size = abs(float(np.linalg.det(np.array(found.steps))))
    whole = abs(float(np.linalg.det(steps)))
    assert isclose(size, whole / (2 if name.startswith("c") else 1), rel_tol=1e-9)


@pytest.mark.parametrize("name", POSITIONS)
def test_every_move_carries_each_piece_onto_a_piece(name: str) -> None:
    outlines, steps = orbit(name), steps_for(name)
    found = find_symmetry(outlines, pair(steps))
    middles = np.array([outline.mean(axis=0) for outline in outlines])
    for move in found.moves:
        images = middles @ np.array(move.matrix).T + np.array(move.shift)
        share = (images[:, None] - middles[None]) @ np.linalg.inv(steps)
        off = np.abs(share - np.round(share)).sum(axis=2).min(axis=1)
        assert off.max() < 1e-9
    turns = sorted(move.turn for move in found.moves if move.turn is not None)
    assert np.allclose(turns, np.arange(len(turns)) * 360.0 / len(turns))


def test_every_group_has_its_words() -> None:
    assert sorted(GROUP_WORDS) == sorted(POSITIONS)


def test_labels_keep_pieces_apart() -> None:
    tile = as_outline([(0, 0), (20, 0), (20, 20), (0, 20)])
    tiles, steps = [tile, tile + np.array([20, 0])], ((40.0, 0.0), (20.0, 20.0))
    assert find_symmetry(tiles, steps).pieces == 1
    chequered = find_symmetry(tiles, steps, labels=["dark", "light"])
    assert (chequered.group, chequered.pieces) == ("p4m", 2)
    assert isclose(hypot(*chequered.steps[0]), 20 * sqrt(2))


def test_grain_does_not_count_in_a_one_tone_drawing() -> None:
    # Source of the group: tilings.csv, herringbone 1:1.
    assert symmetry_of(find_pattern("basket-weave"), {"n": 1.0}).group == "p4m"


@given(
    st.floats(10, 90), st.floats(0, 360), st.floats(10, 90), st.integers(-9, 9), st.integers(-9, 9)
)
def test_shortened_steps_span_the_same_net(
    length: float, angle: float, other: float, a: int, b: int
) -> None:
    one = length * np.array([cos(radians(angle)), sin(radians(angle))])
    two = other * np.array([cos(radians(angle + 71)), sin(radians(angle + 71))])
    steps = np.array([one + a * two, b * one + (1 + a * b) * two])
    new, change = reduce_steps(steps)
    assert np.allclose(np.round(change), change)
    assert isclose(abs(np.linalg.det(change)), 1.0, rel_tol=1e-9)
    assert np.allclose(change @ steps, new)
    assert hypot(*new[0]) <= hypot(*new[1]) + 1e-9
    assert abs(new[0] @ new[1]) <= 0.5 * new[0] @ new[0] + 1e-6


def test_steps_that_are_parallel_are_refused() -> None:
    with pytest.raises(PatternError, match="direction"):
        reduce_steps(np.array([(4.0, 2.0), (2.0, 1.0)]))


# --- outside values: tests/data/tilings.csv ---------------------------------------------------
#
# Computed on explicit tiles by its author; the groups of herringbone (pgg), chevron (pmg),
# tumbling block (p6m), two-square (p4) and half running bond (cmm) are published as well.


def symmetry_of(pattern: Pattern, settings: dict[str, float], *, tones: bool = False) -> Symmetry:
    found = pattern_symmetry(pattern, values_of(pattern, settings), tones=tones)
    assert found is not None
    return found


def values_of(pattern: Pattern, settings: dict[str, float]) -> dict[str, float]:
    return settle_sizes(
        pattern, settings, strip_width=None, gap=0.0, zone_width=600.0, zone_depth=400.0
    )


@cache
def drawn(name: str) -> Pattern:
    """Patterns that the tables describe, as files of the test's own."""
    sizes = "".join(
        f'size.{size} = {{ value = "20 mm", label = "{size}" }}\n' for size in ("w", "L", "c")
    )
    text = {
        "pinwheel": """
            [[strip]]
            times = { k = 4 }
            turn = "90 * k"
            from = ["-(L + w) / 2", "-L / 2"]
            length = "L"
            [[strip]]
            from = ["(w - L) / 2", 0]
            length = "L - w"
            width = "L - w"
            [repeat]
            steps = [["L + w", 0], [0, "L + w"]]
        """,
        "two squares": """
            [[strip]]
            from = [0, "L / 2"]
            length = "L"
            width = "L"
            [[strip]]
            from = ["L", "w / 2"]
            length = "w"
            [repeat]
            steps = [["L", "w"], ["-w", "L"]]
        """,
        "chevron": """
            [[strip]]
            from = [0, 0]
            to = ["c", "c * tan(rise)"]
            cuts = ["rise", "rise"]
            [[strip]]
            from = ["c", "c * tan(rise)"]
            to = ["2 * c", 0]
            cuts = ["-rise", "-rise"]
            [repeat]
            steps = [["2 * c", 0], [0, "w / cos(rise)"]]
            [tone]
            names = ["dark", "light"]
            rule = "item"
        """,
        "lozenge": """
            [[piece]]
            points = [[0, 0], ["L", 0], ["L + L * cos(rise)", "L * sin(rise)"],
                      ["L * cos(rise)", "L * sin(rise)"]]
            [repeat]
            steps = [["L", 0], ["L * cos(rise)", "L * sin(rise)"]]
        """,
    }[name]
    angle = 'size.rise = { value = "45 deg", label = "rise" }\n'
    return parse_pattern(
        f'title = "{name}"\n{sizes}{angle}{text}', name=name, path=name, file_name=f"{name}.toml"
    )


def parameters(row: dict[str, str]) -> dict[str, str]:
    """Read what a row says of its sizes; W is 1 where it is not said."""
    told = {"W": "1"}
    for part in row["parameters"].replace(" deg", "").split(","):
        key, value = part.strip().split("=", 1)
        told[key] = {"W=1": "1", "n*W": told.get("n", "")}.get(value, value)
    return told


def described(row: dict[str, str]) -> tuple[Pattern, dict[str, float], bool]:
    """The pattern, the sizes and whether tones count, of one row of the table."""
    name = row["pattern"]
    told = parameters(row)
    toned = "species" in name
    if name.startswith("herringbone"):
        w = float(told["W"])
        n = float(told.get("m", 1))
        sizes = {"w": w * UNIT, "r": float(told["L"]) / w, "n": n}
        return find_pattern("herringbone"), sizes, toned
    if name.startswith("basket"):
        return find_pattern("basket-weave"), {"w": UNIT, "n": float(told["n"])}, toned
    if name.startswith("pinwheel"):
        sizes = {"w": float(told["W"]) * UNIT, "L": float(told["L"]) * UNIT}
        return drawn("pinwheel"), sizes, toned
    if name.startswith("two-square"):
        sizes = {"L": float(told["a"]) * UNIT, "w": float(told["b"]) * UNIT}
        return drawn("two squares"), sizes, toned
    if name.startswith("chevron"):
        sizes = {"w": UNIT, "c": float(told["c"]) * UNIT, "rise": float(told["beta"])}
        return drawn("chevron"), sizes, toned
    if name.startswith("tumbling"):
        return find_pattern("tumbling-block"), {"w": UNIT * sqrt(3) / 2}, toned
    if name.startswith("single lozenge"):
        return drawn("lozenge"), {"L": UNIT, "rise": float(told["angle"])}, toned
    share = {"stack bond": "0", "running bond 1/2": "1/2"}.get(name, "1/3")
    whole, _, part = share.partition("/")
    sizes = {"w": UNIT, "L": float(told["L"]) * UNIT, "offset": float(whole) / float(part or 1)}
    return find_pattern("running-bond"), sizes, toned


def named(row: dict[str, str]) -> str:
    return f"{row['pattern']}, {row['parameters']}"


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_groups_of_the_table_are_found(row: dict[str, str]) -> None:
    pattern, sizes, toned = described(row)
    found = symmetry_of(pattern, sizes, tones=toned)
    assert found.group == row["wallpaper_group_computed"]
    published = row["wallpaper_group_published"]
    if published in GROUP_WORDS:
        assert found.group == published


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_steps_and_densities_of_the_table_are_those_of_the_repeat(row: dict[str, str]) -> None:
    pattern, sizes, _ = described(row)
    repeat = find_repeat(pattern, values_of(pattern, sizes))
    assert repeat is not None
    steps = np.array(repeat.steps) / UNIT
    listed = np.array([json.loads(row["lattice_1"]), json.loads(row["lattice_2"])])
    assert isclose(abs(np.linalg.det(steps)), float(row["cell_area"]), rel_tol=1e-6)
    # The same net, however it is turned: equal lengths and an equal product of its short steps.
    (own, _), (theirs, _) = reduce_steps(steps), reduce_steps(listed)
    assert np.allclose(np.hypot(*own.T), np.hypot(*theirs.T), atol=2e-6)
    assert isclose(abs(own[0] @ own[1]), abs(theirs[0] @ theirs[1]), abs_tol=1e-5)
    assert len(repeat.outlines) == int(row["tiles_per_cell"])
    density = len(repeat.outlines) / abs(np.linalg.det(steps))
    told = {k: float(v) for k, v in parameters(row).items() if k != "offset"}
    assert isclose(density, DENSITIES[row["tiles_per_area"].split(";")[0]](told), rel_tol=1e-6)


#: The last column of the table, strips per area, worked out by hand.
DENSITIES: dict[str, Callable[[dict[str, float]], float]] = {
    "1/(L*W)": lambda t: 1 / (t["L"] * t["W"]),
    "1/(W*W)": lambda t: 1 / t["W"] ** 2,
    "1/(s*s*sin(angle))": lambda t: 1 / (t["s"] ** 2 * sin(radians(t["angle"]))),
    "2/(a*a+b*b)": lambda t: 2 / (t["a"] ** 2 + t["b"] ** 2),
    "2/(sqrt3*s*s)": lambda t: 2 / (sqrt(3) * t["s"] ** 2),
    "5/(L+W)^2": lambda t: 5 / (t["L"] + t["W"]) ** 2,
    "cos(beta)/(c*W)": lambda t: cos(radians(t["beta"])) / (t["c"] * t["W"]),
}


# --- whole patterns ---------------------------------------------------------------------------


def test_courses_give_the_groups_of_their_steps() -> None:
    assert symmetry_of(find_pattern("stair"), {}).group == "p2"
    # A step of half the length is a half running bond.
    half = symmetry_of(find_pattern("stair"), {"s": 40.0, "L": 80.0})
    assert half.group == "cmm"
    assert symmetry_of(find_pattern("zigzag"), {}).group == "pmg"


def test_what_has_one_middle_has_no_group() -> None:
    pattern = find_pattern("stepped-diamond")
    assert pattern_symmetry(pattern, values_of(pattern, {})) is None


def test_tones_that_come_round_after_several_repeats_make_the_repeat_larger() -> None:
    pattern = find_pattern("running-bond")
    one = symmetry_of(pattern, {"offset": 0.5})
    two = symmetry_of(pattern, {"offset": 0.5}, tones=True)
    assert (one.pieces, two.pieces) == (1, 2)


@given(st.floats(20, 60), st.floats(1.2, 9), st.integers(1, 3))
def test_herringbone_of_any_length_has_one_group(w: float, r: float, n: int) -> None:
    if abs(r - n) < 0.01:
        return  # a square block is a basket weave
    assert symmetry_of(find_pattern("herringbone"), {"w": w, "r": r, "n": n}).group == "pgg"


@given(st.floats(10, 40), st.floats(60, 200), st.floats(10, 70))
def test_chevron_of_any_rise_has_one_group(w: float, c: float, rise: float) -> None:
    found = symmetry_of(find_pattern("chevron"), {"w": w, "c": c, "rise": rise})
    assert found.group == "pmg"
    assert isclose(abs(np.linalg.det(np.array(found.steps))), 2 * c * w / cos(radians(rise)))
    assert tan(radians(rise)) > 0
