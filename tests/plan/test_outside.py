"""Values from outside: what published tables, hand arithmetic and other makers' jobs say.

Each check names its source. "Makers' jobs" are situations that people who build such tops have
written about in public; the arithmetic beside them is ours.
"""

from __future__ import annotations

import ast
import csv
import math
import re
from pathlib import Path

import numpy as np
import pytest
import shapely

from designs import Plan, Top, plan_of, run
from inspector_shapes import difference, points, signed_area

DATA = Path(__file__).parents[1] / "data"
INCH = 25.4


def rows(name: str) -> list[dict[str, str]]:
    """Read a table of published values."""
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def part_of(plan: Plan, mark: str = "A") -> Plan:
    """Find a part; A is the commonest."""
    found: Plan = next(part for part in plan["parts"] if part["mark"].split("-")[0] == mark)
    return found


# --- tilings (steps and densities computed on explicit tiles; published groups) ----------------

UNIT = 20.0  # one unit of the table [mm]


def _tiling(row: dict[str, str]) -> tuple[Top, int] | None:  # noqa: C901 - one branch for each kind of row
    """Give the design of a row, and how many strips more than tiles lie in a cell."""
    values = {
        key: float(value.removesuffix(" deg"))
        for key, value in re.findall(r"(\w+)=([\d./]+(?: deg)?)", row["parameters"])
        if "/" not in value
    }

    def mm(key: str) -> str:
        return f"{values.get(key, 1.0) * UNIT} mm"

    name = row["pattern"]
    if name.startswith("herringbone ("):
        sizes = {"w": mm("W"), "r": values["L"] / values["W"], "n": int(values.get("m", 1))}
        return Top("herringbone", sizes), 0
    if name.startswith("basket weave"):
        return Top("basket-weave", {"w": mm("W"), "n": int(values["n"])}), 0
    if name.startswith("pinwheel"):
        key = (values["L"] - values["W"]) / values["W"]
        return Top("windmill", {"w": mm("W"), "L": mm("L")}), max(1, round(key)) - 1
    if name.startswith("two-square"):
        return Top("two-squares", {"w": mm("a"), "m": 1, "u": mm("b")}), 0
    if name == "chevron":
        return Top("chevron", {"w": mm("W"), "c": mm("c"), "rise": f"{values['beta']} deg"}), 0
    if name == "tumbling blocks (rhombille)":
        return Top("tumbling-block", {"w": f"{UNIT * math.sin(math.pi / 3)} mm"}), 0
    if name == "single lozenge lattice":
        point = values["angle"]
        width = UNIT * math.sin(math.radians(point))
        sizes = {"w": f"{width} mm", "point": f"{point} deg"}
        return Top("lozenge", sizes, angle=-point / 2), 0
    if name == "stack bond":
        return Top("stack-bond", {"w": mm("W"), "L": mm("L")}), 0
    if name.startswith("running bond"):
        offset = 1 / 3 if "1/3" in name else 1 / 2
        return Top("running-bond", {"w": mm("W"), "L": mm("L"), "offset": offset}), 0
    return None


TILINGS = [row for row in rows("tilings.csv") if _tiling(row)]


