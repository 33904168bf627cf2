"""The stick diagram: each different stick, cut by cut.

Comes in: a plan. Goes out: a sheet, or a block for each different stick that a page can hold.

Always the same picture: show face up, the fence above as a thick line, the stop at the left.
Lengths are to scale, widths are not, so that slanted cuts look steeper than they are::

    Walnut, 1 in wide, 96 in long: make 2 like this    [ ] 1  [ ] 4
       1     2     3        4      5
    =================================================   fence
    |#|  A  /  A  /   B    |   B  |   left over |/////|
      `---2 x A--' `-----2 x B----'          hold here
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from tesselath.draw.bench.signs import roll_sign, swing_sign
from tesselath.draw.maps import (
    Block,
    WoodLook,
    draw_foot,
    dress_woods,
    rule_lines,
    ruling_stroke,
    scale_block,
    sign_block,
    title_block,
)
from tesselath.draw.paper import (
    INK,
    Fill,
    Hatch,
    Item,
    Layer,
    Line,
    Pens,
    Point,
    Polygon,
    Sheet,
    Stroke,
    Tape,
    Text,
    box_outline,
    moved,
    pens_for,
    text_width,
)
from tesselath.measure import ALIKE, show_number
from tesselath.plan import Plan
from tesselath.stock import LyingPiece, Stick, StickCut, cut_stick, lay_stick, same_sticks

__all__ = ["draw_sticks", "stick_bars"]

#: The width of a page's inside, the height of a bar, of large and of small capitals [mm].
_WIDTH, _BAR, _CAP, _SMALL = 250.0, 10.0, 2.5, 2.0
_MARGIN, _BETWEEN = 8.0, 6.0
_GREY, _WASTE = "#555555", Fill("#ffffff", Hatch(60.0, 1.1, 0.12, "#777777"))
_TRIM, _HELD = Fill("#bdbdbd"), Fill("#ffffff", Hatch(45.0, 1.8, 0.4, "#333333"))
_HAIR, _EDGE, _FENCE = Stroke(0.18), Stroke(0.3), Stroke(1.4)
#: How many rows of words there may be under a bar, and how far apart [mm].
_ROWS, _ROW = 3, 3.6


def draw_sticks(plan: Plan) -> Sheet:
    """Draw every different stick of a plan.

    Returns
    -------
    Sheet
        The sheet, as high as it needs to be.
    """
    pens = pens_for(_WIDTH)
    items: list[Item] = []
    y = 0.0
    for block in stick_bars(plan, width=_WIDTH):
        items += moved(block.items, 0.0, y)
        y -= block.height + _BETWEEN
    foot, wide, high = draw_foot(_foot(plan, pens), width=_WIDTH, pens=pens)
    layers = (Layer("sticks", tuple(items)), Layer("title", moved(foot, 0.0, y)))
    return Sheet(
        title=f"{plan.design.name}: sticks",
        left=-_MARGIN,
        bottom=y - high - _MARGIN,
        width=max(_WIDTH, wide) + 2 * _MARGIN,
        height=high - y + 2 * _MARGIN,
        layers=layers,
    )


def stick_bars(plan: Plan, *, width: float) -> tuple[Block, ...]:
    """Draw one block for each different stick, to be set under each other.

    Parameters
    ----------
    width : float
        The room from left to right [mm]; the longest stick fills it.

    Returns
    -------
    tuple of Block
        The blocks, in the order of the sticks' names; none where nothing is cut from sticks.
    """
    if not plan.sticks:
        return ()
    looks = dress_woods(
        list(dict.fromkeys(stick.wood for stick in plan.sticks)), woods=plan.design.woods
    )
    scale = width / max(stick.length for stick in plan.sticks)
    return tuple(
        _Bar(plan, group, scale, width, looks[group[0].wood]).block()
        for group in same_sticks(plan.sticks)
    )


@dataclass(frozen=True)
class _Bar:
    """One different stick as it is drawn; x along the stick from the stop, y up, bar from 0 up."""

    plan: Plan
    group: tuple[Stick, ...]
    scale: float
    room: float
    look: WoodLook

    @property
    def stick(self) -> Stick:
        return self.group[0]

    @property
    def tape(self) -> Tape:
        return Tape(self.plan.design.tape, self.plan.design.units)

    def block(self) -> Block:
        """Set heading, bar and words under each other, hanging from the origin."""
        pieces = lay_stick(self.stick, {part.mark: part for part in self.plan.parts})
        cuts = cut_stick(pieces, kerf=self.plan.design.stock.kerf)
        heading, head = self._heading(pieces)
        numbers = self._numbers(cuts)
        words, below = self._words(pieces)
        signs = any(item.role in ("roll", "swing") for item in numbers)
        top = head + (8.2 if signs else 5.2)
        bar = [*self._wood(), *self._kerfs(cuts), *self._pieces(pieces), *self._outline()]
        items = [*heading, *moved([*bar, *numbers, *words], 0.0, -top - _BAR)]
        return Block(tuple(items), self.room, top + _BAR + below)

    def at(self, x: float, y: float, width: float) -> Point:
        """Give a point of a piece on paper: lengths to scale, widths to the height of a bar."""
        return x * self.scale, _BAR - (width / 2 - y) / self.stick.strip_width * _BAR

    def _box(self, left: float, right: float, *, low: float = 0.0) -> tuple[Point, ...]:
        return box_outline(left * self.scale, low, (right - left) * self.scale, _BAR - low)

    def _wood(self) -> list[Item]:
        """The stick before anything is cut: end trim, what is waste, what stays, what is held."""
        stick, design = self.stick, self.plan.design
        low = _BAR * (1.0 - stick.width / stick.strip_width)
        held = max(stick.length - design.saw.holding, 0.0)
        trim, used = min(design.stock.end_trim, stick.length), min(stick.used, held)
        items: list[Item] = [
            Polygon((self._box(0.0, used, low=low),), _WASTE, role="waste"),
            Polygon((self._box(0.0, trim, low=low),), _TRIM, role="end-trim"),
            Polygon((self._box(held, stick.length, low=low),), _HELD, _HAIR, role="held"),
        ]
        if low > ALIKE:
            items.append(Polygon((box_outline(0.0, 0.0, stick.length * self.scale, low),), _WASTE))
        words = f"left over {self.tape.show(stick.left_over)}"
        fits = (held - used) * self.scale > text_width(words, _SMALL) + 2.0
        if fits and _BAR - low > 1.5 * _SMALL:
            middle = (used + held) / 2 * self.scale
            items.append(Text(words, (middle, (_BAR + low) / 2), _SMALL, role="left-over"))
        return items

    def _outline(self) -> list[Item]:
        box = box_outline(0.0, 0.0, self.stick.length * self.scale, _BAR)
        fence = ((0.0, _BAR + 0.7), (self.stick.length * self.scale, _BAR + 0.7))
        return [
            Polygon((box,), stroke=_EDGE, role="stick"),
            Line((fence,), _FENCE, role="fence"),
        ]

    def _kerfs(self, cuts: Sequence[StickCut]) -> list[Item]:
        items: list[Item] = []
        for cut in cuts:
            side = -cut.kerf if cut.to_the_left else cut.kerf
            half, lean = cut.width / 2, cut.run / 2
            corners = [
                (cut.at - lean, -half),
                (cut.at + side - lean, -half),
                (cut.at + side + lean, half),
                (cut.at + lean, half),
            ]
            outline = tuple(self.at(max(x, 0.0), y, cut.width) for x, y in corners)
            items.append(Polygon((outline,), Fill(INK), role="kerf"))
        return items

    def _pieces(self, pieces: Sequence[LyingPiece]) -> list[Item]:
        items: list[Item] = []
        spacing = 1.8
        for piece in pieces:
            outline = [self.at(x, y, piece.width) for x, y in piece.outline.tolist()]
            items.append(Polygon((outline,), Fill(self.look.tint), _HAIR, role="stick-piece"))
            letter = self._letter(piece)
            free = None
            if letter is not None:
                wide = text_width(letter.text, letter.cap, 600) / 2 + 0.6
                x, y = letter.at
                free = (x - wide, y - 1.9, x + wide, y + 1.9)
            lines = rule_lines(
                np.array(outline), 0.0, ruling=self.look.ruling, spacing=spacing, free=free
            )
            if len(lines):
                items.append(Line(tuple(lines), ruling_stroke(self.look, spacing=spacing)))
            if letter is not None:
                items.append(letter)
            if piece.sign is not None:
                items.append(self._triangle(piece, outline))
        return items

    def _letter(self, piece: LyingPiece) -> Text | None:
        """The part's letter, where the piece is wide enough for it."""
        left, right = (end * self.scale for end in piece.ends)
        lean = sum(abs(run) for run in piece.runs) * self.scale / 2 * 1.3 * _CAP / _BAR
        if right - left - lean < text_width(piece.mark, _CAP, 600) + 0.8:
            return None
        middle = self.at(sum(piece.ends) / 2, 0.0, piece.width)
        return Text(piece.mark, middle, _CAP, weight=600, role="stick-letter")

    def _triangle(self, piece: LyingPiece, outline: Sequence[Point]) -> Item:
        """The sign of a handed piece, in its long point at the stop end."""
        x, y = self.at(*(piece.sign or (0.0, 0.0)), piece.width)
        n = min(range(len(outline)), key=lambda i: abs(outline[i][0] - x) + abs(outline[i][1] - y))
        here = np.array(outline[n])
        corners = [here]
        for other in (outline[(n + 1) % len(outline)], outline[n - 1]):
            way = np.array(other) - here
            corners.append(here + way * min(0.4, 2.2 / max(float(np.hypot(*way)), 1e-9)))
        return Polygon((tuple((float(a), float(b)) for a, b in corners),), Fill(INK), role="hand")

    def _numbers(self, cuts: Sequence[StickCut]) -> list[Item]:
        """Number the cuts over the fence; those too close to be read are left out between."""
        items: list[Item] = []
        free, lean = -1e9, 0.0
        sign = roll_sign if self.plan.design.strips.faces == "both" else swing_sign
        for n, cut in enumerate(cuts, 1):
            x, y = self.at(cut.at + cut.run / 2, cut.width / 2, cut.width)
            x = max(x, 0.0)
            if abs(cut.run) > ALIKE:
                if lean * cut.run < 0.0:
                    items += moved(sign(), x, _BAR + 2.2 * _SMALL + 2.4)
                lean = cut.run
            words = str(n)
            half = text_width(words, _SMALL) / 2
            if x - half > free + 0.5:
                items.append(Text(words, (x, y + 1.9), _SMALL, baseline="base", role="cut-number"))
                free = x + half
        return items

    def _words(self, pieces: Sequence[LyingPiece]) -> tuple[list[Item], float]:
        """Bracket equal neighbours under the bar and say what they are; then the tail."""
        items: list[Item] = []
        ends = [-1e9] * _ROWS
        depth = 0
        by_mark = {part.mark: part for part in self.plan.parts}
        for (mark, _), run in groupby(pieces, key=lambda p: (p.mark, round(p.width, 2))):
            members = list(run)
            tips = np.concatenate([p.outline[:, 0] for p in members]) * self.scale
            left, right = float(tips.min()), float(tips.max())
            part = by_mark[mark]
            edge = self.tape.show(part.overall if part.handling.startswith("mark") else part.edge)
            count = f"{len(members)} x {mark}" if len(members) > 1 else mark
            wide = f"{count}, {edge}" if part.edge > ALIKE else count
            words = next((w for w in (wide, count) if text_width(w, _SMALL) < right - left), count)
            half = text_width(words, _SMALL) / 2
            middle = max((left + right) / 2, half)
            row = next((n for n, end in enumerate(ends) if middle - half > end + 1.0), _ROWS - 1)
            ends[row] = middle + half
            depth = max(depth, row + 1)
            bracket = (
                (left + 0.2, -0.6),
                (left + 0.2, -1.3),
                (right - 0.2, -1.3),
                (right - 0.2, -0.6),
            )
            items.append(Line((bracket,), _HAIR))
            y = -1.9 - row * _ROW
            if row:
                items.append(Line((((middle, -1.3), (middle, y)),), Stroke(0.1, _GREY)))
            items.append(Text(words, (middle, y), _SMALL, baseline="top", role="stick-words"))
        y = -1.9 - depth * _ROW
        hold = self.plan.design.saw.holding
        tail = []
        if hold > ALIKE:
            tail.append(f"hold here, {self.tape.show(hold)}")
        end = self.stick.length * self.scale
        left_over = f"left over with it {self.tape.show(self.stick.left_over)}"
        if not tail:
            left_over = f"left over {self.tape.show(self.stick.left_over)}"
        words = "; ".join([*tail, left_over])
        items.append(Text(words, (end, y), _SMALL, anchor="end", baseline="top", role="tail-words"))
        return items, 1.9 + depth * _ROW + _SMALL + 0.6

    def _heading(self, pieces: Sequence[LyingPiece]) -> tuple[list[Item], float]:
        """Say what the stick is and how many are cut like it, with a box to tick for each."""
        stick, show = self.stick, self.tape.show
        kind = "off-cut" if stick.offcut else "stick"
        words = f"{stick.wood.capitalize()} {kind}, {show(stick.strip_width)} wide, "
        words += f"{show(stick.length)} long"
        words += f": make {len(self.group)} like this" if len(self.group) > 1 else ": make one"
        lines = [words, *_rips(stick, pieces, show)]
        items: list[Item] = []
        y = 0.0
        for n, line in enumerate(lines):
            weight = 600 if n == 0 else 400
            cap = _CAP if n == 0 else _SMALL
            items.append(Text(line, (0.0, y), cap, anchor="start", baseline="top", weight=weight))
            y -= 1.7 * cap
        x, row = text_width(words, _CAP, 600) + 6.0, 0.0
        for name in (stick.name for stick in self.group):
            wide = 3.4 + text_width(name, _CAP, 600) + 3.0
            if x + wide > self.room:
                x, row = 0.0, min(row - 5.0, y)
            items.append(Polygon((box_outline(x, row - 2.8, 2.8, 2.8),), stroke=_EDGE))
            items.append(
                Text(
                    name,
                    (x + 3.6, row),
                    _CAP,
                    anchor="start",
                    baseline="top",
                    weight=600,
                    role="stick-name",
                )
            )
            x += wide
        return items, max(-y, -row + 4.2)


