"""Part cards: one for each part, to lie in its tray.

Comes in: a plan. Goes out: pages of cards at full size.

Each card has the part's outline to lay a piece on, with its mark, its count, its tray and how it
is cut. The two hands of a part share a card, side by side: that is where a mirror image shows::

    +- - - - - - - - - - - -+
    : C      12 + 1 spare   :
    : tray 3 walnut, 1 in   :
    :   _______  _______    :
    :  /_C-L__/  \\_C-R__\\   :
    : if it must be turned  :
    : over, it is the mirror:
    +- - - - - - - - - - - -+
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tesselath.advice import cautions_of_part
from tesselath.draw.bench.full_size import Drawn, draw_full_size
from tesselath.draw.maps import WoodLook, dress_woods, ruled_swatch
from tesselath.draw.paper import (
    INK,
    Item,
    Layer,
    Line,
    Page,
    Polygon,
    Sheet,
    Stroke,
    Tape,
    Text,
    fitted_cap,
    lay_page,
    moved,
    page_for,
    text_width,
    wrapped_text,
)
from tesselath.measure import ANGLE_ALIKE, counted, in_english, show_angle
from tesselath.parts import Part
from tesselath.plan import Plan
from tesselath.saw import Setup

__all__ = ["draw_cards"]

#: Heights of lettering, and air inside a card's edge [mm].
_CAP, _SMALL, _MARK, _TRAY, _AIR = 2.2, 2.0, 9.0, 4.0, 3.0
_LINE = 1.75
_CUT = Stroke(0.18, "#555555", (2.0, 1.5))
_PAIR_GAP = 3.0

_HANDLING = {
    "slide": "slide: push the stick to the stop between cuts",
    "roll": "roll the stick face over between cuts",
    "swing": "swing the saw between cuts",
    "make up": "make it up from several strips, or cut it from a board",
    "mark and hand saw": "cut it square to length, mark it out, saw it by hand and shoot it",
}


def draw_cards(plan: Plan) -> tuple[Sheet, ...]:
    """Draw one card a part, several on a page.

    Source: common practice (a piece is checked by laying it on its outline).
    """
    page = page_for(plan.design)
    names = list(dict.fromkeys(piece.wood for piece in plan.pieces))
    maker = _Maker(plan, page, dress_woods(names, woods=plan.design.woods))
    cards = [maker.card(parts) for parts in _by_card(plan.parts)]
    left, bottom, right, top = page.room
    head = _head(plan, right - left)
    pages = _paged(_rows(cards, right - left), top - bottom - head.height)
    what = in_english("part cards, full size", plan.design.english)
    return tuple(
        lay_page(
            page,
            [
                Layer("head", moved(head.items, left, top)),
                Layer("cards", _placed(rows, left, top - head.height)),
            ],
            design=plan.design,
            what=what,
            number=number,
            of=len(pages),
        )
        for number, rows in enumerate(pages, 1)
    )


@dataclass(frozen=True, slots=True)
class _Card:
    """Items that hang from the origin, and the room they take [mm]."""

    items: tuple[Item, ...]
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class _Maker:
    """What all cards of a plan share."""

    plan: Plan
    page: Page
    looks: Mapping[str, WoodLook]

    def card(self, parts: Sequence[Part]) -> _Card:
        """Draw the card of a part, or of both its hands: narrow if that is enough."""
        left, bottom, right, top = self.page.room
        tallest = top - bottom - 75.0
        wide = right - left
        design = self.plan.design
        tape = Tape(design.tape, design.units, both=design.both_units)
        room = (wide - 2 * _AIR, tallest / len(parts))
        tint = self.looks[parts[0].wood].tint
        drawn = [draw_full_size(part, room=room, tape=tape, tint=tint) for part in parts]
        beside = sum(one.width for one in drawn) + _PAIR_GAP * (len(drawn) - 1)
        width = wide / 2 if beside <= wide / 2 - 2 * _AIR else wide
        return self._filled(parts, drawn, width, stacked=beside > wide - 2 * _AIR)

    def _filled(
        self, parts: Sequence[Part], drawn: Sequence[Drawn], width: float, *, stacked: bool
    ) -> _Card:
        """Set head, outlines and words under each other; long hands lie one above the other."""
        head, y = self._head(parts, width)
        items = list(head)
        rows = [[one] for one in drawn] if stacked else [list(drawn)]
        for row in rows:
            beside = sum(one.width for one in row) + _PAIR_GAP * (len(row) - 1)
            x, low = (width - beside) / 2, y - max(one.height for one in row)
            for one in row:
                items += moved(one.items, x, (y + low - one.height) / 2)
                x += one.width + _PAIR_GAP
            y = low - 1.0
        said = [words for one in drawn for words in one.words]
        for line in [*dict.fromkeys(said), _mirror_words(self.plan)]:
            for words in wrapped_text(line, width - 2 * _AIR, _SMALL):
                items.append(_text(words, _AIR, y, _SMALL))
                y -= _LINE * _SMALL
        design = self.plan.design
        label = " · ".join(word for word in (design.name, design.mark) if word)
        cap = fitted_cap(label, width - 2 * _AIR, _SMALL)
        y -= 0.4
        items.append(_text(label, width - _AIR, y, cap, anchor="end", colour="#555555"))
        return _Card(tuple(items), width, -y + _SMALL + _AIR)

    def _head(self, parts: Sequence[Part], width: float) -> tuple[list[Item], float]:
        """Set mark and tray at the left, and how it is cut beside them."""
        mark = parts[0].mark.partition("-")[0] if len(parts) > 1 else parts[0].mark
        trays = [self.plan.parts.index(part) + 1 for part in parts]
        tray = f"tray {trays[0]}" if len(trays) == 1 else f"trays {trays[0]} and {trays[1]}"
        tray_cap = _TRAY if len(trays) == 1 else 0.7 * _TRAY
        y = -_AIR
        items: list[Item] = [
            Text(
                mark, (_AIR, y), _MARK, anchor="start", baseline="top", weight=600, role="card-mark"
            ),
            Text(
                tray,
                (_AIR, y - _MARK - 2.0),
                tray_cap,
                anchor="start",
                baseline="top",
                weight=600,
                role="tray",
            ),
        ]
        beside = (
            _AIR + 3.0 + max(text_width(mark, _MARK, 600), text_width(tray, tray_cap, 600), 20.0)
        )
        foot = y - _MARK - 2.0 - _TRAY - 1.5
        wide, high = 7.0, 3.2
        look = self.looks[parts[0].wood]
        patch = ruled_swatch(look, width=wide, height=high, spacing=0.7)
        items += moved(patch, width - _AIR - wide, y - high)
        room = width - beside - _AIR
        for n, line in enumerate(self._lines(parts)):
            short = room - (wide + 2.0 if n == 0 else 0.0)
            for words in wrapped_text(line, short, _CAP):
                items.append(_text(words, beside, y, _CAP))
                y -= _LINE * _CAP
        return items, min(y, foot) - 1.0

    def _lines(self, parts: Sequence[Part]) -> list[str]:
        design, first = self.plan.design, parts[0]
        counts = [_count(part, name=len(parts) > 1) for part in parts]
        strip = first.strip_width if first.strip_width is not None else first.width
        what = "strip" if first.strip_width is not None else "width"
        lines = [
            f"{'; '.join(counts)}",
            f"{first.wood}, {what} {design.show(strip)}",
        ]
        if first.ripped:
            width = design.show(first.width)
            lines.append(f"rip the stick to {width} first, at full length")
        for part in parts:
            lines += self._saw_lines(part, name=len(parts) > 1)
        if all(part.handling == first.handling for part in parts):
            lines.append(_HANDLING[first.handling])
        else:
            lines += [f"{part.mark}: {_HANDLING[part.handling]}" for part in parts]
        lines += dict.fromkeys(
            note.text for part in parts for note in cautions_of_part(part, design=design)
        )
        return [in_english(line, design.english) for line in lines]

    def _saw_lines(self, part: Part, *, name: bool) -> list[str]:
        """Say at which set-up a part is cut, and how saw and stop stand there."""
        found = [(n, s) for n, s in enumerate(self.plan.setups, 1) if part.mark in s.parts]
        if not found:
            return []
        number, setup = found[0]
        who = f"{part.mark}: " if name else ""
        stop = self.plan.design.show(setup.stop, up=part.fitted)
        return [
            f"{who}set-up {number}: {_saw(setup)}",
            *([f"{who}on the scale: {_dialled(setup)}"] if setup.is_dialled else []),
            f"{who}stop {stop}, on the {setup.stop_side}",
        ]


def _by_card(parts: Sequence[Part]) -> list[list[Part]]:
    """Put the two hands of a part together."""
    cards: dict[str, list[Part]] = {}
    for part in parts:
        key = part.mark if part.handed_pair is None else part.mark.partition("-")[0] + "-"
        cards.setdefault(key, []).append(part)
    return list(cards.values())


def _count(part: Part, *, name: bool) -> str:
    who = f"{part.mark}: " if name else ""
    spares = f" and {counted(part.spares, 'spare')}" if part.spares else ""
    return f"{who}{counted(part.count, 'piece')}{spares}"


def _saw(setup: Setup) -> str:
    """Print how the saw stands, read both from square and from 90."""
    blade = _swing(setup.mitre, setup.swing)
    same = abs(setup.mitre - setup.end_mitre) <= ANGLE_ALIKE and setup.swing == setup.end_swing
    if same or setup.handling in ("mark and hand saw", "roll"):
        return blade
    return f"{blade}, then the stop end {_swing(setup.end_mitre, setup.end_swing)}"


def _dialled(setup: Setup) -> str:
    """Print what to dial, where the saw's zero is off."""
    if setup.handling == "swing":
        return f"{setup.scale}, then {setup.end_scale}"
    return str(setup.scale)


