"""The fit: what it promises is what the plan of the changed design comes to."""

from __future__ import annotations

import re
from dataclasses import replace
from math import sqrt

import pytest
from hypothesis import assume, given, strategies as st

from effort import examples
from tesselath.advice import describe_changes, describe_reasons
from tesselath.design import Design, parse_design
from tesselath.fit import Change, Fit, best_shift, fit_design, is_on_tape, lay_out
from tesselath.fit.fit import list_names
from tesselath.fit.fit_change import change_design
from tesselath.fit.fit_closed import propose_closed
from tesselath.fit.fit_place import place_pattern
from tesselath.fit.fit_score import Score, score_design
from tesselath.measure import cosine, parse_angle
from tesselath.plan import plan_design
from tops import INCH, top


def design_of(text: str) -> Design:
    return parse_design(text, file_name="top.toml", beside=None)


def tray(width: float, depth: float, pattern: str, sizes: str, **more: str) -> Design:
    """A top of any size [in] in strips 1 in wide."""
    text = top(
        pattern,
        width=f"{width!r} in",
        depth=f"{depth!r} in",
        sizes=sizes,
        strips='width = "1 in"',
        **more,
    )
    return design_of(text)


def put_best(design: Design, changes: tuple[Change, ...]) -> Design:
    """Change a design and put the pattern where it lies best."""
    changed = change_design(design, changes)
    shift, _ = place_pattern(changed)[0]
    if shift is not None:
        changed = change_design(changed, [Change("field.shift", shift, "shift")])
    return changed


#: Small tops that have slivers as they are.
HALL = top(width="18 in", depth="10 1/4 in", angle="45 deg", sizes="r = 4", strips='width = "1 in"')
CHEVRON = top(
    "chevron", width="14 in", depth="9 7/16 in", sizes='c = "3 1/4 in"', strips='width = "1 in"'
)


@pytest.fixture(scope="module")
def hall() -> Fit:
    return fit_design(design_of(HALL), top=3, trials=24)


@pytest.fixture(scope="module")
def chevron() -> Fit:
    return fit_design(design_of(CHEVRON), keep="opening", top=3, trials=24)


def test_herringbone_loses_its_slivers_with_either_kept(hall: Fit) -> None:
    assert not hall.given.score.holds
    assert [one.keep for one in hall.lists] == ["strip", "opening"]
    for one in hall.lists:
        assert one.candidates
        assert all(candidate.score.holds for candidate in one.candidates)


def test_candidates_are_ranked_and_better_than_the_given_design(hall: Fit, chevron: Fit) -> None:
    for fit in (hall, chevron):
        for one in fit.lists:
            ranks = [candidate.rank for candidate in one.candidates]
            assert ranks == sorted(ranks)
            assert all(rank < fit.given.rank for rank in ranks)
            assert all(c.score.thin >= min(fit.given.score.thin, 1) - 0.02 for c in one.candidates)


def test_a_score_is_what_the_plan_comes_to(hall: Fit, chevron: Fit) -> None:
    for candidate in (hall.given, hall.candidates[0], chevron.candidates[-1]):
        totals = plan_design(candidate.design).totals
        score = candidate.score
        assert score.pieces == totals["pieces"]
        assert score.parts == totals["parts"]
        assert score.thinnest == totals["thinnest"]
        assert score.shortest == totals["shortest_edge"]


def test_openings_are_whole_marks_and_move_two_strips_at_most(hall: Fit) -> None:
    for candidate in hall.lists[0].candidates:
        size, was = candidate.design.opening, hall.given.design.opening
        for now, before in ((size.width, was.width), (size.depth, was.depth)):
            assert now is not None
            assert before is not None
            assert is_on_tape(now, hall.given.design.tape)
            assert abs(now - before) <= 2 * INCH + 1e-6
        assert candidate.design.strips.width == hall.given.design.strips.width


def test_strips_are_never_wider_than_the_stock() -> None:
    stock = '[[stock.stick]]\nwidth = "1 in"\nlength = "96 in"'
    fit = fit_design(tray(12.375, 8.625, "basket-weave", "n = 3", more=stock), keep="opening")
    assert fit.candidates
    for candidate in fit.candidates:
        assert candidate.design.strips.width is not None
        assert candidate.design.strips.width <= INCH + 1e-6
        assert candidate.design.opening == fit.given.design.opening


FRAME = '[frame]\nwidth = "2 in"'


def test_an_opening_whose_frame_is_made_first_never_moves() -> None:
    framed = tray(12.375, 8.625, "basket-weave", "n = 3", more=FRAME)
    assert list_names(framed, keep=None) == ("opening",)
    assert list_names(replace(framed, order="trim"), keep=None) == ("strip", "opening")
    fit = fit_design(framed, keep="strip")
    assert all(c.design.opening == framed.opening for c in fit.candidates)
    assert all(c.design.strips == framed.strips for c in fit.candidates)