def _rips(stick: Stick, pieces: Sequence[LyingPiece], show: Callable[[float], str]) -> list[str]:
    """Say to which widths a stick is ripped, and when."""
    widths = list(dict.fromkeys(round(piece.width, 2) for piece in pieces))
    if stick.width > stick.strip_width - ALIKE and len(widths) < 2:
        return []
    first = f"Rip to {show(widths[0])} first, full length, before any crosscut"
    return [first + "".join(f"; then rip the rest to {show(width)}" for width in widths[1:]) + "."]


def _foot(plan: Plan, pens: Pens) -> list[Block]:
    design = plan.design
    lines = [_bought(plan, wood) for wood in dict.fromkeys(b.wood for b in plan.bounds)]
    lines.append("If a knot falls in a piece, move on and cut it from the spare stick.")
    small = [f"Plan {design.mark}"] if design.mark else []
    kerf = Tape(design.tape, design.units).show(design.stock.kerf)
    wide, high = 4.4 * pens.base, 2.0 * pens.base
    box = box_outline(0.0, 0.0, wide, high)
    slant = ((wide / 2 - 0.6, 0.0), (wide / 2 + 0.2, 0.0), (wide / 2 + 0.8, high), (wide / 2, high))
    both = design.strips.faces == "both"
    signs: list[tuple[Sequence[Item], str]] = [
        ((Polygon((slant,), Fill(INK)),), f"a cut, its kerf {kerf} wide, numbered in order"),
        (
            moved(roll_sign() if both else swing_sign(), wide / 2, high / 2),
            "roll the stick face down before this cut"
            if both
            else "swing the saw over before this cut",
        ),
        ((Polygon((box,), _TRIM, _HAIR),), "end trim, cut off first"),
        ((Polygon((box,), _WASTE, _HAIR),), "waste"),
        ((Polygon((box,), _HELD, _HAIR),), "held: never cut"),
    ]
    if any(part.handed_pair for part in plan.parts):
        corner = ((0.0, 0.0), (1.8, 0.0), (0.7, 1.6))
        signs.append(((Polygon((corner,), Fill(INK)),), "the long point at the stop end"))
    scale = _WIDTH / max((stick.length for stick in plan.sticks), default=_WIDTH)
    words = ("SHOW FACE UP", "fence above, stop at the left", "lengths to scale, widths not")
    return [
        title_block(f"{design.name}: sticks", lines, small, pens=pens, room=95.0),
        sign_block(signs, pens=pens),
        scale_block(words=words, scale=scale, pens=pens),
    ]


def _bought(plan: Plan, wood: str) -> str:
    mine = [bound for bound in plan.bounds if bound.wood == wood]
    count, least = sum(b.sticks for b in mine), sum(b.proven_least for b in mine)
    words = f"{wood.capitalize()}: {show_number(count)} to cut"
    if count == least:
        words += f"; {count - 1} cannot do it if every stick is clean" if count > 1 else ""
    else:
        words += f"; {least - 1} cannot do it" if least > 1 else ""
    return f"{words}; buy {plan.sticks_to_buy.get(wood, 0)}."
