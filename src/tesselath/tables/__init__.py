"""Tables: what leaves as CSV."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.tables.glue_up_table import (
        describe_batten as describe_batten,
        describe_check as describe_check,
        show_glue as show_glue,
        write_glue_up as write_glue_up,
    )
    from tesselath.tables.tables import (
        count_pieces as count_pieces,
        write_parts as write_parts,
        write_pieces as write_pieces,
        write_setups as write_setups,
        write_shopping as write_shopping,
        write_sticks as write_sticks,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "glue_up_table": "describe_batten describe_check show_glue write_glue_up",
            "tables": (
                "count_pieces write_parts write_pieces write_setups write_shopping write_sticks"
            ),
        },
    )
