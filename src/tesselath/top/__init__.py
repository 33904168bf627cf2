"""The whole top: hours, shopping and test cuts."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.top.hours import Hours as Hours, reckon_hours as reckon_hours
    from tesselath.top.shopping import (
        ShoppingRow as ShoppingRow,
        list_shopping as list_shopping,
        show_count as show_count,
    )
    from tesselath.top.trial_cuts import (
        TrialCut as TrialCut,
        plan_trial_cuts as plan_trial_cuts,
        say_trial_cut as say_trial_cut,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "hours": "Hours reckon_hours",
            "shopping": "ShoppingRow list_shopping show_count",
            "trial_cuts": "TrialCut plan_trial_cuts say_trial_cut",
        },
    )