@pytest.mark.parametrize("row", TILINGS, ids=lambda row: f"{row['pattern']} {row['parameters']}")
def test_steps_and_density_of_a_motif_are_the_published_ones(row: dict[str, str]) -> None:
    found = _tiling(row)
    assert found
    top, more = found
    steps = np.array([ast.literal_eval(row["lattice_1"]), ast.literal_eval(row["lattice_2"])])
    steps = steps * UNIT
    # Wide enough that every strip of the middle has its neighbours a step away, whole.
    reach = np.abs(steps).sum(axis=0).max() + 6 * UNIT
    size = f"{2 * reach + UNIT}"
    plan = plan_of(Top(top.pattern, top.set, (size, size), top.angle, "mm").text())
    woods = [shapely.Polygon(piece["outline"]) for piece in plan["pieces"]]
    tree = shapely.STRtree(woods)
    tiles = int(row["tiles_per_cell"]) + more
    far = [float(np.hypot(*points(wood.centroid.coords)[0])) for wood in woods]
    middle = np.argsort(far)[: tiles + 1]
    for i in middle:
        for step in steps:
            moved = points(plan["pieces"][i]["outline"]) + step
            near = tree.query(shapely.Polygon(moved).centroid, predicate="within")
            off = [difference_in_place(moved, points(plan["pieces"][j]["outline"])) for j in near]
            assert min(off, default=9.0) < 1e-4 * UNIT, f"piece {i + 1} a step {step} away: {off}"
    # One cell: every strip whose middle falls into the unit square of the steps.
    shares = np.array([points(w.centroid.coords)[0] for w in woods]) @ np.linalg.inv(steps)
    inside = ((shares - 0.137) // 1 == 0).all(axis=1)  # off the corners of the motif
    assert inside.sum() == tiles
    area = sum(w.area for w, is_inside in zip(woods, inside, strict=True) if is_inside)
    assert area == pytest.approx(float(row["cell_area"]) * UNIT**2, rel=1e-5)


def difference_in_place(a: np.ndarray, b: np.ndarray) -> float:
    """Say how far two outlines are apart where they lie [mm]."""
    return float(shapely.hausdorff_distance(shapely.Polygon(a), shapely.Polygon(b)))


# --- mitres -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("w", "c", "rise", "edge", "overall", "pitch"),
    [(40, 200, 45, 282.843, 322.843, 56.569), (38, 150, 52, 243.640, 292.278, 61.722)],
)
def test_chevron_piece_has_the_hand_worked_measures(
    w: float, c: float, rise: float, edge: float, overall: float, pitch: float
) -> None:
    # Identities: edge c/cos b, tip to tip c/cos b + w tan b, pitch w/cos b; worked by hand.
    top = Top(
        "chevron",
        {"w": f"{w} mm", "c": f"{c} mm", "rise": f"{rise} deg"},
        (f"{4 * c}", "1500"),
        units="mm",
        saw="largest_mitre = 60",
    )
    plan = plan_of(top.text())
    whole = [part for part in plan["parts"] if part["count"] > 12]
    assert len(whole) == 3, "one for each tone"
    for part in whole:
        assert part["edge"] == pytest.approx(edge, abs=0.001)
        assert part["overall"] == pytest.approx(overall, abs=0.001)
        assert part["mitres"] == pytest.approx([part["mitres"][0]] * 2)
        assert abs(part["mitres"][0]) == pytest.approx(rise, abs=1e-4)
        assert part["long_point"] is part["short_point"] is None
    heights = sorted(
        points(piece["outline"])[:, 1].mean()
        for piece in plan["pieces"]
        if abs(piece["overall"] - overall) < 0.001 and 0 < points(piece["outline"])[:, 0].mean() < c
    )
    assert np.diff(heights) == pytest.approx(pitch, abs=0.001)


def test_rhombus_of_side_2_with_a_reading_of_30_wants_a_strip_of_1_7321() -> None:
    # Identity: the strip is side x cos(reading).
    plan = plan_of(Top("tumbling-block", {"w": "1.7321 in"}, ("30", "24")).text())
    part = part_of(plan)
    assert part["edge"] / INCH == pytest.approx(2.0, abs=0.0001)
    assert [abs(mitre) for mitre in part["mitres"]] == pytest.approx([30.0, 30.0])
    assert part["width"] / INCH == pytest.approx(2 * math.cos(math.radians(30)), abs=0.0001)


POLYGONS = [row for row in rows("polygon_mitre.csv") if int(row["sides"]) <= 16]


@pytest.mark.parametrize("row", POLYGONS, ids=lambda row: f"{row['sides']} sides")
def test_frames_of_a_polygon_are_cut_at_the_published_mitre(row: dict[str, str]) -> None:
    # Identities of the regular polygon: mitre 180/n, apothem and area over the side.
    sides, mitre = int(row["sides"]), float(row["mitre_from_square_deg"])
    top = Top(
        "polygon-frames",
        {"w": "20 mm", "sides": sides, "n": 4},
        ("420", "420"),
        units="mm",
        saw="largest_mitre = 70",
    )
    plan = plan_of(top.text())
    assert plan["totals"]["pieces"] == 4 * sides
    outer = max(part["edge"] for part in plan["parts"])
    apothem = 4 * 20.0
    assert apothem / outer == pytest.approx(float(row["apothem_over_side"]), abs=2e-6)
    area = sum(signed_area(points(piece["outline"])) for piece in plan["pieces"])
    assert area / outer**2 == pytest.approx(float(row["area_over_side2"]), rel=2e-6)
    for part in plan["parts"]:
        assert [abs(m) for m in part["mitres"]] == pytest.approx([mitre] * 2, abs=1e-5)
        assert part["mitres"][0] * part["mitres"][1] < 0, "a frame's stick is a trapezoid"
        if part["handling"] != "mark and hand saw":
            assert part["long_point"] == pytest.approx(part["edge"])


