"""Prove: patterns that close are proved, broken ones fail with the right reason and place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import hypot, isclose, sqrt
from random import Random
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, strategies as st

from tesselath.draw.maps import draw_fault, may_be_drawn
from tesselath.draw.paper import Polygon, Text
from tesselath.errors import PatternError
from tesselath.field import Clipped, clip_strips, lay_pattern
from tesselath.field.lay import Laid
from tesselath.pattern import Pattern, find_pattern, pattern_names
from tesselath.pattern.pattern_file import parse_pattern
from tesselath.prove import KINDS, Proof, TilingFault, prove_pattern
from tesselath.prove.trials import draw_settings, settle_trial
from tesselath.shape import (
    Outline,
    area,
    as_outline,
    bare_parts,
    crossed_outlines,
    find_overlaps,
    shared_parts,
    times_covered,
    too_close,
    turned,
)

W = 25.4
HEAD = """title = "Trial"
size.w = { value = "1 in", least = "1/4 in", most = "4 in", label = "strip width", wood = true }
"""
BOND = '{ from = [0, "w / 2"], length = "5 * w", width = "%s" }'
STEPS = 'repeat.steps = [["5 * w", 0], ["2 * w", "%s"]]\n'


def pattern_of(text: str) -> Pattern:
    return parse_pattern(HEAD + text, name="trial", path="trial", file_name="trial.toml")


def bond(width: str = "w", pitch: str = "w") -> Pattern:
    """A running bond with strips of one width on rows of another pitch."""
    return pattern_of(f"strip = [{BOND % width}]\n{STEPS % pitch}")


def only_fault(proof: Proof) -> TilingFault:
    assert len(proof.faults) == 1, proof.faults
    return proof.faults[0]


# --- what holds -------------------------------------------------------------------------------


@pytest.mark.parametrize("name", pattern_names())
def test_every_shipped_pattern_is_proved(name: str) -> None:
    pattern = find_pattern(name)
    proof = prove_pattern(pattern, rounds=1)
    assert proof.holds, proof.faults
    assert proof.tiles == pattern.fills
    assert proof.stands_alone == (not pattern.fills)
    assert proof.openings > 0
    assert (proof.cover is None) == pattern.fills


def test_a_proof_says_what_was_tried() -> None:
    proof = prove_pattern(find_pattern("herringbone"), rounds=2)
    assert (proof.sizes_tried, proof.openings) == (3, 8)
    assert proof.points > 1000
    assert proof.repeat is not None
    assert proof.repeat.pieces == 2
    # Two strips of 3/4 in by 3 3/4 in.
    assert isclose(proof.repeat.area, 2 * 0.75 * 3.75 * W * W)


def test_the_same_seed_gives_the_same_proof() -> None:
    broken = bond(width="0.9 * w")
    one, two = prove_pattern(broken, rounds=3), prove_pattern(broken, rounds=3)
    assert replace(one, faults=()) == replace(two, faults=())
    for a, b in zip(one.faults, two.faults, strict=True):
        assert (a.text, a.at, a.settings) == (b.text, b.at, b.settings)


def test_a_figure_stands_alone_and_says_what_it_covers() -> None:
    proof = prove_pattern(find_pattern("eight-point-star"), rounds=0)
    assert proof.holds
    assert not proof.tiles
    assert proof.cover is not None
    # Four strips of 1/2 in make a lozenge of side e = 2 in / sin 45; the square round the star
    # of such lozenges measures e (2 + sqrt 2).
    side = proof.cover.width
    assert isclose(side, 2 * W * sqrt(2) * (2 + sqrt(2)), rel_tol=1e-6)
    assert isclose(proof.cover.area, side * side, rel_tol=1e-6)
    assert proof.cover.holes == 0


def test_a_hole_within_a_figure_is_measured() -> None:
    text = 'rings = { around = { sides = 4, across = "10 * w" }, widths = ["w"], count = 2 }\n'
    proof = prove_pattern(pattern_of(text), rounds=0)
    assert proof.cover is not None
    assert proof.cover.holes == 1
    assert isclose(proof.cover.bare, (6 * W) ** 2, rel_tol=1e-4)
    assert isclose(proof.cover.area, (100 - 36) * W * W, rel_tol=1e-4)


def test_rings_that_end_before_the_middle_leave_it_bare_by_right() -> None:
    text = 'rings = { around = "zone", widths = ["w", "2 * w"], count = 2 }\n'
    proof = prove_pattern(pattern_of(text), rounds=2)
    assert proof.tiles
    assert "middle" in proof.notes[0]


# --- what does not ----------------------------------------------------------------------------


def test_strips_too_narrow_for_their_rows_leave_a_tenth_bare() -> None:
    fault = only_fault(prove_pattern(bond(width="0.9 * w"), rounds=2))
    assert fault.kind == "gap"
    assert isclose(fault.share, 0.1, rel_tol=1e-6)
    assert "10 % stays bare" in fault.text
    assert "trial.toml, line 4, repeat.steps" in fault.place
    assert (fault.found, fault.by_default, fault.settings) == (3, True, (("w", W),))
    assert fault.at is not None
    # The bare bands lie within w / 20 of the lines between the rows.
    off = fault.at[1] / W
    assert abs(off - round(off)) < 0.05


def test_rows_too_near_for_their_strips_overlap() -> None:
    fault = only_fault(prove_pattern(bond(pitch="0.9 * w"), rounds=1))
    assert fault.kind == "overlap"
    assert "11.11 % more area" in fault.text
    assert fault.at is not None
    off = fault.at[1] / (0.9 * W)
    assert abs(off - round(off) - 1 / 18) < 1 / 18 + 1e-6
    assert len(fault.pieces) == 2
    assert all(piece.startswith("strip.1 at a = ") for piece in fault.pieces)
    # What overlaps is a tenth of a strip high.
    assert isclose(np.ptp(fault.parts[0][:, 1]), 0.1 * W, rel_tol=1e-3)


def test_a_strip_in_the_wrong_place_is_named_though_the_area_is_right() -> None:
    strips = ", ".join(
        f'{{ from = [{x}, {y}], length = "3 * w" }}'
        for x, y in (
            ("0", '"w / 2"'),
            ('"3 * w"', '"w / 2"'),
            ("0", '"1.5 * w"'),
            ('"2.5 * w"', '"1.5 * w"'),
        )
    )
    proof = prove_pattern(
        pattern_of(f'strip = [{strips}]\nrepeat.steps = [["6 * w", 0], [0, "2 * w"]]\n'), rounds=0
    )
    overlap, bare = proof.faults
    assert (overlap.kind, bare.kind) == ("overlap", "bare")
    assert overlap.at == pytest.approx((2.75 * W, 1.5 * W), abs=0.01)
    assert {piece.split(" at ")[0] for piece in overlap.pieces} == {"strip.3", "strip.4"}
    assert isclose(overlap.area, 0.5 * W * W, rel_tol=1e-6)
    assert isclose(bare.share, 0.5 / 12, rel_tol=1e-5)
    assert bare.at is not None
    assert isclose(bare.at[0] / W % 6, 5.75, abs_tol=0.01)


def test_the_size_that_breaks_a_pattern_is_named() -> None:
    text = """
