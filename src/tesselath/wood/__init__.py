"""What wood does: moisture, movement, thickness, weight."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.wood.balance import balance_advice as balance_advice
    from tesselath.wood.lumber import known_sizes as known_sizes, sold_as as sold_as
    from tesselath.wood.moisture import find_seasons as find_seasons
    from tesselath.wood.movement import (
        Movement as Movement,
        plan_movement as plan_movement,
        strip_direction as strip_direction,
        wood_share as wood_share,
    )
    from tesselath.wood.thickness import Stack as Stack, stack_up as stack_up
    from tesselath.wood.weight import (
        Weight as Weight,
        describe_weight as describe_weight,
        weigh_top as weigh_top,
    )
    from tesselath.wood.woods import (
        Figure as Figure,
        Wood as Wood,
        find_wood as find_wood,
        known_woods as known_woods,
        nearest_wood as nearest_wood,
        wood_of as wood_of,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "balance": "balance_advice",
            "lumber": "known_sizes sold_as",
            "moisture": "find_seasons",
            "movement": "Movement plan_movement strip_direction wood_share",
            "thickness": "Stack stack_up",
            "weight": "Weight describe_weight weigh_top",
            "woods": "Figure Wood find_wood known_woods nearest_wood wood_of",
        },
    )
