"""Movement: handbook sums, glued strips quieter than free ones, and verdicts by degree."""

from __future__ import annotations

import json
from math import hypot
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from tesselath.advice import describe_movement
from tesselath.commands import main
from tesselath.errors import DesignError
from tesselath.plan import Plan
from tesselath.wood import Movement, balance_advice
from tops import INCH, plan_of, top

CHERRY = '[tones]\ndark = "cherry"\nlight = "cherry"\n'
EIGHT_POINTS = "[room]\ndry = { moisture = 6 }\nhumid = { moisture = 14 }\n"
FRAME = '[frame]\nwidth = "2 1/2 in"\nthickness = "1 1/2 in"\nrecess = "{recess}"\n'
BASE = '[base]\nthickness = "23/32 in"\n'
BOND = 'L = "8 in"'


def bond(
    *,
    width: str = "1 1/2 in",
    thickness: str = "1/4 in",
    kind: str = "",
    more: str = "",
    head: str = "",
    angle: str = "0 deg",
    depth: str = "12 in",
    room: str = EIGHT_POINTS,
) -> str:
    """A running bond in cherry, whose grain runs left to right."""
    strips = f'width = "{width}"\nthickness = "{thickness}"\n'
    strips += f'kind = "{kind}"\n' if kind else ""
    return top(
        "running-bond",
        width="24 in",
        depth=depth,
        angle=angle,
        head=head,
        sizes=BOND,
        strips=strips,
        more=CHERRY + room + more,
    )


def moves(text: str) -> Movement:
    return plan_of(text).movement


def codes(plan: Plan) -> set[str]:
    return {note.code for note in plan.notes}


def test_an_inch_and_a_half_of_cherry_over_eight_points_moves_0_756_mm() -> None:
    # Table 13-5: black cherry, tangential, 0.00248 for one percent; 38.1 x 0.00248 x 8.
    strip = moves(bond()).strip
    assert strip.change == pytest.approx(0.756, abs=0.0005)
    assert (strip.width, strip.species) == (pytest.approx(38.1), "Cherry, black")
    assert strip.shrinks + strip.swells == pytest.approx(strip.change)


def test_a_row_side_by_side_adds_up_and_nothing_adds_up_along_the_grain() -> None:
    found = moves(bond(kind="solid slab"))
    # Eight strips of 1 1/2 in over 12 in: eight times one strip.
    assert len(found.row.strips) == 8
    assert found.row.length == pytest.approx(12 * INCH)
    assert found.row_change == pytest.approx(8 * found.strip.change)
    assert found.across == pytest.approx(found.row_change)
    # 24 in along the grain, 0.15 % over 30 points (handbook, chapter 4: 0.1 to 0.2 %).
    assert found.along == pytest.approx(24 * INCH * 0.0015 * 8 / 30)


def test_a_slab_turned_by_a_quarter_turns_its_movement() -> None:
    plain, turned = (
        moves(bond(kind="solid slab", angle=a, depth="24 in")) for a in ("0 deg", "90 deg")
    )
    assert plain.along == pytest.approx(turned.across)
    assert plain.across == pytest.approx(turned.along)


def test_strips_on_plywood_follow_the_sheet_and_not_their_own_free_movement() -> None:
    found = moves(bond())
    # 0.2 to 0.3 % from ovendry to saturation: the middle, over 8 of 30 points, of 24 and 12 in.
    assert found.along == pytest.approx(24 * INCH * 0.0025 * 8 / 30)
    assert found.across == pytest.approx(12 * INCH * 0.0025 * 8 / 30)
    assert found.free[1] > 20 * found.across
    assert 0 < found.joint < found.strip.change


@pytest.mark.parametrize(
    ("thin", "thick"),
    [
        ({"thickness": "1/8 in"}, {"thickness": "1/4 in"}),
        ({"width": "3/4 in"}, {"width": "1 1/2 in"}),
    ],
)
def test_thicker_and_wider_strips_open_wider_joints(
    thin: dict[str, str], thick: dict[str, str]
) -> None:
    assert moves(bond(**thin)).joint < moves(bond(**thick)).joint


