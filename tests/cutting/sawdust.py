"""Slow and simple arithmetic of sticks, to check the quick one against.

Nothing here uses ``tesselath.cutting`` but its values: gaps come from the rules as they are
worded, fillings from trying every order, numbers of sticks from every way to share the pieces
out, and shapes from polygons.
"""

from __future__ import annotations

import csv
import json
import math
from collections.abc import Iterable, Sequence
from functools import cache
from itertools import pairwise, permutations, product
from pathlib import Path
from typing import Any

from shapely import Polygon
from shapely.geometry import box

from tesselath.cutting import CutPiece, CutStick, EndProfile, Sawing, StickKind, straight_end

DATA = Path(__file__).parent.parent / "data" / "cutting-stock"
CASES: dict[str, Any] = json.loads((DATA / "mitre_cases.json").read_text(encoding="utf-8"))
KNOWN = list(csv.DictReader((DATA / "best_known.csv").read_text(encoding="utf-8").splitlines()))

Way = tuple[float, float]


def along(run: float, sawing: Sawing) -> float:
    """Give the kerf along the strip."""
    return sawing.kerf / math.cos(math.atan(run / sawing.width))


def plain_gap(right: float, left: float, sawing: Sawing, *, held: bool = True) -> float:
    """Give the gap of two straight ends, as the three rules are worded."""
    half = abs(right - left) / 2
    if right == left:
        return along(right, sawing)
    if sawing.rule == "safe":
        return along(right, sawing) + along(left, sawing) + half
    if sawing.rule == "tight" and held:
        return min(along(right, sawing), along(left, sawing)) + half
    return along(right, sawing) + half


def ways_to_lie(piece: CutPiece) -> list[Way]:
    """List the (left, right) runs of a piece with straight ends, every way it may lie."""
    pair = (piece.left.runs[0], piece.right.runs[0])
    ways = [pair]
    if piece.turn:
        ways.append((pair[1], pair[0]))
    if piece.roll:
        ways += [(0.0 - a, 0.0 - b) for a, b in list(ways)]
    return sorted(set(ways))


def plain_sum(pieces: Sequence[CutPiece], ways: Sequence[Way], sawing: Sawing) -> float:
    """Add up a sequence of straight-ended pieces."""
    first, last = ways[0][0], ways[-1][1]
    total = sawing.end_trim + abs(first) / 2 + sum(piece.length for piece in pieces)
    if sawing.rule == "safe" and first:
        total += along(first, sawing)
    for piece, one, two in zip(pieces, ways, ways[1:], strict=False):
        total += plain_gap(one[1], two[0], sawing, held=piece.length >= sawing.shortest_loose)
    if sawing.holding:
        held = pieces[-1].length >= sawing.shortest_loose
        sever = sawing.kerf if sawing.rule == "tight" and held else along(last, sawing)
        return total + sever + abs(last) / 2 + sawing.holding
    if sawing.rule == "safe" and last:
        total += along(last, sawing)
    return total + abs(last) / 2


def least_sum(pieces: Sequence[CutPiece], sawing: Sawing) -> float:
    """Try every order and every way to lie."""
    return min(
        plain_sum(order, ways, sawing)
        for order in permutations(pieces)
        for ways in product(*(ways_to_lie(piece) for piece in order))
    )


def fewest_sticks(pieces: Sequence[CutPiece], length: float, sawing: Sawing) -> int:
    """Try every way to share the pieces out among sticks."""
    single = [piece for piece in pieces for _ in range(piece.demand)]
    fits = {
        group
        for group in range(1, 1 << len(single))
        if least_sum([p for i, p in enumerate(single) if group >> i & 1], sawing) <= length + 1e-6
    }

    @cache
    def sticks(left: int) -> int:
        if not left:
            return 0
        lowest = left & -left
        best = len(single) + 1
        group = left
        while group:
            if group & lowest and group in fits:
                best = min(best, 1 + sticks(left & ~group))
            group = (group - 1) & left
        return best

    return sticks((1 << len(single)) - 1)


def cheapest_sticks(
    pieces: Sequence[CutPiece], kinds: Sequence[StickKind], costs: Sequence[float], sawing: Sawing
) -> float:
    """Try every way to share the pieces out among sticks of several kinds; infinite if none."""
    single = [piece for piece in pieces for _ in range(piece.demand)]
    groups = range(1, 1 << len(single))
    need = {
        group: least_sum([p for i, p in enumerate(single) if group >> i & 1], sawing)
        for group in groups
    }

    @cache
    def cost(left: int, counts: tuple[int | None, ...]) -> float:
        if not left:
            return 0.0
        lowest = left & -left
        best = math.inf
        for group in groups:
            if not group & lowest or group & ~left:
                continue
            for kind, count in enumerate(counts):
                if count == 0 or need[group] > kinds[kind].length + 1e-6:
                    continue
                rest = None if count is None else count - 1
                after = (*counts[:kind], rest, *counts[kind + 1 :])
                best = min(best, costs[kind] + cost(left & ~group, after))
        return best

    return cost((1 << len(single)) - 1, tuple(kind.count for kind in kinds))


