"""At the bench: cards, sticks, saw, story stick, frame and glue-ups, drawn."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.draw.bench.at_saw import (
        draw_at_saw as draw_at_saw,
        touching_corner as touching_corner,
    )
    from tesselath.draw.bench.base import (
        draw_base_lines as draw_base_lines,
        draw_sheets as draw_sheets,
    )
    from tesselath.draw.bench.cards import draw_cards as draw_cards
    from tesselath.draw.bench.glue_map import draw_glue_map as draw_glue_map
    from tesselath.draw.bench.glue_overview import (
        draw_first_pair as draw_first_pair,
        draw_glue_overview as draw_glue_overview,
        lain_after as lain_after,
        pair_corners as pair_corners,
    )
    from tesselath.draw.bench.hand_sawn import draw_hand_sawn as draw_hand_sawn
    from tesselath.draw.bench.members import draw_members as draw_members
    from tesselath.draw.bench.rod import draw_rods as draw_rods
    from tesselath.draw.bench.saw_view import WIDE as WIDE
    from tesselath.draw.bench.section import draw_section as draw_section
    from tesselath.draw.bench.stick_sheet import (
        draw_sticks as draw_sticks,
        stick_bars as stick_bars,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "at_saw": "draw_at_saw touching_corner",
            "base": "draw_base_lines draw_sheets",
            "cards": "draw_cards",
            "glue_map": "draw_glue_map",
            "glue_overview": "draw_first_pair draw_glue_overview lain_after pair_corners",
            "hand_sawn": "draw_hand_sawn",
            "members": "draw_members",
            "rod": "draw_rods",
            "saw_view": "WIDE",
            "section": "draw_section",
            "stick_sheet": "draw_sticks stick_bars",
        },
    )
