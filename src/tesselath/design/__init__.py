"""A design as values: reading it, and what is said when it is faulty."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.design.design import (
        Board as Board,
        Border as Border,
        Design as Design,
        Field as Field,
        Filling as Filling,
        Frame as Frame,
        MixedLot as MixedLot,
        Offcut as Offcut,
        OpeningSize as OpeningSize,
        Saw as Saw,
        StickStock as StickStock,
        Stock as Stock,
        WoodDetail as WoodDetail,
    )
    from tesselath.design.design_file import (
        parse_design as parse_design,
        read_design as read_design,
    )
    from tesselath.design.starter import starter_design as starter_design
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "design": (
                "Board Border Design Field Filling Frame MixedLot Offcut OpeningSize Saw "
                "StickStock Stock WoodDetail"
            ),
            "design_file": "parse_design read_design",
            "starter": "starter_design",
        },
    )
