"""Rings: every ring closes round any convex outline, with every joint, down to the middle."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, strategies as st

from effort import examples
from tesselath.errors import PatternError
from tesselath.field.rings import CORNERS, RingCell, lay_rings, regular_polygon
from tesselath.shape import Outline, area, as_outline, is_convex, turned
from tops import box, quadrilateral

PLACE = "own.toml, line 3, rings"


def _lay(
    outline: Outline, *widths: float, count: int = 999, corner: str = "mitre"
) -> tuple[RingCell, ...]:
    return lay_rings(outline, widths, count=count, corner=corner, place=PLACE)


def _check_closed(outline: Outline, cells: Sequence[RingCell]) -> None:
    """The cells fill the outline, and none lies on another or outside."""
    shapes = np.array([shapely.Polygon(cell.outline) for cell in cells])
    whole = shapely.Polygon(outline)
    assert sum(area(cell.outline) for cell in cells) == pytest.approx(whole.area, rel=1e-6)
    assert np.all(shapely.covers(whole.buffer(1e-5, join_style="mitre"), shapes))
    first, second = shapely.STRtree(shapes).query(shapes)
    first, second = first[first < second], second[first < second]
    shared = shapely.area(shapely.intersection(shapes[first], shapes[second], grid_size=1e-6))
    assert np.max(shared, initial=0.0) <= 1e-3 * math.sqrt(whole.area)
    for cell in cells:
        assert is_convex(cell.outline)
        assert area(cell.outline) > 0


def _length(cell: RingCell) -> float:
    """The extent of a cell along its grain."""
    return float(np.ptp(np.asarray(turned(cell.outline, -cell.grain))[:, 0]))


def _ring(cells: Sequence[RingCell], number: int) -> list[RingCell]:
    return [c for c in cells if c.ring == number and c.side >= 0]


@st.composite
def some_convex(draw: st.DrawFn) -> Outline:
    """A convex outline of three to seven sides, none too short or nearly in line with the next."""
    n = draw(st.integers(3, 7))
    steps = [draw(st.floats(0.6, 1.4)) for _ in range(n)]
    turns = np.cumsum(steps) / sum(steps) * 2 * math.pi
    stretch, turn = draw(st.floats(0.5, 1.0)), draw(st.floats(0, 360))
    corners = [(200 * math.cos(t), 200 * stretch * math.sin(t)) for t in turns]
    return turned(as_outline(corners), turn)


# --- closing ---


@given(
    st.floats(60, 500),
    st.floats(60, 500),
    st.lists(st.floats(9, 40), min_size=1, max_size=3),
    st.sampled_from(CORNERS),
    st.integers(1, 30),
)
@examples(15)
def test_rings_of_every_joint_fill_a_rectangle(
    width: float, depth: float, widths: list[float], corner: str, count: int
) -> None:
    outline = box(width, depth)
    cells = _lay(outline, *widths, count=count, corner=corner)
    used = sum(widths[r % len(widths)] for r in range(count))
    if 2 * used < min(width, depth) - 0.02:
        # The most rings are laid, and the middle is left to others.
        assert {c.ring for c in cells} == set(range(count))
        left = box(width - 2 * used, depth - 2 * used)
        cells = (*cells, RingCell(left, 0.0, None, count, -1))
    _check_closed(outline, cells)


@given(some_convex(), st.floats(9, 60), st.booleans())
@examples(12)
def test_mitred_rings_fill_any_convex_outline(outline: Outline, width: float, two: bool) -> None:
    cells = _lay(outline, *((width, width / 2) if two else (width,)))
    _check_closed(outline, cells)
    for cell in cells:
        across = np.ptp(np.asarray(turned(cell.outline, -cell.grain))[:, 1])
        if cell.width is not None:
            assert across <= cell.width + 0.011


@given(some_convex(), st.floats(9, 60), st.sampled_from(CORNERS))
@examples(15)
def test_other_joints_fill_any_outline_that_they_suit(
    outline: Outline, width: float, corner: str
) -> None:
    assume(len(outline) % 2 == 0 or corner in ("mitre", "pinwheel", "square"))
    sides = np.hypot(*(np.roll(outline, -1, axis=0) - outline).T)
    assume(sides.min() > 2.5 * width or corner == "mitre")
    cells = _lay(outline, width, count=1, corner=corner)
    inside = shapely.Polygon(outline).buffer(-width, join_style="mitre", mitre_limit=50)
    if inside.geom_type == "Polygon" and inside.area > 1:
        ring = np.array(inside.exterior.coords)[:-1]
        left = as_outline(ring if area(ring) > 0 else ring[::-1])
        _check_closed(outline, (*cells, RingCell(left, 0.0, None, 1, -1)))


@pytest.mark.parametrize("corner", CORNERS)
def test_a_joint_fills_an_end_narrower_than_two_strips_or_is_refused(corner: str) -> None:
    tapered = as_outline([(-300.0, -120.0), (300.0, -9.0), (300.0, 9.0), (-300.0, 120.0)])
    try:
        cells = _lay(tapered, 25, count=1, corner=corner)
    except PatternError:
        return
    _check_closed(tapered, (*cells, *_inner(tapered, 25)))


@pytest.mark.parametrize("corner", CORNERS)
def test_every_joint_fills_an_opening_out_of_square(corner: str) -> None:
    skew = quadrilateral([(-200, -120), (210, -100), (190, 130), (-215, 110)], 7.0)
    _check_closed(skew, (*_lay(skew, 25, count=1, corner=corner), *_inner(skew, 25)))


@pytest.mark.parametrize("sides", [6, 8])
def test_a_pinwheel_of_wide_strips_fills_a_polygon_of_short_sides(sides: int) -> None:
    # Half a side reaches less than a strip's width from the line of the side after the next.
    outline = regular_polygon(sides, 200.0)
    width = 0.45 * float(np.hypot(*(outline[1] - outline[0])))
    cells = _lay(outline, width, count=1, corner="pinwheel")
    _check_closed(outline, (*cells, *_inner(outline, width)))


def _inner(outline: Outline, width: float) -> list[RingCell]:
    inside = shapely.Polygon(outline).buffer(-width, join_style="mitre", mitre_limit=50)
    return [RingCell(as_outline(np.array(inside.exterior.coords)[:-1][::-1]), 0.0, None, 1, -1)]


def test_a_hexagon_closes_in_triangles() -> None:
    # Six mitred rings of 20 mm in a hexagon 240 mm across its flats.
    outline = regular_polygon(6, 240.0)
    cells = _lay(outline, 20)
    _check_closed(outline, cells)
    assert len(cells) == 36
    assert [len(c.outline) for c in _ring(cells, 5)] == [3] * 6
    assert all(c.side >= 0 for c in cells)


# --- the middle ---


@given(st.integers(1, 8), st.floats(10, 50), st.floats(1, 300))
@examples(5)
def test_frames_close_exactly_when_the_short_side_is_twice_their_width(
    n: int, width: float, longer: float
) -> None:
    depth = 2 * n * width
    outline = box(depth + longer, depth)
    for corner in CORNERS:
        cells = _lay(outline, width, corner=corner)
        _check_closed(outline, cells)
        assert all(c.side >= 0 for c in cells), corner
        assert {c.ring for c in cells} == set(range(n))
    # The last short pieces of a mitred frame are triangles.
    last = _ring(_lay(outline, width), n - 1)
    assert sorted(len(c.outline) for c in last) == [3, 3, 4, 4]


@given(st.integers(0, 6), st.floats(20, 50), st.floats(0.1, 1.9), st.floats(1, 300))
@examples(12)
def test_else_one_centre_panel_fills_the_middle(
    n: int, width: float, share: float, longer: float
) -> None:
    left = share * width
    depth = 2 * n * width + left
    outline = turned(box(depth + longer, depth), 30.0)
    cells = _lay(outline, width)
    _check_closed(outline, cells)
    (panel,) = [c for c in cells if c.side < 0]
    assert panel.ring == n
    assert panel.grain == pytest.approx(30.0, abs=1e-6)
    sides = np.ptp(np.asarray(turned(panel.outline, -30.0)), axis=0)
    assert sides == pytest.approx([left + longer, left])
    # One strip where it is narrow enough, else it is made up.
    assert panel.width == (width if left <= width + 0.005 else None)


def test_a_strip_wider_than_the_opening_is_its_panel() -> None:
    (panel,) = _lay(box(300, 40), 50)
    assert (panel.ring, panel.side, panel.width) == (0, -1, 50)


# --- lengths and angles ---


def test_a_mitred_frame_has_the_lengths_of_its_rectangle() -> None:
    # Long edges A - 2 r w and B - 2 r w, short edges 2 w less (plane geometry).
    cells = _lay(box(400, 300), 30)
    for r in range(5):
        lengths = [400.0 - 60 * r, 300.0 - 60 * r]
        ring = _ring(cells, r)
        assert [c.side for c in ring] == [0, 1, 2, 3]
        assert [_length(c) for c in ring] == pytest.approx(lengths * 2)
        assert [c.grain for c in ring] == [0, 90, 0, 90]
        assert [c.direction for c in ring] == [0, 90, 180, 270]
        for cell, length in zip(ring, lengths * 2, strict=True):
            assert area(cell.outline) == pytest.approx(30 * (length - 30))


@given(some_convex(), st.floats(4, 10))
@examples(12)
def test_a_mitre_halves_its_corner(outline: Outline, width: float) -> None:
    cells = _ring(_lay(outline, width, count=1), 0)
    lowest = min(range(len(outline)), key=lambda i: _front(outline, i))
    for cell in cells:
        i = (lowest + cell.side) % len(outline)
        for j in (i, (i + 1) % len(outline)):
            k = int(np.argmin(np.hypot(*(cell.outline - outline[j]).T)))
            before, here, after = (cell.outline[(k + d) % len(cell.outline)] for d in (-1, 0, 1))
            mitred = _angle(before - here, after - here)
            last, following = outline[j - 1], outline[(j + 1) % len(outline)]
            corner = _angle(last - outline[j], following - outline[j])
            assert mitred == pytest.approx(corner / 2, abs=1e-3)


def _front(outline: Outline, i: int) -> tuple[float, float]:
    """How far an edge faces the front: its outward normal, y first."""
    x, y = outline[(i + 1) % len(outline)] - outline[i]
    length = math.hypot(x, y)
    return round(-x / length, 6), round(y / length, 6)


def _angle(u: Outline, v: Outline) -> float:
    cosine = float(u @ v) / (math.hypot(*u) * math.hypot(*v))
    return math.degrees(math.acos(max(-1.0, min(1.0, cosine))))


@pytest.mark.parametrize("n", [3, 5, 6, 8, 12])
def test_the_rings_of_a_regular_polygon_shrink_with_their_depth(n: int) -> None:
    # Edge 2 (rho - r w) tan(180/n), rho half the width across flats (plane geometry).
    rho, w = 100.0, 20.0
    outline = regular_polygon(n, 2 * rho)
    assert area(outline) == pytest.approx(n * rho**2 * math.tan(math.pi / n))
    assert outline[:, 1].min() == pytest.approx(-rho)
    cells = _lay(outline, w)
    _check_closed(outline, cells)
    for r in range(5):
        edge = 2 * (rho - r * w) * math.tan(math.pi / n)
        assert [_length(c) for c in _ring(cells, r)] == pytest.approx([edge] * n)


def test_the_frames_of_a_diamond_lean_as_its_halves_do() -> None:
    # Cuts atan(p/q) at the p-tips and atan(q/p) at the q-tips, from square (plane geometry).
    p, q = 160.0, 100.0
    outline = as_outline([(p, 0), (0, q), (-p, 0), (0, -q)])
    rho = p * q / math.hypot(p, q)
    cells = _lay(outline, rho / 4)
    _check_closed(outline, cells)
    assert len(cells) == 16
    for cell in _ring(cells, 0):
        lying = np.asarray(turned(cell.outline, -cell.grain))
        runs = sorted(abs(lying[:, 0].max() - x) for x, _ in _short_edge(lying)) + sorted(
            abs(x - lying[:, 0].min()) for x, _ in _short_edge(lying)
        )
        leans = sorted(math.degrees(math.atan(r / (rho / 4))) for r in (runs[0], runs[2]))
        wanted = sorted(math.degrees(math.atan(v)) for v in (p / q, q / p))
        assert leans == pytest.approx(wanted, abs=1e-6)


def _short_edge(lying: Outline) -> list[tuple[float, float]]:
    """The two corners of the shorter of a trapezoid's two long edges."""
    top = [(float(x), float(y)) for x, y in lying if y > lying[:, 1].max() - 1e-6]
    bottom = [(float(x), float(y)) for x, y in lying if y < lying[:, 1].min() + 1e-6]
    return min((top, bottom), key=lambda edge: abs(edge[0][0] - edge[1][0]))