# --- sizes of lumber ----------------------------------------------------------------------------

SOFTWOOD = {
    row["nominal"]: float(row["actual_in"])
    for row in rows("lumber_sizes.csv")
    if row["item"] == "board or dimension" and row["condition"].startswith("dry")
}


@pytest.mark.parametrize("nominal", ["2", "3", "4", "5", "6"])
def test_strip_as_wide_as_a_name_is_answered_with_the_dressed_size(nominal: str) -> None:
    # PS 20, minimum dressed sizes, dry. A maker drew a first plan with nominal sizes.
    top = Top("running-bond", {"L": "16 in"}, ("40", "30"), more=f'width = "{nominal}"')
    notes = [note for note in plan_of(top.text())["notes"] if note["code"] == "nominal"]
    assert len(notes) == 1
    whole, part = divmod(SOFTWOOD[nominal], 1)
    dressed = f"{int(whole)} {int(part * 8)}/8".replace("4/8", "1/2").replace("2/8", "1/4")
    assert dressed in notes[0]["text"]


def test_strip_of_the_dressed_size_is_answered_with_nothing() -> None:
    for actual in ("1.5", "2.5", "3.5"):
        top = Top("running-bond", {"L": "16 in"}, ("40", "30"), more=f'width = "{actual}"')
        assert "nominal" not in {note["code"] for note in plan_of(top.text())["notes"]}


# --- makers' jobs -------------------------------------------------------------------------------


def test_countertop_of_4_5_by_12_blocks_repeats_every_16_97_and_6_36_inches() -> None:
    # A countertop of 4 1/2 x 12 in blocks, ratio 2.67: 12 and 4.5 times the root of 2.
    top = Top("herringbone", {"w": "4 1/2 in", "r": 12 / 4.5}, ("96", "48"), 45.0)
    plan = plan_of(top.text())
    centres = (
        np.array(
            [
                points(piece["outline"]).mean(axis=0)
                for piece in plan["pieces"]
                if piece["part"] == "A"
            ]
        )
        / INCH
    )
    for step in ((16.97, 0.0), (0.0, 6.36)):
        start = centres[np.argmin(np.abs(centres).sum(axis=1))]
        assert np.hypot(*(centres - start - step).T).min() < 0.01, step
    assert part_of(plan)["edge"] / INCH == pytest.approx(12.0)


def test_chevron_headboard_of_64_by_34_takes_622_inches_of_3_5_inch_boards() -> None:
    # A headboard for which 71 ft of board were bought; net 64 x 34 / 3.5 = 621.7 in, by hand.
    top = Top("chevron", {"w": "3 1/2 in", "c": "8 in"}, ("64", "34"))
    assert plan_of(top.text())["totals"]["net_length"] / INCH == pytest.approx(621.7, abs=0.05)


def test_tray_of_two_columns_has_edges_of_six_roots_of_two() -> None:
    # A tray of 12 x 19 in, 45 degrees, blanks pre-cut at 10 in: they do for w up to 1.51 in.
    for w, fits in (("1 1/2", True), ("1.53", False)):
        top = Top("chevron", {"w": f"{w} in", "c": "6 in"}, ("12", "19"))
        part = part_of(plan_of(top.text()))
        assert part["edge"] / INCH == pytest.approx(8.485, abs=0.0005)
        assert (part["overall"] / INCH <= 10.0) == fits


def test_zigzag_cells_of_29_33_by_19_2_have_the_slope_of_their_rise_not_45() -> None:
    # An accent panel of 176 x 96 in as 6 x 5 zigzag cells: 29.33 x 19.2 in, up and down once in
    # each, so that a strip rises 19.2 in over half a cell; the arithmetic is ours.
    column, rise = 176 / 12, 19.2
    slope = math.degrees(math.atan2(rise, column))
    width = rise / 3 * math.cos(math.radians(slope))  # one strip of each of three woods a cell
    sizes = {"w": f"{width:.6f} in", "c": f"{column:.6f} in", "rise": f"{slope:.6f} deg"}
    plan = plan_of(Top("chevron", sizes, ("176", "96"), saw="largest_mitre = 60").text())
    whole = part_of(plan)
    assert [abs(mitre) for mitre in whole["mitres"]] == pytest.approx([52.62, 52.62], abs=0.005)
    assert whole["edge"] / INCH == pytest.approx(math.hypot(column, rise), abs=0.001)
    left = {
        round(points(piece["outline"])[:, 0].min() / INCH / column, 3) for piece in plan["pieces"]
    }
    assert left >= set(range(-6, 6))


