"""Pattern files: nine motifs of the trade read and close; every fault is told with its place."""

from __future__ import annotations

from pathlib import Path

import pytest
import shapely
from hypothesis import given, strategies as st

from tesselath.errors import PatternError
from tesselath.files import patterns_folder
from tesselath.pattern import Pattern
from tesselath.pattern.pattern_file import read_pattern
from tesselath.shape import area
from tops import box, lay, own

#: Motifs of the trade, each written out anew from what it is. Lengths in mm are easy to follow.
HERRINGBONE = """
title = "Herringbone, from the end of a strip"
size.w = { value = "30 mm", least = "6 mm", most = "90 mm", wood = true }
size.r = { value = 4.5, least = 1.2, most = 14 }
size.n = { value = 2, least = 1, most = 4, whole = true }
derive.long = "w * r"
repeat.steps = [["w * n", "w * n"], ["long", "-long"]]
[[strip]]
times = { i = "n" }
from = ["0", "w * i + w / 2"]
length = "long"
[[strip]]
times = { i = "n" }
from = ["w * i + w / 2", "w * n"]
to = ["w * i + w / 2", "w * n + long"]
[tone]
names = ["along", "up"]
rule = "item"
"""
CHEVRON = """
title = "Chevron, with outlines"
size.w = { value = "25 mm" }
size.c = { value = "120 mm" }
size.rise = { value = "40 deg", least = "5 deg", most = "75 deg" }
derive.up = "c * tan(rise)"
derive.pitch = "w / cos(rise)"
piece = [
  { points = [[0, 0], ["c", "up"], ["c", "up + pitch"], [0, "pitch"]], grain = "rise" },
  { grain = "-rise", points = [["c", "up"], ["2*c", 0], ["2*c", "pitch"], ["c", "up + pitch"]] },
]
repeat.steps = [["2 * c", 0], [0, "pitch"]]
tone = { names = ["dark", "mid", "light"], rule = "b" }
"""
TUMBLING_BLOCK = """
title = "Tumbling block, three lozenges one by one"
size.w = { value = "32 mm", least = "6 mm" }
derive.e = "w / cos(30)"
derive.x = "e * cos(30) / 2"
derive.y = "-e / 4"
strip = [
  { from = ["x", "y"], toward = 30, length = "e", cuts = [-30, -30], tone = 0 },
  { from = ["x", "y"], toward = 30, length = "e", cuts = [-30, -30], turn = 120, tone = 1 },
  { from = ["x", "y"], toward = 30, length = "e", cuts = [-30, -30], turn = "240", tone = 2 },
]
repeat.steps = [["2 * w", 0], ["w", "1.5 * e"]]
tone.names = ["left", "right", "lid"]
"""
WINDMILL = """
title = "Windmill"
size.w = { value = "25 mm", least = "6 mm", most = "90 mm", label = "strip width", wood = true }
size.L = { value = "75 mm", least = "13 mm", most = "600 mm", label = "blade length", wood = true }
must = [{ that = "L - w > 0", say = "the blades are to be longer than wide." }]
derive.key = "L - w"
derive.m = "max(1, round(key / w))"
derive.v = "key / m"
[[strip]]
times = { q = 4 }
turn = "q * 90"
from = ["-L / 2 - w / 2", "-L / 2"]
length = "L"
tone = 0
[[strip]]
times = { i = "m" }
from = ["-key / 2", "v * i + v / 2 - key / 2"]
length = "key"
width = "v"
tone = 1
[repeat]
steps = [["w + L", 0], [0, "w + L"]]
[tone]
names = ["blade", "key"]
"""
STEPPED_DIAMOND = """
title = "Stepped diamonds"
size.w = { value = "25 mm" }
size.s = { value = "38 mm", least = "6 mm", most = "150 mm" }
size.n = { value = 4, least = 2, most = 20, whole = true }
courses = { height = "w", laid = "from centre", first = "0 - abs(row) * s", lengths = ["s * n"] }
tone = { names = ["dark", "mid", "light"], rule = "piece" }
"""
GREEK_KEY = '''
title = "Greek key"
size.w = { value = "12 mm" }
[chart]
cell = ["w", "w"]
join = "block"
repeat = true
rows = """
MMMMMMMn
PmmmmmRn
PrSSStRn
PrTuUtRn
PrTuVVVn
PrTuvvvn
PrWWWWWW
"""
[tone]
names = ["dark", "light"]
letters = { MPRSTUVW = "dark", nmrtuv = "light" }
'''
MEDALLION = '''
title = "Stepped medallion"
size.w = { value = "20 mm" }
size.s = { value = "25 mm" }
[chart]
cell = ["s", "w"]
mirror = "four ways"
rows = """
W...
TW..
TTW.
RTTW
"""
[tone]
names = ["cream", "red", "teal", "white"]
letters = { "." = "cream", R = "red", T = "teal", W = "white" }
'''
RINGS = """
title = "Frames"
size.w = { value = "25 mm" }
size.n = { value = 99, least = 1, most = 99, whole = true }
rings = { around = "zone", widths = ["w"], count = "n", corner = "mitre" }
tone = { names = ["dark", "light"], rule = "ring" }
"""
STAR = """
title = "Eight-point star in a square"
size.e = { value = "100 mm", least = "13 mm", most = "600 mm" }
size.m = { value = 3, least = 1, most = 8, whole = true }
derive.w = "e * sin(45) / m"
derive.q = "e * cos(45)"
[[strip]]
times = { k = 8, i = "m" }
turn = "k * 45"
from = ["(i + 1/2) * q / m", "(i + 1/2) * q / m"]
length = "e"
cuts = [45, 45]
tone = "(k + i) % 2"
[[piece]]
times = { k = 4 }
turn = "k * 90"
points = [["q", "q"], ["q + e", "q"], ["q + e", "q + e"], ["q", "q + e"]]
tone = 2
[[piece]]
times = { k = 4 }
turn = "k * 90"
points = [["e", 0], ["e + q", "-q"], ["e + q", "q"]]
grain = 90
tone = 2
[tone]
names = ["dark", "light", "background"]
"""
FILLING = {
    "herringbone": HERRINGBONE,
    "chevron": CHEVRON,
    "tumbling block": TUMBLING_BLOCK,
    "windmill": WINDMILL,
    "stepped diamond": STEPPED_DIAMOND,
    "greek key": GREEK_KEY,
    "rings": RINGS,
}

