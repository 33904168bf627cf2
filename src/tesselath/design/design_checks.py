"""Checks among a design's keys: what is right alone and wrong together.

Comes in: a design whose keys have been checked one by one, and which of them are faulty. Goes out:
complaints. Refuses: nothing itself; a check that rests on a faulty key is left out, so that one
slip is answered once.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from tesselath.design.design_faults import Complaint
from tesselath.design.design_models import MEASURED_KEYS, AirModel, DesignModel, OpeningModel
from tesselath.measure import ON_THE_LINE, show_length
from tesselath.shape import SIDES, cannot_close

__all__ = ["check_together", "opening_size"]

_Point = tuple[float, float]

#: Less than this is no opening [mm].
_LEAST_OPENING = 20.0
_MOST_CORNERS = 500
_LONGEST_NAME = 40


def check_together(model: DesignModel, *, faulty: Collection[str]) -> list[Complaint]:
    """Check what depends on several keys."""
    found: list[Complaint] = []
    for check, rests_on in _CHECKS:
        if not any(_within(key, table) for key in faulty for table in rests_on):
            found.extend(check(model))
    return found


def _check_way(model: DesignModel) -> Iterator[Complaint]:
    """Ask that the opening is given in one way, and whole."""
    opening = model.opening
    ways: dict[str, list[str]] = {
        "width and depth": [key for key in ("width", "depth") if getattr(opening, key) is not None],
        "overall": ["overall"] if opening.overall else [],
        "points": ["points"] if opening.points is not None else [],
        "measured sides": [key for key in MEASURED_KEYS if getattr(opening, key) is not None],
    }
    used = [way for way, keys in ways.items() if keys]
    if not used:
        yield Complaint(
            "opening",
            "An opening needs its size.",
            'Write width = "54" and depth = "20", or overall, points or measured sides.',
        )
    elif len(used) > 1:
        rule = f"An opening is given in one way, not by {' and by '.join(used)}."
        yield Complaint(f"opening.{ways[used[-1]][0]}", rule, f"Keep {used[0]}, or the other.")
    elif len(ways["width and depth"]) == 1:
        other = "depth" if opening.depth is None else "width"
        yield Complaint("opening", f"{other} is missing here.", f'Write {other} = "20".')
    elif used == ["measured sides"]:
        missing = [key for key in MEASURED_KEYS[:4] if getattr(opening, key) is None]
        if missing:
            rule = f"A measured opening needs all four sides; missing is {', '.join(missing)}."
            yield Complaint("opening", rule)
        if all(getattr(opening, key) is None for key in MEASURED_KEYS[4:]):
            rule = "A measured opening needs one diagonal or both."
            yield Complaint("opening", rule, f'Write {MEASURED_KEYS[4]} = "57 9/16".')
    yield from _check_corners(opening, measured=used == ["measured sides"])


def _check_corners(opening: OpeningModel, *, measured: bool) -> Iterator[Complaint]:
    """Ask that corners are shaped in one way, and where there are any."""
    plain = opening.width is not None or opening.overall is not None
    if opening.oval and not plain:
        yield Complaint("opening.oval", "An oval needs a width and a depth, or an overall size.")
    if opening.corner_radius and opening.corner_clip:
        rule = "Corners are rounded or clipped, not both."
        yield Complaint("opening.corner_clip", rule, "Leave one of the two out.")
    for key in ("corner_radius", "corner_clip"):
        if getattr(opening, key) and opening.oval:
            rule, remedy = "An oval has no corners.", "Leave one of the two out."
            yield Complaint(f"opening.{key}", rule, remedy)
        elif getattr(opening, key) and measured:
            rule = "Sides and diagonals are measured from corner to corner: the corners are sharp."
            yield Complaint(f"opening.{key}", rule, "Give it by width and depth, or by points.")


def _check_size(model: DesignModel) -> Iterator[Complaint]:
    """Ask that there is room in the opening."""
    opening = model.opening
    if opening.overall and model.frame is None:
        rule = "An overall size needs the width of the frame."
        yield Complaint("opening.overall", rule, 'Write [frame] and under it width = "2 1/2".')
        return
    width, depth = opening_size(model)
    if width is None or depth is None:
        return
    narrow = min(width, depth)
    if narrow < _LEAST_OPENING and not opening.points:
        key = "overall" if opening.overall else "width" if width <= depth else "depth"
        if opening.front is not None:
            key = "front" if width <= depth else "right"
        rule = f"An opening must be at least {_show(_LEAST_OPENING, model)} wide and deep."
        if opening.overall:
            inside = _show(narrow, model) if narrow > 0 else "nothing"
            rule = f"{rule[:-1]}; inside the frame there is {inside}."
        yield Complaint(f"opening.{key}", rule)
    elif 2 * opening.clearance >= narrow:
        rule = f"The clearance must be less than half the opening, {_show(narrow / 2, model)}."
        yield Complaint("opening.clearance", rule)


def _check_measured(model: DesignModel) -> Iterator[Complaint]:
    """Ask that an opening with these measures can be."""
    read = {key: getattr(model.opening, key) for key in MEASURED_KEYS}
    known = {key: mm for key, mm in read.items() if mm is not None}
    if all(key in known for key in SIDES) and len(known) > len(SIDES):
        wrong = cannot_close(known, show=lambda mm: _show(mm, model))
        if wrong is not None:
            yield Complaint(f"opening.{wrong[0]}", wrong[1], "Measure all of it again.")


def _check_outlines(model: DesignModel) -> Iterator[Complaint]:
    """Ask that outlines by their corners are simple polygons."""
    if model.opening.points is not None:
        yield from _check_outline("opening.points", model.opening.points)
    for number, medallion in enumerate(model.medallion, 1):
        yield from _check_outline(f"medallion.{number}.points", medallion.points)


def _check_outline(key: str, points: list[_Point]) -> Iterator[Complaint]:
    count = len(points)
    if not 3 <= count <= _MOST_CORNERS:
        rule = f"An outline has from 3 to {_MOST_CORNERS} corners, and this has {count}."
        yield Complaint(key, rule)
        return
    for number, point in enumerate(points):
        after = points[(number + 1) % count]
        if max(abs(point[0] - after[0]), abs(point[1] - after[1])) < ON_THE_LINE:
            rule = f"Corners {number + 1} and {(number + 1) % count + 1} are the same point."
            yield Complaint(key, rule, "The last corner is joined to the first by itself.")
            return
    sides = [(points[n], points[(n + 1) % count]) for n in range(count)]
    for first in range(count):
        for second in range(first + 1, count):
            neighbours = second - first in (1, count - 1)
            if _meet(sides[first], sides[second], neighbours=neighbours):
                rule = f"The side from corner {first + 1} meets the side from corner {second + 1}."
                yield Complaint(key, rule, "List the corners in the order in which they follow.")
                return
    across = max(x for x, _ in points) - min(x for x, _ in points)
    away = max(y for _, y in points) - min(y for _, y in points)
    if min(across, away) < _LEAST_OPENING:
        rule = f"An outline must be at least {_LEAST_OPENING:.0f} mm wide and deep."
        yield Complaint(key, rule)


def _meet(one: tuple[_Point, _Point], two: tuple[_Point, _Point], *, neighbours: bool) -> bool:
    """Tell whether two sides meet elsewhere than at the corner that neighbours share."""
    (a, b), (c, d) = one, two
    if neighbours:
        # They share a corner; they overlap only where one folds back along the other.
        shared, p, q = (b, a, d) if b == c else (a, b, c)
        along = (p[0] - shared[0]) * (q[0] - shared[0]) + (p[1] - shared[1]) * (q[1] - shared[1])
        return along > 0 and abs(_turn(shared, p, q)) <= ON_THE_LINE
    turns = (_turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b))
    if turns[0] * turns[1] < 0 and turns[2] * turns[3] < 0:
        return True
    return any(
        turn == 0
        and min(p[0], q[0]) <= r[0] <= max(p[0], q[0])
        and min(p[1], q[1]) <= r[1] <= max(p[1], q[1])
        for turn, p, q, r in zip(turns, (a, a, c, c), (b, b, d, d), (c, d, a, b), strict=True)
    )


def _turn(a: _Point, b: _Point, c: _Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _check_frame(model: DesignModel) -> Iterator[Complaint]:
    frame = model.frame
    if model.order == "lap" and frame is None:
        rule = 'The order "lap" needs a frame, which covers the edge of the field.'
        yield Complaint("order", rule, 'Write [frame] with width and lap, or order = "let in".')
    if frame is None:
        return
    if frame.thickness is not None and (frame.recess or 0) > frame.thickness:
        rule = f"A recess must be at most the frame's thickness, {_show(frame.thickness, model)}."
        yield Complaint("frame.recess", rule)
    if model.order == "lap" and frame.lap == 0:
        rule = 'With the order "lap" the frame must cover the field by more than 0.'
        yield Complaint("frame.lap", rule, 'Write lap = "1/4 in", or order = "let in".')
    if model.order == "lap" and frame.lap >= frame.width:
        rule = f"A lap must be less than the frame's width, {_show(frame.width, model)}."
        yield Complaint("frame.lap", rule)


def _check_joint(model: DesignModel) -> Iterator[Complaint]:
    frame = model.frame
    if frame is None or frame.joint == "none":
        return
    if frame.joint == "key" and frame.corner != "mitre":
        rule = "A key is let across a mitred corner."
        yield Complaint("frame.joint", rule, 'Write corner = "mitre", or joint = "loose tenon".')
    if frame.joint_allowance >= frame.width:
        rule = f"A joint must reach less far than the frame is wide, {_show(frame.width, model)}."
        yield Complaint("frame.joint_allowance", rule)


def _check_strips(model: DesignModel) -> Iterator[Complaint]:
    width = min(model.strips.measured) if model.strips.measured else model.strips.width
    if model.strips.measured is not None and not model.strips.measured:
        yield Complaint("strips.measured", "A list of measured widths has one width at the least.")
    if width is not None and model.strips.gap >= width:
        rule = f"A gap must be less than the strips are wide, {_show(width, model)}."
        yield Complaint("strips.gap", rule)


def _check_borders(model: DesignModel) -> Iterator[Complaint]:
    for number, border in enumerate(model.border, 1):
        squares = border.pattern is not None and border.corner == "square"
        if border.wood is None and border.pattern is None:
            rule = "A border has a wood or a pattern."
            yield Complaint(f"border.{number}", rule, 'Write wood = "walnut".')
        elif border.wood is not None and border.pattern is not None and not squares:
            rule = "A border has either a wood or a pattern."
            remedy = 'With corner = "square" the wood is that of the corner squares.'
            yield Complaint(f"border.{number}.pattern", rule, remedy)
        elif border.set and border.pattern is None:
            yield Complaint(f"border.{number}.set", "Sizes need a pattern.", "Name the pattern.")
    width, depth = opening_size(model)
    half = min(width or 0, depth or 0) / 2
    if sum(border.width for border in model.border) >= half > 0:
        rule = f"Borders leave room for a field; half the opening is {_show(half, model)}."
        yield Complaint(f"border.{len(model.border)}.width", rule)


#: Prices that say nothing of a board whose width is not known.
_PER_LENGTH = ("foot", "metre", "stick")


def _check_woods(model: DesignModel) -> Iterator[Complaint]:
    spelt: dict[str, str] = {}
    for name, wood in model.woods.items():
        first = spelt.setdefault(" ".join(name.casefold().split()), name)
        if first != name:
            yield Complaint(f"woods.{name}", f"This wood stands twice, as {first} as well.")
        if not name.strip() or len(name) > _LONGEST_NAME or not name.isprintable():
            rule = f"A wood's name stands on one line of at most {_LONGEST_NAME} letters."
            yield Complaint(f"woods.{name}", rule)
        if wood.price is not None and wood.per is None:
            yield Complaint(f"woods.{name}.price", "A price says per what.", 'Add per = "foot".')
    for number, board in enumerate(model.stock.board, 1):
        if board.price is not None and board.per is None:
            key = f"stock.board.{number}.price"
            yield Complaint(key, "A price says per what.", 'Add per = "board foot".')
        elif board.width is None and board.price is not None and board.per in _PER_LENGTH:
            rule = f"A board of random width has no price by the {board.per}."
            remedy = 'Give its width, or per = "board foot" or "cubic metre".'
            yield Complaint(f"stock.board.{number}.per", rule, remedy)


def _check_room(model: DesignModel) -> Iterator[Complaint]:
    for key in ("dry", "humid", "made"):
        air: AirModel = getattr(model.room, key)
        pair = (air.temperature is not None, air.humidity is not None)
        whole = pair == (True, True)
        if (air.moisture is not None and any(pair)) or (air.moisture is None and not whole):
            rule = "The air takes moisture, or temperature and humidity."
            remedy = 'Write { moisture = 8 } or { temperature = "21 C", humidity = 30 }.'
            yield Complaint(f"room.{key}", rule, remedy)


def _check_glue(model: DesignModel) -> Iterator[Complaint]:
    if model.glue.pace > model.glue.open_time:
        rule = "The open time must be at least the pace, or no piece is laid in time."
        yield Complaint("glue.open_time", rule)


_SIZES = tuple(f"opening.{key}" for key in ("width", "depth", "overall", "points", *MEASURED_KEYS))
_CHECKS = (
    (_check_way, _SIZES),
    (_check_size, (*_SIZES, "opening.clearance", "frame.width")),
    (_check_measured, tuple(f"opening.{key}" for key in MEASURED_KEYS)),
    (_check_outlines, ("opening.points", "medallion")),
    (_check_frame, ("order", "frame.width", "frame.thickness", "frame.recess", "frame.lap")),
    (_check_joint, ("frame.width", "frame.corner", "frame.joint", "frame.joint_allowance")),
    (_check_strips, ("strips.width", "strips.gap", "strips.measured")),
    (_check_borders, ("border", *_SIZES, "frame.width")),
    (_check_woods, ("woods", "stock.board")),
    (_check_room, ("room",)),
    (_check_glue, ("glue",)),
)


def opening_size(model: DesignModel) -> tuple[float | None, float | None]:
    """Give the width and depth of an opening, the frame taken off an overall size."""
    opening = model.opening
    if opening.points:
        xs, ys = zip(*opening.points, strict=True)
        return max(xs) - min(xs), max(ys) - min(ys)
    if None not in (opening.front, opening.right, opening.back, opening.left):
        front, right, back, left = (getattr(opening, key) or 0.0 for key in SIDES)
        return (front + back) / 2, (right + left) / 2
    if opening.overall is None or model.frame is None:
        return opening.width, opening.depth
    frame = 2 * model.frame.width
    return opening.overall[0] - frame, opening.overall[1] - frame


def _within(key: str, table: str) -> bool:
    """Tell whether a key is a table, lies in it or holds it."""
    return key == table or key.startswith(f"{table}.") or table.startswith(f"{key}.")


def _show(mm: float, model: DesignModel) -> str:
    return show_length(mm, tape=model.tape, units=model.units)
