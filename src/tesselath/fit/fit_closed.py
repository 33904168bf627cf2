"""Closed forms: layouts without a sliver that follow from the sizes by arithmetic.

Comes in: a design and what is kept. Goes out: proposals, each a few changes with what they promise.
A pattern without a closed form has no proposals.

With E the extent between two opposite edges, w the strip with its gap, L its length (all of the
cells, so that a gap needs no rule of its own)::

    herringbone at 45    front and back on corners   w = sqrt(2) E / (N - L/w)
                         sides on whole ends         E = (m L - w) / sqrt(2)
    herringbone at 0     whole strips both ways      w = E / n
    chevron              whole columns               c = E / m
                         points and valleys          w = (E cos + c sin) / n
    courses              whole rows                  w = E / n
                         whole steps                 s = E / (2 N)
    blocks               whole blocks                B = E / m
    a border between     both ways at once           B = (W - D) / (m - n), the border the rest
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor, sqrt

import numpy as np

from tesselath.design import Design
from tesselath.fit.fit_change import (
    Change,
    as_written,
    change_design,
    strip_key,
    strip_width,
    to_tape,
)
from tesselath.fit.fit_free import FreeSize, border_to_move, free_sizes
from tesselath.fit.fit_ground import cells_of, ground_of
from tesselath.measure import ALIKE, ANGLE_ALIKE, ON_THE_LINE, cosine, sine
from tesselath.shape import area

__all__ = ["Proposal", "propose_closed"]


@dataclass(frozen=True, slots=True)
class Proposal:
    """A few changes of a design, and what they promise.

    ``axis`` is 0 where the promise is for the left and right edges, 1 for front and back, 2 for
    all; ``thin`` the thinnest piece there, in strips, corners aside.
    """

    changes: tuple[Change, ...]
    promise: str = ""
    axis: int = 2
    thin: float = 0.0


@dataclass(frozen=True, slots=True)
class _Rule:
    """A closed form across one pair of edges.

    The extent fits when it is ``unit`` times a whole number less ``less``, both in the value of
    the size ``key`` ("w" is the strip with its gap); unit and less grow with the size where
    ``grows`` says so.
    """

    key: str
    axis: int
    unit: float
    less: float
    promise: str
    thin: float
    #: How unit and less change with the size: "both", "unit".
    grows: str = "both"


def propose_closed(design: Design, *, keep: str) -> tuple[Proposal, ...]:
    """Propose layouts by closed forms.

    Source: own derivation, each checked against clipping.
    """
    ground = ground_of(design)
    width = strip_width(design)
    if ground is None or width is None:
        return ()
    extents = tuple(high - low for low, high in zip(ground.low, ground.high, strict=True))
    free = {size.key: size for size in free_sizes(design, keep=keep)}
    rules = list(_rules(design, width + design.strips.gap))
    found: list[Proposal] = []
    for rule in rules:
        found += _by_opening(design, rule, extents, free, ground.mirrored)
        found += _by_size(design, rule, extents, free)
    for across in rules:
        for away in rules:
            if across.axis == 0 and away.axis == 1:
                found += _by_both(design, across, away, extents, free)
    return tuple(found)


def _rules(design: Design, w: float) -> Iterator[_Rule]:
    """The closed forms of the field's pattern at its turn, w the strip with its gap [mm]."""
    filling = design.field.filling
    pattern, turn = filling.pattern, filling.angle % 90.0
    level = min(turn, 90.0 - turn) <= ANGLE_ALIKE
    along = 0 if round(filling.angle / 90.0) % 2 == 0 else 1

    def size(name: str) -> float:
        found = pattern.size(name)
        assert found is not None
        value = filling.settings.get(found.name, found.value)
        return value + design.strips.gap if found.wood else value

    if pattern.name == "herringbone" and size("n") == 1.0:
        if abs(turn - 45.0) <= ANGLE_ALIKE:
            # Rows of corners run along the direction in which the strips step.
            rows = 1 if round((filling.angle - 45.0) / 90.0) % 2 == 0 else 0
            yield from _slanting(size("r"), w, rows)
        elif level:
            words = "every strip is whole in width"
            yield _Rule("w", 0, w, 0.0, words, 1.0)
            yield _Rule("w", 1, w, 0.0, words, 1.0)
    elif pattern.name == "chevron" and level:
        c, rise = size("c"), size("rise")
        yield _Rule("c", along, c, 0.0, "whole columns", 1.0)
        yield _Rule(
            "w",
            1 - along,
            w / cosine(rise),
            c * sine(rise) / cosine(rise),
            "the edges run through points and valleys",
            1.0,
            grows="unit",
        )
    elif level and (pattern.family == "courses" or pattern.name in ("running-bond", "stack-bond")):
        yield _Rule("w", 1 - along, w, 0.0, "every row is whole", 1.0)
        if pattern.courses is not None and pattern.courses.laid == "from centre":
            yield _Rule("s", along, 2.0 * size("s"), 0.0, "whole steps at both sides", 1.0)
    elif level:
        yield from _square_blocks(design)


