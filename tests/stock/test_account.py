"""The account of the sticks sums to the sticks."""

from __future__ import annotations

from pathlib import Path

import pytest

from tesselath.design import read_design
from tesselath.plan import plan_design
from tesselath.stock import account_for_sticks

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/design.toml"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.parent.name)
def test_an_account_sums_to_the_sticks_and_its_net_to_the_pieces(path: Path) -> None:
    plan = plan_design(read_design(path))
    accounts = account_for_sticks(
        plan.parts, plan.sticks, end_trim=plan.design.stock.end_trim
    ).values()
    for a in accounts:
        assert a.sticks == pytest.approx(a.net + a.spares + a.trim + a.kerf + a.left_over)
        assert min(a.net, a.spares, a.trim, a.left_over) >= 0.0
        assert a.kerf > 0.0
    assert sum(a.sticks for a in accounts) == pytest.approx(sum(s.length for s in plan.sticks))
    made_up = sum(p.count for p in plan.parts if p.handling == "make up")
    if not made_up:
        assert sum(a.net for a in accounts) == pytest.approx(plan.totals["net_length"])
