"""Woods on paper: told apart in colour and in black."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, strategies as st

from tesselath.design import WoodDetail
from tesselath.draw.maps import dress_woods
from tesselath.draw.maps.wood import GREATEST_GREY, wood_colour
from tesselath.draw.paper import grey, mixed, tinted

KNOWN = [
    "walnut",
    "maple",
    "cherry",
    "oak",
    "ash",
    "beech",
    "birch",
    "pine",
    "cedar",
    "mahogany",
    "padauk",
    "wenge",
    "purpleheart",
    "poplar",
    "ebony",
    "rosewood",
    "teak",
    "sapele",
    "holly",
    "basswood",
    "sycamore",
    "alder",
    "hickory",
    "elm",
    "chestnut",
    "douglas fir",
    "spruce",
    "larch",
    "redwood",
    "yew",
    "pear",
    "olive",
    "bamboo",
    "iroko",
    "jatoba",
    "bubinga",
]
colours = st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06x}")
some_woods = st.lists(
    st.sampled_from([*KNOWN, "driftwood", "own wood"]), min_size=1, max_size=8, unique=True
)


def channels(colour: str) -> list[int]:
    return [int(colour[i : i + 2], 16) for i in (1, 3, 5)]


@given(colours)
def test_no_tint_hides_a_pencil_tick(colour: str) -> None:
    woods = {"x": WoodDetail("x", colour=colour)}
    look = dress_woods(["x"], woods=woods)["x"]
    assert look.colour == colour
    assert grey(look.tint) <= GREATEST_GREY


@given(colours, st.floats(0.05, 0.3))
def test_a_tint_is_as_grey_as_wanted(colour: str, wanted: float) -> None:
    assert grey(tinted(colour, wanted)) == pytest.approx(wanted, abs=0.01)


@given(some_woods)
def test_each_wood_has_a_ruling_and_a_letter_of_its_own(names: list[str]) -> None:
    looks = dress_woods(names, woods={})
    assert list(looks) == names
    assert len({look.ruling.name for look in looks.values()}) == len(names)
    assert len({look.letter for look in looks.values()}) == len(names)
    assert not any(look.letter.isdigit() for look in looks.values())


@given(some_woods)
def test_no_two_woods_of_a_design_look_alike(names: list[str]) -> None:
    looks = dress_woods(names, woods={})
    for one, two in itertools.combinations(looks.values(), 2):
        away = zip(channels(one.colour), channels(two.colour), strict=True)
        assert sum(abs(a - b) for a, b in away) >= 15, (one, two)


def test_the_darkest_wood_is_ruled_closest_and_the_lightest_left_blank() -> None:
    looks = dress_woods(["maple", "wenge", "cherry", "oak"], woods={})
    rulings = {name: look.ruling.name for name, look in looks.items()}
    assert rulings == {
        "wenge": "close lines",
        "cherry": "wide lines",
        "oak": "dots",
        "maple": "blank",
    }


@pytest.mark.parametrize("name", KNOWN)
def test_a_well_known_wood_has_its_own_colour(name: str) -> None:
    assert wood_colour(name) != wood_colour("a wood nobody knows")
    assert wood_colour(f"{name}, figured") == wood_colour(name.upper()) == wood_colour(name)


@pytest.mark.parametrize(
    ("name", "same"),
    [("black walnut", "walnut"), ("Oak, white", "white oak"), ("soft maple boards", "maple")],
)
def test_a_wood_is_known_by_the_words_of_its_name(name: str, same: str) -> None:
    assert wood_colour(name) == wood_colour(same)


def test_a_colour_of_the_design_wins_over_the_built_in_one() -> None:
    woods = {"walnut": WoodDetail("walnut", colour="#ABC"), "maple": WoodDetail("maple")}
    assert wood_colour("walnut", woods) == "#aabbcc"
    assert wood_colour("maple", woods) == wood_colour("maple")


def test_the_plain_palette_is_that_of_okabe_and_ito() -> None:
    # Okabe and Ito, Color universal design, 2008: the eight colours.
    published = {
        "#e69f00",
        "#56b4e9",
        "#009e73",
        "#f0e442",
        "#0072b2",
        "#d55e00",
        "#cc79a7",
        "#000000",
    }
    looks = dress_woods(KNOWN[:8], woods={}, palette="plain")
    assert {look.colour for look in looks.values()} == published


def test_an_unknown_palette_is_refused_with_those_there_are() -> None:
    with pytest.raises(ValueError, match='"wood" and "plain"'):
        dress_woods(["oak"], woods={}, palette="neon")


def test_half_of_each_is_the_middle() -> None:
    assert mixed("#000000", "#ffffff", 0.5) == "#808080"
