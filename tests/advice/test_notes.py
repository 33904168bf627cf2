"""Notes: what a seasoned maker would say, one line a class of trouble, with its pieces."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st

from tesselath.advice import Note
from tesselath.shape import thickness
from tops import INCH, plan_of, top

STICK = '[[stock.stick]]\nlength = "96 in"\n'
TONES = '[tones]\ndark = "walnut"\nlight = "maple"\n'
BOND = 'w = "1 1/2 in"\nL = "8 in"'
INCH_STACK = 'w = "1 in"\nL = "6 in"'


def _notes(text: str) -> dict[str, Note]:
    return {note.code: note for note in plan_of(text).notes}


@given(
    st.lists(st.tuples(st.integers(-500, 500), st.integers(-500, 500)), min_size=3, max_size=9),
    st.floats(0, 360),
)
def test_thickness_is_the_least_width_between_two_parallels(
    points: list[tuple[int, int]], turn: float
) -> None:
    hull = shapely.convex_hull(shapely.MultiPoint(points))
    if hull.geom_type != "Polygon" or hull.area < 100:
        return
    outline = shapely.get_coordinates(shapely.orient_polygons(hull))[:-1]
    turns = np.radians(np.arange(0.0, 180.0, 0.5) + turn)
    widths = np.ptp(outline @ np.vstack((np.cos(turns), np.sin(turns))), axis=0)
    thin = thickness(outline)
    # No direction is narrower; and one of those tried, a quarter of a degree off, comes near.
    assert thin <= widths.min() + 1e-9
    assert widths.min() - thin <= np.radians(0.25) * np.hypot(*np.ptp(outline, axis=0))


def test_a_good_design_has_no_note_but_the_usual_cautions() -> None:
    # 27 x 18 in of basket weave, 3/4 in strips three to a block: 12 x 8 blocks, all whole.
    text = top("basket-weave", width="27 in", depth="18 in", more=STICK + TONES)
    assert [code for code in _notes(text) if not code.startswith("caution")] == []


@pytest.mark.parametrize(
    "text",
    [
        top(),
        top(angle="45 deg"),
        top("chevron", sizes='rise = "60 deg"'),
        top("stepped-diamond", width="23 5/8 in", depth="14 1/16 in", more=STICK),
        top("tumbling-block", strips='gap = "1/8 in"'),
    ],
)
def test_a_note_is_one_line_a_class_and_knows_its_pieces(text: str) -> None:
    plan = plan_of(text)
    codes = [note.code for note in plan.notes]
    assert len(codes) == len(set(codes))
    for note in plan.notes:
        assert note.text.endswith(".")
        assert "\n" not in note.text
        assert list(note.numbers) == sorted(set(note.numbers))
        assert all(1 <= n <= len(plan.pieces) for n in note.numbers)
    # Cautions come last, and end with whom to ask first.
    cautions = [code.startswith("caution") for code in codes]
    assert cautions == sorted(cautions)
    assert plan.notes[-1].text.endswith("a trained person come first.")


def test_slivers_are_told_with_the_thinnest_and_where_it_lies() -> None:
    # Rows of 1 in from the front edge of 8.2 in: 0.2 in is left at the back, 7/32 by the tape
    # (0.2 lies between 6/32 and 7/32, nearer to 6: 3/16).
    text = top(
        "stack-bond",
        width="24 in",
        depth="8.2 in",
        more=STICK + TONES,
        sizes=INCH_STACK,
        field='shift = ["0", "-4.1 in"]',
    )
    plan, note = plan_of(text), _notes(text)["sliver"]
    thin = [p.number for p in plan.pieces if np.ptp(p.outline[:, 1]) < INCH / 2 - 0.01]
    assert len(thin) == 4
    assert list(note.numbers) == thin
    assert "(back" in note.text
    assert "3/16 in" in note.text


def test_half_a_strip_is_no_sliver() -> None:
    # 9 in deep, rows from the centre line: half a strip at the front and at the back.
    text = top("stack-bond", depth="9 in", more=STICK + TONES, sizes=INCH_STACK)
    assert "sliver" not in _notes(text)


@pytest.mark.parametrize(
    ("nominal", "dressed"), [("2", "1 1/2 in"), ("3", "2 1/2 in"), ("4", "3 1/2 in")]
)
def test_a_width_that_is_the_name_of_a_board_is_told_with_the_dressed_one(
    nominal: str, dressed: str
) -> None:
    # American Softwood Lumber Standard, PS 20, minimum dressed widths, dry.
    with (Path(__file__).parents[1] / "data" / "lumber_sizes.csv").open(encoding="utf-8") as file:
        rows = [
            row
            for row in csv.DictReader(file)
            if (row["dimension"], row["nominal"]) == ("width", nominal)
            and row["condition"].startswith("dry")
        ]
    assert rows
    assert rows[0]["actual"].replace("-", " ") + " in" == dressed
    text = top("running-bond", depth="24 in", strips=f'width = "{nominal} in"')
    assert f"1x{nominal}" in _notes(text)["nominal"].text
    assert dressed in _notes(text)["nominal"].text


def test_a_width_as_dressed_has_no_such_note() -> None:
    assert "nominal" not in _notes(top("running-bond", strips='width = "1 1/2 in"'))


@pytest.mark.parametrize(
    ("code", "text", "said"),
    [
        ("stick-assumed", top(), "96 in"),
        ("stick-assumed", top(head='units = "mm"', sizes='w = "19 mm"'), "2400 mm"),
        ("tone-as-wood", top(), "dark, light"),
        ("steep", top("chevron", sizes='rise = "60 deg"'), "50°"),
        ("corner-cuts", top(angle="17 deg"), "shoot"),
        ("coarse", top("running-bond", depth="6 in", sizes=BOND), "4.0 strips"),
        ("coarse", top("running-bond", depth="5 in", sizes=BOND), "3.3 strips"),
        ("stick-wider", top(more='[[stock.stick]]\nwidth = "4"\nlength = "96"\n'), "4 in wide"),
        ("rip", top("running-bond", depth="10 in", sizes=BOND), "full length"),
        (
            "vanished",
            top(
                "stack-bond",
                depth="8 1/8 in",
                strips='gap = "1/4 in"',
                sizes='w = "3/4 in"\nL = "5 3/4 in"',
            ),
            "narrower than the gap",
        ),
        ("uncovered", top("eight-point-star"), "covered by no strip"),
        ("made-up", top("eight-point-star"), "glue them up"),
        ("stop-reach", top("running-bond", width="60 in", sizes='L = "50 in"'), "rod"),
        ("stock-short", top(more='[[stock.stick]]\nlength = "30 in"\ncount = 2\n'), "be bought"),
        ("caution-small", top(), "hold-down"),
        ("caution-tiny", top(sizes='w = "3/8 in"\nr = 4'), "sled"),
        ("too-narrow-to-rip", top("stack-bond", depth="8 1/2 in", sizes=INCH_STACK), "plane"),
    ],
)
def test_each_class_of_trouble_is_told(code: str, text: str, said: str) -> None:
    notes = _notes(text)
    assert code in notes, sorted(notes)
    assert said in notes[code].text


@pytest.mark.parametrize(
    ("code", "text"),
    [
        ("stick-assumed", top(more=STICK)),
        ("tone-as-wood", top(more=TONES)),
        ("steep", top("chevron", sizes='rise = "45 deg"')),
        ("coarse", top("running-bond", depth="10 in", sizes=BOND)),
        ("rip", top("running-bond", depth="9 in", sizes=BOND)),
        ("uncovered", top()),
        ("caution-tiny", top("running-bond", depth="9 in", sizes=BOND)),
        ("stock-short", top(more='[[stock.stick]]\nlength = "96 in"\ncount = 99\n')),
    ],
)
def test_what_is_no_trouble_is_not_told(code: str, text: str) -> None:
    assert code not in _notes(text)


def test_steep_cuts_never_send_a_short_piece_square_to_the_fence_in_the_hand() -> None:
    # The complement with the piece square to the fence only in a carrier, 12 in or longer:
    # bench practice.
    note = _notes(top("chevron", sizes='rise = "60 deg"'))["steep"]
    assert "carrier" in note.text
    assert "12 in" in note.text


def test_every_plan_says_hands_tail_and_dust() -> None:
    note = _notes(top())["caution"]
    for word in ("6 in", "clamp", "hands", "dust", "mask", "manual", "never at the saw"):
        assert word in note.text


def test_lengths_in_notes_carry_both_units_when_asked() -> None:
    assert "6 in (152.5 mm)" in _notes(top(head="both_units = true"))["caution"].text


@pytest.mark.parametrize("depth", ["400.004 mm", "400.008 mm"])
def test_dust_at_the_edge_is_no_bare_ground(depth: str) -> None:
    # 4 thousandths of a mm beyond twenty strips: no more than the pieces are alike within.
    text = top(
        "stack-bond",
        width="600 mm",
        depth=depth,
        head='units = "mm"',
        sizes='w = "20 mm"\nL = "100 mm"',
    )
    assert "uncovered" not in _notes(text)
