"""Fitting: layouts without slivers."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.fit.fit import (
        Candidate as Candidate,
        Fit as Fit,
        best_shift as best_shift,
        fit_design as fit_design,
    )
    from tesselath.fit.fit_change import (
        Change as Change,
        is_on_tape as is_on_tape,
        strip_width as strip_width,
        write_value as write_value,
    )
    from tesselath.fit.fit_score import LEAST_THIN as LEAST_THIN, lay_out as lay_out
    from tesselath.fit.fit_write import rewrite_design as rewrite_design
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "fit": "Candidate Fit best_shift fit_design",
            "fit_change": "Change is_on_tape strip_width write_value",
            "fit_score": "LEAST_THIN lay_out",
            "fit_write": "rewrite_design",
        },
    )
