"""Colours: how grey one is in a black copy, two mixed, one lightened, and how far two are apart.

Comes in: colours as "#rrggbb". Goes out: numbers or colours.
"""

from __future__ import annotations

from collections.abc import Sequence
from colorsys import hls_to_rgb, rgb_to_hls

__all__ = ["colour_distance", "grey", "mixed", "tinted"]


#: The hue to which a brown turns as it is lightened, as a share of the circle.
_STRAW = 0.10


def grey(colour: str) -> float:
    """Tell how grey a colour becomes in a black copy: 0 is white, 1 is black.

    Examples
    --------
    >>> grey("#ffffff"), grey("#000000")
    (0.0, 1.0)
    """
    red, green, blue = _channels(colour)
    return 1.0 - round(0.299 * red + 0.587 * green + 0.114 * blue, 9)


def mixed(colour: str, other: str, share: float) -> str:
    """Mix two colours; ``share`` is that of the other one.

    Examples
    --------
    >>> mixed("#000000", "#ffffff", 0.5)
    '#808080'
    """
    pairs = zip(_channels(colour), _channels(other), strict=True)
    return _hex([one + (two - one) * share for one, two in pairs])


def tinted(colour: str, wanted: float) -> str:
    """Lighten or darken a colour until it is as grey as wanted.

    A brown drawn that light would look pink; it turns a little towards straw.

    Examples
    --------
    >>> round(grey(tinted("#5d4335", 0.2)), 2)
    0.2
    """
    hue, _, strength = rgb_to_hls(*_channels(colour))
    if hue < _STRAW:
        hue += 0.4 * (_STRAW - hue)
    strength = min(1.2 * strength, 0.55)
    low, high = 0.0, 1.0
    for _ in range(12):  # the lightness at which that hue is as grey as wanted
        lightness = (low + high) / 2
        tried = _hex(hls_to_rgb(hue, lightness, strength))
        low, high = (lightness, high) if grey(tried) > wanted else (low, lightness)
    return _hex(hls_to_rgb(hue, high, strength))


def _channels(colour: str) -> tuple[float, float, float]:
    red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return red, green, blue


def _hex(channels: Sequence[float]) -> str:
    return "#" + "".join(f"{int(min(max(part, 0.0), 1.0) * 255 + 0.5):02x}" for part in channels)


def colour_distance(colour: str, other: str) -> float:
    """Give the distance of two colours in CIE 1976 L*a*b*."""
    pairs = zip(_lab(colour), _lab(other), strict=True)
    return float(sum((one - two) ** 2 for one, two in pairs) ** 0.5)


def _lab(colour: str) -> tuple[float, float, float]:
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in _channels(colour)
    )
    xyz = (
        (0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.95047,
        0.2126 * red + 0.7152 * green + 0.0722 * blue,
        (0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.08883,
    )
    x, y, z = (part ** (1 / 3) if part > 0.008856 else 7.787 * part + 16 / 116 for part in xyz)
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)