def test_every_piece_is_whole_when_the_opening_fits_the_blocks() -> None:
    # Blocks of 3 in, on 12 3/8 x 8 5/8 in: 12 x 9 in is four by three of them, by hand.
    design = tray(12.375, 8.625, "basket-weave", "n = 3")
    fit = fit_design(design, keep="strip", top=1)
    (best,) = fit.candidates
    assert best.design.opening.width == pytest.approx(12 * INCH)
    assert best.design.opening.depth == pytest.approx(9 * INCH)
    assert best.score.cut == 0
    assert best.score.parts == 2  # one for each tone
    assert describe_changes(design, best).startswith("make the opening 12 x 9 in")
    assert "every piece is whole" in describe_reasons(fit.given, best)


def test_reasons_are_said_in_the_units_of_the_tape(hall: Fit) -> None:
    told = describe_reasons(hall.given, hall.candidates[0])
    assert any(re.match(r"thinnest piece grows from \d+/\d+ to \d", text) for text in told)


def test_the_same_design_gives_the_same_candidates() -> None:
    small = tray(9.25, 6.5, "basket-weave", "n = 3")
    one, other = (fit_design(small, keep="opening") for _ in range(2))
    assert one.candidates
    assert [c.changes for c in one.candidates] == [c.changes for c in other.candidates]


def test_a_design_without_a_sliver_may_have_nothing_better() -> None:
    # Three blocks deep, the middle one across the centre line.
    whole = tray(12.0, 9.0, "basket-weave", "n = 3", field='shift = ["0", "1 1/2 in"]')
    fit = fit_design(whole, keep="strip")
    assert fit.given.score.cut == 0
    assert not fit.candidates


def test_best_shift_is_never_worse_than_none() -> None:
    for depth in (6.0, 6.375):
        design = tray(9.0, depth, "herringbone", "r = 5", angle="45 deg")
        none, best = score_design(design), score_design(best_shift(design))
        assert min(best.thin / 0.5, best.short, 1.0) >= min(none.thin / 0.5, none.short, 1.0) - 0.1


def test_a_design_may_leave_the_shift_to_the_fit() -> None:
    text = top(width="13 in", depth="8 in", angle="45 deg", field='shift = "best"')
    plan = plan_design(design_of(text))
    assert not isinstance(plan.design.field.filling.shift, str)
    assert any(note.code == "shift" for note in plan.notes)
    assert plan.design.mark == design_of(text).mark


inches = st.integers(8 * 16, 14 * 16).map(lambda n: n / 16)


@given(inches, inches, st.integers(3, 7))
def test_herringbone_with_its_edges_on_corners_leaves_half_strips(
    width: float, depth: float, r: int
) -> None:
    # w = sqrt(2) E / (N - r): the lowest corners of the strips lie w / sqrt(2) apart.
    design = tray(width, depth, "herringbone", f"r = {r}", angle="45 deg")
    found = [p for p in propose_closed(design, keep="opening") if p.axis == 1]
    for proposal in found:
        (change,) = proposal.changes
        rows = depth * INCH * sqrt(2.0) / change.number
        if not is_on_tape(change.number, design.tape):
            assert abs(rows - round(rows)) < 1e-3
    assume(found)


@given(inches, inches, st.sampled_from(["30 deg", "45 deg", "60 deg"]))
@examples(12)
def test_chevron_in_whole_columns_through_points_leaves_whole_widths(
    width: float, depth: float, rise: str
) -> None:
    # c = E / m and w = (E cos + c sin) / n: the thinnest piece is then as thick as a strip.
    design = tray(width, depth, "chevron", f'c = "4 in"\nrise = "{rise}"')
    both = [p for p in propose_closed(design, keep="opening") if len(p.changes) == 2]
    exact = [
        p
        for p in both
        if not is_on_tape(p.changes[1].number, design.tape)
        and not is_on_tape(p.changes[0].number, design.tape)
    ]
    assume(exact)
    placed = put_best(design, exact[0].changes)
    score = max(score_design(placed), _half_a_row_on(placed, rise), key=lambda s: s.thin)
    assert score.thin >= 0.999
    assert score.alike[0]


@pytest.mark.xfail(strict=True, reason="the search for a place takes the wrong one of two")
def test_the_best_place_of_a_chevron_that_fits_leaves_whole_widths() -> None:
    design = tray(10.8125, 9.125, "chevron", 'c = "4 in"\nrise = "30 deg"')
    widths = [Change("field.set.c", 3.60417 * INCH), Change("strips.width", 1.07829 * INCH)]
    assert score_design(put_best(design, tuple(widths))).thin >= 0.999