def _square_blocks(design: Design) -> Iterator[_Rule]:
    """The closed forms of a pattern of square blocks: whole blocks both ways."""
    pattern, cells = design.field.filling.pattern, cells_of(design)
    if cells is None:
        return
    wide, deep = cells.period(0), cells.period(1)
    square = all(
        abs(float(np.prod(np.ptp(np.asarray(o), axis=0))) - area(o)) <= ALIKE
        for o in cells.outlines
    )
    if square and wide and deep and abs(wide - deep) <= ALIKE:
        more = [s for s in pattern.sizes if s.kind == "length" and s.name != "w"]
        key = "scale" if more else "w"
        if not (more and design.strips.gap):  # a gap does not grow with the strips
            yield _Rule(key, 0, wide, 0.0, "every block is whole", 1.0)
            yield _Rule(key, 1, deep, 0.0, "every block is whole", 1.0)


def _slanting(k: float, w: float, rows: int) -> Iterator[_Rule]:
    """Herringbone at 45 degrees: k is the length in widths, rows the axis across the rows."""
    q = w / sqrt(2.0)
    yield _Rule(
        "w",
        rows,
        q,
        k * q - floor(k) * q,
        "front and back run through corners" if rows else "left and right run through corners",
        1 / sqrt(2.0),
    )
    yield _Rule("w", 1 - rows, k * q, q, "strips end whole at the edge", 0.5)


def _turns(extent: float, rule: _Rule, low: float, high: float) -> Iterator[int]:
    """The whole numbers at which a rule fits while its size lies between two shares of now."""
    ends = []
    for share in (low, high):
        less = rule.less * share if rule.grows == "both" else rule.less
        ends.append((extent + less) / (rule.unit * share))
    yield from range(max(1, ceil(min(ends) - ON_THE_LINE)), floor(max(ends) + ON_THE_LINE) + 1)


def _by_opening(
    design: Design,
    rule: _Rule,
    extents: tuple[float, ...],
    free: dict[str, FreeSize],
    mirrored: tuple[bool, bool],
) -> Iterator[Proposal]:
    """Move the opening so that the strips fit: extent = turns * unit - less."""
    key = "opening.width" if rule.axis == 0 else "opening.depth"
    if key not in free:
        return
    size, extent = free[key], extents[rule.axis]
    double = 2.0 if mirrored[rule.axis] else 1.0
    first = floor((extent + (size.least - size.now) / double + rule.less) / rule.unit)
    last = ceil((extent + (size.most - size.now) / double + rule.less) / rule.unit)
    for turns in range(max(1, first), last + 1):
        exact = size.now + double * (turns * rule.unit - rule.less - extent)
        for value in size.rounded(exact, design.tape):
            yield Proposal(size.set_to(value, design), rule.promise, rule.axis, rule.thin)


