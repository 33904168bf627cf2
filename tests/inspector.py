"""The inspector: checks a plan by its own arithmetic, as a suspicious maker would.

Comes in: ``plan.json`` as read, and the terms of the design file as read. Goes out: nothing.
Refuses, with an AssertionError that says what is wrong and where, whatever the contract of the
plan does not allow. It imports nothing of the program, so that one mistake cannot hide another.

This module looks at the plan as it lies on the base; ``inspector_parts`` at what is alike,
``inspector_saw`` re-makes every piece at the saw, ``inspector_sticks`` lays them on their
sticks, ``inspector_folder`` reads the tables and the
map, ``setting_out`` lays each shipped pattern anew.
"""

from __future__ import annotations

import math
from collections import Counter
from typing import Any

import numpy as np
import shapely

from inspector_parts import inspect_parts
from inspector_saw import inspect_saw
from inspector_shapes import GRID, NOISE, Plan, Points, close, points, signed_area
from inspector_sticks import inspect_sticks
from inspector_terms import Terms, terms_of

__all__ = [
    "Terms",
    "check_cover",
    "check_gap",
    "check_glue_ups",
    "check_heads",
    "check_notes",
    "check_opening",
    "check_outlines",
    "check_overlap",
    "check_totals",
    "check_uncovered",
    "inspect_plan",
    "region",
    "terms_of",
]


def inspect_plan(plan: Plan, terms: Terms) -> None:
    """Run every check on a plan: as it lies, its parts, and at the saw."""
    check_heads(plan, terms)
    check_opening(plan)
    check_outlines(plan)
    inspect_parts(plan, terms)
    check_cover(plan, terms)
    check_uncovered(plan)
    check_overlap(plan)
    check_gap(plan, terms)
    check_glue_ups(plan)
    check_notes(plan)
    check_totals(plan, terms)
    inspect_saw(plan, terms)
    inspect_sticks(plan, terms)


# --- heads, opening, outlines -----------------------------------------------------------------


def check_heads(plan: Plan, terms: Terms) -> None:
    """The plan says its format and repeats the design's units and order."""
    assert plan["format"] == "tesselath-plan/1", f"format is {plan['format']!r}"
    assert plan["units"] == terms.units, f"units {plan['units']!r}, the design has {terms.units!r}"
    assert plan["order"] == terms.order, f"order {plan['order']!r}, the design has {terms.order!r}"
    wanted = {
        "name",
        "opening",
        "pieces",
        "parts",
        "setups",
        "sticks",
        "bounds",
        "shopping",
        "glue_ups",
        "uncovered",
        "notes",
        "totals",
    }
    missing = sorted(wanted - set(plan))
    assert not missing, f"plan.json lacks {', '.join(missing)}"
    for path, number in _numbers_of(plan, "plan"):
        assert math.isfinite(number), f"{path} is {number}"


def check_opening(plan: Plan) -> None:
    """Width, depth and area are those of the outline."""
    opening = plan["opening"]
    outline = points(opening["outline"])
    assert signed_area(outline) > 0, "the opening runs clockwise"
    close(opening["area"], signed_area(outline), 1e-9 * opening["area"], "opening.area")
    wide, deep = np.ptp(outline, axis=0)
    close(opening["width"], wide, NOISE, "opening.width")
    close(opening["depth"], deep, NOISE, "opening.depth")


def check_outlines(plan: Plan) -> None:
    """Every outline runs counter-clockwise, closes by itself and has no dust on its edges."""
    for piece in plan["pieces"]:
        for key in ("outline", "blank"):
            corners = piece.get(key)
            if corners is None:
                continue
            say = f"piece {piece['number']}: {key}"
            outline = points(corners)
            assert len(outline) >= 3, f"{say} has {len(outline)} corners"
            assert signed_area(outline) > 0, f"{say} does not run counter-clockwise"
            sides = np.hypot(*(np.roll(outline, -1, axis=0) - outline).T)
            assert sides[-1] > NOISE, f"{say} repeats its last point"
            assert sides.min() >= 0.005 - NOISE, f"{say} has an edge of {sides.min():.6f} mm"
            assert shapely.Polygon(outline).is_valid, f"{say} crosses itself"


