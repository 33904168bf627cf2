"""Zones: borders, field and medallions close the opening, whatever lies in what."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st

from effort import examples
from tesselath.design import Design, parse_design
from tesselath.errors import DesignError, PatternError, TesselathError
from tesselath.field import Fragment, LaidZone, field_outline, lay_zones, opening_outline
from tesselath.measure import ALIKE
from tesselath.shape import Outline, area, turned
from tops import INCH, plan_of, top as plain_top

#: What an overlay on the grid may leave along a joint [mm].
NOISE = 1e-4

MIRRORS = ("none", "left-right", "front-back", "four ways", "quarters turned")

BORDERS = """
[[border]]
width = "1 1/2 in"
wood = "walnut"
[[border]]
width = "2 in"
corner = "square"
pattern = "basket-weave"
wood = "cherry"
[border.set]
w = "1/2 in"
n = 4
"""


def top(
    pattern: str = "herringbone", *, width: str = "24 in", depth: str = "16 in", **keys: str
) -> str:
    """Write a design of 24 x 16 in, large enough for what is let into it here."""
    return plain_top(pattern, width=width, depth=depth, **keys)


@cache
def read(text: str) -> Design:
    """Read a design from its text."""
    return parse_design(text, file_name="test-top.toml", beside=None)


@cache
def zones_of(text: str) -> tuple[LaidZone, ...]:
    """Lay the zones of a design, without planning the cuts."""
    design = read(text)
    return lay_zones(design, field_outline(design, opening_outline(design), design.order))


def fragments_of(zones: Sequence[LaidZone]) -> list[Fragment]:
    """Every fragment of every zone."""
    return [fragment for zone in zones for fragment in zone.fragments]


def polygons(outlines: Sequence[Outline]) -> list[shapely.Polygon]:
    """Outlines as shapely polygons."""
    return [shapely.Polygon(outline) for outline in outlines]


def check_closed(text: str, *, bare: float = 0.0) -> tuple[LaidZone, ...]:
    """Lay a design; its pieces and what is bare must fill the opening and keep the gap."""
    design, zones = read(text), zones_of(text)
    region = shapely.Polygon(field_outline(design, opening_outline(design), design.order))
    gap = design.strips.gap
    grown = shapely.buffer(region, gap / 2, join_style="mitre", mitre_limit=50)
    # What a gap leaves no wood of is no wider than the gap, and no longer than a strip.
    lost = sum(zone.vanished for zone in zones) * gap * 310
    covered = sum(area(cell) for zone in zones for cell in zone.cells)
    assert covered + bare == pytest.approx(grown.area, abs=1e-6 * grown.area + lost)
    told = sum(zone.bare for zone in zones)
    assert told == pytest.approx(bare, abs=1e-6 * grown.area + lost)
    fragments = fragments_of(zones)
    woods = polygons([f.outline for f in fragments])
    cells = np.array(polygons([f.cell for f in fragments]))
    assert np.all(shapely.covers(shapely.buffer(cells, NOISE), woods))
    free = shapely.distance(shapely.boundary(cells), woods)
    assert not gap or np.min(free, initial=gap) >= gap / 2 - ALIKE
    outside = shapely.buffer(region, NOISE, join_style="mitre")
    shapely.prepare(outside)
    assert np.all(shapely.covers(outside, woods)), "a piece reaches outside the opening"
    # The two parts of one strip that the gap splits at a neck may lie nearer.
    parts = [f.cell.tobytes() for f in fragments]
    check_apart(woods, gap, strips=parts if gap else None)
    return zones


def check_apart(
    woods: Sequence[shapely.Polygon], gap: float, *, strips: Sequence[object] | None = None
) -> None:
    """No two pieces, unless they are of one strip, overlap or lie nearer than the gap."""
    shapes = np.array(woods)
    reach = max(gap - NOISE, 0.0)
    first, second = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=reach)
    pairs = [(int(a), int(b)) for a, b in zip(first, second, strict=True) if a < b]
    if gap:
        near = [(a, b) for a, b in pairs if strips is None or strips[a] != strips[b]]
        assert not near, f"pieces {near[0]} lie nearer than the gap"
    elif pairs:
        ours, theirs = (shapes[list(side)] for side in zip(*pairs, strict=True))
        shared = shapely.area(shapely.intersection(ours, theirs, grid_size=1e-6))
        assert np.max(shared) <= 0.01, f"pieces {pairs[int(np.argmax(shared))]} lie on each other"


def medallion(*points: tuple[float, float], pattern: str = "running-bond", sizes: str = "") -> str:
    """Write a medallion, its corners in inches."""
    corners = ", ".join(f'["{x!r} in", "{y!r} in"]' for x, y in points)
    return f"""
