"""A pattern, as values: what a pattern file says, parsed but not yet measured.

Comes in: nothing; ``pattern_file`` builds these from a file. Goes out: a ``Pattern``; ``lay`` gives
it sizes and lays it in a zone. Whatever is built here has been checked.

A strip is a centre-line with a width and two end cuts, each measured from
square; its cut line is x = x_end + y tan(cut), x along the travel, y to the left::

        ______________________
       /                     /     cuts (-b, -b): both ends lean like a slash
      /_____________________/      as seen along the travel, which runs to the right
"""

from __future__ import annotations

from dataclasses import dataclass

from tesselath.pattern.expressions import Expression

__all__ = [
    "ChartRule",
    "Courses",
    "Must",
    "Pattern",
    "PieceItem",
    "RandomLengths",
    "RingsRule",
    "Size",
    "StripItem",
]

PointRule = tuple[Expression, Expression]


@dataclass(frozen=True, slots=True)
class Size:
    """An input of a pattern, with its limits.

    ``kind`` is "length" [mm], "angle" [degrees] or "number". ``wood`` marks a piece's own
    measure, which is laid as size + gap.
    """

    name: str
    kind: str
    value: float
    least: float | None = None
    most: float | None = None
    whole: bool = False
    label: str = ""
    wood: bool = False


@dataclass(frozen=True, slots=True)
class Must:
    """A relation that has to hold, and the sentence shown when it does not."""

    that: Expression
    say: str
    place: str = ""


@dataclass(frozen=True, slots=True)
class StripItem:
    """A straight strip, some number of times.

    It runs from ``start`` to ``end``, or, when ``end`` is None, ``toward`` a direction for a
    ``length``. ``times`` are loop names with their counts; ``tone`` beats the pattern's rule.
    """

    start: PointRule
    end: PointRule | None
    toward: Expression
    length: Expression | None
    width: Expression
    cuts: tuple[Expression, Expression]
    times: tuple[tuple[str, Expression], ...]
    only: Expression | None
    turn: Expression
    tone: Expression | None
    place: str = ""


@dataclass(frozen=True, slots=True)
class PieceItem:
    """Any outline, by its corners, with the direction of its grain."""

    points: tuple[PointRule, ...]
    grain: Expression
    width: Expression | None
    times: tuple[tuple[str, Expression], ...]
    only: Expression | None
    turn: Expression
    tone: Expression | None
    place: str = ""


@dataclass(frozen=True, slots=True)
class RandomLengths:
    """Lengths by chance between ``least`` and ``most``, in whole steps of ``step``."""

    seed: Expression
    least: Expression
    most: Expression
    stagger: Expression
    step: Expression | None


@dataclass(frozen=True, slots=True)
class Courses:
    """Rows of strips; only the joints move.

    Joints stand at first + m * length, m = 0, 1, ...; piece m lies between joint m - 1 and
    joint m. ``laid`` is "from left" or "from centre" (joints at abs(x) = that).
    """

    height: Expression
    laid: str
    first: Expression
    lengths: tuple[Expression, ...]
    random: RandomLengths | None = None
    place: str = ""


@dataclass(frozen=True, slots=True)
class ChartRule:
    """A chart of letters; ``letters`` give each letter's tone by its number."""

    rows: tuple[str, ...]
    cell: PointRule
    join: str
    mirror: str
    repeat: bool
    letters: tuple[tuple[str, int], ...]
    place: str = ""


@dataclass(frozen=True, slots=True)
class RingsRule:
    """Rings round "zone", round given ``points``, or round a regular polygon."""

    around: str  # "zone", "points" or "polygon"
    points: tuple[PointRule, ...]
    sides: Expression | None
    across: Expression | None
    widths: tuple[Expression, ...]
    count: Expression
    corner: str
    place: str = ""


@dataclass(frozen=True, slots=True)
class Pattern:
    """A pattern as its file describes it."""

    name: str
    title: str
    note: str
    family: str  # "lattice", "courses", "concentric", "radial" or "figure"
    sizes: tuple[Size, ...]
    derived: tuple[tuple[str, Expression], ...]
    musts: tuple[Must, ...]
    strips: tuple[StripItem, ...]
    pieces: tuple[PieceItem, ...]
    steps: tuple[PointRule, PointRule] | None
    courses: Courses | None
    chart: ChartRule | None
    rings: RingsRule | None
    tones: tuple[str, ...]  # empty: every piece is "plain"
    rule: Expression | None
    path: str  # as found, for messages and lists
    places: tuple[tuple[str, str], ...] = ()

    @property
    def fills(self) -> bool:
        """Whether the pattern fills any zone, or is a figure that stands alone."""
        return (
            self.steps is not None
            or self.courses is not None
            or (self.chart is not None and self.chart.repeat)
            or (self.rings is not None and self.rings.around == "zone")
        )

    def size(self, name: str) -> Size | None:
        """Find a size by its short name or its label; None when there is none."""
        for size in self.sizes:
            if name in (size.name, size.label):
                return size
        return None
