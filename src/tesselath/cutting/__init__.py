"""Cutting sticks: the fewest sticks for given pieces, with shared mitre cuts, and a proof.

Comes in: pieces with their ends, kinds of stick, and how the stick is sawn.
Goes out: a plan, and a certificate that anybody can check.
Refuses: what no stick can give.
"""

from __future__ import annotations

from tesselath.cutting.certificate import check_certificate
from tesselath.cutting.ends import EndProfile, end_of_cuts, pointed_end, straight_end
from tesselath.cutting.gaps import RULES, JointRule
from tesselath.cutting.one_stick import closed_form, stick_sum
from tesselath.cutting.solve import plan_sticks
from tesselath.cutting.stock import (
    Certificate,
    CutPiece,
    CutStick,
    PlacedPiece,
    Sawing,
    StickKind,
    StickPlan,
)

__all__ = [
    "RULES",
    "Certificate",
    "CutPiece",
    "CutStick",
    "EndProfile",
    "JointRule",
    "PlacedPiece",
    "Sawing",
    "StickKind",
    "StickPlan",
    "check_certificate",
    "closed_form",
    "end_of_cuts",
    "plan_sticks",
    "pointed_end",
    "stick_sum",
    "straight_end",
]