[[medallion]]
points = [{corners}]
pattern = "{pattern}"
[medallion.set]
{sizes}
"""


def rectangle(x0: float, y0: float, x1: float, y1: float) -> list[tuple[float, float]]:
    """The corners of a rectangle [in]."""
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


DIAMOND = medallion((8, 0), (0, 5), (-8, 0), (0, -5), pattern="rings", sizes='w = "1/2 in"')
RING_WIDTHS = 'w = "{w!r} mm"'


# --- the whole top ---


@pytest.mark.parametrize("mirror", MIRRORS)
@pytest.mark.parametrize(
    ("centre", "pattern", "angle", "gap"),
    [("cut", "herringbone", "45 deg", "0"), ("run through", "stepped-diamond", "0 deg", "1/16 in")],
)
def test_a_top_of_two_borders_a_mirrored_field_and_a_diamond_closes(
    mirror: str, centre: str, pattern: str, angle: str, gap: str
) -> None:
    zones = check_closed(
        top(
            pattern,
            width="54 in",
            depth="20 in",
            strips=f'gap = "{gap}"',
            angle=angle,
            sizes='w = "1 1/2 in"',
            field=f'mirror = "{mirror}"\ncentre = "{centre}"',
            more=BORDERS + DIAMOND,
        )
    )
    assert [zone.name for zone in zones] == ["medallion-1", "field", "border-2", "border-1"]
    assert [zone.trimmed for zone in zones] == [False, True, False, False]
    assert all(zone.fragments for zone in zones)


def test_neighbours_lie_exactly_a_gap_apart() -> None:
    text = top(
        "herringbone",
        width="20 in",
        depth="15 in",
        strips='gap = "1/16 in"',
        angle="45 deg",
        field='mirror = "four ways"',
        more=BORDERS + DIAMOND,
    )
    gap = INCH / 16
    outlines = [f.outline for f in fragments_of(zones_of(text))]
    woods = np.array(polygons(outlines))
    # Straight across the middle of every edge there is the next piece, or the frame.
    region = shapely.Polygon(opening_outline(read(text)))
    tree = shapely.STRtree(woods)
    met = 0
    for n, outline in enumerate(outlines):
        ends = np.roll(outline, -1, axis=0)
        for p, q in zip(outline, ends, strict=True):
            length = float(np.hypot(*(q - p)))
            if length < 3 * gap:
                continue
            along = (q - p) / length
            out = np.array([along[1], -along[0]])
            # A probe may look into the mouth of another joint; not all along an edge do.
            probes = [p + (q - p) * k / 8 for k in range(1, 8)]
            if shapely.distance(region.exterior, shapely.Point(probes[3])) < NOISE:
                continue
            apart = []
            for probe in probes:
                ray = shapely.LineString([probe + out * 1e-3, probe + out * 2 * gap])
                apart += [
                    float(shapely.distance(shapely.Point(probe), woods[k]))
                    for k in tree.query(ray, predicate="intersects")
                    if k != n
                ]
            met += 1
            assert min(apart, default=0.0) == pytest.approx(gap, abs=NOISE)
    assert met > 150


@st.composite
def some_top(draw: st.DrawFn) -> str:
    """A rectangle with borders, a mirror and a medallion, at odd sizes."""
    pattern = draw(st.sampled_from(["herringbone", "chevron", "running-bond", "tumbling-block"]))
    angle = draw(st.sampled_from([0, 45, 90]) | st.integers(0, 179))
    mm = st.integers(3000, 7000).map(lambda tenths: tenths / 10)
    width, depth = draw(mm), draw(mm)
    moved = st.integers(-400, 400).map(lambda tenths: tenths / 10)
    small = st.integers(15, 40).map(lambda tenths: tenths / 10)
    borders = "".join(
        f'[[border]]\nwidth = "{draw(st.integers(12, 40))} mm"\nwood = "oak"\n'
        f'corner = "{draw(st.sampled_from(["mitre", "pinwheel", "turn about", "square"]))}"\n'
        for _ in range(draw(st.integers(0, 2)))
    )
    x, y = draw(moved) / 10, draw(moved) / 10
    a, b = draw(small), draw(small)
    figure = medallion((x + a, y), (x, y + b), (x - a, y), (x, y - b), pattern="basket-weave")
    return top(
        pattern,
        width=f"{width} mm",
        depth=f"{depth} mm",
        angle=f"{angle} deg",
        field=f'mirror = "{draw(st.sampled_from(MIRRORS))}"\n'
        f'centre = "{draw(st.sampled_from(["cut", "run through"]))}"\n'
        f'shift = ["{draw(moved)} mm", "{draw(moved)} mm"]',
        sizes='w = "30 mm"',
        strips=f'gap = "{draw(st.sampled_from(["0", "0", "1.5 mm"]))}"',
        more=borders + draw(st.sampled_from(["", figure])),
    )


@given(some_top())
@examples(8)
def test_any_composed_top_closes(text: str) -> None:
    check_closed(text)


# --- borders ---


@pytest.mark.parametrize("width", ["8 in", "7.9999 in", "7 in"])
def test_borders_that_leave_no_room_are_refused_in_one_sentence(width: str) -> None:
    text = top(more=f'[[border]]\nwidth = "{width}"\nwood = "oak"\n' * 1 + BORDERS)
    with pytest.raises(TesselathError) as refusal:
        zones_of(text)
    (fault,) = refusal.value.faults
    assert "room for a field" in fault.rule
    assert "border" in fault.place
    assert "\n" not in str(refusal.value)


def test_a_border_is_as_wide_as_the_design_says() -> None:
    text = top(strips='gap = "1/16 in"', more=BORDERS)
    inner, outer = zones_of(text)[1:]
    assert (outer.name, inner.name) == ("border-1", "border-2")
    assert np.ptp(outer.outline, axis=0) == pytest.approx([24 * INCH, 16 * INCH])
    # Inside the first border and one gap the second begins.
    step = 2 * (1.5 + 1 / 16) * INCH
    assert np.ptp(inner.outline, axis=0) == pytest.approx([24 * INCH - step, 16 * INCH - step])
    for zone, width in ((outer, 1.5 * INCH), (inner, 2 * INCH)):
        for f in zone.fragments:
            x0, y0 = np.abs(f.outline).max(axis=0)
            half = np.ptp(zone.outline, axis=0) / 2
            assert max(x0 - half[0], y0 - half[1]) <= NOISE
            reach = half - np.abs(f.outline)
            # Every corner lies within the border's width of the outside.
            assert np.all(reach.min(axis=1) <= width + NOISE)


def test_the_pattern_of_a_border_turns_with_its_sides() -> None:
    text = top(
        width="20 in",
        depth="20 in",
        more='[[border]]\nwidth = "2 in"\ncorner = "pinwheel"\npattern = "running-bond"\n'
        '[border.set]\nw = "1 in"\nL = "5 in"\n',
    )
    border = zones_of(text)[-1]
    outlines = [f.outline for f in border.fragments]
    quarter = [turned(outline, 90.0) for outline in outlines]
    assert _same_set(outlines, quarter)
    for f in border.fragments:
        x, y = f.outline.mean(axis=0)
        assert f.grain == (0.0 if abs(y) > abs(x) else 90.0)


def test_corner_squares_take_the_wood_of_the_border() -> None:
    border = zones_of(top(more=BORDERS))[1]
    squares = [f for f in border.fragments if border.tones[f.tone] == "corner"]
    assert len(squares) == 4
    assert border.woods["corner"] == "cherry"
    for f in squares:
        assert np.ptp(f.outline, axis=0) == pytest.approx([2 * INCH, 2 * INCH])
        x, y = np.abs(f.outline).max(axis=0)
        assert (x, y) == pytest.approx((10.5 * INCH, 6.5 * INCH))


def _same_set(first: Sequence[Outline], second: Sequence[Outline]) -> bool:
    """Whether two lots of outlines are the same shapes in the same places."""
    ours, theirs = polygons(first), np.array(polygons(second))
    if len(ours) != len(theirs):
        return False
    nearest = shapely.STRtree(shapely.centroid(theirs)).nearest(shapely.centroid(ours))
    apart = shapely.hausdorff_distance(ours, theirs[nearest])
    return len(np.unique(nearest)) == len(ours) and bool(np.max(apart) <= NOISE)


# --- medallions ---


@pytest.mark.parametrize("gap", ["0", "1/16 in"])
def test_a_later_medallion_lies_on_an_earlier_one(gap: str) -> None:
    left, right = rectangle(-6, -3, 2, 3), rectangle(-2, -4, 6, 2)
    text = top(strips=f'gap = "{gap}"', more=medallion(*left) + medallion(*right))
    later, earlier, field = check_closed(text)
    assert (later.name, earlier.name) == ("medallion-2", "medallion-1")
    assert sum(area(c) for c in later.cells) == pytest.approx(48 * INCH**2, rel=1e-6)
    # They share 4 x 5 in, which the earlier one loses.
    assert sum(area(c) for c in earlier.cells) == pytest.approx((48 - 20) * INCH**2, rel=1e-6)
    whole = (24 * INCH + read(text).strips.gap) * (16 * INCH + read(text).strips.gap)
    assert sum(area(c) for c in field.cells) == pytest.approx(whole - 76 * INCH**2, abs=50)


def test_a_medallion_within_a_medallion_is_let_into_it() -> None:
    inner = medallion(*rectangle(-1, -1, 1, 1), pattern="stack-bond")
    zones = check_closed(top(more=DIAMOND + inner))
    assert [len(zone.fragments) > 0 for zone in zones] == [True, True, True]
    assert sum(area(c) for c in zones[1].cells) == pytest.approx((80 - 4) * INCH**2, rel=1e-6)


def test_a_medallion_that_a_later_one_covers_holds_no_piece() -> None:
    inner = medallion(*rectangle(-1, -1, 1, 1), pattern="stack-bond")
    diamond, hidden, _ = check_closed(top(more=inner + DIAMOND))
    assert hidden.fragments == ()
    assert sum(area(c) for c in diamond.cells) == pytest.approx(80 * INCH**2, rel=1e-6)


def test_a_medallion_ends_at_the_edge_of_the_field() -> None:
    text = top(more=BORDERS + medallion(*rectangle(4, 3, 20, 20)))
    figure = check_closed(text)[0]
    # Two borders take 3 1/2 in of the half of 12 by 8 in.
    assert figure.outline.max(axis=0) == pytest.approx([8.5 * INCH, 4.5 * INCH])
    assert sum(area(c) for c in figure.cells) == pytest.approx(4.5 * 1.5 * INCH**2, rel=1e-6)


def test_a_medallion_may_cover_the_whole_field() -> None:
    figure, field = check_closed(top(more=medallion(*rectangle(-40, -40, 40, 40))))
    assert field.fragments == ()
    assert sum(area(c) for c in figure.cells) == pytest.approx(24 * 16 * INCH**2, rel=1e-6)


@pytest.mark.parametrize("gap", ["0", "1/16 in"])
@pytest.mark.parametrize("turn", [0, 30])
def test_a_strip_round_a_small_medallion_is_parted_there(gap: str, turn: int) -> None:
    # One strip of 6 in would run right round the medallion of 1 in.
    text = top(
        "running-bond",
        angle=f"{turn} deg",
        field='shift = ["0", "-3 in"]',
        sizes='w = "6 in"\nL = "40 in"',
        strips=f'gap = "{gap}"',
        more=medallion(*rectangle(-0.5, -0.5, 0.5, 0.5), pattern="stack-bond"),
    )
    _, field = check_closed(text)
    hole = shapely.Polygon(np.array(rectangle(-0.5, -0.5, 0.5, 0.5)) * INCH)
    beside = [f for f in field.fragments if hole.distance(shapely.Polygon(f.outline)) < 2]
    assert len(beside) >= 2
    assert not any(shapely.Polygon(f.outline).intersection(hole).area > 0.1 for f in beside)


def test_a_medallion_outside_the_field_is_refused() -> None:
    for corners in (rectangle(40, 0, 45, 5), rectangle(12, -2, 15, 2)):
        with pytest.raises(DesignError, match="does not lie in the field") as refusal:
            zones_of(top(more=medallion(*corners)))
        assert str(refusal.value).startswith("test-top.toml, line ")
        assert ", medallion.points: " in str(refusal.value)


def test_an_outline_that_crosses_itself_is_refused() -> None:
    with pytest.raises(DesignError, match="corner") as refusal:
        zones_of(top(more=medallion((-4, -4), (5, 5), (5, -5), (-4, 4))))
    assert "medallion" in str(refusal.value)


def test_a_medallion_with_a_dent_may_hold_rows_but_no_rings() -> None:
    ell = [(-4.0, -4.0), (5.0, -4.0), (5.0, 0.0), (0.0, 0.0), (0.0, 4.0), (-4.0, 4.0)]
    check_closed(top(more=medallion(*ell)))
    with pytest.raises(PatternError, match="without a dent"):
        zones_of(top(more=medallion(*ell, pattern="rings")))


def test_the_bare_ground_of_a_standing_figure_is_told() -> None:
    # A diamond of 7 frames of 1/2 in at 40 degrees, in a square of 12 in; 2 p q by hand.
    text = top(
        width="20 in",
        depth="16 in",
        more=medallion(*rectangle(-6, -6, 6, 6), pattern="diamond-frames"),
    )
    slope = math.radians(40)
    ground = 144 - 2 * (3.5 / math.sin(slope)) * (3.5 / math.cos(slope))
    figure, field = check_closed(text, bare=ground * INCH**2)
    assert figure.bare == pytest.approx(ground * INCH**2, rel=1e-6)
    assert field.bare == pytest.approx(0, abs=0.1)
    plan = plan_of(text)
    assert plan.uncovered_area == pytest.approx(ground * INCH**2, rel=1e-5)
    assert "uncovered" in [note.code for note in plan.notes]


@given(st.integers(30, 80), st.integers(30, 70), st.integers(2, 5))
@examples(4)
def test_rings_in_a_diamond_medallion_close_when_its_depth_is_a_whole_number_of_them(
    p_tenths: int, q_tenths: int, rings: int
) -> None:
    p, q = p_tenths / 10, q_tenths / 10
    # rho = p q / sqrt(p^2 + q^2) is the distance from the middle to a side (plane geometry).
    rho = p * q / math.hypot(p, q) * INCH
    sizes = RING_WIDTHS.format(w=rho / rings)
    corners = [(p, 0.0), (0.0, q), (-p, 0.0), (0.0, -q)]
    figure, _ = check_closed(top(more=medallion(*corners, pattern="rings", sizes=sizes)))
    assert len(figure.fragments) == 4 * rings
    assert [f.strip_width for f in figure.fragments] == pytest.approx([rho / rings] * 4 * rings)
    panelled = RING_WIDTHS.format(w=rho / (rings + 0.5))
    figure, _ = check_closed(top(more=medallion(*corners, pattern="rings", sizes=panelled)))
    assert len(figure.fragments) == 4 * rings + 1


def test_a_medallion_of_which_a_hair_lies_in_the_field_is_laid_or_refused() -> None:
    text = top(strips='gap = "1/16 in"', more=medallion(*rectangle(11.98, 0, 20, 4)))
    try:
        zones_of(text)
    except DesignError as refusal:
        assert "medallion" in str(refusal)  # noqa: PT017


def test_a_corner_in_the_middle_of_a_side_changes_no_ring() -> None:
    plain = rectangle(-4, -4, 4, 4)
    check_closed(top(more=medallion(*plain, pattern="rings")))
    check_closed(top(more=medallion(plain[0], (0, -4), *plain[1:], pattern="rings")))


def test_a_strip_that_the_gap_splits_covers_its_place_once() -> None:
    figure = medallion((1.5, 0), (0, 1.5), (-1.5, 0), (0, -1.5), pattern="basket-weave")
    check_closed(
        top(
            "herringbone",
            width="300 mm",
            depth="300 mm",
            sizes='w = "30 mm"',
            angle="62 deg",
            field='mirror = "left-right"\nshift = ["-2.3 mm", "21.1 mm"]',
            strips='gap = "1.5 mm"',
            more=figure,
        )
    )


# --- orders of work ---

TRIMMED = [
    ("herringbone", 45, "none", "1/16 in"),
    ("herringbone", 45, "four ways", "0"),
    ("running-bond", 30, "none", "0"),
    ("chevron", 0, "left-right", "1/16 in"),
    ("stepped-diamond", 0, "quarters turned", "0"),
]


@pytest.mark.parametrize(("pattern", "angle", "mirror", "gap"), TRIMMED)
def test_a_blank_covers_its_piece_and_reaches_over_the_trim_line_only(
    pattern: str, angle: int, mirror: str, gap: str
) -> None:
    text = top(
        pattern,
        head='order = "trim"',
        strips=f'gap = "{gap}"',
        angle=f"{angle} deg",
        field=f'mirror = "{mirror}"',
        more=medallion(*rectangle(2, 1, 9, 6)),
    )
    zones = check_closed(text)
    field = zones[1]
    opening = shapely.Polygon(opening_outline(read(text)))
    figure = shapely.Polygon(np.array(rectangle(2, 1, 9, 6)) * INCH)
    wholes = polygons([f.whole for f in field.fragments])
    over = 0
    for f, whole in zip(field.fragments, wholes, strict=True):
        # Where a mirror line or a medallion cuts, the blank ends; only the frame's side is open.
        assert whole.intersection(figure).area <= NOISE * whole.length
        assert shapely.buffer(whole, NOISE).covers(shapely.Polygon(f.outline))
        over += whole.difference(opening).area > 1
        if mirror != "none":
            for axis in {"left-right": (0,)}.get(mirror, (0, 1)):
                beyond = np.sign(f.outline[:, axis].mean()) * f.whole[:, axis]
                assert beyond.min() >= read(text).strips.gap / 2 - NOISE
    assert over > 10


def test_blanks_overlap_no_other_piece_within_the_opening() -> None:
    text = top(
        "herringbone",
        head='order = "trim"',
        angle="45 deg",
        field='mirror = "four ways"',
        sizes='w = "1 in"',
        more=medallion(*rectangle(2, 1, 9, 6)),
    )
    plan = plan_of(text)
    opening = shapely.Polygon(plan.opening)
    cut = [shapely.Polygon(p.cut_outline) for p in plan.pieces]
    assert sum(p.blank is not None for p in plan.pieces) > 10
    check_apart([c.intersection(opening) for c in cut], 0.0)
    for piece, blank in zip(plan.pieces, cut, strict=True):
        assert shapely.buffer(blank, NOISE).covers(shapely.Polygon(piece.outline))


# --- kin, and woods ---


def kin_that_differ(zones: Sequence[LaidZone]) -> list[str]:
    """Find fragments that are called copies of one strip and are not alike."""
    wrong = []
    for zone in zones:
        seen: dict[int, tuple[float, float]] = {}
        for f in zone.fragments:
            if f.kin < 0:
                continue
            along, across = np.ptp(np.asarray(turned(f.outline, -f.grain)), axis=0)
            first = seen.setdefault(f.kin, (float(along), float(across)))
            if max(abs(along - first[0]), abs(across - first[1])) > ALIKE:
                wrong.append(f"{zone.name}, kin {f.kin}: {along:.2f} and {first[0]:.2f} mm long")
    return wrong


@pytest.mark.parametrize("mirror", MIRRORS)
@pytest.mark.parametrize("pattern", ["herringbone", "stepped-diamond", "chevron"])
def test_copies_of_one_strip_are_alike(mirror: str, pattern: str) -> None:
    text = top(pattern, angle="0 deg", field=f'mirror = "{mirror}"', more=DIAMOND)
    assert kin_that_differ(zones_of(text)) == []


def test_copies_in_quarters_of_different_shape_are_alike() -> None:
    for seed in (1, 5, 7):
        text = top(
            "random-courses",
            width="54 in",
            depth="31 in",
            sizes=f"seed = {seed}",
            angle="0 deg",
            field='mirror = "quarters turned"',
        )
        assert kin_that_differ(zones_of(text)) == []


@pytest.mark.parametrize("pattern", ["running-bond", "random-courses"])
def test_copies_in_the_sides_and_corners_of_a_border_are_alike(pattern: str) -> None:
    text = top(
        width="54 in",
        depth="31 in",
        more=f'[[border]]\nwidth = "2 in"\ncorner = "square"\npattern = "{pattern}"\n'
        '[border.set]\nw = "1 in"\n',
    )
    assert kin_that_differ(zones_of(text)) == []


def test_every_tone_has_its_wood() -> None:
    text = top(
        "herringbone",
        more='[tones]\ndark = "wenge"\nlight = ["maple", "birch"]\n' + BORDERS + DIAMOND,
    )
    for zone in zones_of(text):
        assert sorted(zone.woods) == sorted(set(zone.tones))
        for f in zone.fragments:
            assert 0 <= f.tone < len(zone.tones)
    field = next(zone for zone in zones_of(text) if zone.name == "field")
    assert field.woods == {"dark": "wenge", "light": "maple"}
