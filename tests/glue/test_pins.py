"""Pins: long enough to hold, never through the base; finish for both faces."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from tesselath.glue import choose_pin, finish_steps, plan_finish
from tops import INCH, box, design_of, plan_of, top


def held(strips: str = "1/4 in", base: str = "23/32 in", hold: str = "pins", head: str = "") -> str:
    return top(
        head=head,
        strips=f'thickness = "{strips}"',
        more=f'[glue]\nhold = "{hold}"\n[base]\nthickness = "{base}"\n',
    )


@pytest.mark.parametrize(
    ("strips", "base", "hold", "gauge", "length"),
    [
        # Makers' usual: 23 gauge 5/8 in for 1/4 in strips, 18 gauge 1 1/4 in brads for 3/4 in.
        ("1/4 in", "23/32 in", "pins", 23, 5 / 8),
        ("3/4 in", "23/32 in", "brads", 18, 5 / 4),
        ("1/4 in", "1/2 in", "pins", 23, 5 / 8),
        ("1/4 in", "3/8 in", "pins", 23, 1 / 2),
    ],
)
def test_the_pin_is_the_one_makers_use(
    strips: str, base: str, hold: str, gauge: int, length: float
) -> None:
    pin = choose_pin(design_of(held(strips, base, hold)))
    assert pin is not None
    assert (pin.gauge, pin.length) == (gauge, pytest.approx(length * INCH))


@given(st.integers(2, 64), st.integers(4, 64), st.sampled_from(["in", "mm"]))
def test_no_pin_comes_within_an_eighth_of_the_underside(strips: int, base: int, units: str) -> None:
    text = held(f"{strips}/64 in", f"{base}/64 in", head=f'units = "{units}"')
    pin = choose_pin(design_of(text))
    assert pin is not None
    if pin.length is not None:
        assert pin.length <= (strips + base) / 64 * INCH - INCH / 8 + 1e-6
        assert pin.length > strips / 64 * INCH


def test_where_no_pin_fits_a_note_says_so_and_none_is_bought() -> None:
    plan = plan_of(held("1/4 in", "1/8 in"))
    assert any(note.code == "pins" for note in plan.notes)
    assert not any(row.what == "pins" for row in plan.shopping)


def test_pins_are_bought_for_every_place_and_none_without_them() -> None:
    plan = plan_of(held())
    row = next(row for row in plan.shopping if row.what == "pins")
    places = sum(len(glue_up.pins) for glue_up in plan.glue_ups)
    assert places < row.count
    assert row.length == pytest.approx(5 / 8 * INCH)
    assert not any(row.what == "pins" for row in plan_of(top()).shopping)
    assert choose_pin(design_of(top())) is None


def test_finish_is_bought_for_both_faces_alike() -> None:
    # 1 x 0.5 m, three coats on each face, 10 m2 to the litre: 0.3 litres.
    finish = plan_finish(design_of(top()), box(1000, 500))
    assert (finish.coats, finish.amount) == (3, 300)
    row = next(row for row in plan_of(top()).shopping if row.what == "finish")
    assert row.unit == "ml"
    assert "both faces" in row.item


def test_the_steps_of_the_finish_speak_of_both_faces_rags_and_bleeding_dust() -> None:
    two = design_of(top(more='[tones]\ndark = "walnut"\nlight = "maple"\n'))
    text = " ".join(finish_steps(two))
    for word in ("both faces", "lidded tin", "bleeds", "edges of the plywood"):
        assert word in text
    one = design_of(top(more='[tones]\ndark = "maple"\nlight = "maple"\n'))
    assert "bleeds" not in " ".join(finish_steps(one))