@pytest.mark.parametrize(
    ("corner", "lengths"),
    [
        # Round a rectangle of 400 x 300 in strips of 30 mm, worked by hand.
        ("mitre", [400, 300, 400, 300]),
        ("pinwheel", [370, 270, 370, 270]),
        ("long through", [400, 240, 400, 240]),
        ("short through", [340, 300, 340, 300]),
        ("square", [340, 240, 340, 240, 30, 30, 30, 30]),
    ],
)
def test_a_butted_frame_has_the_lengths_of_its_joint(corner: str, lengths: list[float]) -> None:
    cells = _lay(box(400, 300), 30, count=1, corner=corner)
    sides = [c for c in cells if not c.corner]
    squares = [c for c in cells if c.corner]
    assert [_length(c) for c in (*sides, *squares)] == pytest.approx(lengths)
    assert all(len(c.outline) == 4 for c in cells)
    # Stood upright the same strips run through.
    upright = _lay(box(300, 400), 30, count=1, corner=corner)
    assert sorted(map(_length, upright)) == pytest.approx(sorted(lengths))


def test_turn_about_frames_take_turns_to_run_through() -> None:
    cells = _lay(box(400, 300), 30, corner="turn about")
    outer, inner = _ring(cells, 0), _ring(cells, 1)
    assert [_length(c) for c in outer] == pytest.approx([400, 240, 400, 240])
    assert [_length(c) for c in inner] == pytest.approx([280, 240, 280, 240])


