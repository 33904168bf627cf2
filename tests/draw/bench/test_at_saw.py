"""At the saw: what is drawn is cut again as drawn, and must come off as the part.

The picture is read back (fence, stop, piece, stick, blade, handle) and sawn: once for the piece
that lies against the stop, once more after the handling that is written under it.
"""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
import shapely

from inspector_shapes import Points, along_x, cut_outline, difference
from paper_checks import items_of
from tesselath.draw.bench import draw_at_saw, draw_hand_sawn
from tesselath.draw.paper import Circle, Line, Polygon, Sheet, Text, text_outline
from tesselath.parts import Part
from tesselath.plan import Plan, plan_tables
from tesselath.saw import Setup
from tops import plan_of, top

SAME = 0.05  # the picture's own break is closed with the stop, known to more than that [mm]

RIGHT = '[saw]\nstop_side = "right"\n'
TEXTS = {
    "herringbone": top(angle="45 deg"),
    "chevron": top("chevron", strips='faces = "both"', angle="0 deg"),
    "handed": top("chevron", strips='faces = "one"', angle="17 deg"),
    "right": top("chevron", strips='faces = "one"', angle="17 deg", more=RIGHT),
    "right, rolled": top("herringbone", angle="45 deg", more=RIGHT),
    "diamond": top("stepped-diamond", width="20 in"),
}


def _outline(sheet: Sheet, role: str) -> Points:
    (item,) = (one for one in items_of(sheet, role) if isinstance(one, Polygon))
    return np.asarray(item.outlines[0], dtype=float)


def _word(sheet: Sheet, role: str) -> str:
    words = [one.text for one in items_of(sheet, role) if isinstance(one, Text)]
    return words[0] if words else ""


class _Picture:
    """A set-up read off its picture, in true mm."""

    def __init__(self, sheet: Sheet, setup: Setup) -> None:
        fence, stop = _outline(sheet, "fence"), _outline(sheet, "stop")
        piece, self.stick = _outline(sheet, "piece"), _outline(sheet, "stick")
        assert fence[:, 1].min() == pytest.approx(0.0)  # the fence on top, its face at 0
        assert piece[:, 1].max() == pytest.approx(0.0)  # the piece against it
        self.scale = np.ptp(piece[:, 1]) / setup.strip_width
        self.side = 1.0 if stop[:, 0].mean() < piece[:, 0].mean() else -1.0
        face = (self.side * stop[:, 0]).max()
        assert (self.side * piece[:, 0]).min() == pytest.approx(face, abs=1e-6)
        assert (self.side * self.stick[:, 0]).max() > (self.side * piece[:, 0]).max()
        (blade,) = (one for one in items_of(sheet, "blade") if isinstance(one, Line))
        (x0, y0), (x1, y1) = blade.runs[0]
        self.lean = (x1 - x0) / (y1 - y0)  # x per y, as the cut runs on the paper
        (knob,) = (one for one in items_of(sheet, "handle") if isinstance(one, Circle))
        assert knob.centre == pytest.approx((x1, y1))  # the handle at the maker's end
        on_fence = x0 - y0 * self.lean
        broken = bool(items_of(sheet, "break"))
        drawn = self.side * (on_fence - face * self.side)
        missing = setup.stop * self.scale - drawn
        assert (missing > 0.01) == broken
        self.blade_at = setup.stop * self.side  # along the fence from the stop, true
        beyond = self.side * piece[:, 0] > drawn / 2
        lengthened = piece + np.outer(beyond * missing * self.side, (1.0, 0.0))
        self.piece = lengthened / self.scale
        self.words = _word(sheet, "handling-words")
        self.swing_words = _word(sheet, "swing-words")
        self.end_words = _word(sheet, "end-words")


def _cut(outline: Points, at: float, lean: float, *, keep: float) -> Points:
    """Keep what lies to one side of x = at + y lean: keep 1 the right, -1 the left."""
    side = keep * (outline[:, 0] - at - outline[:, 1] * lean)
    kept: list[Points] = []
    for i, j in zip(range(len(outline)), [*range(1, len(outline)), 0], strict=True):
        if side[i] >= 0:
            kept.append(outline[i])
        if side[i] * side[j] < 0:
            kept.append(outline[i] + side[i] / (side[i] - side[j]) * (outline[j] - outline[i]))
    return np.array(kept)


