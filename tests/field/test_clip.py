"""Clip: the zone filled to the last bit, nothing outside, nothing twice, no slivers of noise."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st

from effort import examples
from tesselath.field import Clipped
from tesselath.measure import ALIKE
from tesselath.pattern import find_pattern
from tesselath.shape import Outline, area, as_outline, inset, turned
from tops import FILLING, INCH, box, draw_sizes, lay, lay_drawn, own, some_ell, some_zone

STACK = """
title = "Stack"
size.w = { value = "1 in" }
size.L = { value = "1 in" }
strip = [{ from = [0, "w / 2"], length = "L" }]
repeat.steps = [["L", 0], [0, "w"]]
"""


def _shapes(outlines: list[Outline]) -> list[shapely.Polygon]:
    return [shapely.Polygon(o) for o in outlines]


def _check(clipped: Clipped, zone: Outline, gap: float) -> None:
    """What must hold of every clip."""
    grown = inset(zone, -gap / 2)[0]
    assert clipped.covered == pytest.approx(area(grown), rel=1e-7)
    # Where an edge under ALIKE vanishes its neighbours are drawn on until they meet: a hair
    # outside, and somewhat more where the corner is sharp.
    wider = shapely.Polygon(zone).buffer(10 * ALIKE, join_style="mitre")
    woods = _shapes([f.outline for f in clipped.fragments])
    assert np.all(shapely.covers(wider, woods)), "wood lies outside its zone"
    beyond = shapely.difference(np.array(woods), shapely.Polygon(zone))
    assert shapely.area(beyond).sum() < 1e-3
    assert all(area(f.outline) > 0 for f in clipped.fragments)
    _check_apart(list(clipped.cells))
    _check_gaps(clipped, gap)


def _check_apart(cells: list[Outline]) -> None:
    """No cell lies on another: shrunk by a hair, no two have a point in common."""
    shrunk = shapely.buffer(_shapes(cells), -2 * ALIKE, join_style="mitre", mitre_limit=2.0)
    one, other = shapely.STRtree(shrunk).query(shrunk, predicate="intersects")
    assert np.all(one == other), "two cells overlap"


def _check_gaps(clipped: Clipped, gap: float) -> None:
    """No two pieces come nearer to each other than the gap, but the parts of one that it splits."""
    if not gap:
        return
    woods = _shapes([f.outline for f in clipped.fragments])
    tree = shapely.STRtree(woods)
    one, other = tree.query(woods, predicate="dwithin", distance=gap)
    cells = np.array([id(f.cell) for f in clipped.fragments])
    apart = (one < other) & (cells[one] != cells[other])
    nearest = shapely.distance(np.array(woods)[one[apart]], np.array(woods)[other[apart]])
    assert nearest.min(initial=gap) == pytest.approx(gap, abs=1e-6)


@given(st.data())
def test_strips_fill_their_zone_and_nothing_else(data: st.DataObject) -> None:
    pattern = find_pattern(data.draw(st.sampled_from(FILLING)))
    sizes = data.draw(draw_sizes(pattern))
    zone = data.draw(st.one_of(some_zone(), some_ell()))
    angle = data.draw(st.one_of(st.sampled_from([0.0, 30.0, 45.0, 90.0]), st.floats(0, 360)))
    origin = data.draw(st.tuples(st.floats(-100, 100), st.floats(-100, 100)))
    gap = data.draw(st.sampled_from([0.0, 0.0, 0.8, 3.0]))
    _, clipped = lay_drawn(pattern, zone, sizes, gap=gap, angle=angle, origin=origin)
    _check(clipped, zone, gap)


def test_no_strip_stands_over_a_corner_that_points_into_the_zone() -> None:
    # The hexagon passes the corner of the zone grown by half the gap, 1.5 mm, and shrunk by it
    # still lay 0.4 mm over the corner itself.
    zone = as_outline([(-70, -96), (70, -96), (70, 53.5), (50, 53.5), (50, 96), (-70, 96)])
    hexagons = find_pattern("hexagon-of-strips")
    sizes = {"w": 25.125, "n": 1.0}
    _, clipped = lay_drawn(hexagons, zone, sizes, gap=3.0, angle=90.0, origin=(-77.0, -66.0))
    _check(clipped, zone, 3.0)
    assert (
        min(shapely.Polygon(f.outline).distance(shapely.Point(50, 53.5)) for f in clipped.fragments)
        < 1e-5
    )


@pytest.mark.parametrize("name", FILLING)
def test_every_shipped_pattern_fills_a_crooked_opening(name: str) -> None:
    zone = as_outline([(-90, -57), (85, -61), (93, 55), (-87, 60)])
    _check(lay(find_pattern(name), zone, angle=30.0, origin=(3.0, 4.0))[1], zone, 0.0)


@examples(10)
@given(st.data())
def test_whole_strips_are_copies_of_one_another(data: st.DataObject) -> None:
    pattern = find_pattern(data.draw(st.sampled_from(FILLING)))
    sizes = data.draw(draw_sizes(pattern))
    angle = data.draw(st.floats(0, 360))
    laid, clipped = lay_drawn(pattern, box(320, 240), sizes, gap=0.5, angle=angle, origin=(0, 0))
    first: dict[int, Outline] = {}
    for fragment in clipped.fragments:
        if fragment.kin < 0:
            continue
        shape = fragment.outline - fragment.outline[0]
        known = first.setdefault(fragment.kin, shape)
        assert np.abs(shape - known).max() < 1e-9
        assert np.array_equal(fragment.outline, fragment.whole)
        cell = area(laid.prototypes[fragment.kin].outline)
        assert area(fragment.outline) < cell


@examples(10)
@given(st.sampled_from(FILLING), st.floats(0, 360))
def test_a_clipped_strip_lies_in_its_whole_strip_with_the_same_grain(
    name: str, angle: float
) -> None:
    _, clipped = lay(find_pattern(name), box(230, 170), angle=angle)
    for f in clipped.fragments:
        assert shapely.covers(shapely.Polygon(f.whole).buffer(1e-5), shapely.Polygon(f.outline))
        if f.strip_width is not None:
            across = turned(f.whole, -f.grain)[:, 1]
            assert np.ptp(across) <= f.strip_width + 1e-5


@pytest.mark.parametrize("turn", [0.0, 1.0, 7.3, 17.0, 30.0, 45.0, 60.0, 89.9, 90.0, 123.456])
def test_an_opening_along_strip_edges_holds_exactly_its_strips(turn: float) -> None:
    # 54 x 20 in of strips 1 in square: 1080, and none cut. Openings turned by odd angles make
    # noise on every edge.
    zone = turned(box(54 * INCH, 20 * INCH), turn)
    _, clipped = lay(own(STACK), zone, angle=turn)
    assert len(clipped.fragments) == 54 * 20
    assert all(f.kin >= 0 for f in clipped.fragments)


@examples(10)
@given(st.floats(0, 360), st.sampled_from([0.0, 0.5]))
def test_a_bond_along_the_edges_has_the_count_worked_by_hand(turn: float, offset: float) -> None:
    # Strips 1 x 6 in: 27 in is 4 1/2 strips. Rows with a joint on the centre line have 8 whole
    # strips and two halves; the others, moved by half a strip, have 9 whole ones.
    zone = turned(box(54 * INCH, 20 * INCH), turn)
    pattern = find_pattern("running-bond")
    _, clipped = lay(pattern, zone, angle=turn, w=INCH, L=6 * INCH, offset=offset)
    rows_of_nine = 10 if offset else 0
    assert len(clipped.fragments) == rows_of_nine * 9 + (20 - rows_of_nine) * 10
    whole = [f for f in clipped.fragments if f.kin >= 0]
    assert len(whole) == rows_of_nine * 9 + (20 - rows_of_nine) * 8
    halves = [f for f in clipped.fragments if f.kin < 0]
    assert all(area(f.outline) == pytest.approx(3 * INCH * INCH) for f in halves)


@examples(8)
@given(st.floats(0, 360))
def test_an_ell_along_strip_edges_holds_exactly_its_strips(turn: float) -> None:
    # 54 x 20 in with a corner of 20 x 8 taken out; this is the way of zones with a dent.
    corners = as_outline([(-27, -10), (27, -10), (27, 2), (7, 2), (7, 10), (-27, 10)])
    zone = turned(as_outline(corners * INCH), turn)
    _, clipped = lay(own(STACK), zone, angle=turn)
    assert len(clipped.fragments) == 54 * 20 - 20 * 8
    assert all(f.kin >= 0 for f in clipped.fragments)


@pytest.mark.parametrize(
    "name",
    ["basket-weave", "chevron", "herringbone", "running-bond", "stepped-diamond", "tumbling-block"],
)
def test_a_zone_that_is_one_strip_holds_that_strip_only(name: str) -> None:
    # In plain doubles an overlay of touching neighbours now and then returns a whole strip: its
    # neighbours would be counted. (A known fault of overlay engines.)
    pattern = find_pattern(name)
    for turn in (0.0, 12.3, 45.0, 77.7):
        laid, _ = lay(pattern, box(130, 90), angle=turn)
        for n in range(0, len(laid.which), max(1, len(laid.which) // 6)):
            zone = as_outline(laid.prototypes[laid.which[n]].outline + laid.offsets[n])
            _, clipped = lay(pattern, zone, angle=turn)
            assert len(clipped.fragments) == 1, f"{name} turned by {turn}"
            assert clipped.covered == pytest.approx(area(zone), rel=1e-12)


@given(st.floats(0, 360))
def test_a_zone_that_is_two_strips_round_a_corner_holds_those_two(turn: float) -> None:
    # A strip of herringbone and the one that meets its end make an L.
    pattern = find_pattern("herringbone")
    w, long = 20.0, 80.0
    x, y = -long / 2, -w / 2
    ell = as_outline(
        [
            (x, y),
            (x + long, y),
            (x + long, y + w),
            (x + w, y + w),
            (x + w, y + w + long),
            (x, y + w + long),
        ]
    )
    _, clipped = lay(pattern, turned(ell, turn), angle=turn, w=w, r=4, n=1)
    assert len(clipped.fragments) == 2
    assert clipped.covered == pytest.approx(2 * w * long, rel=1e-7)


def test_a_real_sliver_stays_and_dust_goes() -> None:
    width = 10 * INCH
    for extra, pieces in ((1e-9, 100), (1e-7, 100), (0.02, 120)):
        _, clipped = lay(own(STACK), box(width, width + 2 * extra))
        assert len(clipped.fragments) == pieces, extra


def test_a_strip_cut_in_two_is_two_pieces() -> None:
    # A U whose notch takes the middle out of the rows at the back.
    zone = as_outline(
        [(-60, -25), (60, -25), (60, 25), (20, 25), (20, -5), (-20, -5), (-20, 25), (-60, 25)]
    )
    pattern = own(
        STACK.replace('L = { value = "1 in" }', 'L = { value = "500 mm" }').replace(
            'size.w = { value = "1 in" }', 'size.w = { value = "10 mm" }'
        )
    )
    _, clipped = lay(pattern, zone, origin=(-250.0, -25.0))
    # Two rows whole in front of the notch, three rows cut in two behind.
    assert len(clipped.fragments) == 2 + 3 * 2
    assert sorted(round(area(f.outline)) for f in clipped.fragments) == [400] * 6 + [1200] * 2


@pytest.mark.parametrize("gap", [0.5, 1.0, 2.0, 5.0])
def test_with_a_gap_the_wood_has_its_own_size_and_the_edge_stays_put(gap: float) -> None:
    # A bond of wood 40 x 200 mm: laid as 40 + gap by 200 + gap, then shrunk.
    zone = box(620 + 2 * gap, 40 * 5 + 4 * gap)
    pattern = find_pattern("running-bond")
    _, clipped = lay(
        pattern, zone, gap=gap, origin=(0.0, (40 + gap) / 2), w=40.0, L=200.0, offset=0.0
    )
    whole = [f for f in clipped.fragments if f.kin >= 0]
    assert whole
    for f in whole:
        assert np.ptp(f.outline, axis=0) == pytest.approx((200.0, 40.0))
        assert f.strip_width == pytest.approx(40.0)
    points = np.vstack([f.outline for f in clipped.fragments])
    assert points.min(axis=0) == pytest.approx(zone.min(axis=0))
    assert points.max(axis=0) == pytest.approx(zone.max(axis=0))


def test_wood_that_vanishes_in_the_gap_is_counted() -> None:
    # Cells of 20 mm; the zone grown by half the gap is 204 x 100 mm, so that 2 mm of a cell stand
    # at either side of each of its 5 or 6 rows, 0.5 mm of it in the field, and the gap is 3.
    pattern = own(STACK.replace('"1 in"', '"20 mm"'))
    _, clipped = lay(pattern, box(201, 97), gap=3.0, origin=(0.0, 10.0))
    assert len(clipped.cells) == 5 * (10 + 2)
    assert clipped.vanished == 5 * 2
    assert len(clipped.fragments) == 5 * 10
    _, tight = lay(pattern, box(202, 100), origin=(0.0, 10.0))
    assert tight.vanished == 0
    assert len(tight.fragments) == 5 * 12


def test_wood_that_splits_in_the_gap_is_two_pieces() -> None:
    # An hourglass of wood with a waist of 2 mm, and a gap of 3.
    pattern = own(
        'title = "t"\nsize.w = { value = "60 mm" }\npiece = [{ points = [[0, 0], ["w", 0], '
        '["w", "0.4 * w"], ["0.52 * w", "0.5 * w"], ["w", "0.6 * w"], ["w", "w"], [0, "w"], '
        '[0, "0.6 * w"], ["0.48 * w", "0.5 * w"], [0, "0.4 * w"]] }]\n'
    )
    _, clipped = lay(pattern, box(200, 200), gap=3.0)
    assert clipped.split == 1
    assert len(clipped.fragments) == 2


def test_an_outline_with_a_corner_where_a_neighbour_ends_takes_a_gap() -> None:
    # The middle of the long side is named as a corner, because two neighbours meet there.
    pattern = own(
        'title = "t"\nsize.w = { value = "20 mm" }\n'
        'piece = [{ points = [[0, 0], ["w", 0], ["2 * w", 0], ["2 * w", "w"], [0, "w"]] }]\n'
        'repeat.steps = [["2 * w", 0], [0, "w"]]\n'
    )
    _, clipped = lay(pattern, box(200, 120), gap=1.0)
    assert clipped.covered == pytest.approx(201 * 121)


def test_an_outline_with_a_dent_is_clipped_like_any_other() -> None:
    # Interlocking arrowheads: each is a square with a wedge taken out and put on again.
    pattern = own(
        'title = "t"\nsize.s = { value = "40 mm" }\nsize.w = { value = "90 mm" }\n'
        'piece = [{ points = [[0, 0], ["s", 0], ["1.3 * s", "s / 2"], ["s", "s"], [0, "s"], '
        '["0.3 * s", "s / 2"]] }]\nrepeat.steps = [["s", 0], [0, "s"]]\n'
    )
    zone = box(311, 203)
    for turn in (0.0, 20.0):
        _check(lay(pattern, zone, angle=turn)[1], zone, 0.0)


def test_a_fine_bond_in_a_turned_opening_has_no_sliver() -> None:
    for turn in np.linspace(0, 90, 10):
        zone = turned(box(24 * INCH, 12 * INCH), float(turn))
        _, clipped = lay(find_pattern("basket-weave"), zone, angle=float(turn), w=INCH, n=3)
        assert len(clipped.fragments) == 24 * 12 / 3
        assert min(area(f.outline) for f in clipped.fragments) > 3 * INCH * INCH * (1 - 1e-9)


def test_the_whole_columns_of_a_chevron_have_no_cut_at_the_sides() -> None:
    # 54 in wide in 9 columns of 6 in: the sides of the opening are column sides (closed form of
    # the chevron's fit), so every piece reaches from side to side of its column.
    _, clipped = lay(
        find_pattern("chevron"),
        box(54 * INCH, 20 * INCH),
        origin=(3 * INCH, 0.0),
        w=INCH,
        c=6 * INCH,
        rise=45.0,
    )
    for f in clipped.fragments:
        x = f.outline[:, 0] / INCH
        column = math.floor((x.mean() + 27) / 6)
        assert x.min() >= -27 + 6 * column - 1e-6
        assert x.max() <= -21 + 6 * column + 1e-6
        if f.kin >= 0:
            assert np.ptp(x) == pytest.approx(6.0)
