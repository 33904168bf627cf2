"""Proposals: what is worth trying, the closed forms first, then the search by events.

Comes in: a design and what is kept. Goes out: proposals, one after the other, each once.

One size is solved for one pair of edges, then a second one for the other pair, if it leaves the
first pair alone::

    opening width -> left and right on corners     opening depth -> front and back on corners
    strip width   -> front and back on corners     strip length  -> left and right on corners
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from tesselath.design import Design
from tesselath.errors import TesselathError
from tesselath.fit.fit_change import Change, change_design, strip_width
from tesselath.fit.fit_closed import Proposal, propose_closed
from tesselath.fit.fit_events import Across, allowed_turns, look_across, solve_events
from tesselath.fit.fit_free import FreeSize, free_sizes
from tesselath.fit.fit_ground import cells_of, ground_of
from tesselath.measure import ALIKE

__all__ = ["how_far", "is_same", "propose"]

#: First steps from which the other pair of edges is fitted too [count].
_MOST_FIRST = 16
#: A pattern is turned by so much at most, and only where no turn of its own is kept [degrees].
_MOST_TURN = 15.0

Changes = tuple[Change, ...]


def propose(design: Design, *, keep: str) -> Iterator[Proposal]:
    """Propose layouts; the place of the pattern is not among the changes."""
    seen: set[tuple[object, ...]] = set()
    for proposal in _all(design, keep):
        changes = tuple(
            c
            for c in proposal.changes
            if isinstance(c.value, tuple) or abs(c.value - value_of(design, c.key)) > ALIKE / 10
        )
        key = tuple((c.key, c.value) for c in changes)
        if key not in seen:
            seen.add(key)
            yield replace(proposal, changes=changes)


def _all(design: Design, keep: str) -> Iterator[Proposal]:
    yield Proposal(())
    if keep == "place":
        return
    closed = propose_closed(design, keep=keep)
    yield from _nearest_first(design, closed)
    turned: list[Changes] = [()]
    cells = cells_of(design)
    if cells is not None and None in (cells.period(0), cells.period(1)):
        angle = design.field.filling.angle
        turned = [
            (Change("field.angle", turn, "angle"),)
            for turn in allowed_turns(cells, angle, most=_MOST_TURN)[:2]
        ]
        yield from (Proposal(changes) for changes in turned)
    found: list[Proposal] = list(closed)
    for before in turned:
        found += _by_events(design, before, free_sizes(design, keep=keep))
    yield from _nearest_first(design, found)


def _nearest_first(design: Design, proposals: Iterable[Proposal]) -> list[Proposal]:
    return sorted(proposals, key=lambda p: round(how_far(design, p.changes), 4))


def _by_events(design: Design, before: Changes, free: tuple[FreeSize, ...]) -> list[Proposal]:
    """Solve one size, then another that leaves the first pair of edges alone."""
    base = change_design(design, before)
    firsts = [
        (changes, size, axis)
        for size in free
        for axis in (0, 1)
        for changes in _solve(base, size, axis)
    ]
    firsts.sort(key=lambda first: round(how_far(design, first[0]), 4))
    found = [Proposal((*before, *changes)) for changes, _, _ in firsts]
    apart = {(size.key, axis): not _bears_on(base, size, axis) for size in free for axis in (0, 1)}
    for changes, size, axis in firsts[:_MOST_FIRST]:
        changed = change_design(base, changes)
        for other in free:
            if {other.key, size.key} & {"scale"} or not apart[other.key, axis]:
                continue
            found += [
                Proposal((*before, *changes, *more)) for more in _solve(changed, other, 1 - axis)
            ]
    return found


def _solve(base: Design, size: FreeSize, axis: int) -> Iterator[Changes]:
    """Find the values of a size at which both edges of a pair run through corners."""
    values = solve_events(
        lambda value: _across(base, size, value, axis),
        now=size.now,
        least=size.least,
        most=size.most,
    )
    for exact in values:
        for value in size.rounded(exact, base.tape):
            if abs(value - size.now) > ALIKE:
                yield size.set_to(value, base)


def _across(base: Design, size: FreeSize, value: float, axis: int) -> Across | None:
    """The corners and the edges at one value of a size."""
    changed = change_design(base, size.set_exactly(value, base))
    try:
        cells, ground = cells_of(changed), ground_of(changed)
    except TesselathError:
        return None
    return None if cells is None or ground is None else look_across(cells, ground, axis)


def _bears_on(base: Design, size: FreeSize, axis: int) -> bool:
    """Whether a size has anything to do with a pair of edges."""
    step = min(0.01 * max(size.now, 1.0), size.most - size.now) or -0.01 * max(size.now, 1.0)
    one, other = (_across(base, size, size.now + way, axis) for way in (0.0, step))
    if one is None or other is None or len(one.corners) != len(other.corners):
        return True
    moved = abs(other.high - other.low - one.high + one.low) + abs(other.period - one.period)
    return moved > ALIKE / 10 or bool((abs(other.corners - one.corners) > ALIKE / 10).any())


def how_far(design: Design, changes: Iterable[Change]) -> float:
    """Say how far changes lead from what the maker wished, in strips."""
    strip = strip_width(design) or 25.4
    total = 0.0
    for change in changes:
        if isinstance(change.value, tuple):
            continue
        away = abs(change.value - value_of(design, change.key))
        share = {"angle": 1 / 5.0, "number": 1.0}.get(change.kind, 1 / strip)
        # A strip that is a tenth wider changes every piece, an opening a tenth of a strip none.
        weight = 10.0 if change.key in ("strips.width", "field.set.w") else 1.0
        total += weight * share * away
    return total


def value_of(design: Design, key: str) -> float:
    """Give the value that a key has now [mm, degrees or count]."""
    match key.split("."):
        case ["opening", "width"]:
            return design.opening.width or 0.0
        case ["opening", "depth"]:
            return design.opening.depth or 0.0
        case ["border", number, "width"]:
            return design.borders[int(number) - 1].width
        case ["strips", "width"]:
            return strip_width(design) or 0.0
        case ["field", "angle"]:
            return design.field.filling.angle
        case ["field", "set", name]:
            size = design.field.filling.pattern.size(name)
            now = design.field.filling.settings.get(name)
            if now is not None or size is None:
                return now or 0.0
            return (strip_width(design) or size.value) if name == "w" else size.value
        case _:
            raise KeyError(key)


def is_same(one: Changes, other: Changes) -> bool:
    """Whether two sets of changes come to the same at the bench, place of the pattern aside."""
    first, second = (
        {c.key: c.value for c in changes if not isinstance(c.value, tuple)}
        for changes in (one, other)
    )
    if first.keys() != second.keys():
        return False
    return all(abs(first[key] - second[key]) <= ALIKE for key in first)
