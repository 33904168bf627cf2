"""Lettering: the shipped numbers are those of the shipped font."""

from __future__ import annotations

import json
from importlib.resources import files

import measure_font
import pytest
from hypothesis import given, strategies as st

from tesselath.draw.paper import Text, fitted_cap, text_outline, text_width
from tesselath.draw.paper.lettering import font_faces, font_size

FONTS = files("tesselath.draw.paper") / "fonts"


def test_shipped_widths_are_those_of_the_font_files() -> None:
    pytest.importorskip("fontTools", reason="fontTools reads the font; the program does not")
    shipped = json.loads((FONTS / "lettering.json").read_text(encoding="utf-8"))
    assert shipped == measure_font.measure()


def test_a_line_is_as_long_as_its_advances() -> None:
    # hmtx of BarlowSemiCondensed-Regular: 1 is 303, 7 is 419 thousandths of the font size.
    assert text_width("17", 0.7) == pytest.approx(0.303 + 0.419)


@given(st.text("ABCDEFGHJKLMNPRSTUVWXYZ0123456789 -/", max_size=30), st.floats(0.1, 100))
def test_length_grows_with_the_letters_and_with_their_size(text: str, cap: float) -> None:
    width = text_width(text, cap)
    assert text_width(text, 2 * cap) == pytest.approx(2 * width)
    assert text_width(text + "A", cap) > width
    assert text_width(text, cap, 600) >= 0.95 * width


def test_zero_is_the_widest_digit() -> None:
    # Labels count every digit as wide as a zero.
    assert max("0123456789", key=lambda digit: text_width(digit, 1.0)) == "0"


def test_a_character_the_font_lacks_counts_as_a_whole_em() -> None:
    assert text_width("\N{CJK UNIFIED IDEOGRAPH-6728}", 0.7) == 1.0


def test_only_shipped_weights_are_measured() -> None:
    with pytest.raises(KeyError):
        text_width("A", 4.0, 900)


@given(st.floats(1.0, 200.0), st.floats(0.5, 20.0))
def test_fitted_lettering_fits_and_is_no_larger_than_asked(room: float, cap: float) -> None:
    fitted = fitted_cap("Hall table", room, cap, 600)
    assert fitted <= cap
    assert text_width("Hall table", fitted, 600) <= room * (1 + 1e-9)


def test_the_outline_of_level_lettering_reaches_from_foot_to_cap() -> None:
    text = Text("17", (10.0, 20.0), 3.0, anchor="start", baseline="base")
    (left, bottom), _, (right, top), _ = text_outline(text)
    assert (left, bottom, top) == (10.0, 20.0, 23.0)
    assert right == pytest.approx(10.0 + text_width("17", 3.0))


def test_the_font_size_follows_the_height_of_capitals() -> None:
    assert font_size(7.0) == pytest.approx(10.0)


def test_the_licence_of_the_font_is_shipped_and_reserves_no_name() -> None:
    licence = (FONTS / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
    assert "Barlow Project Authors" in licence.splitlines()[0]
    assert "with Reserved Font Name" not in licence  # so that the web fonts may be subsets


def test_the_embedded_font_is_small_enough_for_every_drawing() -> None:
    assert len(font_faces()) < 32_000
