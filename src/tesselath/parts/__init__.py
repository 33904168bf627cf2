"""Parts: which pieces are alike, and how one lies at the saw."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.parts.lots import deal_woods as deal_woods, find_neighbours as find_neighbours
    from tesselath.parts.parts import (
        Part as Part,
        group_parts as group_parts,
        mark_letters as mark_letters,
        numbers_of as numbers_of,
        spare_pieces as spare_pieces,
    )
    from tesselath.parts.saw_scale import (
        ScaleReading as ScaleReading,
        angles_wanted as angles_wanted,
        is_listed as is_listed,
        is_within_reach as is_within_reach,
        opens_by as opens_by,
        packing as packing,
        read_scale as read_scale,
    )
    from tesselath.parts.stages import (
        Stage as Stage,
        plan_stages as plan_stages,
        stage_of as stage_of,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "lots": "deal_woods find_neighbours",
            "parts": "Part group_parts mark_letters numbers_of spare_pieces",
            "saw_scale": (
                "ScaleReading angles_wanted is_listed is_within_reach opens_by packing read_scale"
            ),
            "stages": "Stage plan_stages stage_of",
        },
    )
