"""Place: where a pattern lies best in its field, everything else as it is.

Comes in: a design. Goes out: the best shifts with the key they were ranked by. Refuses: what cannot
be laid; a pattern that cannot be looked at quickly stays where it is.

The places across the left and right edges and those across front and back are looked at apart;
only the best of both are looked at together, for the corners.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product

import numpy as np

from tesselath.design import Design
from tesselath.fit.fit_change import as_written, strip_width
from tesselath.fit.fit_events import Across, even_places, look_across, middles_across, places_across
from tesselath.fit.fit_ground import Cells, Look, Looker, cells_of, ground_of
from tesselath.fit.fit_score import LEAST_SHORT, LEAST_THIN, keeps_limits
from tesselath.measure import ALIKE, turn_point

__all__ = ["place_pattern"]

#: So many places across each pair of edges are looked at together with the others [count]; more
#: of them where nothing else may change, since only the corners are then left to choose by.
_BEST, _BEST_ALONE = 4, 6
#: And of these so many with the next ones of the other pair of edges [count].
_FEW = 2

#: Smaller is better.
Key = tuple[float, ...]


def place_pattern(
    design: Design, *, keep: int = 2, alone: bool = False
) -> tuple[tuple[tuple[float, float] | None, Key], ...]:
    """Find where the pattern lies best."""
    cells, ground = cells_of(design), ground_of(design)
    if cells is None or ground is None:
        return _unseen(design)
    looker = Looker(cells, ground, gap=design.strips.gap)
    middles = middles_across(cells)
    across = [look_across(cells, ground, axis) for axis in (0, 1)]
    ranked: list[list[float]] = []
    for axis in (0, 1):
        here = across[axis]
        if here is None:
            ranked.append(list(even_places(cells)))
            continue
        looked = sorted(
            (_key(looker.look_along(axis, place), (axis,)), n, place)
            for n, place in enumerate(places_across(here, middles[axis], between=alone))
        )
        ranked.append([place for _, _, place in looked])
    shift = design.field.filling.shift
    assert not isinstance(shift, str)
    found: list[tuple[Key, int, tuple[float, float]]] = []
    found.append((_key(looker.look(shift), (0, 1)), -1, shift))
    for places in _rounds(ranked, _BEST_ALONE if alone else _BEST):
        for place in _every_net(places, cells, across):
            moved = _nearest(place, shift, cells)
            written = (as_written(moved[0], design), as_written(moved[1], design))
            found.append((_key(looker.look(written), (0, 1)), len(found), written))
        if min(found)[0][0] == 0.0:
            break
    found.sort()
    kept: list[tuple[tuple[float, float] | None, Key]] = []
    for key, n, place in found[:keep]:
        same = n < 0 or max(abs(a - b) for a, b in zip(place, shift, strict=True)) <= ALIKE
        kept.append((None if same else place, key))
    return tuple(kept)


def _rounds(ranked: list[list[float]], best: int) -> Iterator[list[tuple[float, float]]]:
    """The best of both pairs of edges together; then, where a corner spoils them all, the next."""
    across, away = ranked
    yield list(product(across[:best], away[:best]))
    yield [
        *product(across[best : 2 * best], away[:_FEW]),
        *product(across[:_FEW], away[best : 2 * best]),
    ]


def _unseen(design: Design) -> tuple[tuple[tuple[float, float] | None, Key], ...]:
    """Places of a pattern without a repeat: where it is, or half a row on; the score decides."""
    stays: tuple[tuple[tuple[float, float] | None, Key], ...] = ((None, (1.0, 0.0, 0.0)),)
    filling, width = design.field.filling, strip_width(design)
    shift = filling.shift
    if filling.pattern.courses is None or width is None or isinstance(shift, str):
        return stays
    half = (width + design.strips.gap) / 2
    x, y = turn_point(0.0, half, filling.angle)
    moved = (as_written(shift[0] + x, design), as_written(shift[1] + y, design))
    return (*stays, (moved, (1.0, 0.0, 0.0)))


def _every_net(
    places: list[tuple[float, float]], cells: Cells, across: Sequence[Across | None]
) -> list[tuple[float, float]]:
    """Add what a staggered net has between its rows: there each place comes several times."""
    periods = (cells.period(0), cells.period(1))
    if across[0] is None or across[1] is None or periods[0] is None or periods[1] is None:
        return places
    det = abs(float(np.linalg.det(cells.steps)))
    times = max(1, min(4, round(det / (periods[0] * periods[1]))))
    return [(x, y + n * periods[1]) for n in range(times) for x, y in places]


def _nearest(
    place: tuple[float, float], wished: tuple[float, float], cells: Cells
) -> tuple[float, float]:
    """Move a place by whole steps to where it is nearest to the wished one."""
    away = np.array(place) - wished
    share = away @ np.linalg.inv(cells.steps)
    best = (share - np.round(share)) @ cells.steps
    near = min(
        (best + a * cells.steps[0] + b * cells.steps[1] for a in (-1, 0, 1) for b in (-1, 0, 1)),
        key=lambda v: (round(float(v @ v), 6), np.round(v, 6).tolist()),
    )
    return float(near[0] + wished[0]), float(near[1] + wished[1])


def _key(look: Look, axes: tuple[int, ...]) -> Key:
    """Rank a quick look: the limits, equal margins, few kinds, thick pieces."""
    holds = keeps_limits(look.thin, look.short)
    missed = min(1.0, look.thin / LEAST_THIN, look.short / LEAST_SHORT)
    equal = sum(look.alike[axis] for axis in axes)
    return (
        0.0 if holds else 1.0 - round(missed, 1),
        float(-equal),
        float(look.kinds),
        -round(look.thin, 3),
        -round(look.short, 3),
    )
