"""The saw's scale: what to dial so that the saw cuts what is asked.

Comes in: a mitre with its swing, and the saw. Goes out: the reading to dial, and whether the saw
can be set to it.

Where the zero of a saw is off, its scale reads 0 and it cuts a little to one side, the same at
every angle::

      asked  L 45.0   square   R 45.0        offset +0.3: at 0 it cuts 0.3 towards L
      dial   L 44.7   R 0.3    R 45.3

A saw that has only fixed stops cannot be dialled; its fence is packed instead.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import radians, tan

from tesselath.design import Saw
from tesselath.measure import ANGLE_ALIKE, listed, show_angle

__all__ = [
    "ScaleReading",
    "angles_wanted",
    "is_listed",
    "is_within_reach",
    "opens_by",
    "packing",
    "read_scale",
]


@dataclass(frozen=True, slots=True)
class ScaleReading:
    """What the scale reads when a cut is right: an angle, never negative, and the way it swings."""

    angle: float
    swing: str

    def __str__(self) -> str:
        """Say the reading as it stands on the scale."""
        return "0" if self.swing == "square" else f"{show_angle(self.angle)} {self.swing}"


def read_scale(mitre: float, swing: str, saw: Saw) -> ScaleReading:
    """Tell what to dial for a cut.

    Source: identity; a saw cuts what its scale reads and its offset, towards L counted positive.

    Parameters
    ----------
    mitre : float
        The cut from square, never negative [degrees].
    swing : {"R", "L", "square"}
        The way the handle goes.
    saw : Saw
        The saw, with its offset and the angles it can be set to.

    Examples
    --------
    >>> str(read_scale(45.0, "R", Saw(angle_offset=0.3)))
    '45.3° R'
    >>> str(read_scale(0.0, "square", Saw(angle_offset=0.3)))
    '0.3° R'
    >>> str(read_scale(45.04, "L", Saw(angles=(0.0, 45.0))))
    '45° L'
    """
    signed = mitre if swing == "L" else -mitre if swing == "R" else 0.0
    if saw.angles:
        near = _nearest(mitre, saw)
        signed = signed if near is None else near if signed > 0 else -near
    else:
        signed -= saw.angle_offset
    if abs(signed) <= ANGLE_ALIKE:
        return ScaleReading(0.0, "square")
    return ScaleReading(abs(signed), "L" if signed > 0 else "R")


def is_listed(mitre: float, saw: Saw) -> bool:
    """Tell whether a saw that has fixed angles has this one, within its own error.

    Parameters
    ----------
    mitre : float
        The cut from square [degrees].

    Returns
    -------
    bool
        Whether it can be set; always, where any angle can.

    Examples
    --------
    >>> is_listed(-22.5, Saw(angles=(0.0, 22.5, 45.0))), is_listed(30.0, Saw(angles=(0.0, 45.0)))
    (True, False)
    """
    return not saw.angles or _nearest(mitre, saw) is not None


def _nearest(mitre: float, saw: Saw) -> float | None:
    """The fixed angle that serves for a mitre."""
    near = min(saw.angles, key=lambda angle: (abs(abs(mitre) - angle), angle))
    return near if abs(abs(mitre) - near) <= max(saw.angle_error, ANGLE_ALIKE) else None


def is_within_reach(mitre: float, saw: Saw) -> bool:
    """Tell whether the scale goes far enough for a cut.

    Parameters
    ----------
    mitre : float
        The cut from square, towards L positive [degrees].

    Examples
    --------
    >>> saw = Saw(largest_mitre=50.0, angle_offset=0.5)
    >>> is_within_reach(50.5, saw), is_within_reach(-50.0, saw)
    (True, False)
    """
    dialled = mitre if saw.angles else mitre - saw.angle_offset
    return abs(dialled) <= saw.largest_mitre + ANGLE_ALIKE


def opens_by(cuts: int, offset: float) -> float:
    """Tell by how much a ring of mitres stands open when every cut is off by the same.

    Source: identity; a systematic error adds, it never averages out.

    Parameters
    ----------
    cuts : int
        The mitred ends of all its pieces, two a corner [count].
    offset : float
        By how much each is off [degrees].

    Returns
    -------
    float
        The angle of the last joint [degrees].

    Examples
    --------
    >>> opens_by(16, 0.25)
    4.0
    """
    return cuts * abs(offset)


def packing(offset: float, over: float) -> float:
    """Tell how much is packed behind the fence, so far from the blade, to put a zero right [mm].

    Examples
    --------
    >>> round(packing(0.3, 150.0), 2)
    0.79
    """
    return over * tan(radians(abs(offset)))


def angles_wanted(mitres: Sequence[float]) -> str:
    """Print the angles that a fixed saw lacks, each once.

    Examples
    --------
    >>> angles_wanted([30.0, -30.0, 52.5])
    '30° and 52.5°'
    """
    shown = list(dict.fromkeys(show_angle(m) for m in sorted({round(abs(m), 2) for m in mitres})))
    return listed(shown)
