"""Woods: the table, its sources, the names makers use, and what a design adds."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner
from hypothesis import given, strategies as st

from tesselath.commands import main
from tesselath.wood import find_wood, known_woods, nearest_wood, wood_of
from tesselath.wood.woods import coefficient_of
from tops import design_of, top

CONFIDENCES = {"read", "recalled"}
FIGURES = ("radial", "tangential", "radial_shrinkage", "tangential_shrinkage", "specific_gravity")


def test_at_least_forty_woods_are_known_each_figure_with_its_source() -> None:
    woods = known_woods()
    assert len(woods) >= 40
    for wood in woods:
        figures = [getattr(wood, key) for key in FIGURES]
        assert wood.tangential is not None
        for figure in figures:
            assert figure is None or (figure.confidence in CONFIDENCES and figure.source)


def test_coefficients_follow_from_shrinkages_where_the_handbook_took_them_from_one_piece() -> None:
    # C = s/(1 - 20 s), s = S/100/30: 75 of the 90 figures of Table 13-5, 82 of all 102. The others
    # are commercial groups (oaks), borrowed figures or have another starting point.
    exact = {"handbook": 0, "all": 0}
    count = {"handbook": 0, "all": 0}
    missed = set()
    for wood in known_woods():
        for direction in ("radial", "tangential"):
            figure, shrinkage = wood.coefficient(direction), wood.shrinkage(direction)
            if figure is None or shrinkage is None:
                continue
            same = round(coefficient_of(shrinkage.value), 5) == pytest.approx(figure.value)
            for key in ("all", *(["handbook"] if "Table 13-5" in figure.source else [])):
                count[key] += 1
                exact[key] += same
            if not same and "Table 13-5" in figure.source:
                missed.add(wood.name)
    assert (exact["handbook"], count["handbook"]) == (75, 90)
    assert (exact["all"], count["all"]) == (82, 102)
    assert missed == {
        "Birch, sweet",
        "Red oak",
        "White oak",
        "Sycamore, American",
        "Cedar, western redcedar",
        "Redwood, old-growth",
        "Redwood, young-growth",
        "Mahogany (Honduras)",
    }


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("walnut", "Walnut, black"),
        ("Black Walnut", "Walnut, black"),
        ("walnut, black", "Walnut, black"),
        ("Juglans nigra", "Walnut, black"),
        ("maple", "Maple, sugar"),
        ("hard-maple", "Maple, sugar"),
        ("soft maple", "Maple, red"),
        ("cherry", "Cherry, black"),
        ("brazilian cherry", "Brazilian cherry (jatoba)"),
        ("Yellow Poplar", "Yellow-poplar"),
        ("tulipwood", "Yellow-poplar"),
        ("douglas fir", "Douglas-fir, coast"),
        ("padouk", "Padauk (African)"),
        ("oak", "White oak"),
        ("red oak", "Red oak"),
        ("purple heart", "Purpleheart"),
    ],
)
def test_a_wood_is_found_by_the_names_makers_use(said: str, name: str) -> None:
    wood = find_wood(said)
    assert wood is not None
    assert wood.name == name


def test_no_name_stands_for_two_woods() -> None:
    said = [name.casefold() for wood in known_woods() for name in (wood.name, *wood.aliases)]
    assert len(said) == len(set(said))
    for wood in known_woods():
        for name in (wood.name, *wood.aliases):
            assert find_wood(name) == wood


def test_an_unknown_wood_is_answered_with_the_nearest() -> None:
    assert find_wood("wallnut") is None
    assert nearest_wood("wallnut") == "walnut"
    assert nearest_wood("zzz") is None


def test_a_design_names_the_species_of_its_wood() -> None:
    design = design_of(top(more='[woods.dark]\nspecies = "black cherry"\n'))
    wood, known = wood_of(design, "dark")
    assert (wood.name, known) == ("Cherry, black", True)


def test_a_design_adds_a_wood_of_its_own_by_its_shrinkages() -> None:
    own = (
        "[woods.pear]\nradial_shrinkage = 3.9\ntangential_shrinkage = 7.1\nspecific_gravity = 0.7\n"
    )
    wood, known = wood_of(design_of(top(more=own)), "pear")
    assert known
    assert wood.specific_gravity is not None
    assert wood.tangential is not None
    assert wood.specific_gravity.value == 0.7
    assert wood.tangential.value == pytest.approx(0.00248, abs=0.000005)
    assert wood.tangential.confidence == "derived"


def test_a_wood_nobody_knows_is_reckoned_as_an_average_hardwood_and_said_so() -> None:
    wood, known = wood_of(design_of(top()), "dark stuff")
    assert not known
    assert wood.kind == "average"
    assert wood.tangential is not None
    assert 0.0025 < wood.tangential.value < 0.0035


@given(st.floats(0.1, 20))
def test_a_coefficient_grows_with_the_shrinkage(shrinkage: float) -> None:
    assert 0 < coefficient_of(shrinkage) < coefficient_of(shrinkage + 0.5)


def test_the_woods_command_tells_all_or_one_and_refuses_a_stranger() -> None:
    answer = CliRunner().invoke(main, ["woods", "--json"])
    woods = json.loads(answer.output)["woods"]
    assert len(woods) == len(known_woods())
    one = json.loads(CliRunner().invoke(main, ["woods", "cherry", "--json"]).output)["woods"]
    assert [w["name"] for w in one] == ["Cherry, black"]
    assert one[0]["tangential"] == 0.00248
    assert one[0]["sources"]["tangential"]["confidence"] == "read"
    refused = CliRunner().invoke(main, ["woods", "wallnut"])
    assert refused.exit_code == 1
    assert "Did you mean walnut?" in refused.output
