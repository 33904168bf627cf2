"""Lettering: how much room a line of text takes, measured with the shipped font.

Comes in: a text, the height of its capitals [mm], its weight. Goes out: widths and font sizes [mm],
and the font itself for the writers. Refuses: a weight that is not shipped.

The font is Barlow Semi Condensed (SIL Open Font License, beside this module in ``fonts``).
Widths are the sum of the advances, without kerning, which only draws letters together; a
character the font does not have counts as a whole em.
"""

from __future__ import annotations

import json
from base64 import b64encode
from functools import cache
from importlib.resources import files

from tesselath.draw.paper.sheet import Point, Text, box_outline
from tesselath.measure import turn_point

__all__ = [
    "FALLBACKS",
    "FAMILY",
    "fitted_cap",
    "font_faces",
    "font_size",
    "text_outline",
    "text_width",
    "wrapped_text",
]

FAMILY = "Barlow Semi Condensed"

#: What stands in where the font is neither installed nor embedded. Some programs file the font
#: itself under its short name; the next ones are as narrow.
FALLBACKS = (
    "Barlow",
    "Arial Narrow",
    "Liberation Sans Narrow",
    "Roboto Condensed",
    "Arial",
    "sans-serif",
)

#: Height of the capitals as a share of the font size.
_CAP_SHARE = 0.7

_FILES = {400: "BarlowSemiCondensed-Regular", 600: "BarlowSemiCondensed-SemiBold"}


def text_width(text: str, cap: float, weight: int = 400) -> float:
    """Tell how long a line of text becomes.

    Source: the advances in the font's own hmtx table.

    Parameters
    ----------
    cap : float
        The height of its capitals [mm].
    weight : {400, 600}
        Regular or semi-bold.

    Returns
    -------
    float
        Its length [mm].

    Examples
    --------
    >>> round(text_width("17", 2.5), 3)
    2.579
    """
    widths = _widths()[weight]
    thousandths = sum(widths.get(character, 1000) for character in text)
    return thousandths / 1000 * font_size(cap)


def font_size(cap: float) -> float:
    """Give the font size whose capitals are that high [mm].

    >>> round(font_size(2.8), 6)
    4.0
    """
    return cap / _CAP_SHARE


def fitted_cap(text: str, room: float, cap: float, weight: int = 400) -> float:
    """Give the height of capitals, at most ``cap``, at which a line fits into a room [mm].

    Examples
    --------
    >>> fitted_cap("Hall table", 100.0, 5.0)
    5.0
    >>> round(fitted_cap("Hall table", 10.0, 5.0), 3)
    1.959
    """
    width = text_width(text, cap, weight)
    return cap if width <= room else cap * room / width


def wrapped_text(line: str, room: float, cap: float, weight: int = 400) -> list[str]:
    """Break a line between words where it is longer than the room [mm].

    Examples
    --------
    >>> wrapped_text("lay your piece on this outline", 25.0, 2.5)
    ['lay your piece on', 'this outline']
    """
    lines: list[str] = []
    for word in line.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, cap, weight) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def text_outline(text: Text, *, air: float = 0.0) -> tuple[Point, ...]:
    """Give the box that a line of text fills, from its foot to the top of its capitals.

    Parameters
    ----------
    air : float
        How much the box is larger on every side [mm].

    Returns
    -------
    tuple of (x, y)
        Its four corners, counter-clockwise [mm].

    Examples
    --------
    >>> corner = text_outline(Text("17", (0.0, 0.0), 2.0), air=0.5)[0]
    >>> round(corner[0], 3), corner[1]
    (-1.531, -1.5)
    """
    width = text_width(text.text, text.cap, text.weight)
    left = {"start": 0.0, "middle": -width / 2, "end": -width}[text.anchor]
    bottom = {"base": 0.0, "middle": -text.cap / 2, "top": -text.cap}[text.baseline]
    box = box_outline(left - air, bottom - air, width + 2 * air, text.cap + 2 * air)
    turned = (turn_point(x, y, text.angle) for x, y in box)
    return tuple((text.at[0] + x, text.at[1] + y) for x, y in turned)


def font_faces() -> str:
    """Give the style rules that embed the font, cut to the Latin letters, in a drawing."""
    return "".join(
        f'@font-face{{font-family:"{FAMILY}";font-weight:{weight};'
        f"src:url(data:font/woff2;base64,{_embedded(name)})}}"
        for weight, name in _FILES.items()
    )


@cache
def _widths() -> dict[int, dict[str, int]]:
    text = (files("tesselath.draw.paper") / "fonts" / "lettering.json").read_text(encoding="utf-8")
    return {int(weight): widths for weight, widths in json.loads(text)["widths"].items()}


@cache
def _embedded(name: str) -> str:
    data = (files("tesselath.draw.paper") / "fonts" / f"{name}-latin.woff2").read_bytes()
    return b64encode(data).decode("ascii")
