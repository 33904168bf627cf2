"""The work: what one order of work comes to, from the opening to the sticks."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.work.already_cut import (
        CutPiece as CutPiece,
        Misfit as Misfit,
        Refit as Refit,
        lay_round as lay_round,
    )
    from tesselath.work.work import (
        Work as Work,
        cut_from_sticks as cut_from_sticks,
        deal_and_group as deal_and_group,
        number_laid as number_laid,
        work_out as work_out,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "already_cut": "CutPiece Misfit Refit lay_round",
            "work": "Work cut_from_sticks deal_and_group number_laid work_out",
        },
    )