#: A pattern with nothing wrong in it, to be spoilt one way at a time.
SOUND = """\
title = "Bond"
size.w = { value = "20 mm", least = "5 mm", most = "90 mm", label = "strip width" }
size.L = { value = "80 mm", label = "strip length" }
derive.half = "L / 2"
[[strip]]
from = [0, "w / 2"]
length = "L"
[repeat]
steps = [["L", 0], ["half", "w"]]
[tone]
names = ["dark", "light"]
rule = "b"
"""


@pytest.mark.parametrize("name", FILLING)
@pytest.mark.parametrize("gap", [0.0, 1.5])
def test_each_motif_of_the_trade_covers_its_zone(name: str, gap: float) -> None:
    zone = box(431.0, 287.0)
    _, clipped = lay(own(FILLING[name]), zone, gap=gap, angle=17.0)
    grown = (431.0 + gap) * (287.0 + gap)
    assert clipped.covered == pytest.approx(grown, rel=1e-7)
    assert sum(area(f.outline) for f in clipped.fragments) <= 431.0 * 287.0 * (1 + 1e-9)


@given(st.floats(15, 60), st.floats(1.2, 9), st.integers(1, 4), st.floats(0, 360))
def test_herringbone_closes_at_any_ratio(w: float, r: float, n: int, angle: float) -> None:
    # Published for whole ratios; for any ratio: the steps' determinant is 2 n L w (identity).
    _, clipped = lay(own(HERRINGBONE), box(211, 147), angle=angle, w=w, r=r, n=n)
    assert clipped.covered == pytest.approx(211 * 147, rel=1e-7)


