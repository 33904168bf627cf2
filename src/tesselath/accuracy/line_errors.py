"""ErrorLine-up: how the small errors of many pieces add up along a line across the top.

Comes in: pieces, and how exactly they are cut. Goes out: for a line, the pieces it crosses and by
how much its length may be off: at the worst, and as a rule.

A line goes into a piece at one edge and out at another. A strip that is too wide moves its sides,
one that is cut too long its ends, and a saw that is off its angle turns an end about its middle::

      ____________________
      \\                  /        the line is longer by
    ---\\-------line----/---         width error  / |sin(line, grain)|   side to side
        \\____________/             length error * |normal.grain| / |normal.line|
         half of an end * angle error / |normal.line|   at each end

so that each error counts with the factor with which it moves the edge along the line.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import hypot, radians, sqrt

import numpy as np
from numpy.typing import NDArray

from tesselath.design import Saw
from tesselath.field import Piece
from tesselath.measure import ON_THE_LINE, cosine, sine

__all__ = ["EdgeTable", "ErrorLine", "Term", "add_errors", "errors_along", "read_edges"]

#: An edge that lies flatter to the line than this does not hold the pieces apart along it: they
#: slide (the sine of 15 degrees).
_FLATTEST = 0.2588


@dataclass(frozen=True, slots=True)
class Term:
    """One error along a line: of which piece, "width", "length" or "angle", and its share.

    ``limit`` is the error itself [mm, or radians for an angle], ``factor`` how much longer the
    line gets for each unit of it. ``setting`` names what is cut alike: errors of one setting are
    of one size when the saw stands wrong.
    """

    number: int
    kind: str
    setting: str
    factor: float
    limit: float


@dataclass(frozen=True, slots=True)
class ErrorLine:
    """A line with its errors [mm].

    ``start`` and ``end`` are its ends, ``length`` the wood it crosses and ``numbers`` the pieces
    in order. ``worst`` is the sum of all errors at their limits, ``likely`` the root of the sum
    of their squares; ``by_setting`` is that root when all pieces of one setting are off alike.
    """

    name: str
    start: tuple[float, float]
    end: tuple[float, float]
    length: float
    numbers: tuple[int, ...]
    worst: float
    likely: float
    by_setting: float
    terms: tuple[Term, ...]


@dataclass(frozen=True, slots=True)
class EdgeTable:
    """The edges of all pieces as arrays: ends (n, 2), owner, whether a side, grain (n, 2)."""

    pieces: tuple[Piece, ...]
    first: NDArray[np.float64]
    last: NDArray[np.float64]
    owner: NDArray[np.int64]
    side: NDArray[np.bool_]
    grain: NDArray[np.float64]


def add_errors(terms: Iterable[tuple[float, float]]) -> tuple[float, float]:
    """Add errors up: at the worst, and as a rule.

    Source: standard tolerance analysis (worst case and root sum square of independent errors).

    >>> worst, likely = add_errors([(1.0, 0.1)] * 10)
    >>> round(worst, 4), round(likely, 4)
    (1.0, 0.3162)
    """
    sizes = [abs(factor * limit) for factor, limit in terms]
    return sum(sizes), sqrt(sum(size * size for size in sizes))


def read_edges(pieces: Sequence[Piece]) -> EdgeTable:
    """Put the edges of pieces into arrays, once for all lines."""
    outlines = [np.asarray(piece.outline) for piece in pieces]
    first = np.concatenate(outlines)
    last = np.concatenate([np.roll(outline, -1, axis=0) for outline in outlines])
    owner = np.repeat(np.arange(len(outlines)), [len(outline) for outline in outlines])
    grain = np.array([(cosine(p.grain), sine(p.grain)) for p in pieces])[owner]
    way = last - first
    across = np.abs(way[:, 0] * grain[:, 1] - way[:, 1] * grain[:, 0])
    side = across <= 1e3 * ON_THE_LINE * np.hypot(way[:, 0], way[:, 1])
    return EdgeTable(tuple(pieces), first, last, owner, side, grain)


def errors_along(
    edges: EdgeTable,
    saw: Saw,
    *,
    start: tuple[float, float],
    end: tuple[float, float],
    name: str = "",
) -> ErrorLine:
    """Add up the errors of the pieces along a line.

    Parameters
    ----------
    edges : EdgeTable
        The edges of the pieces.
    saw : Saw
        How exact a cut is.
    start, end : tuple of float
        The ends of the line [mm].
    name : str
        What the line is called.

    Returns
    -------
    ErrorLine
        The line with its errors; a piece in which it begins or ends counts with one edge.
    """
    origin = np.array(start)
    run = hypot(end[0] - start[0], end[1] - start[1])
    line = (np.array(end) - origin) / run
    normal = np.array([-line[1], line[0]])
    a, b = (edges.first - origin) @ normal, (edges.last - origin) @ normal
    # A corner on the line counts with what lies on its left.
    crossed = np.flatnonzero((a >= 0) != (b >= 0))
    share = a[crossed] / (a[crossed] - b[crossed])
    points = edges.first[crossed] + share[:, None] * (edges.last - edges.first)[crossed]
    along = (points - origin) @ line
    order = np.lexsort((along, edges.owner[crossed]))
    terms: list[Term] = []
    found: list[tuple[float, int]] = []
    length = 0.0
    for i, j in zip(order[::2], order[1::2], strict=True):
        enter, leave = float(along[i]), float(along[j])
        if min(leave, run) - max(enter, 0.0) <= ON_THE_LINE:
            continue
        piece = edges.pieces[int(edges.owner[crossed[i]])]
        found.append((enter, piece.number))
        length += min(leave, run) - max(enter, 0.0)
        mine = [int(crossed[k]) for k in (i, j) if -ON_THE_LINE < along[k] < run + ON_THE_LINE]
        terms += _terms(edges, piece, mine, line, saw)
    worst, likely = add_errors((term.factor, term.limit) for term in terms)
    return ErrorLine(
        name,
        start,
        end,
        length,
        tuple(number for _, number in sorted(found)),
        worst,
        likely,
        _by_setting(terms),
        tuple(terms),
    )


def _terms(
    edges: EdgeTable, piece: Piece, crossed: Sequence[int], line: NDArray[np.float64], saw: Saw
) -> list[Term]:
    """The errors of one piece at the edges where a line crosses it."""
    widths = lengths = 0.0
    terms = []
    for k in crossed:
        way = edges.last[k] - edges.first[k]
        size = float(np.hypot(*way))
        normal = np.array([way[1], -way[0]]) / size
        lean = max(abs(float(normal @ line)), _FLATTEST)
        if edges.side[k]:
            widths += 0.5 / lean
        else:
            lengths += 0.5 * abs(float(normal @ edges.grain[k])) / lean
            turned = Term(
                piece.number, "angle", piece.part, size / 2 / lean, radians(saw.angle_error)
            )
            terms.append(turned)
    if widths:
        wood = f"{piece.wood} {piece.width:.2f}"
        terms.append(Term(piece.number, "width", wood, widths, saw.width_error))
    if lengths:
        terms.append(Term(piece.number, "length", piece.part, lengths, saw.length_error))
    return terms


def _by_setting(terms: Sequence[Term]) -> float:
    sums: dict[tuple[str, str], float] = {}
    for term in terms:
        key = (term.kind, term.setting)
        sums[key] = sums.get(key, 0.0) + term.factor * term.limit
    return sqrt(sum(value * value for value in sums.values()))
