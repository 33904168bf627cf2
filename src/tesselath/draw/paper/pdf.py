"""Writes sheets as PDF and PNG, and sets documents that hold sheets.

Comes in: sheets in mm, or a document in typst's markup with the sheets it shows. Goes out: the
bytes of one PDF, or of one PNG; the same bytes for the same input. Refuses: no pages; a document
that typst cannot set.

Every picture is the SVG that ``svg`` writes, so that screen and paper show one drawing. A page
is as large as its sheet: 1 mm of the drawing is 1 mm of paper. For a printer that is off, a
page can be stretched a little, across and along; whoever draws the sheet makes it that much
smaller, so that the paper keeps its size.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Mapping, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

from tesselath.draw.paper.sheet import Sheet
from tesselath.draw.paper.svg import show_coordinate, write_svg

__all__ = ["TYPST_FONT", "quote_typst", "typeset", "write_pdf", "write_png", "write_pngs"]

#: What typst calls the shipped lettering: `#set text(font: ...)`.
TYPST_FONT = "Barlow"


def write_pdf(
    pages: Sequence[Sheet],
    *,
    title: str,
    author: str = "",
    stretch: tuple[float, float] = (1.0, 1.0),
) -> bytes:
    """Write sheets as the pages of one PDF, true to size.

    Source: typst, an open typesetter that reads SVG.

    Parameters
    ----------
    pages : sequence of Sheet
        The pages, in order.
    title : str
        The title of the file.
    author : str
        Its author; empty for none.
    stretch : (float, float)
        How much a page is larger than its sheet, across and along, to make good for a printer
        that is off.

    Raises
    ------
    ValueError
        If there are no pages.

    Examples
    --------
    >>> write_pdf([Sheet("Lid", 0.0, 0.0, 210.0, 297.0, ())], title="Lid")[:5]
    b'%PDF-'
    """
    if not pages:
        raise ValueError("a PDF has at least one page")
    by = f", author: {quote_typst(author)}" if author else ""
    source = f"#set document(title: {quote_typst(title)}{by})\n" + _page_source(pages, stretch)
    return typeset(source, {f"{n}.svg": page for n, page in enumerate(pages)})


def write_png(sheet: Sheet, *, dpi: float) -> bytes:
    """Write a sheet as a picture in dots.

    Source: typst, an open typesetter that reads SVG.

    >>> write_png(Sheet("Lid", 0.0, 0.0, 20.0, 10.0, ()), dpi=96.0)[1:4]
    b'PNG'
    """
    return write_pngs([sheet], dpi=dpi)[0]


def write_pngs(sheets: Sequence[Sheet], *, dpi: float) -> list[bytes]:
    """Write many sheets as pictures in dots, at one go.

    Source: typst, an open typesetter that reads SVG; PNG specification, W3C, chunk pHYs.

    Parameters
    ----------
    dpi : float
        How many dots go into an inch of the drawing; the files say so.

    Examples
    --------
    >>> lid = Sheet("Lid", 0.0, 0.0, 20.0, 10.0, ())
    >>> [picture[1:4] for picture in write_pngs([lid, lid], dpi=96.0)]
    [b'PNG', b'PNG']
    """
    if not sheets:
        return []
    source = _page_source(sheets, (1.0, 1.0))
    made = _compile(source, {f"{n}.svg": one for n, one in enumerate(sheets)}, dpi=dpi)
    return [_with_dpi(picture, dpi) for picture in ([made] if isinstance(made, bytes) else made)]


def typeset(
    source: str, files: Mapping[str, Sheet | str | bytes], *, dpi: float | None = None
) -> bytes:
    """Set a document of text, tables and sheets.

    Parameters
    ----------
    source : str
        The document in typst's markup. What the maker wrote goes in through `quote_typst`.
    files : mapping of str to Sheet, str or bytes
        What the document reads, by the name it uses, such as ``image("map.svg")``; a sheet is
        written as SVG.
    dpi : float, optional
        Left out, a PDF is written; given, a PNG of the only page with that many dots to an inch.

    Raises
    ------
    RuntimeError
        If typst cannot read the document or a picture.

    Notes
    -----
    Only the shipped font and typst's own are used, never what a computer happens to have, and
    no file carries a date: the same document is the same file everywhere.

    Examples
    --------
    >>> typeset("= Hall table", {})[:5]
    b'%PDF-'
    """
    made = _compile(source, files, dpi=dpi)
    if not isinstance(made, bytes):
        raise RuntimeError("a picture in dots shows one page, not several or none")
    return made


def quote_typst(text: str) -> str:
    r"""Write any text as a string of typst's, so that none of its signs count as markup.

    Parameters
    ----------
    text : str
        The text, as a maker may have written it.

    Returns
    -------
    str
        The text between quotes; in markup it follows a #.

    Examples
    --------
    >>> print(quote_typst('24" shelf #3'))
    "24\" shelf #3"
    """
    plain = "".join(c if c.isprintable() or c in "\n\t" else " " for c in text)
    escaped = plain.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'


def _page_source(pages: Sequence[Sheet], stretch: tuple[float, float]) -> str:
    """Give a page for each sheet, in typst's markup."""
    lines = []
    for number, page in enumerate(pages):
        width = show_coordinate(page.width * stretch[0])
        height = show_coordinate(page.height * stretch[1])
        lines.append(
            f"#page(width: {width}mm, height: {height}mm, margin: 0pt, "
            f'image("{number}.svg", width: 100%, height: 100%, fit: "stretch"))'
        )
    return "\n".join(lines)


def _compile(
    source: str, files: Mapping[str, Sheet | str | bytes], *, dpi: float | None
) -> bytes | list[bytes]:
    """Let typst set a document in a folder of its own."""
    import typst

    fonts = Path(__file__).parent / "fonts"
    with TemporaryDirectory() as folder:
        for name, content in files.items():
            text = write_svg(content, embed_font=False) if isinstance(content, Sheet) else content
            data = text.encode() if isinstance(text, str) else text
            (Path(folder) / name).write_bytes(data)
        main = Path(folder) / "main.typ"
        main.write_text(f"#set document(date: none)\n{source}\n", encoding="utf-8")
        compiler = typst.Compiler(
            str(main), root=folder, font_paths=[str(fonts)], ignore_system_fonts=True
        )
        made = compiler.compile(format="pdf" if dpi is None else "png", ppi=dpi)
    if made is None or not isinstance(made, bytes | list):
        raise RuntimeError("nothing was set")
    return made


def _with_dpi(picture: bytes, dpi: float) -> bytes:
    """Let a PNG say how many dots go into an inch: a chunk pHYs after its header."""
    body = b"pHYs" + struct.pack(">IIB", *2 * (round(dpi / 0.0254),), 1)
    chunk = struct.pack(">I", 9) + body + struct.pack(">I", zlib.crc32(body))
    header = 8 + 25
    return picture[:header] + chunk + picture[header:]
