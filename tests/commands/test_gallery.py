"""The gallery: every pattern and example, drawn the same every time."""

from __future__ import annotations

import hashlib
import os
import re
import struct
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from tesselath.commands.gallery import (
    Picture,
    draw_gallery,
    pattern_plan,
    render_png,
    render_sheet,
    write_index,
)
from tesselath.files import examples_folder
from tesselath.pattern import find_pattern, pattern_names
from tops import INCH

ROOT = Path(__file__).parents[2]
GALLERY = ROOT / "gallery"

#: One pattern of each family, and an example with its map.
SAMPLE = ["herringbone", "rings", "stepped-diamond", "eight-point-star", "chest-lid"]


def _draw(*names: str) -> dict[str, Picture]:
    return {p.name: p for p in draw_gallery(examples=examples_folder(), only=names)}


def test_pictures_are_named_after_their_pattern_or_example() -> None:
    pictures = _draw("rings", "running-bond", "chest-lid")
    assert [(p.name, p.kind) for p in pictures.values()] == [
        ("pattern-rings", "pattern"),
        ("pattern-running-bond", "pattern"),
        ("chest-lid", "example"),
        ("chest-lid-map", "map"),
    ]
    assert pictures["pattern-rings"].title == find_pattern("rings").title
    assert pictures["pattern-rings"].words == find_pattern("rings").note
    assert pictures["chest-lid"].title == "Blanket chest lid"
    assert " pieces in " in pictures["chest-lid"].words


def test_without_examples_there_are_patterns_only() -> None:
    names = [p.name for p in draw_gallery(examples=None, only=["chest-lid", "stair"])]
    assert names == ["pattern-stair"]


def test_a_name_that_there_is_not_draws_nothing() -> None:
    assert _draw("herring") == {}


def test_a_pattern_is_shown_on_a_panel_that_it_fills_or_in_its_own_size() -> None:
    plan = pattern_plan(find_pattern("basket-weave"))
    assert np.ptp(plan.opening, axis=0) == pytest.approx([18 * INCH, 12 * INCH])
    figure = pattern_plan(find_pattern("diamond-frames"))
    # Seven frames of 1/2 in at a slope of 40 degrees: p = n w / sin, q = n w / cos, by hand.
    slope = np.radians(40)
    assert np.ptp(figure.opening, axis=0) == pytest.approx(
        [7 * INCH / np.sin(slope), 7 * INCH / np.cos(slope)]
    )
    for panel in (plan, figure):
        woods = {
            tone: {p.wood for p in panel.pieces if p.tone == tone} for tone in ("dark", "light")
        }
        assert woods == {"dark": {"walnut"}, "light": {"maple"}}


@pytest.mark.parametrize("name", SAMPLE)
def test_the_gallery_is_what_the_program_draws_now(name: str) -> None:
    if not list(GALLERY.glob("*.svg")):
        pytest.skip("the gallery has not been drawn")
    for picture in _draw(name).values():
        kept = GALLERY / f"{picture.name}.svg"
        assert kept.read_text(encoding="utf-8") == picture.svg, f"draw {kept.name} anew"


def test_the_gallery_holds_every_pattern_and_example() -> None:
    if not list(GALLERY.glob("*.svg")):
        pytest.skip("the gallery has not been drawn")
    folder = examples_folder()
    assert folder is not None
    examples = sorted(f.name for f in folder.iterdir() if (f / "design.toml").is_file())
    wanted = {f"pattern-{name}" for name in pattern_names()}
    wanted |= {name for example in examples for name in (example, f"{example}-map")}
    assert {path.stem for path in GALLERY.glob("*.svg")} == wanted
    index = (GALLERY / "index.html").read_text(encoding="utf-8")
    assert all(f'id="{name}"' in index for name in wanted)


def test_every_hash_seed_draws_the_same() -> None:
    program = (
        "import hashlib\nfrom tesselath.commands.gallery import draw_gallery\n"
        "for p in draw_gallery(examples=None, only=['greek-key', 'rings']):\n"
        "    print(p.name, hashlib.sha256(p.svg.encode()).hexdigest())\n"
    )
    # The seed of this process is another, and seldom the same twice.
    answer = subprocess.run(
        [sys.executable, "-c", program],
        check=True,
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONHASHSEED": "77", "PYTHONPATH": str(ROOT / "src")},
    ).stdout
    here = _draw("greek-key", "rings").values()
    drawn = [f"{p.name} {hashlib.sha256(p.svg.encode()).hexdigest()}\n" for p in here]
    assert answer == "".join(drawn)
    assert len(drawn) == 2


def test_a_picture_is_well_formed_and_true_to_its_size() -> None:
    (picture,) = _draw("stack-bond").values()
    root = ElementTree.fromstring(picture.svg)
    width, height = (float(root.attrib[side].removesuffix("mm")) for side in ("width", "height"))
    _, _, wide, deep = map(float, root.attrib["viewBox"].split())
    assert (wide / width, deep / height) == pytest.approx((1, 1), rel=1e-6)
    # A panel of 18 x 12 in and its frame of 1 1/4 in fit on the sheet.
    assert wide >= 20.5 * INCH - 1
    assert deep >= 14.5 * INCH - 1


def _size(png: bytes) -> tuple[int, int]:
    """Read width and height from a PNG's header."""
    assert png[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = struct.unpack(">II", png[16:24])
    return int(width), int(height)


def test_pictures_render_to_png_of_the_width_asked_for() -> None:
    (picture,) = _draw("stack-bond").values()
    small, large = (_size(render_png(picture.svg, width_px=px)) for px in (300, 600))
    assert abs(small[0] - 300) <= 1
    assert abs(large[0] - 600) <= 1
    assert large[1] / large[0] == pytest.approx(small[1] / small[0], rel=0.02)


def test_what_is_no_picture_is_not_rendered() -> None:
    with pytest.raises(RuntimeError):
        render_png("<svg", width_px=100)


def test_the_contact_sheet_shows_titles_of_any_letters() -> None:
    (picture,) = _draw("stack-bond").values()
    odd = Picture("odd", 'No. 1 #[x] "a" *b* _c_ $d$ \\e @f', "", picture.svg, "pattern")
    width, height = _size(render_sheet([picture, odd, picture], columns=2, width_px=400))
    assert abs(width - 400) <= 1
    assert height > 60


def test_the_page_shows_every_picture_under_its_kind() -> None:
    pictures = [
        Picture("pattern-a", "A & B", "Rows <of> strips.", "<svg/>", "pattern"),
        Picture("table", "Table", "9 pieces.", "<svg/>", "example"),
        Picture("table-map", "Table, map", "9 pieces.", "<svg/>", "map"),
    ]
    page = write_index(pictures)
    # HTML leaves these open; for the check they are closed.
    closed = re.sub(r"<(meta|img)([^>]*)>", r"<\1\2/>", page.removeprefix("<!doctype html>"))
    root = ElementTree.fromstring(closed)
    order = [figure.attrib["id"] for figure in root.iter("figure")]
    assert order == ["table", "table-map", "pattern-a"]
    assert [h.text for h in root.iter("h2")] == ["Examples", "Their maps", "Patterns"]
    captions = ["".join(caption.itertext()) for caption in root.iter("figcaption")]
    assert captions[2] == "A & B Rows <of> strips."
    assert [a.attrib["href"] for a in root.iter("a")] == [f"{name}.svg" for name in order]
    assert [i.attrib["alt"] for i in root.iter("img")] == ["Table", "Table, map", "A & B"]