@given(st.floats(20, 200), st.integers(1, 8), st.floats(0, 90))
def test_a_star_fills_its_square_and_nothing_else(e: float, m: int, angle: float) -> None:
    # The square's side is e (2 + sqrt 2): the star's own geometry.
    pattern = own(STAR)
    side = e * (2 + 2**0.5)
    assert not pattern.fills
    laid, clipped = lay(pattern, box(4 * side, 4 * side), angle=angle, e=e, m=m)
    assert clipped.covered == pytest.approx(side * side, rel=1e-9)
    assert len(laid.which) == 8 * m + 4 + 4
    # The squares are wider than a strip; so are the triangles, but of points of a single strip.
    assert sum(f.strip_width is None for f in clipped.fragments) == (8 if m > 1 else 4)


def test_a_medallion_drawn_by_a_quarter_is_symmetric_four_ways() -> None:
    _, clipped = lay(own(MEDALLION), box(900, 900))
    assert clipped.covered == pytest.approx(8 * 25 * 8 * 20)
    placed = {
        (round(x, 6), round(y, 6), f.tone)
        for f in clipped.fragments
        for x, y in [f.outline.mean(axis=0)]
    }
    assert placed == {(-x + 0.0, y, tone) for x, y, tone in placed}
    assert placed == {(x, -y + 0.0, tone) for x, y, tone in placed}


@pytest.mark.parametrize("name", FILLING)
def test_no_two_strips_of_a_motif_lie_on_each_other(name: str) -> None:
    # Overlaid on a grid: without one an overlay of touching neighbours may return a whole strip.
    _, clipped = lay(own(FILLING[name]), box(199.0, 151.0))
    union = shapely.union_all([shapely.Polygon(c) for c in clipped.cells], grid_size=1e-7)
    assert union.area == pytest.approx(clipped.covered, rel=1e-6)


def test_the_sound_pattern_is_sound() -> None:
    pattern = own(SOUND, name="bond")
    assert (pattern.name, pattern.title, pattern.family) == ("bond", "Bond", "lattice")
    assert pattern.fills
    assert pattern.size("strip length") is pattern.size("L") is not None


