"""One order of work, from the opening to the sticks, without the rest of a plan."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from tesselath.errors import DesignError
from tesselath.field import opening_outline
from tesselath.shape import area
from tesselath.work import Work, work_out
from tops import INCH, design_of, top

TEXT = top(
    "herringbone",
    width="18 in",
    depth="12 in",
    sizes="r = 4",
    angle="45 deg",
    strips='width = "1 in"',
    more='[frame]\nwidth = "2"\nlap = "1/4"',
)


def worked(order: str, text: str = TEXT) -> Work:
    design = design_of(text)
    return work_out(design, opening_outline(design), order, effort=0.5)


@pytest.mark.parametrize(
    ("order", "width", "depth"),
    [
        ("let in", 18, 12),
        ("trim", 18, 12),
        ("lap", 18.5, 12.5),  # 1/4 in under the frame all round
    ],
)
def test_each_order_of_work_has_its_own_field(order: str, width: float, depth: float) -> None:
    found = np.ptp(np.asarray(worked(order).field), axis=0) / INCH
    assert found == pytest.approx([width, depth])


@pytest.mark.parametrize("order", ["let in", "lap"])
def test_pieces_without_gaps_cover_the_field(order: str) -> None:
    work = worked(order)
    covered = sum(area(piece.outline) for piece in work.pieces)
    assert covered == pytest.approx(area(work.field), rel=1e-6)


@pytest.mark.parametrize("order", ["let in", "trim", "lap"])
def test_every_piece_has_a_part_a_setup_and_a_stick(order: str) -> None:
    work = worked(order)
    numbers = sorted(n for part in work.parts for n in part.numbers)
    assert numbers == [piece.number for piece in sorted(work.pieces, key=lambda p: p.number)]
    set_up = {mark for setup in work.setups for mark in setup.parts}
    at_saw = {p.mark for p in work.parts if p.handling not in ("make up", "mark and hand saw")}
    assert at_saw <= set_up
    cut = Counter(mark for stick in work.sticks.sticks for mark in stick.pieces)
    assert all(cut[part.mark] == part.count + part.spares for part in work.parts)


def test_a_trimmed_field_has_fewer_parts_for_its_edge_keeps_whole_strips() -> None:
    assert len(worked("trim").parts) < len(worked("let in").parts)


def test_an_opening_that_no_strip_reaches_is_refused() -> None:
    text = top("compass-rose", width="6 in", depth="4 in", field='shift = ["90 in", "0"]')
    with pytest.raises(DesignError, match="No strip of the pattern"):
        worked("let in", text)
