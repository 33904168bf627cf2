"""Plane geometry on arrays: outlines, corners, congruence, tiling."""
