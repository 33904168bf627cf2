"""Parts: identical pieces under one letter, described as they lie at the saw.

Comes in: numbered pieces. Goes out: the same pieces with their marks and measures, and the parts.
What the saw cannot make is named as work for another tool.

Marks are A, B, ... without I, O and Q, then AA. A part and its mirror image share a letter and
carry -L and -R where only one face may show.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from tesselath.design import Saw
from tesselath.field import Cut, Loose, Piece
from tesselath.measure import ANGLE_ALIKE, ON_THE_LINE, tangent
from tesselath.parts.lie import Lying, lie_at_saw
from tesselath.parts.saw_scale import is_listed, is_within_reach
from tesselath.shape import group_alike

__all__ = ["Part", "group_parts", "mark_letters", "numbers_of", "spare_pieces"]

_LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ"
_FEWEST_FOR_SPARES = 6


@dataclass(frozen=True, slots=True)
class Part:
    """Part A: a set of identical pieces, cut at one setting.

    Described as it lies at the saw: fence above, show face up, stop end at the left. ``shape``
    (n, 2) is its outline there: x along the fence with 0 at the left end's mid-line crossing, y
    towards the fence with 0 on the mid-line [mm]. ``mitres`` (left, right) are signed: the cut
    line is x = x_mid + y tan(mitre). ``swings`` are "R" (cuts like a backslash), "L" (cuts like a
    slash) or "square". ``strip_width`` is the strip it is cut from, None when it is made up;
    a part narrower than its strip (``ripped``) comes from a stick ripped to ``width`` first.
    ``handling`` is "slide", "roll", "swing", "make up" or "mark and hand saw". ``on_fence`` is
    the length of the side on the fence, to which the stop is set [mm]. ``fitted`` parts are cut
    by the edge of their zone; their printed lengths are rounded up. ``ripped`` parts come from a
    stick that is ripped to ``width`` first; less than half a mark of the tape is no reason to.
    """

    mark: str
    count: int
    spares: int
    wood: str
    width: float
    strip_width: float | None
    edge: float
    overall: float
    long_point: float | None
    short_point: float | None
    mitres: tuple[float, float]
    swings: tuple[str, str]
    handling: str
    stop_side: str
    cuts: tuple[Cut, ...]
    handed_pair: str | None
    numbers: tuple[int, ...]
    shape: NDArray[np.float64]
    on_fence: float
    too_steep: bool
    fitted: bool
    ripped: bool
    off_list: bool = False  # at an angle to which a saw of few angles cannot be set

    @property
    def stick_width(self) -> float:
        """The width of the stick on the saw [mm]."""
        return self.width if self.ripped or self.strip_width is None else self.strip_width

    @property
    def ends_on_stick(self) -> tuple[float, float, float]:
        """Length on the mid-line of its stick, and the runs of its left and right end [mm].

        What is marked and sawn by hand leaves the stick as a square blank. Lengths are measured
        from the fence: a part a hair narrower than its strip leaves that much to a point.
        """
        if self.handling == "mark and hand saw":
            return self.overall, 0.0, 0.0
        left, right = (self.stick_width * tangent(mitre) for mitre in self.mitres)
        middle = max(self.on_fence - (right - left) / 2, abs(right - left) / 2)
        return middle, left, right


def group_parts(
    pieces: Sequence[Loose],
    *,
    faces: str,
    stop_side: str,
    saw: Saw,
    spares: float,
    tape: float,
) -> tuple[tuple[Piece, ...], tuple[Part, ...]]:
    """Group identical pieces and describe each group as it lies at the saw.

    Source: spares by common practice.

    Parameters
    ----------
    pieces : sequence of Loose
        The numbered pieces, ascending by number.
    faces : {"both", "one"}
        Whether a piece may be rolled face down.
    stop_side : {"left", "right"}
        Where the maker's stop stands.
    saw : Saw
        The saw, for the angles it can be set to.
    spares : float
        The share of spare pieces, for parts of six pieces or more.
    tape : float
        The finest mark of the maker's tape: a corner that loses less than half of it is eased
        with sandpaper, a strip that much too wide is left as it is [mm].

    Returns
    -------
    tuple of pieces and parts
        The pieces in order of number, and the parts in order of mark.
    """
    groups = _groups(pieces, faces, stop_side)
    groups.sort(key=lambda group: group.rank)
    marks = _marks(groups)
    parts = [
        _part(group, mark, twin, faces, saw, spares, tape)
        for group, (mark, twin) in zip(groups, marks, strict=True)
    ]
    owner = {n: part for part in parts for n in part.numbers}
    lying = {n: group.lying for group in groups for n in group.numbers}
    finished = tuple(
        Piece(
            number=p.number,
            part=owner[p.number].mark,
            zone=p.zone,
            wood=p.wood,
            tone=p.tone,
            outline=p.outline,
            blank=p.blank,
            grain=p.grain,
            overall=lying[p.number].overall,
            edge=lying[p.number].longest,
            width=lying[p.number].width,
            row=p.row,
        )
        for p in pieces
    )
    return finished, tuple(sorted(parts, key=lambda part: _mark_order(part.mark)))


@dataclass(frozen=True, slots=True)
class _Group:
    """Pieces of one kind and hand."""

    kind: int
    hand: int
    numbers: tuple[int, ...]
    first: Loose
    lying: Lying
    total: int  # pieces of this kind, both hands
    fitted: bool

    @property
    def rank(self) -> tuple[object, ...]:
        """The commonest first, then the longest; the two hands side by side, L before R."""
        return (
            -self.total,
            -round(self.lying.overall, 2),
            -round(self.lying.width, 2),
            self.first.wood,
            self.kind,
            self.hand,
        )


def _groups(pieces: Sequence[Loose], faces: str, stop_side: str) -> list[_Group]:
    """Sort the pieces into kinds; copies of one whole strip are compared once."""
    names: dict[object, int] = {}
    samples: list[Loose] = []
    which: list[int] = []
    for piece in pieces:
        key = piece.number if piece.kin is None else (piece.kin, piece.wood)
        if key not in names:
            names[key] = len(samples)
            samples.append(piece)
        which.append(names[key])
    kinds = group_alike(
        [s.cut_outline for s in samples],
        [s.grain for s in samples],
        [(s.wood, None if s.strip_width is None else round(s.strip_width, 2)) for s in samples],
    )
    by_number = {piece.number: piece for piece in pieces}
    members: dict[tuple[int, int], list[int]] = {}
    totals: dict[int, int] = {}
    for piece, n in zip(pieces, which, strict=True):
        kind = int(kinds.kind[n])
        hand = int(kinds.hand[n]) if faces == "one" else 0
        members.setdefault((kind, hand), []).append(piece.number)
        totals[kind] = totals.get(kind, 0) + 1
    groups = []
    for (kind, hand), numbers in members.items():
        first = by_number[numbers[0]]
        lying = lie_at_saw(first.cut_outline, first.grain, faces=faces, stop_side=stop_side)
        fitted = all(by_number[n].kin is None for n in numbers)
        groups.append(_Group(kind, hand, tuple(numbers), first, lying, totals[kind], fitted))
    return groups


def _marks(groups: list[_Group]) -> list[tuple[str, str | None]]:
    """Give each group its mark and its twin's; groups come in the order of the letters."""
    letters: dict[int, str] = {}
    hands: dict[int, dict[int, str]] = {}
    for group in groups:
        letter = letters.setdefault(group.kind, mark_letters(len(letters)))
        hands.setdefault(group.kind, {})[group.hand] = letter
    suffixes: dict[tuple[int, int], str] = {}
    for group in groups:
        if group.hand != 0:
            suffixes[group.kind, group.hand] = _hand(group)
    result: list[tuple[str, str | None]] = []
    for group in groups:
        letter, suffix = letters[group.kind], suffixes.get((group.kind, group.hand), "")
        both = len(hands[group.kind]) == 2
        twin_suffix = suffixes.get((group.kind, -group.hand), "")
        if both and suffix == twin_suffix:
            suffix, twin_suffix = ("-L", "-R") if group.hand > 0 else ("-R", "-L")
        mark = letter + suffix if both else letter
        result.append((mark, letter + twin_suffix if both else None))
    return result


