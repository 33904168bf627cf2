"""The tables: CSV that a spreadsheet reads, lengths to the tape, both readings of every mitre."""

from __future__ import annotations

import csv
import io
import re
from fractions import Fraction

import pytest
from hypothesis import given, strategies as st

from tesselath.measure import show_numbers
from tesselath.plan import Plan
from tesselath.tables import write_parts, write_pieces, write_setups, write_shopping, write_sticks
from tesselath.tables.tables import show_counted
from tops import INCH, plan_of, top

TEXTS = {
    "herringbone": top(angle="45 deg"),
    "steep chevron": top("chevron", sizes='rise = "60 deg"', strips='faces = "one"'),
    "trimmed": top("stepped-diamond", head='order = "trim"', strips='overlength = "1/2 in"'),
    "star": top("eight-point-star"),
    "ripped": top("running-bond", depth="10 in", sizes='w = "1 1/2 in"'),
    "metric": top(head='units = "mm"\ntape = "0.5 mm"', sizes='w = "19 mm"', angle="17 deg"),
}
WRITERS = {
    "parts": write_parts,
    "pieces": write_pieces,
    "setups": write_setups,
    "sticks": write_sticks,
    "shopping": write_shopping,
}


@pytest.fixture(name="plan", params=TEXTS, ids=list(TEXTS))
def _plan(request: pytest.FixtureRequest) -> Plan:
    return plan_of(TEXTS[request.param])


def _read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def _mm(shown: str) -> float:
    """Read a printed length by plain arithmetic."""
    number, unit = shown.rsplit(" ", 1)
    total = sum((Fraction(word) for word in number.split()), Fraction())
    return float(total) * {"in": INCH, "mm": 1.0}[unit]


@pytest.mark.parametrize("name", WRITERS)
def test_every_table_is_plain_csv_with_one_width(plan: Plan, name: str) -> None:
    text = WRITERS[name](plan)
    rows = list(csv.reader(io.StringIO(text, newline="")))
    assert len({len(row) for row in rows}) == 1
    assert len(set(rows[0])) == len(rows[0])
    # RFC 4180: lines end in CR LF.
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    assert not re.search(r"\bnan\b|\binf\b|None|\[|np\.|(?<![\w.])-0(?![.\w])", text)


def test_the_cut_list_has_a_row_a_part_with_both_readings(plan: Plan) -> None:
    rows = _read(write_parts(plan))
    assert [row["mark"] for row in rows] == [part.mark for part in plan.parts]
    for part, row in zip(plan.parts, rows, strict=True):
        assert int(row["count"]) == part.count
        assert int(row["spares"]) == part.spares
        for side, mitre in zip(("left", "right"), part.mitres, strict=True):
            from_square = float(row[f"{side} mitre"].rstrip("°"))
            on_90 = float(row[f"{side} on a 90 scale"].rstrip("°"))
            assert from_square == pytest.approx(abs(mitre), abs=0.0051)
            assert from_square + on_90 == pytest.approx(90.0, abs=0.011)
        assert (row["long point"] == "") == (part.long_point is None)


def test_lengths_are_to_the_tape_and_fitted_ones_never_short(plan: Plan) -> None:
    mark = plan.design.tape
    for part, row in zip(plan.parts, _read(write_parts(plan)), strict=True):
        for key, length in (("edge", part.edge), ("overall", part.overall)):
            printed = _mm(row[key])
            assert printed / mark == pytest.approx(round(printed / mark), abs=1e-6)
            if part.fitted:
                assert -1e-5 <= printed - length <= mark + 1e-5
            else:
                assert abs(printed - length) <= mark / 2 + 1e-5


def test_every_piece_is_found_in_the_rows_of_its_part(plan: Plan) -> None:
    numbers: dict[str, list[int]] = {}
    for row in _read(write_parts(plan)):
        numbers[row["mark"]] = _numbers(row["pieces"])
    for row in _read(write_pieces(plan)):
        assert int(row["piece"]) in numbers[row["part"]]
    assert sorted(n for listed in numbers.values() for n in listed) == [
        p.number for p in plan.pieces
    ]


