"""The certificate: a proof checked by arithmetic of its own.

Comes in: a certificate, and the pieces and sticks it speaks of. Goes out: the least cost it proves.
Refuses: a certificate that does not belong to the pieces, or whose ceilings are too low.

Nothing here is shared with the search but the shapes of ends: weights are summed anew, and the
ceilings found again by other tables, one copy and one place after the other.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

import numpy as np

from tesselath.cutting.ends import EndProfile
from tesselath.cutting.gaps import RUNS_ALIKE, finish_cost, joint_gap, start_cost
from tesselath.cutting.stock import Certificate, CutPiece, Sawing, StickKind
from tesselath.errors import Fault, SawError
from tesselath.measure import ALIKE, ON_THE_LINE

__all__ = ["check_certificate"]

#: One way a piece can lie: left end, right end, and whether it can be held when loose.
_Way = tuple[EndProfile, EndProfile, bool]

_NEVER = -(1 << 60)


def check_certificate(
    certificate: Certificate,
    pieces: Sequence[CutPiece],
    *,
    kinds: Sequence[StickKind],
    sawing: Sawing,
) -> int:
    """Prove again what a plan's certificate says.

    Source: weak duality; see ``bound.least_cost``.

    Parameters
    ----------
    kinds : sequence of StickKind
        The sticks there are.
    sawing : Sawing
        Width, kerf, rule, trim and tail.

    Returns
    -------
    int
        The least that any plan costs, in the unit of the certificate.

    Raises
    ------
    SawError
        If the certificate is not about these pieces and sticks, or a stick can hold more than
        it says.
    """
    prices = dict(certificate.prices)
    wanted = [piece for piece in pieces if piece.demand > 0]
    if any(piece.mark not in prices for piece in wanted) or any(p < 0 for p in prices.values()):
        raise _fault("It does not price every piece.")
    stock = [
        (kind.length, 1 if kind.offcut and kind.count is None else kind.count) for kind in kinds
    ]
    stated = list(zip(certificate.lengths, certificate.counts, strict=True))
    if stated[: len(stock)] != stock or len(certificate.ceilings) != len(stated):
        raise _fault("It is not about these sticks.")
    if not wanted:
        return 0
    worths = [prices[piece.mark] for piece in wanted]
    ways = [_ways(piece, sawing) for piece in wanted]
    if certificate.method == "lengths":
        highest = _by_lengths(certificate, wanted, worths, ways, sawing)
    elif certificate.method == "joints":
        highest = _by_joints(certificate, wanted, worths, ways, sawing)
    else:
        highest = _by_parity(certificate, wanted, worths, sawing)
    for kind, (found, stated_ceiling) in enumerate(zip(highest, certificate.ceilings, strict=True)):
        if found > stated_ceiling:
            raise _fault(f"A stick of kind {kind} can be worth {found}, not {stated_ceiling}.")
    worth = sum(piece.demand * price for piece, price in zip(wanted, worths, strict=True))
    return _least(worth, highest, certificate.costs, certificate.counts)


def _fault(rule: str) -> SawError:
    return SawError(Fault("certificate", None, rule))


def _ways(piece: CutPiece, sawing: Sawing) -> list[_Way]:
    held = sawing.rule != "tight" or piece.length >= sawing.shortest_loose - ON_THE_LINE
    sides = [(piece.left, piece.right)]
    if piece.roll:
        sides.append((piece.left.rolled(), piece.right.rolled()))
    if piece.turn:
        sides += [(right, left) for left, right in sides]
    return [(left, right, held) for left, right in sides]


def _gap(before: _Way, after: _Way, sawing: Sawing) -> float:
    return joint_gap(
        before[1],
        after[0],
        width=sawing.width,
        kerf=sawing.kerf,
        rule=sawing.rule,
        may_trim_loose=before[2],
    )


def _start(way: _Way, sawing: Sawing) -> float:
    return start_cost(way[0], width=sawing.width, kerf=sawing.kerf, rule=sawing.rule)


def _finish(way: _Way, sawing: Sawing) -> float:
    return finish_cost(
        way[1],
        width=sawing.width,
        kerf=sawing.kerf,
        rule=sawing.rule,
        holding=sawing.holding,
        may_trim_loose=way[2],
    )


class _Ends:
    """What each way to lie needs to its left and right, whatever lies there."""

    def __init__(self, ways: Sequence[Sequence[_Way]], sawing: Sawing) -> None:
        self.all = sorted({way for each in ways for way in each}, key=repr)
        self.number = {way: n for n, way in enumerate(self.all)}
        self.gaps = np.array([[_gap(a, b, sawing) for b in self.all] for a in self.all])
        self.before = self.gaps.min(axis=0) / 2
        self.after = self.gaps.min(axis=1) / 2
        starts = np.array([_start(way, sawing) for way in self.all]) - self.before
        finishes = np.array([_finish(way, sawing) for way in self.all]) - self.after
        self.given = float(starts.min() + finishes.min())
        self.starts = starts - starts.min()
        self.finishes = finishes - finishes.min()

    def weight(self, piece: CutPiece, way: _Way) -> float:
        number = self.number[way]
        return float(piece.length + self.before[number] + self.after[number])


def _down(length: float, unit: float) -> int:
    return math.floor((length + ON_THE_LINE) / unit)


def _rooms(certificate: Certificate, ends: _Ends, sawing: Sawing) -> list[int]:
    return [
        max(0, math.floor((length - sawing.end_trim - ends.given + 2 * ALIKE) / certificate.unit))
        for length in certificate.lengths
    ]


def _by_lengths(
    certificate: Certificate,
    wanted: Sequence[CutPiece],
    worths: Sequence[int],
    ways: Sequence[Sequence[_Way]],
    sawing: Sawing,
) -> list[int]:
    """Find the best filling by weights, adding one copy of a piece after the other."""
    ends = _Ends(ways, sawing)
    rooms = _rooms(certificate, ends, sawing)
    best = np.zeros(max(rooms) + 1, np.int64)
    extra = 0
    for piece, worth, mine in zip(wanted, worths, ways, strict=True):
        weight = min(_down(ends.weight(piece, way), certificate.unit) for way in mine)
        if weight <= 0:
            extra += worth * piece.demand
            continue
        for _ in range(min(piece.demand, max(rooms) // weight)):
            moved = best[:-weight] + worth
            improved = np.concatenate([best[:weight], np.maximum(best[weight:], moved)])
            if np.array_equal(improved, best):
                break
            best = improved
    return [int(best[room]) + extra for room in rooms]


def _by_joints(
    certificate: Certificate,
    wanted: Sequence[CutPiece],
    worths: Sequence[int],
    ways: Sequence[Sequence[_Way]],
    sawing: Sawing,
) -> list[int]:
    """Find the best sequence, pushing from every place on the stick to those that follow."""
    ends = _Ends(ways, sawing)
    rooms = _rooms(certificate, ends, sawing)
    unit = certificate.unit
    spare = ends.gaps - ends.after[:, None] - ends.before[None, :]
    joints = np.array([[_down(value, unit) for value in row] for row in spare])
    starts = np.array([_down(value, unit) for value in ends.starts])
    finishes = [_down(value, unit) for value in ends.finishes]
    steps: dict[tuple[int, int], int] = {}
    for piece, worth, mine in zip(wanted, worths, ways, strict=True):
        for way in mine:
            key = (ends.number[way], max(1, _down(ends.weight(piece, way), unit)))
            steps[key] = max(steps.get(key, 0), worth)
    number = np.array([key[0] for key in steps])
    weight = np.array([key[1] for key in steps])
    worth_of = np.array(list(steps.values()), np.int64)
    room = max(rooms)
    back = int(joints.max(initial=0))
    held = np.full((len(ends.all), back + room + 1 + int(weight.max())), _NEVER, np.int64)
    rows = np.arange(len(ends.all))[:, None]
    for at in range(room + 1):
        here = back + at
        held[:, here] = np.maximum(held[:, here], held[:, here - 1] if here else _NEVER)
        ready = held[rows, here - joints].max(axis=0)
        ready = np.where(starts <= at, np.maximum(ready, 0), ready)
        np.maximum.at(held, (number, here + weight), ready[number] + worth_of)
    return [
        max(
            0,
            *(
                int(held[row, back + reach - finish])
                for row, finish in enumerate(finishes)
                if (reach := limit) >= finish
            ),
        )
        for limit in rooms
    ]


def _by_parity(
    certificate: Certificate, wanted: Sequence[CutPiece], worths: Sequence[int], sawing: Sawing
) -> list[int]:
    """Find the best filling when every interval of runs crossed oddly costs its width once."""
    roll = any(piece.roll for piece in wanted)
    unit, kerf = certificate.unit, sawing.kerf
    weights, spans = [], []
    for piece in wanted:
        if not (piece.turn and piece.left.is_straight and piece.right.is_straight):
            raise _fault("It counts crossings of ends that are pointed or may not be turned.")
        runs = [abs(end.runs[0]) if roll else end.runs[0] for end in (piece.left, piece.right)]
        kerfs = [kerf * math.sqrt(1 + (run / sawing.width) ** 2) for run in runs]
        places = [
            run - (along - kerf) * (1 if run > 0 else -1)
            for run, along in zip(runs, kerfs, strict=True)
        ]
        weights.append(max(1, _down(piece.length + sum(kerfs) / 2, unit)))
        spans.append((min(places), max(places)))
    line = sorted({0.0, *(place for span in spans for place in span)})
    gaps = sorted(
        ((b - a, -a, -b) for a, b in pairwise(line) if b - a >= RUNS_ALIKE), reverse=True
    )[:3]
    widths = [width for width, _, _ in gaps]
    crossed = [
        sum(1 << bit for bit, (_, a, b) in enumerate(gaps) if low <= -a and -b <= high)
        for low, high in spans
    ]
    reach = [
        [
            math.floor(
                (
                    length
                    - sawing.end_trim
                    + (kerf if sawing.holding <= 0 else -sawing.holding)
                    - sum(width for bit, width in enumerate(widths) if state & 1 << bit) / 2
                    + 2 * ALIKE
                )
                / unit
            )
            for state in range(1 << len(widths))
        ]
        for length in certificate.lengths
    ]
    room = max(0, *(max(rooms) for rooms in reach))
    best = [
        np.full(room + 1, 0 if state == 0 else _NEVER, np.int64) for state in range(len(reach[0]))
    ]
    for piece, worth, weight, mask in zip(wanted, worths, weights, crossed, strict=True):
        for _ in range(min(piece.demand, room // weight)):
            best = [
                np.concatenate(
                    [mine[:weight], np.maximum(mine[weight:], best[state ^ mask][:-weight] + worth)]
                )
                for state, mine in enumerate(best)
            ]
    return [
        max(0, *(int(best[state][at]) for state, at in enumerate(rooms) if at >= 0), 0)
        for rooms in reach
    ]


def _least(
    worth: int, ceilings: Sequence[int], costs: Sequence[int], counts: Sequence[int | None]
) -> int:
    """Say what sticks that hold so much must cost, trying every scale of worth to cost."""
    step = math.gcd(*costs)
    if worth <= 0 or step == 0:
        return 0
    kinds = list(zip(ceilings, costs, counts, strict=True))
    best = Fraction(0)
    for top, paid, _ in kinds:
        if top <= 0 or paid <= 0:
            continue
        scale = Fraction(top, paid)
        if any(c > cost * scale for c, cost, count in kinds if count is None):
            continue
        given = sum(max(Fraction(0), c - cost * scale) * n for c, cost, n in kinds if n is not None)
        best = max(best, (worth - given) / scale)
    return -(-best.numerator // (best.denominator * step)) * step
