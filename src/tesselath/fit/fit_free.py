"""Free sizes: what a fit may change of a design, and how far.

Comes in: a design and what is kept. Goes out: sizes with their limits. What a maker cannot change
is simply not among them.

    keep the strips     their widths stay; the opening or a border moves by two strips at most,
                        lengths that are cut at the stop may change a little
    keep the opening    the strips are ripped to suit, never wider than the stock; borders and
                        lengths may change

An opening that was measured, or whose frame is made first, never moves.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import inf

from tesselath.design import Design
from tesselath.fit.fit_change import Change, as_written, strip_key, strip_width, to_tape
from tesselath.measure import ALIKE, SLACK
from tesselath.pattern import Expression, Pattern, Size

__all__ = ["FreeSize", "border_to_move", "free_sizes", "may_move_opening", "widest_strip"]

#: An opening or a border moves by so many strips at most [count].
MOST_STRIPS = 2
#: A strip is ripped, and a length set, to within this share of what the maker wished.
_MOST_SHARE = 0.15
#: A border is never made narrower than this share of what it was.
_LEAST_BORDER = 0.5


@dataclass(frozen=True, slots=True)
class FreeSize:
    """One size that may change.

    ``key`` is its key in the design; "scale" is the strip width with every length of the pattern
    in proportion. ``now`` is its value, ``least`` and ``most`` how far it may go [mm or count].
    ``marks`` tells that only whole marks of the tape are written of it, ``unit`` what a
    plain number counts [mm].
    """

    key: str
    kind: str
    now: float
    least: float
    most: float
    marks: bool = False
    unit: float = 1.0

    def set_to(self, value: float, design: Design) -> tuple[Change, ...]:
        """Make the changes that give it a value, as it will be written."""
        value = as_written(value, design, kind=self.kind)
        changes = self.set_exactly(value, design)
        return (
            changes[0],
            *(replace(c, value=as_written(c.number, design)) for c in changes[1:]),
        )

    def set_exactly(self, value: float, design: Design) -> tuple[Change, ...]:
        """Make the changes that give it a value, unrounded."""
        if self.key != "scale":
            return (Change(self.key, value, self.kind),)
        filling = design.field.filling
        lengths = (
            (size.name, filling.settings.get(size.name, size.value))
            for size in _lengths(filling.pattern)
        )
        share = value / self.now
        return (
            Change(strip_key(design), value),
            *(Change(f"field.set.{name}", share * length) for name, length in lengths),
        )

    def rounded(self, value: float, tape: float) -> tuple[float, ...]:
        """Give the values worth writing near an exact one, within the limits."""
        near = tuple(to_tape(value * self.unit, tape, up=up) / self.unit for up in (False, True))
        values = near if self.marks else (value, *near)
        kept: list[float] = []
        for v in values:
            if self.least - SLACK <= v <= self.most + SLACK and v not in kept:
                kept.append(v)
        return tuple(kept)


def free_sizes(design: Design, *, keep: str) -> tuple[FreeSize, ...]:
    """List what may change.

    Source: common practice.
    """
    width = strip_width(design)
    step = MOST_STRIPS * (width or 25.4)
    found: list[FreeSize] = []
    if keep == "strip" and may_move_opening(design):
        for key, now in (("width", design.opening.width), ("depth", design.opening.depth)):
            assert now is not None
            least = max(now - step, now / 2)
            found.append(FreeSize(f"opening.{key}", "length", now, least, now + step, marks=True))
    if keep == "opening" and width is not None:
        found += _widths(design, width)
    number = border_to_move(design)
    if number is not None:
        now = design.borders[number - 1].width
        least = max(now - step, _LEAST_BORDER * now)
        found.append(
            FreeSize(f"border.{number}.width", "length", now, least, now + step, marks=True)
        )
    kept = _width_names(design.field.filling.pattern)
    for size in design.field.filling.pattern.sizes:
        if size.name not in kept and (size.kind == "length" or _is_ratio(size)):
            now = design.field.filling.settings.get(size.name, size.value)
            least, most = _within(size, now)
            unit = (width or 1.0) if size.kind == "number" else 1.0
            key = f"field.set.{size.name}"
            found.append(FreeSize(key, size.kind, now, least, most, unit=unit))
    return tuple(size for size in found if size.most - size.least > ALIKE)


def may_move_opening(design: Design) -> bool:
    """Whether the opening may get another size: it is neither measured nor already framed."""
    size = design.opening
    if size.points or size.measured or size.width is None or size.depth is None:
        return False
    return not (design.order == "let in" and design.frame is not None)


def border_to_move(design: Design) -> int | None:
    """Number the innermost plain border, counted from 1 at the outside; None without one."""
    for n in range(len(design.borders), 0, -1):
        if design.borders[n - 1].filling is None:
            return n
    return None


def widest_strip(design: Design) -> float | None:
    """Give the widest strip of all the field's woods that the listed stock can give."""
    woods: list[str] = []
    for tone in design.field.filling.pattern.tones or ("plain",):
        wood = design.tones.get(tone, tone)
        woods += [wood] if isinstance(wood, str) else wood.woods
    limits = [found for wood in woods if (found := _widest_of(design, wood)) is not None]
    return min(limits, default=None)


def _widest_of(design: Design, wood: str) -> float | None:
    """The widest strip of one wood; None where nothing that suits it is listed, or any width."""
    widest = 0.0
    for stick in design.stock.sticks:
        if stick.wood in (None, wood):
            widest = max(widest, inf if stick.width is None else stick.width)
    for board in design.stock.boards:
        if board.wood in (None, wood):
            edge = board.from_ == "edge" and board.thickness is not None
            widest = max(widest, (board.thickness or 0.0) if edge else inf)
    width = strip_width(design) or 0.0
    return widest if width - ALIKE <= widest < inf and widest else None


def _widths(design: Design, width: float) -> list[FreeSize]:
    """The strip width alone, and with all lengths of the pattern in proportion."""
    pattern = design.field.filling.pattern
    size = pattern.size("w")
    assert size is not None
    least, most = _within(size, width)
    widest = widest_strip(design)
    most = most if widest is None else max(min(most, widest), least)
    found = [FreeSize(strip_key(design), "length", width, least, most)]
    if any(True for _ in _lengths(pattern)):
        found.append(FreeSize("scale", "length", width, least, most))
    return found


def _lengths(pattern: Pattern) -> Iterable[Size]:
    """The pattern's lengths but for the strip width."""
    return (size for size in pattern.sizes if size.kind == "length" and size.name != "w")


def _is_ratio(size: Size) -> bool:
    """Whether a plain number is a length in widths, and neither a count nor a share of 1."""
    return size.kind == "number" and not size.whole and (size.most or 0.0) > 1.0


def _within(size: Size, now: float) -> tuple[float, float]:
    least, most = (1 - _MOST_SHARE) * now, (1 + _MOST_SHARE) * now
    return max(least, size.least or 0.0), min(most, size.most or most)


def _width_names(pattern: Pattern) -> set[str]:
    """The sizes on which the width of some strip hangs."""
    derived = dict(pattern.derived)
    asked: list[Expression] = [strip.width for strip in pattern.strips]
    asked += [piece.width for piece in pattern.pieces if piece.width is not None]
    if pattern.courses is not None:
        asked.append(pattern.courses.height)
    names: set[str] = {"w"}
    while asked:
        for name in asked.pop().names():
            if name not in names:
                names.add(name)
                if name in derived:
                    asked.append(derived[name])
    return names