@pytest.mark.parametrize(
    ("wrong", "right", "place", "rule", "remedy"),
    [
        ('titel = "Bond"', 'title = "Bond"', "line 1, titel", "no such key", "Did you mean title?"),
        ('title = ""', 'title = "Bond"', "line 1, title", "may not be empty", ""),
        ("title = 7", 'title = "Bond"', "line 1, title", "A text in quotes", ""),
        ("least = 5", 'least = "5 mm"', "line 2, size.w", "of one kind", ""),
        ("moist = ", "most = ", "line 2, size.w.moist", "no such key", "Did you mean most?"),
        (
            'value = "20 mm", least = "25 mm"',
            'value = "20 mm", least = "5 mm"',
            "line 2, size.w.value",
            "must be at least",
            "",
        ),
        ('most = "15 mm"', 'most = "90 mm"', "line 2, size.w.value", "must be at most", ""),
        ('value = "twenty"', 'value = "20 mm"', "line 2, size.w.value", "cannot be read", ""),
        ("value = 20,", 'value = "20 mm",', "line 2, size.w", "a length carries its unit", ""),
        ('whole = "yes", value', "value", "line 2, size.w.whole", "true or false", ""),
        ("size.sqrt = ", "size.L = ", "line 3, size.sqrt", "means something already", ""),
        ("size.row = ", "size.L = ", "line 3, size.row", "means something already", ""),
        ("size.zone_width = ", "size.L = ", "line 3, size.zone_width", "already", ""),
        ("size.lambda = ", "size.L = ", "line 3, size.lambda", "already", ""),
        ('size."long one" = ', "size.L = ", "line 3, size.long one", "letters, digits", ""),
        ('label = "strip width" }\nd', 'label = "strip length" }\nd', "size", "this label", ""),
        ("derive.w = ", "derive.half = ", "line 4, derive.w", "taken by a size", ""),
        ('half = "H / 2"', 'half = "L / 2"', "line 4, derive.half", "there is no H", ""),
        ('half = "L ** 2"', 'half = "L / 2"', "line 4, derive.half", "powers", ""),
        ('half = "L + 2"', 'half = "L / 2"', "line 4, derive.half", "meets a plain number", ""),
        ("form = [", "from = [", "line 6, strip.1.form", "no such key", "Did you mean from?"),
        ("from = [5, ", "from = [0, ", "line 6, strip.1.from", "A length is meant here", '"1 in"'),
        ('from = [0, "w * w"]', 'from = [0, "w / 2"]', "line 6, strip.1.from", "or an area", ""),
        ('from = [0, "w / 2", 0]', 'from = [0, "w / 2"]', "line 6, strip.1.from", "", ""),
        ("length = 80", 'length = "L"', "line 7, strip.1.length", "A length is meant", ""),
        ('long = "L"', 'length = "L"', "line 7, strip.1.long", "no such key", ""),
        (
            'length = "L"\ntoward = "L"',
            'length = "L"',
            "line 8, strip.1.toward",
            "not a length",
            "Divide",
        ),
        ('length = "L"\nto = ["L", 0]', 'length = "L"', "line 5, strip.1", "not both", ""),
        ("", 'length = "L"\n', "line 5, strip.1", "a strip needs to, or a length", ""),
        (
            'length = "L"\ncuts = ["w", 0]',
            'length = "L"',
            "line 8, strip.1.cuts",
            "not a length",
            "",
        ),
        ('length = "L"\ncuts = [45]', 'length = "L"', "line 8, strip.1.cuts", "", ""),
        (
            'length = "L"\ntimes = { k = "L" }',
            'length = "L"',
            "line 8, strip.1.times",
            "not a length",
            "",
        ),
        (
            'length = "L"\ntimes = { k = "j" }',
            'length = "L"',
            "line 8, strip.1.times",
            "there is no j",
            "",
        ),
        ('length = "L"\ntimes = { a = 2 }', 'length = "L"', "line 8, strip.1.times", "already", ""),
        ('length = "L"\ntone = "k"', 'length = "L"', "line 8, strip.1.tone", "there is no k", ""),
        (
            'length = "L"\nonly = "import os"',
            'length = "L"',
            "line 8, strip.1.only",
            "cannot be read",
            "",
        ),
        ("[repaet]", "[repeat]", "line 8, repaet", "no such key", "Did you mean repeat?"),
        ('steps = [["L", 0]]', 'steps = [["L", 0], ["half", "w"]]', "line 9, repeat.steps", "", ""),
        ('["half", "k"]', '["half", "w"]', "line 9, repeat.steps.2", "there is no k", ""),
        ('["half", 1]', '["half", "w"]', "line 9, repeat.steps.2", "A length is meant", ""),
        (
            'names = ["dark", "dark"]',
            'names = ["dark", "light"]',
            "line 11, tone.names",
            "the same name",
            "",
        ),
        ("names = []", 'names = ["dark", "light"]', "line 11, tone.names", "too short", ""),
        (
            'names = "dark"',
            'names = ["dark", "light"]',
            "line 11, tone.names",
            "square brackets",
            "",
        ),
        ('rule = "k"', 'rule = "b"', "line 12, tone.rule", "there is no k", ""),
        ('rule = "w"', 'rule = "b"', "line 12, tone.rule", "not a length", ""),
        ('ruel = "b"', 'rule = "b"', "line 12, tone.ruel", "no such key", "Did you mean rule?"),
        ("format = 2\n[tone]", "[tone]", "line 10, repeat.format", "no such key", ""),
        ('title = "Bond"\nformat = 2', 'title = "Bond"', "line 2, format", "Only 1", ""),
        (
            'title = "Bond"\nmust = [{ that = "L > k", say = "x" }]',
            'title = "Bond"',
            "line 2, must.1.that",
            "there is no k",
            "",
        ),
        (
            'title = "Bond"\nmust = [{ that = "L > w" }]',
            'title = "Bond"',
            "line 2, must.1.say",
            "needed here",
            "",
        ),
    ],
)
def test_every_fault_is_told_with_file_line_and_key(
    wrong: str, right: str, place: str, rule: str, remedy: str
) -> None:
    assert right in SOUND
    with pytest.raises(PatternError) as refusal:
        own(SOUND.replace(right, wrong), name="bond")
    text = str(refusal.value).replace(",  ", ", ")
    said = [line for line in text.splitlines() if place.casefold() in line.casefold()]
    assert said, text
    assert said[0].startswith("bond.toml, ")
    assert rule.casefold() in said[0].casefold()
    assert remedy in said[0]
    for foreign in ("Input should", "pydantic", "Traceback", "Value error", "validation"):
        assert foreign not in text


