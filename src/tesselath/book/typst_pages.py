"""Sets the blocks of the book as a PDF, in typst.

Comes in: chapters, the design. Goes out: the bytes of a PDF. Refuses: a block it does not know.

Whatever words come in, they are quoted: a design called ``#1 * $5_a`` is printed as such.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from tesselath.book.blocks import (
    BLANK,
    Beside,
    Block,
    Chapter,
    Contents,
    Figure,
    Heading,
    NewPage,
    Points,
    Table,
    Title,
    Words,
)
from tesselath.book.english import Speech
from tesselath.book.paper import OVER, PAPERS, SIDE, UNDER
from tesselath.design import Design
from tesselath.draw.paper import TYPST_FONT, Sheet, quote_typst, show_coordinate, typeset

__all__ = ["set_book"]

_FRACTION = re.compile(r"(?<![\d/.])(\d+)/(\d+)(?![\d/])")
_LENGTH = re.compile(r"(\d) (\d+/\d+)(?![\d/])")
_UNIT = re.compile(r"(\d) (in|mm|ft|m|g)\b")

#: A chapter may begin under another where this share of the page's height is left.
_RUN_ON = 0.34

_STYLE = """
#set page(paper: {paper}, margin: (x: {side}mm, top: {over}mm, bottom: {under}mm),
  header: context {{
    set text(size: 8pt, fill: luma(90))
    grid(columns: (1fr, auto), {name}, {mark})
    v(-6pt); line(length: 100%, stroke: 0.4pt + luma(140))
  }},
  footer: context {{
    set text(size: 8pt, fill: luma(90))
    line(length: 100%, stroke: 0.4pt + luma(140)); v(-6pt)
    grid(columns: (1fr, auto), {about},
      [page #counter(page).display() of #counter(page).final().first()])
  }})
#set text(font: {font}, size: 9.6pt, lang: "en", region: {region}, hyphenate: false,
  number-width: "tabular")
#set par(leading: 0.58em, spacing: 0.85em, justify: false)
#set heading(bookmarked: true)
#show heading.where(level: 1): it => block(above: 0pt, below: 5mm, {{
  text(size: 19pt, weight: 600, it.body); v(-3.4mm)
  line(length: 100%, stroke: 0.9pt) }})
#show heading.where(level: 2): it => block(above: 6mm, below: 2.6mm, sticky: true,
  text(size: 12.5pt, weight: 600, it.body))
#show heading.where(level: 3): it => block(above: 4mm, below: 1.8mm, sticky: true,
  text(size: 10.4pt, weight: 600, it.body))
#let fr(s) = text(size: 1.14em, fractions: true, number-width: "proportional", s)
#let line-to-fill = box(width: 19mm, height: 0.6em, stroke: (bottom: 0.5pt))
#let tick = box(width: 2.9mm, height: 2.9mm, stroke: 0.5pt, baseline: 0.4mm)
#let fig(n, w, name, words) = block(breakable: false, width: 100%, above: 3mm, below: 4mm, {{
  align(center, image(name, width: w))
  if words != [] {{ v(-1mm); text(size: 8.4pt, fill: luma(60))[*Figure #n.* #words] }} }})
#let run-on() = {{ v(11mm, weak: true)
  // An empty block that needs so much of the page, and the way back over it.
  block(height: {least}mm, breakable: false, above: 0pt, below: 0pt); v(-{least}mm) }}
#let caution(body) = block(width: 100%, inset: (left: 3mm, y: 1.2mm, right: 2mm),
  stroke: (left: 1.6pt), breakable: false, body)
