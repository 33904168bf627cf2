"""The story stick: every line of the top at full size, on strips to glue end to end.

Comes in: a plan. Goes out: pages of strips, true to size.

One stick lies across, from left to right, one away, from front to back. Both are measured from
one zero, the centre line, so that no error adds up from mark to mark. A strip is cut out along
its box, and the next one is laid over its lap, join line on join line::

    +----+------+---:---+------+----(A)//+  reading edge
    |    |      |   :   |      |     | //|
    |   12"     6"  0   6"    12"    |lap|
    +---------------------------------//-+
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from tesselath.draw.maps import RodMark, RodRow, mark_rod
from tesselath.draw.paper import (
    INK,
    SIGNAL,
    Circle,
    Fill,
    Hatch,
    Item,
    Layer,
    Line,
    Page,
    Polygon,
    Sheet,
    Stroke,
    Text,
    box_outline,
    fitted_cap,
    lay_page,
    moved,
    page_for,
    text_width,
    wrapped_text,
)
from tesselath.measure import in_english
from tesselath.parts import mark_letters
from tesselath.plan import Plan

__all__ = ["draw_rods"]

#: The overlap of two strips, and the blank wood beyond the outermost mark [mm].
_LAP, _END = 10.0, 6.0
#: How far a join may be moved to keep clear of marks, to both sides together [mm].
_SEARCH = 16.0
#: Lengths of ticks by kind, and heights of lettering [mm].
_TICKS = {"edge": 9.0, "row": 6.5, "line": 4.5, "joint": 4.5}
_CAP, _ROW_CAP, _FOOT = 2.0, 1.9, 4.4
#: From tick to measure, and the least distance of two measures [mm].
_JOG, _PITCH = 3.0, 2.9
_GAP = 3.0
_EDGE = Stroke(0.5, INK)
_CUT = Stroke(0.18, "#555555", (2.0, 1.5))
_PENS = {
    "edge": Stroke(0.5, INK),
    "row": Stroke(0.3, INK),
    "line": Stroke(0.2, INK),
    "joint": Stroke(0.2, INK),
}
_LEAD = Stroke(0.13, "#444444")
_CENTRE = Stroke(0.35, SIGNAL, (6.0, 1.2, 0.8, 1.2))
_NAMES = (("ACROSS", "LEFT", "RIGHT"), ("AWAY", "FRONT", "BACK"))


def draw_rods(plan: Plan) -> tuple[Sheet, ...]:
    """Draw the story stick both ways.

    Source: common practice: a setting-out rod carries every line at full size and replaces
    measuring.

    Returns
    -------
    tuple of Sheet
        The pages, true to size; as many strips on each as go on it.
    """
    page = page_for(plan.design, landscape=True)
    left, bottom, right, top = page.room
    head = _head(plan, right - left)
    letters = 0
    strips: list[_Strip] = []
    for axis in (0, 1):
        rod = _rod(plan, axis, page)
        strips += [rod.strip(n, letters) for n in range(len(rod.joins) - 1)]
        letters += len(rod.joins) - 2
    pages: list[list[tuple[Item, ...]]] = []
    y = -1.0
    for strip in strips:
        if y - strip.height < bottom:
            pages.append([])
            y = top - head.height
        pages[-1].append(moved(strip.items, left, y - strip.height))
        y -= strip.height + _GAP
    return tuple(
        lay_page(
            page,
            [
                Layer("head", moved(head.items, left, top)),
                Layer("rod", tuple(item for items in drawn for item in items)),
            ],
            design=plan.design,
            what="story stick, full size",
            number=number,
            of=len(pages),
        )
        for number, drawn in enumerate(pages, 1)
    )


@dataclass(frozen=True, slots=True)
class _Strip:
    """One strip; its lower left corner is the origin [mm]."""

    items: tuple[Item, ...]
    height: float


@dataclass(frozen=True, slots=True)
class _Rod:
    """A whole stick: its marks, and where it is joined (its two ends included) [mm]."""

    plan: Plan
    axis: int
    marks: tuple[RodMark, ...]
    rows: tuple[RodRow, ...]
    joins: tuple[float, ...]
    label: float  # how long the longest measure is [mm]

    @property
    def height(self) -> float:
        """How high a strip is [mm]."""
        return _TICKS["edge"] + _JOG + self.label + 1.5 + _FOOT

    def strip(self, n: int, letters: int) -> _Strip:
        """Draw one strip: ticks and measures, joins, its box and its name."""
        start, end = self.joins[n], self.joins[n + 1]
        last = n == len(self.joins) - 2
        high = self.height
        whole = end - start + (0.0 if last else _LAP)
        marks = [m for m in self.marks if start - 1e-3 <= m.at <= start + whole - 0.5]
        items: list[Item] = [
            Polygon((box_outline(0.0, 0.0, whole, high),), stroke=_CUT, role="cut-line"),
            Line((((0.0, high), (whole, high)),), _EDGE, role="reading-edge"),
        ]
        if not last:
            items += _lap(end - start, high, mark_letters(letters + n))
        if n > 0:
            items += _register(0.0, high, mark_letters(letters + n - 1), inward=1.0)
        items += self._ticks(marks, start, whole)
        items += self._rows_of(start, whole)
        items += self._name(n, whole, lettered=(n > 0, not last))
        return _Strip(tuple(items), high)

    def _ticks(self, marks: Sequence[RodMark], start: float, whole: float) -> list[Item]:
        high = self.height
        items: list[Item] = []
        zero = -start
        shown = [(mark.at - start, self._measure(mark), mark.kind) for mark in marks]
        if 0.0 <= zero <= whole:
            shown.append((zero, in_english("centre: 0", self.plan.design.english), "centre"))
            run = ((zero, high), (zero, high - _TICKS["edge"] - _JOG + 0.6))
            items.append(Line((run,), _CENTRE, role="centre-line"))
        shown.sort()
        for kind, pen in _PENS.items():
            ticks = tuple(
                ((x, high), (x, high - _TICKS[kind])) for x, _, other in shown if other == kind
            )
            if ticks:
                items.append(Line(ticks, pen, role=f"rod-{kind}"))
        kept = _thinned(shown, whole)
        places = _spread([x for x, _, _ in kept], 1.0 + _CAP / 2, whole - 1.0 - _CAP / 2)
        top = high - _TICKS["edge"] - _JOG
        leads = tuple(
            (
                (x, high - _TICKS.get(kind, _TICKS["edge"] + _JOG - 0.8)),
                (x, top + _JOG),
                (place, top + 0.6),
            )
            for (x, _, kind), place in zip(kept, places, strict=True)
        )
        if leads:  # a length of the stick may have no mark at all
            items.append(Line(leads, _LEAD, role="leader"))
        items += [
            Text(
                words,
                (place + _CAP / 2, top),
                _CAP,
                anchor="end",
                baseline="base",
                angle=90.0,
                weight=600 if kind in ("edge", "centre") else 400,
                role="running-measure",
            )
            for (_, words, kind), place in zip(kept, places, strict=True)
        ]
        return items

    def _measure(self, mark: RodMark) -> str:
        design = self.plan.design
        length = design.show(abs(mark.at))
        return f"{mark.words}: {length}" if mark.words else length

    def _rows_of(self, start: float, whole: float) -> list[Item]:
        """Number the rows between the ticks, where there is room."""
        high = self.height
        ticks = [m.at - start for m in self.marks] + [-start]
        items: list[Item] = []
        for row in self.rows:
            text = Text(
                f"{row.number:+d}".replace("-", "\N{MINUS SIGN}") if row.number else "0",
                (row.at - start, high - 2.4),
                _ROW_CAP,
                weight=600,
                colour="#555555",
                role="row-number",
            )
            half = text_width(text.text, _ROW_CAP, 600) / 2 + 0.5
            x = row.at - start
            if half < x < whole - half and all(abs(tick - x) > half for tick in ticks):
                items.append(text)
        return items

    def _name(self, n: int, whole: float, *, lettered: tuple[bool, bool]) -> list[Item]:
        """Say along the foot which stick and strip it is, and which way it lies."""
        way, low, high = _NAMES[self.axis]
        design = self.plan.design
        strip = f"strip {n + 1} of {len(self.joins) - 1}"
        words = " · ".join(w for w in (f"ROD {way}", strip, design.name, design.mark) if w)
        y = 1.6
        indent, outdent = (9.0 if lettered[0] else 1.5), (_LAP + 9.0 if lettered[1] else 1.5)
        ends = (text_width(f"< {low}", _CAP, 600), text_width(f"{high} >", _CAP, 600))
        room = whole - indent - outdent - sum(ends) - 6.0
        items: list[Item] = []
        if room > 8.0:
            cap = fitted_cap(words, room, _CAP)
            middle = indent + ends[0] + 3.0 + room / 2
            items.append(Text(words, (middle, y), cap, baseline="base", role="rod-name"))
        if whole - indent - outdent > sum(ends) + 3.0:
            items += [
                Text(f"< {low}", (indent, y), _CAP, anchor="start", baseline="base", weight=600),
                Text(
                    f"{high} >",
                    (whole - outdent, y),
                    _CAP,
                    anchor="end",
                    baseline="base",
                    weight=600,
                ),
            ]
        return items


def _rod(plan: Plan, axis: int, page: Page) -> _Rod:
    """Gather a stick's marks, and join it where no mark stands."""
    marks, rows = mark_rod(plan, axis)
    left, _, right, _ = page.room
    low, high = marks[0].at - _END, marks[-1].at + _END
    # Strips of like lengths, so that the last one is no scrap; each keeps room for its lap.
    most = right - left - _LAP - _SEARCH
    count = 1 if high - low <= right - left else ceil((high - low - _LAP) / most)
    places = [*(mark.at for mark in marks), 0.0]
    joins = [low, *(_clear(low + n * (high - low) / count, places) for n in range(1, count))]
    rod = _Rod(plan, axis, marks, rows, (*joins, high), 0.0)
    label = max(text_width(rod._measure(mark), _CAP, 600) for mark in marks)
    return _Rod(plan, axis, marks, rows, (*joins, high), label)


