"""Lay: every strip that touches the zone, once, in its row, in its tone."""

from __future__ import annotations

import csv
import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st

from effort import examples
from tesselath.errors import PatternError
from tesselath.field import cell_items, cell_steps, lay_pattern
from tesselath.field.lay import MOST_STRIPS, Laid
from tesselath.pattern import find_pattern, settle_sizes
from tesselath.shape import Outline, area, turned
from tops import FILLING, box, draw_sizes, lay, lay_drawn, own, some_ell, some_zone

BOND = """
title = "t"
size.w = {{ value = "20 mm" }}
size.L = {{ value = "90 mm" }}
strip = [{{ from = [0, "w / 2"], length = "L" }}]
repeat.steps = {steps}
tone = {{ names = ["p", "q", "r"], rule = "{rule}" }}
"""


def _bond(steps: str = '[["L", 0], ["L / 2", "w"]]', rule: str = "a") -> Any:
    return own(BOND.format(steps=steps, rule=rule))


def _shapes(laid: Laid) -> list[shapely.Polygon]:
    return [
        shapely.Polygon(laid.prototypes[k].outline + offset)
        for k, offset in zip(laid.which, laid.offsets, strict=True)
    ]


def _places(laid: Laid, *, tones: bool = True) -> set[tuple[float, ...]]:
    """The middle of every strip, with its tone."""
    return {
        (
            *(np.round(laid.prototypes[k].outline.mean(axis=0) + offset, 5) + 0.0).tolist(),
            int(tone) if tones else 0,
        )
        for k, offset, tone in zip(laid.which, laid.offsets, laid.tones, strict=True)
    }


@given(st.data())
def test_every_point_of_a_zone_lies_in_one_strip(data: st.DataObject) -> None:
    pattern = find_pattern(data.draw(st.sampled_from(FILLING)))
    sizes = data.draw(draw_sizes(pattern))
    zone = data.draw(st.one_of(some_zone(), some_ell()))
    angle = data.draw(st.one_of(st.sampled_from([0.0, 30.0, 45.0, 90.0]), st.floats(0, 360)))
    origin = data.draw(st.tuples(st.floats(-100, 100), st.floats(-100, 100)))
    laid, _ = lay_drawn(pattern, zone, sizes, gap=0.0, angle=angle, origin=origin)
    rng = np.random.default_rng(3)
    points = shapely.points(rng.uniform(zone.min(axis=0), zone.max(axis=0), (150, 2)))
    points = points[shapely.contains(shapely.Polygon(zone).buffer(-0.01), points)]
    tree = shapely.STRtree([s.buffer(-1e-7) for s in _shapes(laid)])
    found = np.bincount(tree.query(points, predicate="within")[0], minlength=len(points))
    # A point within a ten-millionth of a joint may be in none.
    assert found.max(initial=1) == 1
    assert np.sum(found == 0) <= 1


@given(st.data())
def test_no_strip_is_laid_that_lies_beyond_a_side_of_the_zone(data: st.DataObject) -> None:
    pattern = find_pattern(data.draw(st.sampled_from(FILLING)))
    sizes = data.draw(draw_sizes(pattern))
    zone = data.draw(some_zone())
    laid, _ = lay_drawn(pattern, zone, sizes, gap=0.0, angle=17.0, origin=(3.0, 4.0))
    hull = shapely.Polygon(zone)
    normals = np.roll(zone, -1, axis=0) - zone
    for shape in _shapes(laid):
        corners = shapely.get_coordinates(shape)
        for (x, y), (ux, uy) in zip(zone, normals, strict=True):
            inward = (corners[:, 1] - y) * ux - (corners[:, 0] - x) * uy
            assert inward.max() > 0, f"{shape.wkt} lies beyond a side of {hull.wkt}"


