"""The shopping list: strips, made-up wood, frame, base and glue, by the sums a shop makes."""

from __future__ import annotations

import math

import pytest

from tesselath.top import ShoppingRow
from tops import INCH, plan_of, top

#: A table top in strips so wide that there are few of them.
TABLE = {"width": "54 in", "depth": "20 in", "sizes": 'w = "4 in"\nr = 3'}
FRAME = """
[frame]
width = "2 1/2 in"
thickness = "1 in"
wood = "walnut"
corner = "{corner}"
sits = "{sits}"
"""
BASE = '[base]\nthickness = "23/32 in"\nclearance = "1/16 in"\n'
STICK = """
[[stock.stick]]
width = "3/4 in"
thickness = "1/4 in"
length = "48 in"
price = 3.2
"""


def _rows(text: str, what: str) -> list[ShoppingRow]:
    return [row for row in plan_of(text).shopping if row.what == what]


@pytest.mark.parametrize(
    ("corner", "sides"),
    [
        # Mitred, all four measure long point to long point: the opening and two widths.
        ("mitre", {"front and back": 59.0, "left and right": 25.0}),
        # Butted, front and back run through and the sides are as long as the opening is deep.
        ("butt", {"front and back": 59.0, "left and right": 20.0}),
    ],
)
def test_the_frame_is_as_long_as_its_corners_want(corner: str, sides: dict[str, float]) -> None:
    text = top(**TABLE, more=FRAME.format(corner=corner, sits="round the base"))
    rows = _rows(text, "frame")
    assert {row.item: row.length for row in rows} == pytest.approx(
        {item: length * INCH for item, length in sides.items()}
    )
    assert all((row.count, row.unit, row.wood) == (2, "piece", "walnut") for row in rows)
    assert all(row.width == pytest.approx(2.5 * INCH) for row in rows)


@pytest.mark.parametrize(
    ("sits", "head", "strips", "width", "depth"),
    [
        # Between the frame, with 1/16 in free all round.
        ("round the base", "", "", 53.875, 19.875),
        # Under the frame, to its outer edge.
        ("on the base", "", "", 59.0, 25.0),
        # Trimmed after gluing: over-long like the field, and trimmed with it to the opening.
        ("round the base", 'order = "trim"', 'overlength = "1/2 in"', 55.0, 21.0),
    ],
)
def test_the_base_fits_its_frame(
    sits: str, head: str, strips: str, width: float, depth: float
) -> None:
    more = FRAME.format(corner="mitre", sits=sits) + BASE
    (row,) = _rows(top(**TABLE, head=head, strips=strips, more=more), "base")
    assert row.length == pytest.approx(width * INCH)
    assert row.width == pytest.approx(depth * INCH)
    assert row.thickness == pytest.approx(23 / 32 * INCH)


def test_without_frame_and_base_there_is_neither() -> None:
    assert {row.what for row in plan_of(top()).shopping} == {"strips", "glue", "finish"}


def test_glue_is_the_field_times_the_spread_up_to_ten_grams() -> None:
    # 54 x 20 in is 0.6968 m2, at 180 g/m2 125.4 g (spread by common practice).
    (row,) = _rows(top(**TABLE), "glue")
    assert (row.count, row.unit) == (130, "g")
    (row,) = _rows(top(**TABLE, more="[glue]\nspread = 150\n"), "glue")
    assert row.count == math.ceil(54 * 20 * INCH * INCH / 1e6 * 150 / 10) * 10


def test_strips_are_bought_as_many_as_the_plan_says_at_their_price() -> None:
    plan = plan_of(top(more=STICK))
    rows = [row for row in plan.shopping if row.what == "strips"]
    assert {row.wood: row.count for row in rows} == plan.sticks_to_buy
    for row in rows:
        assert row.price == pytest.approx(3.2 * row.count)
        assert row.length == pytest.approx(48 * INCH)
        assert row.unit == "stick"
    (total,) = [row for row in plan.shopping if row.what == "total"]
    assert total.price == pytest.approx(sum(row.price or 0.0 for row in rows))


def test_without_a_price_there_is_no_total() -> None:
    assert all(row.price is None for row in plan_of(top()).shopping)
    assert _rows(top(), "total") == []


def test_a_part_wider_than_a_strip_is_bought_as_a_blank() -> None:
    # The squares and triangles behind a star are made up.
    plan = plan_of(top("eight-point-star"))
    blanks = [row for row in plan.shopping if row.what == "made up"]
    made_up = [part for part in plan.parts if part.handling == "make up"]
    assert made_up
    assert [row.item for row in blanks] == [f"part {part.mark}" for part in made_up]
    assert [row.count for row in blanks] == [part.count + part.spares for part in made_up]