def _clear(wish: float, marks: Sequence[float]) -> float:
    """Find a join near to where it is wished for, clear of any mark."""
    tries = [wish + side * step for step in range(int(_SEARCH / 2) + 1) for side in (1, -1)]
    return max(
        tries, key=lambda at: (min(6.0, *(abs(at - mark) for mark in marks)), -abs(at - wish), at)
    )


def _lap(join: float, high: float, letter: str) -> list[Item]:
    """Draw the lap beyond a join line, on which the next strip is laid."""
    box = box_outline(join, 0.0, _LAP, _FOOT)
    hatch = Fill(None, Hatch(45.0, 1.6, 0.12, "#777777"))
    return [Polygon((box,), hatch, role="lap"), *_register(join, high, letter, inward=-1.0)]


def _register(x: float, high: float, letter: str, *, inward: float) -> list[Item]:
    """Draw a join line with its crossed circle and its letter."""
    y = _FOOT / 2
    pen = Stroke(0.2, INK)
    at = x + inward * 5.0
    items: list[Item] = [
        Line((((x, 0.0), (x, high)),), Stroke(0.2, INK, (1.2, 0.8)), role="join-line"),
        Circle((x, y), 1.3, stroke=pen, role="register"),
        Line((((x - 2.0, y), (x + 2.0, y)),), pen, role="register"),
        Text(letter, (at, y), 2.6, weight=600, role="join-letter"),
    ]
    return items


