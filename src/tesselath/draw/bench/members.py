"""The members of the frame: each sort once, true in proportion, with its long point.

Comes in: a plan with a frame. Goes out: a sheet to a scale that fits the page. Refuses: a plan
without members.

The outer edge of a member lies on top, as it lies at the fence::

      |<------- long point ------->|
       \\__________________________/   front and back, make 2, mitres 45
        |<----- short point ----->|
"""

from __future__ import annotations

from tesselath.draw.paper import (
    INK,
    Fill,
    Item,
    Layer,
    Pens,
    Point,
    Polygon,
    Sheet,
    Stroke,
    Tape,
    Text,
    draw_dimension,
    fitted_cap,
)
from tesselath.frame import Member, group_members
from tesselath.measure import show_angle, tangent
from tesselath.plan import Plan

__all__ = ["draw_members"]

#: The height of lettering [mm].
_CAP = 2.2
_EDGE = Stroke(0.45, INK)
_WOOD = Fill("#efe7d6")


def draw_members(plan: Plan, *, width: float, height: float) -> Sheet:
    """Draw the members of the frame, each sort once.

    Parameters
    ----------
    width, height : float
        The room there is [mm].

    Returns
    -------
    Sheet
        The picture; all members to one scale, roles "member" and "dimension".
    """
    groups = [g for g in group_members(plan.frame_base.members) if not g[1].shaped]
    longest = max(member.long_point for _, member, _ in groups)
    widest = max(member.blank[1] for _, member, _ in groups)
    around = 17.0  # the measures of a member and the air to the next
    scale = min((width - 8.0) / longest, (height / len(groups) - around) / widest, 1.0)
    tape = Tape(plan.design.tape, plan.design.units, scale)
    items: list[Item] = []
    foot = 0.0
    for names, member, count in groups:
        foot -= around + member.blank[1] * scale
        items += _member(names, member, count, foot + 7.0, tape)
    return Sheet(
        f"{plan.design.name}: frame",
        -4.0,
        foot,
        longest * scale + 8.0,
        -foot,
        (Layer("members", tuple(items)),),
    )


def _member(names: str, member: Member, count: int, foot: float, tape: Tape) -> list[Item]:
    """Draw one member, its outer edge on top and its lower edge at the foot."""
    pens = Pens(_CAP)
    long, wide = member.long_point * tape.scale, member.blank[1] * tape.scale
    left, right = (wide * tangent(mitre) for mitre in member.mitres)
    top = foot + wide
    corners: list[Point] = [(left, foot), (long - right, foot), (long, top), (0.0, top)]
    mitres = sorted(round(mitre, 3) for mitre in member.mitres)
    ends = "square ends" if mitres[-1] == 0 else f"ends {show_angle(mitres[-1])}"
    if mitres[0] != mitres[-1]:
        ends = f"ends {show_angle(member.mitres[0])} and {show_angle(member.mitres[1])}"
    made = f"{names}: make {count}, {tape.show(wide)} wide, {ends}"
    room = long - left - right - 2.0
    items: list[Item] = [
        Polygon((tuple(corners),), _WOOD, _EDGE, role="member"),
        *draw_dimension(
            (long, top),
            (0.0, top),
            away=4.5,
            tape=tape,
            pens=pens,
            words="long point" if mitres[-1] else "length",
        ),
    ]
    if mitres[-1]:
        items += draw_dimension(
            corners[0], corners[1], away=4.5, tape=tape, pens=pens, words="short point"
        )
    cap = min(fitted_cap(made, room, _CAP, 600), 0.6 * wide)
    middle = (left + long - right) / 2, foot + wide / 2
    return [*items, Text(made, middle, cap, weight=600, role="member-name")]