@examples(12)
@given(
    # Random lengths have a test of their own.
    st.sampled_from([name for name in FILLING if name != "random-courses"]),
    st.floats(0, 360),
    st.floats(-80, 80),
)
def test_turning_zone_and_pattern_together_turns_the_strips(
    name: str, turn: float, shift: float
) -> None:
    pattern, zone = find_pattern(name), box(260, 180)
    plain, _ = lay(pattern, zone, origin=(shift, 0.0))
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    # The box of the zone along the pattern's own axes is the same either way.
    together, _ = lay(pattern, turned(zone, turn), angle=turn, origin=(c * shift, s * shift))
    assert len(together.which) == len(plain.which)
    back: set[tuple[float, ...]] = {
        (round(c * x + s * y, 4) + 0.0, round(-s * x + c * y, 4) + 0.0, tone)
        for x, y, tone in _places(together)
    }
    wanted: set[tuple[float, ...]] = {
        (round(x, 4) + 0.0, round(y, 4) + 0.0, tone) for x, y, tone in _places(plain)
    }
    assert _nearly_the_same(back, wanted)


def _nearly_the_same(a: set[tuple[float, ...]], b: set[tuple[float, ...]]) -> bool:
    """The same places to a thousandth, however the last digit was rounded."""
    one, other = np.array(sorted(a)), np.array(sorted(b))
    tree = shapely.STRtree(shapely.points(other[:, :2]))
    near = tree.query_nearest(shapely.points(one[:, :2]), return_distance=True)
    tones = other[near[0][1], 2] == one[near[0][0], 2]
    return bool(len(one) == len(other) and near[1].max() < 1e-3 and tones.all())


@examples(10)
@given(st.sampled_from(FILLING), st.integers(-2, 2), st.integers(-2, 2))
def test_a_shift_by_steps_lays_the_same_strips(name: str, a: int, b: int) -> None:
    pattern, zone = find_pattern(name), box(260, 180)
    sizes = settle_sizes(pattern, {}, strip_width=None, gap=0.0, zone_width=260.0, zone_depth=180.0)
    steps = cell_steps(pattern, sizes)
    if steps is None:
        return
    shift = (a * steps[0][0] + b * steps[1][0], a * steps[0][1] + b * steps[1][1])
    plain, moved = lay(pattern, zone)[0], lay(pattern, zone, origin=shift)[0]
    assert _nearly_the_same(_places(plain, tones=False), _places(moved, tones=False))


