"""Shelling: laying pieces side by side without ever closing a hole.

Comes in: which pieces lie side by side, and which of them reach the rim. Goes out: a front that
says whether a piece may be laid next, and takes it.

A piece may go on when it touches what is laid, and when every piece still to come can then be
pushed in from the side, from outside the top and past pieces that are not laid either::

     +---+---+---+         5 would shut 6 in: 5 waits until 6 is laid
     | 1 | 2 | 3 |
     +---+---+---+
     | 5 : 6 | 4 |         A last piece between four others never slides in; glue holds it up
     +...+---+---+         and the joints round it stay open.
     | 9 | 8 | 7 |
     +---+---+---+

Where the pieces and the outside hang together so firmly that no one piece parts them, there is
always one that may go on: the last block of those to come that is cut off from the outside by
one piece touches what is laid elsewhere, and no piece of it parts what is left.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Sequence

import networkx as nx
import shapely

from tesselath.field import Loose, Piece
from tesselath.measure import ALIKE
from tesselath.parts import find_neighbours
from tesselath.shape import as_polygons

__all__ = ["OUTSIDE", "Front", "find_contacts"]

#: The node of the graph that stands for all that is not wood.
OUTSIDE = 0


def find_contacts(pieces: Sequence[Piece | Loose], *, gap: float) -> nx.Graph:
    """Find which pieces lie side by side, and which reach the rim or a bare place."""
    graph = find_neighbours(pieces, gap=gap)
    graph.add_node(OUTSIDE)
    reach = gap / 2 + 10 * ALIKE
    outlines = as_polygons([p.outline for p in pieces])
    rim = shapely.boundary(shapely.union_all(shapely.buffer(outlines, reach, join_style="mitre")))
    along = shapely.length(
        shapely.intersection(shapely.boundary(outlines), shapely.buffer(rim, 1.5 * reach))
    )
    for piece, length in zip(pieces, along, strict=True):
        # What comes near the rim at a corner only is no longer than a few times the reach.
        if length > 8 * reach:
            graph.add_edge(piece.number, OUTSIDE)
    return graph


class Front:
    """What is laid, and what may be laid next."""

    def __init__(self, graph: nx.Graph) -> None:
        self._beside = {n: tuple(sorted(graph.neighbors(n))) for n in graph.nodes}
        self.laid: set[int] = set()

    def touches(self, number: int) -> bool:
        """Whether a piece lies against what is laid."""
        return any(other in self.laid for other in self._beside[number])

    def beside(self, number: int) -> tuple[int, ...]:
        """The pieces that lie against a piece, without the outside."""
        return tuple(other for other in self._beside[number] if other != OUTSIDE)

    def lay(self, number: int) -> None:
        """Take a piece as laid."""
        self.laid.add(number)

    def lift(self, numbers: Iterable[int]) -> None:
        """Take pieces up again."""
        self.laid.difference_update(numbers)

    def shuts_in(self, number: int) -> bool:
        """Whether laying a piece cuts any piece still to come off from the outside.

        The search starts at once from all pieces still to come beside it, and ends as soon as
        they have met; so a piece in the open costs a few steps.
        """
        starts = [n for n in self._beside[number] if n not in self.laid]
        if len(starts) < 2 or starts == [OUTSIDE]:
            return False  # what lies beyond reached the outside without this piece
        return not self._meet(starts, number)

    def _meet(self, starts: list[int], closed: int) -> bool:
        """Whether all starts are joined through pieces still to come, past a closed one."""
        group = {n: n for n in starts}

        def head(n: int) -> int:
            while group[n] != n:
                group[n] = group[group[n]]
                n = group[n]
            return n

        apart = len(starts)
        owner = {n: n for n in starts}
        waiting = deque(n for n in starts if n != OUTSIDE)
        while waiting and apart > 1:
            here = waiting.popleft()
            mine = head(owner[here])
            for other in self._beside[here]:
                if other == closed or other in self.laid:
                    continue
                if other not in owner:
                    owner[other] = mine
                    if other == OUTSIDE:
                        continue
                    waiting.append(other)
                elif head(owner[other]) != mine:
                    group[head(owner[other])] = mine
                    apart -= 1
                    mine = head(mine)
        return apart == 1