def _hand(group: _Group) -> str:
    """The hand is that of the swing at the steeper end: handle to the left is L."""
    left, right = group.lying.mitres
    steeper = left if abs(left) > abs(right) + ANGLE_ALIKE else right
    return "-R" if steeper < 0 else "-L"


def mark_letters(n: int) -> str:
    """Give the n-th mark, counted from 0: A, B, ... without I, O and Q, then AA.

    Source: common practice (I, O and Q are taken for 1 and 0).

    Parameters
    ----------
    n : int
        The number of the mark [count].

    Examples
    --------
    >>> mark_letters(0), mark_letters(8), mark_letters(22), mark_letters(23)
    ('A', 'J', 'Z', 'AA')
    """
    base = len(_LETTERS)
    mark = _LETTERS[n % base]
    while n >= base:
        n = n // base - 1
        mark = _LETTERS[n % base] + mark
    return mark


def _mark_order(mark: str) -> tuple[int, str]:
    return len(mark.partition("-")[0]), mark


def _part(
    group: _Group,
    mark: str,
    twin: str | None,
    faces: str,
    saw: Saw,
    spares: float,
    tape: float,
) -> Part:
    lying, first = group.lying, group.first
    ends = _as_cut(lying, faces)
    too_steep = not all(is_within_reach(mitre, saw) for mitre in ends)
    off_list = not all(is_listed(mitre, saw) for mitre in ends)
    straight = lying.deepest_corner < tape / 2
    by_hand = too_steep or off_list or not straight
    handling = _handling(lying, first.strip_width, faces, by_hand=by_hand)
    left, right = lying.mitres
    swings = (_swing(left), _swing(right))
    if handling == "roll":
        # Every cut of a rolled stick is made at the swing of the end at the blade.
        swings = (swings[1],) * 2 if lying.stop_side == "left" else (swings[0],) * 2
    opposed = left <= ANGLE_ALIKE and right >= -ANGLE_ALIKE
    pointed_apart = straight and opposed and right - left > ANGLE_ALIKE
    count = len(group.numbers)
    return Part(
        mark=mark,
        count=count,
        spares=spare_pieces(count, spares),
        wood=first.wood,
        width=lying.width,
        strip_width=first.strip_width,
        edge=lying.longest,
        overall=lying.overall,
        long_point=lying.edge if pointed_apart else None,
        short_point=lying.other if pointed_apart else None,
        mitres=lying.mitres,
        swings=swings,
        handling=handling,
        stop_side=lying.stop_side,
        cuts=lying.cuts,
        handed_pair=twin,
        numbers=group.numbers,
        shape=lying.shape,
        on_fence=lying.on_fence,
        too_steep=too_steep,
        fitted=group.fitted,
        ripped=first.strip_width is not None and first.strip_width - lying.width > tape / 2,
        off_list=off_list,
    )


