"""The plan, and its file."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.plan.plan import (
        EFFORT as EFFORT,
        Plan as Plan,
        Zone as Zone,
        assemble_plan as assemble_plan,
        plan_design as plan_design,
    )
    from tesselath.plan.plan_json import (
        plan_tables as plan_tables,
        read_plan_json as read_plan_json,
        write_plan_json as write_plan_json,
    )
    from tesselath.plan.wood_json import (
        movement_tables as movement_tables,
        thickness_table as thickness_table,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "plan": "EFFORT Plan Zone assemble_plan plan_design",
            "plan_json": "plan_tables read_plan_json write_plan_json",
            "wood_json": "movement_tables thickness_table",
        },
    )
