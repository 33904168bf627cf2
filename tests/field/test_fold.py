"""Folds: a mirrored field is its own mirror image, and joined twins are one straight strip."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st
from numpy.typing import NDArray
from test_zones import MIRRORS, NOISE, check_closed, fragments_of, polygons, read, top, zones_of

from effort import examples
from tesselath.field import Fragment, LaidZone, make_folds
from tesselath.field.fold import Fold, join_twins
from tesselath.shape import Outline, area, as_outline, turned
from tops import INCH, plan_of

_Move = Callable[[NDArray[np.float64]], NDArray[np.float64]]

#: What each mirror leaves in its place, as moves of the plane.
MOVES: dict[str, list[_Move]] = {
    "left-right": [lambda p: p * (-1, 1)],
    "front-back": [lambda p: p * (1, -1)],
    "four ways": [lambda p: p * (-1, 1), lambda p: p * (1, -1)],
    "quarters turned": [lambda p: np.asarray(turned(as_outline(p), 90.0))],
}

ELL = (
    'points = [["0", "0"], ["400", "0"], ["400", "90"], ["190", "90"], ["190", "250"], '
    '["0", "250"]]'
)


def of_outline(points: str, pattern: str, **keys: str) -> str:
    """Write a design whose opening is given by its corners [mm]."""
    text = top(pattern, head='units = "mm"', **keys)
    return text.replace('width = "24 in"\ndepth = "16 in"', points)


def unlike(zone: LaidZone, move: _Move, other: LaidZone | None = None) -> list[str]:
    """Move a zone, and name its pieces that do not fall on one of the same wood and grain."""
    other = zone if other is None else other
    theirs = np.array(polygons([f.outline for f in other.fragments]))
    tree = shapely.STRtree(shapely.centroid(theirs))
    wrong, used = [], set()
    for f in zone.fragments:
        moved = shapely.Polygon(move(f.outline))
        n = int(tree.nearest(moved.centroid))
        used.add(n)
        ray = np.array([np.cos(np.radians(f.grain)), np.sin(np.radians(f.grain))])
        ray = move(ray.reshape(1, 2))[0]
        theirs_ray = np.radians(other.fragments[n].grain)
        off = abs(ray[0] * np.sin(theirs_ray) - ray[1] * np.cos(theirs_ray))
        wood = zone.woods[zone.tones[f.tone]]
        theirs_wood = other.woods[other.tones[other.fragments[n].tone]]
        if moved.hausdorff_distance(theirs[n]) > NOISE or off > 1e-6 or wood != theirs_wood:
            wrong.append(f"{wood} at {moved.centroid.wkt}")
    if len(used) != len(other.fragments):
        wrong.append(f"{len(used)} of {len(other.fragments)} are met")
    return wrong


# --- the parts of a mirrored field ---


@given(
    st.sampled_from(MIRRORS),
    st.tuples(st.floats(-50, 50), st.floats(-50, 50)),
    st.lists(st.tuples(st.floats(-90, 90), st.floats(-90, 90)), min_size=1, max_size=20),
)
def test_the_parts_of_a_field_cover_the_plane_once(
    mirror: str, centre: tuple[float, float], points: list[tuple[float, float]]
) -> None:
    folds = make_folds(mirror, centre)
    assert len(folds) == {"none": 1, "left-right": 2, "front-back": 2}.get(mirror, 4)
    assert folds[0].matrix == ((1, 0), (0, 1))
    at = np.array(points) + centre
    clear = np.all(np.abs(at - centre) > 1e-6, axis=1)
    held = np.zeros(len(at), dtype=int)
    for fold in folds:
        back = fold.back_points(at)
        assert fold.points(back) == pytest.approx(at, abs=1e-9)
        inside = np.ones(len(at), dtype=bool)
        for nx, ny, c in fold.lines:
            inside &= back @ np.array([nx, ny]) <= c
        held += inside
    assert np.all(held[clear] == 1)


def test_a_fold_carries_the_grain_with_the_strip() -> None:
    strip = as_outline([(10, 5), (60, 5), (60, 15), (10, 15)])
    for mirror in MIRRORS:
        for angle in (0.0, 30.0, 135.0):
            slanted = turned(strip, angle)
            fragment = _fragment(slanted, grain=angle, kin=2)
            for n, fold in enumerate(make_folds(mirror, (3.0, -4.0))):
                carried = fold.carry(fragment, kin_offset=10 * n)
                assert carried.kin == 2 + 10 * n
                assert 0 <= carried.grain < 180
                assert area(carried.outline) == pytest.approx(500)
                lying = np.ptp(np.asarray(turned(carried.outline, -carried.grain)), axis=0)
                assert lying == pytest.approx([50, 10])
                assert fold.carry(_fragment(slanted, kin=-1), kin_offset=10).kin == -1


def test_a_name_that_is_no_mirror_is_refused() -> None:
    with pytest.raises(KeyError):
        make_folds("upside down", (0.0, 0.0))


def _fragment(
    cell: Outline, *, grain: float = 0.0, width: float | None = 10.0, tone: int = 0, kin: int = -1
) -> Fragment:
    return Fragment(cell, cell, grain, width, tone, 0, 0.0, kin, cell)


# --- symmetry ---


@pytest.mark.parametrize("mirror", sorted(MOVES))
@pytest.mark.parametrize(
    ("pattern", "angle", "gap"),
    [
        ("herringbone", "45 deg", "1/16 in"),
        ("diagonal-bias", "17 deg", "0"),
        ("random-courses", "0 deg", "1/16 in"),
    ],
)
def test_a_mirrored_field_is_its_own_mirror_image_woods_and_all(
    mirror: str, pattern: str, angle: str, gap: str
) -> None:
    side = "13 in" if mirror == "quarters turned" else "11 in"
    text = top(
        pattern,
        width="13 in",
        depth=side,
        angle=angle,
        strips=f'gap = "{gap}"',
        field=f'mirror = "{mirror}"\nshift = ["1/2 in", "3/8 in"]',
    )
    (field,) = check_closed(text)
    for move in MOVES[mirror]:
        assert unlike(field, move) == []
    # The check can fail: moved otherwise, the field is another one.
    assert unlike(field, lambda p: np.asarray(turned(as_outline(p), 3.0)))


def test_an_unmirrored_herringbone_is_no_mirror_image() -> None:
    (field,) = zones_of(top("herringbone", angle="45 deg"))
    assert unlike(field, MOVES["left-right"][0])


@given(
    st.sampled_from(sorted(MOVES)),
    st.integers(0, 359),
    st.sampled_from(["herringbone", "chevron", "running-bond", "basket-weave"]),
    st.integers(-300, 300),
    st.booleans(),
)
@examples(6)
def test_symmetry_holds_at_any_angle_and_shift(
    mirror: str, angle: int, pattern: str, shift: int, through: bool
) -> None:
    text = top(
        pattern,
        width="300 mm",
        depth="300 mm",
        sizes='w = "35 mm"',
        angle=f"{angle} deg",
        field=f'mirror = "{mirror}"\ncentre = "{"run through" if through else "cut"}"\n'
        f'shift = ["{shift / 10} mm", "{shift / 7:.3f} mm"]',
    )
    (field,) = check_closed(text)
    for move in MOVES[mirror]:
        assert unlike(field, move) == []


def test_quarters_turned_on_an_oblong_close() -> None:
    text = top("herringbone", width="27 in", field='mirror = "quarters turned"', angle="45 deg")
    (field,) = check_closed(text)
    # A half turn carries an oblong into itself.
    assert unlike(field, lambda p: -p) == []


@pytest.mark.parametrize("mirror", sorted(MOVES))
def test_a_mirrored_field_closes_an_opening_that_is_no_mirror_image(mirror: str) -> None:
    check_closed(of_outline(ELL, "herringbone", angle="45 deg", field=f'mirror = "{mirror}"'))
    skew = 'points = [["0", "0"], ["400", "10"], ["390", "240"], ["20", "260"]]'
    check_closed(of_outline(skew, "herringbone", angle="45 deg", field=f'mirror = "{mirror}"'))


def test_a_quarter_of_which_the_opening_holds_only_an_edge_is_left_out() -> None:
    ell = ELL.replace('"190"', '"200"')
    check_closed(of_outline(ell, "herringbone", field='mirror = "four ways"'))


# --- rows ---


@pytest.mark.parametrize(
    "mirror",
    [
        "none",
        "left-right",
        "front-back",
        "four ways",
        "quarters turned",
    ],
)
def test_rows_are_numbered_from_the_centre_line_outward(mirror: str) -> None:
    text = top(
        "stepped-diamond",
        width="20 in",
        depth="15 in",
        sizes='w = "1 in"',
        field=f'mirror = "{mirror}"',
    )
    (field,) = zones_of(text)
    for f in field.fragments:
        # Rows of 1 in, row 0 astride the centre line; a mirror line may halve it.
        away = abs(float(f.outline[:, 0 if f.grain else 1].mean()))
        assert away == pytest.approx(abs(f.row) * INCH, abs=INCH / 3)


# --- run through ---


def _on_line(field: LaidZone, axis: int) -> int:
    """How many pieces end on a centre line."""
    return sum(int(np.sum(np.abs(f.outline[:, axis]) <= NOISE) >= 2) for f in field.fragments)


def _laid(pattern: str, *, centre: str, mirror: str, angle: str = "0 deg", **keys: str) -> LaidZone:
    field = f'mirror = "{mirror}"\ncentre = "{centre}"\n{keys.pop("place", "")}'
    (zone,) = check_closed(top(pattern, angle=angle, field=field, **keys))
    return zone


def test_strips_that_meet_on_the_line_run_through_it() -> None:
    cut = _laid("running-bond", centre="cut", mirror="left-right", place='shift = ["1 in", "0"]')
    through = _laid(
        "running-bond", centre="run through", mirror="left-right", place='shift = ["1 in", "0"]'
    )
    rows = 12  # 16 in of 1 1/2 in, a joint along the middle, the outer ones ripped
    assert _on_line(cut, 0) == 2 * rows
    assert _on_line(through, 0) == 0
    assert len(through.fragments) == len(cut.fragments) - rows
    joined = [
        f for f in through.fragments if f.outline[:, 0].min() < -1 < 1 < f.outline[:, 0].max()
    ]
    assert len(joined) == rows
    for f in joined:
        assert len(f.outline) == 4
        assert f.outline[:, 0].min() == pytest.approx(-f.outline[:, 0].max(), abs=NOISE)


@pytest.mark.parametrize("mirror", sorted(MOVES))
@pytest.mark.parametrize(
    ("pattern", "angle"),
    [("herringbone", "45 deg"), ("diagonal-bias", "0 deg"), ("running-bond", "17 deg")],
)
def test_where_the_grain_does_not_cross_the_line_nothing_runs_through(
    mirror: str, pattern: str, angle: str
) -> None:
    keys = {"width": "15 in", "depth": "11 in"}
    cut = _laid(pattern, centre="cut", mirror=mirror, angle=angle, **keys)
    through = _laid(pattern, centre="run through", mirror=mirror, angle=angle, **keys)
    assert unlike(through, lambda p: p, cut) == []


@pytest.mark.parametrize("mirror", ["left-right", "front-back", "four ways"])
def test_frames_that_close_run_through_as_if_unmirrored(mirror: str) -> None:
    # 15 in is ten times two frames of 3/4 in.
    whole = _laid("rings", centre="cut", mirror="none", depth="15 in")
    through = _laid("rings", centre="run through", mirror=mirror, depth="15 in")
    assert unlike(through, lambda p: p, whole) == []


def test_frames_close_in_turned_quarters_of_an_oblong() -> None:
    check_closed(top("rings", width="27 in", field='mirror = "quarters turned"'))


@pytest.mark.parametrize("mirror", ["left-right", "front-back", "four ways"])
@pytest.mark.parametrize("gap", ["0", "1/16 in"])
def test_a_motif_that_is_its_own_mirror_image_runs_through_as_if_unmirrored(
    mirror: str, gap: str
) -> None:
    # Row 0 of stepped diamonds lies along the line that cuts it lengthwise.
    keys = {"strips": f'gap = "{gap}"', "width": "20 in", "depth": "11 in", "sizes": 'w = "1 in"'}
    plain = _laid("stepped-diamond", centre="cut", mirror="none", **keys)
    cut = _laid("stepped-diamond", centre="cut", mirror=mirror, **keys)
    through = _laid("stepped-diamond", centre="run through", mirror=mirror, **keys)
    assert len(cut.fragments) > len(plain.fragments)
    assert unlike(through, lambda p: p, plain) == []
    widths = {None if f.strip_width is None else round(f.strip_width, 6) for f in through.fragments}
    assert widths == {INCH}


@given(
    st.sampled_from(["herringbone", "basket-weave", "running-bond", "stair"]),
    st.sampled_from(sorted(MOVES)),
    st.sampled_from([0, 45, 90]),
    st.integers(-200, 200),
)
@examples(6)
def test_joining_changes_no_area_and_no_wood(
    pattern: str, mirror: str, angle: int, shift: int
) -> None:
    place = f'shift = ["{shift / 10} mm", "{shift / 9:.3f} mm"]'
    keys = {"width": "300 mm", "depth": "240 mm", "sizes": 'w = "35 mm"', "place": place}
    cut = _laid(pattern, centre="cut", mirror=mirror, angle=f"{angle} deg", **keys)
    through = _laid(pattern, centre="run through", mirror=mirror, angle=f"{angle} deg", **keys)
    assert len(through.fragments) <= len(cut.fragments)
    for tone in range(len(cut.tones)):
        before, after = (
            sum(area(f.outline) for f in zone.fragments if f.tone == tone)
            for zone in (cut, through)
        )
        assert after == pytest.approx(before, rel=1e-6, abs=1e-3)
    for f in through.fragments:
        across = np.ptp(np.asarray(turned(f.outline, -f.grain))[:, 1])
        assert f.strip_width is not None
        assert across <= f.strip_width + NOISE


LEFT = [(-40.0, 0.0), (0.0, 0.0), (0.0, 10.0), (-40.0, 10.0)]
RIGHT = [(0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (0.0, 10.0)]


def _moved(corners: list[tuple[float, float]], x: float, y: float) -> Outline:
    return as_outline([(cx + x, cy + y) for cx, cy in corners])


def _joined(left: Fragment, right: Fragment, *others: Fragment) -> list[Fragment]:
    return join_twins([left, right, *others], make_folds("left-right", (0.0, 0.0)), gap=0.0)


def test_two_halves_of_a_strip_become_one_without_a_corner_on_the_line() -> None:
    (one,) = _joined(_fragment(as_outline(LEFT), kin=3), _fragment(as_outline(RIGHT), kin=4))
    assert sorted(one.outline.tolist()) == [[-40, 0], [-40, 10], [30, 0], [30, 10]]
    assert one.kin == -1


@pytest.mark.parametrize(
    "right",
    [
        _fragment(as_outline(RIGHT), tone=1),
        _fragment(as_outline(RIGHT), grain=90.0),
        _fragment(as_outline(RIGHT), grain=1.0),
        # Moved along the line, or narrower there: no common edge.
        _fragment(_moved(RIGHT, 0, 2)),
        _fragment(as_outline([(0, 0), (30, 0), (30, 9), (0, 9)])),
        # It widens, or bends away: no straight strip.
        _fragment(as_outline([(0, 0), (30, 0), (30, 30), (0, 10)])),
        _fragment(as_outline([(0, 0), (30, 5), (30, 15), (0, 10)])),
        # Off the line by more than a pencil line.
        _fragment(_moved(RIGHT, 0.1, 0)),
    ],
)
def test_what_is_no_straight_strip_of_one_wood_stays_apart(right: Fragment) -> None:
    assert len(_joined(_fragment(as_outline(LEFT)), right)) == 2


def test_what_is_made_up_is_not_joined() -> None:
    left, right = (_fragment(as_outline(side), width=None) for side in (LEFT, RIGHT))
    assert len(_joined(left, right)) == 2


def test_a_cut_on_a_slope_that_both_halves_share_is_kept() -> None:
    # Trapezoids that lean apart meet in a longer trapezoid.
    left = [(-40.0, 0.0), (0.0, 0.0), (0.0, 10.0), (-30.0, 10.0)]
    right = [(0.0, 0.0), (40.0, 0.0), (30.0, 10.0), (0.0, 10.0)]
    (one,) = _joined(_fragment(as_outline(left)), _fragment(as_outline(right)))
    assert sorted(one.outline.tolist()) == [[-40, 0], [-30, 10], [30, 10], [40, 0]]


def test_a_strip_halved_lengthwise_is_whole_again() -> None:
    halves = [
        [(0.0, 0.0), (50.0, 0.0), (50.0, 5.0), (0.0, 5.0)],
        [(0.0, -5.0), (50.0, -5.0), (50.0, 0.0), (0.0, 0.0)],
    ]
    fragments = [_fragment(as_outline(half)) for half in halves]
    (one,) = join_twins(fragments, make_folds("front-back", (0.0, 0.0)), gap=0.0)
    assert np.ptp(one.outline, axis=0).tolist() == [50, 10]
    # Two whole strips side by side are not one of twice the width.
    wholes = [_fragment(as_outline(half), width=5.0) for half in halves]
    assert len(join_twins(wholes, make_folds("front-back", (0.0, 0.0)), gap=0.0)) == 2


def test_without_lines_nothing_is_joined() -> None:
    pair = [_fragment(as_outline(LEFT)), _fragment(as_outline(RIGHT))]
    assert join_twins(pair, [Fold()], gap=0.0) == pair


# --- run through, glued over-long and trimmed ---


def _trimmed(mirror: str) -> str:
    return top(
        "running-bond",
        width="31 in",
        depth="20.4 in",
        head='order = "trim"',
        field=f'mirror = "{mirror}"\ncentre = "run through"\nshift = ["1 in", "0"]',
    )


@pytest.mark.parametrize("mirror", ["left-right", "four ways"])
def test_a_joined_piece_at_the_trim_line_is_left_over_long(mirror: str) -> None:
    front = 20.4 / 2 * INCH
    for piece in plan_of(_trimmed(mirror)).pieces:
        if np.max(np.abs(piece.outline[:, 1])) >= front - NOISE:
            assert np.max(np.abs(piece.cut_outline[:, 1])) > front + 1


@pytest.mark.parametrize("mirror", ["left-right", "four ways"])
def test_a_blank_is_listed_only_where_it_differs(mirror: str) -> None:
    for piece in plan_of(_trimmed(mirror)).pieces:
        if piece.blank is not None:
            spare = shapely.Polygon(piece.blank).area - area(piece.outline)
            assert spare > 1e-3, f"piece {piece.number}"


def test_the_fields_of_the_designs_here_are_read_as_meant() -> None:
    field = read(_trimmed("four ways")).field
    assert (field.mirror, field.centre) == ("four ways", "run through")
    assert len(fragments_of(zones_of(_trimmed("four ways")))) > 50
