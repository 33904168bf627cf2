"""Taper: the border of a measured opening is square inside and follows the opening outside."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st

from tesselath.field import measure_tapers
from tesselath.field.rings import CORNERS
from tesselath.field.taper import inside_of, lay_tapered_border
from tesselath.shape import Outline, area, as_outline, edge_lines


@st.composite
def some_opening(draw: st.DrawFn) -> Outline:
    """Four corners within a few per cent of a rectangle."""
    x, y = draw(st.floats(100, 700)), draw(st.floats(100, 400))
    off = st.floats(-4, 4)
    return as_outline(
        [
            (sx * x + draw(off), sy * y + draw(off))
            for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        ]
    )


def polygon(outline: Outline) -> shapely.Polygon:
    return shapely.Polygon(outline)


@given(some_opening())
def test_the_inside_is_upright_and_touches_every_edge(corners: Outline) -> None:
    inside = inside_of(corners)
    assert polygon(corners).buffer(1e-6).covers(polygon(inside))
    assert area(inside) == pytest.approx(np.prod(np.ptp(inside, axis=0)))
    for nx, ny, c in edge_lines(corners):
        # The end of each edge that stands farthest in lies level with a side of the inside.
        assert max(nx * x + ny * y - c for x, y in inside) >= -8.1 * abs(nx * ny) - 1e-6


def test_an_opening_too_far_out_of_square_holds_no_rectangle() -> None:
    assert not len(inside_of(as_outline([(0, 0), (100, 0), (200, 40), (100, 40)])))


@given(some_opening(), st.sampled_from(CORNERS), st.floats(10, 40))
def test_the_border_fills_what_lies_round_the_inside(
    corners: Outline, corner: str, width: float
) -> None:
    cells, inner = lay_tapered_border(corners, width=width, corner=corner, place="border.1")
    assert len(cells) == (8 if corner == "square" else 4)
    shapes = [polygon(t.cell.outline) for t in cells]
    assert sum(s.area for s in shapes) + area(inner) == pytest.approx(area(corners), abs=1e-3)
    covered = shapely.union_all([*shapes, polygon(inner)], grid_size=1e-6)
    assert covered.symmetric_difference(polygon(corners)).area < 1e-2
    assert np.ptp(inner, axis=0) == pytest.approx(np.ptp(inside_of(corners), axis=0) - 2 * width)


@given(some_opening(), st.sampled_from(CORNERS), st.floats(10, 40))
def test_a_blank_holds_its_piece_and_is_no_wider_than_its_strip(
    corners: Outline, corner: str, width: float
) -> None:
    cells, _ = lay_tapered_border(corners, width=width, corner=corner, place="border.1")
    strips = {round(t.cell.width or 0.0, 6) for t in cells}
    assert len(strips) == 1  # one setting of the rip fence
    for t in cells:
        assert polygon(t.blank).buffer(1e-3).covers(polygon(t.cell.outline))
        across = np.ptp(t.blank[:, 1 if t.cell.grain == 0.0 else 0])
        assert across == pytest.approx(t.cell.width, abs=1e-6)
        # Only the outer edge is planed: both long edges of the blank run with the grain.
        along = np.abs(np.diff(np.vstack([t.blank, t.blank[:1]]), axis=0))
        straight = (along[:, 1 if t.cell.grain == 0.0 else 0] < 1e-6).sum()
        assert straight == 2


@given(some_opening(), st.floats(10, 40))
def test_the_widths_at_the_ends_are_border_and_gap(corners: Outline, width: float) -> None:
    inside = inside_of(corners)
    edges = measure_tapers(corners, border=width)
    (left, front), (right, back) = inside.min(axis=0), inside.max(axis=0)
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = corners.tolist()
    gaps = (
        (front - ay, front - by),
        (bx - right, cx - right),
        (cy - back, dy - back),
        (left - dx, left - ax),
    )
    for edge, ends in zip(edges, gaps, strict=True):
        assert edge.narrow == pytest.approx(width + min(ends), abs=1e-9)
        assert edge.wide == pytest.approx(width + max(ends), abs=1e-9)
        assert edge.taper == pytest.approx(max(ends) - min(ends), abs=1e-9)
        assert edge.taper == pytest.approx(
            edge.length * abs(np.sin(np.radians(edge.lean))), abs=1e-9
        )
        assert min(ends) == pytest.approx(0.0, abs=1e-9)


def test_the_wide_end_is_the_one_that_stands_farther_out() -> None:
    corners = as_outline([(-100, -42), (103, -40), (100, 45), (-100, 40)])
    edges = measure_tapers(corners)
    assert [edge.wide_end for edge in edges] == ["left", "front", "right", ""]
    assert [round(edge.taper, 9) for edge in edges] == [2.0, 3.0, 5.0, 0.0]


def test_a_border_without_room_leaves_nothing() -> None:
    corners = as_outline([(-100, -40), (100, -41), (100, 40), (-100, 40)])
    assert lay_tapered_border(corners, width=40.0, corner="mitre", place="border.1")[0] == ()
