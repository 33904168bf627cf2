"""The reference of the pattern language, and a starter to write one's own from.

Comes in: the pydantic models of the pattern file. Goes out: the text of ``patterns/README.md`` and
of a starter pattern. What the reference lists is what the models accept.
"""

from __future__ import annotations

import sys
from pathlib import Path

from pydantic import BaseModel
from pydantic_core import PydanticUndefined

from tesselath.files import patterns_folder
from tesselath.pattern import pattern_models as models
from tesselath.pattern.catalogue import find_pattern, pattern_names
from tesselath.pattern.expressions import LONGEST_TEXT, MOST_NODES, Expression
from tesselath.pattern.functions import FUNCTIONS
from tesselath.pattern.sizes import show_size

__all__ = ["pattern_reference", "starter_pattern"]

_TABLES: tuple[tuple[str, type[BaseModel], str], ...] = (
    ("The head of the file", models.PatternModel, "What stands before and between the tables."),
    (
        "`size.NAME`",
        models.SizeModel,
        "An input, one line each, above the first table in brackets.",
    ),
    ("`[[must]]`", models.MustModel, "A relation that has to hold at the sizes chosen."),
    ("`[[strip]]`", models.StripModel, "A straight strip, some number of times."),
    ("`[[piece]]`", models.PieceModel, "Any outline: pickets, triangles, wedges."),
    ("`[repeat]`", models.RepeatModel, "Left out, the figure stands alone."),
    ("`[courses]`", models.CoursesModel, "Rows in which only the joints move."),
    ("`courses.random`", models.RandomModel, "Lengths by chance, the same for the same seed."),
    ("`[chart]`", models.ChartModel, "A drawing in letters, as on squared paper."),
    ("`[rings]`", models.RingsModel, "Frames of strips, one inside the other."),
    ("`rings.around`", models.RingsPolygonModel, "A regular polygon to run round."),
    ("`[tone]`", models.ToneModel, "Which tone each piece takes; the design gives tones woods."),
)

_INTRO = """# The pattern language

A pattern is a short text file. It says which strips there are and how they repeat; it never knows
the opening, the saw or the wood. A design names it (`pattern = "my-own.toml"`), turns it, moves it,
sets its sizes and gives its tones woods. `tesselath begin --pattern-file my-own.toml` writes a
starter; `tesselath prove my-own.toml` says whether it closes, and where not.

This page is written by the program from the same models that check the files
(`python -m tesselath.pattern.pattern_reference`).

## How it is built

- **Strips.** A strip is a centre-line with a width and two end cuts. A cut is measured from square:
  its line is x = x_end + y tan(cut), x along the strip, y to its left. Cuts `[30, 30]` make a
  parallelogram, `[-45, 45]` a trapezoid.
- **Repeat.** Two steps copy the whole over the plane. The areas of the strips of one repeat must
  add up to the area of the two steps, or there are gaps or overlaps.
- **Sizes.** A length carries its unit (`"3/4 in"`, `"19 mm"`), an angle `deg`; a bare number is a
  number. `wood = true` marks a piece's own measure: it is laid as size + gap and the wood is the
  cell less half a gap all round, so the finished piece has the stated size. The size `w` follows
  `[strips] width` of the design unless the design sets it.
- **Tones.** `rule` gives the number of the tone, counted from 0 and taken modulo the number of
  names; an item's own `tone` beats it; letters of a chart have theirs in `letters`.
- **Origin.** The pattern's origin lies on the centre of its zone. Put it on a centre of symmetry.

## Arithmetic

Values in quotes may use numbers, names, `+ - * / %`, comparisons (1 or 0) and the functions
{functions}. Angles are in degrees. `choose(test, a, b)` is a where the test is not 0. Names
are sizes, `derive` entries above, loop names, `pi`, and `zone_width` and `zone_depth`, the box of
the zone along the pattern's own axes; in a tone rule also `a`, `b` (steps), `item`, `row`, `piece`,
`ring` and `side`. A text has at most {longest} characters and {nodes} parts. A length may not be
added to a plain number.

In `courses` joints stand at first + m x length, m = 0, 1, ...; piece m lies between joint m - 1
and joint m; `row` is 0 on the axis. From the centre, joints lie at abs(x) = that; one at or below 0
is not cut but keeps its number.

Traps of the file format: an inline table `{{ ... }}` stays on one line, without a comma at its end;
sizes stand above the first table in brackets; an inch mark does not go inside double quotes.
"""


