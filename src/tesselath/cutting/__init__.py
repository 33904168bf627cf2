"""Cutting sticks: the fewest sticks for given pieces, with shared mitre cuts, and a proof.

Comes in: pieces with their ends, kinds of stick, and how the stick is sawn. Goes out: a plan, and a
certificate that anybody can check. Refuses: what no stick can give.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.cutting.certificate import check_certificate as check_certificate
    from tesselath.cutting.ends import (
        EndProfile as EndProfile,
        end_of_cuts as end_of_cuts,
        pointed_end as pointed_end,
        straight_end as straight_end,
    )
    from tesselath.cutting.gaps import RULES as RULES, JointRule as JointRule
    from tesselath.cutting.solve import plan_sticks as plan_sticks
    from tesselath.cutting.stock import (
        Certificate as Certificate,
        CutPiece as CutPiece,
        CutStick as CutStick,
        PlacedPiece as PlacedPiece,
        Sawing as Sawing,
        StickKind as StickKind,
        StickPlan as StickPlan,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "certificate": "check_certificate",
            "ends": "EndProfile end_of_cuts pointed_end straight_end",
            "gaps": "RULES JointRule",
            "solve": "plan_sticks",
            "stock": "Certificate CutPiece CutStick PlacedPiece Sawing StickKind StickPlan",
        },
    )