"""


def set_book(chapters: Sequence[Chapter], design: Design, *, speech: Speech) -> bytes:
    """Set the book.

    Source: typst, an open typesetter.
    """
    setter = _Setter(speech)
    paper, _, height = PAPERS[design.paper]
    by = f", author: {quote_typst(design.author)}" if design.author else ""
    about = " · ".join(
        word
        for word in (
            design.author,
            f"revision {design.revision}" if design.revision else "",
            design.licence,
            "all drawings show face up, FRONT at the bottom",
        )
        if word
    )
    lines = [
        f"#set document(title: {quote_typst(design.name)}{by})",
        _STYLE.format(
            paper=quote_typst(paper),
            side=SIDE,
            over=OVER,
            under=UNDER,
            name=quote_typst(design.name),
            mark=quote_typst(f"design mark {design.mark}"),
            about=quote_typst(speech.say(about)),
            font=quote_typst(TYPST_FONT),
            least=show_coordinate(_RUN_ON * height),
            region=quote_typst("GB" if design.english == "UK" else "US"),
        ),
    ]
    for number, chapter in enumerate(chapters):
        if number:
            outlined = "false" if chapter.within else "true"
            before = "#run-on()" if chapter.run_on else "#pagebreak(weak: true)"
            lines.append("#page(flipped: true)[" if chapter.wide else before)
            if chapter.whole:
                lines.append("#block(breakable: false, width: 100%)[")
            lines.append(f"#heading(level: 1, outlined: {outlined}, {setter.words(chapter.title)})")
        lines += [setter.block(block) for block in chapter.blocks]
        if chapter.whole:
            lines.append("]")
        if chapter.wide:
            lines.append("]")
    return typeset("\n".join(lines), setter.files)


class _Setter:
    """Turns blocks into typst's markup and keeps the pictures they show."""

    def __init__(self, speech: Speech) -> None:
        self.speech = speech
        self.files: dict[str, Sheet | str | bytes] = {}

    def block(self, block: Block) -> str:
        """Give a block as markup, for where text stands."""
        match block:
            case Title():
                return (
                    f"#block(below: 2mm, text(size: 27pt, weight: 600, {quote_typst(block.text)}))"
                    f"\n#block(below: 5mm, text(size: 12.5pt, fill: luma(60), "
                    f"{self.words(block.under)}))"
                )
            case Heading():
                return f"#heading(level: {block.level}, outlined: false, {self.words(block.text)})"
            case Words():
                return self._paragraph(block)
            case Points():
                return self._points(block)
            case Table():
                return self._table(block)
            case Figure():
                return self._figure(block)
            case Beside():
                left, right = (
                    "[" + "\n".join(map(self.block, side)) + "]"
                    for side in (block.left, block.right)
                )
                return (
                    f"#block(breakable: false, width: 100%, grid(columns: ({block.left_width}mm, "
                    f"1fr), column-gutter: 5mm, {left}, {right}))"
                )
            case Contents():
                return (
                    "#block(columns(2, gutter: 8mm, { set text(size: 9pt); "
                    "show outline.entry: set block(above: 1.5mm); "
                    "outline(title: none, depth: 1) }))"
                )
            case NewPage():
                return "#pagebreak(weak: true)"
        raise TypeError(f"{block!r} is no block of the book")

    def words(self, text: str) -> str:
        """Give words as one expression of typst's: quoted, fractions set, blanks drawn."""
        text = self.speech.say(text)
        text = _LENGTH.sub("\\1\N{NO-BREAK SPACE}\\2", text)
        text = _UNIT.sub("\\1\N{NO-BREAK SPACE}\\2", text)
        parts: list[str] = []
        for n, run in enumerate(text.split(BLANK)):
            if n:
                parts.append("line-to-fill")
            at = 0
            for found in _FRACTION.finditer(run):
                parts.append(quote_typst(run[at : found.start()]))
                parts.append(f"fr({quote_typst(found[0])})")
                at = found.end()
            parts.append(quote_typst(run[at:]))
        return "[" + "".join(f"#{part};" for part in parts if part != '""') + "]"

    def _paragraph(self, block: Words) -> str:
        words = self.words(block.text)
        match block.style:
            case "strong":
                return f"#par(text(weight: 600, {words}))"
            case "small":
                return f"#par(text(size: 8.4pt, fill: luma(60), {words}))"
            case "caution":
                return f"#caution({words})"
        return f"#par({words})"

    def _points(self, block: Points) -> str:
        if not block.items:
            return ""
        sign = {"tick": "tick", "dot": "[–]", "number": "none"}[block.sign]
        rows = ", ".join(
            f"{sign if block.sign != 'number' else f'[*{n}*]'}, {self.words(item)}"
            for n, item in enumerate(block.items, 1)
        )
        return "#grid(columns: (5mm, 1fr), row-gutter: 1.7mm, align: (left, left), " + rows + ")"

    def _table(self, block: Table) -> str:
        if not block.rows:
            return ""
        lead = 1 if block.ticks else 0
        columns = ["4.6mm"] * lead + ["1fr" if a == "L" else "auto" for a in block.align]
        aligned = ["left"] * lead + [
            {"l": "left", "L": "left", "c": "center", "r": "right"}[a] for a in block.align
        ]
        head = ["[]"] * lead + [
            f"text(size: 8.2pt, weight: 600, fill: luma(50), {self.words(word)})"
            for word in block.head
        ]
        rows = []
        for row in block.rows:
            cells = [self.words(cell) for cell in row]
            if block.strong:
                cells[0] = f"text(weight: 600, {cells[0]})"
            rows.append(", ".join(["tick"] * lead + cells))
        header, whole = "", "breakable: false, " if not block.head and len(rows) < 16 else ""
        ruled = "{ 0.3pt + luma(160) }"
        if block.head:
            ruled = f"if y == 0 {{ 0.7pt }} else {ruled}"
            header = f"table.header(repeat: true, {', '.join(head)}), "
        return (
            f"#block({whole}width: 100%, table(columns: ({', '.join(columns)},), "
            f"align: ({', '.join(aligned)},), inset: (x: 1.1mm, y: 1.15mm), "
            f"stroke: (x, y) => (bottom: {ruled}), {header}{', '.join(rows)}))"
        )

    def _figure(self, block: Figure) -> str:
        number = len(self.files) + 1
        name = f"{number}.svg"
        self.files[name] = self.speech.letter(block.sheet)
        width = show_coordinate(block.width or block.sheet.width)
        caption = self.words(block.caption) if block.caption else "[]"
        return f'#fig({number}, {width}mm, "{name}", {caption})'
