"""Exact sines and cosines at workshop angles.

Comes in: degrees. Goes out: plain floats (or arrays of them). Infinities come out as not-a-number
as in numpy.

In plain floats tan 45 is 0.9999999999999999 and cos 60 is 0.5000000000000001;
strips laid with those do not meet. At every multiple of 15 degrees the values
here come from square roots, so that neighbours share their corners.
"""

from __future__ import annotations

from math import cos, radians, sin, sqrt

from tesselath.measure.tolerances import ANGLE_ALIKE

__all__ = ["cosine", "reading_angle", "sine", "tangent", "turn_point"]

_SINES = {
    0: 0.0,
    15: (sqrt(6) - sqrt(2)) / 4,
    30: 0.5,
    45: sqrt(0.5),
    60: sqrt(3) / 2,
    75: (sqrt(6) + sqrt(2)) / 4,
    90: 1.0,
}


def sine(angle: float) -> float:
    """Give the sine of a workshop angle, exact at multiples of 15 degrees.

    Source: identities; own derivation of the guard.

    Parameters
    ----------
    angle : float
        Any angle [degrees].

    Examples
    --------
    >>> sine(30), sine(-90), sine(180)
    (0.5, -1.0, 0.0)
    """
    turned = angle % 360.0
    if turned % 15.0 == 0.0:
        step = int(turned)
        sign = 1.0
        if step >= 180:
            step, sign = step - 180, -1.0
        return sign * _SINES[min(step, 180 - step)] + 0.0
    return sin(radians(angle))


def cosine(angle: float) -> float:
    """Give the cosine of a workshop angle, exact at multiples of 15 degrees.

    Source: identities.

    Parameters
    ----------
    angle : float
        Any angle [degrees].

    Examples
    --------
    >>> cosine(60), cosine(45) == sine(45), cosine(90)
    (0.5, True, 0.0)
    """
    if angle % 15.0 == 0.0:
        return sine(angle + 90.0)
    return cos(radians(angle))


def tangent(angle: float) -> float:
    """Give the tangent of a workshop angle, exact at 0 and 45 degrees.

    Source: identities.

    Parameters
    ----------
    angle : float
        Any angle but an odd multiple of 90 [degrees].

    Examples
    --------
    >>> tangent(45), tangent(-45), tangent(0)
    (1.0, -1.0, 0.0)
    """
    return sine(angle) / cosine(angle)


def turn_point(x: float, y: float, angle: float) -> tuple[float, float]:
    """Turn a point about the origin, counter-clockwise.

    Source: identity.

    Parameters
    ----------
    x, y : float
        The point [mm].
    angle : float
        The turn [degrees].

    Returns
    -------
    tuple of float
        The turned point [mm].

    Examples
    --------
    >>> turn_point(2.0, 0.0, 90.0)
    (0.0, 2.0)
    """
    c, s = cosine(angle), sine(angle)
    return c * x - s * y, s * x + c * y


def reading_angle(grain: float) -> float:
    """Give the angle at which lettering along the grain is read from the front or the right.

    Parameters
    ----------
    grain : float
        The direction of the grain, 0 to under 180 [degrees].

    Returns
    -------
    float
        Over -90, up to 90 [degrees].

    Examples
    --------
    >>> reading_angle(45.0), reading_angle(90.0), reading_angle(135.0)
    (45.0, 90.0, -45.0)
    """
    grain %= 180.0
    if grain > 90.0 + ANGLE_ALIKE:
        return grain - 180.0
    return min(grain, 90.0)
