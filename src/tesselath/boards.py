"""Boards: strips sliced off a board's edge or ripped flat, and what boards and sticks cost.

Comes in: a board as listed, the strip wanted. Goes out: how many strips a board gives, board feet,
prices. Refuses: nothing; a board that cannot give the strip gives none.

::

    from the edge: slices fall off the edge,      flat: strips are ripped from the width,
    the strip is as wide as the board is thick    the strip is as thick as the board, planed
      ________________________                      ________________________
     |  |  |  |  |  |  board  |                    |______|______|______|___|
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

from tesselath.design import Board, WoodDetail
from tesselath.tolerances import ALIKE, SLACK

__all__ = [
    "PLANER_LEAST",
    "Purchase",
    "board_feet",
    "buy_boards",
    "hardwood_board_feet",
    "price_of",
    "strip_slice",
    "strips_per_board",
    "suits",
]

_INCH = 25.4
_FOOT = 304.8

#: A planer takes nothing shorter [mm]; 14 in, common practice, the machine's manual first.
PLANER_LEAST = 355.6


@dataclass(frozen=True, slots=True)
class Purchase:
    """One kind of stick or board to buy.

    ``count`` is in ``unit``: "stick", "board", or "board foot" for rough stock of random width.
    ``length``, ``width`` and ``thickness`` are those of what is bought [mm], None where they are
    not fixed; ``strip_width`` is the strip it gives [mm]. ``price`` is for all of it.
    """

    wood: str
    strip_width: float
    length: float
    width: float | None
    thickness: float | None
    count: float
    unit: str
    price: float | None
    strips: int  # how many sticks of strip it gives
    board: Board | None = None


def suits(board: Board, wood: str, *, width: float, thickness: float) -> bool:
    """Tell whether a board can give a strip.

    Parameters
    ----------
    board : Board
        The board.
    wood : str
        The wood wanted.
    width, thickness : float
        The strip's finished size [mm].

    Returns
    -------
    bool
        Whether wood and thickness suit.

    Raises
    ------
    ValueError
        Never.

    Notes
    -----
    Source: common practice.
    """
    if board.wood not in (None, wood) or board.thickness is None:
        return False
    if board.from_ == "edge":
        return board.thickness >= width - ALIKE
    return board.thickness - board.plane >= thickness - ALIKE


def strip_slice(board: Board, *, width: float, thickness: float) -> float:
    """Give the fence setting at which strips come off a board: planing allowance included [mm]."""
    return thickness + board.plane if board.from_ == "edge" else width


def strips_per_board(board: Board, *, width: float, thickness: float, rip_kerf: float) -> int:
    """Count the strips that a board of known width gives over its whole length.

    Parameters
    ----------
    board : Board
        The board.
    width, thickness : float
        The strip's finished size [mm].
    rip_kerf : float
        The width of a rip cut [mm].

    Returns
    -------
    int
        The count; 0 when the board's width is not known.

    Raises
    ------
    ZeroDivisionError
        If strip and kerf are both 0.

    Notes
    -----
    n strips take n - 1 cuts. Source: identity.

    Examples
    --------
    A board 5 1/2 in wide gives fifteen slices of 1/4 in with a kerf of 1/8 in.

    >>> board = Board(length=2438.4, width=139.7, thickness=20.6)
    >>> strips_per_board(board, width=19.05, thickness=6.35, rip_kerf=3.175)
    15
    """
    if board.width is None:
        return 0
    slice_ = strip_slice(board, width=width, thickness=thickness)
    return floor((board.width + rip_kerf) / (slice_ + rip_kerf) + SLACK)


def board_feet(*, thickness: float, width: float, length: float) -> float:
    """Measure a board by its volume; stock under 1 in thick counts as 1 in.

    Parameters
    ----------
    thickness, width, length : float
        Its size [mm].

    Returns
    -------
    float
        Board feet: thickness in x width in x length ft / 12.

    Raises
    ------
    ValueError
        Never.

    Notes
    -----
    Source: North American trade rule (volume rule).

    Examples
    --------
    >>> round(board_feet(thickness=25.4, width=9 * 25.4, length=96 * 25.4), 6)
    6.0
    """
    return max(thickness / _INCH, 1.0) * (width / _INCH) * (length / _FOOT) / 12


def hardwood_board_feet(*, thickness: float, width: float, length: float) -> float:
    """Measure a board by the hardwood rule, which rounds the surface measure first.

    Parameters
    ----------
    thickness, width, length : float
        Its size [mm].

    Returns
    -------
    float
        Board feet: thickness in x the surface measure, width in x length ft / 12, in whole feet.

    Raises
    ------
    ValueError
        Never.

    Notes
    -----
    Source: North American hardwood grading practice (surface measure), half rounded up.

    Examples
    --------
    >>> hardwood_board_feet(thickness=50.8, width=6.25 * 25.4, length=8 * 304.8)
    8.0
    """
    surface = floor((width / _INCH) * (length / _FOOT) / 12 + 0.5 + SLACK)
    return max(thickness / _INCH, 1.0) * surface


def price_of(
    *,
    price: float | None,
    per: str | None,
    count: float,
    length: float,
    width: float | None,
    thickness: float | None,
) -> float | None:
    """Price so many sticks or boards of a size.

    Parameters
    ----------
    price : float or None
        What one unit costs; None when that is not known.
    per : str or None
        "stick", "foot", "metre", "board foot" or "cubic metre"; None for each.
    count : float
        How many.
    length, width, thickness : float or None
        The size of one [mm].

    Returns
    -------
    float or None
        The price of all, to the cent; None when it cannot be told.

    Raises
    ------
    ValueError
        Never.

    Notes
    -----
    Source: identities; board feet by the volume rule.
    """
    if price is None:
        return None
    if per in (None, "stick"):
        units: float = 1.0
    elif per == "foot":
        units = length / _FOOT
    elif per == "metre":
        units = length / 1000
    elif width is None or thickness is None:
        return None
    elif per == "board foot":
        units = board_feet(thickness=thickness, width=width, length=length)
    else:
        units = thickness * width * length / 1e9
    return round(price * units * count, 2)


def buy_boards(
    board: Board,
    wood: str,
    *,
    strips: int,
    width: float,
    thickness: float,
    rip_kerf: float,
    detail: WoodDetail | None,
) -> Purchase:
    """Say what to buy of a board for so many strips.

    Parameters
    ----------
    board : Board
        The board.
    wood : str
        The wood.
    strips : int
        How many strips of the board's length are wanted, losses included [count].
    width, thickness : float
        The strip's finished size [mm].
    rip_kerf : float
        The width of a rip cut [mm].
    detail : WoodDetail or None
        What the design says of the wood, for its price.

    Returns
    -------
    Purchase
        Boards, or board feet for rough stock of random width.

    Raises
    ------
    ZeroDivisionError
        If the board gives no strip.

    Notes
    -----
    Source: common practice; board feet by the volume rule.
    """
    price, per = board.price, board.per
    if price is None and detail is not None:
        price, per = detail.price, detail.per
    across = strip_slice(board, width=width, thickness=thickness) + rip_kerf
    if board.width is None:
        # Random widths: so much width of board in all.
        feet = board_feet(
            thickness=board.thickness or 0.0, width=strips * across, length=board.length
        )
        cost = price_of(
            price=price, per=per, count=1, length=board.length, width=strips * across,
            thickness=board.thickness,
        )  # fmt: skip
        return Purchase(
            wood, width, board.length, None, board.thickness, ceil(feet - SLACK), "board foot",
            cost, strips, board,
        )  # fmt: skip
    each = strips_per_board(board, width=width, thickness=thickness, rip_kerf=rip_kerf)
    count = ceil(strips / each)
    cost = price_of(
        price=price, per=per, count=count, length=board.length, width=board.width,
        thickness=board.thickness,
    )  # fmt: skip
    return Purchase(
        wood, width, board.length, board.width, board.thickness, count, "board", cost,
        count * each, board,
    )  # fmt: skip
