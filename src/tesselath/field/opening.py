"""The opening: the clear area inside the frame, and what the strips cover of it.

Comes in: the design. Goes out: outlines in the axes of the whole program: origin at the centre of
the opening, x to the right, y away from the maker. Refuses: a clearance that eats the opening,
corners that leave no room for each other, readings that cannot close.

The order of work decides what the field covers::

    let in   the opening less the clearance: the frame exists, pieces are cut to fit
    trim     the opening itself: the field is glued over-long and trimmed to that line
    lap      the opening and the frame's lap: the frame covers the field's edge
"""

from __future__ import annotations

import numpy as np

from tesselath.design import Design
from tesselath.errors import DesignError, Fault, MeasureError
from tesselath.measure import ON_THE_LINE
from tesselath.shape import (
    MeasuredOpening,
    Outline,
    area,
    as_outline,
    clip_corners,
    draw_oval,
    inset,
    room_for_corners,
    round_corners,
    solve_opening,
    tidy,
)

__all__ = ["field_outline", "measured_opening", "opening_outline", "sharp_outline"]


def opening_outline(design: Design) -> Outline:
    """Draw the opening, counter-clockwise, centred on its box; a measured one on its mean corner.

    Returns
    -------
    array (n, 2)
        The clear area inside the frame [mm].

    Raises
    ------
    DesignError
        If the design gives no opening, or its corners leave no room for each other.
    """
    size = design.opening
    sharp = sharp_outline(design)
    for key, far in (("corner_radius", size.corner_radius), ("corner_clip", size.corner_clip)):
        if not far:
            continue
        rounded = key == "corner_radius"
        most = room_for_corners(sharp, rounded=rounded)
        if far > most + ON_THE_LINE:
            wrote = design.show_plain(far)
            rule = f"Two corners leave room for {design.show_plain(most)} at the most."
            raise DesignError(
                Fault(design.place(f"opening.{key}"), wrote, rule, "Make it smaller.")
            )
        return round_corners(sharp, far) if rounded else clip_corners(sharp, far)
    return sharp


def sharp_outline(design: Design) -> Outline:
    """Draw the opening before its corners are rounded or clipped; see `opening_outline`."""
    size = design.opening
    measured = measured_opening(design)
    if measured is not None:
        return measured.corners
    if size.points:
        points = np.array(size.points, dtype=float)
        middle = (points.min(axis=0) + points.max(axis=0)) / 2
        points = points - middle
        return tidy(as_outline(points if area(points) > 0 else points[::-1]))
    if size.width is None or size.depth is None:
        raise DesignError(
            Fault(design.place("opening"), None, "An opening needs width and depth, or points.")
        )
    if size.oval:
        return draw_oval(size.width, size.depth)
    x, y = size.width / 2, size.depth / 2
    return as_outline([(-x, -y), (x, -y), (x, y), (-x, y)])


def measured_opening(design: Design) -> MeasuredOpening | None:
    """Solve the opening from its readings; None where it is not given as measured.

    Source: see `solve_opening`.

    Returns
    -------
    MeasuredOpening or None
        The corners, and how well the readings agree.

    Raises
    ------
    DesignError
        If no opening has these measures.
    """
    size = design.opening
    if not size.measured:
        return None
    try:
        return solve_opening(size.measured, axis=size.axis)
    except MeasureError:
        raise DesignError(
            Fault(
                design.place("opening"), None, "No opening has these measures.", "Measure it again."
            )
        ) from None


def field_outline(design: Design, opening: Outline, order: str) -> Outline:
    """Draw what the strips cover when the work is done in a given order.

    Source: common practice.

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
                design.place("opening.clearance"),
                f"{design.opening.clearance:g} mm",
                "The clearance leaves no room for the field in one part.",
                "Make it smaller.",
            )
        )
    return left[0]
