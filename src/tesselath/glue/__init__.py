"""Gluing: the order, the glue-ups, what holds the pieces, the finish."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.glue.finish import (
        Finish as Finish,
        finish_steps as finish_steps,
        plan_finish as plan_finish,
    )
    from tesselath.glue.glue_up import (
        Batten as Batten,
        Check as Check,
        GlueUp as GlueUp,
        is_ringed as is_ringed,
        plan_glue_ups as plan_glue_ups,
    )
    from tesselath.glue.hold import hold_of as hold_of
    from tesselath.glue.pins import PinSize as PinSize, choose_pin as choose_pin
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "finish": "Finish finish_steps plan_finish",
            "glue_up": "Batten Check GlueUp is_ringed plan_glue_ups",
            "hold": "hold_of",
            "pins": "PinSize choose_pin",
        },
    )
