"""Frame and base: the members round the top, and the panel under it.

Comes in: the design, the opening, the outlines of the zones. Goes out: members with their long
points, the pieces of their joints, the base as it is sawn, the lines to draw on it, and the figures
to measure before anything is cut to them. A joint that cannot be made is refused with the design.

Mitred, a member is measured long point to long point; butted, front and back run through::

     ___________________      long point        how the frame sits
     \\_________________/      short point        round the base     |##|======|##|
                                                 on the base        |##|      |##|
                                                                   =================
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import atan2, degrees, hypot

import numpy as np

from tesselath.design import Design, Frame
from tesselath.frame.sheets import SheetCut, cut_sheets
from tesselath.measure import ALIKE
from tesselath.shape import Outline, corners_moved_out, inset, is_box, side_runs, turned

__all__ = [
    "BasePanel",
    "FrameBase",
    "GuideLine",
    "JointPieces",
    "Member",
    "Reading",
    "group_members",
    "measure_members",
    "plan_frame_base",
]

#: A sheet as it is sold, where the design names none [mm].
_SHEETS = {"in": (2438.4, 1219.2), "mm": (2500.0, 1250.0)}

_SIDES = ("front", "right", "back", "left")


@dataclass(frozen=True, slots=True)
class Member:
    """A member of the frame [mm, degrees].

    ``mitres`` are from square at its two ends, counter-clockwise round the top. ``blank`` is the
    board it is sawn from, length and width; a ``shaped`` member is sawn to a curve.
    """

    name: str
    long_point: float
    short_point: float
    mitres: tuple[float, float]
    blank: tuple[float, float]
    shaped: bool


@dataclass(frozen=True, slots=True)
class JointPieces:
    """The loose pieces of the frame's joints [mm].

    ``reach`` is how far one goes into each member; a spline runs ``along`` the joint, a loose
    tenon is as long as twice the reach; a key crosses the corner that far from its tip.
    """

    kind: str
    count: int
    reach: float
    across: float
    along: float | None


@dataclass(frozen=True, slots=True)
class BasePanel:
    """The panel under the strips [mm].

    ``cut`` is its size as it is sawn, over-long when the field is trimmed after gluing;
    ``finished`` what it ends as. ``outline`` is what is sawn where that is no rectangle.
    ``listed`` tells whether the design names the sheet; else the usual one is taken.
    """

    finished: tuple[float, float]
    cut: tuple[float, float]
    outline: Outline | None
    thickness: float | None
    sheets: SheetCut
    listed: bool


@dataclass(frozen=True, slots=True)
class GuideLine:
    """A line to draw on the base, from its left or its front edge [mm]."""

    axis: str  # "across": from the left edge; "away": from the front edge
    name: str
    at: float


@dataclass(frozen=True, slots=True)
class Reading:
    """A figure to measure and write down before something is cut to it [mm]."""

    what: str
    planned: float
    cut: str
    add: float | None


@dataclass(frozen=True, slots=True)
class FrameBase:
    """The frame and the base."""

    members: tuple[Member, ...]
    joints: JointPieces | None
    base: BasePanel | None
    lines: tuple[GuideLine, ...]
    readings: tuple[Reading, ...]


def plan_frame_base(
    design: Design, *, opening: Outline, field: Outline, zones: Mapping[str, Outline]
) -> FrameBase:
    """Plan the frame and the base.

    Source: common practice; lengths are identities of the mitred or butted rectangle.

    Parameters
    ----------
    design : Design
        The design, with its frame, base and order of work.
    opening, field : array (n, 2)
        The clear area inside the frame, and what the strips cover [mm].
    zones : mapping of str to array (n, 2)
        The outline of each zone by its name [mm].

    Returns
    -------
    FrameBase
        Members, joints, base, lines and readings; empty where the design names neither.
    """
    members: tuple[Member, ...] = ()
    joints = None
    if design.frame is not None:
        members = measure_members(design.frame, opening)
        joints = _joints(design.frame, members)
    base = _base(design, opening)
    lines = _lines(design, base, opening=opening, field=field, zones=zones) if base else ()
    return FrameBase(members, joints, base, lines, _readings(design, members, opening))


def group_members(members: Sequence[Member]) -> list[tuple[str, Member, int]]:
    """Gather members that are cut alike, opposite ones first: names, one of them, how many.

    Source: common practice.

    Parameters
    ----------
    members : sequence of Member
        The members, counter-clockwise from the front.

    Returns
    -------
    list of (str, Member, int)
        "front and back", a member and their count [count].

    Examples
    --------
    >>> side = Member("front", 90.0, 80.0, (45.0, 45.0), (90.0, 5.0), False)
    >>> [(names, count) for names, _, count in group_members([side, side])]
    [('front and front', 2)]
    """
    groups: list[list[Member]] = []
    for member in members:
        for group in groups:
            if _alike(group[0], member):
                group.append(member)
                break
        else:
            groups.append([member])
    return [(_names(group), group[0], len(group)) for group in groups]


def _alike(one: Member, other: Member) -> bool:
    lengths = zip(
        (one.long_point, one.short_point, *one.blank),
        (other.long_point, other.short_point, *other.blank),
        strict=True,
    )
    return (
        all(abs(a - b) <= ALIKE for a, b in lengths)
        and one.shaped == other.shaped
        and sorted(round(m, 2) for m in one.mitres) == sorted(round(m, 2) for m in other.mitres)
    )


def _names(group: Sequence[Member]) -> str:
    names = [member.name for member in group]
    if names == ["right", "left"]:
        names = ["left", "right"]
    if len(names) <= 2:
        return " and ".join(names)
    return ", ".join(names[:-1]) + " and " + names[-1]


def measure_members(frame: Frame, opening: Outline) -> tuple[Member, ...]:
    """Measure the members of a frame, from the front counter-clockwise.

    Source: identities of the mitred or butted frame.
    """
    outer = corners_moved_out(opening, frame.width)
    if frame.corner == "butt" and is_box(opening):
        return tuple(_butted(frame, opening))
    runs = side_runs(opening)
    start = _front(opening, [run.corners for run in runs])
    runs = runs[start:] + runs[:start]
    names = _SIDES if len(runs) == 4 else [f"side {n}" for n in range(1, len(runs) + 1)]
    return tuple(
        _member(name, opening[list(run.corners)], outer[list(run.corners)], run.mitres)
        for name, run in zip(names, runs, strict=True)
    )


def _front(opening: Outline, runs: Sequence[Sequence[int]]) -> int:
    """Find the run that lies nearest to the maker: the lowest on average."""
    levels = [round(float(opening[[run[0], run[-1]], 1].mean()), 3) for run in runs]
    return levels.index(min(levels))


def _member(name: str, inner: Outline, outer: Outline, mitres: tuple[float, float]) -> Member:
    if len(inner) == 2:
        sides = [hypot(*(edge[1] - edge[0])) for edge in (inner, outer)]
        (along, away), (dx, dy) = inner[1] - inner[0], outer[0] - inner[0]
        width = abs(float(along * dy - away * dx)) / sides[0]
        long, short = max(sides), min(sides)
        return Member(name, long, short, mitres, (long, width), shaped=False)
    chord = outer[-1] - outer[0]
    lying = np.asarray(turned(np.vstack([inner, outer]), -degrees(atan2(chord[1], chord[0]))))
    length, width = (float(side) for side in np.ptp(lying, axis=0))
    long, short = (float(np.hypot(*np.diff(edge, axis=0).T).sum()) for edge in (outer, inner))
    return Member(name, max(long, short), min(long, short), mitres, (length, width), shaped=True)


def _butted(frame: Frame, opening: Outline) -> list[Member]:
    width, depth = (float(v) for v in np.ptp(np.asarray(opening), axis=0))
    through = width + 2 * frame.width
    return [
        Member(name, length, length, (0.0, 0.0), (length, frame.width), shaped=False)
        for name, length in zip(_SIDES, (through, depth, through, depth), strict=True)
    ]


def _joints(frame: Frame, members: Sequence[Member]) -> JointPieces | None:
    if frame.joint == "none":
        return None
    reach = frame.joint_allowance
    mitres = [member.mitres[0] for member in members]
    along = frame.width / float(np.cos(np.radians(max(mitres, default=0.0))))
    return JointPieces(
        frame.joint, len(members), reach, 2 * reach, along if frame.joint == "spline" else None
    )


def _base(design: Design, opening: Outline) -> BasePanel | None:
    base = design.base
    if base is None:
        return None
    finished, cut = _growth(design)
    width, depth = (float(v) for v in np.ptp(np.asarray(opening), axis=0))
    outline = None if is_box(opening) else inset(opening, -cut)[0]
    size = width + 2 * cut, depth + 2 * cut
    if outline is not None:
        box = np.ptp(np.asarray(outline), axis=0)
        size = float(box[0]), float(box[1])
    sheet = base.sheet or _SHEETS[design.units]
    return BasePanel(
        finished=(width + 2 * finished, depth + 2 * finished),
        cut=size,
        outline=outline,
        thickness=base.thickness,
        sheets=cut_sheets(*size, sheet=sheet, kerf=design.stock.rip_kerf),
        listed=base.sheet is not None,
    )


def _growth(design: Design) -> tuple[float, float]:
    """Tell how far the base reaches beyond the opening, finished and as it is sawn [mm]."""
    frame, over = design.frame, design.strips.overlength
    if frame is not None and frame.sits == "on the base":
        finished = frame.width
    elif design.order == "trim" or frame is None or design.base is None:
        finished = 0.0  # trimmed with the field, or with nothing round it
    else:
        finished = (frame.lap if design.order == "lap" else 0.0) - design.base.clearance
    return finished, finished + (over if design.order == "trim" else 0.0)


def _lines(
    design: Design,
    base: BasePanel,
    *,
    opening: Outline,
    field: Outline,
    zones: Mapping[str, Outline],
) -> tuple[GuideLine, ...]:
    """List what is drawn on the base, each way from one zero."""
    named: list[tuple[str, Outline]] = []
    if design.order == "trim":
        named.append(("trim line", opening))
    elif design.frame is not None and design.frame.sits == "on the base":
        named.append(("inner edge of the frame", opening))
    named.append(("edge of the field", field))
    named += [(_zone_line(name), outline) for name, outline in zones.items()]
    lines = []
    for n, axis in enumerate(("across", "away")):
        middle = float(opening[:, n].min() + opening[:, n].max()) / 2
        zero = middle - base.cut[n] / 2
        found = [("centre line", middle)]
        found += [
            (name, float(at))
            for name, outline in named
            for at in (outline[:, n].min(), outline[:, n].max())
        ]
        ordered = sorted(((round(at - zero, 3), k, name) for k, (name, at) in enumerate(found)))
        for at, same in groupby(ordered, key=lambda line: line[0]):
            first = next(same)[2]
            if ALIKE < at < base.cut[n] - ALIKE:
                lines.append(GuideLine(axis, first, at))
    return tuple(lines)


def _zone_line(name: str) -> str:
    if name.startswith("border-"):
        return f"outer edge of border {name.removeprefix('border-')}"
    if name.startswith("medallion-"):
        return f"edge of medallion {name.removeprefix('medallion-')}"
    return "edge of the patterned field"


def _readings(design: Design, members: Sequence[Member], opening: Outline) -> tuple[Reading, ...]:
    """List what is measured first, and what is then cut to it."""
    width, depth = (float(v) for v in np.ptp(np.asarray(opening), axis=0))
    whole = "panel" if design.order == "trim" else "opening"
    readings = []
    if design.order == "trim":
        for names, member, _ in group_members(members):
            butt = member.mitres == (0.0, 0.0)
            side = member.short_point
            if butt:
                side = width if "front" in names else depth
            kind = "length" if butt else "long point"
            readings.append(
                Reading(
                    f"{whole}, {names}",
                    side,
                    f"{kind} of {names}",
                    None if member.shaped else member.long_point - side,
                )
            )
    elif is_box(opening):
        what = [("front and back", width), ("left and right", depth)]
        clear = 0.0 - 2 * design.opening.clearance
        grow = 2 * _growth(design)[1]
        for n, (names, side) in enumerate(what):
            cut = f"field, {('left to right', 'front to back')[n]}"
            if design.order == "lap" and design.frame is not None:
                clear = 2 * design.frame.lap
            readings.append(Reading(f"opening, {names}", side, cut, clear))
            if design.base is not None:
                readings.append(
                    Reading(f"opening, {names}", side, cut.replace("field", "base"), grow)
                )
    if len(opening) == 4:
        readings += _corner_readings(opening, whole, sides=design.order != "trim")
    return tuple(readings)


def _corner_readings(opening: Outline, whole: str, *, sides: bool) -> list[Reading]:
    """List the sides of an opening out of square, and both diagonals of any."""
    readings = []
    first = int(np.argmin(opening.sum(axis=1)))
    corners = np.roll(opening, -first, axis=0)
    if sides and not is_box(opening):
        lengths = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
        readings += [
            Reading(f"{whole}, {name}", float(side), "", None)
            for name, side in zip(_SIDES, lengths, strict=True)
        ]
    for n, name in enumerate(("front left to back right", "front right to back left")):
        across = float(hypot(*(corners[n + 2] - corners[n])))
        readings.append(Reading(f"{whole}, {name}", across, "", None))
    return readings
