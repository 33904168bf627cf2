"""Revising: measured again, compared, spoiled; what reads an earlier plan."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.revise.changes import (
        changed_since as changed_since,
        describe_changes as describe_changes,
    )
    from tesselath.revise.compare import (
        ComparedRow as ComparedRow,
        Tables as Tables,
        compare_plans as compare_plans,
        show_change as show_change,
        show_value as show_value,
    )
    from tesselath.revise.matching import match_pieces as match_pieces
    from tesselath.revise.refit import refit_plan as refit_plan
    from tesselath.revise.spoiled import (
        describe_rescue as describe_rescue,
        rescue_pieces as rescue_pieces,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "changes": "changed_since describe_changes",
            "compare": "ComparedRow Tables compare_plans show_change show_value",
            "matching": "match_pieces",
            "refit": "refit_plan",
            "spoiled": "describe_rescue rescue_pieces",
        },
    )
