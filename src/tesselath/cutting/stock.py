"""Stock: the pieces to cut, the sticks to cut them from, and the plan that comes out.

The values of this package, all lengths in mm. Goes out: frozen values. Refuses: a piece that is
nowhere solid, stock or saw figures that cannot be.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tesselath.cutting.ends import EndProfile, end_corners, straight_end
from tesselath.cutting.gaps import RULES, JointRule
from tesselath.errors import Fault, SawError
from tesselath.measure import ALIKE

__all__ = [
    "Certificate",
    "CutPiece",
    "CutStick",
    "PlacedPiece",
    "Sawing",
    "StickKind",
    "StickPlan",
    "check_stock",
]

_SQUARE = straight_end(0.0)


@dataclass(frozen=True, slots=True)
class Sawing:
    """How the stick is sawn.

    Parameters
    ----------
    width : float
        Width of the strip on the saw [mm].
    kerf : float
        Thickness of a cut [mm].
    rule : str
        "stick only", "safe" or "tight"; see ``gaps``.
    end_trim : float
        What is cut off square at the stop end first, that kerf included [mm].
    holding : float
        Length that must stay in the hand or the clamp at the far end [mm]; 0 for none.
    shortest_loose : float
        A loose piece shorter than this on its mid-line never goes back to the saw [mm].
    """

    width: float
    kerf: float
    rule: JointRule = "stick only"
    end_trim: float = 0.0
    holding: float = 0.0
    shortest_loose: float = 152.4


@dataclass(frozen=True, slots=True)
class CutPiece:
    """A part to cut from sticks, as it lies at the saw.

    Parameters
    ----------
    mark : str
        Its name; unlike those of the others.
    length : float
        Between its ends on the mid-line [mm].
    demand : int
        How many are needed, spares included [count].
    turn : bool
        Whether it may be cut the other end first.
    roll : bool
        Whether it may be cut face down.
    """

    mark: str
    length: float
    demand: int = 1
    left: EndProfile = _SQUARE
    right: EndProfile = _SQUARE
    turn: bool = True
    roll: bool = False


@dataclass(frozen=True, slots=True)
class StickKind:
    """A kind of stick that can be bought, or an offcut that lies there.

    Parameters
    ----------
    length : float
        Its length [mm].
    count : int or None
        How many there are; None for as many as needed [count].
    price : float or None
        What one costs; None when that is not known.
    offcut : bool
        Whether it is left from an earlier job: costs nothing and is used first.
    """

    length: float
    count: int | None = None
    price: float | None = None
    offcut: bool = False


@dataclass(frozen=True, slots=True)
class PlacedPiece:
    """One piece on a stick: turned end for end or rolled face down, and where.

    ``at`` is where its left end, as it lies, crosses the mid-line, from the stop end [mm].
    """

    mark: str
    turned: bool
    rolled: bool
    at: float


@dataclass(frozen=True, slots=True)
class CutStick:
    """One stick and the pieces cut from it, from the stop end.

    ``kind`` counts the kinds of stick from 0. ``used`` is trim + pieces + kerfs, ``left_over``
    the rest at its short edge, held tail included [mm]. ``beyond`` marks a stick that the stock
    does not hold. ``in_order`` says whether the pieces follow the order of the whole job, so
    that part after part can be cut with every stick kept open. ``skims`` counts joints where
    the second cut has less than a kerf of wood to bite on.
    """

    kind: int
    length: float
    pieces: tuple[PlacedPiece, ...]
    used: float
    left_over: float
    beyond: bool
    in_order: bool
    skims: int


@dataclass(frozen=True, slots=True)
class Certificate:
    """A proof that no plan does with less, short enough to be checked by itself.

    Give every piece the whole-number price listed. No stick of kind i can hold pieces worth
    more than ``ceilings[i]``, whichever way they are laid; so the pieces wanted, worth so much
    together, need at least so many sticks. ``method`` says how the ceilings were found:
    "lengths" (weights alone, each piece with the least kerf it can have), "parity" (weights, and
    the waste where cuts of one lean are odd in number) or "joints" (every sequence of pieces, as
    often as one likes); ``unit`` is the grid that lengths were rounded
    down to [mm]. ``least`` is the cost proven; of kind i there are ``counts[i]`` sticks, each of
    ``lengths[i]`` [mm], and each counts ``costs[i]``. A last kind beyond those of the stock
    stands for sticks that the stock lacks.
    """

    method: str
    unit: float
    prices: tuple[tuple[str, int], ...]
    ceilings: tuple[int, ...]
    lengths: tuple[float, ...]
    costs: tuple[int, ...]
    counts: tuple[int | None, ...]
    least: int


@dataclass(frozen=True, slots=True)
class StickPlan:
    """The sticks to cut, and how near to the least possible that is.

    Parameters
    ----------
    sticks : tuple of CutStick
        The sticks, in order.
    bought : int
        How many of them are not offcuts [count].
    least : int
        No plan buys fewer; 0 when the price was minimised instead [count].
    cost, least_cost : float or None
        What they cost and what no plan goes below; None without prices.
    missing : int
        How many sticks the stock lacks [count].
    status : str
        "the least possible" or how far above it the plan may be, a phrase.
    certificate : Certificate
        The proof; see ``check_certificate``.
    by_search : bool
        Whether ``least`` rests on an exhausted search beyond the certificate.
    """

    sticks: tuple[CutStick, ...]
    bought: int
    least: int
    cost: float | None
    least_cost: float | None
    missing: int
    status: str
    certificate: Certificate
    by_search: bool


def check_stock(pieces: Sequence[CutPiece], *, kinds: Sequence[StickKind], sawing: Sawing) -> None:
    """Refuse pieces, sticks or saw figures from which no plan can be made.

    >>> check_stock([CutPiece("A", 90.0)], kinds=[StickKind(400.0)], sawing=Sawing(20.0, 3.0))
    """
    faults = list(_saw_faults(sawing))
    seen: set[str] = set()
    for piece in pieces:
        if piece.mark in seen:
            faults.append(Fault("part", piece.mark, "Two parts have this mark."))
        seen.add(piece.mark)
        if piece.demand < 0:
            faults.append(Fault(f"part {piece.mark}", str(piece.demand), "A count is 0 or more."))
        if not _is_solid(piece):
            faults.append(
                Fault(f"part {piece.mark}", f"{piece.length:.3f} mm", "Its two ends cross.")
            )
    if not kinds:
        faults.append(Fault("stock", None, "There is no stick to cut from.", "Name one."))
    for kind in kinds:
        if not kind.length > 0:
            faults.append(
                Fault("stock", f"{kind.length:g} mm", "A stick must be longer than nothing.")
            )
        if (kind.count is not None and kind.count < 0) or (kind.price or 0.0) < 0:
            faults.append(
                Fault("stock", f"{kind.count}, {kind.price}", "A count or price is 0 or more.")
            )
    if faults:
        raise SawError(faults)


def _saw_faults(sawing: Sawing) -> list[Fault]:
    faults = []
    if not sawing.width > 0:
        faults.append(Fault("strip", f"{sawing.width:g} mm", "A strip must be wider than 0."))
    for name, value in (
        ("kerf", sawing.kerf),
        ("end trim", sawing.end_trim),
        ("holding", sawing.holding),
    ):
        if not value >= 0:
            faults.append(Fault(name, f"{value:g} mm", "This length is 0 or more."))
    if sawing.rule not in RULES:
        choices = ", ".join(f'"{rule}"' for rule in RULES)
        faults.append(Fault("joint rule", sawing.rule, "There is no such rule.", choices))
    return faults


def _is_solid(piece: CutPiece) -> bool:
    """Say whether the ends meet nowhere inside the strip; a triangle's may meet at its edge."""
    turned = piece.left.rolled()  # a left end, seen from outside, is set back the other way
    shortest = piece.length
    for t, _ in end_corners(piece.right) + end_corners(turned):
        shortest = min(shortest, piece.length + _outward(piece.right, t) + _outward(turned, t))
    return piece.length > 0 and shortest >= -ALIKE


def _outward(end: EndProfile, t: float) -> float:
    return min(offset + run * t for offset, run in end.facets)
