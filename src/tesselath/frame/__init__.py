"""Frame and base: the members, the panel and the sheets it is sawn from."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.frame.frame_base import (
        BasePanel as BasePanel,
        FrameBase as FrameBase,
        GuideLine as GuideLine,
        Member as Member,
        Reading as Reading,
        group_members as group_members,
        plan_frame_base as plan_frame_base,
    )
    from tesselath.frame.sheets import SheetPart as SheetPart
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "frame_base": (
                "BasePanel FrameBase GuideLine Member Reading group_members plan_frame_base"
            ),
            "sheets": "SheetPart",
        },
    )
