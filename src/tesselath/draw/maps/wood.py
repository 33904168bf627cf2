"""Woods on paper: the colour, the tint, the ruling and the letter that tell one from another.

Comes in: the names of the woods of one design and what the design says of them. Goes out: for each
wood a colour as it looks finished, a tint light enough to write on, a ruling along the grain (so
that a black photocopy still tells the woods apart) and a letter for the key. A wood nobody knows
gets a colour of its own, always the same.

The darkest wood is ruled closely, the next widely, then come dots, dashes and pairs; the
lightest stays blank::

    dark  ===========    mid  -----------    third  . . . . . .    light
          ===========                                . . . . . .
          ===========         -----------           . . . . . .
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256

from tesselath.design import WoodDetail
from tesselath.draw.paper import colour_distance, grey, mixed, tinted

__all__ = ["GREATEST_GREY", "Ruling", "WoodLook", "dress_woods", "wood_colour"]

#: The greyest a piece may be filled, so that pencil ticks show: 0 is white, 1 is black.
GREATEST_GREY = 0.30


#: Two woods whose colours are nearer than this in CIE L*a*b* are hard to tell apart.
_APART = 13.0

#: How woods look under a clear finish; from memory, as every board differs anyway.
_COLOURS = {
    "acacia": "#8f6239",
    "alder": "#c58e63",
    "apple": "#b27a55",
    "ash": "#dcc8a2",
    "aspen": "#e8dcc0",
    "background": "#e4d3ae",
    "bamboo": "#dcbc7c",
    "basswood": "#e7d7b6",
    "beech": "#d3ab80",
    "birch": "#e3cea3",
    "black": "#2b2725",
    "bloodwood": "#8f2c23",
    "blue": "#3f6478",
    "bog oak": "#3d3631",
    "boxwood": "#dfc273",
    "brown": "#7a543b",
    "bubinga": "#8c4236",
    "butternut": "#b08d66",
    "cedar": "#b1724b",
    "cherry": "#a9633b",
    "chestnut": "#b08a5c",
    "cocobolo": "#84422b",
    "cream": "#eadcba",
    "dark": "#614534",
    "douglas fir": "#d49c65",
    "ebonised": "#2a2624",
    "ebonized": "#2a2624",
    "ebony": "#262120",
    "elm": "#a98359",
    "fir": "#dcb17c",
    "green": "#62724c",
    "grey": "#8d8880",
    "gray": "#8d8880",
    "hard maple": "#ead9b5",
    "hemlock": "#d9bd8f",
    "hickory": "#c79f6d",
    "holly": "#f1ebdc",
    "hornbeam": "#e0d2b1",
    "ipe": "#5f4633",
    "iroko": "#9b6b38",
    "jatoba": "#964b2d",
    "koa": "#a1632f",
    "lacewood": "#b0704f",
    "larch": "#c98c53",
    "light": "#e6d3aa",
    "lime": "#e7d7b6",
    "linden": "#e7d7b6",
    "locust": "#b49a50",
    "mahogany": "#8a4531",
    "maple": "#e8d5ae",
    "mid": "#a97649",
    "medium": "#a97649",
    "oak": "#c3a272",
    "olive": "#b59a5f",
    "osage orange": "#cf942c",
    "padauk": "#a63b23",
    "pear": "#cb946f",
    "pecan": "#c39a68",
    "pine": "#e5c88e",
    "plain": "#cfae7e",
    "plum": "#8f5546",
    "plywood": "#cbb58b",
    "poplar": "#cac59d",
    "purpleheart": "#6c3552",
    "red": "#9c3a2c",
    "red oak": "#c7996b",
    "redwood": "#9a5039",
    "rosewood": "#55312b",
    "sapele": "#87492f",
    "spruce": "#ecd7aa",
    "sycamore": "#e1c8a5",
    "teak": "#a87941",
    "teal": "#3d7672",
    "tulipwood": "#d99c84",
    "walnut": "#6b4c39",
    "wenge": "#3c2b23",
    "white": "#efe9da",
    "white oak": "#c1a578",
    "willow": "#d6c29a",
    "yellow": "#dcb75a",
    "yellowheart": "#dfb741",
    "yew": "#c87a41",
    "zebrawood": "#b8935d",
}

#: What a wood nobody knows may look like.
_STRANGERS = (
    "#b98a5a",
    "#8c5b3c",
    "#d8bc8a",
    "#a0523c",
    "#c9a04e",
    "#74503a",
    "#b57a6a",
    "#8f8a63",
)

#: Colours that colour-blind readers can tell apart (Okabe and Ito), the one that suits a dark
#: wood first; black and white tints are left to the rulings.
_PLAIN = (
    "#0072b2",
    "#e69f00",
    "#009e73",
    "#cc79a7",
    "#d55e00",
    "#56b4e9",
    "#f0e442",
    "#000000",
)


@dataclass(frozen=True, slots=True)
class Ruling:
    """Lines along the grain: how far apart, and how broken, in shares of the closest spacing."""

    name: str
    spacing: float
    dash: tuple[float, ...] = ()
    dots: bool = False
    pairs: bool = False


_BLANK = Ruling("blank", 0.0)
_RULINGS = (
    Ruling("close lines", 1.0),
    Ruling("wide lines", 2.5),
    Ruling("dots", 1.5, dots=True),
    Ruling("dashes", 1.5, dash=(3.0, 1.5)),
    Ruling("pairs of lines", 3.0, pairs=True),
    Ruling("long dashes", 2.5, dash=(8.0, 2.0)),
    Ruling("wide dots", 2.5, dots=True),
    Ruling("close dashes", 1.0, dash=(1.5, 1.5)),
    Ruling("pairs of dashes", 3.0, dash=(4.0, 2.0), pairs=True),
)


@dataclass(frozen=True, slots=True)
class WoodLook:
    """How one wood is drawn."""

    name: str
    letter: str
    colour: str
    tint: str
    ruling: Ruling


def dress_woods(
    names: Sequence[str], *, woods: Mapping[str, WoodDetail], palette: str = "wood"
) -> dict[str, WoodLook]:
    """Choose how each wood of a design is drawn, so that no two are taken for each other.

    Source: rulings by darkness, common practice of pattern charts; plain colours from Okabe and
    Ito, Color universal design, 2008; nearness by CIE 1976 L*a*b*.

    Parameters
    ----------
    names : sequence of str
        The woods, without repeats; the order settles which one is changed when two look alike.
    woods : mapping of str to WoodDetail
        What the design says of them; a colour given there is kept as it is.
    palette : {"wood", "plain"}
        The colours of the woods, or plain ones for colour-blind readers.

    Returns
    -------
    dict of str to WoodLook
        One look a wood, in the order of the names.

    Raises
    ------
    ValueError
        If the palette is unknown.

    Examples
    --------
    >>> looks = dress_woods(["maple", "walnut", "mahogany"], woods={})
    >>> [(look.letter, look.ruling.name) for look in looks.values()]
    [('M', 'blank'), ('W', 'close lines'), ('Ma', 'wide lines')]
    """
    if palette not in ("wood", "plain"):
        raise ValueError(f'"{palette}" is not a palette; there are "wood" and "plain".')
    natural = {name: wood_colour(name, woods) for name in names}
    by_darkness = sorted(names, key=lambda name: (-grey(natural[name]), names.index(name)))
    if palette == "plain":
        colours = {name: _PLAIN[i % len(_PLAIN)] for i, name in enumerate(by_darkness)}
    else:
        given = {name for name in names if name in woods and woods[name].colour}
        colours = _told_apart(natural, given=given)
    letters = _letters(names)
    rulings = {name: _RULINGS[i % len(_RULINGS)] for i, name in enumerate(by_darkness[:-1])}
    return {
        name: WoodLook(
            name,
            letters[name],
            colours[name],
            tinted(colours[name], _tint_grey(colours[name])),
            rulings.get(name, _BLANK),
        )
        for name in names
    }


def wood_colour(name: str, woods: Mapping[str, WoodDetail] | None = None) -> str:
    """Give the colour of a wood as it looks finished.

    Source: from memory.

    >>> wood_colour("walnut") == wood_colour("Walnut, black")
    True
    >>> wood_colour("driftwood") == wood_colour("driftwood") != wood_colour("maple")
    True
    """
    detail = (woods or {}).get(name)
    if detail is not None and detail.colour:
        return _full(detail.colour)
    words = set(re.findall(r"[^\W\d_]+", name.lower()))
    known = [wood for wood in _COLOURS if set(wood.split()) <= words]
    if known:
        return _COLOURS[max(known, key=lambda wood: (len(wood.split()), len(wood), wood))]
    digest = sha256(name.strip().lower().encode("utf-8")).digest()
    return _STRANGERS[digest[0] % len(_STRANGERS)]


def _tint_grey(colour: str) -> float:
    """Say how grey the tint of a wood is: light enough for pencil, dark woods darker."""
    return min(0.05 + 0.24 * grey(colour), GREATEST_GREY - 0.01)


def _told_apart(natural: Mapping[str, str], *, given: set[str]) -> dict[str, str]:
    """Darken or lighten a wood that looks like one before it; what the maker chose stays."""
    chosen = {name: colour for name, colour in natural.items() if name in given}
    for name, colour in natural.items():
        if name in chosen:
            continue
        others = list(chosen.values())
        tries = [colour]
        for share in (0.15, 0.25, 0.35, 0.45):
            tries += [mixed(colour, "#20160f", share), mixed(colour, "#fff6e4", share)]
        nearest = {
            one: min((colour_distance(one, other) for other in others), default=_APART)
            for one in tries
        }
        apart = (one for one in tries if nearest[one] >= _APART)
        chosen[name] = next(apart, max(tries, key=nearest.__getitem__))
    return chosen


def _letters(names: Sequence[str]) -> dict[str, str]:
    """Give each wood its initial; a second wood with that initial gets one letter more."""
    letters: dict[str, str] = {}
    for name in names:
        word = re.sub(r"[\W\d_]+", "", name) or "X"
        tries = [word[0].upper()] + [word[0].upper() + letter.lower() for letter in word[1:]]
        tries += [f"{word[0].upper()}{number}" for number in range(2, len(names) + 2)]
        letters[name] = next(one for one in tries if one not in letters.values())
    return letters


def _full(colour: str) -> str:
    """Write a colour such as #abc in full; one that is not a colour becomes a mid grey."""
    digits = colour.strip().lstrip("#").lower()
    if re.fullmatch("[0-9a-f]{3}", digits):
        digits = "".join(2 * digit for digit in digits)
    return f"#{digits}" if re.fullmatch("[0-9a-f]{6}", digits) else "#808080"