def _half_a_row_on(design: Design, rise: str) -> Score:
    """Judge the same layout where its points lie half a row farther back."""
    filling = design.field.filling
    assert not isinstance(filling.shift, str)
    assert design.strips.width is not None
    half = design.strips.width / cosine(parse_angle(rise)) / 2
    moved = replace(filling, shift=(filling.shift[0], filling.shift[1] + half))
    return score_design(replace(design, field=replace(design.field, filling=moved)))


@given(inches, inches)
@examples(10)
def test_courses_of_whole_rows_are_ripped_nowhere(width: float, depth: float) -> None:
    design = tray(width, depth, "stack-bond", 'L = "4 in"')
    rows = [p for p in propose_closed(design, keep="opening") if p.promise == "every row is whole"]
    # 8 in and more hold a whole number of rows between 0.85 and 1.15 in; some may lie on a mark.
    assert rows
    for proposal in rows[:3]:
        w = proposal.changes[0].number
        if 0.0 <= depth * INCH / w - round(depth * INCH / w) < 1e-4:
            changed = put_best(design, proposal.changes)
            assert all(abs(piece.width - w) < 1e-3 for piece in lay_out(changed).pieces)


@pytest.mark.xfail(strict=True, reason="nine rows a hair too wide are put half a row off")
def test_rows_that_rounding_made_a_hair_too_wide_are_ripped_nowhere() -> None:
    design = tray(8.0, 9.125, "stack-bond", 'L = "4 in"')
    changed = put_best(design, (Change("strips.width", 1.01389 * INCH),))
    assert all(abs(piece.width - 1.01389 * INCH) < 0.01 for piece in lay_out(changed).pieces)


@given(st.integers(2, 6), st.integers(2, 5), st.sampled_from(["basket-weave", "checkerboard"]))
@examples(10)
def test_blocks_fit_an_opening_made_for_them(across: int, away: int, name: str) -> None:
    # A block of four strips 1 in wide is 4 in square.
    design = tray(4 * across + 0.5, 4 * away - 0.75, name, "n = 4")
    found = propose_closed(design, keep="strip")
    wanted = {("opening.width", 4.0 * across), ("opening.depth", 4.0 * away)}
    got = {(c.key, round(c.number / INCH, 6)) for p in found for c in p.changes}
    assert wanted <= got
    changes = tuple(Change(key, value * INCH) for key, value in sorted(wanted))
    assert score_design(put_best(design, changes)).cut == 0


#: One wood for all tones, so that parts count shapes.
OAK = '[tones]\ndark = "oak"\nlight = "oak"\n'


@pytest.mark.parametrize(("width", "depth", "r"), [(24.0, 18.375, 5), (60.0, 15.0, 6)])
def test_herringbone_by_closed_form_is_as_good_as_any(width: float, depth: float, r: int) -> None:
    # With front and back on corners the smallest piece there is a triangle of leg w, .707 w
    # thick; no other place of the pattern leaves more. Prototype: 8 shapes at w 0.92 to 1.08.
    design = tray(width, depth, "herringbone", f"r = {r}", angle="45 deg", more=OAK)
    scores = [
        score_design(put_best(design, proposal.changes))
        for proposal in propose_closed(design, keep="opening")
        if proposal.axis == 1 and not is_on_tape(proposal.changes[0].number, design.tape)
    ]
    best = max(scores, key=lambda score: (round(score.thin, 2), -score.parts))
    assert best.thin == pytest.approx(1 / sqrt(2), abs=0.005)
    assert best.parts <= 10


def test_a_border_is_the_free_number_both_ways() -> None:
    # w = (W - D) / (X - Y), the border what is left, so that all four edges run through corners:
    # on 20 x 13 in with a border of 1 1/2 in, found by closed form and checked by clipping.
    border = '[[border]]\nwidth = "1 1/2 in"\nwood = "oak"'
    design = tray(20.0, 13.0, "herringbone", "r = 5", angle="45 deg", more=border)
    both = [p for p in propose_closed(design, keep="opening") if len(p.changes) == 2]
    exact = [p for p in both if not is_on_tape(p.changes[1].number, design.tape)]
    assert exact
    for proposal in exact[:6]:
        assert score_design(put_best(design, proposal.changes)).thin >= 0.49


def test_strips_off_the_tape_are_told_by_ten(hall: Fit) -> None:
    told = [describe_changes(hall.given.design, c) for c in hall.lists[1].candidates]
    assert any("ten side by side measure" in text for text in told)