def _swing(mitre: float, swing: str) -> str:
    if swing == "square":
        return "saw square"
    return f"saw {show_angle(mitre)} {swing} ({show_angle(90.0 - mitre)} where square reads 90)"


def _mirror_words(plan: Plan) -> str:
    if plan.design.strips.faces == "one":
        return (
            "Lay your piece on this outline: if it must be turned over to fit, it is the mirror "
            "image."
        )
    return "Lay your piece on this outline, either face up: it must fit."


def _text(
    words: str, x: float, y: float, cap: float, *, anchor: str = "start", colour: str = INK
) -> Text:
    return Text(words, (x, y), cap, anchor=anchor, baseline="top", colour=colour)


def _head(plan: Plan, width: float) -> _Card:
    """Say above the cards how they are to be read."""
    words = (
        "SHOW FACE UP, as each piece lies at the saw: its fence edge above, the arrow along the "
        "grain to the stop end. Handle to the right is R, to the left L. Cut the cards apart; "
        "one lies in each tray."
    )
    if any(part.handed_pair for part in plan.parts):
        words += " The black triangle is the long point at the stop end."
    items: list[Item] = []
    y = 0.0
    for line in wrapped_text(in_english(words, plan.design.english), width, _CAP):
        items.append(_text(line, 0.0, y, _CAP))
        y -= _LINE * _CAP
    return _Card(tuple(items), width, -y + 1.0)