def _numbers(shown: str) -> list[int]:
    found: list[int] = []
    for word in shown.split():
        first, _, last = word.partition("-")
        found += range(int(first), int(last or first) + 1)
    return found


def test_set_ups_come_in_three_tables_ripping_first_hand_sawing_last(plan: Plan) -> None:
    rows = _read(write_setups(plan))
    assert [int(row["step"]) for row in rows] == list(range(1, len(rows) + 1))
    order = ["rip", "mitre saw"]
    ranks = [order.index(r["table"]) if r["table"] in order else 2 for r in rows]
    assert ranks == sorted(ranks)
    assert len(rows) == len(plan.rips) + len(plan.setups)
    for row in rows:
        if row["table"] == "not at the mitre saw as it stands":
            # A reading of the saw is never given for a cut that it cannot make.
            assert (row["mitre"], row["swing"]) == ("0°", "square")
            assert "run" in row["mark out"]


def test_a_steep_chevron_gives_the_run_over_the_width() -> None:
    # A 1 in strip at 60 degrees runs 1.732 in: 1 23/32 or 1 47/64 by the tape, over 1 in.
    plan = plan_of(TEXTS["steep chevron"])
    rows = [r for r in _read(write_setups(plan)) if r["table"].startswith("not at")]
    assert rows
    assert any("60°, run 1 23/32 in over 1 in" in row["mark out"] for row in rows)


def test_the_sticks_table_says_what_is_ripped_and_in_which_order() -> None:
    plan = plan_of(TEXTS["ripped"])
    rows = _read(write_sticks(plan))
    assert {row["rip to"] for row in rows} >= {"", "1 in"} or {row["rip to"] for row in rows} > {""}
    for stick, row in zip(plan.sticks, rows, strict=True):
        assert (row["rip to"] != "") == (stick.width < stick.strip_width - 0.005)
        listed = re.findall(r"([A-Z]+(?:-[LR])?)(?: x(\d+))?", row["cut"])
        assert [mark for mark, n in listed for _ in range(int(n or 1))] == list(stick.pieces)


def test_the_two_tables_of_sticks_and_set_ups_agree(plan: Plan) -> None:
    rows = [row for row in _read(write_setups(plan)) if row["table"] != "rip"]
    assert [int(row["set-up"]) for row in rows] == list(range(1, len(plan.setups) + 1))
    for stick in _read(write_sticks(plan)):
        taken = {row["set-up"] for row in rows if stick["stick"] in row["sticks"].split()}
        assert set(stick["set-ups"].split()) == taken


@given(st.sets(st.integers(1, 200), max_size=60))
def test_numbers_shown_in_runs_read_back(numbers: set[int]) -> None:
    assert _numbers(show_numbers(sorted(numbers))) == sorted(numbers)


@given(st.lists(st.sampled_from(["A", "B", "C-L", "AA"]), max_size=30))
def test_marks_shown_with_counts_read_back(marks: list[str]) -> None:
    shown = show_counted(marks)
    listed = [word.partition(" x") for word in shown.split(", ")] if shown else []
    assert [mark for mark, _, n in listed for _ in range(int(n or 1))] == marks


def test_both_units_stand_side_by_side_when_asked() -> None:
    plan = plan_of(top(head="both_units = true"))
    row = _read(write_parts(plan))[0]
    assert re.fullmatch(r"[\d /]+ in \([\d.]+ mm\)", row["overall"])


def test_a_name_with_a_comma_stays_in_its_cell() -> None:
    plan = plan_of(top(more='[tones]\ndark = "walnut, black"\nlight = "maple"\n'))
    assert {row["wood"] for row in _read(write_parts(plan))} == {"walnut, black", "maple"}
