"""The account of the sticks: where their length goes, wood by wood.

Comes in: the parts and the sticks they are cut from. Goes out: net, spares, trim, kerf and what is
left over, which sum to the sticks.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tesselath.parts import Part
from tesselath.shape import area
from tesselath.stock.sticks import Stick

__all__ = ["Account", "account_for_sticks"]


@dataclass(frozen=True, slots=True)
class Account:
    """Where the length of the sticks of one wood goes [mm].

    ``net`` is the wood in the pieces and ``spares`` that in the spare ones, each as a length of
    the strip it comes from; ``trim`` what is cut off the ends first; ``left_over`` the rests,
    held tails included; ``kerf`` all else: saw cuts, the waste between ends that do not match,
    and what is ripped off.
    """

    wood: str
    sticks: float
    net: float
    spares: float
    trim: float
    kerf: float
    left_over: float


def account_for_sticks(
    parts: Sequence[Part], sticks: Sequence[Stick], *, end_trim: float
) -> Mapping[str, Account]:
    """Say where the length of the sticks goes.

    Source: own derivation; the wood of a strip with two straight cuts is width x mid-line.

    Parameters
    ----------
    sticks : sequence of Stick
        The sticks they are cut from.
    end_trim : float
        What is cut off each stick first [mm].

    Returns
    -------
    mapping of str to Account
        One account a wood, sorted by wood.
    """
    accounts = {}
    for wood in sorted({stick.wood for stick in sticks}):
        mine = [stick for stick in sticks if stick.wood == wood]
        length = sum(stick.length for stick in mine)
        trim = end_trim * len(mine)
        left_over = sum(stick.left_over for stick in mine)
        net = spares = 0.0
        for part in parts:
            if part.wood == wood and part.strip_width is not None and part.handling != "make up":
                each = area(part.shape) / part.strip_width
                net += each * part.count
                spares += each * part.spares
        kerf = length - net - spares - trim - left_over
        accounts[wood] = Account(wood, length, net, spares, trim, kerf, left_over)
    return accounts