def test_several_faults_are_told_at_once_in_the_order_of_the_file() -> None:
    text = (
        SOUND.replace('"L / 2"', '"L / x"')
        .replace('length = "L"', "length = 80")
        .replace('rule = "b"', 'rule = "z"')
        .replace("size.L", "size.pi")
    )
    with pytest.raises(PatternError) as refusal:
        own(text)
    lines = [int(str(f.place).split("line ")[1].split(",")[0]) for f in refusal.value.faults]
    assert len(lines) >= 5  # the four, and every use of the size that has gone
    assert lines == sorted(lines)


def test_several_misspelt_keys_are_told_at_once() -> None:
    text = SOUND.replace("from", "form").replace("rule", "ruel").replace("least", "lest")
    with pytest.raises(PatternError) as refusal:
        own(text)
    told = str(refusal.value)
    for key, nearest in (("form", "from"), ("ruel", "rule"), ("lest", "least")):
        assert f"{key}: " in told
        assert f"Did you mean {nearest}?" in told


def test_faults_come_in_the_order_of_the_file_wherever_its_tables_stand() -> None:
    # [tone] may as well stand above [[strip]].
    head, tone = SOUND.split("[[strip]]", maxsplit=1)[0], '[tone]\nnames = ["d"]\nrule = "z"\n'
    strip = '[[strip]]\nfrom = [0, 0]\nlength = 80\n[repeat]\nsteps = [["L", 0], [0, "w"]]\n'
    with pytest.raises(PatternError) as refusal:
        own(head + tone + strip)
    assert [f.place.split(", ")[-1] for f in refusal.value.faults] == [
        "tone.rule",
        "strip.1.length",
    ]


@pytest.mark.parametrize("where", ["size.x = { value = true }", "derive.x = true"])
def test_true_is_no_number(where: str) -> None:
    with pytest.raises(PatternError):
        own(SOUND.replace("derive.half", f"{where}\nderive.half"))


def test_nought_stands_for_a_length_without_a_unit() -> None:
    # "Every length carries its unit; 0 alone needs none."
    pattern = own(
        SOUND.replace("derive.half", 'size.d = { value = 0, most = "9 mm" }\nderive.half')
    )
    size = pattern.size("d")
    assert size is not None
    assert size.kind == "length"


def test_a_label_is_not_the_short_name_of_another_size() -> None:
    with pytest.raises(PatternError, match="label"):
        own(SOUND.replace('label = "strip length"', 'label = "w"'))


def test_a_loop_does_not_take_the_name_of_a_size() -> None:
    with pytest.raises(PatternError, match=r"taken|already"):
        own(SOUND.replace('length = "L"', 'times = { half = 2 }\nlength = "L"'))


@pytest.mark.parametrize(
    ("measure", "key"),
    [
        ('"20 mm"', "value"),
        ('"5 mm"', "least"),
        ('"90 mm"', "most"),
    ],
)
def test_a_measure_that_cannot_be_read_is_told_once(measure: str, key: str) -> None:
    with pytest.raises(PatternError) as refusal:
        own(SOUND.replace(measure, '"5 x"', 1))
    assert [f.place for f in refusal.value.faults] == [f"own.toml, line 2, size.w.{key}"]


def test_a_faulty_chart_is_told_once() -> None:
    with pytest.raises(PatternError) as refusal:
        own(GREEK_KEY.replace("MMMMMMMn", "MMMMMMMnn"))
    assert len(refusal.value.faults) == 1