size.n = { value = 3, least = 1, most = 8, whole = true, label = "rows" }
strip = [
  { from = [0, "w / 2"], length = "n * w" },
  { from = [0, "1.5 * w"], length = "choose(n > 4, 0.95, 1) * n * w" },
]
repeat.steps = [["n * w", 0], [0, "2 * w"]]
"""
    fault = only_fault(prove_pattern(pattern_of(text), rounds=8))
    assert fault.kind == "gap"
    assert not fault.by_default
    assert fault.breaks == ("n",)
    assert dict(fault.settings)["n"] > 4
    assert 0 < fault.found < 9


def test_a_measure_of_wood_that_is_not_marked_so_fails_only_with_a_gap() -> None:
    text = """
derive.p = "1 in"
strip = [{ from = [0, "w / 2"], length = "5 * w" }]
repeat.steps = [["5 * w", 0], [0, "p"]]
"""
    fault = only_fault(prove_pattern(pattern_of(text), rounds=0))
    assert fault.kind == "overlap"
    assert fault.opening == "a gap of 1 mm"
    assert isclose(fault.share, 1 / W, rel_tol=1e-3)


def test_bare_letters_of_a_repeating_chart_are_a_gap() -> None:
    text = """
[tone]
names = ["dark"]
letters = { A = "dark" }
[chart]
cell = ["w", "w"]
repeat = true
rows = \"\"\"
AAA A
A AAA
\"\"\"
"""
    fault = only_fault(prove_pattern(pattern_of(text), rounds=0))
    assert fault.kind == "gap"
    assert isclose(fault.share, 0.2, rel_tol=1e-5)
    assert "chart" in fault.place


def test_pieces_of_a_figure_may_not_lie_on_each_other() -> None:
    text = 'strip = [{ times = { k = 8 }, turn = "45 * k", from = [0, 0], length = "4 * w" }]\n'
    proof = prove_pattern(pattern_of(text), rounds=0)
    fault = only_fault(proof)
    assert fault.kind == "overlap"
    assert fault.pieces[0].startswith("strip.1, k = ")
    assert proof.stands_alone
    assert not proof.holds


def test_an_outline_that_crosses_itself_is_named_with_its_crossing() -> None:
    text = """