def _next(picture: _Picture, width: float) -> tuple[Points, bool]:
    """Handle the stick as the words say and cut once more: the piece, and if it is face down."""
    s, lean = picture.side, picture.lean
    far = 40 * width + 3 * abs(picture.blade_at)
    stick = np.array([(0.0, -width), (far, -width), (far, 0.0), (0.0, 0.0)]) * (s, 1.0)
    stick = stick if s > 0 else stick[::-1]
    stick = _cut(stick, s * 4 * width, lean, keep=s)  # the end the last cut left
    down = False
    if picture.words.startswith("roll"):
        stick, down = (stick * (1, -1) - (0, width))[::-1], True
    if picture.words.startswith("swing"):
        words = picture.end_words.removeprefix("end at the stop: ")
        swing = 0.0 if words == "square" else math.tan(math.radians(float(words[2:-1])))
        swing *= {"L": 1.0, "R": -1.0, "s": 0.0}[words[0]]
        stick = _cut(stick, s * 12 * width, swing, keep=s)
    stick = stick - ((s * stick[:, 0]).min() * s, 0.0)  # up to the stop
    return _cut(stick, picture.blade_at, lean, keep=-s), down


def _at_saw(plan: Plan) -> list[tuple[Setup, Part]]:
    return [
        (setup, plan.part(mark))
        for setup in plan.setups
        if setup.handling != "mark and hand saw"
        for mark in setup.parts
        if all(cut.op == "end" for cut in plan.part(mark).cuts)
    ]


@pytest.fixture(name="plan", params=TEXTS, ids=list(TEXTS))
def _plan(request: pytest.FixtureRequest) -> Plan:
    return plan_of(TEXTS[request.param])


def test_the_part_comes_off_as_drawn_and_not_its_mirror_image(plan: Plan) -> None:
    may_roll = plan.design.strips.faces == "both"
    asked = _at_saw(plan)
    assert asked
    for setup, part in asked:
        picture = _Picture(draw_at_saw(plan, setup), setup)
        wanted = _wanted_for(plan, part)
        assert difference(picture.piece, wanted, mirrored=may_roll) <= SAME, part.mark
        again, down = _next(picture, setup.strip_width)
        seen = (again * (1, -1))[::-1] if down else again
        assert difference(seen, wanted, mirrored=may_roll) <= SAME, f"{part.mark}, second piece"
        if part.handed_pair is not None:
            mirror = (picture.piece * (1, -1))[::-1]
            assert difference(mirror, wanted, mirrored=False) > 1.0, part.mark


def _wanted_for(plan: Plan, part: Part) -> Points:
    table = plan_tables(plan)["pieces"]
    assert isinstance(table, list)
    piece = table[part.numbers[0] - 1]
    assert piece["number"] == part.numbers[0]
    return along_x(cut_outline(piece), piece["grain"])


def test_the_handle_goes_the_way_it_is_written(plan: Plan) -> None:
    # Handle to the right cuts like a backslash: x falls as y grows towards the fence.
    for setup, _ in _at_saw(plan):
        picture = _Picture(draw_at_saw(plan, setup), setup)
        assert {"R": picture.lean < 0, "L": picture.lean > 0, "square": picture.lean == 0}[
            setup.swing
        ]
        said = re.search(r"handle ([LR])", picture.swing_words)
        assert (said[1] if said else "square") == setup.swing


def test_the_stop_stands_where_the_plan_has_it(plan: Plan) -> None:
    for setup, _ in _at_saw(plan):
        picture = _Picture(draw_at_saw(plan, setup), setup)
        assert {"left": 1.0, "right": -1.0}[setup.stop_side] == picture.side


def test_words_stay_on_the_sheet_and_apart(plan: Plan) -> None:
    for setup, _ in _at_saw(plan):
        sheet = draw_at_saw(plan, setup)
        page = shapely.box(sheet.left, sheet.bottom, sheet.left + sheet.width, sheet.top)
        boxes = [
            shapely.Polygon(text_outline(item))
            for layer in sheet.layers
            for item in layer.items
            if isinstance(item, Text)
        ]
        assert all(page.covers(box) for box in boxes), setup
        for n, one in enumerate(boxes):
            assert all(one.intersection(other).area < 0.3 for other in boxes[n + 1 :]), setup


def test_what_is_sawn_by_hand_is_drawn_on_its_blank() -> None:
    plan = plan_of(TEXTS["herringbone"])
    parts = [part for part in plan.parts if part.handling == "mark and hand saw"]
    assert parts
    for part in parts:
        sheet = draw_hand_sawn(plan, part)
        piece = _outline(sheet, "piece")
        scale = np.ptp(piece[:, 0]) / part.overall
        wanted = _wanted_for(plan, part)
        assert difference(piece / scale, wanted, mirrored=True) <= SAME
