"""The stock: sticks, boards and leftovers, what each is cut into, and what to buy."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.stock.account import account_for_sticks as account_for_sticks
    from tesselath.stock.boards import (
        PLANER_LEAST as PLANER_LEAST,
        SNIPE as SNIPE,
        strip_slice as strip_slice,
        strips_per_board as strips_per_board,
        suits as suits,
    )
    from tesselath.stock.buying import Purchase as Purchase
    from tesselath.stock.ripped import NARROWEST_RIP as NARROWEST_RIP, SHORTEST_RIP as SHORTEST_RIP
    from tesselath.stock.stick_cuts import (
        LyingPiece as LyingPiece,
        StickCut as StickCut,
        cut_stick as cut_stick,
        lay_stick as lay_stick,
        same_sticks as same_sticks,
    )
    from tesselath.stock.sticks import (
        Bound as Bound,
        Stick as Stick,
        StickPlan as StickPlan,
        plan_sticks as plan_sticks,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "account": "account_for_sticks",
            "boards": "PLANER_LEAST SNIPE strip_slice strips_per_board suits",
            "buying": "Purchase",
            "ripped": "NARROWEST_RIP SHORTEST_RIP",
            "stick_cuts": "LyingPiece StickCut cut_stick lay_stick same_sticks",
            "sticks": "Bound Stick StickPlan plan_sticks",
        },
    )
