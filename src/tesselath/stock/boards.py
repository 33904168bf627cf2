"""Boards: strips sliced off a board's edge or ripped flat, and how boards are measured.

Comes in: a board as listed, the strip wanted. Goes out: how many strips a board gives, board feet
by either rule. A board that cannot give the strip gives none.

::

    from the edge: slices fall off the edge,      flat: strips are ripped from the width,
    the strip is as wide as the board is thick    the strip is as thick as the board, planed
      ________________________                      ________________________
     |  |  |  |  |  |  board  |                    |______|______|______|___|
"""

from __future__ import annotations

from math import floor

from tesselath.design import Board
from tesselath.measure import ALIKE, SLACK

__all__ = [
    "PLANER_LEAST",
    "SNIPE",
    "board_feet",
    "board_measure",
    "hardwood_board_feet",
    "strip_slice",
    "strips_per_board",
    "suits",
]

_INCH = 25.4
_FOOT = 304.8

#: A planer takes nothing shorter [mm]; 14 in, common practice, the machine's manual first.
PLANER_LEAST = 355.6

#: So much of either end a planer cuts deeper than the rest [mm]; 2 in, common practice.
SNIPE = 50.8


def suits(board: Board, wood: str, *, width: float, thickness: float) -> bool:
    """Tell whether a board can give a strip.

    Source: common practice.

    Parameters
    ----------
    width, thickness : float
        The strip's finished size [mm].
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
    width, thickness : float
        The strip's finished size [mm].
    rip_kerf : float
        The width of a rip cut [mm].

    Returns
    -------
    int
        The count; 0 when the board's width is not known.

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

    Source: North American trade rule (volume rule).

    >>> round(board_feet(thickness=25.4, width=9 * 25.4, length=96 * 25.4), 6)
    6.0
    """
    return max(thickness / _INCH, 1.0) * (width / _INCH) * (length / _FOOT) / 12


def hardwood_board_feet(*, thickness: float, width: float, length: float) -> float:
    """Measure a board by the hardwood rule, which rounds the surface measure first.

    Source: North American hardwood grading practice (surface measure), half rounded up.

    >>> hardwood_board_feet(thickness=50.8, width=6.25 * 25.4, length=8 * 304.8)
    8.0
    """
    surface = floor((width / _INCH) * (length / _FOOT) / 12 + 0.5 + SLACK)
    return max(thickness / _INCH, 1.0) * surface


def board_measure(
    *, per: str, length: float, width: float, thickness: float, rule: str = "volume"
) -> float:
    """Measure a board in what it is sold by.

    Source: see the two rules.

    >>> board_measure(per="cubic metre", length=2400, width=150, thickness=25)
    0.009
    """
    if per == "cubic metre":
        return length * width * thickness / 1e9
    count = hardwood_board_feet if rule == "surface measure" else board_feet
    return count(thickness=thickness, width=width, length=length)
