"""Plan shape: what is taken for a plan can be read; what was meddled with is refused."""

from __future__ import annotations

import copy
import json
from contextlib import suppress
from functools import cache
from typing import Any

import pytest
from hypothesis import given, strategies as st

from effort import examples
from tesselath.design import parse_design
from tesselath.draw.maps import draw_comparison
from tesselath.errors import TesselathError
from tesselath.plan import write_plan_json
from tesselath.plan.plan_shape import is_plan
from tesselath.revise import (
    compare_plans,
    describe_changes,
    refit_plan,
    rescue_pieces,
    show_change,
    show_value,
)
from tops import plan_of, top

SMALL = top(width="6 in", depth="4 in", angle="45 deg", more='[frame]\nwidth = "1 in"\n')


@cache
def written(*, again: bool) -> str:
    plan = plan_of(SMALL)
    if again:
        design = parse_design(SMALL, file_name="small.toml", beside=None)
        plan = refit_plan(design, json.loads(write_plan_json(plan)), [1, 2])
    return write_plan_json(plan)


@pytest.mark.parametrize("again", [False, True])
def test_every_plan_that_is_written_is_taken_for_one(again: bool) -> None:
    assert is_plan(json.loads(written(again=again)))


@pytest.mark.parametrize("what", [None, 7, "plan", [], {}, {"format": "tesselath-plan/1"}])
def test_what_is_no_plan_is_not_taken_for_one(what: object) -> None:
    assert not is_plan(what)


def meddle(tables: Any, data: st.DataObject) -> None:
    """Let one thing in a plan, anywhere, be gone or be something else."""
    node: Any = tables
    while True:
        places = sorted(node) if isinstance(node, dict) else list(range(len(node)))
        place = data.draw(st.sampled_from(places))
        inner = node[place]
        if isinstance(inner, (dict, list)) and inner and data.draw(st.booleans()):
            node = inner
            continue
        if data.draw(st.booleans()):
            del node[place]
        else:
            node[place] = copy.deepcopy(data.draw(st.sampled_from(THINGS)))
        return


THINGS = [None, "x", -1, 0, 1e99, {}, [], True, "", [[0, 0], [1, 0], [0, 1]]]


@examples(30)
@given(st.booleans(), st.data())
def test_what_is_taken_for_a_plan_can_be_read(again: bool, data: st.DataObject) -> None:
    tables = json.loads(written(again=again))
    meddle(tables, data)
    if not is_plan(tables):
        return
    whole = json.loads(written(again=False))
    for before, after in ((tables, whole), (whole, tables)):
        for row in compare_plans(before, after):
            show_value(row.before, row.kind, before)
            show_change(row, after)
        describe_changes(before, after)
    draw_comparison(tables, whole, names=("one", "other"))
    # Both do what is asked, or refuse in a sentence.
    with suppress(TesselathError):
        rescue_pieces(tables, [3])
    with suppress(TesselathError):
        refit_plan(parse_design(SMALL, file_name="small.toml", beside=None), tables, [3])