def pattern_reference() -> str:
    """Write the reference of the pattern language.

    Source: the models themselves.
    """
    functions = ", ".join(f"`{name}`" for name in sorted(FUNCTIONS))
    lines = [_INTRO.format(functions=functions, longest=LONGEST_TEXT, nodes=MOST_NODES)]
    lines.append("## Keys\n")
    for title, model, words in _TABLES:
        lines.append(f"### {title}\n\n{words}\n\n| key | left out | means |\n|---|---|---|")
        for name, field in model.model_fields.items():
            lines.append(f"| `{field.alias or name}` | {_left_out(field)} | {field.description} |")
        lines.append("")
    lines.append("## The shipped patterns\n\n| pattern | what it is | sizes |\n|---|---|---|")
    for name in pattern_names():
        pattern = find_pattern(name)
        sizes = ", ".join(f"{s.name} ({s.label}) {show_size(s, s.value)}" for s in pattern.sizes)
        lines.append(f"| `{name}` | {pattern.note or pattern.title} | {sizes} |")
    return "\n".join(lines) + "\n"


def _left_out(field: object) -> str:
    """What a key means when it is left out."""
    default = getattr(field, "default", PydanticUndefined)
    factory = getattr(field, "default_factory", None)
    if default is PydanticUndefined and factory is None:
        return "needed"
    value = factory() if factory is not None else default
    if value is None or value in ({}, [], ""):
        return ""
    if isinstance(value, Expression):
        return f"`{value.text}`"
    if isinstance(value, tuple | list):
        return f"`[{', '.join(v.text for v in value)}]`"
    return f"`{str(value).lower()}`" if isinstance(value, bool) else f"`{value}`"


def starter_pattern(title: str) -> str:
    """Write a commented pattern file to start from: a running bond with a band of its own.

    Parameters
    ----------
    title : str
        What the pattern is called.

    Returns
    -------
    str
        The text; it loads, closes and can be laid as it stands.
    """
    plain = title.replace('"', "'").replace("\\", "\\\\")
    return _STARTER.replace("@title@", plain)


_STARTER = """# A pattern of your own. A design names this file: pattern = "its-name.toml".
# Prove it after every change: tesselath prove its-name.toml
title = "@title@"
note = "Rows of strips, each moved along by a share of the length; square cuts only."

# Sizes: a length carries its unit. wood = true marks a piece's own measure. They stand up
# here, above the first table in brackets.
size.w = { value = "1 in", least = "1/4 in", most = "6 in", label = "strip width", wood = true }
size.L = { value = "6 in", least = "1 in", most = "48 in", label = "strip length", wood = true }
size.share = { value = 0.5, least = 0, most = 1, label = "share each row moves along" }

# Values worked out from the sizes, in this order.
derive.move = "share * L"

# One strip, from the origin to the right. Others may follow, each under its own [[strip]]:
#   toward = 90                turns it to run from front to back
#   cuts = [45, 45]            cuts both ends at 45 degrees from square
#   times = { k = 3 }          lays it three times, with k = 0, 1, 2 in its formulas
[[strip]]
from = [0, "w / 2"]
length = "L"

# The two steps that copy the strips over the zone. Their area must be that of the strips.
[repeat]
steps = [["L", 0], ["move", "w"]]

# The design gives each tone a wood. a and b count the two steps.
[tone]
names = ["dark", "light"]
rule = "b"
"""


if __name__ == "__main__":
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else patterns_folder() / "README.md"
    target.write_text(pattern_reference(), encoding="utf-8")
