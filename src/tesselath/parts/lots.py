"""Mixed lots: one tone shared by several woods.

Comes in: numbered pieces and the lots of the design. Goes out: the same pieces, each with its wood,
and how many pairs alike lie side by side.

The shares are kept to the piece, for that is the wood the maker has; within them the woods are
dealt out so that no two alike lie side by side where that can be.
"""

from __future__ import annotations

import heapq
import random
from collections.abc import Mapping, Sequence
from dataclasses import replace

import networkx as nx
import shapely

from tesselath.design import MixedLot
from tesselath.field import Loose, Piece
from tesselath.measure import ALIKE
from tesselath.shape import as_polygons

__all__ = ["deal_woods", "find_neighbours"]

#: How often a pair of pieces is looked at again, for each piece of the lot [count].
_LOOKS = 40

#: How many deals are tried until no two alike lie side by side [count].
_DEALS = 12
_MOST_DEALT = 4_000


def deal_woods(
    pieces: Sequence[Loose], lots: Mapping[str, MixedLot], *, gap: float
) -> tuple[tuple[Loose, ...], int]:
    """Give every piece of a mixed lot its wood.

    Source: own derivation; the order of dealing is that of Brelaz, 1979 (from memory): the piece
    with the most different woods round it comes next.

    Parameters
    ----------
    lots : mapping of str to MixedLot
        The lot of each tone that is one.
    gap : float
        The designed space between pieces [mm].

    Returns
    -------
    tuple of pieces and int
        The pieces with their woods, and how many pairs alike lie side by side [count].
    """
    chosen: dict[int, str] = {}
    alike = 0
    for tone in sorted(lots):
        mine = [piece for piece in pieces if piece.tone == tone]
        graph = find_neighbours(mine, gap=gap)
        woods = _deal(graph, lots[tone])
        chosen |= woods
        alike += sum(woods[a] == woods[b] for a, b in graph.edges)
    return (
        tuple(replace(p, wood=chosen[p.number]) if p.number in chosen else p for p in pieces),
        alike,
    )


def find_neighbours(pieces: Sequence[Loose | Piece], *, gap: float) -> nx.Graph:
    """Find which pieces lie side by side, along an edge and not only at a corner.

    Parameters
    ----------
    gap : float
        The designed space between pieces [mm].

    Returns
    -------
    networkx.Graph
        Piece numbers, with an edge between each two that lie side by side.
    """
    graph = nx.Graph()
    graph.add_nodes_from(piece.number for piece in pieces)
    if not pieces:
        return graph
    reach = gap / 2 + 10 * ALIKE
    grown = shapely.buffer(
        as_polygons([p.outline for p in pieces]),
        reach,
        join_style="mitre",
    )
    first, second = shapely.STRtree(grown).query(grown, predicate="intersects")
    pairs = sorted((int(a), int(b)) for a, b in zip(first, second, strict=True) if a < b)
    shared = shapely.intersection([grown[a] for a, _ in pairs], [grown[b] for _, b in pairs])
    # What two share at a corner is no longer than the reach is wide.
    for (a, b), overlap in zip(pairs, shared, strict=True):
        x0, y0, x1, y1 = overlap.bounds
        if max(x1 - x0, y1 - y0) > 6 * reach:
            graph.add_edge(pieces[a].number, pieces[b].number)
    return graph


def _deal(graph: nx.Graph, lot: MixedLot) -> dict[int, str]:
    """Deal the woods of one lot over its pieces; the best of a few deals."""
    best: dict[int, int] = {}
    fewest = len(graph.edges) + 1
    # A large lot is dealt less often, so that a big top still plans at once.
    for deal in range(max(1, min(_DEALS, _MOST_DEALT // max(1, len(graph))))):
        chance = random.Random(lot.seed * 1_000_003 + deal)
        dealt = _deal_once(graph, lot, chance)
        _mend(graph, dealt, sorted(graph.nodes), chance)
        clashes = sum(dealt[a] == dealt[b] for a, b in graph.edges)
        if clashes < fewest:
            best, fewest = dealt, clashes
        if not fewest:
            break
    return {number: lot.woods[wood] for number, wood in best.items()}


def _deal_once(graph: nx.Graph, lot: MixedLot, chance: random.Random) -> dict[int, int]:
    """Deal piece by piece, the one with the most different woods round it next."""
    numbers = sorted(graph.nodes)
    left = _counts(len(numbers), lot.shares)
    order = list(numbers)
    chance.shuffle(order)
    rank = {number: n for n, number in enumerate(order)}
    dealt: dict[int, int] = {}
    round_it: dict[int, set[int]] = {number: set() for number in numbers}
    waiting = [(0, -graph.degree[n], rank[n], n) for n in numbers]
    heapq.heapify(waiting)
    while waiting:
        number = heapq.heappop(waiting)[-1]
        if number in dealt:
            continue  # an older entry of a piece whose surroundings have changed
        near = [dealt[other] for other in graph.neighbors(number) if other in dealt]
        choices = [k for k in range(len(left)) if left[k]]
        wood = min(choices, key=lambda k: (near.count(k), -left[k], k))
        dealt[number] = wood
        left[wood] -= 1
        for other in graph.neighbors(number):
            round_it[other].add(wood)
            if other not in dealt:
                entry = (-len(round_it[other]), -graph.degree[other], rank[other], other)
                heapq.heappush(waiting, entry)
    return dealt


def _counts(total: int, shares: Sequence[float]) -> list[int]:
    """How many pieces each wood gets: whole numbers nearest to the shares, with the right sum."""
    exact = [total * share for share in shares]
    counts = [int(value) for value in exact]
    by_rest = sorted(range(len(exact)), key=lambda k: (counts[k] - exact[k], k))
    for k in by_rest[: total - sum(counts)]:
        counts[k] += 1
    return counts


def _mend(
    graph: nx.Graph, dealt: dict[int, int], numbers: Sequence[int], chance: random.Random
) -> None:
    """Exchange woods between pieces while pairs alike lie side by side.

    An exchange that makes nothing worse is made too, so that a pair may wander until it meets
    a place where it dissolves.
    """

    def clashes(number: int, wood: int, but: int) -> int:
        return sum(dealt[o] == wood for o in graph.neighbors(number) if o != but)

    for _ in range(_LOOKS):
        trouble = [n for n in numbers if clashes(n, dealt[n], -1)]
        if not trouble:
            return
        for number in trouble:
            mine = dealt[number]
            now = clashes(number, mine, -1)
            if not now:
                continue
            best: tuple[int, int] | None = None
            for other in chance.sample(list(numbers), min(len(numbers), 60)):
                theirs = dealt[other]
                if mine == theirs:
                    continue
                before = now + clashes(other, theirs, number)
                after = clashes(number, theirs, other) + clashes(other, mine, number)
                if best is None or after - before < best[0]:
                    best = (after - before, other)
            if best is not None and best[0] <= 0:
                other = best[1]
                dealt[number], dealt[other] = dealt[other], dealt[number]
