"""Measures the shipped font anew: ``python tests/draw/measure_font.py`` prints lettering.json.

Needs fontTools. The two small web fonts beside it were cut from the same files with::

    pyftsubset FONT.ttf --layout-features= --no-hinting --flavor=woff2
        --unicodes=U+20-7E,U+A0-FF,U+2013,U+2014,U+2018,U+2019,U+201C,U+201D,U+2026,
                   U+2032,U+2033,U+2044,U+2212,U+215B-215E
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

FONTS = Path(__file__).parents[3] / "src" / "tesselath" / "draw" / "paper" / "fonts"
FILES = {"400": "BarlowSemiCondensed-Regular.ttf", "600": "BarlowSemiCondensed-SemiBold.ttf"}


def measure() -> dict[str, Any]:
    """Read the advance of every character of both weights, in thousandths of the font size."""
    from fontTools.ttLib import TTFont

    widths = {}
    for weight, name in FILES.items():
        font = TTFont(FONTS / name)
        assert font["head"].unitsPerEm == 1000
        assert font["OS/2"].sCapHeight == 700
        advances = font["hmtx"]
        widths[weight] = {
            chr(code): advances[glyph][0]
            for code, glyph in sorted(font.getBestCmap().items())
            if code >= 32
        }
    return {"family": "Barlow Semi Condensed", "cap_height": 700, "widths": widths}


if __name__ == "__main__":
    print(json.dumps(measure(), separators=(",", ":")))
