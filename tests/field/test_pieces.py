"""Pieces: numbered in gluing order; what is cut for an edge piece covers it and its over-length."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, strategies as st
from numpy.typing import NDArray

from effort import examples
from tesselath.field import Clipped, Loose, number_pieces
from tesselath.pattern import Pattern, find_pattern
from tesselath.shape import Outline, turned
from tops import FILLING, INCH, box, lay, own

TAPE = INCH / 32
BOND = """
title = "Bond"
size.w = { value = "1 in" }
size.L = { value = "9 in" }
strip = [{ from = [0, "w / 2"], length = "L" }]
repeat.steps = [["L", 0], ["L / 2", "w"]]
"""
#: Both ends of these strips are parallel, so the length on the mid-line is the edge.
PARALLEL = ("herringbone", "chevron", "tumbling-block", "running-bond", "stepped-diamond")


def _number(
    clipped: Clipped,
    pattern: Pattern,
    *,
    overlength: float | None = None,
    tape: float = TAPE,
) -> tuple[Loose, ...]:
    tones = pattern.tones or ("plain",)
    return number_pieces(
        [("field", clipped.fragments)],
        tones={"field": tones},
        woods={"field": {tone: f"wood of {tone}" for tone in tones}},
        trimmed=() if overlength is None else ("field",),
        overlength=overlength or 0.0,
        tape=tape,
    )


def _flat(outline: Outline, grain: float) -> NDArray[np.float64]:
    return np.asarray(turned(outline, -grain))


@examples(12)
@given(
    st.sampled_from(FILLING),
    st.sampled_from([0.0, 45.0, 17.0]),
    st.sampled_from([0.0, 6.0, 12.7, 25.4]),
    st.sampled_from([0.0, 1.5]),
)
def test_a_blank_covers_its_finished_piece_and_stays_in_its_strip(
    name: str, angle: float, overlength: float, gap: float
) -> None:
    pattern = find_pattern(name)
    _, clipped = lay(pattern, box(170, 120), angle=angle, gap=gap)
    wholes = {f.outline.tobytes(): f.whole for f in clipped.fragments}
    for piece in _number(clipped, pattern, overlength=overlength):
        if piece.blank is None:
            continue
        blank = shapely.Polygon(piece.blank)
        hair = 0.05 if gap else 0.005  # tidied corners may stand out that far
        assert shapely.covers(blank.buffer(hair), shapely.Polygon(piece.outline))
        whole = shapely.Polygon(wholes[piece.outline.tobytes()])
        assert shapely.covers(whole.buffer(hair), blank)


@examples(12)
@given(st.sampled_from(PARALLEL), st.floats(0, 90), st.sampled_from([0.0, 6.0, 12.7, 25.4]))
def test_a_trimmed_end_has_its_over_length_or_its_strips_own_end(
    name: str, angle: float, overlength: float
) -> None:
    pattern = find_pattern(name)
    _, clipped = lay(pattern, box(170, 120), angle=angle)
    wholes = {f.outline.tobytes(): f.whole for f in clipped.fragments}
    for piece in _number(clipped, pattern, overlength=overlength):
        if piece.blank is None:
            continue
        blank, finished = _flat(piece.blank, piece.grain), _flat(piece.outline, piece.grain)
        whole = _flat(wholes[piece.outline.tobytes()], piece.grain)
        # Full width, with the strip's own ends moved along the grain.
        assert np.ptp(blank[:, 1]) == pytest.approx(np.ptp(whole[:, 1]), abs=1e-6)
        for sign in (-1.0, 1.0):
            spare = float((sign * blank[:, 0]).max() - (sign * finished[:, 0]).max())
            cut_off = float((sign * whole[:, 0]).max() - (sign * blank[:, 0]).max())
            assert cut_off >= -1e-6
            if cut_off > 0.01:
                # An end of the blank's own, so the over-length is all there.
                assert spare >= overlength - 1e-6


@examples(12)
@given(st.sampled_from(PARALLEL), st.floats(0, 90), st.sampled_from([0.5, 1.0, TAPE, TAPE / 2]))
def test_a_blank_shorter_than_its_strip_has_a_length_on_the_tape(
    name: str, angle: float, tape: float
) -> None:
    pattern = find_pattern(name)
    _, clipped = lay(pattern, box(170, 120), angle=angle)
    wholes = {f.outline.tobytes(): f.whole for f in clipped.fragments}
    shortened = 0
    for piece in _number(clipped, pattern, overlength=6.0, tape=tape):
        if piece.blank is None:
            continue
        blank, whole = (
            shapely.Polygon(piece.blank),
            shapely.Polygon(wholes[piece.outline.tobytes()]),
        )
        if blank.area > whole.area - 0.01:
            continue
        shortened += 1
        width = float(np.ptp(_flat(piece.blank, piece.grain)[:, 1]))
        marks = blank.area / width / tape
        assert marks == pytest.approx(round(marks), abs=1e-4)
    assert shortened > 0


def test_a_blank_of_a_bond_is_what_a_maker_would_cut() -> None:
    # Trim lines stand 100 mm from the middle of a strip of 228.6, to either side; with 12.7 over
    # each the blank is 225.4 mm: up to 225.425, the next 1/32 in.
    _, clipped = lay(own(BOND), box(200, 25.4), origin=(-9 * INCH / 2, -INCH / 2))
    (piece,) = _number(clipped, own(BOND), overlength=12.7)
    assert piece.blank is not None
    assert np.ptp(piece.blank[:, 0]) == pytest.approx(225.425)
    assert piece.blank[:, 0].min() <= -112.7 + 1e-9
    assert piece.blank[:, 0].max() >= 112.7 - 1e-9


@pytest.mark.parametrize("overlength", [0.0, 12.7])
def test_only_pieces_on_the_trim_line_are_left_over_long(overlength: float) -> None:
    pattern = own(BOND)
    _, clipped = lay(pattern, box(700, 101.6))
    for piece in _number(clipped, pattern, overlength=overlength):
        assert (piece.blank is None) == (piece.kin is not None)
    assert all(p.blank is None for p in _number(clipped, pattern))


def test_an_edge_piece_that_loses_less_than_the_over_length_keeps_its_whole_strip() -> None:
    # The outermost 5 mm are trimmed off a strip with a joint at the edge: it stays whole, and
    # joins the inner ones. In the rows between, 109.3 mm and 12.7 make 122, up to 122.2375.
    pattern = own(BOND)
    _, clipped = lay(pattern, box(9 * INCH * 3 - 10, 2 * INCH), origin=(INCH * 9 / 2, 0))
    blanks = [p.blank for p in _number(clipped, pattern, overlength=12.7) if p.blank is not None]
    assert blanks
    assert {round(float(np.ptp(blank[:, 0])), 6) for blank in blanks} == {228.6, 122.2375}


@given(st.sampled_from(FILLING), st.sampled_from([0.0, 45.0, 90.0]))
@examples(10)
def test_numbers_run_row_by_row_from_the_centre_line_outward(name: str, angle: float) -> None:
    pattern = find_pattern(name)
    _, clipped = lay(pattern, box(170, 120), angle=angle)
    pieces = _number(clipped, pattern)
    assert [p.number for p in pieces] == list(range(1, len(clipped.fragments) + 1))
    order = [(abs(p.row), p.row < 0) for p in pieces]
    assert order == sorted(order)
    assert pieces[0].row == 0


def test_numbers_run_from_left_to_right_along_a_row() -> None:
    pattern = own(BOND.replace('["L / 2", "w"]', '[0, "w"]'))
    _, clipped = lay(pattern, box(900, 101.6))
    for one, other in pairwise(_number(clipped, pattern)):
        if one.row == other.row:
            assert one.outline[:, 0].mean() < other.outline[:, 0].mean()


def test_numbers_do_not_hang_on_the_order_of_the_strips() -> None:
    pattern = find_pattern("herringbone")
    _, clipped = lay(pattern, box(300, 200), angle=45.0)
    backward = Clipped(tuple(reversed(clipped.fragments)), clipped.cells, clipped.covered, 0, 0)
    first, again = _number(clipped, pattern), _number(backward, pattern)
    assert [p.outline.tobytes() for p in first] == [p.outline.tobytes() for p in again]


def test_every_tone_has_its_wood_and_one_without_is_an_error() -> None:
    pattern = find_pattern("herringbone")
    _, clipped = lay(pattern, box(300, 200))
    for piece in _number(clipped, pattern):
        assert piece.wood == f"wood of {piece.tone}"
    with pytest.raises(KeyError):
        number_pieces(
            [("field", clipped.fragments)],
            tones={"field": pattern.tones},
            woods={"field": {"dark": "walnut"}},
            tape=TAPE,
        )


def test_zones_are_numbered_one_after_the_other() -> None:
    pattern = own(BOND)
    _, one = lay(pattern, box(200, 50))
    _, other = lay(pattern, box(100, 50))
    pieces = number_pieces(
        [("field", one.fragments), ("border-1", other.fragments)],
        tones={"field": (), "border-1": ()},
        woods={"field": {"plain": "oak"}, "border-1": {"plain": "ash"}},
        tape=TAPE,
    )
    zones = [p.zone for p in pieces]
    assert zones == ["field"] * len(one.fragments) + ["border-1"] * len(other.fragments)
    assert [p.number for p in pieces] == list(range(1, len(pieces) + 1))
    kins = {(p.kin, p.wood) for p in pieces if p.kin}
    assert all((kin[0] == "field") == (wood == "oak") for kin, wood in kins)