@pytest.mark.parametrize(
    ("width", "thickness", "degree"),
    [
        # Makers' figures: 3/16 to 1/4 in thick is usual, from 1/2 in on trouble; boards crack.
        ("1 1/2 in", "1/4 in", "passes"),
        ("2 in", "3/16 in", "passes"),
        ("1 1/2 in", "3/8 in", "caution"),
        ("3 in", "1/4 in", "caution"),
        ("1 1/2 in", "1/2 in", "warning"),
        ("1 1/2 in", "3/4 in", "warning"),
        ("5 1/2 in", "1/4 in", "warning"),
        ("5 1/2 in", "3/4 in", "strong warning"),
    ],
)
def test_strips_on_plywood_are_warned_of_by_degree(width: str, thickness: str, degree: str) -> None:
    plan = plan_of(bond(width=width, thickness=thickness))
    assert plan.movement.degree == degree
    assert ("movement" in codes(plan)) == (degree != "passes")
    if degree == "strong warning":
        assert any("crack" in note.text for note in plan.notes if note.code == "movement")


def test_a_solid_slab_in_a_fixed_frame_is_stopped_with_how_far_it_moves() -> None:
    with pytest.raises(DesignError) as stop:
        plan_of(bond(kind="solid slab", more=FRAME.format(recess="1/4 in")))
    # A foot of cherry over eight points: 304.8 x 0.00248 x 8 = 6.05 mm, 15/64 in.
    assert "15/64 in in each foot" in str(stop.value)
    assert "mitres" in str(stop.value)
    plan = plan_of(bond(kind="solid slab"))
    assert plan.movement.degree == "passes"


def test_a_slab_with_grain_both_ways_is_warned_of() -> None:
    text = top("herringbone", strips='kind = "solid slab"', more=CHERRY)
    assert moves(text).degree == "warning"
    assert moves(text).crossed


def test_a_floating_slab_must_not_slip_out_of_its_lap() -> None:
    lapped = '[frame]\nwidth = "2 1/2 in"\nthickness = "1 in"\nrecess = "1/2 in"\nlap = "{}"\n'
    wide = {"depth": "36 in", "kind": "solid slab", "head": 'order = "lap"'}
    # 36 in of cherry over eight points moves 18 mm, 9 mm a side, and 1/8 in stays covered.
    assert "slab-lap" in codes(plan_of(bond(more=lapped.format("1/4 in"), **wide)))
    assert "slab-lap" not in codes(plan_of(bond(more=lapped.format("5/8 in"), **wide)))


def test_a_wide_border_is_warned_of_though_the_field_is_narrow() -> None:
    border = '[[border]]\nwidth = "{}"\nwood = "cherry"\n'
    narrow, wide = (
        plan_of(bond(depth="20 in", more=border.format(w))) for w in ("1 1/2 in", "4 in")
    )
    assert narrow.movement.degree == "passes"
    assert wide.movement.degree == "warning"
    assert wide.movement.strip.width == narrow.movement.strip.width


def test_strips_sliced_off_an_edge_move_by_the_radial_figure() -> None:
    board = (
        '[[stock.board]]\nwidth = "5 1/2 in"\nthickness = "1 1/2 in"\nlength = "96 in"\n'
        'from = "{}"\n'
    )
    flat, sliced = (moves(bond(more=board.format(way))) for way in ("face", "edge"))
    # Table 13-5, black cherry: radial 0.00126, tangential 0.00248.
    assert sliced.strip.change / flat.strip.change == pytest.approx(126 / 248)
    quarter = moves(bond(more='[woods.cherry]\nsawn = "quarter"\n'))
    assert quarter.strip.change == pytest.approx(sliced.strip.change)


