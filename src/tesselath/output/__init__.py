"""Output: which files a plan folder holds, the summary, the figures alone."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.output.outputs import (
        output_names as output_names,
        usual_names as usual_names,
        write_outputs as write_outputs,
    )
    from tesselath.output.summary import (
        describe_pattern as describe_pattern,
        summarise as summarise,
    )
    from tesselath.output.terminal import wrapped as wrapped
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "outputs": "output_names usual_names write_outputs",
            "summary": "describe_pattern summarise",
            "terminal": "wrapped",
        },
    )
