"""Labels inside pieces: within their piece, never upside down, as large as asked."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, strategies as st

from tesselath.draw.maps import LabelSizes, Wanted, label_outline, place_labels
from tesselath.draw.maps.labels import label_size
from tesselath.measure import reading_angle
from tesselath.shape import as_outline, turned

grains = st.floats(0.0, 179.99)
#: Corners of labels are computed with turns and rounded shapes [mm].
SLACK = 0.02


@st.composite
def strips(draw: st.DrawFn) -> tuple[np.ndarray, float]:
    """A strip with slanted ends, turned and moved anywhere."""
    length, width = draw(st.floats(5.0, 150.0)), draw(st.floats(2.0, 40.0))
    left, right = draw(st.floats(-1.5, 1.5)), draw(st.floats(-1.5, 1.5))
    half = width / 2
    assume(length > 1.6 * width)
    corners = [
        (-left * half, -half),
        (length - right * half, -half),
        (length + right * half, half),
        (left * half, half),
    ]
    grain = draw(grains)
    x, y = draw(st.floats(-900, 900)), draw(st.floats(-900, 900))
    return turned(as_outline(corners), grain) + np.array([x, y]), grain


@given(strips(), st.sampled_from(["A", "W", "AB", "C-L"]), st.integers(1, 99_999))
def test_a_label_lies_within_its_piece(
    strip: tuple[np.ndarray, float], letter: str, number: int
) -> None:
    outline, grain = strip
    wanted = Wanted(outline, grain, letter, str(number))
    (label,) = place_labels([wanted], sizes=LabelSizes(most=9.0))
    if label is not None:
        piece = shapely.Polygon(outline).buffer(SLACK)
        assert piece.covers(shapely.Polygon(label_outline(label)))
        assert 2.5 <= label.letter_cap <= 9.0 + 1e-9
        assert label.number_cap >= 2.0


@given(strips())
def test_lettering_runs_along_the_grain_and_is_never_upside_down(
    strip: tuple[np.ndarray, float],
) -> None:
    outline, grain = strip
    (label,) = place_labels([Wanted(outline, grain, "A", "7")], sizes=LabelSizes(0.5, 1.0, 0.4))
    assert label is not None
    assert -90.0 < label.angle <= 90.0
    away = abs(label.angle - grain) % 180.0
    assert min(away, 180.0 - away) < 0.01


@pytest.mark.parametrize(
    ("grain", "angle"),
    [(0.0, 0.0), (45.0, 45.0), (90.0, 90.0), (135.0, -45.0), (90.004, 90.0), (179.0, -1.0)],
)
def test_lettering_is_read_from_the_front_or_the_right(grain: float, angle: float) -> None:
    assert reading_angle(grain) == pytest.approx(angle)


@given(st.floats(6.0, 60.0), st.floats(20.0, 200.0))
def test_the_largest_size_that_fits_a_square_ended_strip_is_found(
    width: float, length: float
) -> None:
    assume(length > 2 * width)
    sizes = LabelSizes(most=50.0)
    strip = as_outline([(0, 0), (length, 0), (length, width), (0, width)])
    (label,) = place_labels([Wanted(strip, 0.0, "A", "17")], sizes=sizes)
    if label is None:
        wide, high = label_size("A", "17", sizes.least, sizes=sizes)
        assert wide > length or high > width
        return
    # One step of the series larger would stick out, in either arrangement.
    larger = label.letter_cap * (sizes.most / sizes.least) ** (1 / 23) * 1.0001
    for under in (False, True):
        wide, high = label_size("A", "17", larger, sizes=sizes, under=under)
        assert wide > length or high > width or larger > sizes.most


def test_a_label_in_a_bent_piece_keeps_out_of_the_notch() -> None:
    # An L: its middle lies outside of it.
    ell = as_outline([(0, 0), (60, 0), (60, 12), (12, 12), (12, 60), (0, 60)])
    for grain in (0.0, 90.0, 45.0):
        (label,) = place_labels([Wanted(ell, grain, "A", "17")], sizes=LabelSizes(2.5, 6.0))
        assert label is not None
        assert shapely.Polygon(ell).buffer(SLACK).covers(shapely.Polygon(label_outline(label)))


def test_the_number_goes_under_the_letter_where_the_piece_is_short() -> None:
    short = as_outline([(0, 0), (9, 0), (9, 16), (0, 16)])
    (label,) = place_labels([Wanted(short, 0.0, "A", "17")], sizes=LabelSizes(most=4.0))
    assert label is not None
    assert label.under


def test_a_piece_too_small_for_the_least_size_gets_no_label() -> None:
    sliver = as_outline([(0, 0), (40, 0), (40, 3), (0, 3)])
    assert place_labels([Wanted(sliver, 0.0, "A", "17")], sizes=LabelSizes()) == [None]


def test_most_labels_of_a_drawing_have_one_size() -> None:
    wide = as_outline([(0, 0), (80, 0), (80, 18), (0, 18)])
    usual = as_outline([(0, 0), (80, 0), (80, 10), (0, 10)])
    wanted = [Wanted(usual, 0.0, "A", str(n)) for n in range(8)]
    wanted += [Wanted(wide, 0.0, "B", str(n)) for n in range(8, 10)]
    labels = place_labels(wanted, sizes=LabelSizes(most=20.0))
    assert len({label.letter_cap for label in labels if label is not None}) == 1


def test_pieces_of_one_shape_are_lettered_alike_wherever_they_lie() -> None:
    strip = as_outline([(0, 0), (60, 5), (55, 18), (-5, 13)])
    grain = float(np.degrees(np.arctan2(5, 60)))
    wanted = [Wanted(strip + n * np.array([7.3, -3.1]), grain, "A", f"{n + 10}") for n in range(5)]
    labels = place_labels(wanted, sizes=LabelSizes(most=6.0))
    places = [
        np.subtract(label.at, one.outline[0])
        for label, one in zip(labels, wanted, strict=True)
        if label
    ]
    assert len(places) == 5
    assert np.allclose(places, places[0])


@pytest.mark.deep
def test_labels_lie_alike_on_every_processor() -> None:
    # Older kernels of the linear algebra library add and multiply in two steps, newer ones in one.
    code = (
        "from tops_drawn import planned; from tesselath.draw.maps import draw_map;"
        "from tesselath.draw.paper import write_svg; import hashlib;"
        "print(hashlib.sha256(write_svg(draw_map(planned('hall-table'))).encode()).hexdigest())"
    )
    path = os.pathsep.join([str(Path(__file__).parents[2]), *sys.path])
    answers = [
        subprocess.run(
            [sys.executable, "-c", code],
            check=True,
            capture_output=True,
            text=True,
            env={**os.environ, "PYTHONPATH": path, "OPENBLAS_CORETYPE": kernel},
        ).stdout
        for kernel in ("Prescott", "Haswell")
    ]
    assert answers[0] == answers[1]
