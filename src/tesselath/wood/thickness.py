"""Thickness: strips and glue against the recess, and the frame against the base.

Comes in: a design. Goes out: how far the strips stand proud of the frame or lie below it, and
whether the frame hides the base's edge.

::

         strips  ________           proud
    frame |''|__|________|__|''|   ''''''   -+
          |  |=== glue =====|  |             | recess
          |  |##### base ###|  |            -+
          |__|##############|__|
"""

from __future__ import annotations

from dataclasses import dataclass

from tesselath.design import Design
from tesselath.measure import ON_THE_LINE

__all__ = ["Stack", "stack_up"]

#: A pressed line of wood glue [mm]; 0.05 to 0.15, from memory.
GLUE_LINE = 0.1

#: Within this the faces count as level; beyond the second it is too much to sand [mm]: 1/64 and
#: 1/32 in, common practice.
_LEVEL, _DRESS = 0.396875, 0.79375


@dataclass(frozen=True, slots=True)
class Stack:
    """How thick the top is built [mm].

    ``proud`` is how far the strips stand above the frame's top face, less than 0 below it; None
    where no recess is known. ``degree`` is "level", "dress" (sand or plane it off), "warning" or
    "unknown"; under a lap it is "lip", and ``lip`` is the wood left above the strips. ``covers`` is
    how far the frame reaches below the base, less than 0 where the base shows.
    """

    strips: float
    glue: float
    recess: float | None
    proud: float | None
    degree: str
    lip: float | None
    covers: float | None

    @property
    def height(self) -> float:
        """Strips and glue together: the recess that makes them level [mm]."""
        return self.strips + self.glue


def stack_up(design: Design) -> Stack:
    """Compare the strips with the recess they lie in.

    Source: common practice; 1/32 in is what makers still sand off.

    Parameters
    ----------
    design : Design
        The design, with its strips, frame and base.

    Returns
    -------
    Stack
        The thicknesses [mm].
    """
    strips, frame, base = design.strips.thickness, design.frame, design.base
    glue = 0.0 if design.strips.kind == "solid slab" else GLUE_LINE
    if frame is None:
        return Stack(strips, glue, None, None, "unknown", None, None)
    recess = frame.recess
    if recess is None and frame.sits == "on the base":
        recess = frame.thickness  # the frame stands on the base, so it is as deep as it is thick
    covers = None
    if base is not None and base.thickness is not None:
        if frame.sits == "on the base":
            covers = -base.thickness
        elif frame.thickness is not None and recess is not None:
            covers = frame.thickness - recess - base.thickness
    if recess is None:
        return Stack(strips, glue, None, None, "unknown", None, covers)
    proud = strips + glue - recess
    if design.order == "lap":
        return Stack(strips, glue, recess, proud, "lip", -proud, covers)
    off = max(abs(proud) - glue, 0.0) if proud > 0 else -proud
    degree = "level" if off <= _LEVEL + ON_THE_LINE else "dress"
    if off > _DRESS + ON_THE_LINE:
        degree = "warning"
    return Stack(strips, glue, recess, proud, degree, None, covers)