def shape_of(piece: CutPiece, width: float, *, turned: bool, rolled: bool, at: float) -> Polygon:
    """Draw a piece as it lies, its left end crossing the mid-line at ``at``."""
    far = 10 * (piece.length + width)
    shape = box(-far, -width / 2, piece.length + far, width / 2)
    for end, side in ((piece.left, -1.0), (piece.right, 1.0)):
        foot = 0.0 if side < 0 else piece.length
        for offset, run in end.facets:
            x = foot + side * offset
            low, high = x - run / 2, x + run / 2
            beyond = side * 3 * far
            waste = Polygon(
                [
                    (low - run, -1.5 * width),
                    (high + run, 1.5 * width),
                    (x + beyond, 1.5 * width),
                    (x + beyond, -1.5 * width),
                ]
            )
            shape = shape.difference(waste)
    points = list(shape.exterior.coords)
    if rolled:
        points = [(x, -y) for x, y in points]
    if turned:
        points = [(piece.length - x, -y) for x, y in points]
    return Polygon([(x + at, y) for x, y in points])


def lay_shapes(stick: CutStick, pieces: Iterable[CutPiece], width: float) -> list[Polygon]:
    """Draw every piece of a stick."""
    by_mark = {piece.mark: piece for piece in pieces}
    return [
        shape_of(by_mark[p.mark], width, turned=p.turned, rolled=p.rolled, at=p.at)
        for p in stick.pieces
    ]


def check_stick(stick: CutStick, pieces: Sequence[CutPiece], sawing: Sawing) -> None:
    """Saw a stick in polygons: nothing overlaps, a kerf everywhere, trim and tail kept."""
    slack = 0.011  # what the planning may overdraw a stick by, twice
    shapes = lay_shapes(stick, pieces, sawing.width)
    for one, two in pairwise(shapes):
        assert one.distance(two) >= sawing.kerf - slack
    assert shapes[0].bounds[0] >= sawing.end_trim - slack
    end = max(shape.bounds[2] for shape in shapes)
    if sawing.holding:
        assert end + sawing.kerf + sawing.holding <= stick.length + slack
    assert end <= stick.length + slack
    assert math.isclose(stick.used + stick.left_over, stick.length)
    assert stick.used >= end - slack
    assert stick.left_over >= sawing.holding - slack
    # What is left is whole: a clean rectangle that no piece and no kerf reaches into.
    rest = box(stick.used, -sawing.width / 2, stick.length, sawing.width / 2)
    if stick.left_over > slack and (sawing.holding or stick.left_over > sawing.kerf):
        assert min(shape.distance(rest) for shape in shapes) >= sawing.kerf - slack


def check_plan_cuts(
    sticks: Iterable[CutStick],
    pieces: Sequence[CutPiece],
    kinds: Sequence[StickKind],
    sawing: Sawing,
) -> None:
    """Check that every piece is cut as often as wanted, on sticks that exist, and can be sawn."""
    counts: dict[str, int] = {}
    used: dict[int, int] = {}
    for stick in sticks:
        check_stick(stick, pieces, sawing)
        for placed in stick.pieces:
            counts[placed.mark] = counts.get(placed.mark, 0) + 1
        if not stick.beyond:
            used[stick.kind] = used.get(stick.kind, 0) + 1
            assert stick.length == kinds[stick.kind].length
    assert counts == {piece.mark: piece.demand for piece in pieces if piece.demand}
    for kind, number in used.items():
        limit = kinds[kind].count
        if kinds[kind].offcut and limit is None:
            limit = 1
        assert limit is None or number <= limit


def read_instance(name: str) -> tuple[list[CutPiece], float]:
    """Read a published instance: pieces without kerf, and the stick."""
    numbers = [int(n) for n in (DATA / "instances" / f"{name}.txt").read_text().split()]
    pairs = zip(numbers[2::2], numbers[3::2], strict=True)
    pieces = [CutPiece(f"P{n}", float(w), d) for n, (w, d) in enumerate(pairs)]
    return pieces, float(numbers[1])


def mitred(
    mark: str, length: float, left: float, right: float, count: int = 1, **free: bool
) -> CutPiece:
    """Make a piece with straight ends from its runs."""
    return CutPiece(mark, length, count, straight_end(left), straight_end(right), **free)


def reach_by_points(end: EndProfile, run: float, points: int = 2001) -> float:
    """Find how far an end sticks out past a line, point by point across the strip."""
    across = [n / (points - 1) - 0.5 for n in range(points)]
    return max(min(o + r * t for o, r in end.facets) - run * t for t in across)
