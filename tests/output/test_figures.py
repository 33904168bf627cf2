"""The figures alone: numbered as in the plan, at printed size, in colour and in black."""

from __future__ import annotations

import io
import re
from functools import cache

import numpy as np
import pytest
from PIL import Image

from tesselath.book import write_book, write_steps
from tesselath.draw.paper import (
    Circle,
    Fill,
    Hatch,
    Layer,
    Line,
    Polygon,
    Sheet,
    Stroke,
    Text,
    in_black,
    scaled,
    write_svg,
)
from tesselath.output import output_names, usual_names
from tesselath.output.figures import Figure, plan_figures, write_figures
from tesselath.plan import Plan
from tops import plan_of, top

TOP = top(
    width="9 in",
    depth="6 in",
    angle="45 deg",
    more='[frame]\nwidth = "2 in"\nthickness = "1 in"\n[base]\n',
)
_COLOUR = re.compile("#[0-9a-fA-F]{3,6}")


@cache
def planned() -> Plan:
    return plan_of(TOP)


@cache
def figures() -> tuple[Figure, ...]:
    return plan_figures(planned())


@cache
def files() -> dict[str, str | bytes]:
    return write_figures(planned())


def test_figures_are_counted_from_one_and_each_has_a_name_and_a_caption() -> None:
    assert [figure.number for figure in figures()] == list(range(1, len(figures()) + 1))
    assert len({figure.name for figure in figures()}) == len(figures())
    assert all(figure.caption for figure in figures())


def test_a_figure_carries_the_number_it_has_in_the_printed_plan() -> None:
    import pdfplumber

    with pdfplumber.open(io.BytesIO(write_book(planned()))) as book:
        text = "\n".join(page.extract_text() or "" for page in book.pages)
    printed = {int(number): words for number, words in re.findall(r"Figure (\d+)\. (\w+)", text)}
    assert printed
    by_number = {figure.number: figure for figure in figures()}
    for number, first in printed.items():
        assert by_number[number].caption.startswith(first)


def test_the_steps_name_figures_by_the_files_that_hold_them() -> None:
    named = re.findall(r"\(figures/(\d+)-([\w-]+)\.png\)", write_steps(planned()))
    assert named
    for number, name in named:
        for ending in (".svg", ".png", "-black.svg", "-black.png"):
            assert f"figures/{int(number):02d}-{name}{ending}" in files()


def test_each_figure_is_there_in_colour_and_in_black_and_nothing_else() -> None:
    assert len(files()) == 4 * len(figures()) + 1
    captions = files()["figures/captions.md"]
    assert isinstance(captions, str)
    for figure in figures():
        assert f"**Figure {figure.number}** ({figure.name}). {figure.caption}" in captions


def test_dots_are_three_hundred_to_the_inch_of_the_printed_figure() -> None:
    for figure in figures():
        data = files()[f"figures/{figure.number:02d}-{figure.name}.png"]
        assert isinstance(data, bytes)
        with Image.open(io.BytesIO(data)) as picture:
            assert picture.size[0] == pytest.approx(figure.sheet.width / 25.4 * 300, abs=1.5)
            assert picture.size[1] == pytest.approx(figure.sheet.height / 25.4 * 300, abs=1.5)
            assert picture.info["dpi"] == pytest.approx((300, 300), abs=0.1)
            picture.load()  # reads to the end: every chunk is sound


def test_a_figure_is_no_wider_than_the_paper() -> None:
    assert all(figure.sheet.width < 280.0 for figure in figures())


def test_black_figures_hold_no_colour() -> None:
    for name, content in files().items():
        if name.endswith("-black.svg"):
            for colour in _COLOUR.findall(str(content).partition("</style>")[2]):
                assert len(colour) == 7
                assert colour[1:3] == colour[3:5] == colour[5:7]
    data = files()["figures/01-finished-top-black.png"]
    assert isinstance(data, bytes)
    with Image.open(io.BytesIO(data)) as picture:
        dots = np.asarray(picture.convert("RGB"), dtype=int)
    assert np.abs(np.diff(dots, axis=2)).max() <= 1


def test_figures_are_written_only_when_they_are_asked_for() -> None:
    assert "figures" in output_names()
    assert "figures" not in usual_names()


def test_a_drawing_made_larger_and_smaller_again_is_the_same() -> None:
    hatch = Hatch(45.0, 2.0, 0.2, dash=(1.0, 0.5))
    pen = Stroke(0.3, "#123456", (2.0, 1.0))
    sheet = Sheet(
        "All",
        -5.0,
        -2.0,
        40.0,
        30.0,
        (
            Layer(
                "all",
                (
                    Line((((0.0, 0.0), (3.0, 4.0)),), pen),
                    Polygon((((0.0, 0.0), (3.0, 0.0), (3.0, 4.0)),), Fill("#abcdef", hatch), pen),
                    Circle((2.0, 2.0), 1.0, Fill(None, hatch), pen),
                    Text("17", (1.0, 1.0), 2.5, angle=30.0),
                ),
            ),
        ),
    )
    assert write_svg(scaled(scaled(sheet, 2.0), 0.5)) == write_svg(sheet)
    larger = scaled(sheet, 2.0)
    line = larger.layers[0].items[0]
    assert isinstance(line, Line)
    assert (line.stroke.width, line.stroke.dash) == (0.6, (4.0, 2.0))
    assert np.asarray(line.runs[0]).tolist() == [[0.0, 0.0], [6.0, 8.0]]


def test_black_again_is_black() -> None:
    for figure in figures():
        once = in_black(figure.sheet)
        assert write_svg(in_black(once), embed_font=False) == write_svg(once, embed_font=False)
