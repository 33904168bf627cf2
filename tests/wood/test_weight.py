"""Weight: volume times density, and what cannot be weighed is said."""

from __future__ import annotations

import pytest

from tesselath.wood import known_woods
from tesselath.wood.weight import density_of
from tops import INCH, plan_of, top

CHERRY = '[tones]\ndark = "cherry"\nlight = "cherry"\n'


def test_a_top_of_cherry_weighs_its_volume_times_its_density() -> None:
    # Wood Handbook, Table 5-3a: black cherry 0.50 at 12 %; at 8 %, 540 kg/m3 by chapter 4.
    frame = '[frame]\nwidth = "2 in"\nthickness = "1 in"\nwood = "cherry"\nrecess = "1/4 in"\n'
    base = '[base]\nthickness = "1/2 in"\nclearance = "0"\n'
    weight = plan_of(top("running-bond", more=CHERRY + frame + base)).weight
    inch3 = INCH**3 * 1e-9
    assert weight.strips == {"cherry": pytest.approx(16 * 10 * 0.25 * inch3 * 540, rel=1e-6)}
    # The frame covers 20 x 14 less 16 x 10 square inches.
    assert weight.frame == pytest.approx((20 * 14 - 160) * inch3 * 540)
    assert weight.base == pytest.approx(16 * 10 * 0.5 * inch3 * 600)
    assert weight.without == ()


def test_what_has_no_thickness_is_left_out_and_named() -> None:
    text = top("running-bond", more=CHERRY + '[frame]\nwidth = "2 in"\n[base]\n')
    assert plan_of(text).weight.without == ("the frame", "the base")


def test_no_wood_is_heavier_than_lignum_or_lighter_than_balsa() -> None:
    # 150 and 1,300 kg/m3 bound all commercial woods. From memory.
    for wood in known_woods():
        density = density_of(wood, 12.0)
        assert density is None or 150 < density < 1300
