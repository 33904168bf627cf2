"""The order of gluing: which piece goes down after which, and where one glue-up ends.

Comes in: the pieces, their zones, how many are laid within one open time. Goes out: the piece
numbers, glue-up by glue-up.

The field grows from its centre lines outward, the rows on both sides of the first one by turns, so
that one side is laid while the other dries::

        glue-up 4   | row  2 |         a row runs from the centre line to the right, then from
        glue-up 2   | row  1 |         the centre line to the left
     ---glue-up 1---| row  0 |------
        glue-up 3   | row -1 |         a glue-up ends with a whole row where that leaves no more
        glue-up 5   | row -2 |         than a third of the open time unused

A border goes on after what it surrounds, for laid first it would shut the field in; among its
sides a piece that butts against another goes on after that one, and mitred sides follow each other
round, so that every joint is closed against one that lies already.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import atan2, ceil, degrees

import numpy as np
from numpy.typing import NDArray

from tesselath.field import Piece
from tesselath.glue.shelling import Front, find_contacts
from tesselath.measure import ALIKE, ON_THE_LINE, cosine, sine
from tesselath.shape import Outline, edge_lines

__all__ = ["GluingOrder", "GluingZone", "Line", "order_gluing"]

#: A glue-up ends early with a whole row when it holds at least this share of what it could.
_FULL_ENOUGH = 2 / 3

#: The stages of gluing: inside, edge, borders.
_EDGE, _BORDERS = 1, 2

#: More rows than any zone has [count].
_FAR = 10**7


@dataclass(frozen=True, slots=True)
class GluingZone:
    """A zone as it is glued; ``outline`` (n, 2) is its outer edge [mm].

    A ``ringed`` zone is glued ring by ring, a ``sided`` one (a border) after what it surrounds;
    one ``let_in`` (a medallion) as soon as it is reached. ``mirror`` tells how a field is
    mirrored.
    """

    name: str
    outline: Outline
    ringed: bool = False
    sided: bool = False
    let_in: bool = False
    mirror: str = "none"


@dataclass(frozen=True, slots=True)
class Line:
    """Pieces of one row that are glued one after another, in that order.

    ``stage`` is 0 for the inside of the field and its medallions, 1 for what is cut to the
    opening once that is glued, and 2 for borders; lines of one ``sector`` lie on the same side
    of the centre; ``rank`` counts rows outward. ``ringed`` lines run round, the others along
    ``way`` (x, y), of unit length.
    """

    zone: str
    row: int
    stage: int
    sector: tuple[int, ...]
    rank: int
    numbers: tuple[int, ...]
    ringed: bool
    way: tuple[float, float]


@dataclass(frozen=True, slots=True)
class GluingOrder:
    """The numbers of each glue-up as they are laid, and the lines they are laid in."""

    glue_ups: tuple[tuple[int, ...], ...]
    lines: tuple[Line, ...]


def order_gluing(
    pieces: Sequence[Piece],
    *,
    zones: Sequence[GluingZone],
    goes: Mapping[int, int],
    gap: float,
    size: int,
) -> GluingOrder:
    """Order the pieces of a top for gluing.

    Source: common practice, from the centre lines outward.
    """
    lines = _lines(pieces, zones, goes, gap, size)
    front = Front(find_contacts(pieces, gap=gap))
    return GluingOrder(_Bench(pieces, lines, front, size).glue_ups(), tuple(lines))


class _Bench:
    """The top as it grows."""

    def __init__(
        self, pieces: Sequence[Piece], lines: Sequence[Line], front: Front, size: int
    ) -> None:
        self.front, self.lines, self.size = front, lines, size
        self.line = {n: k for k, line in enumerate(lines) for n in line.numbers}
        self.key = {
            n: (line.stage, line.rank, line.sector, k, place)
            for k, line in enumerate(lines)
            for place, n in enumerate(line.numbers)
        }
        self.left = [len(line.numbers) for line in lines]
        self.open: set[int] = set()  # not laid, and lying against what is laid
        self.middle = {
            p.number: round(float(np.hypot(*np.asarray(p.outline).mean(axis=0))), 3) for p in pieces
        }

    def glue_ups(self) -> tuple[tuple[int, ...], ...]:
        done: list[tuple[int, ...]] = []
        unfinished: int | None = None  # the line that the last glue-up has begun
        while len(self.front.laid) < len(self.line):
            done.append(self._batch(self._first(unfinished)))
            last = self.line[done[-1][-1]]
            unfinished = last if self.left[last] else None
        return tuple(done)

    def _first(self, unfinished: int | None) -> int:
        """Choose where a glue-up begins: on in a row that is not finished, else innermost."""
        best = None
        if unfinished is not None:
            best = self._best(self.lines[unfinished].sector)
        if best is None:
            best = self._best(None)
        if best is not None:
            return best
        # Nothing is laid yet, or what is left touches nothing laid: begin in the middle row of
        # the zone that lies nearest to the centre.
        waiting = [n for n in self.line if n not in self.front.laid]
        nearest = min(waiting, key=lambda n: (self.key[n][0], self.middle[n], n))
        zone = self.lines[self.line[nearest]].zone
        mine = [n for n in waiting if self.lines[self.line[n]].zone == zone]
        return min(mine, key=lambda n: (self.key[n][:2], self.middle[n], self.key[n]))

    def _batch(self, first: int) -> tuple[int, ...]:
        """Lay what goes down within one open time, from its first piece on."""
        line = self.lines[self.line[first]]
        left, most = self.left[self.line[first]], self.size
        if left > self.size:
            most = ceil(left / ceil(left / self.size))  # a long row in even parts
        sector = line.sector
        picks: list[int] = []
        whole = 0  # how many pieces end with a whole row
        after: int | None = first
        while after is not None:
            picks.append(after)
            self._lay(after)
            if self.left[self.line[after]] == 0 and len(picks) >= _FULL_ENOUGH * most:
                whole = len(picks)
            if len(picks) == most:
                break
            after = self._best(sector)
            if after is None and 2 * len(picks) < most:
                # A side that is done leaves time for more.
                after = self._best(None)
                if after is not None and self.lines[self.line[after]].stage != line.stage:
                    after = None
                sector = sector if after is None else self.lines[self.line[after]].sector
        if len(picks) == most and 0 < whole < most:
            for number in reversed(picks[whole:]):
                self._lift(number)
            del picks[whole:]
        return tuple(picks)

    def _best(self, sector: tuple[int, ...] | None) -> int | None:
        """The piece that goes on next; None when none of the sector can."""
        choices = {
            n for n in self.open if sector is None or self.lines[self.line[n]].sector == sector
        }
        while choices:
            number = min(choices, key=self.key.__getitem__)
            if not self.front.shuts_in(number):
                return number
            choices.discard(number)
        if sector is None and self.open:
            # A piece in the dent of another goes in from above.
            return min(self.open, key=self.key.__getitem__)
        return None

    def _lay(self, number: int) -> None:
        self.front.lay(number)
        self.left[self.line[number]] -= 1
        self.open.discard(number)
        self.open.update(n for n in self.front.beside(number) if n not in self.front.laid)

    def _lift(self, number: int) -> None:
        self.front.lift([number])
        self.left[self.line[number]] += 1
        for other in (number, *self.front.beside(number)):
            if other in self.front.laid:
                continue
            if self.front.touches(other):
                self.open.add(other)
            else:
                self.open.discard(other)


def _lines(
    pieces: Sequence[Piece],
    zones: Sequence[GluingZone],
    goes: Mapping[int, int],
    gap: float,
    size: int,
) -> list[Line]:
    """Sort the pieces into lines, each in the order in which it is glued."""
    lines: list[Line] = []
    for z, zone in enumerate(zones):
        middle = (zone.outline.max(axis=0) + zone.outline.min(axis=0)) / 2
        groups: dict[tuple[tuple[int, ...], int], list[Piece]] = {}
        for piece in pieces:
            if piece.zone == zone.name:
                go = 0 if zone.sided else goes[piece.number]
                stage = _BORDERS if zone.sided else min(go, _EDGE)
                # Along an edge a side is one line, however the pattern runs.
                sector = (stage, go, z, *_sector(zone, piece, middle, at_edge=stage > 0))
                row = 0 if stage > 0 and not zone.ringed else piece.row
                groups.setdefault((sector, row), []).append(piece)
        for (sector, row), group in groups.items():
            stage, go = sector[:2]
            centres = np.array([np.asarray(p.outline).mean(axis=0) for p in group]) - middle
            way = _way(group[0], centres)
            parts = (
                [_in_turn(group, middle, gap)]
                if zone.ringed
                else _outward(group, np.round(centres @ way, 3), size)
            )
            rank = abs(row) + _FAR * (z if zone.sided else go - zone.let_in)
            lines += [
                Line(
                    zone.name,
                    row,
                    stage,
                    sector,
                    rank,
                    tuple(p.number for p in part),
                    zone.ringed,
                    (float(way[0]), float(way[1])),
                )
                for part in parts
                if part
            ]
    return lines


def _sector(
    zone: GluingZone, piece: Piece, middle: NDArray[np.float64], *, at_edge: bool
) -> tuple[int, ...]:
    """Tell on which side of the centre a piece is glued."""
    x, y = (float(v) for v in np.asarray(piece.outline).mean(axis=0) - middle)
    if zone.ringed:
        return (0,)
    if at_edge:
        near = [
            c - nx * (x + middle[0]) - ny * (y + middle[1])
            for nx, ny, c in edge_lines(zone.outline)
        ]
        return (int(np.argmin(np.round(near, 3))),)
    left = zone.mirror in ("left-right", "four ways", "quarters turned") and x < -ALIKE
    front = zone.mirror in ("front-back", "four ways", "quarters turned") and y < -ALIKE
    return int(left), int(front), int(piece.row < 0)


def _outward(row: Sequence[Piece], along: NDArray[np.float64], size: int) -> list[list[Piece]]:
    """Order a row from the centre line to the right, then from the centre line to the left."""
    placed = [(float(s), p.number, p) for s, p in zip(along, row, strict=True)]
    right = [p for s, _, p in sorted(placed, key=lambda t: t[:2]) if s >= 0]
    left = [p for s, _, p in sorted(placed, key=lambda t: (-t[0], t[1])) if s < 0]
    return [right + left] if len(row) <= size else [right, left]


def _way(piece: Piece, centres: NDArray[np.float64]) -> NDArray[np.float64]:
    """The way a row runs: along its middles, to the right or away from the maker."""
    spread = centres - centres.mean(axis=0)
    if float(np.abs(spread).max()) <= ALIKE:
        way = np.array([cosine(piece.grain), sine(piece.grain)])
    else:
        way = np.linalg.eigh(spread.T @ spread)[1][:, 1]
    backward = way[0] < -ON_THE_LINE or (abs(way[0]) <= ON_THE_LINE and way[1] < 0)
    return -way if backward else way


def _in_turn(ring: Sequence[Piece], middle: NDArray[np.float64], gap: float) -> list[Piece]:
    """Order a ring: what is butted after what it butts against, else on round from the front."""
    turn, against, beside = {}, {}, {}
    for piece in ring:
        x, y = np.asarray(piece.outline).mean(axis=0) - middle
        turn[piece.number] = round((degrees(atan2(y, x)) + 91.0) % 360.0, 3)
        meets = {q.number: _meet(piece, q, gap) for q in ring if q is not piece}
        beside[piece.number] = {n for n, ways in meets.items() if ways}
        against[piece.number] = {n for n, ways in meets.items() if ("end", "side") in ways}
    ordered: list[Piece] = []
    waiting = list(ring)
    while waiting:
        laid = {p.number for p in ordered}
        last = ordered[-1].number if ordered else 0

        def key(p: Piece, laid: set[int] = laid, last: int = last) -> tuple[object, ...]:
            square = p.overall <= p.width + ALIKE
            unmet = len(against[p.number] - laid)
            return square, unmet, last not in beside[p.number], turn[p.number], p.number

        after = min(waiting, key=key)
        ordered.append(after)
        waiting.remove(after)
    return ordered


def _meet(one: Piece, other: Piece, gap: float) -> set[tuple[str, str]]:
    """Say which edges of two pieces lie against each other: ends or sides."""
    found = set()
    reach = gap + 10 * ALIKE
    for a, way, length in _edges(one):
        for c, back, run in _edges(other):
            if float(way @ back) > -1 + ON_THE_LINE:
                continue
            far = float((c - a) @ np.array([way[1], -way[0]]))
            start = float((c - a) @ way)
            shared = min(length, start) - max(0.0, start - run)
            if abs(far) <= reach and shared > reach:
                found.add((_edge_name(one, way), _edge_name(other, way)))
    return found


def _edges(piece: Piece) -> list[tuple[NDArray[np.float64], NDArray[np.float64], float]]:
    """The edges of a piece: where each begins, its way, its length."""
    corners = np.asarray(piece.outline)
    ways = np.roll(corners, -1, axis=0) - corners
    lengths = np.hypot(ways[:, 0], ways[:, 1])
    return [(c, w / n, float(n)) for c, w, n in zip(corners, ways, lengths, strict=True)]


def _edge_name(piece: Piece, way: NDArray[np.float64]) -> str:
    across = abs(float(way[0] * sine(piece.grain) - way[1] * cosine(piece.grain)))
    return "side" if across <= ON_THE_LINE else "end"
