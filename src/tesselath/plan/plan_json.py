"""plan.json: the whole plan for programs, at full precision.

Comes in: a plan. Goes out: a text of JSON (format ``tesselath-plan/1``); lengths in mm, angles in
degrees, outlines counter-clockwise without a repeated last point.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from tesselath.accuracy import tolerance_table
from tesselath.design import Design
from tesselath.errors import Fault, OutputError
from tesselath.field import show_layout
from tesselath.frame import FrameBase
from tesselath.glue import GlueUp
from tesselath.parts import Part
from tesselath.plan.plan import Plan
from tesselath.plan.plan_shape import is_plan
from tesselath.plan.wood_json import movement_tables, thickness_table, weight_table
from tesselath.shape import area
from tesselath.stock import account_for_sticks
from tesselath.top import say_trial_cut
from tesselath.work import Refit

__all__ = ["FORMAT", "plan_tables", "read_plan_json", "write_plan_json"]

FORMAT = "tesselath-plan/1"


def write_plan_json(plan: Plan) -> str:
    """Write a plan as JSON, one piece, part or set-up a line.

    Source: RFC 8259.

    Returns
    -------
    str
        The text, the same for the same plan.
    """
    lines = []
    for key, value in plan_tables(plan).items():
        if isinstance(value, list):
            rows = ",\n    ".join(_dump(row) for row in value)
            lines.append(f"  {_dump(key)}: [\n    {rows}\n  ]" if value else f"  {_dump(key)}: []")
        else:
            lines.append(f"  {_dump(key)}: {_dump(value)}")
    return "{\n" + ",\n".join(lines) + "\n}\n"


def read_plan_json(path: Path) -> dict[str, Any]:
    """Read a plan that was written before.

    Source: RFC 8259.

    Parameters
    ----------
    path : Path
        The plan.json of a plan folder.

    Raises
    ------
    OutputError
        If it cannot be read or is no plan of this program.
    """
    try:
        tables = json.loads(path.read_text(encoding="utf-8"))
        known = is_plan(tables) and tables["format"] == FORMAT
    except (OSError, ValueError, RecursionError):
        known = False
    if not known:
        in_folder = path.name == "plan.json"
        rule = f"This {'folder holds' if in_folder else 'is'} no plan of this version."
        place = str(path.parent if in_folder else path)
        raise OutputError(Fault(place, None, rule, "Plan the design anew."))
    return dict(tables)


def plan_tables(plan: Plan) -> dict[str, object]:
    """Give the contents of plan.json as plain tables."""
    design = plan.design
    box = np.ptp(np.asarray(plan.opening), axis=0)
    return {
        "format": FORMAT,
        "name": design.name,
        "mark": design.mark,
        "units": design.units,
        "order": design.order,
        "pattern": design.field.filling.pattern.name,
        "tape": design.tape,
        "gap": design.strips.gap,
        "saw_zero": design.saw.angle_offset,
        "saw_angles": list(design.saw.angles),
        "looks": _looks(design),
        "opening": {
            "outline": _points(plan.opening),
            "width": float(box[0]),
            "depth": float(box[1]),
            "area": area(plan.opening),
            "clearance": design.opening.clearance,
            **_measured(plan),
        },
        "layout": _layout(plan),
        "zones": [{"name": z.name, "outline": _points(z.outline)} for z in plan.zones],
        "pieces": [
            {
                "number": p.number,
                "part": p.part,
                "zone": p.zone,
                "wood": p.wood,
                "tone": p.tone,
                "outline": _points(p.outline),
                **({} if p.blank is None else {"blank": _points(p.blank)}),
                "grain": p.grain,
                "overall": p.overall,
                "edge": p.edge,
                "width": p.width,
                "row": p.row,
                "glue_up": p.glue_up,
                **({"cut": True} if p.cut else {}),
            }
            for p in plan.pieces
        ],
        "parts": [_part(part, plan) for part in plan.all_parts],
        "setups": [
            {
                "mitre": s.mitre,
                "swing": s.swing,
                "stop": s.stop,
                "stop_side": s.stop_side,
                "handling": s.handling,
                "end_mitre": s.end_mitre,
                "end_swing": s.end_swing,
                "strip_width": s.strip_width,
                "parts": list(s.parts),
                "count": s.count,
                "sticks": list(s.sticks),
                "scale": s.scale.angle,
                "scale_swing": s.scale.swing,
                "end_scale": s.end_scale.angle,
                "end_scale_swing": s.end_scale.swing,
            }
            for s in plan.setups
        ],
        "mark_outs": [
            {
                "part": m.part,
                "side": m.side,
                "op": m.op,
                "mitre": m.mitre,
                "run": m.run,
                "over": m.over,
                "at": m.at,
                "steep": m.steep,
            }
            for m in plan.mark_outs
        ],
        "rips": [
            {
                "wood": r.wood,
                "strip_width": r.strip_width,
                "width": r.width,
                "parts": list(r.parts),
                "sticks": list(r.sticks),
                "source": r.source,
                "source_width": r.source_width,
                "count": r.count,
                "plane_first": r.plane_first,
                "plane_after": r.plane_after,
            }
            for r in plan.rips
        ],
        "sticks": [
            {
                "name": s.name,
                "wood": s.wood,
                "width": s.width,
                "strip_width": s.strip_width,
                "length": s.length,
                "pieces": list(s.pieces),
                "used": s.used,
                "left_over": s.left_over,
                "offcut": s.offcut,
                "laid": [
                    {"mark": p.mark, "turned": p.turned, "rolled": p.rolled, "at": p.at}
                    for p in s.laid
                ],
            }
            for s in plan.sticks
        ],
        "accounts": [
            {
                "wood": a.wood,
                "sticks": a.sticks,
                "net": a.net,
                "spares": a.spares,
                "trim": a.trim,
                "kerf": a.kerf,
                "left_over": a.left_over,
            }
            for a in account_for_sticks(
                plan.parts, plan.sticks, end_trim=design.stock.end_trim
            ).values()
        ],
        "kerf": design.stock.kerf,
        "end_trim": design.stock.end_trim,
        "holding": design.saw.holding,
        "bounds": [
            {
                "wood": b.wood,
                "width": b.width,
                "sticks": b.sticks,
                "proven_least": b.proven_least,
                "status": b.status,
                "ripped": b.ripped,
                "to_buy": b.to_buy,
            }
            for b in plan.bounds
        ],
        "frame_base": _frame_base(plan.frame_base),
        "movement": movement_tables(plan.movement),
        "thickness": thickness_table(plan.stack),
        "weight": weight_table(plan.weight),
        "pin": None
        if plan.pin is None
        else {
            "kind": plan.pin.kind,
            "gauge": plan.pin.gauge,
            "length": plan.pin.length,
            "longest": plan.pin.longest,
        },
        "finish": {
            "face": plan.finish.face,
            "coats": plan.finish.coats,
            "millilitres": plan.finish.amount,
        },
        "hours": [
            {"work": h.work, "count": h.count, "unit": h.unit, "hours": h.hours}
            for h in plan.hours.rows
        ],
        "shopping": [
            {
                "what": r.what,
                "item": r.item,
                "wood": r.wood,
                "length": r.length,
                "width": r.width,
                "thickness": r.thickness,
                "count": r.count,
                "unit": r.unit,
                "price": r.price,
            }
            for r in plan.shopping
        ],
        "glue_ups": [_glue_up(g) for g in plan.glue_ups],
        "tolerance": tolerance_table(plan.tolerance),
        "trial_cuts": [
            {
                "kind": t.kind,
                "count": t.count,
                "parts": list(t.parts),
                "numbers": list(t.numbers),
                "planned": t.planned,
                "within": t.within,
                "axis": t.axis,
                "text": say_trial_cut(t, design),
            }
            for t in plan.trial_cuts
        ],
        "uncovered": {
            "area": plan.uncovered_area,
            "outlines": [_points(o) for o in plan.uncovered],
        },
        "orders": [
            {
                "order": o.order,
                "pieces": o.pieces,
                "parts": o.parts,
                "cuts": o.cuts,
                "setups": o.setups,
                "sticks": o.sticks,
                "net_length": o.net_length,
            }
            for o in plan.orders
        ],
        "stages": [{"stage": s.name, "do": s.do, "numbers": list(s.numbers)} for s in plan.stages],
        **({} if plan.refit is None else {"refit": _refit(plan.refit)}),
        "notes": [{"code": n.code, "text": n.text, "numbers": list(n.numbers)} for n in plan.notes],
        "totals": _plain(plan.totals),
    }


def _measured(plan: Plan) -> dict[str, object]:
    """How the readings of a measured opening come out, and how its edges run off."""
    measured = plan.measured
    if measured is None:
        return {}
    return {
        "measured": dict(plan.design.opening.measured),
        "fitted": dict(measured.fitted),
        "misclosure": measured.misclosure,
        "axis": plan.design.opening.axis,
        "tapers": [
            {
                "edge": t.name,
                "length": t.length,
                "lean": t.lean,
                "taper": t.taper,
                "wide_end": t.wide_end,
                "wide": t.wide,
                "narrow": t.narrow,
            }
            for t in plan.tapers
        ],
    }


def _part(p: Part, plan: Plan) -> dict[str, object]:
    """One part; in a refit its count and numbers are what is still to be cut."""
    refit = plan.refit
    is_done = refit is not None and any(p.mark == part.mark for part in refit.done)
    cut = [q.number for q in plan.pieces if q.cut and q.part == p.mark]
    return {
        "mark": p.mark,
        "count": 0 if is_done else p.count,
        "spares": 0 if is_done else p.spares,
        "wood": p.wood,
        "width": p.width,
        "strip_width": p.strip_width,
        "ripped": p.ripped,
        "edge": p.edge,
        "overall": p.overall,
        "long_point": p.long_point,
        "short_point": p.short_point,
        "mitres": list(p.mitres),
        "swings": list(p.swings),
        "handling": p.handling,
        "stop_side": p.stop_side,
        "cuts": [
            {
                "op": c.op,
                "side": c.side,
                "mitre": c.mitre,
                "at": c.at,
                **({"points": [list(xy) for xy in c.points]} if c.points else {}),
            }
            for c in p.cuts
        ],
        "handed_pair": p.handed_pair,
        "numbers": [] if is_done else list(p.numbers),
        **({} if refit is None else {"cut": cut}),
    }


def _layout(plan: Plan) -> dict[str, object]:
    """How the field is laid, for a refit; its edge is the one its pattern was laid for."""
    if plan.refit is not None:
        return dict(plan.refit.layout)
    edge = next(zone.outline for zone in plan.zones if zone.name == "field")
    return show_layout(plan.design, edge)


def _refit(refit: Refit) -> dict[str, object]:
    return {
        "from": refit.from_mark,
        "cut": [one.piece.number for one in refit.cut],
        "does_not_fit": [
            {"number": m.number, "how": m.how, "by": m.by, "do": m.do} for m in refit.does_not_fit
        ],
        "narrower": refit.narrower,
        "left_open": list(refit.left_open),
    }


def _looks(design: Design) -> dict[str, object]:
    """What a picture of the top needs beside the outlines."""
    frame = design.frame
    return {
        "frame": None
        if frame is None
        else {"width": frame.width, "corner": frame.corner, "wood": frame.wood},
        "colours": {name: w.colour for name, w in design.woods.items() if w.colour is not None},
    }


def _glue_up(glue_up: GlueUp) -> dict[str, object]:
    batten = glue_up.batten
    return {
        "number": glue_up.number,
        "numbers": list(glue_up.numbers),
        "zones": list(glue_up.zones),
        "trays": [{"part": mark, "count": count} for mark, count in glue_up.trays],
        "first_pair": list(glue_up.first_pair),
        "batten": None
        if batten is None
        else {
            "start": list(batten.start),
            "end": list(batten.end),
            "offset": batten.offset,
            "way": batten.way,
        },
        "box": list(glue_up.box),
        "spread_area": glue_up.spread_area,
        "grams": glue_up.grams,
        "minutes": glue_up.minutes,
        "hold_minutes": glue_up.hold_minutes,
        "pins": [{"number": p.number, "at": [p.x, p.y]} for p in glue_up.pins],
        "checks": [
            {
                "after": c.after,
                "zone": c.zone,
                "row": c.row,
                "number": c.number,
                "axis": c.axis,
                "side": c.side,
                "planned": c.planned,
                "likely": c.likely,
                "at": [list(xy) for xy in c.at],
            }
            for c in glue_up.checks
        ],
    }


def _frame_base(planned: FrameBase) -> dict[str, object]:
    base, joints = planned.base, planned.joints
    return {
        "members": [
            {
                "name": m.name,
                "long_point": m.long_point,
                "short_point": m.short_point,
                "mitres": list(m.mitres),
                "blank": list(m.blank),
                "shaped": m.shaped,
            }
            for m in planned.members
        ],
        "joints": None
        if joints is None
        else {
            "kind": joints.kind,
            "count": joints.count,
            "reach": joints.reach,
            "across": joints.across,
            "along": joints.along,
        },
        "base": None
        if base is None
        else {
            "finished": list(base.finished),
            "cut": list(base.cut),
            "thickness": base.thickness,
            **({} if base.outline is None else {"outline": _points(base.outline)}),
            "sheet": list(base.sheets.sheet),
            "sheets": base.sheets.sheets,
            "part": list(base.sheets.part),
            "joins": base.sheets.joins,
            "parts": [
                {"sheet": p.sheet, "at": [p.x, p.y], "size": [p.length, p.width]}
                for p in base.sheets.parts
            ],
        },
        "lines": [{"axis": g.axis, "name": g.name, "at": g.at} for g in planned.lines],
        "readings": [
            {"what": r.what, "planned": r.planned, "cut": r.cut, "add": r.add}
            for r in planned.readings
        ],
    }


def _points(outline: object) -> list[list[float]]:
    points: list[list[float]] = (np.asarray(outline, dtype=float) + 0.0).tolist()
    return points


def _plain(totals: Mapping[str, object]) -> dict[str, object]:
    return {k: dict(v) if isinstance(v, Mapping) else v for k, v in totals.items()}


def _dump(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)
