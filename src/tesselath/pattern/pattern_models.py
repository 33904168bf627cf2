"""The pattern file as pydantic models: which keys there are and what each may hold.

Comes in: the tables of a TOML file. Goes out: checked models; ``pattern_file`` turns them into
frozen values at once. Refuses: unknown keys and values of the wrong kind.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StrictBool

from tesselath.pattern.expressions import Expression, parse_expression

__all__ = [
    "ChartModel",
    "CoursesModel",
    "MustModel",
    "PatternModel",
    "PieceModel",
    "RandomModel",
    "RepeatModel",
    "RingsModel",
    "RingsPolygonModel",
    "SizeModel",
    "StripModel",
    "ToneModel",
    "family_of",
]


def _literal(written: object) -> object:
    if isinstance(written, bool):
        raise ValueError("A length, an angle or a number is meant here, not true or false.")
    return written


Literal_ = Annotated[str | int | float, BeforeValidator(_literal)]


def _rule(written: object) -> Expression:
    if not isinstance(written, str | int | float):
        raise ValueError("A number or an expression in quotes is meant here.")
    return parse_expression(written)


Rule = Annotated[Expression, BeforeValidator(_rule)]
PointModel = Annotated[tuple[Rule, Rule], Field(description="two values, across and away")]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", arbitrary_types_allowed=True, frozen=True)


class SizeModel(_Strict):
    """An input of the pattern with its limits; its kind is read off how the value is written."""

    value: Literal_ = Field(
        description='the default: "3/4 in" a length, "30 deg" an angle, 5 a number'
    )
    least: Literal_ | None = Field(None, description="the least it may be set to")
    most: Literal_ | None = Field(None, description="the most it may be set to")
    whole: StrictBool = Field(False, description="only whole numbers")
    label: str = Field("", description="plain words for it; a design may use them as its name")
    wood: StrictBool = Field(False, description="a piece's own measure, laid as size + gap")


class MustModel(_Strict):
    """A relation that has to hold, and the sentence shown when it does not."""

    that: Rule = Field(description="the relation; it holds when it is not 0")
    say: str = Field(description="the sentence")


class _ItemModel(_Strict):
    times: dict[str, Rule] = Field(
        default_factory=dict, description='loops: { k = "n" } runs k = 0, 1, ... n - 1'
    )
    only: Rule | None = Field(None, description="keep it when this is not 0")
    turn: Rule = Field(default_factory=lambda: parse_expression(0), description="about the origin")
    tone: Rule | None = Field(None, description="its tone, instead of the rule's")


class StripModel(_ItemModel):
    """A straight strip, some number of times."""

    from_: PointModel = Field(alias="from", description="where its centre-line begins")
    to: PointModel | None = Field(None, description="where its centre-line ends")
    toward: Rule | None = Field(None, description="or its direction, with a length")
    length: Rule | None = Field(None, description="the length of its centre-line")
    width: Rule = Field(default_factory=lambda: parse_expression("w"), description="its width")
    cuts: tuple[Rule, Rule] = Field(
        default_factory=lambda: (parse_expression(0), parse_expression(0)),
        description="its two end cuts, each measured from square",
    )


class PieceModel(_ItemModel):
    """Any outline, by its corners."""

    points: list[PointModel] = Field(
        min_length=3, max_length=200, description="its corners in turn"
    )
    grain: Rule = Field(default_factory=lambda: parse_expression(0), description="along its grain")
    width: Rule | None = Field(None, description="the strip it is cut from; left out: w if it fits")


class RepeatModel(_Strict):
    """The two steps along which the whole is repeated."""

    steps: tuple[PointModel, PointModel] = Field(description="two vectors")


class RandomModel(_Strict):
    """Lengths by chance, the same for the same seed."""

    seed: Rule = Field(description="a whole number; another gives another layout")
    least: Rule = Field(description="the shortest strip")
    most: Rule = Field(description="the longest strip")
    stagger: Rule = Field(description="how far apart the joints of neighbouring rows stay")
    step: Rule | None = Field(
        None, description="lengths differ by whole steps; left out, an eighth of the range"
    )


class CoursesModel(_Strict):
    """Rows of strips, in which only the joints move."""

    height: Rule = Field(default_factory=lambda: parse_expression("w"), description="of a row")
    laid: Literal["from left", "from centre"] = Field(
        "from left", description="where joints count from"
    )
    first: Rule = Field(default_factory=lambda: parse_expression(0), description="the first joint")
    lengths: list[Rule] = Field(
        default_factory=list, max_length=50, description="from joint to joint, repeated"
    )
    random: RandomModel | None = Field(None, description="instead of lengths: by chance")


class ChartModel(_Strict):
    """A pattern drawn in letters, the first row at the back; a space stays bare."""

    rows: str = Field(description="the drawing, one row a line, between triple quotes")
    cell: PointModel = Field(description="what one letter stands for, across and away")
    join: Literal["along", "block", "none"] = Field(
        "along", description="what is one strip: a run in a row, a region, or every letter"
    )
    mirror: Literal["none", "right", "up", "four ways"] = Field(
        "none", description="which part is drawn: all, the right or back half, that quarter"
    )
    repeat: StrictBool = Field(False, description="whether the whole repeats like a tile")


class RingsPolygonModel(_Strict):
    """A regular polygon for rings to run round."""

    sides: Rule = Field(description="how many sides")
    across: Rule = Field(description="its width across flats")


class RingsModel(_Strict):
    """Frames of strips, one inside the other."""

    around: Literal["zone", "opening"] | RingsPolygonModel | list[PointModel] = Field(
        "zone", description='"zone" (or "opening"), { sides, across }, or a list of corners'
    )
    widths: list[Rule] = Field(
        default_factory=lambda: [parse_expression("w")],
        min_length=1,
        max_length=100,
        description="from the outside inward, repeated as needed",
    )
    count: Rule = Field(
        default_factory=lambda: parse_expression(999), description="the most rings to lay"
    )
    corner: Literal["mitre", "pinwheel", "long through", "short through", "turn about"] = Field(
        "mitre", description="how the strips of a ring meet"
    )


class ToneModel(_Strict):
    """Which tone each piece takes."""

    names: list[str] = Field(min_length=1, max_length=40, description="the tones, in order")
    rule: Rule | None = Field(
        None,
        description="a whole number in a, b, item, loop names, row, piece, ring and side; "
        "taken modulo the number of names",
    )
    letters: dict[str, str] = Field(
        default_factory=dict, description='for a chart: which tone each letter is, { AB = "dark" }'
    )


class PatternModel(_Strict):
    """A pattern file."""

    title: str = Field(min_length=1, description="its name in plain words")
    note: str = Field("", description="one sentence on what it is")
    family: Literal["lattice", "courses", "concentric", "radial", "figure"] | None = Field(
        None, description="where it stands in the book; left out, told by what it uses"
    )
    format: Literal[1] = Field(1, description="the version of this language")
    size: dict[str, SizeModel] = Field(default_factory=dict, description="inputs")
    derive: dict[str, Literal_] = Field(default_factory=dict, description="values, in file order")
    must: list[MustModel] = Field(default_factory=list, description="relations that have to hold")
    strip: list[StripModel] = Field(default_factory=list, max_length=200, description="strips")
    piece: list[PieceModel] = Field(default_factory=list, max_length=200, description="outlines")
    repeat: RepeatModel | None = Field(None, description="left out: the figure stands alone")
    courses: CoursesModel | None = Field(None, description="rows")
    chart: ChartModel | None = Field(None, description="a drawing in letters")
    rings: RingsModel | None = Field(None, description="frames, one inside the other")
    tone: ToneModel | None = Field(None, description="tones")


def family_of(model: PatternModel) -> str:
    """Tell the family by what the pattern uses."""
    if model.repeat or (model.chart and model.chart.repeat):
        return "lattice"
    if model.courses:
        return "courses"
    return "concentric" if model.rings else "figure"
