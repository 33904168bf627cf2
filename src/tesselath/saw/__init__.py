"""At the saw: set-ups and rips in the order of doing."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.saw.rips import Rip as Rip, plan_rips as plan_rips
    from tesselath.saw.setups import (
        MarkOut as MarkOut,
        SawCounts as SawCounts,
        Setup as Setup,
        count_settings as count_settings,
        plan_mark_outs as plan_mark_outs,
        plan_setups as plan_setups,
    )
    from tesselath.saw.strip_widths import (
        reckon_drift as reckon_drift,
        reckon_widths as reckon_widths,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "rips": "Rip plan_rips",
            "setups": "MarkOut SawCounts Setup count_settings plan_mark_outs plan_setups",
            "strip_widths": "reckon_drift reckon_widths",
        },
    )
