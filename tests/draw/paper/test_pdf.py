"""The PDF and PNG writers: true size, the SVG's own picture, the same bytes every time."""

from __future__ import annotations

import struct

import pytest

from paper_checks import read
from tesselath.draw.paper import (
    Fill,
    Hatch,
    Layer,
    Line,
    Polygon,
    Sheet,
    Stroke,
    Text,
    box_outline,
    quote_typst,
    text_width,
    typeset,
    write_pdf,
)
from tesselath.draw.paper.pdf import write_png

MM = 72 / 25.4  # points; ISO 32000: a unit of a page is 1/72 in


def sheet_of(*items: object, width: float = 210.0, height: float = 297.0) -> Sheet:
    return Sheet("Test", 0.0, 0.0, width, height, (Layer("Only", items),))  # type: ignore[arg-type]


def test_a_page_is_as_large_as_its_sheet() -> None:
    sheets = [sheet_of(), sheet_of(width=279.4, height=215.9)]
    pages = read(write_pdf(sheets, title="Two")).pages
    assert [(p.width / MM, p.height / MM) for p in pages] == [
        pytest.approx((210.0, 297.0), abs=0.01),
        pytest.approx((279.4, 215.9), abs=0.01),
    ]


def test_a_line_lies_on_the_page_where_it_lies_on_the_sheet() -> None:
    line = Line((((20.0, 30.0), (120.0, 30.0)),), Stroke(0.3))
    (drawn,) = read(write_pdf([sheet_of(line)], title="Line")).pages[0].lines
    assert (drawn["x0"] / MM, drawn["x1"] / MM) == pytest.approx((20.0, 120.0), abs=0.01)
    assert drawn["y0"] / MM == pytest.approx(30.0, abs=0.01)
    assert drawn["linewidth"] / MM == pytest.approx(0.3, abs=0.01)


def test_a_stretched_page_makes_good_for_a_printer_that_prints_small() -> None:
    line = Line((((20.0, 30.0), (120.0, 30.0)),), Stroke(0.3))
    small = sheet_of(line, width=210.0 / 1.02, height=297.0 / 1.01)
    (page,) = read(write_pdf([small], title="Line", stretch=(1.02, 1.01))).pages
    assert (page.width / MM, page.height / MM) == pytest.approx((210.0, 297.0), abs=0.01)
    (drawn,) = page.lines
    assert (drawn["x1"] - drawn["x0"]) / MM == pytest.approx(102.0, abs=0.01)
    assert drawn["y0"] / MM == pytest.approx(30.3, abs=0.01)


def test_lettering_is_text_of_the_shipped_font_and_as_wide_as_measured() -> None:
    words = [
        Text("Hill", (20.0, 40.0), 4.0, anchor="start", baseline="base", weight=w)
        for w in (400, 600)
    ]
    for text in words:
        (page,) = read(write_pdf([sheet_of(text)], title="Text")).pages
        (word,) = page.extract_words()
        assert word["text"] == "Hill"
        assert "BarlowSemiCondensed" in page.chars[0]["fontname"]
        width = text_width("Hill", 4.0, text.weight)
        assert (word["x1"] - word["x0"]) / MM == pytest.approx(width, abs=0.05)


def test_the_same_sheets_are_the_same_bytes_and_carry_no_date() -> None:
    hatched = Polygon((box_outline(10, 10, 50, 50),), Fill("#eeeeee", Hatch(45.0, 2.0, 0.3)))
    pages = [sheet_of(hatched, Text("A", (30.0, 30.0), 5.0)), sheet_of()]
    once, again = (write_pdf(pages, title="Same", author="A. Maker") for _ in range(2))
    assert once == again
    meta = read(once).metadata
    assert (meta["Title"], meta["Author"]) == ("Same", "A. Maker")
    assert not {"CreationDate", "ModDate"} & set(meta)


def test_a_hatch_reaches_the_paper() -> None:
    bare, hatched = (
        write_png(
            sheet_of(Polygon((box_outline(1, 1, 18, 18),), fill), width=20, height=20), dpi=60
        )
        for fill in (Fill("#ffffff"), Fill("#ffffff", Hatch(30.0, 2.0, 0.5)))
    )
    assert len(hatched) > 2 * len(bare)


def test_a_picture_in_dots_has_the_dots_asked_for() -> None:
    png = write_png(sheet_of(width=50.8, height=25.4), dpi=300.0)
    assert struct.unpack(">II", png[16:24]) == (600, 300)


def test_a_document_holds_sheets_and_the_makers_own_words() -> None:
    words = 'No. 1 #[x] "a" *b* _c_ $d$ \\e @f'
    line = Line((((0.0, 5.0), (100.0, 5.0)),), Stroke(0.3))
    source = f'#{quote_typst(words)}\n\n#image("a.svg", width: 100mm)'
    (page,) = read(typeset(source, {"a.svg": sheet_of(line, width=100.0, height=10.0)})).pages
    assert words in page.extract_text()
    (drawn,) = page.lines
    assert (drawn["x1"] - drawn["x0"]) / MM == pytest.approx(100.0, abs=0.01)


def test_nothing_is_no_pdf() -> None:
    with pytest.raises(ValueError, match="at least one page"):
        write_pdf([], title="None")


def test_several_pages_are_no_picture() -> None:
    with pytest.raises(RuntimeError, match="one page"):
        typeset("A\n#pagebreak()\nB", {}, dpi=72.0)
