"""Accuracy: how errors add up."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.accuracy.line_errors import (
        EdgeTable as EdgeTable,
        errors_along as errors_along,
        read_edges as read_edges,
    )
    from tesselath.accuracy.tolerance import (
        Rounding as Rounding,
        Tolerance as Tolerance,
        plan_tolerance as plan_tolerance,
        tolerance_table as tolerance_table,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "line_errors": "EdgeTable errors_along read_edges",
            "tolerance": "Rounding Tolerance plan_tolerance tolerance_table",
        },
    )