def test_a_pinwheel_is_its_own_quarter_turn() -> None:
    cells = _lay(box(300, 300), 40, corner="pinwheel")
    shapes = [shapely.Polygon(c.outline) for c in cells if c.side >= 0]
    for cell in cells:
        quarter = shapely.Polygon(turned(cell.outline, 90.0))
        assert min(quarter.hausdorff_distance(shape) for shape in shapes) < 1e-6 or cell.side < 0
    # Every strip runs past the corner at its left end, seen from the middle of the frame.
    front = _ring(cells, 0)[0]
    assert front.outline[:, 0].tolist() == pytest.approx([-150, 110, 110, -150])


# --- what does not count, and what is refused ---


@given(some_convex(), st.integers(0, 6), st.floats(0.2, 0.8))
@examples(10)
def test_a_corner_in_the_middle_of_a_side_is_none(
    outline: Outline, side: int, share: float
) -> None:
    i = side % len(outline)
    after = outline[(i + 1) % len(outline)]
    middle = outline[i] + share * (after - outline[i])
    more = as_outline(np.insert(outline, i + 1, middle, axis=0))
    plain, same = _lay(outline, 30), _lay(more, 30)
    assert len(same) == len(plain)
    _check_closed(outline, same)


def test_the_order_of_the_corners_does_not_matter() -> None:
    outline = quadrilateral([(-200, -120), (210, -100), (190, 130), (-215, 110)])
    plain = _lay(outline, 25)
    for k in range(1, 4):
        again = _lay(as_outline(np.roll(outline, k, axis=0)), 25)
        assert [(c.ring, c.side) for c in again] == [(c.ring, c.side) for c in plain]
        for a, b in zip(again, plain, strict=True):
            assert shapely.Polygon(a.outline).hausdorff_distance(shapely.Polygon(b.outline)) < 1e-6