def _rows(cards: Sequence[_Card], width: float) -> list[list[_Card]]:
    """Set cards in rows; a narrow one waits for its neighbour."""
    rows: list[list[_Card]] = []
    waiting: list[_Card] | None = None
    for card in cards:
        if card.width > 0.75 * width:
            rows.append([card])
        elif waiting is not None:
            waiting.append(card)
            waiting = None
        else:
            waiting = [card]
            rows.append(waiting)
    return rows


def _paged(rows: Sequence[list[_Card]], height: float) -> list[list[list[_Card]]]:
    pages: list[list[list[_Card]]] = []
    left = 0.0
    for row in rows:
        high = max(card.height for card in row)
        if not pages or high > left:
            pages.append([])
            left = height
        pages[-1].append(row)
        left -= high
    return pages


def _placed(rows: Sequence[Sequence[_Card]], left: float, top: float) -> tuple[Item, ...]:
    """Hang the rows under each other, with the lines along which they are cut apart."""
    items: list[Item] = []
    for row in rows:
        high, x = max(card.height for card in row), left
        for card in row:
            items += moved(card.items, x, top)
            x += card.width
            frame = ((x - card.width, top), (x, top), (x, top - high), (x - card.width, top - high))
            items.append(Polygon((frame,), stroke=_CUT, role="cut-line"))
        top -= high
    return tuple(_merged(items))


def _merged(items: Sequence[Item]) -> list[Item]:
    """Draw each line along which cards are cut apart once; two sets of dashes would fill up."""
    edges: dict[tuple[tuple[float, float], tuple[float, float]], None] = {}
    kept: list[Item] = []
    for item in items:
        if isinstance(item, Polygon) and item.role == "cut-line":
            outline = [(round(float(x), 3), round(float(y), 3)) for x, y in item.outlines[0]]
            for start, end in zip(outline, [*outline[1:], outline[0]], strict=True):
                edges[min(start, end), max(start, end)] = None
        else:
            kept.append(item)
    return [*kept, Line(tuple(edges), _CUT, role="cut-line")]
