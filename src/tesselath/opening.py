"""The opening: the clear area inside the frame, and what the strips cover of it.

Comes in: the design. Goes out: outlines in the axes of the whole program: origin at the centre
of the opening, x to the right, y away from the maker. Refuses: a clearance that eats the opening.

The order of work decides what the field covers::

    let in   the opening less the clearance: the frame exists, pieces are cut to fit
    trim     the opening itself: the field is glued over-long and trimmed to that line
    lap      the opening and the frame's lap: the frame covers the field's edge
"""

from __future__ import annotations

import numpy as np

from tesselath.design import Design
from tesselath.errors import DesignError, Fault
from tesselath.outlines import Outline, area, as_outline, inset, tidy

__all__ = ["field_outline", "opening_outline"]


def opening_outline(design: Design) -> Outline:
    """Draw the opening, centred on its box, counter-clockwise.

    Parameters
    ----------
    design : Design
        The design.

    Returns
    -------
    array (n, 2)
        The clear area inside the frame [mm].

    Raises
    ------
    DesignError
        If the design gives neither width and depth nor points.

    Notes
    -----
    Source: own derivation.
    """
    size = design.opening
    if size.points:
        points = np.array(size.points, dtype=float)
        middle = (points.min(axis=0) + points.max(axis=0)) / 2
        points = points - middle
        return tidy(as_outline(points if area(points) > 0 else points[::-1]))
    if size.width is None or size.depth is None:
        raise DesignError(
            Fault(design.place("opening"), None, "An opening needs width and depth, or points.")
        )
    x, y = size.width / 2, size.depth / 2
    return as_outline([(-x, -y), (x, -y), (x, y), (-x, y)])


def field_outline(design: Design, opening: Outline, order: str) -> Outline:
    """Draw what the strips cover when the work is done in a given order.

    Parameters
    ----------
    design : Design
        The design, for its clearance and the frame's lap.
    opening : array (n, 2)
        The clear area inside the frame [mm].
    order : {"let in", "trim", "lap"}
        The order of work.

    Returns
    -------
    array (n, 2)
        The outline of the strips, as they lie finished [mm].

    Raises
    ------
    DesignError
        If the clearance leaves nothing of the opening, or splits it.

    Notes
    -----
    Source: common practice.
    """
    if order == "trim":
        return opening
    if order == "lap":
        lap = design.frame.lap if design.frame is not None else 6.35
        return inset(opening, -lap)[0]
    left = inset(opening, design.opening.clearance)
    if len(left) != 1:
        raise DesignError(
            Fault(
                design.place("opening.clearance"), f"{design.opening.clearance:g} mm",
                "The clearance leaves no room for the field in one part.", "Make it smaller.",
            )
        )  # fmt: skip
    return left[0]
