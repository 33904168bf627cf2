"""Layout: how the pattern of a field lies, so that a later plan can go on from it.

Comes in: a design, and the edge of its field. Goes out: the turn, shift, mirror and sizes of the
field as plain values, which ``plan.json`` carries.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tesselath.design import Design
from tesselath.shape import Outline, inset

__all__ = ["LaidFor", "field_width", "middle_of_field", "show_layout"]


@dataclass(frozen=True, slots=True)
class LaidFor:
    """What the pattern of a field was laid for: its edge, with half a gap, and its middle [mm]."""

    edge: Outline
    middle: tuple[float, float]


def middle_of_field(design: Design, edge: Outline) -> tuple[float, float]:
    """Give the point of a field that its pattern is laid about."""
    # A measured opening lies about the crossing of its centre lines; a border makes it square.
    if design.opening.measured and not design.borders:
        return 0.0, 0.0
    x, y = (edge.max(axis=0) + edge.min(axis=0)) / 2
    return float(x), float(y)


def show_layout(design: Design, edge: Outline) -> dict[str, Any]:
    """Give how the field is laid, in mm and degrees.

    Parameters
    ----------
    edge : array (n, 2)
        The edge of the field that the pattern was laid for, as it lies finished [mm].

    Returns
    -------
    dict
        ``edge`` and ``middle``, the field's edge, with half a gap, and the point that it was laid
        about; ``moved``, how far a refit has moved what was glued; ``strip_width`` as the
        design sets it, ``field_width`` as the field's pattern takes it, both None where there is
        none; ``angle``, ``shift``, ``mirror``, ``centre``, and ``set``, the sizes that the design
        sets.
    """
    filling, gap = design.field.filling, design.strips.gap
    grown = inset(edge, -gap / 2)[0] if gap else edge
    shift = (0.0, 0.0) if isinstance(filling.shift, str) else filling.shift
    return {
        "edge": grown.tolist(),
        "middle": list(middle_of_field(design, grown)),
        "moved": [0.0, 0.0],
        "strip_width": design.strips.width,
        "field_width": field_width(design),
        "angle": filling.angle,
        "shift": list(shift),
        "mirror": design.field.mirror,
        "centre": design.field.centre,
        "set": dict(sorted(filling.settings.items())),
    }


def field_width(design: Design) -> float | None:
    """Give the width of the field's strips [mm]; None where the pattern works it out itself."""
    filling = design.field.filling
    size = filling.pattern.size("w")
    if size is None:
        return None
    if "w" in filling.settings:
        return filling.settings["w"]
    return design.strips.width if design.strips.width is not None else float(size.value)
