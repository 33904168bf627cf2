"""The inspector at the saw: makes every part again from what the plan says.

Comes in: ``plan.json`` as read, and the terms of the design. Goes out: nothing. Refuses, with an
AssertionError, parts whose cuts do not give their pieces, set-ups from which other pieces
come off.

The saw is drawn as a maker stands before it: fence along the top, x along the fence, y towards
it. A saw swung right ("R") cuts like a backslash, swung left ("L") like a slash::

     fence  ===================================
     stop  |        piece      /      stick
           |__________________/________________
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from inspector_shapes import NOISE, SAME, Plan, Points, along_x, cut_outline, difference, points
from inspector_terms import Terms

__all__ = [
    "check_cuts",
    "check_points",
    "check_setups",
    "check_stop_order",
    "check_swings",
    "inspect_saw",
    "remake",
]


def inspect_saw(plan: Plan, terms: Terms) -> None:
    """Run every check of this module on a plan."""
    check_cuts(plan, terms)
    check_swings(plan, terms)
    check_points(plan)
    check_setups(plan, terms)
    check_stop_order(plan)


# --- cuts -------------------------------------------------------------------------------------


def check_cuts(plan: Plan, terms: Terms) -> None:
    """A strip of a part's width, cut as its cuts say, is each of its pieces."""
    pieces = {piece["number"]: piece for piece in plan["pieces"]}
    for part in plan["parts"]:
        say = f"part {part['mark']}"
        if part["handling"] == "make up":
            assert part["strip_width"] is None, f"{say} is made up and has a strip width"
            continue
        assert part["strip_width"] is not None, f"{say} has no strip width"
        assert part["width"] <= part["strip_width"] + SAME, f"{say} is wider than its strip"
        if not part["cuts"]:
            assert part["handling"] == "mark and hand saw", f"{say} has no cuts"
            continue
        made = remake(part)
        for number in part["numbers"]:
            piece = pieces[number]
            lie = along_x(cut_outline(piece), piece["grain"])
            off = difference(made, lie, mirrored=terms.may_roll)
            assert off <= SAME, f"{say}: its cuts miss piece {number} by {off:.4f} mm"
        if any(cut["op"] == "notch" for cut in part["cuts"]):
            continue  # the longest side may be inside the notch
        top = _length_at(made, part["width"] / 2)
        foot = _length_at(made, -part["width"] / 2)
        assert abs(top - part["edge"]) <= SAME, f"{say}: on the fence lies {top}, not its edge"
        assert top >= foot - SAME, f"{say}: its longer edge lies away from the fence"


def remake(part: Plan) -> Points:
    """Cut a strip of the part's width by its cuts, as it lies at the saw [mm]."""
    w = part["width"] / 2
    far = 2 * part["overall"] + 4 * w + 10
    strip = np.array([(-far, -w), (far, -w), (far, w), (-far, w)])
    notches = []
    for cut in part["cuts"]:
        assert cut["op"] in ("end", "corner", "notch"), f"part {part['mark']}: op {cut['op']!r}"
        if cut["op"] == "notch":
            assert cut["mitre"] is None, f"part {part['mark']}: a notch has a mitre"
            # A hair more, so that no splinter stays between the notch and the end.
            notches.append(shapely.Polygon(cut["points"]).buffer(1e-4, join_style="mitre"))
            continue
        assert -90 < cut["mitre"] < 90, f"part {part['mark']}: mitre {cut['mitre']}"
        keep = {"left": 1.0, "right": -1.0}[cut["side"]]
        strip = _cut(strip, cut["at"], cut["mitre"], keep=keep)
        assert len(strip) >= 3, f"part {part['mark']}: its cuts leave nothing"
    if notches:
        left = shapely.Polygon(strip).difference(shapely.union_all(notches), grid_size=1e-6)
        parts = [g for g in getattr(left, "geoms", [left]) if g.area > 1e-3]
        assert len(parts) == 1, f"part {part['mark']}: its notches leave {len(parts)} pieces"
        strip = points(shapely.geometry.polygon.orient(parts[0]).exterior.coords[:-1])
    return _without_dust(strip)


def _cut(outline: Points, at: float, mitre: float, *, keep: float, y0: float = 0.0) -> Points:
    """Keep what lies on one side of x = at + (y - y0) tan(mitre): keep 1 the right, -1 the left."""
    lean = math.tan(math.radians(mitre))
    side = keep * (outline[:, 0] - at - (outline[:, 1] - y0) * lean)
    kept: list[Points] = []
    for i, j in zip(range(len(outline)), [*range(1, len(outline)), 0], strict=True):
        if side[i] >= 0:
            kept.append(outline[i])
        if side[i] * side[j] < 0:
            share = side[i] / (side[i] - side[j])
            kept.append(outline[i] + share * (outline[j] - outline[i]))
    return np.array(kept).reshape(-1, 2)


def _without_dust(outline: Points) -> Points:
    """Drop corners that repeat their neighbour."""
    sides = np.hypot(*(outline - np.roll(outline, 1, axis=0)).T)
    return np.asarray(outline[sides > 1e-3])


