"""Refit: what is cut stays as it is, the rest is laid round it, and what does not fit is named."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st

from effort import examples
from tesselath.design import Design, parse_design
from tesselath.errors import DesignError, OutputError
from tesselath.plan import Plan, plan_design, plan_tables, write_plan_json
from tesselath.revise import refit_plan
from tesselath.tables import write_parts, write_pieces
from tops import top

BORDER = '[[border]]\nwidth = "1 1/2 in"\nwood = "walnut"\n'
MEDALLION = (
    '[[medallion]]\npoints = [["3 in", 0], [0, "2 in"], ["-3 in", 0], [0, "-2 in"]]\n'
    'pattern = "rings"\n'
)
TOPS: dict[str, Callable[..., str]] = {
    "herringbone at 45": lambda **size: top(angle="45 deg", **size),
    "chevron in one face": lambda **size: top("chevron", strips='faces = "one"', **size),
    "bond with a gap": lambda **size: top("running-bond", strips='gap = "1/16 in"', **size),
    "random courses": lambda **size: top("random-courses", **size),
    "rings": lambda **size: top("rings", **size),
    "folded, with a border": lambda **size: top(
        "stepped-diamond", field='mirror = "four ways"', more=BORDER, **size
    ),
    "herringbone round a medallion": lambda **size: top(more=MEDALLION, **size),
    "basket weave, trimmed": lambda **size: top(
        "basket-weave", head='order = "trim"', strips='overlength = "1/2 in"', **size
    ),
}
WIDTH, DEPTH = 12.0, 8.0  # inches


def text_of(name: str, *, width: float = WIDTH, depth: float = DEPTH) -> str:
    return TOPS[name](width=f"{width:.4f} in", depth=f"{depth:.4f} in")


def design_of(name: str, *, width: float = WIDTH, depth: float = DEPTH) -> Design:
    text = text_of(name, width=width, depth=depth)
    return parse_design(text, file_name="top.toml", beside=None)


def measured(name: str, sides: Mapping[str, float]) -> Design:
    """The same top in an opening as measured [mm]."""
    lines = "\n".join(f'{key} = "{mm:.4f} mm"' for key, mm in sides.items())
    text = TOPS[name](opening=lines)
    kept = [line for line in text.splitlines() if not line.startswith(('width = "16', "depth"))]
    return parse_design("\n".join(kept), file_name="top.toml", beside=None)


@cache
def earlier(name: str) -> dict[str, Any]:
    """The plan of a top before anything is cut, as its plan.json tells it."""
    return dict(json.loads(write_plan_json(plan_design(design_of(name)))))


def rows_of(tables: Mapping[str, Any]) -> dict[int, Mapping[str, Any]]:
    return {row["number"]: row for row in tables["pieces"]}


def polygons(plan: Plan, *, cut: bool) -> dict[int, shapely.Polygon]:
    return {p.number: shapely.Polygon(p.outline) for p in plan.pieces if p.cut is cut}


def overlaps(shapes: Sequence[shapely.Geometry], others: Sequence[shapely.Geometry]) -> float:
    """The deepest that any of some shapes lies on another of others, as a width [mm]."""
    first, second = np.array(shapes), np.array(others)
    if not len(first) or not len(second):
        return 0.0
    i, j = shapely.STRtree(second).query(first, predicate="intersects")
    other = first[i] != second[j]
    i, j = i[other], j[other]
    shared = shapely.intersection(first[i], second[j], grid_size=1e-6)
    # Half the girth is the length of a thin overlap, so this is its width.
    girth = shapely.length(shared) / 2
    deep = np.divide(shapely.area(shared), girth, out=np.zeros(len(girth)), where=girth > 0)
    return float(deep.max(initial=0.0))


some_change = st.sampled_from([-3.0, -0.8, -0.1, 0.0, 0.1, 0.8, 3.0])


@st.composite
def some_job(draw: st.DrawFn) -> tuple[str, list[int], Design]:
    """A top of which some pieces are cut, and the opening as it has turned out."""
    name = draw(st.sampled_from(sorted(TOPS)))
    tables = earlier(name)
    numbers = sorted(rows_of(tables))
    stages = [row["numbers"] for row in tables["stages"]]
    chosen = draw(
        st.one_of(
            st.lists(st.sampled_from(numbers), min_size=1, max_size=len(numbers), unique=True),
            st.integers(1, len(stages)).map(lambda n: [k for stage in stages[:n] for k in stage]),
        )
    )
    if draw(st.booleans()):
        width, depth = (size + draw(some_change) / 25.4 for size in (WIDTH, DEPTH))
        return name, sorted(chosen), design_of(name, width=width, depth=depth)
    # Half millimetres off: no side runs along the old one by a hair.
    off = st.integers(-4, 4).map(lambda n: n / 2)
    front, right, back, left = (size * 25.4 + draw(off) for size in (WIDTH, DEPTH, WIDTH, DEPTH))
    diagonal = float(np.hypot(front + back, right + left)) / 2 + draw(off)
    sides = {"front": front, "right": right, "back": back, "left": left}
    return name, sorted(chosen), measured(name, {**sides, "front_left_to_back_right": diagonal})


@examples(20)
@given(some_job())
def test_the_rest_is_laid_round_what_is_cut(job: tuple[str, list[int], Design]) -> None:
    name, cut, design = job
    before = rows_of(earlier(name))
    plan = refit_plan(design, earlier(name), cut)
    refit = plan.refit
    assert refit is not None

    # What is cut keeps number and outline to the last digit, and is not cut again.
    assert [p.number for p in plan.pieces if p.cut] == cut
    for piece in plan.pieces:
        if piece.cut:
            row = before[piece.number]
            was = row.get("blank", row["outline"])
            assert piece.cut_outline.tolist() == was
            assert (piece.part, piece.wood, piece.zone) == (row["part"], row["wood"], row["zone"])
    to_cut = sorted(n for part in plan.parts for n in part.numbers)
    assert to_cut == sorted(p.number for p in plan.pieces if not p.cut)
    assert all(part.count == len(part.numbers) for part in plan.parts)

    # Nothing overlaps, but for a cut piece that is named.
    misfits = {misfit.number for misfit in refit.does_not_fit}
    fits = [shape for n, shape in polygons(plan, cut=True).items() if n not in misfits]
    fresh = list(polygons(plan, cut=False).values())
    half = design.tape / 2
    assert overlaps(fresh, fits) <= half
    assert overlaps(fresh, fresh) <= 1e-3

    # Wood and what stays bare fill the field; no new piece lies outside it.
    field = shapely.union_all([shapely.Polygon(zone.outline) for zone in plan.zones])
    assert overlaps(fresh, [shapely.difference(field.buffer(100.0), field)]) <= 1e-3
    if not design.strips.gap:
        wood = shapely.union_all([*polygons(plan, cut=True).values(), *fresh], grid_size=1e-6)
        covered = shapely.intersection(wood, field).area
        assert covered + plan.uncovered_area == pytest.approx(field.area, abs=1e-5 * field.area)

    # A piece that stands out of the opening is named.
    opening = shapely.Polygon(plan.opening)
    for number, shape in polygons(plan, cut=True).items():
        out = float(np.max(shapely.distance(shapely.points(shape.exterior.coords), opening)))
        if out > half:
            assert number in misfits
    assert all(misfit.by > half and misfit.number in cut for misfit in refit.does_not_fit)


@examples(12)
@given(st.sampled_from(sorted(TOPS)), st.data())
def test_in_the_same_opening_every_piece_stays_as_planned(name: str, data: st.DataObject) -> None:
    before = rows_of(earlier(name))
    cut = data.draw(st.sets(st.sampled_from(sorted(before)), min_size=1))
    plan = refit_plan(design_of(name), earlier(name), sorted(cut))
    assert {piece.number for piece in plan.pieces} == set(before)
    for piece in plan.pieces:
        was = shapely.LinearRing(before[piece.number]["outline"])
        assert shapely.hausdorff_distance(shapely.LinearRing(piece.outline), was) <= 0.005
        assert piece.part == before[piece.number]["part"]
        assert piece.row == before[piece.number]["row"]
    assert plan.refit is not None
    assert not plan.refit.does_not_fit
    assert not plan.refit.left_open


@pytest.mark.parametrize("name", sorted(TOPS))
def test_numbers_stay_when_the_opening_is_a_sixteenth_larger(name: str) -> None:
    tables = earlier(name)
    first = tables["stages"][0]["numbers"]
    plan = refit_plan(design_of(name, depth=DEPTH + 1 / 16), tables, first)
    assert {p.number for p in plan.pieces} >= set(rows_of(tables))


def test_a_piece_that_stands_out_of_the_opening_is_told_with_what_to_do() -> None:
    """By hand: 8 in deep, now 7 3/4, so 1/8 in (3.175 mm) too long at the front and the back."""
    name = "herringbone at 45"
    tables = earlier(name)
    every = sorted(rows_of(tables))
    plan = refit_plan(design_of(name, depth=DEPTH - 0.25), tables, every)
    assert plan.refit is not None
    out = [m for m in plan.refit.does_not_fit if m.how == "sticks out of the opening"]
    at_edge = [
        p.number for p in plan.pieces if abs(abs(p.outline[:, 1]).max() - 12.7 * DEPTH) < 1e-6
    ]
    assert [m.number for m in out] == at_edge
    assert [m.by for m in out] == pytest.approx([3.175] * len(out))
    assert all("shooting board" in m.do for m in out)
    told = next(note for note in plan.notes if note.code == "does-not-fit")
    assert "sticks out of the opening by 1/8 in" in told.text
    assert told.numbers == tuple(at_edge)
    assert not plan.parts
    assert plan.totals["sticks"] == 0


def test_a_piece_that_falls_short_is_told() -> None:
    """By hand: 8 in deep, now 8 1/4, so 1/8 in is missing at the front and the back."""
    name = "herringbone at 45"
    plan = refit_plan(
        design_of(name, depth=DEPTH + 0.25), earlier(name), sorted(rows_of(earlier(name)))
    )
    assert plan.refit is not None
    short = [m for m in plan.refit.does_not_fit if m.how.startswith("falls short")]
    assert len(short) > 3
    assert max(m.by for m in short) == pytest.approx(3.175, abs=1e-3)
    # 1/8 in along both sides stay bare, whatever is left open there.
    assert plan.uncovered_area == pytest.approx(2 * 25.4 * WIDTH * 3.175, abs=0.02)


def test_sticks_and_spares_are_planned_for_the_rest_only() -> None:
    name = "herringbone at 45"
    tables = earlier(name)
    inner = next(row["numbers"] for row in tables["stages"] if row["stage"] == "inner")
    plan = refit_plan(design_of(name), tables, inner)
    on_sticks = [mark for stick in plan.sticks for mark in stick.pieces]
    for part in plan.parts:
        assert on_sticks.count(part.mark) >= part.count
    assert set(on_sticks) == {part.mark for part in plan.parts if part.handling != "make up"}
    count = sum(part.count + part.spares for part in plan.parts)
    assert len(on_sticks) == count
    assert len(plan.pieces) - len(inner) == sum(part.count for part in plan.parts)


def test_a_second_refit_goes_on_from_the_first() -> None:
    name = "folded, with a border"
    tables = earlier(name)
    inner = tables["stages"][0]["numbers"]
    once = refit_plan(design_of(name, depth=DEPTH - 1 / 16), tables, inner)
    again = dict(json.loads(write_plan_json(once)))
    edge = once.stages[0].numbers
    twice = refit_plan(design_of(name, depth=DEPTH - 1 / 8), again, edge)
    assert {p.number for p in twice.pieces if p.cut} == {*inner, *edge}
    before = {p.number: p.outline.tolist() for p in once.pieces}
    assert all(p.outline.tolist() == before[p.number] for p in twice.pieces if p.cut)


def test_what_is_glued_off_its_place_takes_its_pattern_along() -> None:
    """A figure let into the field moves with it; the rest follows, as if shifted so."""
    name = "herringbone round a medallion"
    tables = earlier(name)
    inner = next(row["numbers"] for row in tables["stages"] if row["stage"] == "inner")
    plan = refit_plan(design_of(name), tables, inner, moved=(2.0, -1.0))
    before = rows_of(tables)
    for piece in plan.pieces:
        if piece.cut:
            was = np.asarray(before[piece.number]["outline"])
            assert np.allclose(piece.outline - was, (2.0, -1.0), atol=1e-9)
    assert (
        overlaps(list(polygons(plan, cut=False).values()), list(polygons(plan, cut=True).values()))
        <= 1e-3
    )
    again = dict(json.loads(write_plan_json(plan)))
    once_more = refit_plan(design_of(name), again, [])
    assert again["layout"]["moved"] == [2.0, -1.0]
    assert [p.outline.tolist() for p in once_more.pieces if p.cut] == [
        p.outline.tolist() for p in plan.pieces if p.cut
    ]
    assert once_more.uncovered_area == pytest.approx(plan.uncovered_area, abs=1e-3)


@pytest.mark.parametrize(
    ("width", "code"), [("0.734 in", "joint-opens"), ("0.766 in", "strips-wider")]
)
def test_strips_of_another_width_keep_the_pitch_of_those_cut(width: str, code: str) -> None:
    name = "herringbone at 45"
    tables = earlier(name)
    inner = next(row["numbers"] for row in tables["stages"] if row["stage"] == "inner")
    text = text_of(name).replace("[strips]\n", f'[strips]\nwidth = "{width}"\n')
    plan = refit_plan(parse_design(text, file_name="top.toml", beside=None), tables, inner)
    assert code in {note.code for note in plan.notes}
    fresh = polygons(plan, cut=False)
    assert overlaps(list(fresh.values()), list(polygons(plan, cut=True).values())) <= 1e-3
    least = min(19.05, float(width.removesuffix(" in")) * 25.4)
    for piece in plan.pieces:
        if not piece.cut:
            assert piece.width <= least + 1e-6
    if code == "joint-opens":
        # Each new strip lies in the middle of the old one's place.
        before = rows_of(tables)
        for number, shape in fresh.items():
            assert shapely.Polygon(before[number]["outline"]).buffer(1e-6).covers(shape)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda text: text.replace('"herringbone"', '"basket-weave"'), "another pattern"),
        (lambda text: text.replace('"45 deg"', '"30 deg"'), "turned by 45"),
        (lambda text: text.replace("[field.set]\n", "[field.set]\nr = 7\n"), "another r"),
        (lambda text: text.replace("[strips]\n", '[strips]\ngap = "1/16"\n'), "gap"),
        (lambda text: text.replace("[field.set]", 'mirror = "left-right"\n[field.set]'), "none"),
        (lambda text: text.replace("[field.set]", 'shift = ["1/8", 0]\n[field.set]'), "shifted"),
    ],
)
def test_another_layout_is_refused(change: Callable[[str], str], said: str) -> None:
    name = "herringbone at 45"
    text = change(text_of(name))
    assert text != text_of(name)
    design = parse_design(text, file_name="top.toml", beside=None)
    with pytest.raises(DesignError, match=said) as refusal:
        refit_plan(design, earlier(name), [1])
    assert str(refusal.value).startswith("top.toml, line")
    # As long as nothing is cut, anything goes.
    refit_plan(design, earlier(name), [])


def test_what_was_never_in_the_plan_is_refused() -> None:
    name = "herringbone at 45"
    with pytest.raises(DesignError, match="no piece 0, 9999; its pieces are 1 to"):
        refit_plan(design_of(name), earlier(name), [1, 0, 9999])
    older = {key: value for key, value in earlier(name).items() if key != "layout"}
    with pytest.raises(OutputError, match="earlier version"):
        refit_plan(design_of(name), older, [1])
    bordered = "folded, with a border"
    border = [n for n, row in rows_of(earlier(bordered)).items() if row["zone"] == "border-1"]
    text = text_of(bordered).replace(BORDER, "")
    bare = parse_design(text, file_name="top.toml", beside=None)
    with pytest.raises(DesignError, match="Pieces of border-1 are cut"):
        refit_plan(bare, earlier(bordered), border)


def test_a_mixed_lot_stays_as_it_was_dealt() -> None:
    text = top(angle="45 deg", more='[tones]\ndark = ["walnut", "cherry"]\nlight = "maple"\n')
    tables = dict(
        json.loads(
            write_plan_json(plan_design(parse_design(text, file_name="top.toml", beside=None)))
        )
    )
    inner = next(row["numbers"] for row in tables["stages"] if row["stage"] == "inner")
    smaller = text.replace('depth = "10 in"', 'depth = "9.95 in"')
    plan = refit_plan(parse_design(smaller, file_name="top.toml", beside=None), tables, inner)
    woods = {number: row["wood"] for number, row in rows_of(tables).items()}
    assert {p.wood for p in plan.pieces} == {"walnut", "cherry", "maple"}
    assert all(p.wood == woods[p.number] for p in plan.pieces)


def test_tables_say_what_is_cut() -> None:
    name = "herringbone at 45"
    tables = earlier(name)
    inner = next(row["numbers"] for row in tables["stages"] if row["stage"] == "inner")
    plan = refit_plan(design_of(name), tables, inner)
    made = json.loads(json.dumps(plan_tables(plan)))
    assert [row["number"] for row in made["pieces"] if row.get("cut")] == inner
    assert made["refit"]["cut"] == inner
    assert sorted(n for part in made["parts"] for n in part["cut"]) == inner
    for part in made["parts"]:
        assert part["count"] == len(part["numbers"])
    told = {
        int(row["piece"]): row["stage"] for row in csv.DictReader(write_pieces(plan).splitlines())
    }
    assert sorted(n for n, stage in told.items() if stage == "cut") == inner
    listed = list(csv.DictReader(write_parts(plan).splitlines()))
    assert sum(int(row["count"]) for row in listed) == len(plan.pieces) - len(inner)
    assert all(row["pieces"] or row["cut already"] for row in listed)
    assert {row["mark"] for row in listed} == {piece.part for piece in plan.pieces}


def test_a_gap_round_a_piece_that_has_a_corner_of_the_opening_is_no_piece() -> None:
    """By hand: the opening grows by 1/8 in at every side, so an L an eighth wide stays bare."""
    name = "bond with a gap"
    every = sorted(rows_of(earlier(name)))
    plan = refit_plan(design_of(name, width=WIDTH + 0.25, depth=DEPTH + 0.25), earlier(name), every)
    assert [piece.number for piece in plan.pieces] == every
    assert plan.refit is not None
    assert max(m.by for m in plan.refit.does_not_fit) == pytest.approx(3.175, abs=0.01)
