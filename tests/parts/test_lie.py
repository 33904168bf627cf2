"""How a piece lies at the saw: its cuts make it, its long edge is on the fence, hands are kept."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, strategies as st
from numpy.typing import NDArray

from tesselath.parts.lie import Lying, lie_at_saw
from tesselath.shape import Outline, area, as_outline, clip_by_lines, tidy

Points = NDArray[np.float64]
CHEVRON = as_outline([(0, -20), (200, 180), (200, 180 + 56.569), (0, 36.569)])


def _line(x: float, mitre: float, sign: float) -> tuple[float, float, float]:
    """The side of a cut on which the piece lies; sign -1 for a left end, 1 for a right one."""
    c, s = math.cos(math.radians(mitre)), math.sin(math.radians(mitre))
    return sign * c, -sign * s, sign * c * x


@st.composite
def _straight(draw: st.DrawFn) -> Outline:
    """A piece of two end cuts, along x: a parallelogram, a trapezoid or something between."""
    w, length = draw(st.floats(12, 60)), draw(st.floats(90, 300))
    left, right = draw(st.floats(-55, 55)), draw(st.floats(-55, 55))
    if draw(st.booleans()):
        right = draw(st.sampled_from([left, -left, 0.0]))
    strip = [(-400.0, -w / 2), (800.0, -w / 2), (800.0, w / 2), (-400.0, w / 2)]
    return as_outline(clip_by_lines(strip, [_line(0, left, -1), _line(length, right, 1)]))


@st.composite
def _clipped(draw: st.DrawFn) -> Outline:
    """A piece with a corner or two cut off besides, possibly narrower than its strip."""
    straight = draw(_straight())
    lines = []
    middle = straight.mean(axis=0)
    for _ in range(draw(st.integers(1, 3))):
        turn = draw(st.floats(0, 360))
        nx, ny = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        reach = float(np.max((straight - middle) @ [nx, ny]))
        c = nx * middle[0] + ny * middle[1] + reach * draw(st.floats(0.5, 0.98))
        lines.append((nx, ny, c))
    left = tidy(as_outline(clip_by_lines([(float(x), float(y)) for x, y in straight], lines)))
    assume(len(left) >= 3 and area(left) > 200)
    edges = np.hypot(*(left - np.roll(left, 1, axis=0)).T)
    assume(edges.min() > 0.5 and np.ptp(left[:, 1]) > 4 and np.ptp(left[:, 0]) > 8)
    return left


def _put(
    outline: Points, turn: float, start: int = 0, *, mirrored: bool = False
) -> tuple[Outline, float]:
    """Turn a piece, begin at another corner, perhaps mirror it; gives outline and grain."""
    points = (outline * (-1, 1))[::-1] if mirrored else outline
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    turned = points @ np.array([[c, s], [-s, c]]) + [31.0, -17.0]
    return as_outline(np.roll(turned, start % len(turned), axis=0)), turn % 180.0


def _remade(lying: Lying) -> Outline:
    """Cut the strip anew, with nothing but the cuts."""
    half = lying.width / 2
    lines = []
    for cut in lying.cuts:
        assert cut.mitre is not None
        assert cut.at is not None
        lines.append(_line(cut.at, cut.mitre, -1 if cut.side == "left" else 1))
    strip = [(-900.0, -half), (900.0, -half), (900.0, half), (-900.0, half)]
    return as_outline(clip_by_lines(strip, lines))


def _apart(a: Points, b: Points) -> float:
    return float(shapely.hausdorff_distance(shapely.Polygon(a), shapely.Polygon(b)))


@given(st.one_of(_straight(), _clipped()), st.floats(0, 360), st.integers(0, 9), st.data())
def test_the_cuts_make_the_piece(
    outline: Outline, turn: float, start: int, data: st.DataObject
) -> None:
    faces = data.draw(st.sampled_from(["both", "one"]))
    stop_side = data.draw(st.sampled_from(["left", "right"]))
    piece, grain = _put(outline, turn, start)
    lying = lie_at_saw(piece, grain, faces=faces, stop_side=stop_side)
    assert _apart(_remade(lying), lying.shape) < 1e-3
    assert area(_remade(lying)) == pytest.approx(area(outline), rel=1e-6)
    assert lying.overall == pytest.approx(np.ptp(outline[:, 0]), abs=1e-6)
    assert lying.width == pytest.approx(np.ptp(outline[:, 1]), abs=1e-6)
    assert sum(cut.op == "end" for cut in lying.cuts) == 2


@given(st.one_of(_straight(), _clipped()), st.floats(0, 360), st.booleans())
def test_a_piece_is_only_turned_end_for_end_where_one_face_may_show(
    outline: Outline, turn: float, mirrored: bool
) -> None:
    piece, grain = _put(outline, turn, mirrored=mirrored)
    flat = (outline * (-1, 1))[::-1] if mirrored else outline
    lying = lie_at_saw(piece, grain, faces="one", stop_side="left")
    shape = lying.shape - (lying.shape.min(axis=0) + lying.shape.max(axis=0)) / 2
    flat = flat - (flat.min(axis=0) + flat.max(axis=0)) / 2
    assert min(_apart(shape, flat), _apart(shape, -flat)) < 1e-6


@given(_straight(), st.floats(0, 360), st.sampled_from(["both", "one"]), st.data())
def test_the_longer_edge_lies_on_the_fence_and_the_stop_meets_its_corner(
    outline: Outline, turn: float, faces: str, data: st.DataObject
) -> None:
    wanted = data.draw(st.sampled_from(["left", "right"]))
    piece, grain = _put(outline, turn)
    lying = lie_at_saw(piece, grain, faces=faces, stop_side=wanted)
    assert lying.edge >= lying.other - 0.01
    top = lying.shape[lying.shape[:, 1] > lying.width / 2 - 1e-4]
    if lying.stop_side == "left":
        assert top[:, 0].min() <= lying.shape[:, 0].min() + 0.01
    else:
        assert top[:, 0].max() >= lying.shape[:, 0].max() - 0.01
    # So the stop reads the edge itself.
    assert lying.on_fence == pytest.approx(np.ptp(top[:, 0]), abs=1e-3)
    assert lying.on_fence == pytest.approx(lying.edge, abs=1e-3)
    if faces == "both":
        assert lying.stop_side == wanted


@given(st.one_of(_straight(), _clipped()), st.floats(0, 360), st.integers(0, 9), st.booleans())
def test_however_it_lay_on_the_base_it_lies_the_same_at_the_saw(
    outline: Outline, turn: float, start: int, rolled: bool
) -> None:
    first = lie_at_saw(outline, 0.0, faces="both", stop_side="left")
    again = lie_at_saw(*_put(outline, turn, start, mirrored=rolled), faces="both", stop_side="left")
    # Ways that are alike to a hundredth of a mm may be taken for one another.
    assert again.on_fence == pytest.approx(first.on_fence, abs=0.05)
    assert again.mitres == pytest.approx(first.mitres, abs=0.05)
    assert _apart(again.shape, first.shape) < 0.05


@given(st.one_of(_straight(), _clipped()), st.sampled_from(["both", "one"]))
def test_a_stop_on_the_right_is_the_mirror_image_of_one_on_the_left(
    outline: Outline, faces: str
) -> None:
    left = lie_at_saw(outline, 0.0, faces=faces, stop_side="left")
    mirror = as_outline((outline * (-1, 1))[::-1])
    right = lie_at_saw(mirror, 0.0, faces=faces, stop_side="right")
    assert (left.stop_side, right.stop_side) in (("left", "right"), ("right", "left"))
    assert right.mitres == pytest.approx((-left.mitres[1], -left.mitres[0]), abs=0.05)
    back = right.shape * (-1, 1)
    assert _apart(back - back.min(axis=0), left.shape - left.shape.min(axis=0)) < 0.05


@given(_straight(), st.floats(0, 360))
def test_a_mirror_image_has_the_other_hand_where_one_face_may_show(
    outline: Outline, turn: float
) -> None:
    one = lie_at_saw(*_put(outline, turn), faces="one", stop_side="left")
    twin = lie_at_saw(*_put(outline, turn, mirrored=True), faces="one", stop_side="left")
    assert twin.overall == pytest.approx(one.overall)
    assert twin.edge == pytest.approx(one.edge, abs=1e-3)
    assert sorted(map(abs, twin.mitres)) == pytest.approx(sorted(map(abs, one.mitres)), abs=1e-3)


def test_a_parallelogram_leans_like_a_backslash_with_the_stop_on_the_left() -> None:
    # So that its point at the stop lies on the fence; common practice at the mitre saw.
    for lean in (20.0, -20.0):
        piece = as_outline([(0, 0), (100, 0), (100 + lean, 20), (lean, 20)])
        lying = lie_at_saw(piece, 0.0, faces="both", stop_side="left")
        assert lying.mitres == (-45.0, -45.0)
        assert lying.edge == pytest.approx(100.0)
        assert lying.overall == pytest.approx(120.0)


def test_the_other_hand_takes_the_stop_to_the_right_where_one_face_may_show() -> None:
    slash = as_outline([(0, 0), (100, 0), (120, 20), (20, 20)])
    backslash = as_outline([(20, 0), (120, 0), (100, 20), (0, 20)])
    lying = lie_at_saw(slash, 0.0, faces="one", stop_side="left")
    assert (lying.stop_side, lying.mitres) == ("right", (45.0, 45.0))
    lying = lie_at_saw(backslash, 0.0, faces="one", stop_side="left")
    assert (lying.stop_side, lying.mitres) == ("left", (-45.0, -45.0))


def test_a_chevron_strip_measures_at_the_saw_what_the_books_say() -> None:
    # Strip 40, column 200, slope 45: edge 282.843, tip to tip 322.843, both ends 45 and parallel
    # (geometry of the chevron, worked by hand).
    lying = lie_at_saw(CHEVRON, 45.0, faces="both", stop_side="left")
    assert lying.width == pytest.approx(40.0, abs=1e-3)
    assert lying.edge == pytest.approx(282.843, abs=1e-3)
    assert lying.overall == pytest.approx(322.843, abs=1e-3)
    assert lying.mitres == pytest.approx((-45.0, -45.0), abs=1e-4)


@pytest.mark.parametrize(("r1", "r2"), [(22.5, 22.5), (30, 10), (45, 45), (0, 45)])
def test_the_long_edge_is_the_short_one_and_both_runs(r1: float, r2: float) -> None:
    # Long edge = short edge + w (tan r1 + tan r2): ends that slant outward.
    w, short = 40.0, 160.0
    run1, run2 = (w * math.tan(math.radians(r)) for r in (r1, r2))
    piece = as_outline([(0, 0), (short, 0), (short + run2, w), (-run1, w)])
    lying = lie_at_saw(piece, 0.0, faces="both", stop_side="left")
    assert lying.other == pytest.approx(short)
    assert lying.edge == pytest.approx(short + run1 + run2)
    assert lying.mitres[0] <= 0 <= lying.mitres[1]
    assert sorted(map(abs, lying.mitres)) == pytest.approx(sorted((r1, r2)), abs=1e-6)


def test_the_squarer_end_goes_to_the_stop() -> None:
    piece = as_outline([(0, 0), (100, 0), (120, 20), (0, 20)])
    for way in (piece, (piece * (-1, 1))[::-1]):
        lying = lie_at_saw(as_outline(way), 0.0, faces="both", stop_side="left")
        assert lying.mitres == pytest.approx((0.0, 45.0))


def test_a_picket_has_two_cuts_at_each_pointed_end() -> None:
    picket = as_outline([(0, 0), (15, -20), (115, -20), (130, 0), (115, 20), (15, 20)])
    lying = lie_at_saw(picket, 0.0, faces="both", stop_side="left")
    assert [(cut.op, cut.side) for cut in lying.cuts] == [
        ("end", "left"),
        ("corner", "left"),
        ("end", "right"),
        ("corner", "right"),
    ]
    turn = math.degrees(math.atan2(15, 20))
    assert all(abs(cut.mitre or 0) == pytest.approx(turn, abs=1e-4) for cut in lying.cuts)
    # An end cut through the whole width leaves 15 mm too much at its corner, measured along.
    assert lying.deepest_corner == pytest.approx(30 * math.cos(math.radians(turn)), abs=1e-3)


@given(_straight())
def test_two_cuts_leave_no_corner(outline: Outline) -> None:
    assert lie_at_saw(outline, 0.0, faces="both", stop_side="left").deepest_corner == 0.0


@given(st.floats(8, 40), st.floats(3, 15))
def test_a_notch_is_listed_with_the_corner_that_is_sawn_out(across: float, away: float) -> None:
    piece = as_outline(
        [(0, 0), (100, 0), (100, 20), (across, 20), (across, 20 - away), (0, 20 - away)]
    )
    lying = lie_at_saw(piece, 0.0, faces="both", stop_side="left")
    (notch,) = [cut for cut in lying.cuts if cut.op == "notch"]
    assert lying.deepest_corner == math.inf
    assert (notch.mitre, notch.at) == (None, None)
    # The hull cuts across the notch: half of it is waste of the saw, half is sawn out.
    assert area(as_outline(notch.points)) == pytest.approx(across * away / 2, rel=1e-6)
    remade = shapely.Polygon(_remade_hull(lying)).difference(shapely.Polygon(notch.points))
    assert remade.area == pytest.approx(area(piece), rel=1e-6)


def _remade_hull(lying: Lying) -> Outline:
    half = lying.width / 2
    lines = [
        _line(cut.at, cut.mitre, -1 if cut.side == "left" else 1)
        for cut in lying.cuts
        if cut.at is not None and cut.mitre is not None
    ]
    return as_outline(
        clip_by_lines([(-900.0, -half), (900.0, -half), (900.0, half), (-900.0, half)], lines)
    )


def test_a_triangle_has_no_edge_at_its_point() -> None:
    lying = lie_at_saw(as_outline([(0, 0), (40, 0), (20, 20)]), 0.0, faces="both", stop_side="left")
    assert lying.other == 0.0
    assert lying.edge == pytest.approx(40.0)
    assert lying.mitres == pytest.approx((-45.0, 45.0))


def test_a_hair_of_lean_is_square() -> None:
    piece = as_outline([(0, 0), (100, 0), (100 + 1e-8, 20), (1e-8, 20)])
    lying = lie_at_saw(piece, 0.0, faces="one", stop_side="left")
    assert lying.stop_side == "left"
    assert max(map(abs, lying.mitres)) < 1e-6
