"""The gallery: every pattern and every example, drawn by the program.

Comes in: the shipped patterns and the examples beside them. Goes out: the contents of a folder: SVG
and PNG pictures, a contact sheet and a page that shows them all.
"""

from __future__ import annotations

import html
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tesselath.design import Design, Field, Filling, Frame, OpeningSize, StickStock, Stock
from tesselath.field import cell_items
from tesselath.pattern import Pattern, find_pattern, pattern_names, settle_sizes
from tesselath.plan import Plan, plan_design
from tesselath.shape import as_outline

__all__ = [
    "Picture",
    "draw_gallery",
    "pattern_plan",
    "render_png",
    "render_sheet",
    "write_index",
]

_INCH = 25.4

#: Woods for tones that no design assigns, light and dark well apart.
_WOODS = {
    "dark": "walnut",
    "mid": "cherry",
    "light": "maple",
    "plain": "oak",
    "accent": "padauk",
    "background": "ash",
    "key": "padauk",
    "frame": "walnut",
}
_OTHER_WOODS = ("walnut", "maple", "cherry", "padauk", "ash", "oak", "purpleheart", "beech")

#: Patterns that are seen best turned.
_TURNS = {
    "herringbone": 45.0,
    "double-herringbone": 45.0,
    "triple-herringbone": 45.0,
}


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture of the gallery: its file name without ending, its title, its words, its SVG."""

    name: str
    title: str
    words: str
    svg: str
    kind: str  # "pattern", "example" or "map"


def draw_gallery(
    *, examples: Path | None, only: Collection[str] | None = None
) -> Iterator[Picture]:
    """Draw every pattern and every example."""
    from tesselath.design import read_design
    from tesselath.draw.maps import draw_map, draw_preview
    from tesselath.draw.paper import write_svg

    for name in pattern_names():
        if only is not None and name not in only:
            continue
        pattern = find_pattern(name)
        plan = pattern_plan(pattern)
        yield Picture(
            f"pattern-{name}",
            pattern.title,
            pattern.note,
            write_svg(draw_preview(plan), embed_font=False),
            "pattern",
        )
    folders = sorted(examples.iterdir()) if examples is not None and examples.is_dir() else []
    for folder in folders:
        if not (folder / "design.toml").is_file():
            continue
        if only is not None and folder.name not in only:
            continue
        plan = plan_design(read_design(folder / "design.toml"))
        words = f"{len(plan.pieces)} pieces in {len(plan.parts)} parts."
        title = plan.design.name
        yield Picture(
            folder.name, title, words, write_svg(draw_preview(plan), embed_font=False), "example"
        )
        yield Picture(
            f"{folder.name}-map", f"{title}, map", words, write_svg(draw_map(plan)), "map"
        )


def pattern_plan(pattern: Pattern) -> Plan:
    """Plan a small framed panel that shows a pattern at its default sizes."""
    width, depth = 18.0 * _INCH, 12.0 * _INCH
    if not pattern.fills:
        width, depth = _figure_size(pattern)
    tones = pattern.tones or ("plain",)
    spare = [w for w in _OTHER_WOODS if w not in {_WOODS.get(t) for t in tones}]
    woods = {t: _WOODS.get(t) or (spare.pop(0) if spare else "oak") for t in tones}
    design = Design(
        name=pattern.title,
        units="in",
        tape=_INCH / 32,
        opening=OpeningSize(0.0, width, depth),
        field=Field(Filling(pattern, angle=_TURNS.get(pattern.name, 0.0))),
        frame=Frame(width=1.25 * _INCH, wood="walnut"),
        stock=Stock(sticks=(StickStock(length=96 * _INCH),)),
        tones=woods,
    )
    return plan_design(design)


def _figure_size(pattern: Pattern) -> tuple[float, float]:
    """The box of a figure that stands alone, at its default sizes [mm]."""
    reach = 4000.0
    zone = as_outline([(-reach, -reach), (reach, -reach), (reach, reach), (-reach, reach)])
    sizes = settle_sizes(
        pattern, {}, strip_width=None, gap=0.0, zone_width=18 * _INCH, zone_depth=12 * _INCH
    )
    items = cell_items(pattern, sizes, angle=0.0, origin=(0.0, 0.0), zone=zone)
    points = np.abs(np.vstack([item.prototype.outline for item in items]))
    x, y = points.max(axis=0)
    return 2 * float(x), 2 * float(y)


def render_png(svg: str, *, width_px: int) -> bytes:
    """Render a picture to PNG.

    Source: typst, an open typesetter that reads SVG.
    """
    return _typeset({"picture.svg": svg}, '#image("picture.svg", width: 100%)', width_px)


def render_sheet(pictures: Sequence[Picture], *, columns: int, width_px: int) -> bytes:
    """Render a contact sheet to PNG; see `render_png`."""
    from tesselath.draw.paper import quote_typst

    files = {f"{n}.svg": picture.svg for n, picture in enumerate(pictures)}
    cells = ", ".join(
        f'stack(spacing: 3pt, image("{n}.svg", width: 100%, height: 58pt, fit: "contain"), '
        f"align(center, text(size: 6.5pt, {quote_typst(picture.title)})))"
        for n, picture in enumerate(pictures)
    )
    body = f"#grid(columns: {columns}, gutter: 9pt, {cells})"
    return _typeset(files, body, width_px)


def _typeset(files: dict[str, str], body: str, width_px: int) -> bytes:
    from tesselath.draw.paper import TYPST_FONT, typeset

    wide = 720.0  # pt
    page = f"#set page(width: {wide}pt, height: auto, margin: 8pt, fill: white)"
    source = f'{page}\n#set text(font: "{TYPST_FONT}")\n{body}'
    return typeset(source, files, dpi=72.0 * width_px / wide)


def write_index(pictures: Sequence[Picture]) -> str:
    """Write the page that shows all pictures."""
    sections = []
    for kind, title in (("example", "Examples"), ("map", "Their maps"), ("pattern", "Patterns")):
        figures = "\n".join(
            f'<figure id="{p.name}"><a href="{p.name}.svg"><img loading="lazy" src="{p.name}.png" '
            f'alt="{html.escape(p.title)}"></a><figcaption><b>{html.escape(p.title)}</b> '
            f"{html.escape(p.words)}</figcaption></figure>"
            for p in pictures
            if p.kind == kind
        )
        sections.append(f"<h2>{title}</h2>\n<div>\n{figures}\n</div>")
    return _PAGE.replace("@sections@", "\n".join(sections))


_PAGE = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>tesselath gallery</title>
<style>
body { font: 16px/1.4 "Barlow Semi Condensed", "Arial Narrow", Arial, sans-serif;
  color: #2b2622; background: #faf8f5; margin: 2rem auto; max-width: 1200px; padding: 0 1rem; }
div { display: grid; gap: 1.5rem; grid-template-columns: repeat(auto-fill, minmax(260px, 1fr)); }
figure { margin: 0; }
img { width: 100%; height: 220px; object-fit: contain; background: #fff;
  border: 1px solid #e4ddd3; }
figcaption { font-size: 0.9rem; margin-top: 0.4rem; }
h1, h2 { font-weight: 600; }
</style>
</head>
<body>
<h1>tesselath gallery</h1>
<p>Every pattern at its default sizes and every example, drawn by the program.</p>
@sections@
</body>
</html>
"""
