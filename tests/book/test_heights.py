"""Heights: what is reckoned is what the typesetter takes, and never less."""

from __future__ import annotations

import io

import pdfplumber
import pytest

from tesselath.book import Beside, Block, Chapter, Heading, Words
from tesselath.book.blocks import BLANK, Points, Table
from tesselath.book.english import Speech
from tesselath.book.heights import height_of
from tesselath.book.paper import page_room
from tesselath.book.typst_pages import set_book
from tops import plan_of, top

LONG = "Lay the pieces of a glue-up dry once more before you spread; glue one down, slide it home."
BLOCKS: dict[str, Block] = {
    "words": Words(" ".join([LONG] * 4)),
    "caution": Words(" ".join([LONG] * 3), "caution"),
    "points": Points((LONG, LONG, "Short.", " ".join([LONG] * 3)), "number"),
    "table": Table(("Measure", "planned", "reads"), ((LONG, "4 in", BLANK),) * 5, "Lll"),
    "beside": Beside((Points(("A: 2", "B: 3"), "tick"),), (Words(LONG), Points((LONG,))), 60.0),
}
MM = 25.4 / 72


@pytest.mark.parametrize("name", BLOCKS)
def test_a_block_takes_about_what_is_reckoned_and_no_more(name: str) -> None:
    design = plan_of(top(width="6 in", depth="4 in")).design
    # Four of the same, between two headings whose places are read back.
    blocks = (Heading("ABOVE", 3), *[BLOCKS[name]] * 4, Heading("BELOW", 3))
    book = set_book([Chapter("", blocks)], design, speech=Speech("UK", ()))
    with pdfplumber.open(io.BytesIO(book)) as pdf:
        words = {w["text"]: w for w in pdf.pages[0].extract_words()}
    taken = (words["BELOW"]["top"] - words["ABOVE"]["bottom"]) * MM / 4
    reckoned = height_of([BLOCKS[name]], page_room(design).width)
    assert taken <= reckoned + 0.5
    assert taken >= 0.5 * reckoned