# --- cover, overlap, gap ----------------------------------------------------------------------


def region(plan: Plan, terms: Terms) -> shapely.Polygon:
    """Give the area the finished field fills: the opening, less clearance or plus lap."""
    opening = shapely.Polygon(plan["opening"]["outline"])
    grow = {"let in": -terms.clearance, "trim": 0.0, "lap": terms.lap}[terms.order]
    return opening.buffer(grow, join_style="mitre", mitre_limit=50) if grow else opening


def check_cover(plan: Plan, terms: Terms) -> None:
    """Pieces and what is uncovered make up the region, and nothing lies outside it."""
    whole = region(plan, terms)
    woods = [shapely.Polygon(piece["outline"]) for piece in plan["pieces"]]
    outside = whole.buffer(2 * NOISE, join_style="mitre")
    shapely.prepare(outside)
    for piece, wood in zip(plan["pieces"], woods, strict=True):
        assert outside.covers(wood), f"piece {piece['number']} reaches outside the field"
    if terms.gap == 0.0:
        total = sum(wood.area for wood in woods) + plan["uncovered"]["area"]
        off = total - whole.area
        assert abs(off) <= 1e-6 * whole.area, (
            f"pieces and uncovered make {total:.4f} mm2, the field is {whole.area:.4f}: {off:+.4f}"
        )
        return
    # With a gap every piece, grown by half of it, is its cell again, unless a corner was too
    # thin to keep wood; then its neighbours may reach over it, so what they cover is counted.
    grown = whole.buffer(terms.gap / 2, join_style="mitre", mitre_limit=50)
    cells = [w.buffer(terms.gap / 2, join_style="mitre", mitre_limit=50) for w in woods]
    bare_share = 1 - shapely.union_all(cells, grid_size=GRID).intersection(grown).area / grown.area
    uncovered = plan["uncovered"]["area"] / grown.area
    assert bare_share <= 0.004 + uncovered, f"{bare_share:.2%} of the field is without wood"
    assert shapely.union_all(woods).area <= whole.area * (1 + 1e-9), "more wood than field"


def check_uncovered(plan: Plan) -> None:
    """What is uncovered is drawn by outlines of that area."""
    bare = sum(signed_area(points(outline)) for outline in plan["uncovered"]["outlines"])
    found, whole = plan["uncovered"]["area"], plan["opening"]["area"]
    assert abs(found - bare) <= 1e-6 * whole, (
        f"uncovered.area is {found:.3f} mm2, its outlines hold {bare:.3f}"
    )


def check_overlap(plan: Plan) -> None:
    """No two pieces overlap by more than a hair's breadth along their joint."""
    woods = [shapely.Polygon(piece["outline"]) for piece in plan["pieces"]]
    if len(woods) < 2:
        return
    tree = shapely.STRtree(woods)
    left, right = tree.query(woods)
    pairs = [(int(a), int(b)) for a, b in zip(left, right, strict=True) if a < b]
    if not pairs:
        return
    a, b = (np.array(woods)[list(side)] for side in zip(*pairs, strict=True))
    shared = shapely.area(shapely.intersection(a, b, grid_size=GRID))
    worst = int(np.argmax(shared))
    joint = float(min(shapely.length(a[worst]), shapely.length(b[worst])))
    assert shared[worst] <= 5 * GRID * joint, (
        f"pieces {pairs[worst][0] + 1} and {pairs[worst][1] + 1} share {shared[worst]:.6f} mm2"
    )


