"""The inspector and the sticks: what is cut from each, and what is bought.

Comes in: ``plan.json`` as read, and the terms of the design. Goes out: nothing. Refuses, with an
AssertionError, pieces that are on no stick, sticks that are too short for theirs or keep no tail,
and counts to buy that do not follow from them.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict

import shapely

from inspector_shapes import NOISE, SAME, Plan
from inspector_terms import Terms

__all__ = [
    "check_bounds",
    "check_laid",
    "check_sticks",
    "check_to_buy",
    "inspect_sticks",
]

#: Nothing shorter is ever ripped [mm]: 12 in, common practice.
SHORTEST_RIP = 304.8


def inspect_sticks(plan: Plan, terms: Terms) -> None:
    """Run every check of this module on a plan."""
    check_sticks(plan, terms)
    check_laid(plan, terms)
    check_bounds(plan)
    check_to_buy(plan, terms)


def check_sticks(plan: Plan, terms: Terms) -> None:
    """Every piece and spare is on a stick, and every stick holds what it says."""
    parts = {part["mark"]: part for part in plan["parts"]}
    cut: Counter[str] = Counter()
    names = [stick["name"] for stick in plan["sticks"]]
    assert len(set(names)) == len(names), f"two sticks have one name: {names}"
    for stick in plan["sticks"]:
        say = f"stick {stick['name']}"
        cut.update(stick["pieces"])
        total = stick["used"] + stick["left_over"]
        assert abs(total - stick["length"]) <= NOISE, f"{say}: used and left over make {total}"
        assert stick["left_over"] >= terms.holding - NOISE, f"{say}: tail {stick['left_over']}"
        assert stick["pieces"], f"{say} is empty"
        _check_widths(stick, parts, terms, say)
        least, most = _length_used(stick, parts, terms)
        filed = sum(any(c["op"] == "corner" for c in parts[m]["cuts"]) for m in stick["pieces"])
        least -= filed * terms.tape / 2  # the corner is still on when the piece is cut
        assert stick["used"] >= least - 0.02, f"{say}: used {stick['used']}, needs {least}"
        assert stick["used"] <= most + 0.02, f"{say}: used {stick['used']}, at most {most}"
    for mark, part in parts.items():
        wanted = 0 if part["handling"] == "make up" else part["count"] + part["spares"]
        assert cut[mark] == wanted, f"part {mark}: {cut[mark]} on the sticks, {wanted} wanted"


def _check_widths(stick: Plan, parts: dict[str, Plan], terms: Terms, say: str) -> None:
    """Wood and width suit; a stick is ripped down in steps, and never when it is short."""
    width, gone = stick["width"], terms.end_trim
    for place, mark in enumerate(stick["pieces"]):
        part = parts[mark]
        assert part["wood"] == stick["wood"], f"{say} of {stick['wood']}: part {mark}"
        here = part["width"] if part["ripped"] else part["strip_width"]
        if abs(here - width) > SAME:
            assert part["ripped"], f"{say} is {width} wide: part {mark} is {here}"
            assert place, f"{say} is {width} wide: its first part {mark} is {here}"
            assert here < width, f"{say}, ripped to {width}: part {mark} is {here} wide"
            left = stick["length"] - gone
            assert left >= SHORTEST_RIP - NOISE, f"{say}: {left:.1f} mm are ripped for {mark}"
        width = here
        gone += part["overall"] + terms.kerf


def _length_used(stick: Plan, parts: dict[str, Plan], terms: Terms) -> tuple[float, float]:
    """The least and the most length that the pieces can take, in the order given [mm].

    Each piece may lie end for end, and face down where that is allowed. The gap of two ends on
    the mid-line is a kerf along the strip and half the difference of their runs; at most there
    is a kerf for each of the two cuts, and the ends lean against each other.
    """
    best: dict[tuple[float, float], float] = {}  # run and kerf of the last end: length used
    most = terms.end_trim
    last = 0.0
    for mark in stick["pieces"]:
        middle, width, ends = _on_stick(parts[mark])
        kerfs = {run: terms.kerf * math.hypot(1.0, run / width) for e in ends for run in (e, -e)}
        ways = {ends, ends[::-1]}
        if terms.may_roll:
            ways |= {(-a, -b) for a, b in ways}
        following: dict[tuple[float, float], float] = {}
        for a, b in ways:
            costs = [terms.end_trim + abs(a) / 2] if not best else []
            for (e, kerf), used in best.items():
                if abs(width - last) > SAME or abs(a - e) < 0.05:  # ripped between, or one cut
                    costs.append(used + min(kerf, kerfs[a]))
                else:
                    costs.append(used + min(kerf, kerfs[a]) + abs(a - e) / 2)
            end = (b, kerfs[b])
            following[end] = min(following.get(end, math.inf), min(costs) + middle)
        best, last = following, width
        most += middle + sum(kerfs[run] + abs(run) for run in ends)
    least = min(used + kerf + abs(run) / 2 for (run, kerf), used in best.items())
    return least, most + terms.kerf


def _on_stick(part: Plan) -> tuple[float, float, tuple[float, float]]:
    """Length on the mid-line, width on the saw, and the runs of the ends."""
    width = part["width"] if part["ripped"] else part["strip_width"]
    ends = [cut for cut in part["cuts"] if cut["op"] == "end"]
    if part["handling"] == "mark and hand saw" or len(ends) != 2:
        return part["overall"], width, (0.0, 0.0)
    left, right = sorted(ends, key=lambda cut: cut["side"])
    leans = [math.tan(math.radians(cut["mitre"])) for cut in (left, right)]
    # The piece lies along the fence; what its strip is wider lies on the maker's side.
    lower = (width - part["width"]) / 2
    middle = right["at"] - left["at"] - lower * (leans[1] - leans[0])
    # A part a hair narrower than its strip runs out to a point before the maker's side.
    middle = max(middle, width * abs(leans[1] - leans[0]) / 2)
    return middle, width, (width * leans[0], width * leans[1])


def check_laid(plan: Plan, terms: Terms) -> None:
    """Drawn on their stick, the pieces leave a kerf between them and keep clear of the tail."""
    parts = {part["mark"]: part for part in plan["parts"]}
    for stick in plan["sticks"]:
        say = f"stick {stick['name']}"
        assert [place["mark"] for place in stick["laid"]] == stick["pieces"], f"{say}: laid"
        before, far = None, terms.end_trim
        for number, place in enumerate(stick["laid"], 1):
            assert terms.may_roll or not place["rolled"], f"{say}: cut {number} is rolled"
            part = parts[place["mark"]]
            middle, width, (a, b) = _on_stick(part)
            # A shaving that is not worth a rip lies beside the piece, on the maker's side.
            shaving = width - part["width"]
            filed = any(cut["op"] == "corner" for cut in part["cuts"])
            slack = 0.02 + filed * terms.tape / 2  # its corner is still on
            if place["turned"]:
                a, b = b, a
            if place["rolled"]:
                a, b = -a, -b
            x, y, share = place["at"], width / 2, 1 - 2 * shaving / width
            piece = shapely.Polygon(
                [
                    (x - a * share / 2, shaving - y),
                    (x + middle - b * share / 2, shaving - y),
                    (x + middle + b / 2, y),
                    (x + a / 2, y),
                ]
            )
            assert piece.bounds[0] >= terms.end_trim - slack, f"{say}: cut {number} in the trim"
            if before is not None:
                apart = piece.distance(before)
                near = terms.kerf - slack - shaving
                assert apart >= near, f"{say}: {apart:.3f} mm before cut {number}"
            before, far = piece, piece.bounds[2] - slack
        kerf = terms.kerf if terms.holding else 0.0
        assert stick["used"] >= far + kerf - 0.02, f"{say}: used {stick['used']}, cut to {far}"


def check_bounds(plan: Plan) -> None:
    """The bounds count the sticks, and no plan beats what is proven."""
    found: Counter[tuple[str, float]] = Counter()
    for bound in plan["bounds"]:
        say = f"bound of {bound['wood']} {bound['width']}"
        assert bound["sticks"] >= bound["proven_least"] >= 0, say
        assert bound["status"], f"{say} has no status"
        found[bound["wood"], round(bound["width"], 2)] += bound["sticks"]
    assert sum(found.values()) == len(plan["sticks"]), "the bounds count other sticks"
    assert len(found) == len(plan["bounds"]), "two bounds for one wood and width"


def check_to_buy(plan: Plan, terms: Terms) -> None:
    """To buy: the sticks, grown by the share that is lost, and the spare ones, by wood.

    A wood that comes in two widths may be reckoned as one or width by width.
    """
    needed: defaultdict[str, Counter[float]] = defaultdict(Counter)
    for stick in plan["sticks"]:
        if not stick["offcut"]:
            needed[stick["wood"]][round(stick["strip_width"], 2)] += 1

    def grown(count: int) -> int:
        return math.ceil(count / (1 - terms.defects) - 1e-9) + terms.spare_sticks

    bought = plan["totals"]["sticks_to_buy"]
    assert set(bought) == set(needed), f"sticks to buy of {sorted(bought)}"
    for wood, counts in needed.items():
        allowed = {grown(counts.total()), sum(map(grown, counts.values()))}
        assert bought[wood] in allowed, f"{wood}: buy {bought[wood]}, should be {allowed}"