def _by_size(
    design: Design, rule: _Rule, extents: tuple[float, ...], free: dict[str, FreeSize]
) -> Iterator[Proposal]:
    """Change the size so that it fits the opening."""
    size = _free_size(design, rule, free)
    if size is None:
        return
    gap = _gap(design, rule)
    now = size.now + gap
    extent = extents[rule.axis]
    for turns in _turns(extent, rule, (size.least + gap) / now, (size.most + gap) / now):
        less = rule.less if rule.grows == "both" else 0.0
        share = (extent + rule.less - less) / (turns * rule.unit - less)
        for value in size.rounded(share * now - gap, design.tape):
            yield Proposal(size.set_to(value, design), rule.promise, rule.axis, rule.thin)


def _by_both(
    design: Design,
    across: _Rule,
    away: _Rule,
    extents: tuple[float, ...],
    free: dict[str, FreeSize],
) -> Iterator[Proposal]:
    """Fit both ways at once: two sizes, or one size with a border as the free number."""
    one, other = _free_size(design, across, free), _free_size(design, away, free)
    if one is not None and other is not None and across.key != away.key:
        # A chevron's columns first: the rows are reckoned with the new column.
        first, second = (across, away) if across.grows == "both" else (away, across)
        for proposal in _by_size(design, first, extents, free):
            yield from _then(design, proposal, second)
    border = free.get(f"border.{border_to_move(design)}.width")
    if border is None or one is None or across.key != away.key:
        return
    if across.grows == "both" and away.grows == "both":
        yield from _with_border(design, across, away, extents, one, border)


def _with_border(
    design: Design,
    across: _Rule,
    away: _Rule,
    extents: tuple[float, ...],
    one: FreeSize,
    border: FreeSize,
) -> Iterator[Proposal]:
    """Fit both ways with one size of the pattern and the width of a border."""
    gap = _gap(design, across)
    now = one.now + gap
    low, high = (one.least + gap) / now, (one.most + gap) / now
    step = border.most - border.least
    for m in _turns(extents[0] - step, across, low, high):
        for n in _turns(extents[1] - step, away, low, high):
            lean = (m * across.unit - across.less) - (n * away.unit - away.less)
            if abs(lean) <= ALIKE:
                continue
            share = (extents[0] - extents[1]) / lean
            if not low - ON_THE_LINE <= share <= high + ON_THE_LINE:
                continue
            width = border.now + (extents[0] - share * (m * across.unit - across.less)) / 2
            if border.least <= width <= border.most:
                value = as_written(share * now - gap, design)
                for wide in dict.fromkeys((as_written(width, design), to_tape(width, design.tape))):
                    yield Proposal(
                        (*one.set_to(value, design), Change(border.key, wide)),
                        f"{across.promise}, {away.promise}",
                        2,
                        min(across.thin, away.thin),
                    )


def _then(design: Design, first: Proposal, rule: _Rule) -> Iterator[Proposal]:
    """Fit the other pair of edges after a first change that bears on it."""
    changed = change_design(design, first.changes)
    ground, width = ground_of(changed), strip_width(changed)
    if ground is None or width is None:
        return
    extents = tuple(high - low for low, high in zip(ground.low, ground.high, strict=True))
    free = {size.key: size for size in free_sizes(design, keep="opening")}
    for again in _rules(changed, width + design.strips.gap):
        if again.key == rule.key and again.axis == rule.axis:
            for proposal in _by_size(changed, again, extents, free):
                yield Proposal(
                    (*first.changes, *proposal.changes),
                    f"{first.promise}, {proposal.promise}",
                    2,
                    min(first.thin, proposal.thin),
                )


def _free_size(design: Design, rule: _Rule, free: dict[str, FreeSize]) -> FreeSize | None:
    """The size a rule hangs on, where it may change."""
    if rule.key == "w":
        return free.get(strip_key(design))
    return free.get("scale" if rule.key == "scale" else f"field.set.{rule.key}")


def _gap(design: Design, rule: _Rule) -> float:
    """What a size has of the gap within its cell."""
    if rule.key in ("w", "scale"):
        return design.strips.gap
    size = design.field.filling.pattern.size(rule.key)
    return design.strips.gap if size is not None and size.wood else 0.0
