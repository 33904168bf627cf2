"""The few tolerances of the program, each with what it means in the shop.

Every other module names one of these; a bare ``1e-9`` stands nowhere else.
All lengths are in mm, all angles in degrees.
"""

from __future__ import annotations

__all__ = [
    "ALIKE",
    "ANGLE_ALIKE",
    "AREA_SHARE",
    "OFF_A_JOINT",
    "ON_THE_LINE",
    "SLACK",
    "SNAP_GRID",
]

#: A corner nearer to the opening's edge than this lies on it [mm]. Rounding noise is about 1e-12.
ON_THE_LINE = 1e-6

#: Pieces alike within this are one part, and edges shorter than this vanish [mm]: a twentieth of
#: the finest pencil line.
ALIKE = 0.005

#: Two saw angles nearer than this are one setting [degrees]; no saw can be set finer.
ANGLE_ALIKE = 0.005

#: How far a line of reckoning is moved off an even place, on which joints may lie [mm].
OFF_A_JOINT = 0.137

#: The grid on which shapely overlays non-convex outlines [mm]. Without a grid an overlay of two
#: touching strips now and then returns a whole strip.
SNAP_GRID = 1e-6

#: Areas that agree within this share of the whole agree.
AREA_SHARE = 1e-7

#: Slack of comparisons and of floor, ceil and round in a pattern's expressions.
SLACK = 1e-9
