"""Frame and base: lengths by the sums a shop makes, and what must always hold."""

from __future__ import annotations

from math import hypot, sqrt, tan

import numpy as np
import pytest
from hypothesis import given, strategies as st

from effort import examples
from tesselath.design import parse_design
from tesselath.errors import DesignError
from tesselath.field import field_outline, opening_outline
from tesselath.frame import FrameBase, plan_frame_base
from tesselath.shape import area
from tops import INCH, plan_of, top

TABLE = {"width": "54 in", "depth": "20 in", "sizes": 'w = "4 in"\nr = 3'}


def _planned(text: str, **zones: np.ndarray) -> FrameBase:
    design = parse_design(text, file_name="test-top.toml", beside=None)
    opening = opening_outline(design)
    field = field_outline(design, opening, design.order)
    return plan_frame_base(design, opening=opening, field=field, zones={"field": field, **zones})


def _frame(**keys: str) -> str:
    rows = {"width": "2 1/2 in"} | {key.replace("_", " "): value for key, value in keys.items()}
    return "[frame]\n" + "".join(f'{k.replace(" ", "_")} = "{v}"\n' for k, v in rows.items())


def test_mitred_members_run_two_widths_past_the_opening() -> None:
    planned = _planned(top(**TABLE, more=_frame()))
    lengths = {m.name: m.long_point / INCH for m in planned.members}
    assert lengths == pytest.approx({"front": 59, "right": 25, "back": 59, "left": 25})
    assert all(m.mitres == pytest.approx((45.0, 45.0)) for m in planned.members)
    assert all(m.blank[1] == pytest.approx(2.5 * INCH) for m in planned.members)


def test_butted_front_and_back_run_through() -> None:
    planned = _planned(top(**TABLE, more=_frame(corner="butt")))
    lengths = {m.name: m.long_point / INCH for m in planned.members}
    assert lengths == pytest.approx({"front": 59, "right": 20, "back": 59, "left": 20})


def test_an_octagon_has_eight_members_mitred_at_22_and_a_half() -> None:
    # Side s, frame w: long point s + 2 w tan 22.5 (regular octagon, by hand).
    s = 12.0
    a, b = s / 2, s / 2 + s / sqrt(2)
    corners = [(-a, -b), (a, -b), (b, -a), (b, a), (a, b), (-a, b), (-b, a), (-b, -a)]
    points = ", ".join(f'["{x:.6f} in", "{y:.6f} in"]' for x, y in corners)
    text = f'[opening]\npoints = [{points}]\n[field]\npattern = "herringbone"\n{_frame()}'
    members = _planned(text).members
    assert len(members) == 8
    for member in members:
        assert member.mitres == pytest.approx((22.5, 22.5), abs=1e-4)
        assert member.short_point == pytest.approx(s * INCH, abs=1e-3)
        longer = 2 * 2.5 * INCH * tan(np.radians(22.5))
        assert member.long_point - member.short_point == pytest.approx(longer, abs=1e-3)


def test_a_frame_round_a_curve_is_sawn_to_shape() -> None:
    way = np.radians(np.arange(0, 360, 5))
    points = ", ".join(f'["{20 * np.cos(t):.5f} in", "{12 * np.sin(t):.5f} in"]' for t in way)
    text = f'[opening]\npoints = [{points}]\n[field]\npattern = "herringbone"\n{_frame()}'
    planned = _planned(text)
    assert [m.shaped for m in planned.members] == [True] * 4
    for member in planned.members:
        # Cut where the oval runs at 45 degrees: the chord there, by hand, is the least board.
        half = 20 if member.name in ("front", "back") else 12
        assert member.blank[0] >= 0.99 * 2 * half**2 / hypot(20, 12) * INCH
        assert member.blank[1] > 2.5 * INCH
    plan = plan_of(text)
    assert any(note.code == "frame-shaped" for note in plan.notes)


