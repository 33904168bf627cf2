"""Woods: what is known of each, how much it moves and what it weighs.

Comes in: a name as makers say it, or a design's wood with what the design says of it. Goes out: the
wood, each figure with its confidence and source. A wood that is not known is None, or an average
one where a figure is needed.

The table lies in woods.csv beside this module. A figure is "read" in the source named or in a
faithful copy of it, "recalled" from memory, "given" by the design, or "derived" from another.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tesselath.design import Design

__all__ = [
    "SOURCES",
    "Figure",
    "Wood",
    "coefficient_of",
    "find_wood",
    "known_woods",
    "nearest_wood",
    "wood_of",
]

#: The sources by their short names in the table.
SOURCES: Mapping[str, str] = {
    "WH 13-5": "USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010), Table 13-5",
    "WH 4-3": "USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010), Table 4-3",
    "WH 4-4": "USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010), Table 4-4",
    "WH 5-3a": "USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010), Table 5-3a",
    "WH 5-5a": "USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010), Table 5-5a, "
    "carried from green volume to 12 %",
    "AH72": "USDA, Wood Handbook, Agriculture Handbook 72 (1987), as credited by a trade list",
    "trade": "trade list",
}

_FIGURES = ("radial", "tangential", "radial_shrinkage", "tangential_shrinkage", "specific_gravity")


@dataclass(frozen=True, slots=True)
class Figure:
    """A published number, how sure it is and where it stands."""

    value: float
    confidence: str  # "read", "recalled", "derived" or "given"
    source: str


@dataclass(frozen=True, slots=True)
class Wood:
    """A wood by its figures, None where none is known.

    ``radial`` and ``tangential`` are dimensional-change coefficients [per percent of moisture],
    the shrinkages are green to ovendry [percent], ``specific_gravity`` counts at 12 percent.
    """

    name: str
    scientific: str
    kind: str  # "hardwood", "softwood", "imported", "own" or "average"
    aliases: tuple[str, ...]
    radial: Figure | None
    tangential: Figure | None
    radial_shrinkage: Figure | None
    tangential_shrinkage: Figure | None
    specific_gravity: Figure | None

    def coefficient(self, direction: str) -> Figure | None:
        """Give the coefficient of a direction, "radial" or "tangential"."""
        return self.radial if direction == "radial" else self.tangential

    def shrinkage(self, direction: str) -> Figure | None:
        """Give the shrinkage of a direction, "radial" or "tangential" [percent]."""
        return self.radial_shrinkage if direction == "radial" else self.tangential_shrinkage


def find_wood(name: str) -> Wood | None:
    """Find a built-in wood by any name makers give it.

    Parameters
    ----------
    name : str
        "walnut", "black walnut" or "Walnut, black"; capitals and hyphens do not count.

    Returns
    -------
    Wood or None
        The wood; None if it is not in the table.

    Examples
    --------
    >>> find_wood("black cherry").name, find_wood("Hard-Maple").name, find_wood("balsa")
    ('Cherry, black', 'Maple, sugar', None)
    """
    return _by_name().get(_plain(name))


def nearest_wood(name: str) -> str | None:
    """Suggest the built-in name nearest to one that is not known.

    Examples
    --------
    >>> nearest_wood("wallnut")
    'walnut'
    """
    near = get_close_matches(_plain(name), list(_by_name()), n=1, cutoff=0.75)
    return near[0] if near else None


@cache
def known_woods() -> tuple[Wood, ...]:
    """List the built-in woods by name.

    Source: named beside each figure.

    Returns
    -------
    tuple of Wood
        Hardwoods, softwoods and imported ones together, sorted by name.

    Examples
    --------
    >>> len(known_woods()) >= 40
    True
    """
    with (Path(__file__).parent / "woods.csv").open(encoding="utf-8", newline="") as table:
        woods = [_read_row(row) for row in csv.DictReader(table)]
    return tuple(sorted(woods, key=lambda wood: wood.name))


def wood_of(design: Design, name: str) -> tuple[Wood, bool]:
    """Give what is known of a design's wood, the design's own figures first.

    Source: a coefficient that only a shrinkage S [percent] is given for is s/(1 - 20 s) with
    s = S/100/30, which reproduces the handbook's own table from its shrinkages.

    Parameters
    ----------
    design : Design
        The design, with what it says in [woods].
    name : str
        The wood as the design calls it.

    Returns
    -------
    (Wood, bool)
        The wood, and whether it is known; else it is an average hardwood.
    """
    detail = design.woods.get(name)
    known = find_wood(detail.species or name) if detail is not None else find_wood(name)
    wood = known or _average()
    if detail is None:
        return wood, known is not None
    given = {
        "radial_shrinkage": detail.radial_shrinkage,
        "tangential_shrinkage": detail.tangential_shrinkage,
        "specific_gravity": detail.specific_gravity,
    }
    own: dict[str, Any] = {
        key: Figure(value, "given", "the design") for key, value in given.items() if value
    }
    derived: dict[str, Any] = {
        key.removesuffix("_shrinkage"): Figure(
            coefficient_of(figure.value), "derived", "from its shrinkage"
        )
        for key, figure in own.items()
        if key.endswith("_shrinkage")
    }
    if not own:
        return wood, known is not None
    if known is None:
        wood = replace(wood, name=detail.species or name, kind="own")
    # An average wood of which the design gives the tangential shrinkage is no longer a guess.
    return replace(wood, **own, **derived), known is not None or "tangential" in derived


def coefficient_of(shrinkage: float) -> float:
    """Reckon a dimensional-change coefficient from a total shrinkage.

    Source: Wood Handbook, FPL-GTR-190 (2010), chapter 13: shrinkage is taken as even from
    30 percent down and referred to the size at 10 percent.

    >>> round(coefficient_of(7.1), 5)
    0.00248
    """
    share = shrinkage / 100 / 30
    return share / (1 - 20 * share)


def _read_row(row: Mapping[str, str]) -> Wood:
    figures = {
        key: Figure(float(row[key]), row[f"{key}_confidence"], SOURCES[row[f"{key}_source"]])
        if row[key]
        else None
        for key in _FIGURES
    }
    aliases = tuple(alias for alias in row["aliases"].split(";") if alias)
    return Wood(row["name"], row["scientific"], row["kind"], aliases, **figures)


@cache
def _by_name() -> Mapping[str, Wood]:
    """Every plain name of every wood; its own name counts before another's alias."""
    found: dict[str, Wood] = {}
    for wood in known_woods():
        found.setdefault(_plain(wood.name), wood)
        # "Walnut, black" is said "black walnut".
        found.setdefault(_plain(" ".join(reversed(wood.name.split(", ")))), wood)
        found.setdefault(_plain(wood.scientific), wood)
    for wood in known_woods():
        for alias in wood.aliases:
            found.setdefault(_plain(alias), wood)
    return found


@cache
def _average() -> Wood:
    """Make a wood of the middle figures of the built-in hardwoods."""
    middle = {}
    for key in _FIGURES:
        values = [getattr(wood, key) for wood in known_woods() if wood.kind == "hardwood"]
        figure = round(median(v.value for v in values if v is not None), 5)
        middle[key] = Figure(figure, "derived", "the middle of the built-in hardwoods")
    return Wood("average hardwood", "", "average", (), **middle)


def _plain(name: str) -> str:
    letters = (c if c.isalnum() else " " for c in name.casefold())
    return " ".join("".join(letters).split())
