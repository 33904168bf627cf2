"""The cells of one border: along straight sides, round a curve, or tapered to a measured opening.

Comes in: the design, the border, the outline it lies along. Goes out: its cells, what is left
inside, and for a tapered border what is cut before an edge is planed. Refuses: what the three ways
of laying it refuse.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from tesselath.design import Border, Design
from tesselath.field.clip import Clipped, shrink_cell
from tesselath.field.opening import sharp_outline
from tesselath.field.rings import RingCell, lay_rings
from tesselath.field.round_border import lay_round_border
from tesselath.field.taper import lay_tapered_border
from tesselath.measure import ALIKE
from tesselath.shape import Outline, area, inset

__all__ = ["cut_wider", "ring_of_border"]


def ring_of_border(
    design: Design, border: Border, n: int, grown: Outline
) -> tuple[Sequence[RingCell], list[Outline], list[Outline]]:
    """Lay the cells of a border."""
    width = border.width + design.strips.gap
    place = design.place(f"border.{n}")
    if n == 1 and design.opening.measured:
        tapered, inner = lay_tapered_border(grown, width=width, corner=border.corner, place=place)
        left = [inner] if len(inner) else []
        return [t.cell for t in tapered], left, [t.blank for t in tapered]
    left = inset(grown, width)
    if design.opening.oval or design.opening.corner_radius:
        sharp = None if design.opening.oval else sharp_outline(design)
        return lay_round_border(grown, sharp=sharp, width=width, place=place), left, []
    return lay_rings(grown, [width], count=1, corner=border.corner, place=place), left, []


def cut_wider(clipped: Clipped, blanks: Sequence[Outline], gap: float) -> Clipped:
    """Let each piece be cut with parallel edges; its outer edge is planed to what lies finished.

    Source: common practice.
    """
    fragments = []
    for fragment, blank in zip(clipped.fragments, blanks, strict=True):
        whole = shrink_cell(blank, gap)[0]
        planed = area(whole) - area(fragment.outline) > ALIKE * float(np.ptp(whole))
        fragments.append(replace(fragment, whole=whole, kin=-1, planed=planed))
    return replace(clipped, fragments=tuple(fragments))
