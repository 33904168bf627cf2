"""Random courses in a design: the same seed, the same floor; joints never near each other."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, strategies as st
from test_zones import check_closed, top, zones_of

from effort import examples
from tesselath.errors import PatternError
from tesselath.field import LaidZone
from tesselath.shape import turned
from tops import INCH, plan_of

#: Lengths in mm, for which 30 mm of stagger can always be kept.
SIZES = """
w = "30 mm"
least = "80 mm"
most = "240 mm"
stagger = "30 mm"
step = "10 mm"
"""


def _text(
    *, seed: int = 1, sizes: str = SIZES, width: str = "700 mm", depth: str = "330 mm", **keys: str
) -> str:
    return top("random-courses", width=width, depth=depth, sizes=f"{sizes}seed = {seed}", **keys)


def _rows(field: LaidZone, angle: float = 0.0) -> dict[int, list[tuple[float, float]]]:
    """Where the strips of each row begin and end, by the height of its middle in rows."""
    rows: dict[int, list[tuple[float, float]]] = {}
    for f in field.fragments:
        lying = np.asarray(turned(f.outline, -angle))
        (x0, y0), (x1, y1) = lying.min(axis=0), lying.max(axis=0)
        rows.setdefault(round((y0 + y1) / 2 / 30.0), []).append((float(x0), float(x1)))
    return {row: sorted(strips) for row, strips in sorted(rows.items())}


def _joints(strips: list[tuple[float, float]]) -> list[float]:
    return [begin for begin, _ in strips[1:]]


@given(st.integers(0, 9999))
@examples(10)
def test_every_strip_has_a_length_in_whole_steps_and_joints_keep_apart(seed: int) -> None:
    (field,) = zones_of(_text(seed=seed))
    rows = _rows(field)
    assert list(rows) == list(range(-5, 6))
    for row, strips in rows.items():
        for (_, end), (begin, _) in itertools.pairwise(strips):
            assert begin == pytest.approx(end, abs=1e-6)
        for begin, end in strips[1:-1]:
            assert 80 - 1e-6 <= end - begin <= 240 + 1e-6
            steps = (end - begin) / 10
            assert steps == pytest.approx(round(steps), abs=1e-6)
        for begin, end in strips:
            assert end - begin <= 240 + 1e-6
        beside = _joints(rows.get(row + 1, []))
        for joint in _joints(strips):
            assert min((abs(joint - other) for other in beside), default=1e9) >= 30 - 1e-6


def test_the_same_seed_lays_the_same_floor_and_another_seed_another() -> None:
    first, second = (_rows(zones_of.__wrapped__(_text(seed=7))[0]) for _ in range(2))
    assert first == second
    assert _rows(zones_of(_text(seed=8))[0]) != first


@pytest.mark.parametrize("seed", range(4))
def test_no_short_piece_is_left_at_an_end_where_that_can_be(seed: int) -> None:
    rows = _rows(zones_of(_text(seed=seed))[0])
    short = [s for strips in rows.values() for s in (strips[0], strips[-1]) if s[1] - s[0] < 30]
    # 22 ends; blind chance would leave one in five or six of them shorter than the stagger.
    assert len(short) <= 2


@pytest.mark.parametrize("mirror", ["left-right", "front-back", "four ways", "quarters turned"])
def test_a_mirrored_floor_keeps_its_stagger(mirror: str) -> None:
    (field,) = check_closed(_text(field=f'mirror = "{mirror}"\ncentre = "run through"'))
    if mirror == "quarters turned":
        return  # rows meet at right angles
    rows = _rows(field)
    assert list(rows) == list(range(-5, 6))
    for row in range(-5, 5):
        apart = [abs(a - b) for a in _joints(rows[row]) for b in _joints(rows[row + 1])]
        # On the mirror line itself two rows may both have a joint or both have none.
        assert min(apart) >= 30 - 1e-6


def test_lengths_are_those_of_the_pattern_gap_or_no_gap() -> None:
    (field,) = check_closed(_text(strips='gap = "2 mm"', angle="90 deg"))
    whole = [f for f in field.fragments if f.kin >= 0]
    assert len(whole) > 20
    for f in whole:
        along, across = np.ptp(np.asarray(turned(f.outline, -90.0)), axis=0)
        assert across == pytest.approx(30)
        steps = (along + 2) / 10
        assert steps == pytest.approx(round(steps), abs=1e-6)
        assert 80 <= along + 2 <= 240 + 1e-6


def test_the_shipped_sizes_lay_a_floor() -> None:
    plan = plan_of(top("random-courses", width="54 in", depth="20 in"))
    lengths = {round(part.overall / INCH, 6) for part in plan.parts}
    assert max(lengths) <= 12
    assert len(lengths) > 8


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ('stagger = "60 mm"', "the shortest strip must be twice the stagger and a step long"),
        ('stagger = "80 mm"', "must be longer than the shortest by twice the stagger"),
        ('most = "90 mm"', "must be longer than the shortest by twice the stagger"),
    ],
)
def test_a_stagger_that_cannot_be_kept_is_refused_in_one_sentence(change: str, said: str) -> None:
    key = change.split(" ", 1)[0]
    sizes = "\n".join(change if line.startswith(key) else line for line in SIZES.split("\n"))
    with pytest.raises(PatternError) as refusal:
        zones_of(_text(sizes=sizes))
    lines = str(refusal.value).split("\n")
    assert any(said in line for line in lines)
    assert "Traceback" not in str(refusal.value)
