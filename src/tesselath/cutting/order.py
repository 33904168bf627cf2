"""Order: which piece follows which on one stick, and which way round each lies.

Comes in: the joint tables, and how many of each piece one stick holds. Goes out: a sequence of
pieces as they lie, and what its joints cost.

The cost of joints depends on the ends alone, so pieces that differ only in length count as one
kind of pair of ends. The least cost is found over all sequences where those are few; else pairs
of like pieces are set aside and put back between matching cuts, or the pieces are laid best
match first. The costs given are always those of a sequence that exists.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from tesselath.cutting.joints import Joints, Lie
from tesselath.measure import ON_THE_LINE

__all__ = ["Laid", "Orders", "joint_cost", "lay_in_order"]

Laid = tuple[tuple[int, Lie], ...]

#: Sequences are searched completely up to this many states.
_FEW = 1500
_SHALLOW = 400


def joint_cost(joints: Joints, laid: Laid) -> float:
    """Add up start, gaps and finish of a sequence."""
    cost = float(joints.starts[laid[0][1].left] + joints.finishes[laid[-1][1].right])
    for (_, before), (_, after) in itertools.pairwise(laid):
        cost += float(joints.gaps[before.right, after.left])
    return cost


def lay_in_order(joints: Joints, order: Sequence[int]) -> Laid:
    """Choose how each piece lies when the order is given, so that the joints cost least."""
    costs = [float(joints.starts[lie.left]) for lie in joints.lies[order[0]]]
    back: list[list[int]] = []
    for before, after in itertools.pairwise(order):
        earlier = joints.lies[before]
        step = []
        reached = []
        for lie in joints.lies[after]:
            via = [
                cost + float(joints.gaps[e.right, lie.left])
                for cost, e in zip(costs, earlier, strict=True)
            ]
            best = min(range(len(via)), key=via.__getitem__)
            step.append(best)
            reached.append(via[best])
        back.append(step)
        costs = reached
    ends = [
        cost + float(joints.finishes[lie.right])
        for cost, lie in zip(costs, joints.lies[order[-1]], strict=True)
    ]
    at = min(range(len(ends)), key=ends.__getitem__)
    chosen = [at]
    for step in reversed(back):
        at = step[at]
        chosen.append(at)
    chosen.reverse()
    return tuple((piece, joints.lies[piece][way]) for piece, way in zip(order, chosen, strict=True))


class Orders:
    """Remembers the best sequences found for one set of joint tables."""

    __slots__ = ("_costs", "_exact", "_pairs", "_table", "joints", "kind_of")

    def __init__(self, joints: Joints) -> None:
        self.joints = joints
        pairs: dict[tuple[tuple[int, int], ...], int] = {}
        #: For each piece, which pair of ends it has.
        self.kind_of = tuple(
            pairs.setdefault(tuple(sorted((lie.left, lie.right) for lie in lies)), len(pairs))
            for lies in joints.lies
        )
        self._pairs = tuple(pairs)
        self._table = np.vstack([joints.gaps, joints.starts[None, :]])
        self._exact: dict[tuple[int, ...], NDArray[np.float64]] = {}
        self._costs: dict[tuple[int, ...], tuple[float, tuple[tuple[int, int, int], ...]]] = {}

    def least(self, counts: Sequence[int]) -> float:
        """Give the joint cost of the best sequence known for these many of each piece [mm]."""
        return self._solve(self._kinds(counts))[0]

    def sequence(self, counts: Sequence[int]) -> Laid:
        """Lay these many of each piece in the best sequence known, long ones of a kind first."""
        _, route = self._solve(self._kinds(counts))
        waiting: list[list[int]] = [[] for _ in self._pairs]
        by_length = sorted(range(len(counts)), key=lambda i: (self.joints.pieces[i].length, -i))
        for i in by_length:
            waiting[self.kind_of[i]] += [i] * int(counts[i])
        laid = []
        for kind, left, right in route:
            piece = waiting[kind].pop()
            lie = next(
                lie for lie in self.joints.lies[piece] if (lie.left, lie.right) == (left, right)
            )
            laid.append((piece, lie))
        return tuple(laid)

    def is_searched(self, counts: Sequence[int]) -> bool:
        """Say whether the best sequence known for these is the best there is."""
        return _is_few(self._kinds(counts))

    def _kinds(self, counts: Sequence[int]) -> tuple[int, ...]:
        kinds = [0] * len(self._pairs)
        for piece, count in enumerate(counts):
            kinds[self.kind_of[piece]] += int(count)
        return tuple(kinds)

    def _solve(self, kinds: tuple[int, ...]) -> tuple[float, tuple[tuple[int, int, int], ...]]:
        if kinds not in self._costs:
            # Like pieces beyond three go in pairs: out and back between matching cuts.
            fewer = tuple(min(count, 2 + count % 2) for count in kinds)
            if _is_few(kinds):
                route = self._search(kinds)
            elif _states(fewer) <= _FEW:
                route = self._pair_up(self._search(fewer), kinds, fewer)
            else:
                route = self._match(kinds)
            self._costs[kinds] = (self._route_cost(route), route)
        return self._costs[kinds]

    def _route_cost(self, route: tuple[tuple[int, int, int], ...]) -> float:
        if not route:
            return 0.0
        cost = float(self.joints.starts[route[0][1]] + self.joints.finishes[route[-1][2]])
        for (_, _, right), (_, left, _) in itertools.pairwise(route):
            cost += float(self.joints.gaps[right, left])
        return cost

    def _search(self, kinds: tuple[int, ...]) -> tuple[tuple[int, int, int], ...]:
        """Find the best of all sequences, from the finish backwards."""
        self._value(kinds)
        route = []
        row = len(self._table) - 1  # the start of the stick
        while any(kinds):
            best = None
            for kind, count in enumerate(kinds):
                if not count:
                    continue
                rest = (*kinds[:kind], count - 1, *kinds[kind + 1 :])
                value = self._exact[rest]
                for left, right in self._pairs[kind]:
                    cost = float(self._table[row, left] + value[right])
                    if best is None or cost < best[0]:
                        best = (cost, kind, left, right, rest)
            assert best is not None
            route.append(best[1:4])
            kinds, row = best[4], best[3]
        return tuple(route)

    def _value(self, kinds: tuple[int, ...]) -> NDArray[np.float64]:
        """Give the least cost of all that follows, for every right end before it."""
        known = self._exact.get(kinds)
        if known is not None:
            return known
        if not any(kinds):
            value = np.append(self.joints.finishes, 0.0)
        else:
            after = np.full(self._table.shape[1], np.inf)
            for kind, count in enumerate(kinds):
                if count:
                    rest = self._value((*kinds[:kind], count - 1, *kinds[kind + 1 :]))
                    for left, right in self._pairs[kind]:
                        after[left] = min(after[left], rest[right])
            value = (self._table + after[None, :]).min(axis=1)
        self._exact[kinds] = value
        return value

    def _pair_up(
        self,
        route: tuple[tuple[int, int, int], ...],
        kinds: tuple[int, ...],
        fewer: tuple[int, ...],
    ) -> tuple[tuple[int, int, int], ...]:
        """Put pieces that were set aside in pairs back where a pair costs least."""
        gaps = self._table
        for kind, (want, have) in enumerate(zip(kinds, fewer, strict=True)):
            if want == have:
                continue
            best: tuple[float, int, tuple[int, int], tuple[int, int]] | None = None
            for place in range(len(route) + 1):
                row = route[place - 1][2] if place else len(gaps) - 1
                after = route[place][1] if place < len(route) else None
                for one in self._pairs[kind]:
                    for two in self._pairs[kind]:
                        cost = gaps[row, one[0]] + gaps[one[1], two[0]]
                        again = gaps[two[1], one[0]] + gaps[one[1], two[0]]
                        if after is None:
                            cost += self.joints.finishes[two[1]]
                            cost -= self.joints.finishes[row] if place else 0.0
                        else:
                            cost += gaps[two[1], after] - gaps[row, after]
                        cost += again * ((want - have) // 2 - 1)
                        if best is None or cost < best[0] - ON_THE_LINE:
                            best = (float(cost), place, one, two)
            assert best is not None
            _, place, one, two = best
            pair = ((kind, *one), (kind, *two)) * ((want - have) // 2)
            route = route[:place] + pair + route[place:]
        return route

    def _match(self, kinds: tuple[int, ...]) -> tuple[tuple[int, int, int], ...]:
        """Lay the piece whose left end matches best, from every possible beginning."""
        best: tuple[float, tuple[tuple[int, int, int], ...]] | None = None
        for first, count in enumerate(kinds):
            for way in self._pairs[first] if count else ():
                route = self._match_from(kinds, (first, *way))
                cost = self._route_cost(route)
                if best is None or cost < best[0] - ON_THE_LINE:
                    best = (cost, route)
        assert best is not None
        return best[1]

    def _match_from(
        self, kinds: tuple[int, ...], first: tuple[int, int, int]
    ) -> tuple[tuple[int, int, int], ...]:
        left_to_lay = list(kinds)
        left_to_lay[first[0]] -= 1
        route = [first]
        while any(left_to_lay):
            row = route[-1][2]
            ways = [
                (float(self.joints.gaps[row, left]), -count, kind, left, right)
                for kind, count in enumerate(left_to_lay)
                if count
                for left, right in self._pairs[kind]
            ]
            _, _, kind, left, right = min(ways)
            left_to_lay[kind] -= 1
            route.append((kind, left, right))
        return tuple(route)


def _is_few(kinds: tuple[int, ...]) -> bool:
    return _states(kinds) <= _FEW and sum(kinds) <= _SHALLOW


def _states(kinds: tuple[int, ...]) -> int:
    states = 1
    for count in kinds:
        states *= count + 1
    return states
