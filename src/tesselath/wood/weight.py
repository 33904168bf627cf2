"""Weight: what the finished top weighs, so that it can be carried and hung.

Comes in: the design, its pieces, the frame and the base. Goes out: kilograms, and what could not be
weighed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tesselath.design import Design
from tesselath.field import Piece
from tesselath.frame import FrameBase
from tesselath.measure import show_number
from tesselath.shape import area
from tesselath.wood.moisture import find_seasons
from tesselath.wood.woods import Wood, wood_of

__all__ = ["Weight", "density_of", "describe_weight", "weigh_top"]

#: Plywood [kg/m3]; softwood panels are about 550 to 600, birch ones near 680. From memory.
_PLYWOOD = 600.0


@dataclass(frozen=True, slots=True)
class Weight:
    """What the finished top weighs [kg]; ``without`` names what could not be weighed."""

    strips: Mapping[str, float]  # by wood
    frame: float
    base: float
    without: tuple[str, ...]

    @property
    def total(self) -> float:
        """The weight of all that is known [kg]."""
        return sum(self.strips.values()) + self.frame + self.base


def weigh_top(design: Design, *, pieces: Sequence[Piece], frame_base: FrameBase) -> Weight:
    """Weigh the finished top.

    Source: volume times density; densities from the Wood Handbook's specific gravities.

    Parameters
    ----------
    pieces : sequence of Piece
        The pieces as they lie finished.
    frame_base : FrameBase
        The frame and the base as planned.

    Returns
    -------
    Weight
        The weight at the moisture it is made at [kg].
    """
    moisture = find_seasons(design).made
    covers: dict[str, float] = {}
    for piece in pieces:
        covers[piece.wood] = covers.get(piece.wood, 0.0) + area(piece.outline)
    strips, without = {}, []
    for name, mm2 in sorted(covers.items()):
        density = density_of(wood_of(design, name)[0], moisture)
        if density is None:
            without.append(name)
        else:
            strips[name] = mm2 * design.strips.thickness * density / 1e9
    frame = base = 0.0
    if design.frame is not None:
        density = density_of(wood_of(design, design.frame.wood or "frame")[0], moisture)
        if design.frame.thickness is None or density is None:
            without.append("the frame")
        else:
            frame = (
                sum(
                    (m.long_point + m.short_point) / 2 * design.frame.width
                    for m in frame_base.members
                )
                * design.frame.thickness
                * density
                / 1e9
            )
    panel = frame_base.base
    if panel is not None and panel.thickness is None:
        without.append("the base")
    elif panel is not None and panel.thickness is not None:
        base = panel.finished[0] * panel.finished[1] * panel.thickness * _PLYWOOD / 1e9
    return Weight(strips, frame, base, tuple(without))


def density_of(wood: Wood, moisture: float) -> float | None:
    """Give the density of a wood.

    Source: Wood Handbook, FPL-GTR-190 (2010), chapter 4: 1000 G (1 + M/100), with G at 12 percent;
    between 6 and 14 percent the change of G is left out.

    >>> from tesselath.wood.woods import find_wood
    >>> round(density_of(find_wood("cherry"), 12.0))
    560
    """
    gravity = wood.specific_gravity
    return None if gravity is None else 1000 * gravity.value * (1 + moisture / 100)


def describe_weight(design: Design, weight: Weight) -> str:
    r"""Say what the finished top weighs.

    Source: one pound is exactly 0.45359237 kg.

    Parameters
    ----------
    design : Design
        The design, for its units.

    Returns
    -------
    str
        Pounds or kilograms, and what is left out.

    Examples
    --------
    >>> from tesselath.design import parse_design
    >>> text = '[opening]\nwidth = "9"\ndepth = "9"\n[field]\npattern = "stair"'
    >>> design = parse_design(text, file_name="top.toml", beside=None)
    >>> describe_weight(design, Weight({"walnut": 2.0}, 0.0, 0.0, ("the base",)))
    'the finished top weighs about 4.4 lb without the base'
    """
    pounds = design.units == "in"
    amount = weight.total / 0.45359237 if pounds else weight.total
    decimals = 0 if amount >= 10 else 1 if amount >= 1 else 2
    text = f"{show_number(amount, decimals=decimals)} {'lb' if pounds else 'kg'}"
    without = f" without {' and '.join(weight.without)}" if weight.without else ""
    return f"the finished top weighs about {text}{without}"