def test_basket_weave_of_9_by_8_blocks_of_3_takes_216_strips() -> None:
    # A maker's count: 9 columns x 8 rows, 3 strips a cell.
    side = 3 * 0.75
    top = Top(
        "basket-weave",
        {"w": "3/4 in", "n": 3},
        (f"{9 * side}", f"{8 * side}"),
        shift=(f"{side / 2}", "0"),
    )
    plan = plan_of(top.text())
    assert plan["totals"]["pieces"] == 216
    assert sorted(part["count"] for part in plan["parts"]) == [108, 108]


def test_mitre_beyond_the_saw_is_marked_out_and_not_sawn_there(tmp_path: Path) -> None:
    # A part needs more than 45 degrees, and the saw stops at 50.
    top = Top("chevron", {"w": "1 in", "c": "3 in", "rise": "60 deg"}, ("18", "15"))
    folder = run(top.text(), tmp_path)
    plan = plan_of(top.text())
    assert part_of(plan)["handling"] == "mark and hand saw"
    with (folder / "setups.csv").open(encoding="utf-8", newline="") as file:
        table = list(csv.DictReader(file))
    steep = [row for row in table if row["table"] == "not at the mitre saw as it stands"]
    assert steep
    assert all(row["mitre"].startswith("0") for row in steep), "the blank is cut square"
    # Run over width: 1 in x tan 60 = 1.732 in, to the nearest 1/32: 1 23/32.
    assert any("run 1 23/32 in over 1 in" in row["mark out"] for row in steep)
    note = next(note for note in plan["notes"] if note["code"] == "steep")
    assert "clamped in a carrier" in note["text"]
    assert "12 in" in note["text"]
    mitres = [setup["mitre"] for setup in plan["setups"]]
    assert max(mitres) <= 50


def test_tables_read_a_mitre_from_square_and_from_ninety(tmp_path: Path) -> None:
    # A saw scale reads 0 for square, a gauge reads 90.
    folder = run(Top("chevron", {"w": "1 in", "c": "4 in", "rise": "35 deg"}).text(), tmp_path)
    wanted = {
        "parts.csv": [("left mitre", "left on a 90 scale"), ("right mitre", "right on a 90 scale")],
        "setups.csv": [("mitre", "on a 90 scale")],
    }
    for name, pairs in wanted.items():
        with (folder / name).open(encoding="utf-8", newline="") as file:
            table = [row for row in csv.DictReader(file) if row.get("table") != "rip"]
        found = {tuple(row[key].rstrip("°") for key in pair) for row in table for pair in pairs}
        assert ("35", "55") in found, name
        assert all(float(a) + float(b) == pytest.approx(90) for a, b in found), name


def test_eleven_sixteenths_are_exact(tmp_path: Path) -> None:
    # 0.6875 in printed as 11/16 was blamed for an error: it has none.
    top = Top("running-bond", {"w": "1 in", "L": "8 11/16 in"}, ("69.5", "8"))
    plan = plan_of(top.text())
    assert part_of(plan)["overall"] == pytest.approx(8.6875 * INCH, abs=1e-9)
    assert plan["totals"]["largest_rounding"] == pytest.approx(0.0, abs=1e-9)
    assert "8 11/16 in" in (run(top.text(), tmp_path) / "parts.csv").read_text(encoding="utf-8")


def test_rounding_of_a_length_is_told() -> None:
    # By hand: 0.7 in stands 0.0125 in from 11/16, nearer than from 23/32 (0.01875).
    top = Top("running-bond", {"w": "1 in", "L": "8.7 in"}, ("69.6", "8"))
    found = plan_of(top.text())["totals"]["largest_rounding"] / INCH
    assert found == pytest.approx(0.0125, abs=1e-6)


_WHOLE_STICK = "end_trim = 0\nspares = 0\ndefects = 0\nspare_sticks = 0"