piece = [{ points = [[0, 0], ["w", "w"], ["w", 0], [0, "2 * w"]] }]
repeat.steps = [["w", 0], [0, "w"]]
"""
    fault = only_fault(prove_pattern(pattern_of(text), rounds=0))
    assert fault.kind == "crossed"
    # The lines y = x and y = 2 w - 2 x meet at 2 w / 3.
    assert fault.at == pytest.approx((2 * W / 3, 2 * W / 3))


def test_sizes_at_which_it_cannot_be_laid_are_a_fault_unless_a_relation_guards_them() -> None:
    text = """
size.L = { value = "3 in", least = "1/4 in", most = "4 in", label = "length", wood = true }
%s
strip = [{ from = [0, "w / 2"], length = "L - w" }]
repeat.steps = [["L - w", 0], [0, "w"]]
"""
    fault = only_fault(prove_pattern(pattern_of(text % ""), rounds=8))
    assert fault.kind == "refused"
    assert not fault.by_default
    assert dict(fault.settings)["L"] <= dict(fault.settings)["w"]
    guard = 'must = [{ that = "L > w", say = "a strip must be longer than it is wide" }]'
    assert prove_pattern(pattern_of(text % guard), rounds=8).tiles


@given(st.floats(0.5, 1.5))
def test_a_bond_holds_at_one_width_only(share: float) -> None:
    assume(abs(share - 1) > 1e-5)
    fault = prove_pattern(bond(width=f"{share!r} * w"), rounds=0).faults[0]
    if share < 1:
        assert fault.kind == "gap"
        assert isclose(fault.share, 1 - share, rel_tol=1e-3)
    else:
        assert fault.kind == "overlap"
        assert isclose(fault.share, share - 1, rel_tol=1e-3)


@given(st.floats(0.0005, 20.0), st.floats(0, 360), st.integers(0, 2))
def test_a_strip_that_is_moved_by_a_hair_is_found(away: float, toward: float, k: int) -> None:
    dx, dy = turned(as_outline([(away, 0.0)]), toward)[0].tolist()
    text = f"""
