"""The book: read back from its PDF, it holds what the plan holds, whatever the names."""

from __future__ import annotations

import io
import re
import subprocess
import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pdfplumber
import pytest

from tesselath.book import plan_chapters, write_book
from tesselath.book.blocks import figures_of
from tesselath.plan import Plan
from tesselath.top import say_trial_cut
from tops import plan_of, top

FRAME = '[frame]\nwidth = "2 in"\nthickness = "1 in"\nrecess = "1/4 in"\n[base]\n'
TEXTS = {
    "small": top(width="9 in", depth="6 in", angle="45 deg", more=FRAME),
    "metric": top(
        width="220 mm",
        depth="150 mm",
        angle="45 deg",
        head='units = "mm"\nboth_units = true\norder = "trim"',
        more='[frame]\nwidth = "40 mm"\n[[border]]\nwidth = "20 mm"\nwood = "walnut"\n',
    ),
    "handed": top("chevron", width="9 in", depth="6 in", strips='faces = "one"'),
}


@pytest.fixture(name="plan", params=TEXTS, ids=list(TEXTS))
def _plan(request: pytest.FixtureRequest) -> Plan:
    return plan_of(TEXTS[request.param])


@dataclass(frozen=True)
class Page:
    """A page as read back [pt]; ``boxes`` has left, top, right, bottom of every letter."""

    width: float
    height: float
    text: str
    boxes: tuple[tuple[float, float, float, float], ...]


@cache
def _pages(plan_text: str) -> list[Page]:
    pages = []
    with pdfplumber.open(io.BytesIO(write_book(plan_of(plan_text)))) as book:
        for page in book.pages:
            boxes = tuple((c["x0"], c["top"], c["x1"], c["bottom"]) for c in page.chars)
            text = page.extract_text().replace("\N{NO-BREAK SPACE}", " ")
            pages.append(Page(float(page.width), float(page.height), text, boxes))
    return pages


@pytest.fixture(name="pages", params=TEXTS, ids=list(TEXTS))
def _read(request: pytest.FixtureRequest) -> tuple[Plan, list[Page]]:
    text = TEXTS[request.param]
    return plan_of(text), _pages(text)


def _words(pages: list[Page]) -> str:
    return " ".join(page.text for page in pages)


def test_no_letter_lies_outside_its_page(pages: tuple[Plan, list[Page]]) -> None:
    for page in pages[1]:
        for left, top_, right, bottom in page.boxes:
            assert min(left, top_, page.width - right, page.height - bottom) >= 20


def test_pages_are_the_paper_and_counted(pages: tuple[Plan, list[Page]]) -> None:
    plan, found = pages
    # ISO 216 and ASME Y14.1, in points of 1/72 in.
    sides = {"A4": (595.3, 841.9), "Letter": (612.0, 792.0)}[plan.design.paper]
    for number, page in enumerate(found, 1):
        assert sorted((float(page.width), float(page.height))) == pytest.approx(sides, abs=0.1)
        assert f"page {number} of {len(found)}" in page.text
        assert f"design mark {plan.design.mark}" in page.text


def test_every_part_and_set_up_is_there(pages: tuple[Plan, list[Page]]) -> None:
    plan, found = pages
    words = _words(found)
    assert len(found) >= 4
    for part in plan.parts:
        count = f"{part.count}" + (rf" \+ {part.spares}" if part.spares else "")
        assert re.search(rf"\b{part.mark} {count} {part.wood}", words), part.mark
    for number, setup in enumerate(plan.setups, 1):
        assert f"et-up {number}" in words
        assert all(mark in words for mark in setup.parts)


def test_every_note_is_printed(pages: tuple[Plan, list[Page]]) -> None:
    plan, found = pages
    words = re.sub(r"\s+", " ", _words(found))
    for note in plan.notes:
        assert " ".join(note.text.split()[:5]) in words.replace("mitered", "mitred")


def test_readers_get_their_own_spelling() -> None:
    us, uk = _words(_pages(TEXTS["small"])), _words(_pages(TEXTS["metric"]))
    assert "miter" in us
    assert not re.search(r"\b[Mm]itre|\b[Cc]olour|\b[Cc]entre\b", us)
    assert "mitre" in uk
    assert not re.search(r"\b[Mm]iter|\b[Cc]olor\b|\b[Cc]enter\b", uk)


