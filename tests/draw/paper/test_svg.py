"""The SVG writer: true size, tidy numbers, the same bytes every time."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given, strategies as st

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
    show_coordinate,
    write_svg,
)

SPACE = "{http://www.w3.org/2000/svg}"
TRIANGLE = np.array([(0.0, 0.0), (4.0, 0.0), (0.0, 3.0)])
sides = st.floats(1.0, 5000.0)


def sheet_of(*items: object, left: float = -10.0, bottom: float = -5.0) -> Sheet:
    return Sheet("Test", left, bottom, 20.0, 10.0, (Layer("Only", items),))  # type: ignore[arg-type]


def tree(sheet: Sheet) -> ElementTree.Element:
    return ElementTree.fromstring(write_svg(sheet, embed_font=False))


def found(sheet: Sheet, tag: str) -> list[ElementTree.Element]:
    return list(tree(sheet).iter(SPACE + tag))


@given(sides, sides)
def test_one_user_unit_is_one_millimetre(width: float, height: float) -> None:
    root = tree(Sheet("Test", 3.0, 4.0, width, height, ()))
    box = root.attrib["viewBox"].split()
    assert box[:2] == ["0", "0"]
    assert root.attrib["width"] == f"{box[2]}mm"
    assert root.attrib["height"] == f"{box[3]}mm"
    assert float(box[2]) == pytest.approx(width, abs=0.0005)
    assert float(box[3]) == pytest.approx(height, abs=0.0005)


@given(st.floats(-1e7, 1e7) | st.sampled_from([0.0, -0.0, 1e-9, -1e-9, 0.0005, 1e-3, -4e-4]))
def test_numbers_have_three_decimals_no_exponent_and_no_minus_zero(value: float) -> None:
    shown = show_coordinate(value)
    assert re.fullmatch(r"-?\d+(\.\d{1,3})?", shown), shown
    assert not shown.startswith("-0") or float(shown) != 0.0
    assert "." not in shown or not shown.endswith("0")
    assert float(shown) == pytest.approx(value, abs=0.000501)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_a_number_that_cannot_be_drawn_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="cannot be drawn"):
        show_coordinate(value)


@given(st.lists(st.tuples(st.floats(-1e5, 1e5), st.floats(-1e5, 1e5)), min_size=2, max_size=6))
def test_a_path_holds_its_corners_to_a_thousandth(corners: list[tuple[float, float]]) -> None:
    sheet = sheet_of(Line((corners,), Stroke(0.25)))
    path = found(sheet, "path")[0].attrib["d"]
    assert path.startswith("M")
    shown = [[float(number) for number in corner.split()] for corner in path[1:].split("L")]
    expected = [[x + 10.0, 5.0 - y] for x, y in corners]
    # Half a thousandth, and what a float of this size holds.
    np.testing.assert_allclose(shown, expected, rtol=0.0, atol=0.000501)


def test_y_runs_up_on_the_sheet_and_down_in_the_file() -> None:
    path = found(sheet_of(Polygon((TRIANGLE,), Fill("#123456"))), "path")[0]
    assert path.attrib["d"] == "M10 5L14 5L10 2z"


def test_lettering_turns_the_other_way_in_the_file() -> None:
    text = found(sheet_of(Text("17", (0.0, 0.0), 2.8, baseline="base", angle=45.0)), "text")[0]
    assert text.attrib["transform"] == "rotate(-45 10 5)"
    assert text.text == "17"


def test_the_size_of_lettering_is_that_of_its_capitals() -> None:
    # Barlow Semi Condensed: capitals are 700 of 1000 units high (its OS/2 table).
    group = found(sheet_of(Text("17", (0.0, 0.0), 2.8)), "g")[1]
    assert group.attrib["font-size"] == "4"


def test_an_underline_stands_on_the_text_itself() -> None:
    text = found(sheet_of(Text("6", (0.0, 0.0), 2.8, underline=True)), "text")[0]
    assert text.attrib["text-decoration"] == "underline"


def test_a_hatch_used_often_is_written_once() -> None:
    hatch = Hatch(30.0, 2.0, 0.2, dash=(3.0, 1.0))
    sheet = sheet_of(
        Polygon((TRIANGLE,), Fill("#eeeeee", hatch)),
        Polygon((TRIANGLE + 1.0,), Fill(None, hatch)),
        Circle((0.0, 0.0), 2.0, Fill(None, Hatch(0.0, 1.5, 0.3, dots=True))),
    )
    patterns = found(sheet, "pattern")
    assert [pattern.attrib["id"] for pattern in patterns] == ["hatch-1", "hatch-2"]
    assert patterns[0].attrib["patternTransform"] == "rotate(-30)"
    fills = [element.attrib.get("fill") for element in tree(sheet).iter()]
    assert fills.count("url(#hatch-1)") == 2
    assert fills.count("url(#hatch-2)") == 1
    assert "#eeeeee" in fills  # the colour lies under the hatch


def test_neighbours_drawn_alike_share_one_group() -> None:
    pen = Stroke(0.25)
    sheet = sheet_of(*(Polygon((TRIANGLE + n,), stroke=pen) for n in range(5)))
    groups = found(sheet, "g")
    assert [group.attrib.get("id") for group in groups] == ["layer-only", None]
    assert len(groups[1]) == 5
    assert groups[1].attrib["stroke-width"] == "0.25"


@given(st.text(max_size=20))
def test_any_name_gives_a_readable_file(name: str) -> None:
    sheet = Sheet(name, 0.0, 0.0, 20.0, 10.0, (Layer("a", (Text(name, (1.0, 1.0), 2.0),)),))
    root = tree(sheet)
    assert root.find(SPACE + "title") is not None


def test_the_file_holds_no_reference_to_anything_outside() -> None:
    file = write_svg(sheet_of(Text("17", (0.0, 0.0), 2.8)))
    outside = re.findall(r'(?:href|src)\s*[=:]\s*["\']?([^"\')\s]+)', file)
    assert all(link.startswith("url(data:font/woff2") for link in outside)
    assert file.count("@font-face") == 2


def test_what_is_no_item_is_refused() -> None:
    with pytest.raises((TypeError, AttributeError)):
        write_svg(sheet_of("A"))
