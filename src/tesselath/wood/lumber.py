"""Lumber: what a board or a sheet measures that is sold under a rounder name.

Comes in: a size as a design gives it. Goes out: what is sold under that name and what it measures.
The table lies in lumber.csv beside this module.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from tesselath.measure import ALIKE, parse_length

__all__ = ["LUMBER_SOURCES", "SoldSize", "known_sizes", "sold_as"]

#: The sources by their short names in the table.
LUMBER_SOURCES: Mapping[str, str] = {
    "PS 20": "American Softwood Lumber Standard PS 20, minimum dressed sizes",
    "trade": "North American hardwood trade: rough quarters and surfaced thickness",
    "panel trade": "US panel trade, tolerance left out",
    "EN 336": "BS EN 336, target sizes at 20 % moisture",
}


@dataclass(frozen=True, slots=True)
class SoldSize:
    """A size by its name, and what it measures [mm].

    ``sort`` is "softwood", "softwood board", "softwood dimension", "hardwood", "plywood" or "metric
    softwood"; ``condition`` is "dry", "green", "S1S", "S2S" (surfaced on one or two sides), "panel"
    or "planed".
    """

    sort: str
    dimension: str
    name: str
    nominal: float
    condition: str
    actual: float
    source: str
    confidence: str


@cache
def known_sizes() -> tuple[SoldSize, ...]:
    """List the sizes that are sold under another name.

    Source: named beside each size.

    Returns
    -------
    tuple of SoldSize
        In the order of the table.
    """
    with (Path(__file__).parent / "lumber.csv").open(encoding="utf-8", newline="") as table:
        return tuple(
            SoldSize(
                row["sort"],
                row["dimension"],
                row["nominal"],
                _nominal(row["nominal"]),
                row["condition"],
                parse_length(row["actual"]),
                LUMBER_SOURCES[row["source"]],
                row["confidence"],
            )
            for row in csv.DictReader(table)
        )


def sold_as(
    size: float, *, sort: str, dimension: str, condition: str | None = None
) -> SoldSize | None:
    """Find what is sold under a size that it does not have.

    Source: as for `known_sizes`.

    Parameters
    ----------
    size : float
        A size as the design gives it [mm].
    sort : str
        "softwood board" also finds what is "softwood", whatever its use.
    dimension : str
        "thickness" or "width".
    condition : str, optional
        "dry" or "S2S", say; left out, the first in the table.

    Returns
    -------
    SoldSize or None
        What measures less than it is called; None where the size is no such name.

    Examples
    --------
    >>> found = sold_as(19.05, sort="plywood", dimension="thickness")
    >>> found.name, round(found.actual / 25.4, 5)
    ('3/4 in', 0.71875)
    >>> sold_as(18.25625, sort="plywood", dimension="thickness") is None
    True
    """
    for known in known_sizes():
        if (
            sort.startswith(known.sort)
            and dimension in known.dimension
            and condition in (None, known.condition)
            and abs(known.nominal - size) <= ALIKE
        ):
            return known
    return None


def _nominal(name: str) -> float:
    """Turn a name into a length; hardwood goes by quarters of an inch."""
    quarters, slash, rest = name.partition("/")
    if slash and rest == "4":
        return float(quarters) * 25.4 / 4
    return parse_length(name)
