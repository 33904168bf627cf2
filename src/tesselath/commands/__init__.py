"""The commands: what is typed in a terminal, and what it answers."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.commands.cli import main as main
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "cli": "main",
        },
    )