@pytest.mark.parametrize(
    ("length", "block", "most"),
    [("48 in", "8 in", 5), ("60 in", "6 in", 9)],  # 40.5 in with kerf, not six; nine, not ten
)
def test_kerf_is_counted_when_a_stick_is_filled(length: str, block: str, most: int) -> None:
    # A maker marked a 4 ft board for 8 in blocks all at once; n = floor((L + k) / (p + k)).
    top = Top(
        "stack-bond",
        {"w": "1 in", "L": block},
        ("48", "20"),
        saw="holding = 0",
        stock=_WHOLE_STICK,
        tail=f'[[stock.stick]]\nlength = "{length}"',
    )
    plan = plan_of(top.text())
    by_stick = [len(stick["pieces"]) for stick in plan["sticks"] if len(set(stick["pieces"])) == 1]
    assert max(by_stick) == most
    full = next(stick for stick in plan["sticks"] if len(stick["pieces"]) == most)
    inches = float(block.split(maxsplit=1)[0])
    assert most * inches + (most - 1) / 8 <= full["used"] / INCH + 1e-9
    assert full["used"] / INCH <= most * (inches + 1 / 8) + 1e-9


def test_a_fifth_that_is_lost_is_bought_on_top_by_dividing() -> None:
    # "20 % of what I buy is lost" is need / 0.80: 8 sticks become 10, not 9.6.
    top = Top(
        "stack-bond",
        {"w": "1 in", "L": "8 in"},
        ("48", "20"),
        stock='spares = 0\ndefects = "20 %"\nspare_sticks = 0',
    )
    plan = plan_of(top.text())
    for wood, count in plan["totals"]["sticks_to_buy"].items():
        need = sum(stick["wood"] == wood for stick in plan["sticks"])
        assert count == math.ceil(need / 0.8 - 1e-9)


def test_bond_of_8_inch_blocks_has_finished_blocks_of_8_inches_whatever_the_gap() -> None:
    # A size that is the piece's own measure is laid as size + gap.
    for gap in ("0", "1/16", "1/8"):
        top = Top("running-bond", {"w": "1 1/2 in", "L": "8 in"}, ("49", "20"), gap=gap)
        part = part_of(plan_of(top.text()))
        assert part["overall"] == pytest.approx(8 * INCH, abs=1e-9)
        assert part["width"] == pytest.approx(1.5 * INCH, abs=1e-9)
        assert part["count"] > 20


# --- squared paper ------------------------------------------------------------------------------

DIAMONDS = """
3 3 2 2 1 1 1 1 2 2 3 3
4 3 3 2 2 1 1 2 2 3 3 4
4 4 3 3 2 2 2 2 3 3 4 4
5 4 4 3 3 2 2 3 3 4 4 5
5 5 4 4 3 3 3 3 4 4 5 5
"""


def test_stepped_diamonds_are_those_of_the_squared_paper() -> None:
    # Drawn by hand: one digit a cell, rows 0 to 4 upward from the centre line, mirrored below;
    # two rows to the next tone. A digit is a strip's number, counted outward; each strip is one
    # run of equal digits to either side.
    step, w = 1.5 * INCH, INCH
    top = Top("stepped-diamond", {"w": "1 in", "s": "1 1/2 in", "n": 2}, ("18", "9"))
    plan = plan_of(top.text())
    tones = ("dark", "mid", "light")
    woods = [shapely.Polygon(piece["outline"]) for piece in plan["pieces"]]
    tree = shapely.STRtree(woods)
    runs = set()
    for row, line in enumerate(DIAMONDS.split("\n")[1:-1]):
        digits = [int(digit) for digit in line.split()]
        for sign in (1, -1):
            for place, digit in enumerate(digits):
                spot = shapely.Point((place - 5.5) * step, sign * row * w)
                (found,) = tree.query(spot, predicate="within")
                piece = plan["pieces"][found]
                assert piece["tone"] == tones[digit % 3], f"row {row}, cell {place}"
                cells = digits[:place][::-1], digits[place:]
                run_of = sum(1 for _ in _same(cells[0], digit)) + sum(
                    1 for _ in _same(cells[1], digit)
                )
                assert piece["overall"] == pytest.approx(run_of * step), f"row {row}, {place}"
                runs.add(found)
    assert len(runs) == plan["totals"]["pieces"], "every strip was on the paper"


def _same(cells: list[int], digit: int) -> list[int]:
    """Give the first cells that carry a digit."""
    other = [n for n, cell in enumerate(cells) if cell != digit]
    return cells[: other[0]] if other else cells


def test_difference_knows_a_mirror_image() -> None:
    # A check on the ruler itself: a hand-drawn L and its mirror image.
    ell = np.array([(0, 0), (4, 0), (4, 1), (1, 1), (1, 3), (0, 3)], dtype=float)
    other = (ell * (-1, 1))[::-1]
    assert difference(ell, -ell + 9, mirrored=False) == pytest.approx(0)
    assert difference(ell, other, mirrored=True) == pytest.approx(0)
    assert difference(ell, other, mirrored=False) > 0.4
