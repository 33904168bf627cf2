"""Proving: whether a pattern closes, and where it does not."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.prove.proof import KINDS as KINDS, Proof as Proof, TilingFault as TilingFault
    from tesselath.prove.prove import prove_pattern as prove_pattern
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "proof": "KINDS Proof TilingFault",
            "prove": "prove_pattern",
        },
    )
