"""The wood's part of plan.json: movement, thickness and weight, exact.

Comes in: movement, stack and weight as planned. Goes out: plain tables; lengths in mm, weights in
kg.
"""

from __future__ import annotations

from tesselath.wood import Movement, Stack, Weight

__all__ = ["movement_tables", "thickness_table", "weight_table"]


def movement_tables(movement: Movement) -> dict[str, object]:
    """Give what the seasons do to a top.

    Returns
    -------
    dict
        "strip", "row", "field", "frame", "verdict" and what they rest on [mm].
    """
    seasons, strip, frame = movement.seasons, movement.strip, movement.frame
    return {
        "moisture": {"dry": seasons.dry, "humid": seasons.humid, "made": seasons.made},
        "strip": {
            "width": strip.width,
            "change": strip.change,
            "wood": strip.wood,
            "shrinks": strip.shrinks,
            "swells": strip.swells,
        },
        "row": movement.row_change,
        "row_strips": len(movement.row.strips),
        "row_length": movement.row.length,
        "field": {
            "along": movement.along,
            "across": movement.across,
            "free_along": movement.free[0],
            "free_across": movement.free[1],
        },
        "frame": None if frame is None else frame.change,
        "frame_wood": None if frame is None else frame.wood,
        "mitre_opens": None if frame is None else frame.opens,
        "joint_opens": movement.joint,
        "gap": {"needed": movement.room_needed, "given": movement.room_left},
        "cup": {"rise": movement.cup, "over": movement.cup_over},
        "woods": [
            {
                "wood": w.wood,
                "species": w.species,
                "known": w.known,
                "direction": w.direction,
                "coefficient": w.coefficient,
                "confidence": w.confidence,
                "width": w.width,
                "change": w.change,
                "shrinks": w.shrinks,
                "swells": w.swells,
            }
            for w in movement.woods
        ],
        "swings": [
            {
                "humidity": s.humidity,
                "moisture": s.moisture,
                "field": list(s.field),
                "free": list(s.free),
            }
            for s in movement.swings
        ],
        "widest_strip": movement.widest,
        "verdict": movement.degree,
    }


def thickness_table(stack: Stack) -> dict[str, object]:
    """Give the stack of thicknesses [mm]."""
    return {
        "strips": stack.strips,
        "glue": stack.glue,
        "height": stack.height,
        "recess": stack.recess,
        "proud": stack.proud,
        "degree": stack.degree,
        "lip": stack.lip,
        "frame_covers": stack.covers,
    }


def weight_table(weight: Weight) -> dict[str, object]:
    """Give the weight of the finished top [kg]."""
    return {
        "total": weight.total,
        "strips": dict(weight.strips),
        "frame": weight.frame,
        "base": weight.base,
        "without": list(weight.without),
    }
