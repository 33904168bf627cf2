"""glue-up.csv read back: each piece once, each reading with its blank."""

from __future__ import annotations

import csv
import io

import pytest

from tesselath.plan import Plan
from tesselath.tables import show_glue, write_glue_up
from tesselath.tables.glue_up_table import describe_corners
from tops import plan_of, top


@pytest.fixture(name="plan")
def _plan() -> Plan:
    border = '[[border]]\nwidth = "1 in"\ncorner = "mitre"\nwood = "walnut"\n'
    return plan_of(top("herringbone", angle="45 deg", more=border))


def _rows(plan: Plan) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(write_glue_up(plan))))


def test_every_piece_is_laid_once_in_the_order_of_the_glue_ups(plan: Plan) -> None:
    laid = [(int(r["glue-up"]), int(r["piece"])) for r in _rows(plan) if r["do"] == "lay"]
    assert laid == [(g.number, n) for g in plan.glue_ups for n in g.numbers]


def test_every_reading_has_a_figure_a_limit_and_a_blank(plan: Plan) -> None:
    checks = [row for row in _rows(plan) if row["do"] == "check"]
    assert len(checks) == sum(len(g.checks) for g in plan.glue_ups)
    for row in checks:
        assert row["reads"] == "____"
        assert row["planned"].endswith(" in")
        assert row["within"].endswith("/32 in") or row["within"].endswith("/16 in")


def test_a_glue_up_begins_with_its_trays_and_ends_with_its_hold(plan: Plan) -> None:
    for glue_up in plan.glue_ups:
        mine = [row for row in _rows(plan) if row["glue-up"] == str(glue_up.number)]
        assert [int(row["step"]) for row in mine] == list(range(1, len(mine) + 1))
        assert mine[0]["do"] == "have at hand"
        assert mine[0]["what"] == ", ".join(f"{mark} {n}" for mark, n in glue_up.trays)
        assert (mine[-1]["do"], mine[-1]["planned"]) == ("hold", "45 min")


def test_only_the_first_pair_is_set_to_the_centre_lines(plan: Plan) -> None:
    told = [int(r["piece"]) for r in _rows(plan) if "centre lines" in r["what"]]
    assert told == list(plan.glue_ups[0].first_pair)
    (batten,) = [row for row in _rows(plan) if row["do"] == "set the batten"]
    assert (batten["glue-up"], batten["reads"]) == ("1", "____")


def test_corners_are_told_from_both_centre_lines() -> None:
    plan = plan_of(
        top("running-bond", width="24 in", depth="10 in", sizes='w = "1 in"\nL = "8 in"')
    )
    # By hand: a strip 8 x 1 in whose front left corner stands at the crossing of the lines.
    piece = next(
        p for p in plan.pieces if abs(p.outline[:, 0].min()) + abs(p.outline[:, 1].min()) < 0.01
    )
    said = describe_corners(plan, piece)
    assert "8 in right, on the line" in said
    assert "8 in right, 1 in back" in said
    assert "on the line, 1 in back" in said


def test_glue_is_told_in_spoons_where_inches_are_used_and_in_grams(plan: Plan) -> None:
    assert show_glue(plan, 15.0) == "1 tablespoon (15 g)"
    assert show_glue(plan, 16.0) == "1 tablespoon 1 teaspoon (20 g)"
    assert show_glue(plan, 0.4) == "1 teaspoon (5 g)"
    metric = plan_of(
        top(
            "running-bond",
            width="500 mm",
            depth="300 mm",
            head='units = "mm"',
            sizes='w = "40 mm"\nL = "160 mm"',
        )
    )
    assert show_glue(metric, 31.0) == "35 g"
