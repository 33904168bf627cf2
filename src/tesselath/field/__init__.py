"""The field: the opening, and every strip laid, clipped and numbered in it."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.field.cell import (
        Item as Item,
        cell_items as cell_items,
        cell_steps as cell_steps,
    )
    from tesselath.field.clip import (
        Clipped as Clipped,
        Fragment as Fragment,
        clip_strips as clip_strips,
        shrink_cell as shrink_cell,
    )
    from tesselath.field.filled import LaidZone as LaidZone
    from tesselath.field.fold import make_folds as make_folds
    from tesselath.field.lay import lay_pattern as lay_pattern
    from tesselath.field.layout import (
        LaidFor as LaidFor,
        field_width as field_width,
        show_layout as show_layout,
    )
    from tesselath.field.opening import (
        field_outline as field_outline,
        measured_opening as measured_opening,
        opening_outline as opening_outline,
    )
    from tesselath.field.pieces import (
        Cut as Cut,
        Loose as Loose,
        Piece as Piece,
        number_pieces as number_pieces,
    )
    from tesselath.field.repeat import find_repeat as find_repeat, reduce_steps as reduce_steps
    from tesselath.field.symmetry import (
        GROUP_WORDS as GROUP_WORDS,
        find_symmetry as find_symmetry,
        pattern_symmetry as pattern_symmetry,
    )
    from tesselath.field.taper import EdgeTaper as EdgeTaper, measure_tapers as measure_tapers
    from tesselath.field.zones import lay_zones as lay_zones
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "cell": "Item cell_items cell_steps",
            "clip": "Clipped Fragment clip_strips shrink_cell",
            "fold": "make_folds",
            "lay": "lay_pattern",
            "layout": "LaidFor field_width show_layout",
            "opening": "field_outline measured_opening opening_outline",
            "pieces": "Cut Loose Piece number_pieces",
            "repeat": "find_repeat reduce_steps",
            "symmetry": "GROUP_WORDS find_symmetry pattern_symmetry",
            "taper": "EdgeTaper measure_tapers",
            "zones": "lay_zones",
            "filled": "LaidZone",
        },
    )
