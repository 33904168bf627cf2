"""Leaders: labels of tiny pieces find a place of their own."""

from __future__ import annotations

import itertools

import numpy as np
import shapely
from hypothesis import given, strategies as st

from tesselath.draw.maps import LabelSizes, Leader, Wanted, label_outline, lead_out
from tesselath.shape import as_outline

FIELD = as_outline([(-60, -40), (60, -40), (60, 40), (-60, 40)])
EDGE = np.concatenate([FIELD, FIELD[:1]])
places = st.lists(
    st.tuples(st.floats(-58, 58), st.floats(-38, 38)), min_size=1, max_size=7, unique=True
)


def lead(middles: list[tuple[float, float]], taken: list[np.ndarray]) -> list[Leader]:
    bit = np.array([(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)])
    wanted = [Wanted(bit + middle, 0.0, "K", str(n)) for n, middle in enumerate(middles, 10)]
    return lead_out(
        wanted, sizes=LabelSizes(2.5, 4.0), taken=taken, edges=[EDGE], closed=[], field=FIELD
    )


@given(places)
def test_neither_leaders_nor_their_labels_meet_other_lettering(
    middles: list[tuple[float, float]],
) -> None:
    other = np.array([(-20.0, -3.0), (20.0, -3.0), (20.0, 3.0), (-20.0, 3.0)])
    middles = [middle for middle in middles if abs(middle[0]) > 21 or abs(middle[1]) > 4]
    leaders = lead(middles, [other])
    boxes = [shapely.Polygon(label_outline(leader.label)) for leader in leaders]
    for one, two in itertools.combinations([*boxes, shapely.Polygon(other)], 2):
        assert not one.intersects(two)
    for (n, leader), (m, box) in itertools.product(enumerate(leaders), enumerate(boxes)):
        line = shapely.LineString([leader.start, leader.end])
        assert n == m or not line.intersects(box)
        assert not line.intersects(shapely.Polygon(other))
    assert len(leaders) == len(middles)


@given(places)
def test_a_leader_runs_from_its_piece_to_its_label(middles: list[tuple[float, float]]) -> None:
    for leader, middle in zip(lead(middles, []), middles, strict=True):
        assert np.hypot(*np.subtract(leader.start, middle)) < 0.6
        box = shapely.Polygon(label_outline(leader.label))
        assert box.distance(shapely.Point(leader.end)) < 1e-6
        assert leader.label.angle == 0.0


def test_a_piece_at_the_edge_is_lettered_beyond_it() -> None:
    (leader,) = lead([(0.0, 39.0)], [])
    assert not leader.on_pieces
    assert leader.label.at[1] > 40.0


def test_lettering_keeps_off_what_is_closed_to_it() -> None:
    bit = np.array([(-0.5, 38.0), (0.5, 38.0), (0.5, 39.0), (-0.5, 39.0)])
    ruler = [(-60.0, 40.0), (60.0, 40.0), (60.0, 52.0), (-60.0, 52.0)]
    (leader,) = lead_out(
        [Wanted(bit, 0.0, "K", "7")],
        sizes=LabelSizes(2.5, 4.0),
        taken=[],
        edges=[EDGE],
        closed=[ruler],
        field=FIELD,
    )
    assert not shapely.Polygon(label_outline(leader.label)).intersects(shapely.Polygon(ruler))