@given(
    st.sampled_from(["let in", "trim", "lap"]),
    st.sampled_from(["round the base", "on the base"]),
    st.floats(10, 60),
    st.floats(8, 30),
)
@examples(40)
def test_the_base_never_shows_and_carries_the_field(
    order: str, sits: str, width: float, depth: float
) -> None:
    text = top(
        width=f"{width:.4f} in",
        depth=f"{depth:.4f} in",
        head=f'order = "{order}"',
        more=_frame(sits=sits) + '[base]\nclearance = "1/16 in"\n',
    )
    base = _planned(text).base
    assert base is not None
    assert base.cut[0] >= base.finished[0] > 0
    # Under a frame it ends at the frame's outer edge; within one it stays behind the lap.
    most = {"on the base": 2.5, "round the base": 0.25 if order == "lap" else 0.0}[sits]
    assert base.finished[0] / INCH <= width + 2 * most + 1e-4
    assert base.finished[0] / INCH >= width - 0.125 - 1e-4
    assert (base.cut[0] > base.finished[0]) == (order == "trim")


def test_lines_are_measured_from_the_bases_own_edges() -> None:
    # 54 x 20 in trimmed, 1/2 in over: the trim line stands 1/2 in from each edge, the border's
    # inner edge 1 1/2 in further in, the centre line in the middle.
    more = '[base]\n[[border]]\nwidth = "1 1/2 in"\nwood = "walnut"\n'
    text = top(**TABLE, head='order = "trim"', strips='overlength = "1/2 in"', more=more)
    lines = plan_of(text).frame_base.lines
    across = {round(line.at / INCH, 4): line.name for line in lines if line.axis == "across"}
    assert across == {
        0.5: "trim line",
        2.0: "edge of the patterned field",
        27.5: "centre line",
        53.0: "edge of the patterned field",
        54.5: "trim line",
    }
    away = [line.at / INCH for line in lines if line.axis == "away"]
    assert away == pytest.approx([0.5, 2.0, 10.5, 19.0, 20.5], abs=1e-3)


def test_a_trimmed_panel_is_measured_before_its_frame_is_cut() -> None:
    text = top(**TABLE, head='order = "trim"', more=_frame(width="2 in"))
    readings = {r.what: r for r in _planned(text).readings}
    front = readings["panel, front and back"]
    assert front.planned == pytest.approx(54 * INCH)
    assert front.add == pytest.approx(4 * INCH)
    assert front.cut == "long point of front and back"
    assert readings["panel, front left to back right"].planned == pytest.approx(
        hypot(54, 20) * INCH
    )


@pytest.mark.parametrize(
    ("joint", "along"), [("spline", 2.5 * sqrt(2)), ("key", None), ("loose tenon", None)]
)
def test_a_joint_is_counted_and_reaches_into_both_members(joint: str, along: float | None) -> None:
    planned = _planned(top(**TABLE, more=_frame(joint=joint, joint_allowance="3/4 in")))
    joints = planned.joints
    assert joints is not None
    assert (joints.kind, joints.count) == (joint, 4)
    assert joints.across == pytest.approx(1.5 * INCH)
    assert (joints.along is None) == (along is None)
    if along is not None:
        assert joints.along == pytest.approx(along * INCH)
    # A loose piece takes nothing from the members.
    assert planned.members[0].long_point == pytest.approx(59 * INCH)


@pytest.mark.parametrize(
    ("keys", "word"),
    [
        ({"joint": "key", "corner": "butt"}, "mitred"),
        ({"joint": "spline", "joint_allowance": "2 1/2 in"}, "less far"),
    ],
)
def test_a_joint_that_cannot_be_made_is_refused(keys: dict[str, str], word: str) -> None:
    with pytest.raises(DesignError, match=word):
        _planned(top(more=_frame(**keys)))


def test_a_base_beyond_its_sheet_is_noted_and_bought_by_the_sheet() -> None:
    more = '[base]\nthickness = "23/32 in"\n'
    plan = plan_of(top(width="120 in", depth="30 in", sizes='w = "6 in"\nr = 3', more=more))
    (note,) = [n for n in plan.notes if n.code == "base-join"]
    assert "1 join" in note.text
    assert "3 parts would come from 1 sheet" in note.text
    rows = {row.item: row for row in plan.shopping if row.what == "base"}
    assert rows["plywood sheet"].count == 2
    assert rows["plywood part"].count == 2


def test_an_opening_of_any_shape_has_a_base_of_its_shape() -> None:
    points = '[["-10 in", "-6 in"], ["10 in", "-6 in"], ["12 in", "6 in"], ["-12 in", "6 in"]]'
    text = f'[opening]\npoints = {points}\n[field]\npattern = "herringbone"\n[base]\n'
    base = _planned(text).base
    assert base is not None
    assert base.outline is not None
    assert area(base.outline) == pytest.approx(22 * 12 * INCH * INCH)
