"""Out of square: the corners of an opening from the tape's readings, and what they can tell."""

from __future__ import annotations

from math import dist, erf, hypot, sqrt

import numpy as np
import pytest
from hypothesis import assume, given, strategies as st

from tesselath.field import measure_tapers
from tesselath.shape import DIAGONALS, SIDES, area, cannot_close, solve_opening
from tesselath.shape.out_of_square import other_diagonal

KEYS = (*SIDES, *DIAGONALS)
ENDS = ((0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3))
INCH = 25.4


def measure(corners: list[tuple[float, float]]) -> dict[str, float]:
    """Read every side and diagonal, as a tape without error would."""
    return {key: dist(corners[a], corners[b]) for key, (a, b) in zip(KEYS, ENDS, strict=True)}


@st.composite
def some_corners(draw: st.DrawFn) -> list[tuple[float, float]]:
    """The corners of an opening nobody would call square, front left first."""
    x, y = draw(st.floats(100, 1000)), draw(st.floats(100, 700))
    off = st.floats(-0.2, 0.2)
    return [
        (sx * x * (1 + draw(off)), sy * y * (1 + draw(off)))
        for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]


def least_turn(corners: list[tuple[float, float]]) -> float:
    """The smallest sine of a corner's turn: near 0 a corner is nearly straight."""
    p = np.array(corners)
    edge = np.roll(p, -1, axis=0) - p
    after = np.roll(edge, -1, axis=0)
    turn = edge[:, 0] * after[:, 1] - edge[:, 1] * after[:, 0]
    return float(np.min(turn / np.hypot(*edge.T) / np.hypot(*after.T)))


# --- exact ---


@given(some_corners(), st.sampled_from(DIAGONALS), st.sampled_from(["centre line", "front edge"]))
def test_sides_and_one_diagonal_give_the_opening_back(
    corners: list[tuple[float, float]], diagonal: str, axis: str
) -> None:
    assume(least_turn(corners) > 0.05)
    true = measure(corners)
    read = {key: true[key] for key in (*SIDES, diagonal)}
    solved = solve_opening(read, axis=axis)
    # Six distances among four points fix them but for where they lie and which way up.
    assert measure(solved.corners.tolist()) == pytest.approx(true, abs=1e-6)
    assert solved.fitted == pytest.approx(true, abs=1e-6)
    assert area(solved.corners) == pytest.approx(area(corners), rel=1e-9)
    assert solved.misclosure is None
    assert cannot_close(read, show=str) is None
    other = next(key for key in DIAGONALS if key != diagonal)
    assert other_diagonal(read, diagonal) == pytest.approx(true[other], abs=1e-6)


@given(some_corners())
def test_six_readings_without_error_close(corners: list[tuple[float, float]]) -> None:
    assume(least_turn(corners) > 0.05)
    true = measure(corners)
    solved = solve_opening(true)
    assert solved.fitted == pytest.approx(true, abs=1e-6)
    assert solved.misclosure == pytest.approx(0.0, abs=1e-6)
    assert solved.off == pytest.approx(0.0, abs=1e-6)


def test_the_published_opening_closes_on_what_was_measured() -> None:
    """A maker's public post: 54, 20 1/16, 53 15/16, 20 in and one diagonal of 57 9/16 in."""
    read = {"front": 54.0, "right": 20.0625, "back": 53.9375, "left": 20.0, DIAGONALS[0]: 57.5625}
    read = {key: inches * INCH for key, inches in read.items()}
    solved = solve_opening(read)
    for key, mm in read.items():
        assert solved.fitted[key] == pytest.approx(mm, abs=1e-9)
    # By hand: the cosine rule in both triangles gives the front left corner 89.9551 degrees.
    assert solved.fitted[DIAGONALS[1]] / INCH == pytest.approx(57.5700, abs=1e-4)


# --- axes ---


@given(some_corners(), st.booleans())
def test_the_centre_line_gives_the_long_edges_equal_and_opposite_taper(
    corners: list[tuple[float, float]], turned: bool
) -> None:
    if turned:  # an opening deeper than wide: the same, a quarter turn on
        corners = [(-y, x) for x, y in (*corners[3:], *corners[:3])]
    assume(least_turn(corners) > 0.05)
    found = solve_opening(measure(corners)).corners
    assert found.mean(axis=0) == pytest.approx([0.0, 0.0], abs=1e-6)
    edges = measure_tapers(found)
    sums = [edges[n].length + edges[n + 2].length for n in (0, 1)]
    assume(abs(sums[0] - sums[1]) > 0.01)
    one, two = (edges[0], edges[2]) if sums[0] > sums[1] else (edges[1], edges[3])
    assert one.taper == pytest.approx(two.taper, abs=1e-6)
    # Both stand farther out at the same end, which is the wider one.
    assert one.taper < 0.02 or one.wide_end == two.wide_end


@given(some_corners())
def test_the_front_edge_lies_level_where_a_top_stands_at_a_wall(
    corners: list[tuple[float, float]],
) -> None:
    assume(least_turn(corners) > 0.05)
    (ax, ay), (bx, by), *_ = solve_opening(measure(corners), axis="front edge").corners.tolist()
    assert ay == pytest.approx(by, abs=1e-6)
    assert bx > ax
    assert ay < 0


