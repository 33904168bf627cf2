"""Congruence: the right classes, whatever the turn, the mirror, the noise and the order."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import given, strategies as st
from numpy.typing import NDArray

from tesselath.shape import Outline, as_outline, group_alike

RECTANGLE = np.array([(0, 0), (90, 0), (90, 20), (0, 20)], dtype=float)
SLASH = np.array([(0, 0), (90, 0), (110, 20), (20, 20)], dtype=float)  # a parallelogram
WEDGE = np.array([(0, 0), (90, 0), (70, 20), (20, 20)], dtype=float)  # a trapezoid
LEANING = np.array([(0, 0), (90, 0), (70, 20), (5, 20)], dtype=float)  # no symmetry at all
NOTCHED = np.array([(0, 0), (90, 0), (90, 20), (40, 20), (40, 12), (0, 12)], dtype=float)


@dataclass(frozen=True)
class Kind:
    """A shape with its grain; ``handed`` when its mirror image is another shape."""

    corners: NDArray[np.float64]
    grain: float
    handed: bool


def _kinds(count: int, seed: int) -> list[Kind]:
    """Random shapes, all different by half a millimetre or more in some length; some notched."""
    rng = np.random.default_rng(seed)
    kinds: list[Kind] = []
    for n in range(count):
        length, w = 60.0 + 1.37 * n, 18.0 + (n % 5)
        shape = n % 5
        if shape == 0:
            corners = [(0, 0), (length, 0), (length, w), (0, w)]
        elif shape == 1:
            run = rng.uniform(3, w)
            corners = [(0, 0), (length, 0), (length + run, w), (run, w)]
        elif shape == 2:
            run = rng.uniform(3, 20)
            corners = [(0, 0), (length, 0), (length - run, w), (run, w)]
        elif shape == 3:
            a, b = rng.uniform(3, 10), rng.uniform(11, 25)
            corners = [(0, 0), (length, 0), (length - a, w), (b, w)]
        else:
            x, y = rng.uniform(15, 22), rng.uniform(5, 8)
            corners = [
                (0, 0),
                (length, 0),
                (length, w),
                (length - x, w),
                (length - x, w - y),
                (0, w - y),
            ]
        kinds.append(Kind(np.array(corners, dtype=float), 0.0, shape in (1, 3, 4)))
    return kinds


def _copy(
    kind: Kind, rng: np.random.Generator, *, mirrored: bool, noise: float
) -> tuple[Outline, float]:
    """A copy of a shape: turned, moved, begun at any corner, with noise on every corner."""
    corners = kind.corners * ((-1, 1) if mirrored else (1, 1))
    corners = corners[::-1] if mirrored else corners
    turn = rng.uniform(0, 360)
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    placed = corners @ np.array([[c, s], [-s, c]]) + rng.uniform(-500, 500, 2)
    placed = np.roll(placed, rng.integers(len(placed)), axis=0)
    placed = placed + rng.uniform(-noise, noise, placed.shape)
    grain = (-kind.grain if mirrored else kind.grain) + turn
    return as_outline(placed), float((grain + 180 * rng.integers(2)) % 180)


def _same_classes(found: NDArray[np.int64], true: list[int]) -> bool:
    pairs = set(zip(found.tolist(), true, strict=True))
    return len(pairs) == len(set(found.tolist())) == len(set(true))


@pytest.mark.parametrize("noise", [0.0, 1e-12, 1e-9, 1e-8, 1e-7, 1e-6])
@pytest.mark.parametrize("seed", [1, 2])
def test_every_copy_finds_its_class_and_its_hand(noise: float, seed: int) -> None:
    rng = np.random.default_rng(seed)
    kinds = _kinds(60, seed)
    true = [n % len(kinds) for n in range(300)]
    flips = rng.integers(0, 2, len(true)).astype(bool)
    copies = [
        _copy(kinds[k], rng, mirrored=bool(flip), noise=noise)
        for k, flip in zip(true, flips, strict=True)
    ]
    outlines, grains = [o for o, _ in copies], [g for _, g in copies]
    result = group_alike(outlines, grains, ["oak"] * len(copies))
    assert _same_classes(result.kind, true)
    for k, kind in enumerate(kinds):
        members = [n for n, t in enumerate(true) if t == k]
        hands = {(bool(flips[n]), int(result.hand[n])) for n in members}
        if kind.handed:
            # One hand for the copies, the other for the mirror images.
            assert len({hand for _, hand in hands}) == len({flip for flip, _ in hands})
            assert all(hand != 0 for _, hand in hands)
        else:
            assert {hand for _, hand in hands} == {0}
    order = rng.permutation(len(copies))
    again = group_alike(
        [outlines[i] for i in order], [grains[i] for i in order], ["oak"] * len(order)
    )
    assert _same_classes(again.kind, [int(result.kind[i]) for i in order])
    assert again.hand.tolist() == result.hand[order].tolist()


@given(
    st.sampled_from([RECTANGLE, SLASH, WEDGE, LEANING, NOTCHED]),
    st.floats(0, 360),
    st.booleans(),
    st.floats(-1e-6, 1e-6),
    st.integers(0, 5),
)
def test_turn_shift_and_start_do_not_matter(
    corners: NDArray[np.float64], turn: float, mirrored: bool, noise: float, start: int
) -> None:
    kind = Kind(corners, 0.0, handed=False)
    first = _copy(kind, np.random.default_rng(start), mirrored=False, noise=0.0)
    second = _copy(kind, np.random.default_rng(int(turn)), mirrored=mirrored, noise=abs(noise))
    result = group_alike([first[0], second[0]], [first[1], second[1]], [0, 0])
    assert result.kind.tolist() == [0, 0]
    if not mirrored:
        assert result.hand[0] == result.hand[1]


@pytest.mark.parametrize(
    ("corners", "grain", "own_mirror_image"),
    [
        (RECTANGLE, 0.0, True),
        (RECTANGLE, 90.0, True),
        (RECTANGLE, 30.0, False),
        (SLASH, 0.0, False),
        (WEDGE, 0.0, True),
        (LEANING, 0.0, False),
        (NOTCHED, 0.0, False),
    ],
)
def test_a_shape_has_a_hand_when_shape_or_grain_leans(
    corners: NDArray[np.float64], grain: float, own_mirror_image: bool
) -> None:
    mirrored = (corners * (-1, 1))[::-1]
    result = group_alike([corners, mirrored], [grain, -grain], [0, 0])
    assert result.kind.tolist() == [0, 0]
    hands = result.hand.tolist()
    assert hands == [0, 0] if own_mirror_image else sorted(hands) == [-1, 1]


def test_a_turn_end_for_end_does_not_change_the_hand() -> None:
    result = group_alike([SLASH, -SLASH, LEANING, -LEANING], [0, 180, 0, 180], [0] * 4)
    assert result.hand[0] == result.hand[1] != 0
    assert result.hand[2] == result.hand[3] != 0


def test_grain_tells_apart_what_outline_does_not() -> None:
    square = np.array([(0, 0), (20, 0), (20, 20), (0, 20)], dtype=float)
    result = group_alike([RECTANGLE, RECTANGLE, square, square], [0, 90, 0, 90], [0] * 4)
    assert result.kind.tolist() == [0, 1, 2, 2]  # a square turned a quarter is itself


@pytest.mark.parametrize("label", ["walnut", ("oak", 25.4), None])
def test_labels_tell_apart(label: object) -> None:
    result = group_alike([RECTANGLE] * 3, [0, 0, 0], ["oak", label, "oak"])
    assert result.kind.tolist() == [0, 1, 0]


@pytest.mark.parametrize(
    ("longer", "same"), [(0.001, True), (0.004, True), (0.02, False), (0.1, False)]
)
def test_pieces_alike_within_a_twentieth_of_a_pencil_line_are_one_part(
    longer: float, same: bool
) -> None:
    # The contract of the program: alike within 0.005 mm.
    other = RECTANGLE.copy()
    other[1:3, 0] += longer
    result = group_alike([RECTANGLE, other], [0, 0], [0, 0])
    assert (result.kind[0] == result.kind[1]) == same


def test_a_dent_and_a_bulge_of_the_same_lengths_are_not_alike() -> None:
    bulge = np.array([(0, 0), (90, 0), (90, 20), (45, 26), (0, 20)], dtype=float)
    dent = np.array([(0, 0), (90, 0), (90, 20), (45, 14), (0, 20)], dtype=float)
    assert group_alike([bulge, dent], [0, 0], [0, 0]).kind.tolist() == [0, 1]


def test_a_long_row_of_lengths_close_together_does_not_run_into_one() -> None:
    # 400 rectangles, each 0.004 mm longer than the last, span 1.6 mm.
    rows = []
    for n in range(400):
        one = RECTANGLE.copy()
        one[1:3, 0] += 0.004 * n
        rows.append(one)
    result = group_alike(rows, [0.0] * 400, [0] * 400)
    for kind in set(result.kind.tolist()):
        lengths = [rows[n][1, 0] for n in np.flatnonzero(result.kind == kind)]
        assert max(lengths) - min(lengths) <= 0.0101


def test_alike_is_transitive() -> None:
    # Each of three in a chain is alike with the next, so the first is alike with the last.
    chain = []
    for n in range(3):
        one = RECTANGLE.copy()
        one[1:3, 0] += 0.004 * n
        chain.append(one)
    assert group_alike(chain, [0.0] * 3, [0] * 3).kind.tolist() == [0, 0, 0]


def test_classes_are_numbered_as_they_appear() -> None:
    result = group_alike([WEDGE, SLASH, WEDGE, RECTANGLE], [0] * 4, [0] * 4)
    assert result.kind.tolist() == [0, 1, 0, 2]


def test_nothing_gives_nothing_and_unequal_lists_are_refused() -> None:
    assert group_alike([], [], []).kind.tolist() == []
    with pytest.raises(ValueError, match="equally many"):
        group_alike([RECTANGLE], [], [0])
