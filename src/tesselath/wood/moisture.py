"""Moisture: what wood takes up from the air, and what that does to a size.

Comes in: temperature and humidity, or the moisture itself; a size and a wood's figures. Goes out:
equilibrium moisture and change of size. Refuses: humidity beyond 0 to 1.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tesselath.design import Design

__all__ = [
    "FIBRE_SATURATION",
    "Seasons",
    "change_share",
    "equilibrium_moisture",
    "find_seasons",
    "moisture_of",
]

#: Wetter than this wood no longer swells [percent]. Source: Wood Handbook, FPL-GTR-190, chapter 4.
FIBRE_SATURATION = 30.0

#: Between these the coefficients hold [percent]. Source: Wood Handbook, FPL-GTR-190, chapter 13.
_LEAST, _MOST = 6.0, 14.0

#: What is taken for the room where the design says nothing.
_ROOM: tuple[Mapping[str, float], ...] = (
    {"temperature": 21.0, "humidity": 30.0},
    {"temperature": 24.0, "humidity": 65.0},
    {"moisture": 8.0},
)


@dataclass(frozen=True, slots=True)
class Seasons:
    """The wood's moisture in the dry and the humid season, and when it is made [percent]."""

    dry: float
    humid: float
    made: float


def equilibrium_moisture(temperature: float, humidity: float) -> float:
    """Say how moist wood becomes in the air of a room.

    Source: USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010), chapter 4.

    >>> round(equilibrium_moisture(20.0, 0.5), 2)
    9.27
    """
    if not 0 <= humidity < 1:
        raise ValueError(f"{humidity} is no relative humidity as a share from 0 to under 1.")
    t, h = temperature, humidity
    w = 349 + 1.29 * t + 0.0135 * t * t
    k = 0.805 + 0.000736 * t - 0.00000273 * t * t
    k1 = 6.27 - 0.00938 * t - 0.000303 * t * t
    k2 = 1.91 + 0.0407 * t - 0.000293 * t * t
    kh = k * h
    bound = (k1 * kh + 2 * k1 * k2 * kh * kh) / (1 + k1 * kh + k1 * k2 * kh * kh)
    return 1800 / w * (kh / (1 - kh) + bound)


def moisture_of(air: Mapping[str, float]) -> float:
    """Give the moisture of wood in the air that a design describes.

    Source: as for `equilibrium_moisture`.

    >>> moisture_of({"moisture": 8.0}), round(moisture_of({"temperature": 21.1, "humidity": 30}), 2)
    (8.0, 6.17)
    """
    if "moisture" in air:
        return air["moisture"]
    return equilibrium_moisture(air["temperature"], air["humidity"] / 100)


def find_seasons(design: Design) -> Seasons:
    """Find how moist the wood is in the dry and the humid season and when it is made.

    Source: as for `equilibrium_moisture`.

    Parameters
    ----------
    design : Design
        The design, with its room.

    Returns
    -------
    Seasons
        The moistures [percent].
    """
    room = design.room
    airs = _ROOM if room is None else (room.dry, room.humid, room.made)
    return Seasons(*(moisture_of(air) for air in airs))


def change_share(
    start: float, end: float, *, coefficient: float | None, shrinkage: float | None = None
) -> float:
    """Say by what share a size changes between two moistures.

    Source: Wood Handbook, FPL-GTR-190 (2010), chapter 13: C (MF - MI) from 6 to 14 percent; else
    (MF - MI) / (30 (100)/S - 30 + MI).

    White fir 232 mm wide, from 8 to 11 percent (the handbook's example) grows by 1.7 mm:

    >>> round(232 * change_share(8, 11, coefficient=0.00245), 1)
    1.7
    """
    start, end = min(start, FIBRE_SATURATION), min(end, FIBRE_SATURATION)
    within = min(start, end) >= _LEAST and max(start, end) <= _MOST
    if coefficient is not None and (within or shrinkage is None):
        return coefficient * (end - start)
    if shrinkage is None:
        raise ValueError("A coefficient or a shrinkage is needed.")
    return (end - start) / (FIBRE_SATURATION * 100 / shrinkage - FIBRE_SATURATION + start)