def _thinned(shown: list[tuple[float, str, str]], whole: float) -> list[tuple[float, str, str]]:
    """Keep as many measures as have room on the strip: edges and rows before other lines."""
    most = int((whole - 2.0) / _PITCH)
    kept = list(shown)
    for kind in ("line", "joint", "row"):
        step = 2
        while len(kept) > most and step < 64:
            of_kind = [one for one in shown if one[2] == kind]
            keep = set(of_kind[::step])
            kept = [one for one in kept if one[2] != kind or one in keep]
            step *= 2
    return kept[:most]


def _spread(places: Sequence[float], low: float, high: float) -> list[float]:
    """Move measures apart as little as may be, so that none lies on its neighbour."""
    groups: list[list[float]] = []  # each: sum of wishes less steps, count
    for n, place in enumerate(places):
        groups.append([place - n * _PITCH, 1.0])
        while len(groups) > 1 and groups[-2][0] / groups[-2][1] > groups[-1][0] / groups[-1][1]:
            total, count = groups.pop()
            groups[-1][0] += total
            groups[-1][1] += count
    spread: list[float] = []
    for total, count in groups:
        spread += [total / count + (len(spread) + k) * _PITCH for k in range(int(count))]
    top = high - (len(spread) - 1) * _PITCH
    return [min(max(at, low + n * _PITCH), top + n * _PITCH) for n, at in enumerate(spread)]


def _head(plan: Plan, width: float) -> _Strip:
    """Say how the strips are joined and read."""
    words = in_english(
        "Cut each strip out along its box, lay the next one over its lap with line on line (A on "
        "A), and glue them to a straight stick. The upper edge is the reading edge. 0 is the "
        "centre line; every figure is measured from it, to both sides, so no error adds up. Long "
        "ticks are edges, middle ones begin and end a row, short ones are lines on which corners "
        "of pieces stand or joints meet the edge.",
        plan.design.english,
    )
    items: list[Item] = []
    y = 0.0
    for line in wrapped_text(words, width, _CAP):
        items.append(Text(line, (0.0, y), _CAP, anchor="start", baseline="top"))
        y -= 1.75 * _CAP
    return _Strip(tuple(items), -y + 1.0)
