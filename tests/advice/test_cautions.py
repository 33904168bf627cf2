"""Cautions: on the row they belong to, together at the end, and only what concerns the plan."""

from __future__ import annotations

import csv
import io

import pytest

from tesselath.advice import (
    LAST_WORD,
    cautions_of_part,
    cautions_of_plan,
    cautions_of_setup,
    note_cautions,
)
from tesselath.plan import Plan
from tesselath.tables import write_parts, write_setups
from tops import INCH, plan_of, top

#: Short and very short pieces, steep cuts and thin rips, each in a top of its own.
TOPS = {
    "short": top("running-bond", depth="9 in", sizes='L = "5 in"', strips='width = "1 1/2 in"'),
    "tiny": top("stack-bond", sizes='w = "1 in"\nL = "1 1/2 in"'),
    "steep": top("chevron", sizes='rise = "60 deg"'),
    "thin": top("running-bond", depth="10 1/4 in", sizes='L = "8 in"', strips='width = "1 in"'),
    "star": top("eight-point-star"),
    "pinned": top(more='[glue]\nhold = "pins"\n[base]\nthickness = "3/4 in"\n'),
}


@pytest.fixture(name="plan", params=TOPS, ids=list(TOPS))
def _plan(request: pytest.FixtureRequest) -> Plan:
    return plan_of(TOPS[request.param])


def said(plan: Plan) -> str:
    groups = cautions_of_plan(plan.design, parts=plan.parts, rips=plan.rips)
    return " ".join(text for _, texts in groups for text in texts)


def test_every_part_is_told_by_its_length(plan: Plan) -> None:
    for part in plan.parts:
        codes = {note.code for note in cautions_of_part(part, design=plan.design)}
        if part.handling == "make up":
            assert "caution-made-up" in codes
            continue
        # Under 2 in a sled, under 6 in a stop and a hold-down: mitre-saw manuals say 4 to 6 in.
        assert ("caution-tiny" in codes) == (part.overall < 2 * INCH - 0.005)
        assert ("caution-small" in codes) == (2 * INCH - 0.005 <= part.overall < 6 * INCH - 0.005)
        assert ("caution-steep" in codes) <= part.too_steep


def test_a_set_up_says_what_its_parts_say_each_once(plan: Plan) -> None:
    for setup in plan.setups:
        notes = cautions_of_setup(setup, parts=plan.parts, design=plan.design)
        texts = [note.text for note in notes]
        assert len(texts) == len(set(texts))
        wanted = {
            note.text
            for part in plan.parts
            if part.mark in setup.parts
            for note in cautions_of_part(part, design=plan.design)
        }
        assert set(texts) == wanted


def test_the_pieces_of_the_notes_are_those_of_the_parts(plan: Plan) -> None:
    for code in ("caution-small", "caution-tiny"):
        noted = [n for note in plan.notes if note.code == code for n in note.numbers]
        parts = [
            n
            for part in plan.parts
            for note in cautions_of_part(part, design=plan.design)
            if note.code == code
            for n in note.numbers
        ]
        assert sorted(noted) == sorted(parts)


def test_the_last_note_defers_to_manual_rules_and_training(plan: Plan) -> None:
    assert plan.notes[-1].text.endswith(LAST_WORD)
    assert plan.notes[-1] == note_cautions(plan.design, parts=plan.parts, rips=plan.rips)[-1]
    for word in ("manual", "local rules", "trained person"):
        assert word in LAST_WORD


def test_every_plan_speaks_of_stops_loose_pieces_dust_rags_and_old_wood(plan: Plan) -> None:
    text = said(plan)
    for word in (
        "flip stop",
        "never goes back to the power saw",
        "mask",
        "lidded tin",
        "Reclaimed wood",
        "cups a panel",
        "rip fence is never a stop",
    ):
        assert word in text


def test_only_what_concerns_the_plan_is_said() -> None:
    texts = {name: said(plan_of(text)) for name, text in TOPS.items()}
    assert "nailer" in texts["pinned"]
    assert "nailer" not in texts["short"]
    assert "carrier, on a piece 12 in" in texts["steep"]
    assert "carrier, on a piece" not in texts["short"]
    assert "never rip a piece under 12 in" in texts["thin"]
    assert "riving knife" not in texts["short"]


def test_no_rip_of_a_short_piece_is_ever_asked_for() -> None:
    plan = plan_of(TOPS["thin"])
    ripped = [part for part in plan.parts if part.ripped]
    assert ripped
    for part in ripped:
        texts = [note.text for note in cautions_of_part(part, design=plan.design)]
        assert any("full length" in text or "do not rip" in text for text in texts)


def test_the_tables_carry_the_caution_on_its_row(plan: Plan) -> None:
    rows = list(csv.DictReader(io.StringIO(write_parts(plan))))
    for part, row in zip(plan.parts, rows, strict=True):
        for note in cautions_of_part(part, design=plan.design):
            assert note.text in row["caution"]
    steps = list(csv.DictReader(io.StringIO(write_setups(plan))))
    assert all(row["caution"] for row in steps if row["table"] == "rip")