def test_names_that_look_like_markup_are_printed_as_they_are() -> None:
    name = "Lid #1 *mitre* $x_2$ [a] <b> @c \\\\ ~ `d` = -"
    head = f'author = "A. #let x = 1"\nlicence = "$5 _only_"\nname = "{name}"'
    text = top(width="9 in", depth="6 in", head=head).replace('name = "Test top"\n', "")
    words = _words(_pages(text))
    assert "Lid #1 *mitre* $x_2$ [a] <b> @c \\ ~ `d` = -" in words
    assert "A. #let x = 1" in words
    assert "$5 _only_" in words


def test_both_units_stand_side_by_side_where_that_is_asked() -> None:
    words = _words(_pages(TEXTS["metric"]))
    # 220 mm is 8 21/32 in (8.661), hand-worked.
    assert re.search(r"220 mm \(8 21.32 in\)", words)


def test_figures_have_names_of_their_own(plan: Plan) -> None:
    figures = figures_of([block for chapter in plan_chapters(plan) for block in chapter.blocks])
    names = [figure.name for figure in figures]
    assert len(set(names)) == len(names)
    assert all(re.fullmatch(r"[a-z0-9-]+", name) for name in names)


@pytest.mark.deep  # the main job is written on two hash seeds in every run
def test_the_same_plan_is_the_same_book_on_any_hash_seed() -> None:
    script = (
        "import sys, hashlib; sys.path.insert(0, sys.argv[1])\n"
        "from tops import plan_of, top\nfrom tesselath.book.book import write_book\n"
        "made = write_book(plan_of(top(width='6 in', depth='4 in')))\n"
        "print(hashlib.sha256(made).hexdigest())"
    )
    tests = str(Path(__file__).parents[1])
    seen = {
        subprocess.run(
            [sys.executable, "-c", script, tests],
            env={**_environment(), "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(seen) == 1


def _environment() -> dict[str, str]:
    import os

    return dict(os.environ)


def test_frame_and_base_have_their_sizes_and_blanks_to_fill() -> None:
    words = _words(_pages(TEXTS["small"]))
    # 9 x 6 in inside a frame 2 in wide, hand-worked; the base 1/16 in smaller all round.
    assert re.search(r"front and back 2 13 in 9 in 2 in × 1 in", words)
    assert re.search(r"Saw to 8 7.8 in × 5 7.8 in", words)
    assert re.search(r"opening, front and back reads 9 in", words)
    assert "Lines to draw on the base" in words


def test_each_glue_up_fills_one_page_with_all_its_pieces(pages: tuple[Plan, list[Page]]) -> None:
    plan, found = pages
    starts = {}
    for number, page in enumerate(found):
        for title in re.findall(r"^Glue-up (\d+) of \d+$", page.text, re.MULTILINE):
            starts[int(title)] = number
    assert list(starts) == [glue_up.number for glue_up in plan.glue_ups]
    first = starts[1]
    assert list(starts.values()) == list(range(first, first + len(starts)))
    for glue_up in plan.glue_ups:
        words = found[starts[glue_up.number]].text
        assert f"Lay the {len(glue_up.numbers)} piece" in words
        for mark, count in glue_up.trays:
            assert re.search(rf"\b{mark}:? {count}\b", words)


def test_every_test_cut_has_a_blank_or_says_what_no_light_shows(
    pages: tuple[Plan, list[Page]],
) -> None:
    plan, found = pages
    words = re.sub(r"\s+", " ", _words(found))
    assert plan.trial_cuts
    for trial in plan.trial_cuts:
        said = " ".join(say_trial_cut(trial, plan.design).split()[:4])
        assert said in words
    assert words.count("Reads") >= sum(trial.kind != "square" for trial in plan.trial_cuts)


def test_a_24_by_18_top_prints_four_good_pages_with_every_part() -> None:
    text = top(width="24 in", depth="18 in", angle="45 deg", more=FRAME)
    plan, found = plan_of(text), _pages(text)
    # Pages with more than a few lines on them.
    assert sum(len(page.text) > 400 for page in found) >= 4
    cut_list = _words([page for page in found if "Handling" in page.text])
    for part in plan.parts:
        assert re.search(rf"\b{part.mark} {part.count}\b", cut_list)
    laid = re.findall(r"Lay the (\d+) piece", _words(found))
    assert sum(map(int, laid)) == len(plan.pieces)
