"""Cup: how far a panel bends whose strips dry on one face only.

Comes in: the design, how much its field would shrink. Goes out: the rise of the middle [mm].
"""

from __future__ import annotations

from tesselath.design import Design

__all__ = ["cup_of_panel"]

#: How stiff strips are across the grain beside plywood in its plane, about: Wood Handbook, Table
#: 5-1, has 0.05 to 0.1 of the stiffness along the grain, of which plywood has about half.
_STIFFNESS = 0.15

#: A straight-edge laid on the panel [mm]: 36 in.
_CUP_OVER = 914.4


def cup_of_panel(
    design: Design, shrinks: tuple[float, float], size: tuple[float, float]
) -> tuple[float | None, float]:
    """Estimate how far a panel without a backer cups when its strips dry.

    Source: Timoshenko, Analysis of bi-metal thermostats (1925), for two plates glued together; the
    stiffness across the grain makes it an estimate.
    """
    base = design.base
    axis = max((0, 1), key=lambda n: (round(abs(shrinks[n]) * size[n], 6), -n))
    over = min(size[axis], _CUP_OVER)
    if base is None or base.thickness is None:
        return None, over
    top, under = design.strips.thickness, base.thickness
    strain = max(0.0, -shrinks[axis]) / size[axis]
    m, n = top / under, _STIFFNESS
    bend = (
        6
        * strain
        * (1 + m) ** 2
        / ((top + under) * (3 * (1 + m) ** 2 + (1 + m * n) * (m * m + 1 / (m * n))))
    )
    return bend * over**2 / 8, over