def _length_at(outline: Points, y: float) -> float:
    on = outline[np.abs(outline[:, 1] - y) < 0.005]
    return float(np.ptp(on[:, 0])) if len(on) else 0.0


def check_swings(plan: Plan, terms: Terms) -> None:
    """Mitres are those of the end cuts; swings lean the way the mitres do.

    A roll cuts both ends with the saw on one side: there the stop end carries the other's swing.
    """
    for part in plan["parts"]:
        if part["handling"] == "make up" or not part["cuts"]:
            continue
        say = f"part {part['mark']}"
        for side, mitre, swing in zip(
            ("left", "right"), part["mitres"], part["swings"], strict=True
        ):
            ends = [c for c in part["cuts"] if c["op"] == "end" and c["side"] == side]
            assert len(ends) == 1, f"{say} has {len(ends)} end cuts at the {side}"
            assert ends[0]["mitre"] == mitre, f"{say}: {side} mitre {mitre}"
            lean = _lean(mitre)
            if part["handling"] == "roll" and side == part["stop_side"]:
                assert swing == part["swings"][side == "left"], f"{say}: {side} swing {swing}"
            else:
                assert swing == lean, f"{say}: {side} mitre {mitre:.3f}, swing {swing}"
        left = [c["at"] for c in part["cuts"] if c["op"] == "end" and c["side"] == "left"]
        assert abs(left[0]) <= NOISE, f"{say}: the stop end crosses the mid-line at {left[0]}"
        if max(map(abs, part["mitres"])) > terms.largest_mitre + 0.01:
            assert part["handling"] in ("mark and hand saw", "make up"), (
                f"{say}: mitre {part['mitres']} is steeper than the saw swings"
            )


def _lean(mitre: float) -> str:
    return "square" if abs(mitre) < 0.005 else "L" if mitre > 0 else "R"


def check_points(plan: Plan) -> None:
    """Long and short point are given where two straight ends lean apart, and else not."""
    for part in plan["parts"]:
        ops = [cut["op"] for cut in part["cuts"]]
        if part["handling"] == "make up" or ops != ["end", "end"]:
            continue
        say = f"part {part['mark']}"
        left, right = part["mitres"]
        if abs(left - right) < 0.005:
            found = (part["long_point"], part["short_point"])
            assert found == (None, None), f"{say} is a parallelogram and has points {found}"
        elif left * right < 0 or 0.0 in (round(left, 2), round(right, 2)):
            made = remake(part)
            sides = sorted(_length_at(made, side * part["width"] / 2) for side in (-1, 1))
            assert part["long_point"] is not None, f"{say}: its ends lean apart, no long point"
            assert abs(part["long_point"] - sides[1]) <= SAME, f"{say}: long point"
            assert abs(part["short_point"] - sides[0]) <= SAME, f"{say}: short point"


# --- set-ups ----------------------------------------------------------------------------------


def check_setups(plan: Plan, terms: Terms) -> None:
    """Each part comes off its one set-up as it is drawn, and never as its mirror image."""
    parts = {part["mark"]: part for part in plan["parts"]}
    pieces = {piece["number"]: piece for piece in plan["pieces"]}
    seen = Counter(mark for setup in plan["setups"] for mark in setup["parts"])
    for mark, part in parts.items():
        times = 0 if part["handling"] == "make up" else 1
        assert seen[mark] == times, f"part {mark} ({part['handling']}) is in {seen[mark]} set-ups"
    assert set(seen) <= set(parts), f"set-ups name parts that are none: {set(seen) - set(parts)}"
    for place, setup in enumerate(plan["setups"], 1):
        say = f"set-up {place}"
        assert setup["swing"] in ("R", "L", "square"), f"{say}: swing {setup['swing']!r}"
        assert 0 <= setup["mitre"] <= terms.largest_mitre + 0.01, f"{say}: {setup['mitre']} deg"
        assert (setup["swing"] == "square") == (setup["mitre"] < 0.005), f"{say}: swing and mitre"
        assert setup["stop"] > 0, f"{say}: stop {setup['stop']}"
        count = sum(parts[m]["count"] + parts[m]["spares"] for m in setup["parts"])
        assert setup["count"] == count, f"{say}: count {setup['count']}, its parts make {count}"
        for mark in setup["parts"]:
            part = parts[mark]
            assert part["handling"] == setup["handling"], f"{say}: part {mark} is handled else"
            stick = part["width"] if part["ripped"] else part["strip_width"]
            assert abs(setup["strip_width"] - stick) <= SAME, f"{say}: part {mark}: strip width"
            if part["handling"] == "mark and hand saw":
                _check_blank(part, setup, say)
                continue
            piece = pieces[part["numbers"][0]]
            wanted = along_x(cut_outline(piece), piece["grain"])
            if any(cut["op"] == "corner" for cut in part["cuts"]):
                wanted = _before_corners(part, terms, say)
            over = setup["strip_width"] - part["width"]
            assert over < max(SAME, terms.tape / 2), f"{say}: part {mark}: strip {over} too wide"
            on_saw = {**setup, "strip_width": part["width"]}  # the rest is a shaving
            for turn, made in enumerate(simulate(on_saw, length=6 * setup["stop"] + 500), 1):
                off = difference(made, wanted, mirrored=terms.may_roll)
                if off <= SAME:
                    continue
                mirror = difference(made, wanted, mirrored=True) <= SAME
                raise AssertionError(
                    f"{say}: part {mark}: piece {turn} that comes off "
                    + ("is the mirror image" if mirror else f"is out by {off:.4f} mm")
                    + f": {_show(made)} for {_show(wanted)}"
                )