def _as_cut(lying: Lying, faces: str) -> tuple[float, float]:
    """The mitres of both ends as the saw is swung for them, towards L positive."""
    left, right = lying.mitres
    if faces == "both" and abs(left + right) <= ANGLE_ALIKE:
        return (right, right) if lying.stop_side == "left" else (left, left)
    return left, right


def numbers_of(parts: Iterable[Part]) -> tuple[int, ...]:
    """Give the numbers of all pieces of some parts, ascending."""
    return tuple(sorted(n for part in parts for n in part.numbers))


def spare_pieces(count: int, share: float) -> int:
    """Say how many spares are cut of so many pieces of one part [count].

    Source: common practice.

    Parameters
    ----------
    count : int
        The pieces of the part [count].
    share : float
        The share of spares.

    Returns
    -------
    int
        The spares, none of parts of fewer than six pieces [count].

    Examples
    --------
    >>> spare_pieces(30, 0.1), spare_pieces(5, 0.1)
    (3, 0)
    """
    # A hair is taken off before rounding up, so that 10 % of 30 is 3.
    return ceil(count * share - ON_THE_LINE) if count >= _FEWEST_FOR_SPARES else 0


def _swing(mitre: float) -> str:
    if abs(mitre) <= ANGLE_ALIKE:
        return "square"
    return "R" if mitre < 0 else "L"


def _handling(lying: Lying, strip_width: float | None, faces: str, *, by_hand: bool) -> str:
    if strip_width is None:
        return "make up"
    if by_hand:
        return "mark and hand saw"
    left, right = lying.mitres
    if abs(left - right) <= ANGLE_ALIKE:
        return "slide"
    if abs(left + right) <= ANGLE_ALIKE and faces == "both":
        return "roll"
    return "swing"