def check_gap(plan: Plan, terms: Terms) -> None:
    """Neighbours keep the gap: none closer, and along a joint exactly that."""
    if terms.gap == 0.0:
        return
    gap = terms.gap
    # A zone with a dent or a hole is overlaid on a grid, which leaves a few of its steps.
    opening = shapely.Polygon(plan["opening"]["outline"])
    dented = opening.area < opening.convex_hull.area - 1
    holed = any(piece["zone"].startswith("medallion") for piece in plan["pieces"])
    noise = 20 * GRID if dented or holed else NOISE
    woods = np.array([shapely.Polygon(piece["outline"]) for piece in plan["pieces"]])
    zones = [piece["zone"] for piece in plan["pieces"]]
    left, right = shapely.STRtree(woods).query(woods, predicate="dwithin", distance=gap * 1.05)
    met = 0
    for i, j in zip(left, right, strict=True):
        if i >= j or zones[i] != zones[j]:
            continue
        apart = float(shapely.distance(woods[i], woods[j]))
        say = f"pieces {i + 1} and {j + 1}"
        assert apart >= gap - noise, f"{say} are {apart:.7f} mm apart, the gap is {gap}"
        for across in _facing(points(plan["pieces"][i]["outline"]), woods[j], gap):
            met += 1
            assert abs(across - gap) <= noise, f"{say}: {across:.7f} mm across the joint"
    if len(woods) > 4:
        assert met, "no two pieces face each other across a joint"


def _facing(outline: Points, other: shapely.Polygon, gap: float) -> list[float]:
    """Measure from each side of an outline straight across to a parallel side of another."""
    theirs = points(other.exterior.coords[:-1])
    found = []
    for p, q in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        along = (q - p) / np.hypot(*(q - p))
        out = np.array([along[1], -along[0]])
        for r, s in zip(theirs, np.roll(theirs, -1, axis=0), strict=True):
            side = s - r
            if abs(side @ out) > 1e-7 * np.hypot(*side) or side @ along > 0:
                continue
            far = float((r - p) @ out)
            shared = min(np.hypot(*(q - p)), float((r - p) @ along)) - max(
                0.0, float((s - p) @ along)
            )
            if 0 < far < 1.05 * gap and shared > 0.01:
                found.append(far)
    return found


# --- glue-ups, notes, totals ------------------------------------------------------------------


def check_glue_ups(plan: Plan) -> None:
    """Every piece is glued once, in the glue-up that its own line names."""
    seen: Counter[int] = Counter()
    for place, glue_up in enumerate(plan["glue_ups"], 1):
        assert glue_up["number"] == place, f"glue-up {glue_up['number']} stands at place {place}"
        seen.update(glue_up["numbers"])
        for number in glue_up["numbers"]:
            piece = plan["pieces"][number - 1]
            assert piece["glue_up"] == glue_up["number"], (
                f"piece {number}: its line says glue-up {piece['glue_up']}"
            )
    assert seen == Counter(range(1, len(plan["pieces"]) + 1)), "glued twice or never"


def check_notes(plan: Plan) -> None:
    """A note has a code and a sentence, names pieces that exist, and comes once."""
    for note in plan["notes"]:
        assert note["code"], f"note without a code: {note['text']!r}"
        assert note["text"].strip().endswith((".", "?", "!", ")", '"')), f"note {note['text']!r}"
        wrong = [n for n in note["numbers"] if not 1 <= n <= len(plan["pieces"])]
        assert not wrong, f"note {note['code']} names pieces {wrong}"
    texts = Counter((note["code"], note["text"]) for note in plan["notes"])
    assert max(texts.values(), default=1) == 1, f"a note comes twice: {texts.most_common(1)}"


def check_totals(plan: Plan, terms: Terms) -> None:
    """The totals are the sums of the lists."""
    totals = plan["totals"]
    for key in ("pieces", "parts", "setups", "sticks"):
        assert totals[key] == len(plan[key]), f"totals.{key} {totals[key]}, has {len(plan[key])}"
    wood = sum(signed_area(points(piece["outline"])) for piece in plan["pieces"])
    close(totals["wood_area"], wood, 1e-9 * wood, "totals.wood_area")
    if all(piece["zone"] == "field" for piece in plan["pieces"]):
        field = region(plan, terms).area
        close(totals["field_area"], field, 1e-6 * field, "totals.field_area")
    assert totals["cuts"] >= sum(part["count"] for part in plan["parts"]), "fewer cuts than pieces"


def _numbers_of(value: Any, path: str) -> list[tuple[str, float]]:
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return []
    if isinstance(value, int | float):
        return [(path, float(value))]
    items = value.items() if isinstance(value, dict) else enumerate(value)
    return [found for key, part in items for found in _numbers_of(part, f"{path}.{key}")]