def _before_corners(part: Plan, terms: Terms, say: str) -> Points:
    """Give a piece with its two ends cut; corners that a file takes off are left on.

    Only what is less deep than half a mark of the tape may wait for the file.
    """
    made = remake({**part, "cuts": [cut for cut in part["cuts"] if cut["op"] == "end"]})
    for cut in part["cuts"]:
        if cut["op"] == "corner":
            lean = math.radians(cut["mitre"])
            beyond = (made[:, 0] - cut["at"]) * math.cos(lean) - made[:, 1] * math.sin(lean)
            deep = max(beyond * {"left": -1, "right": 1}[cut["side"]])
            assert deep < terms.tape / 2, f"{say}: part {part['mark']}: a corner {deep:.3f} deep"
    return made


def _check_blank(part: Plan, setup: Plan, say: str) -> None:
    """What is sawn by hand comes as a square blank, not shorter than the piece."""
    assert setup["swing"] == setup["end_swing"] == "square", f"{say}: a blank is cut square"
    over = setup["stop"] - part["overall"]
    assert -SAME <= over <= 25.4, f"{say}: part {part['mark']}: blank {over:+.3f} mm over"
    assert setup["strip_width"] >= part["width"] - SAME, f"{say}: the blank is too narrow"


@dataclass(frozen=True, slots=True)
class _OnSaw:
    """The stick on the saw as seen from above; ``face_up`` is false after a roll."""

    outline: Points
    face_up: bool = True

    def rolled(self) -> _OnSaw:
        return _OnSaw((self.outline * (1, -1))[::-1], not self.face_up)


def simulate(setup: Plan, *, length: float, count: int = 3) -> list[Points]:
    """Cut a stick as a set-up says and give the pieces as seen on their show face [mm].

    With the stop at the right the whole saw is the other way round, save the lean of the cuts.
    """
    right = setup["stop_side"] == "right"
    w = setup["strip_width"] / 2
    mitre = _signed(setup["mitre"], setup["swing"])
    end_mitre = _signed(setup["end_mitre"], setup["end_swing"])
    if right:  # seen in a mirror the stop is at the left again, and every lean is the other one
        mitre, end_mitre = -mitre, -end_mitre
    long = length + 8 * w
    stick = _OnSaw(np.array([(0.0, -w), (long, -w), (long, w), (0.0, w)]))
    # Far enough in that a new end takes all of the old one away.
    skew = 2 * w * sum(abs(math.tan(math.radians(lean))) for lean in (mitre, end_mitre)) + 1
    if setup["handling"] != "swing":
        # The end is made by the cut itself, before the first piece.
        stick = _OnSaw(_cut(stick.outline, skew, mitre, keep=1.0))
        if setup["handling"] == "roll":
            stick = stick.rolled()
    made = []
    for _ in range(count):
        if setup["handling"] == "swing":
            start = float(stick.outline[:, 0].min())
            stick = _OnSaw(_cut(stick.outline, start + skew, end_mitre, keep=1.0), stick.face_up)
        at_stop = stick.outline - (stick.outline[:, 0].min(), 0.0)
        # The stop is set along the fence: there the blade crosses the strip's upper edge.
        piece = _cut(at_stop, setup["stop"], mitre, keep=-1.0, y0=w)
        rest = _OnSaw(_cut(at_stop, setup["stop"], mitre, keep=1.0, y0=w), stick.face_up)
        seen = _OnSaw(_without_dust(piece), stick.face_up)
        seen = seen if seen.face_up else seen.rolled()
        made.append((seen.outline * (-1, 1))[::-1] if right else seen.outline)
        stick = rest.rolled() if setup["handling"] == "roll" else rest
    return made


def _signed(mitre: float, swing: str) -> float:
    """A saw swung left cuts like a slash: x grows towards the fence."""
    return {"L": mitre, "R": -mitre, "square": 0.0}[swing]


def _show(outline: Points) -> str:
    return " ".join(f"({x:.3f}, {y:.3f})" for x, y in outline - outline.min(axis=0))


def check_stop_order(plan: Plan) -> None:
    """The saw is re-set as seldom as can be: equal swings and mitres stand together.

    Blanks for the hand saw come last, and square once more; a swing between cuts is two settings.
    """
    settings = [
        (s["handling"] == "mark and hand saw", s["swing"], round(s["mitre"], 2))
        for s in plan["setups"]
    ]
    changes = sum(a != b for a, b in pairwise(settings))
    assert changes == max(0, len(set(settings)) - 1), (
        f"the saw is re-set {changes} times: {settings}"
    )
