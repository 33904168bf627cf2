"""The opening: its outline, and what the strips cover of it in each order of work."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st

from tesselath.design import Design, Field, Filling, Frame, OpeningSize
from tesselath.errors import DesignError
from tesselath.field import field_outline, opening_outline
from tesselath.pattern import find_pattern
from tesselath.shape import area

ELL = ((0.0, 0.0), (400.0, 0.0), (400.0, 90.0), (190.0, 90.0), (190.0, 250.0), (0.0, 250.0))


def _design(opening: OpeningSize, **keys: object) -> Design:
    design = Design(
        name="Tray",
        units="mm",
        tape=0.5,
        opening=opening,
        field=Field(Filling(find_pattern("herringbone"))),
        places={
            "opening": "tray.toml, line 3, opening",
            "opening.clearance": "tray.toml, line 6, opening.clearance",
        },
    )
    return replace(design, **keys)  # type: ignore[arg-type]


def _polygon(*, lap: float | None = None, **keys: object) -> shapely.Polygon:
    opening = OpeningSize(**{"clearance": 0.0, **keys})  # type: ignore[arg-type]
    frame = None if lap is None else Frame(width=60.0, lap=lap)
    return shapely.Polygon(opening_outline(_design(opening, frame=frame)))


@given(st.floats(20, 3000), st.floats(20, 2000))
def test_a_rectangle_lies_centred_with_its_front_to_the_maker(width: float, depth: float) -> None:
    outline = opening_outline(_design(OpeningSize(0.0, width, depth)))
    x, y = width / 2, depth / 2
    assert outline.tolist() == [[-x, -y], [x, -y], [x, y], [-x, y]]


@given(st.tuples(st.floats(-900, 900), st.floats(-900, 900)), st.booleans(), st.integers(0, 5))
def test_an_outline_is_the_same_wherever_and_whichever_way_it_is_measured(
    moved: tuple[float, float], backward: bool, first: int
) -> None:
    corners = [(x + moved[0], y + moved[1]) for x, y in (*ELL[first:], *ELL[:first])]
    points = tuple(corners[::-1] if backward else corners)
    outline = opening_outline(_design(OpeningSize(0.0, points=points)))
    assert area(outline) == pytest.approx(400 * 90 + 190 * 160)
    assert outline.max(axis=0) == pytest.approx([200, 125])
    assert outline.min(axis=0) == pytest.approx([-200, -125])
    plain = _polygon(points=ELL)
    assert shapely.Polygon(outline).hausdorff_distance(plain) < 1e-9


def test_a_corner_in_the_middle_of_a_side_is_none() -> None:
    more = (*ELL[:1], (150.0, 0.0), *ELL[1:])
    assert len(opening_outline(_design(OpeningSize(0.0, points=more)))) == len(ELL)


def test_an_opening_without_a_size_is_refused() -> None:
    for size in (OpeningSize(0.0), OpeningSize(0.0, width=300.0)):
        with pytest.raises(DesignError, match="width and depth, or points") as refusal:
            opening_outline(_design(size))
        assert str(refusal.value).startswith("tray.toml, line 3, opening: ")


# --- orders of work ---


@given(
    st.sampled_from([((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)), ELL]),
    st.floats(0, 20),
)
def test_let_in_leaves_the_clearance_free_all_round(
    points: tuple[tuple[float, float], ...], clearance: float
) -> None:
    design = _design(OpeningSize(clearance, points=points))
    opening = opening_outline(design)
    field = shapely.Polygon(field_outline(design, opening, "let in"))
    frame = shapely.Polygon(opening).exterior
    assert shapely.Polygon(opening).buffer(1e-6).covers(field)
    assert frame.distance(field) == pytest.approx(clearance, abs=1e-6)
    for x, y in field.exterior.coords:
        # Every corner of the field is the clearance away from two sides.
        assert frame.distance(shapely.Point(x, y)) >= clearance - 1e-6


def test_trim_covers_the_opening_whatever_the_clearance() -> None:
    design = _design(OpeningSize(0.8, 300.0, 200.0), order="trim")
    opening = opening_outline(design)
    assert field_outline(design, opening, "trim").tolist() == opening.tolist()


@pytest.mark.parametrize("points", [None, ELL])
def test_lap_reaches_under_the_frame(points: tuple[tuple[float, float], ...] | None) -> None:
    size = OpeningSize(0.8, 400.0, 250.0) if points is None else OpeningSize(0.8, points=points)
    design = _design(size, frame=Frame(width=60.0, lap=7.0))
    opening = opening_outline(design)
    field = field_outline(design, opening, "lap")
    assert field.max(axis=0) == pytest.approx([207, 132])
    assert np.all(np.ptp(field, axis=0) == pytest.approx([414, 264]))
    assert len(field) == len(opening)
    # Without a frame, for comparison only, the default lap of 1/4 in.
    plain = field_outline(replace(design, frame=None), opening, "lap")
    assert plain.max(axis=0) == pytest.approx([200 + 6.35, 125 + 6.35])


@pytest.mark.parametrize(
    ("points", "clearance"),
    [
        (((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)), 100.0),
        # A waist of 10 mm: the clearance parts the field in two.
        (
            ((0.0, 0.0), (300.0, 0.0), (160.0, 95.0), (300.0, 200.0), (0.0, 200.0), (140.0, 95.0)),
            12.0,
        ),
    ],
)
def test_a_clearance_that_eats_or_parts_the_opening_is_refused(
    points: tuple[tuple[float, float], ...], clearance: float
) -> None:
    design = _design(OpeningSize(clearance, points=points))
    with pytest.raises(DesignError, match="leaves no room for the field") as refusal:
        field_outline(design, opening_outline(design), "let in")
    assert str(refusal.value).startswith("tray.toml, line 6, opening.clearance: ")