def test_a_mitre_opens_by_the_shrinking_of_its_members() -> None:
    frame = FRAME.format(recess="1/4 in") + 'wood = "cherry"\n'
    found = moves(bond(more=frame + BASE))
    assert found.frame is not None
    assert found.frame.change == pytest.approx(63.5 * 0.00248 * 8)
    # Drawn: outer corner (0, 0), inner corner (w, w). The members shrink across by e, their
    # lengths stay, so the cuts of the two run to (w, w(1 - e)) and (w(1 - e), w).
    shrunk = 63.5 * (1 - 2 * 0.00248)
    gap = hypot(63.5 - shrunk, shrunk - 63.5)
    assert found.frame.opens == pytest.approx(gap, rel=0.01)


def test_the_gap_round_the_field_is_compared_with_what_it_swells() -> None:
    frame = FRAME.format(recess="1/4 in") + BASE
    tight = frame + 'clearance = "0"\n'
    damp = "[room]\ndry = { moisture = 4 }\nhumid = { moisture = 20 }\nmade = { moisture = 4 }\n"
    wide = {"depth": "60 in", "room": damp}
    assert "perimeter-gap" in codes(plan_of(bond(more=tight, **wide)))
    assert "perimeter-gap" not in codes(plan_of(bond(more=frame)))
    assert moves(bond(more=frame, head='order = "trim"')).room_left is None


def test_one_sided_oak_cups_as_makers_report() -> None:
    # 1/8 in oak on 3/4 in plywood, finished on top only, cupped in days; 5 mm in 900 mm.
    text = top(
        "running-bond",
        width="36 in",
        depth="36 in",
        sizes=BOND,
        strips='width = "1 1/2 in"\nthickness = "1/8 in"',
        more='[tones]\ndark = "oak"\nlight = "oak"\n[base]\nthickness = "3/4 in"\n',
    )
    plan = plan_of(text)
    assert plan.movement.cup is not None
    assert 2.0 < plan.movement.cup < 10.0
    advice = " ".join(balance_advice(plan.design, plan.movement))
    for word in ("like layer", "same finish", "weights", "stages"):
        assert word in advice


def test_the_field_keeps_its_size_at_the_moisture_it_is_made_at() -> None:
    found = moves(bond(kind="solid slab", depth="24 in"))
    wetter = [swing for swing in found.swings if swing.moisture > 8]
    drier = [swing for swing in found.swings if swing.moisture < 8]
    assert wetter
    assert drier
    assert all(min(*s.free) > 0 for s in wetter)
    assert all(max(*s.free) < 0 for s in drier)
    assert all(np.diff([s.free[1] for s in found.swings]) > 0)


def test_a_wood_without_figures_is_said_to_be_an_average_one() -> None:
    plan = plan_of(top())
    assert "wood-unknown" in codes(plan)
    assert "wood-unknown" not in codes(plan_of(bond()))


def test_movement_is_printed_to_a_64th_or_a_tenth_and_exact_in_json(tmp_path: Path) -> None:
    path = tmp_path / "top.toml"
    path.write_text(bond(), encoding="utf-8")
    told = CliRunner().invoke(main, ["movement", str(path)])
    assert told.exit_code == 0
    assert "1/32 in" in told.output  # 0.756 mm is 1.9 64ths
    assert "0.75" not in told.output
    answer = json.loads(CliRunner().invoke(main, ["movement", str(path), "--json"]).output)
    assert answer["strip"]["change"] == pytest.approx(38.1 * 0.00248 * 8, abs=1e-9)
    assert answer["strip"]["width"] == pytest.approx(38.1)
    assert set(answer["field"]) >= {"along", "across"}
    assert answer["verdict"] == "passes"
    assert answer["frame"] is None
    metric = plan_of(bond(head='units = "mm"'))
    said = " ".join(describe_movement(metric.design, metric.movement, metric.stack))
    assert "0.8 mm" in said
    assert "0.756" not in said


def test_a_slab_in_a_frame_makes_the_command_say_why_and_fail(tmp_path: Path) -> None:
    path = tmp_path / "top.toml"
    text = bond(kind="solid slab", more=FRAME.format(recess="1/4 in"))
    path.write_text(text, encoding="utf-8")
    stopped = CliRunner().invoke(main, ["movement", str(path)])
    assert stopped.exit_code == 1
    assert "solid slab" in stopped.output