def test_an_outline_with_a_dent_is_refused() -> None:
    ell = as_outline([(0, 0), (90, 0), (90, 30), (30, 30), (30, 90), (0, 90)])
    with pytest.raises(PatternError, match="without a dent") as refusal:
        _lay(ell, 10)
    assert PLACE in str(refusal.value)


@pytest.mark.parametrize("width", [0.0, -3.0, 0.004])
def test_rings_of_no_width_are_refused(width: float) -> None:
    with pytest.raises(PatternError, match="wider than 0"):
        _lay(box(100, 80), 10, width)


@pytest.mark.parametrize("corner", ["long through", "short through", "turn about"])
@pytest.mark.parametrize("sides", [3, 5])
def test_through_joints_need_an_even_number_of_sides(corner: str, sides: int) -> None:
    with pytest.raises(PatternError, match=f"even number of sides; here are {sides}"):
        _lay(regular_polygon(sides, 200.0), 10, corner=corner)
    _check_closed(regular_polygon(6, 200.0), _lay(regular_polygon(6, 200.0), 25, corner=corner))


def test_thousands_of_rings_are_refused() -> None:
    with pytest.raises(PatternError, match="rings are not laid"):
        _lay(regular_polygon(3, 9e4), 0.1, count=10**9, corner="pinwheel")
