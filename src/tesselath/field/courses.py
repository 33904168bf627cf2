"""Courses: rows of strips in which only the joints move.

Comes in: the rule for the joints and the box to cover. Goes out: strips as arrays, like those of a
lattice. Refuses: lengths that are not more than 0, and more strips than anybody lays.

Joints stand at first + m * length; piece m lies between joint m - 1 and joint m::

    from left     |  m=0  |  m=1  |  m=2  |          joint m at first + m * length
    from centre   | 2 | 1 |   1 (straddles)   | 1 | 2 |      joints at abs(x) = that

From the centre a joint at or below 0 is not cut but keeps its number, so the piece that
straddles the middle has the number of its outer joint.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil, floor, inf

import numpy as np
from numpy.typing import NDArray

from tesselath.errors import Fault, PatternError
from tesselath.measure import ON_THE_LINE, SLACK
from tesselath.pattern import Courses

__all__ = ["CourseStrips", "lay_courses"]


@dataclass(frozen=True, slots=True)
class CourseStrips:
    """The strips of all rows, in the pattern's axes.

    ``lengths`` are the different lengths [mm]; ``which`` (m,) indexes them; ``places`` (m, 2) is
    the middle of each strip's left end [mm]; ``names`` holds row and piece for the tone rule.
    """

    height: float
    lengths: tuple[float, ...]
    which: NDArray[np.int64]
    places: NDArray[np.float64]
    rows: NDArray[np.int64]
    names: dict[str, NDArray[np.float64]]


def lay_courses(
    courses: Courses,
    sizes: Mapping[str, float],
    *,
    box: tuple[NDArray[np.float64], NDArray[np.float64]],
    most: int,
    drawn_for: tuple[NDArray[np.float64], NDArray[np.float64]] | None = None,
) -> CourseStrips:
    """Lay rows of strips over a box."""
    (left, front), (right, back) = box
    height = courses.height.number(sizes)
    if height <= ON_THE_LINE:
        rule = "A row must be higher than 0 at these sizes."
        raise PatternError(Fault(courses.place, courses.height.text, rule))
    # A row that only touches the box does not count.
    first_row = ceil((front + ON_THE_LINE) / height - 0.5 + SLACK)
    last_row = floor((back - ON_THE_LINE) / height + 0.5 - SLACK)
    count = last_row - first_row + 1
    if count > most:
        _refuse(courses, count, most)
    rows: list[NDArray[np.float64]] = []
    ends = (left, right) if drawn_for is None else (drawn_for[0][0], drawn_for[1][0])
    chance = None if courses.random is None else _Chance(courses, sizes, *ends)
    if chance is not None and count * ((right - left) / chance.least + 2) > most:
        _refuse(courses, count * ((right - left) / chance.least + 2), most)
    inner_first = sorted(range(first_row, last_row + 1), key=lambda r: (abs(r), r))
    for row in inner_first:
        if chance is not None:
            strips = _inside(_reaching(chance.row(row), left, right), left, right)
            rows.append(np.column_stack((strips, np.full(len(strips), row))))
            continue
        values = {**sizes, "row": float(row)}
        start = courses.first.number(values)
        lengths = [length.number(values) for length in courses.lengths]
        if min(lengths) <= ON_THE_LINE:
            rule = f"A strip must be longer than 0; in row {row} it is {min(lengths):g} mm."
            raise PatternError(Fault(courses.place, None, rule))
        expected = count * ((right - left) / sum(lengths) * len(lengths) + 2)
        if expected > most:
            _refuse(courses, expected, most)
        if courses.laid == "from centre":
            strips = _from_centre(start, lengths, left, right)
        else:
            strips = _from_left(start, lengths, left, right)
        rows.append(np.column_stack((strips, np.full(len(strips), row))))
    table = np.vstack(rows) if rows else np.zeros((0, 4))
    table = table[np.lexsort((table[:, 0], table[:, 3]))]
    # Lengths that differ by rounding only are one; a joint moves by less than the noise.
    spans, which = np.unique(np.round(table[:, 1] - table[:, 0], 9), return_inverse=True)
    places = np.column_stack((table[:, 0], table[:, 3] * height))
    return CourseStrips(
        height=height,
        lengths=tuple(float(s) for s in spans),
        which=which.astype(np.int64).reshape(-1),
        places=places,
        rows=table[:, 3].astype(np.int64),
        names={"row": table[:, 3], "piece": table[:, 2]},
    )


def _refuse(courses: Courses, count: float, most: int) -> None:
    raise PatternError(
        Fault(
            courses.place,
            None,
            f"These courses would take about {count:,.0f} strips;",
            f"more than {most:,} are not laid. Make the strips larger.",
        )
    )


def _from_left(
    start: float, lengths: list[float], left: float, right: float
) -> NDArray[np.float64]:
    """Give (begin, end, number) of each strip of a row that runs on both ways."""
    period, ends = sum(lengths), np.cumsum(lengths)
    q = len(lengths)
    low = floor((left - start) / period) - 1
    high = ceil((right - start) / period) + 1
    turns = np.repeat(np.arange(low, high), q)
    # Joint 0 is the first; the m-th lies the first m lengths further on.
    joints = start + turns * period + np.tile(ends - lengths, len(turns) // q)
    numbers = turns * q + np.tile(np.arange(q), len(turns) // q)
    strips = np.column_stack((joints[:-1], joints[1:], numbers[1:]))
    return _inside(strips, left, right)


def _from_centre(
    start: float, lengths: list[float], left: float, right: float
) -> NDArray[np.float64]:
    """Give (begin, end, number) of each strip of a row that is its own mirror image."""
    reach = max(abs(left), abs(right))
    period = sum(lengths)
    # Joints far below 0 are never cut; only their numbers count.
    passed = max(0, floor(-start / period) - 1)
    turns = max(1, ceil((reach - start) / period) + 1 - passed)
    ends = np.concatenate(([0.0], np.cumsum(np.tile(lengths, turns))))
    joints = start + passed * period + ends
    numbers = passed * len(lengths) + np.arange(len(joints))
    outside = joints > ON_THE_LINE
    cut, cut_numbers = joints[outside], numbers[outside]
    middle = [(-cut[0], cut[0], cut_numbers[0])]
    right_side = np.column_stack((cut[:-1], cut[1:], cut_numbers[1:]))
    left_side = np.column_stack((-cut[1:], -cut[:-1], cut_numbers[1:]))[::-1]
    return _inside(np.vstack((left_side, middle, right_side)), left, right)


class _Chance:
    """Rows of random lengths, each settled by the seed, its number and the row inside it."""

    def __init__(
        self, courses: Courses, sizes: Mapping[str, float], left: float, right: float
    ) -> None:
        assert courses.random is not None
        rule = courses.random
        self.left, self.right = left, right
        self.seed = round(rule.seed.number(sizes))
        self.least, self.most = rule.least.number(sizes), rule.most.number(sizes)
        self.stagger = rule.stagger.number(sizes)
        span = self.most - self.least
        self.step = span / 8 if rule.step is None else rule.step.number(sizes)
        if self.least <= ON_THE_LINE or span <= ON_THE_LINE or self.step <= ON_THE_LINE:
            wrote = f"{self.least:g} to {self.most:g} mm in steps of {self.step:g} mm"
            text = "Random strips need a least length over 0, a longer most and a step over 0."
            raise PatternError(Fault(courses.place, wrote, text))
        # So far apart a joint can always be kept from the ones beside it.
        widest = min(span / 2 - self.step, (self.least - self.step) / 2)
        if self.stagger > widest + SLACK:
            wrote = f"stagger {self.stagger:g} mm"
            text = (
                f"With these lengths joints can be kept {max(widest, 0.0):g} mm apart at the most."
            )
            raise PatternError(Fault(courses.place, wrote, text, "Make the range wider."))
        self.joints: dict[int, list[float]] = {}

    def row(self, row: int) -> NDArray[np.float64]:
        """Give (begin, end, number) of each strip of a row; rows come from the middle outward."""
        chance = random.Random(self.seed * 1_000_003 + row)
        inner = self.joints.get(row - 1 if row > 0 else row + 1, []) if row else []
        steps = round((self.most - self.least) / self.step)
        lengths = [self.least + k * self.step for k in range(steps + 1)]
        at = self.left - chance.randrange(max(1, round(self.most / self.step))) * self.step
        joints = [at]
        while at < self.right:
            choices = [at + length for length in lengths]
            clear = [x for x in choices if self._free(x, inner) >= self.stagger - ON_THE_LINE]
            # The zone's own ends count too, where the joints beside it leave the choice.
            ends = [x for x in clear if self._off_ends(x)]
            best = max(choices, key=lambda x: self._free(x, inner))
            options = ends or clear or [best]
            at = options[chance.randrange(len(options))]
            joints.append(at)
        self.joints[row] = joints
        numbers = np.arange(len(joints) - 1)
        strips = np.column_stack((joints[:-1], joints[1:], numbers))
        return _inside(strips, self.left, self.right)

    def _free(self, x: float, joints: list[float]) -> float:
        """How far a joint stays from the nearest of the row inside [mm]."""
        return min((abs(x - joint) for joint in joints), default=inf)

    def _off_ends(self, x: float) -> bool:
        """Whether a joint leaves no short piece at an end of the zone."""
        return all(
            abs(x - end) <= ON_THE_LINE or abs(x - end) >= self.stagger - ON_THE_LINE
            for end in (self.left, self.right)
        )


def _reaching(strips: NDArray[np.float64], left: float, right: float) -> NDArray[np.float64]:
    """Let the strips at both ends of a row reach over a box."""
    strips[0, 0], strips[-1, 1] = min(strips[0, 0], left), max(strips[-1, 1], right)
    return strips


def _inside(strips: NDArray[np.float64], left: float, right: float) -> NDArray[np.float64]:
    kept = (strips[:, 1] > left + ON_THE_LINE) & (strips[:, 0] < right - ON_THE_LINE)
    return strips[kept]