def _published() -> list[dict[str, str]]:
    with (Path(__file__).parents[1] / "data" / "tilings.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _as_shipped(row: dict[str, str]) -> tuple[str, dict[str, float]] | None:
    """The shipped pattern and the sizes of a row of the table, its unit taken for 20 mm."""
    unit = 20.0
    given_: dict[str, float] = {}
    for part in row["parameters"].split(","):
        key, _, value = part.partition("=")
        if value and all(c.isdigit() or c in "./" for c in value.split()[0]):
            top, _, bottom = value.split()[0].partition("/")
            given_[key.strip()] = float(top) / float(bottom or 1)
    name = row["pattern"]
    w = given_.get("W", 1.0) * unit
    if name.startswith("herringbone") and given_.get("L", 0) > 1:
        return "herringbone", {"w": w, "r": given_["L"], "n": given_.get("m", 1)}
    if name.startswith("basket weave"):
        return "basket-weave", {"w": w, "n": given_["n"]}
    if name.startswith("chevron"):
        return "chevron", {"w": w, "c": given_["c"] * unit, "rise": given_["beta"]}
    if name.startswith("tumbling blocks"):
        return "tumbling-block", {"w": unit * math.sqrt(3) / 2}
    if name.startswith("stack bond"):
        return "running-bond", {"w": w, "L": given_["L"] * unit, "offset": 0.0}
    if name.startswith("running bond"):
        return "running-bond", {"w": w, "L": given_["L"] * unit, "offset": given_["offset"]}
    return None


PUBLISHED = [
    pytest.param(row, *found, id=f"{row['pattern']} {row['parameters']}")
    for row in _published()
    if (found := _as_shipped(row)) is not None
]


@pytest.mark.parametrize(("row", "name", "sizes"), PUBLISHED)
def test_shipped_patterns_have_the_steps_and_strips_of_the_table(
    row: dict[str, str], name: str, sizes: dict[str, float]
) -> None:
    pattern = find_pattern(name)
    settled = settle_sizes(
        pattern, sizes, strip_width=None, gap=0.0, zone_width=1.0, zone_depth=1.0
    )
    items = cell_items(pattern, settled, angle=0.0, origin=(0.0, 0.0), zone=box(1, 1))
    steps = cell_steps(pattern, settled)
    assert steps is not None
    det = steps[0][0] * steps[1][1] - steps[0][1] * steps[1][0]
    assert len(items) == int(row["tiles_per_cell"])
    assert abs(det) / 400 == pytest.approx(float(row["cell_area"]), rel=1e-6)
    assert sum(area(i.prototype.outline) for i in items) == pytest.approx(abs(det), rel=1e-12)
    # Each step of the table is a whole number of the pattern's own steps.
    wanted = 20.0 * np.array([json.loads(row["lattice_1"]), json.loads(row["lattice_2"])])
    counts = np.linalg.solve(np.array(steps).T, wanted.T)
    assert counts == pytest.approx(np.round(counts), abs=2e-6)
    assert abs(np.linalg.det(np.round(counts))) == pytest.approx(1.0)


def test_the_table_was_read() -> None:
    assert len(PUBLISHED) > 20
    assert {name for _, name, _ in (p.values for p in PUBLISHED)} >= {
        "herringbone",
        "chevron",
        "basket-weave",
        "tumbling-block",
        "running-bond",
    }


@pytest.mark.parametrize(
    ("steps", "reason"),
    [
        ('[["L - L", 0], [0, "w"]]', "differ in direction"),
        ('[["L", 0], ["2 * L", 0]]', "differ in direction"),
        ('[["L", "w"], ["-L", "-w"]]', "differ in direction"),
        ('[["L / 2", 0], [0, "w"]]', "2 times the area"),
        ('[["L", 0], [0, "w / 1000000"]]', "lie on each other"),
    ],
)
def test_steps_that_do_not_repeat_are_refused_with_one_sentence(steps: str, reason: str) -> None:
    with pytest.raises(PatternError) as refusal:
        lay(_bond(steps), box(300, 200))
    assert reason in str(refusal.value)
    assert "own.toml, line 6, repeat.steps" in str(refusal.value)
    assert len(refusal.value.faults) == 1


@pytest.mark.parametrize(
    ("text", "zone"),
    [
        (BOND.format(steps='[["L", 0], [0, "w"]]', rule="a"), box(2e6, 2e6)),
        (BOND.format(steps='[["L", 0], [0, "w"]]', rule="a"), box(9e9, 1.0)),
        ('title = "t"\nsize.w = { value = "20 mm" }\n[courses]\nlengths = ["w"]\n', box(1e5, 1e5)),
        (
            'title = "t"\nsize.w = { value = "1 mm" }\nstrip = [{ from = [0, 0], length = "w / '
            '999", '
            'width = "w / 999" }]\nrepeat.steps = [["w / 999", 0], [0, "w / 999"]]\n',
            box(300, 200),
        ),
    ],
)
def test_more_than_a_million_strips_are_refused(text: str, zone: Outline) -> None:
    assert MOST_STRIPS == 1_000_000
    with pytest.raises(PatternError, match="are not laid") as refusal:
        lay(own(text), zone)
    assert len(str(refusal.value)) < 300


def test_steps_a_long_way_off_lay_the_same_strips_in_the_same_tones() -> None:
    # v2 + 100 v1 spans the same lattice; what was a is then a + 100 b.
    near = lay(_bond('[["L", 0], ["L / 3", "w"]]', rule="a"), box(700, 400))[0]
    far = lay(_bond('[["L", 0], ["100 * L + L / 3", "w"]]', rule="a + 100 * b"), box(700, 400))[0]
    assert _places(near) == _places(far)


def test_steps_in_either_order_lay_the_same_rows() -> None:
    one = lay(_bond('[["L", 0], ["L / 3", "w"]]', rule="b"), box(700, 400))[0]
    other = lay(_bond('[["L / 3", "w"], ["L", 0]]', rule="a"), box(700, 400))[0]
    assert _places(one) == _places(other)
    assert sorted(one.rows.tolist()) == sorted(other.rows.tolist())


def test_tones_are_counted_modulo_their_names_and_row_after_row() -> None:
    laid = lay(_bond(rule="b"), box(700, 400))[0]
    for k, offset, tone in zip(laid.which, laid.offsets, laid.tones, strict=True):
        height = (laid.prototypes[k].outline.mean(axis=0) + offset)[1]
        assert tone == math.floor(height / 20) % 3


def test_a_tone_that_is_no_whole_number_is_refused() -> None:
    with pytest.raises(PatternError, match="whole number") as refusal:
        lay(_bond(rule="a / 2"), box(300, 200))
    assert "tone.rule" in str(refusal.value)


@pytest.mark.parametrize(
    ("length", "share"),
    [
        (60, 0.0),
        (60, 0.25),
        (30, 0.5),
        # The shipped running bond is one of these.
        (90, 0.5),
    ],
)
def test_rows_count_from_the_centre_line_and_lie_one_width_apart(
    length: float, share: float
) -> None:
    text = BOND.format(steps=f'[["L", 0], ["{share} * L", "w"]]', rule="a")
    laid = lay(own(text.replace("90 mm", f"{length} mm")), box(700, 400))[0]
    heights: dict[int, set[float]] = {}
    for k, offset, row in zip(laid.which, laid.offsets, laid.rows, strict=True):
        middle = (laid.prototypes[k].outline.mean(axis=0) + offset)[1]
        heights.setdefault(int(row), set()).add(round(float(middle), 6))
    assert all(len(found) == 1 for found in heights.values())
    by_row = [heights[row].pop() for row in sorted(heights)]
    assert np.diff(by_row) == pytest.approx(20.0)
    assert laid.row_pitch == pytest.approx(20.0)
    # Two rows lie equally near; the one away from the maker is the first.
    assert by_row[sorted(heights).index(0)] == 10.0


@pytest.mark.parametrize("name", FILLING)
@pytest.mark.parametrize("angle", [0.0, 45.0])
def test_row_nought_is_the_row_nearest_to_the_centre_line(name: str, angle: float) -> None:
    laid = lay(find_pattern(name), box(200, 150), angle=angle)[0]
    assert 0 in laid.rows
    rows = sorted(set(laid.rows.tolist()))
    # Nearly as many on the one side as on the other.
    assert abs(rows[0] + rows[-1]) <= 2


def test_a_figure_that_stands_alone_is_laid_once() -> None:
    pattern = own(
        'title = "t"\nsize.w = { value = "20 mm" }\n'
        'strip = [{ times = { k = 4 }, turn = "90 * k", from = ["w", 0], length = "3 * w" }]\n'
    )
    laid, clipped = lay(pattern, box(300, 200))
    assert len(laid.which) == 4
    assert clipped.covered == pytest.approx(4 * 60 * 20)
    assert not pattern.fills


def test_laying_twice_gives_the_very_same() -> None:
    for name in FILLING[::5]:
        one, other = (lay(find_pattern(name), box(200, 150), angle=17.0)[0] for _ in range(2))
        assert one.offsets.tobytes() == other.offsets.tobytes()
        assert one.tones.tolist() == other.tones.tolist()
        assert one.rows.tolist() == other.rows.tolist()


def test_a_large_zone_is_laid_whole() -> None:
    pattern, zone = _bond(), box(90 * 100, 20 * 100)
    sizes = settle_sizes(
        pattern, {}, strip_width=None, gap=0.0, zone_width=9000.0, zone_depth=2000.0
    )
    laid = lay_pattern(pattern, sizes, angle=0.0, origin=(0.0, 0.0), zone=zone)
    assert len(laid.which) >= 10_000
