"""A sheet: what is drawn, before any file format.

The drawing functions build these values. Goes out: frozen values that every writer (SVG, PDF, DXF)
reads.

All lengths are in mm, x to the right, y away from the maker; angles are in degrees,
counter-clockwise. The sheet is a window on that plane, so that a drawing keeps its own zero::

      top +------------------+
          |        |         |
          |    ----0----  x  |  height
          |        |         |
          +------------------+
        left     width       right
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tesselath.measure import turn_point

__all__ = [
    "Circle",
    "Corners",
    "Fill",
    "Hatch",
    "Item",
    "Layer",
    "Line",
    "Point",
    "Polygon",
    "Sheet",
    "Stroke",
    "Text",
    "box_outline",
    "moved",
    "moved_corners",
]

Point = tuple[float, float]
Corners = Sequence[Point] | NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Stroke:
    """A pen: width and dashes [mm], colour, and how a line ends ("butt" or "round")."""

    width: float
    colour: str = "#000000"
    dash: tuple[float, ...] = ()
    ends: str = "butt"


@dataclass(frozen=True, slots=True)
class Hatch:
    """Parallel lines that fill a shape.

    They run at ``angle`` [degrees], ``spacing`` apart, ``width`` thick [mm]; with a ``dash``
    they are broken, with ``dots`` they are rows of round dots as far apart as the rows.
    """

    angle: float
    spacing: float
    width: float
    colour: str = "#000000"
    dash: tuple[float, ...] = ()
    dots: bool = False


@dataclass(frozen=True, slots=True)
class Fill:
    """What a shape is filled with: a colour, a hatch over it, or both."""

    colour: str | None = None
    hatch: Hatch | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """One or several open lines drawn alike, each by its corners [mm]."""

    runs: tuple[Corners, ...]
    stroke: Stroke
    role: str = ""
    key: str = ""


@dataclass(frozen=True, slots=True)
class Polygon:
    """One or several closed outlines drawn alike, without repeated last corners [mm]."""

    outlines: tuple[Corners, ...]
    fill: Fill | None = None
    stroke: Stroke | None = None
    role: str = ""
    key: str = ""


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle [mm]."""

    centre: Point
    radius: float
    fill: Fill | None = None
    stroke: Stroke | None = None
    role: str = ""
    key: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of lettering.

    ``cap`` is the height of its capitals [mm]. ``anchor`` ("start", "middle", "end") and
    ``baseline`` ("base", "middle", "top": the foot, middle or top of the capitals) say which
    point of it lies ``at`` the given one; it is turned by ``angle`` about that point.
    ``weight`` is 400 or 600. ``role`` is its class, such as "piece-number".
    """

    text: str
    at: Point
    cap: float
    anchor: str = "middle"
    baseline: str = "middle"
    angle: float = 0.0
    weight: int = 400
    colour: str = "#000000"
    underline: bool = False
    role: str = ""
    key: str = ""

    @property
    def foot(self) -> Point:
        """The point on the base line that the anchor names [mm]."""
        drop = {"base": 0.0, "middle": 0.5, "top": 1.0}[self.baseline] * self.cap
        dx, dy = turn_point(0.0, -drop, self.angle)
        return self.at[0] + dx, self.at[1] + dy


Item = Line | Polygon | Circle | Text


@dataclass(frozen=True, slots=True)
class Layer:
    """A named part of the drawing; layers lie on each other in their order."""

    name: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A drawing: a window on the plane and what is drawn there [mm].

    ``left`` and ``bottom`` are the lower left corner of the page in the drawing's own axes.
    """

    title: str
    left: float
    bottom: float
    width: float
    height: float
    layers: tuple[Layer, ...]
    paper: str = "#ffffff"

    @property
    def top(self) -> float:
        """The upper edge of the page [mm]."""
        return self.bottom + self.height


def box_outline(left: float, bottom: float, width: float, height: float) -> tuple[Point, ...]:
    """Give the four corners of an upright box, counter-clockwise [mm]."""
    right, top = left + width, bottom + height
    return (left, bottom), (right, bottom), (right, top), (left, top)


def moved(items: Iterable[Item], dx: float, dy: float) -> tuple[Item, ...]:
    """Move items as one.

    Parameters
    ----------
    items : iterable of Item
        What is moved; it is not changed.
    dx, dy : float
        The way [mm].

    Examples
    --------
    >>> moved([Circle((1.0, 2.0), 3.0)], 10.0, 0.0)[0].centre
    (11.0, 2.0)
    """
    return tuple(_moved(item, dx, dy) for item in items)


def moved_corners(corners: Corners, dx: float, dy: float) -> Corners:
    """Move corners [mm]."""
    if isinstance(corners, np.ndarray):
        shifted: NDArray[np.float64] = corners + np.array([dx, dy])
        return shifted
    return tuple((x + dx, y + dy) for x, y in corners)


def _moved(item: Item, dx: float, dy: float) -> Item:
    match item:
        case Line():
            return replace(item, runs=tuple(moved_corners(run, dx, dy) for run in item.runs))
        case Polygon():
            outlines = tuple(moved_corners(outline, dx, dy) for outline in item.outlines)
            return replace(item, outlines=outlines)
        case Circle():
            return replace(item, centre=(item.centre[0] + dx, item.centre[1] + dy))
        case Text():
            return replace(item, at=(item.at[0] + dx, item.at[1] + dy))
    raise TypeError(f"{item!r} is not an item of a sheet")
