"""Advice: everything that is said to a maker about a result."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.advice.cautions import (
        LAST_WORD as LAST_WORD,
        caution_of_rip as caution_of_rip,
        cautions_of_part as cautions_of_part,
        cautions_of_plan as cautions_of_plan,
        cautions_of_setup as cautions_of_setup,
        note_cautions as note_cautions,
    )
    from tesselath.advice.fit_words import (
        describe_changes as describe_changes,
        describe_reasons as describe_reasons,
        list_heading as list_heading,
        note_shift as note_shift,
    )
    from tesselath.advice.frame_notes import (
        note_frame_base as note_frame_base,
        note_pins as note_pins,
    )
    from tesselath.advice.movement_words import (
        describe_movement as describe_movement,
        movement_in_short as movement_in_short,
        note_movement as note_movement,
        refuse_solid_slab as refuse_solid_slab,
    )
    from tesselath.advice.notes import (
        Note as Note,
        find_notes as find_notes,
        usual_width as usual_width,
    )
    from tesselath.advice.opening_notes import note_opening as note_opening
    from tesselath.advice.saw_notes import note_saw as note_saw
    from tesselath.advice.stock_notes import (
        note_stock as note_stock,
        note_strip_widths as note_strip_widths,
    )
    from tesselath.advice.thickness_words import (
        describe_stack as describe_stack,
        note_thickness as note_thickness,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "cautions": (
                "LAST_WORD caution_of_rip cautions_of_part cautions_of_plan cautions_of_setup "
                "note_cautions"
            ),
            "fit_words": "describe_changes describe_reasons list_heading note_shift",
            "frame_notes": "note_frame_base note_pins",
            "movement_words": "describe_movement movement_in_short note_movement refuse_solid_slab",
            "notes": "Note find_notes usual_width",
            "opening_notes": "note_opening",
            "saw_notes": "note_saw",
            "stock_notes": "note_stock note_strip_widths",
            "thickness_words": "describe_stack note_thickness",
        },
    )
