"""What is seen of one glue-up through one window: pieces, batten, spread, pins and their names.

Comes in: a plan, a glue-up and the part of the top that is seen. Goes out: items and their box.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot

import numpy as np
import shapely

from tesselath.draw.maps import (
    Label,
    LabelSizes,
    Leader,
    Wanted,
    label_outline,
    lead_out,
    may_be_misread,
    place_labels,
)
from tesselath.draw.paper import (
    INK,
    SIGNAL,
    Circle,
    Corners,
    Fill,
    Hatch,
    Item,
    Line,
    Pens,
    Polygon,
    Stroke,
    Tape,
    Text,
    box_outline,
    draw_ruler,
    ruler_depth,
    text_outline,
    text_width,
)
from tesselath.field import Piece
from tesselath.glue import GlueUp
from tesselath.measure import cosine, sine, turn_point
from tesselath.plan import Plan
from tesselath.shape import Outline

__all__ = ["Box", "View"]


Box = tuple[float, float, float, float]


_CAP = 2.1


_PENS = Pens(_CAP)


_DONE, _DONE_EDGE = Fill("#cfcfcf"), Stroke(0.13, "#8a8a8a")


_NOW, _LATER, _RING = Stroke(0.55, INK), Stroke(0.1, "#9a9a9a"), Stroke(0.4, SIGNAL)


_SPREAD = Fill("#fbf3dc")


_SPREAD_EDGE = Stroke(0.3, "#a07818", (1.6, 1.0))


_BATTEN = Fill("#e6dcc8", Hatch(45.0, 1.0, 0.14, "#555555"))


_BATTEN_WIDE = 0.7  # as it is drawn, as a share of the strip's width


@dataclass(frozen=True)
class View:
    """A part of the top as it is drawn; the axes are those of the opening, to scale."""

    plan: Plan
    glue_up: GlueUp
    box: Box
    scale: float

    @property
    def frame(self) -> Box:
        """The box as drawn [mm]."""
        left, low, right, high = (edge * self.scale for edge in self.box)
        return left, low, right, high

    def draw(self, here: Sequence[Piece], name: str) -> tuple[list[Item], Box]:
        """Draw the part, with the lettering of the pieces that are laid here."""
        left, low, right, high = self.frame
        tape = Tape(self.plan.design.tape, self.plan.design.units, self.scale)
        title = self._name(name)
        labels, leaders = self._labels(here, [text_outline(word, air=0.6) for word in title])
        busy = [label_outline(one) for one in (*labels, *(leader.label for leader in leaders))]
        items = [
            *self._ground(),
            *self._lines(busy),
            *self._batten(),
            *self._pins(),
            *self._checks(),
            *self._lettering(labels, leaders),
        ]
        items.append(
            Polygon(
                (box_outline(left, low, right - left, high - low),),
                stroke=Stroke(0.15, "#555555"),
                role="window",
            )
        )
        for side, edge, span in (("bottom", low, (left, right)), ("left", left, (low, high))):
            items += draw_ruler(side, edge=edge, span=span, tape=tape, pens=_PENS)
        items += title
        corners = [corner for leader in leaders for corner in label_outline(leader.label)]
        beside = ruler_depth("left", span=(low, high), tape=tape, pens=_PENS)
        under = ruler_depth("bottom", span=(left, right), tape=tape, pens=_PENS)
        corners += [(left - beside, low - under), (right, high + (4.0 if name else 0.5))]
        (x0, y0), (x1, y1) = np.min(corners, axis=0), np.max(corners, axis=0)
        return items, (float(x0), float(y0), float(x1), float(y1))

    def _cut(self, outlines: Sequence[Outline]) -> list[Corners]:
        """Cut outlines to the part that is seen, and bring them to scale."""
        if not outlines:
            return []
        starts = np.cumsum([0, *map(len, outlines[:-1])])
        points = np.concatenate(outlines)
        low, high = np.minimum.reduceat(points, starts), np.maximum.reduceat(points, starts)
        meets = np.all((low < self.box[2:]) & (high > self.box[:2]), axis=1)
        inside = np.all((low >= self.box[:2]) & (high <= self.box[2:]), axis=1)
        found: list[Corners] = []
        for n in np.flatnonzero(meets).tolist():
            if inside[n]:
                found.append(outlines[n] * self.scale)
                continue
            cut = shapely.intersection(shapely.Polygon(outlines[n]), shapely.box(*self.box))
            for part in shapely.get_parts(cut):
                if part.geom_type == "Polygon" and part.area > 0.01:
                    found.append(np.asarray(part.exterior.coords)[:-1] * self.scale)
        return found

    def _ground(self) -> list[Item]:
        """Draw what lies, what is spread, what comes now and what comes later."""
        current = self.glue_up.number
        groups: list[list[Outline]] = [[], [], []]
        for piece in self.plan.pieces:
            state = (piece.glue_up > current) - (piece.glue_up < current)
            groups[state].append(piece.cut_outline)
        now, later, done = (self._cut(group) for group in groups)
        left, front, right, back = self.glue_up.box
        spread = self._cut([np.array(box_outline(left, front, right - left, back - front))])
        items: list[Item] = [Polygon(tuple(spread), _SPREAD, role="spread")] if spread else []
        if later:
            items.append(Polygon(tuple(later), stroke=_LATER, role="later"))
        if done:
            items.append(Polygon(tuple(done), _DONE, _DONE_EDGE, role="done"))
        if now:
            items.append(Polygon(tuple(now), Fill("#ffffff"), _NOW, role="now"))
        if spread:
            items.append(Polygon(tuple(spread), stroke=_SPREAD_EDGE, role="spread"))
        return items

    def _lines(self, busy: Sequence[Corners]) -> list[Item]:
        """Draw zones, trim line and centre lines; the last are broken at the lettering."""
        window = shapely.box(*self.box)
        taken = shapely.union_all([shapely.Polygon(np.asarray(corners)) for corners in busy])
        trim = self.plan.design.order == "trim"
        edge = Stroke(0.45, SIGNAL, (2.4, 1.4)) if trim else Stroke(0.6, INK)
        items: list[Item] = []
        zones = [zone.outline for zone in self.plan.zones]
        left, low, right, high = self.box
        centre = [np.array([(left, 0.0), (right, 0.0)]), np.array([(0.0, low), (0.0, high)])]
        for lines, stroke, role in (
            ([_closed(zone) for zone in zones], Stroke(0.35, INK), "zone"),
            ([_closed(self.plan.opening)], edge, "trim-line" if trim else "opening"),
            (centre, _PENS.centre, "centre-line"),
        ):
            seen = shapely.intersection([shapely.LineString(line) for line in lines], window)
            drawn = shapely.transform(seen, lambda points: points * self.scale)
            if role == "centre-line":
                drawn = shapely.difference(drawn, taken)
            runs = tuple(
                np.asarray(part.coords)
                for line in drawn
                for part in shapely.get_parts(line)
                if part.geom_type == "LineString"
            )
            if runs:
                items.append(Line(runs, stroke, role=role))
        return items

    def _batten(self) -> list[Item]:
        """Draw the straight edge as a bar, on the side away from the pieces."""
        batten = self.glue_up.batten
        if batten is None:
            return []
        way = np.array([cosine(batten.way), sine(batten.way)])
        normal = np.array([-way[1], way[0]])
        start, end = np.array(batten.start), np.array(batten.end)
        now = [p.outline.mean(axis=0) for p in self.plan.pieces if p.number in self.glue_up.numbers]
        if float((np.mean(now, axis=0) - start) @ normal) > 0:
            normal = -normal
        wide = _BATTEN_WIDE * float(np.median([piece.width for piece in self.plan.pieces]))
        bar = np.array([start, end, end + wide * normal, start + wide * normal])
        seen = self._cut([bar])
        return [Polygon(tuple(seen), _BATTEN, Stroke(0.4, INK), role="batten")] if seen else []

    def _pins(self) -> list[Item]:
        arm = 0.8
        runs: list[Corners] = []
        for pin in self.glue_up.pins:
            if self.box[0] <= pin.x <= self.box[2]:
                x, y = pin.x * self.scale, pin.y * self.scale
                runs += [
                    ((x - arm, y - arm), (x + arm, y + arm)),
                    ((x - arm, y + arm), (x + arm, y - arm)),
                ]
        return [Line(tuple(runs), Stroke(0.25, INK), role="pin")] if runs else []

    def _checks(self) -> list[Circle]:
        """Ring the corners that are measured, where they are seen."""
        seen, checks = shapely.box(*self.box), self.glue_up.checks
        points = dict.fromkeys(xy for c in checks if c.side != "over all" for xy in c.at)
        return [
            Circle((x * self.scale, y * self.scale), 1.3, stroke=_RING, role="check")
            for x, y in points
            if seen.covers(shapely.Point(x, y))
        ]

    def _name(self, name: str) -> list[Text]:
        """Name the part over its window."""
        left, _, _, high = self.frame
        if not name:
            return []
        return [
            Text(
                name,
                (left, high + 1.2),
                _CAP,
                anchor="start",
                baseline="base",
                weight=600,
                role="part-name",
            )
        ]

    def _labels(
        self, here: Sequence[Piece], taken: Sequence[Corners]
    ) -> tuple[list[Label], list[Leader]]:
        """Place the lettering; what has no room in its piece is led out."""
        turns = {number: turn for turn, number in enumerate(self.glue_up.numbers, 1)}
        wanted = [
            Wanted(
                self._seen(piece) * self.scale,
                piece.grain,
                piece.part,
                f"{piece.number}   {turns[piece.number]} ",
            )
            for piece in here
        ]
        sizes = LabelSizes(least=2.1, most=3.4, least_number=2.0)
        placed = place_labels(wanted, sizes=sizes)
        labels = [label for label in placed if label is not None]
        homeless = [one for one, label in zip(wanted, placed, strict=True) if label is None]
        if not homeless:
            return labels, []
        left, low, right, high = self.frame
        border = (*box_outline(left, low, right - left, high - low), (left, low))
        rulers = [
            box_outline(left - 14.0, low - 7.0, 14.0, high - low + 7.0),
            box_outline(left, low - 7.0, right - left, 7.0),
        ]
        outlines = (self.plan.opening, *(zone.outline for zone in self.plan.zones))
        edges = [_closed(outline) * self.scale for outline in outlines]
        field = shapely.union_all([shapely.Polygon(one.outline) for one in wanted])
        box = shapely.get_coordinates(field.envelope)[:-1]
        leaders = lead_out(
            homeless,
            sizes=replace(sizes, most=2.3),
            taken=[*taken, *map(label_outline, labels)],
            edges=[border, *edges],
            closed=rulers,
            field=box,
        )
        return labels, leaders

    def _seen(self, piece: Piece) -> Outline:
        cut = self._cut([piece.outline])
        if not cut:
            return piece.outline
        largest = max(cut, key=lambda one: shapely.Polygon(np.asarray(one)).area)
        return np.asarray(largest) / self.scale

    def _lettering(self, labels: Sequence[Label], leaders: Sequence[Leader]) -> list[Item]:
        items: list[Item] = []
        for leader in leaders:
            items.append(Line(((leader.start, leader.end),), _PENS.thin, role="leader"))
            items.append(Circle(leader.start, 0.4, Fill(INK), role="leader"))
            if leader.on_pieces:
                items.append(Polygon((label_outline(leader.label),), Fill("#ffffff"), _PENS.thin))
        for label in (*labels, *(leader.label for leader in leaders)):
            items += _letter(label, pieces=len(self.plan.pieces))
        return items


def _closed(outline: Outline) -> Outline:
    return np.concatenate([outline, outline[:1]])


def _letter(label: Label, *, pieces: int) -> list[Item]:
    """Print a part's letter, the piece's number, and its turn in a black disc."""
    number, turn = label.number.split()
    gap = 0.45 * label.letter_cap
    wide = text_width(label.letter, label.letter_cap, 600)
    second = text_width(label.number, label.number_cap)
    if label.under:
        whole = label.letter_cap + gap + label.number_cap
        first, start, foot = -wide / 2, -second / 2, -whole / 2
        above = whole / 2 - label.letter_cap
    else:
        first = -(wide + gap + second) / 2
        start, foot, above = first + wide + gap, -label.letter_cap / 2, -label.letter_cap / 2
    disc = start + second - text_width(f"{turn} ", label.number_cap)
    cap = 0.95 * label.number_cap
    half = text_width(turn, cap, 600) / 2
    middle = disc + half, foot + label.number_cap / 2
    places = [turn_point(x, y, label.angle) for x, y in ((first, above), (start, foot), middle)]
    (x1, y1), (x2, y2), (x3, y3) = ((label.at[0] + x, label.at[1] + y) for x, y in places)
    radius = hypot(half, cap / 2) + 0.1 * cap
    return [
        Text(
            label.letter,
            (x1, y1),
            label.letter_cap,
            anchor="start",
            baseline="base",
            angle=label.angle,
            weight=600,
            role="part-letter",
        ),
        Text(
            number,
            (x2, y2),
            label.number_cap,
            anchor="start",
            baseline="base",
            angle=label.angle,
            underline=may_be_misread(number, pieces),
            role="piece-number",
            key=f"number-{number}",
        ),
        Circle((x3, y3), radius, Fill(INK), role="turn"),
        Text(turn, (x3, y3), cap, angle=label.angle, weight=600, colour="#ffffff", role="turn"),
    ]