derive.e = "w / sin(60)"
derive.o = "1 mm"
strip = [{{ times = {{ k = 3 }}, turn = "120 * k", from = ["e / 2 * cos(30)", "-e / 4"],
  toward = 30, length = "e", cuts = [-30, -30], only = "k != {k}" }},
 {{ turn = "120 * {k}", from = ["e / 2 * cos(30) + {dx!r} * o", "-e / 4 + {dy!r} * o"],
  toward = 30, length = "e", cuts = [-30, -30] }}]
repeat.steps = [["sqrt(3) * e", 0], ["sqrt(3) / 2 * e", "3 / 2 * e"]]
""".replace("\n  toward", " toward")
    proof = prove_pattern(pattern_of(text), rounds=0)
    assert proof.faults[0].kind == "overlap"


@pytest.mark.parametrize("name", ["herringbone", "stair", "rings"])
@pytest.mark.parametrize(("slip", "kinds"), [("lost", {"bare"}), ("moved", {"bare", "overlap"})])
def test_a_slip_of_the_layout_shows_in_the_opening(
    name: str, slip: str, kinds: set[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def lay(*args: Any, **options: Any) -> Laid:
        laid = lay_pattern(*args, **options)
        middle = (options["zone"].max(axis=0) + options["zone"].min(axis=0)) / 2
        at = np.array([p.outline.mean(axis=0) for p in laid.prototypes])[laid.which] + laid.offsets
        n = int(np.hypot(*(at - middle).T).argmin())
        if slip == "lost":
            keep = np.arange(len(laid.which)) != n
            arrays = (laid.which, laid.offsets, laid.tones, laid.rows, laid.along)
            which, offsets, tones, rows, along = (array[keep] for array in arrays)
            return replace(laid, which=which, offsets=offsets, tones=tones, rows=rows, along=along)
        offsets = laid.offsets.copy()
        offsets[n] += (0.3, 0.2)
        return replace(laid, offsets=offsets)

    monkeypatch.setattr("tesselath.prove.prove_opening.lay_pattern", lay)
    faults = prove_pattern(find_pattern(name), rounds=0).faults
    assert {fault.kind for fault in faults} >= kinds
    for fault in faults:
        assert fault.opening.startswith("an opening of ")
        assert fault.at is not None
        assert may_be_drawn(fault)


def test_a_gap_that_the_clip_does_not_keep_shows_in_the_opening(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def clip(laid: Laid, *, zone: Outline, gap: float) -> Clipped:
        clipped = clip_strips(laid, zone=zone, gap=gap)
        whole = tuple(replace(f, outline=f.cell) for f in clipped.fragments)
        return replace(clipped, fragments=whole)

    monkeypatch.setattr("tesselath.prove.prove_opening.clip_strips", clip)
    fault = only_fault(prove_pattern(find_pattern("herringbone"), rounds=0))
    assert fault.kind == "joint"
    assert "a gap of " in fault.opening


# --- what is refused --------------------------------------------------------------------------

HOSTILE = {
    "steps of no length": f'strip = [{BOND % "w"}]\nrepeat.steps = [["0 * w", 0], ["2 * w", "w"]]',
    "steps one way": f'strip = [{BOND % "w"}]\nrepeat.steps = [["4 * w", "2 * w"], ["2 * w", "w"]]',
    "loops without end": 'strip = [{ times = { k = 1000000000 }, from = [0, 0], length = "w" }]\n'
    'repeat.steps = [["w", 0], [0, "w"]]',
    "nested loops": 'strip = [{ times = { k = 9999, j = 9999 }, from = [0, 0], length = "w" }]\n'
    'repeat.steps = [["w", 0], [0, "w"]]',
    "a huge repeat": 'strip = [{ times = { k = 90, j = 90 }, from = ["k * w", "j * w"], '
    'length = "w" }]\nrepeat.steps = [["90 * w", 0], [0, "90 * w"]]',
    "a far strip": 'strip = [{ from = ["1000000000000 * w", 0], length = "w" }]\n'
    'repeat.steps = [["w", 0], [0, "w"]]',
    "one strip over a million": 'strip = [{ from = [0, 0], to = ["9999 * w", "9999 * w"] }]\n'
    'repeat.steps = [["w", 0], [0, "w"]]',
    "a joint out of sight": 'courses = { height = "w", laid = "from centre", lengths = ["w"], '
    'first = "-1000000000000 * w * abs(row)" }',
    "rows of a hair": 'derive.h = "0.00001 mm"\ncourses = { height = "h", lengths = ["h"] }',
    "a million lengths": 'derive.s = "0.0000001 mm"\ncourses = { height = "w", random = '
    '{ seed = 1, least = "w", most = "9 * w", stagger = "w / 9", step = "s" } }',
    "a ring of a million sides": 'rings = { around = { sides = 1000000, across = "9 * w" } }',
    "rings of a hair": 'derive.h = "0.01 mm"\nrings = { around = "zone", widths = ["h"] }',
    "a value without end": 'derive.p = "w * 1000000000"\nderive.q = "p / w * p / w * p / w * p"\n'
    'strip = [{ from = ["q * (q / w) * (q / w)", 0], length = "w" }]\n'
    'repeat.steps = [["w", 0], [0, "w"]]',
    "a deep expression": f'derive.d = "{"-" * 250}w"\nstrip = [{BOND % "d"}]\n{STEPS % "w"}',
    "a relation that never holds": 'must = [{ that = "w < w", say = "this never holds" }]\n'
    f"strip = [{BOND % 'w'}]\n{STEPS % 'w'}",
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_hostile_files_are_refused_with_one_sentence(text: str) -> None:
    with pytest.raises(PatternError) as caught:
        prove_pattern(pattern_of(text + "\n"))
    assert len(caught.value.faults) == 1
    message = str(caught.value)
    assert message.startswith("trial.toml, line ")
    assert message.endswith(".")
    assert "Traceback" not in message


# --- the sizes that are tried -----------------------------------------------------------------


@pytest.mark.parametrize("name", ["herringbone", "chevron", "windmill", "random-courses"])
def test_sizes_drawn_keep_their_limits_and_relations(name: str) -> None:
    pattern, rng = find_pattern(name), Random(5)
    for _ in range(40):
        settings = draw_settings(pattern, rng)
        assert settings is not None
        for size in pattern.sizes:
            value = settings[size.name]
            assert size.least is None or value >= size.least
            assert size.most is None or value <= size.most
            assert not size.whole or value == round(value)
        assert holds(pattern, settings)


def holds(pattern: Pattern, settings: Mapping[str, float]) -> bool:
    values = settle_trial(pattern, settings, gap=0.0, box=(610.0, 381.0), softly=True)
    return values is not None and all(must.that.number(values) for must in pattern.musts)


# --- overlaps and bare places -----------------------------------------------------------------


@given(st.floats(5, 80), st.floats(0.3, 6), st.floats(5, 60), st.floats(0, 360))
def test_touching_strips_never_count_as_overlapping(
    c: float, ratio: float, rise: float, angle: float
) -> None:
    # A plain overlay of such neighbours returns a whole strip now and then.
    w = c / ratio
    h, up = c * np.tan(np.radians(rise)), w / np.cos(np.radians(rise))
    strips = []
    for n in range(4):
        for m in range(3):
            y0, y1 = (n * up, n * up + h) if m % 2 == 0 else (n * up + h, n * up)
            x = m * c
            corners = [(x, y0), (x + c, y1), (x + c, y1 + up), (x, y0 + up)]
            strips.append(turned(as_outline(corners), angle))
    assert find_overlaps(strips, among=len(strips)) == []


@given(st.floats(0.0001, 10), st.floats(0, 360))
def test_an_overlap_wider_than_a_hair_is_found_and_measured(deep: float, angle: float) -> None:
    one = as_outline([(0, 0), (90, 0), (90, 20), (0, 20)])
    other = one + np.array([30.0, 20.0 - deep])
    strips = [turned(as_outline(outline), angle) for outline in (one, other)]
    assert find_overlaps(strips, among=2) == [(0, 1)]
    part = shared_parts(*strips)[0]
    assert isclose(area(part), 60 * deep, abs_tol=1e-3)


@given(st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=1, max_size=30))
def test_points_are_counted_as_shapely_counts_them(spots: list[tuple[float, float]]) -> None:
    star = as_outline([(-40, -30), (0, -8), (40, -30), (12, 3), (35, 41), (0, 14), (-36, 40)])
    square = as_outline([(-20, -20), (20, -20), (20, 20), (-20, 20)])
    shapes = [shapely.Polygon(o) for o in (star, square)]
    points = np.array(spots)
    rims = [shape.boundary for shape in shapes]
    clear = [
        i for i, p in enumerate(spots) if min(r.distance(shapely.Point(p)) for r in rims) > 1e-6
    ]
    counts = times_covered(points, [star, square])
    for i in clear:
        assert counts[i] == sum(shape.contains(shapely.Point(spots[i])) for shape in shapes)


def test_bare_places_thinner_than_a_hair_do_not_count() -> None:
    region = as_outline([(0, 0), (100, 0), (100, 50), (0, 50)])
    assert bare_parts(region, [region - np.array([0.0, 1e-6])]) == []
    (part,) = bare_parts(region, [region - np.array([0.0, 0.01])])
    assert isclose(area(part), 1.0, rel_tol=0.01)


def test_a_rim_that_crosses_itself_is_told_from_one_that_does_not() -> None:
    good = as_outline([(0, 0), (4, 0), (4, 4), (0, 4)])
    bow = as_outline([(0, 0), (4, 4), (4, 0), (0, 4)])
    assert crossed_outlines([good, bow]) == [(1, (2.0, 2.0))]


def test_pieces_nearer_than_the_gap_are_told() -> None:
    tile = as_outline([(0, 0), (9, 0), (9, 9), (0, 9)])
    row = [tile, tile + np.array([10.0, 0.0]), tile + np.array([19.5, 0.0])]
    assert too_close(row, gap=1.0) == [(1, 2)]


# --- the drawing ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "broken",
    [
        bond(width="0.9 * w"),
        bond(pitch="0.9 * w"),
        bond(width="0.99999 * w"),
        pattern_of('strip = [{ times = { k = 5 }, from = [0, "k * w / 2"], length = "4 * w" }]\n'),
        pattern_of('piece = [{ points = [[0, 0], ["w", "w"], ["w", 0], [0, "2 * w"]] }]\n'),
    ],
    ids=["gap", "overlap", "hair", "figure", "crossed"],
)
def test_the_drawing_shows_the_place_in_its_window(broken: Pattern) -> None:
    fault = prove_pattern(broken, rounds=0).faults[0]
    sheet = draw_fault(fault, title="Trial")
    names = [layer.name for layer in sheet.layers]
    assert names == ["pieces", "beside", "fault", "frame", "words"]
    frame = sheet.layers[3].items[0]
    assert isinstance(frame, Polygon)
    (x0, y0), (x1, y1) = frame.outlines[0][0], frame.outlines[0][2]
    for layer in sheet.layers[:3]:
        for item in layer.items:
            for outline in item.outlines if isinstance(item, Polygon) else ():
                corners = np.asarray(outline)
                assert corners.min() >= -1e-3 + min(x0, y0)
                assert corners[:, 0].max() <= x1 + 1e-3
                assert corners[:, 1].max() <= y1 + 1e-3
    assert sheet.layers[2].items
    words = [item for item in sheet.layers[4].items if isinstance(item, Text)]
    assert KINDS[fault.kind] in words[0].text
    assert hypot(sheet.width, sheet.height) < 400


def test_a_fault_without_a_place_is_not_drawn() -> None:
    fault = TilingFault("refused", "It cannot be laid.")
    assert not may_be_drawn(fault)
    with pytest.raises(ValueError, match="no place"):
        draw_fault(fault, title="Trial")