def test_a_pattern_needs_something_to_lay() -> None:
    with pytest.raises(PatternError, match="needs a strip, a piece"):
        own('title = "Nothing"\n')
    with pytest.raises(PatternError, match="title is needed"):
        own("")


def test_courses_stand_alone() -> None:
    with pytest.raises(PatternError, match="one of strips, courses"):
        own(SOUND.replace("[repeat]", '[courses]\nlengths = ["L"]\n[repeat]'))


@pytest.mark.parametrize(
    "text", ["title = ", "title = 'a\n", "[size", "a = 1\na = 2", "x = 1 2", "\x00"]
)
def test_a_text_that_is_no_toml_is_refused_in_one_line(text: str) -> None:
    with pytest.raises(PatternError) as refusal:
        own(text)
    assert len(refusal.value.faults) == 1
    assert str(refusal.value).startswith("own.toml")


@pytest.mark.parametrize("text", ["a = " + "[" * 3000 + "]" * 3000, "a = " + "1" * 5000])
def test_a_hostile_toml_is_refused_like_a_faulty_one(text: str) -> None:
    with pytest.raises(PatternError):
        own(text)


@given(st.data())
def test_no_spoilt_file_escapes_the_words_of_the_house(data: st.DataObject) -> None:
    # Cut a piece out of a sound file and put another there: it reads, or it is refused.
    text = data.draw(st.sampled_from([SOUND, WINDMILL, STEPPED_DIAMOND, GREEK_KEY, RINGS, STAR]))
    start = data.draw(st.integers(0, len(text)))
    end = min(len(text), start + data.draw(st.integers(0, 12)))
    put = data.draw(
        st.sampled_from(["", '"', "0", "w", "]", "[", "k", " = ", "-", "{", '"""', "\n"])
    )
    found: Pattern | PatternError
    try:
        found = own(text[:start] + put + text[end:])
    except PatternError as refusal:
        found = refusal
    if isinstance(found, PatternError):
        assert found.faults
        assert all(len(str(f)) < 2000 for f in found.faults)


def test_a_file_is_read_by_its_name(tmp_path: Path) -> None:
    path = tmp_path / "my-bond.toml"
    path.write_text("\ufeff" + SOUND, encoding="utf-8")
    assert read_pattern(path).name == "my-bond"


@pytest.mark.parametrize("content", [None, b"\xff\xfe\x00title"])
def test_a_file_that_cannot_be_read_is_refused(tmp_path: Path, content: bytes | None) -> None:
    path = tmp_path / "my-bond.toml"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(PatternError, match="cannot be read"):
        read_pattern(path)


@pytest.mark.parametrize("path", sorted(patterns_folder().glob("*.toml")), ids=lambda p: p.stem)
def test_every_shipped_pattern_reads_and_speaks_for_itself(path: Path) -> None:
    pattern = read_pattern(path)
    assert pattern.note
    assert pattern.note.endswith(".")
    assert all(size.label for size in pattern.sizes)
    assert all(size.least is not None and size.most is not None for size in pattern.sizes)


@pytest.mark.parametrize(
    ("wrong", "right", "rule"),
    [
        ("MMMMMMMnn", "MMMMMMMn", "where another has 9"),
        ("PmmMmmRn", "PmmmmmRn", "no rectangle"),
        ('nmrtuv = "pale"', 'nmrtuv = "light"', "no such tone"),
        ('nmrtu = "light"', 'nmrtuv = "light"', "No tone is given for v"),
        ('nmrtuvM = "light"', 'nmrtuv = "light"', "two tones"),
        ('cell = ["w", 1]', 'cell = ["w", "w"]', "A length is meant here"),
        ('join = "blocks"', 'join = "block"', "may stand here"),
        ('size.x = { value = 1 }\nrows = """', 'rows = """', "inside [chart]"),
    ],
)
def test_faults_of_a_chart_are_told(wrong: str, right: str, rule: str) -> None:
    assert right in GREEK_KEY
    with pytest.raises(PatternError) as refusal:
        own(GREEK_KEY.replace(right, wrong, 1))
    assert rule in str(refusal.value)
