"""A table of fits: what a layout by the wished sizes leaves, and what the fit makes of it.

Run it from a checkout::

    python tests/benchmarks/fitting.py --patterns herringbone,chevron

Printed are, for five openings and each pattern: the thinnest piece in shares of its strip and the
parts, as drawn and as fitted with the opening kept; how many layouts were looked at and scored;
and the time in units of one plain layout of the same top, which is what a slow machine and a
fast one have in common.
"""

from __future__ import annotations

import argparse
import time

from tesselath.design import Design, parse_design
from tesselath.fit import fit_design
from tesselath.fit.fit_score import score_design

#: Openings [in]; the first two are an everyday hall table and a square.
OPENINGS = ((54.0, 20.0), (36.0, 36.0), (72.5, 31.25), (24.0, 18.375), (60.0, 15.0))

#: Pattern, turn and sizes, all in strips 1 in wide.
PATTERNS = {
    "herringbone": ("herringbone", "45 deg", "r = 6"),
    "herringbone at 0": ("herringbone", "0 deg", "r = 6"),
    "chevron": ("chevron", "0 deg", 'c = "6 in"'),
    "half bond": ("running-bond", "0 deg", 'L = "6 in"'),
    "basket weave": ("basket-weave", "0 deg", "n = 4"),
}


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description="Layouts as drawn and as fitted.")
    parser.add_argument("--patterns", default="", help="names, parted by commas; all if empty")
    wanted = [name.strip() for name in parser.parse_args().patterns.split(",") if name.strip()]
    print(f"{'pattern':18}{'opening':>14}{'thin':>13}{'parts':>10}{'tried':>10}{'time':>8}")
    for name in wanted or PATTERNS:
        for opening in OPENINGS:
            print(_row(name, opening), flush=True)


def _row(name: str, opening: tuple[float, float]) -> str:
    design = _design(name, opening)
    start = time.perf_counter()
    for _ in range(3):
        score_design(design)
    one = (time.perf_counter() - start) / 3
    start = time.perf_counter()
    fit = fit_design(design, keep="opening", top=1)
    times = (time.perf_counter() - start) / one
    (found,) = fit.lists
    best = found.candidates[0].score if found.candidates else fit.given.score
    given = fit.given.score
    return (
        f"{name:18}{opening[0]:>8g} x {opening[1]:<3g}{given.thin:>6.2f} -> {best.thin:.2f}"
        f"{given.parts:>5} -> {best.parts:<3}{found.tried:>5}/{found.scored:<2}{times:>7.0f}"
    )


def _design(name: str, opening: tuple[float, float]) -> Design:
    pattern, angle, sizes = PATTERNS[name]
    text = f"""\
[opening]
width = "{opening[0]} in"
depth = "{opening[1]} in"
clearance = "0"
[strips]
width = "1 in"
[field]
pattern = "{pattern}"
angle = "{angle}"
[field.set]
{sizes}
[tones]
dark = "oak"
light = "oak"
{'mid = "oak"' if pattern == "chevron" else ""}
"""
    return parse_design(text, file_name=f"{pattern}.toml", beside=None)


if __name__ == "__main__":
    main()