@pytest.mark.parametrize(
    ("axis", "on_long_edges", "on_all"),
    [("front edge", 0.241, 0.333), ("centre line", 0.120, 0.263)],
)
def test_the_mean_worst_taper_is_that_of_openings_measured_before(
    axis: str, on_long_edges: float, on_all: float
) -> None:
    """54 x 20 in, every corner off by .15 in (standard deviation); simulated by another program."""
    rng = np.random.default_rng(5)
    box = np.array([(-27.0, -10.0), (27.0, -10.0), (27.0, 10.0), (-27.0, 10.0)])
    long, every = [], []
    for _ in range(1000):
        read = measure((box + rng.normal(0.0, 0.15, (4, 2))).tolist())
        del read[DIAGONALS[1]]
        tapers = [edge.taper for edge in measure_tapers(solve_opening(read, axis=axis).corners)]
        long.append(max(tapers[0], tapers[2]))
        every.append(max(tapers))
    assert np.mean(long) == pytest.approx(on_long_edges, rel=0.05)
    assert np.mean(every) == pytest.approx(on_all, rel=0.05)


# --- what six readings can tell ---


def box_read(width: float, depth: float) -> dict[str, float]:
    across = hypot(width, depth)
    return dict(zip(KEYS, (width, depth, width, depth, across, across), strict=True))


@given(st.floats(200, 2000), st.floats(200, 2000), st.sampled_from(KEYS), st.floats(-2, 2))
def test_a_misclosure_weighs_each_reading_as_a_braced_frame_does(
    width: float, depth: float, wrong: str, by: float
) -> None:
    """Statics: the self-stress of a rectangle with both diagonals is (W, H, W, H, -D, -D)/2D."""
    read = box_read(width, depth)
    across = hypot(width, depth)
    weight = {
        **dict.fromkeys(DIAGONALS, -across),
        "front": width,
        "back": width,
        "left": depth,
        "right": depth,
    }[wrong] / (2 * across)
    read[wrong] += by
    found = solve_opening(read).misclosure
    assert found == pytest.approx(weight * by, abs=0.02 * abs(by) + 1e-6)


@given(st.sampled_from(KEYS), st.sampled_from(KEYS), st.floats(0.5, 3))
def test_the_readings_never_name_the_wrong_one(one: str, two: str, by: float) -> None:
    """Whichever reading is wrong, what is left over stands in one proportion: it names nobody."""
    shares = []
    for wrong in (one, two):
        read = box_read(1371.6, 508.0)
        read[wrong] += by
        fitted = solve_opening(read).fitted
        left = np.array([read[key] - fitted[key] for key in KEYS])
        shares.append(left / np.linalg.norm(left) * np.sign(left[4]))
    assert shares[0] == pytest.approx(shares[1], abs=0.01)


@pytest.mark.parametrize(
    ("wrong", "times", "found"),
    [(DIAGONALS[0], 10, 0.977), ("front", 10, 0.954), ("right", 10, 0.103), ("right", 16, 0.412)],
)
def test_a_wrong_short_side_hides(wrong: str, times: float, found: float) -> None:
    """54 x 20 in: how often an error of so many marks shows as more than three (normal law)."""
    mark = 25.4 / 320
    read = box_read(1371.6, 508.0)
    read[wrong] += times * mark
    misclosure = solve_opening(read).misclosure
    assert misclosure is not None
    shift = abs(misclosure) / mark

    def below(x: float) -> float:
        return 0.5 * (1 + erf(x / sqrt(2)))

    assert 1 - below(3 - shift) + below(-3 - shift) == pytest.approx(found, abs=0.002)


@given(
    st.lists(st.floats(-0.15, 0.15), min_size=8, max_size=8),
    st.sampled_from(KEYS),
    st.floats(-0.1, 0.1),
)
def test_the_sum_that_is_done_by_hand_gives_the_misclosure(
    off: list[float], wrong: str, by: float
) -> None:
    """(2(ac + bd) - e^2 - f^2)/(2(e + f)), which is 0 for a rectangle (Euler's identity)."""
    box = np.array([(-27.0, -10.0), (27.0, -10.0), (27.0, 10.0), (-27.0, 10.0)])
    read = measure((box + np.array(off).reshape(4, 2)).tolist())
    read[wrong] += by
    a, b, c, d, e, f = (read[key] for key in KEYS)
    by_hand = (2 * (a * c + b * d) - e * e - f * f) / (2 * (e + f))
    assert solve_opening(read).misclosure == pytest.approx(by_hand, abs=0.002)


# --- what cannot close ---


@pytest.mark.parametrize(
    ("changed", "about", "says"),
    [
        ({DIAGONALS[0]: 75.0}, DIAGONALS[0], "come to 74 in; this diagonal, 75 in, must be sho"),
        ({DIAGONALS[0]: 34.0}, DIAGONALS[0], "differ by 34 in; this diagonal, 34 in, must be lo"),
        # At the back right 157 and 30 degrees meet, more than half a turn.
        ({"back": 40.0, DIAGONALS[0]: 35.0}, DIAGONALS[0], "a corner points inward"),
        ({DIAGONALS[1]: 59.0}, DIAGONALS[1], "this one comes to 57.58 in, and it reads 59 in"),
    ],
)
def test_readings_that_cannot_close_are_refused_with_their_numbers(
    changed: dict[str, float], about: str, says: str
) -> None:
    read = {"front": 54.0, "right": 20.0, "back": 54.0, "left": 20.0, DIAGONALS[0]: hypot(54, 20)}
    assert cannot_close(read, show=str) is None
    wrong = cannot_close({**read, **changed}, show=lambda inches: f"{round(inches, 2):g} in")
    assert wrong is not None
    assert wrong[0] == about
    assert says in wrong[1]
