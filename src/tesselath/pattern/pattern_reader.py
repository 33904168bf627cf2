"""The reader of a pattern: a checked model turned into values, its names and dimensions checked.

Comes in: a model, and where its keys stand. Goes out: a ``Pattern``, or faults.
"""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches

from tesselath.errors import MeasureError, PatternError
from tesselath.pattern.chart import join_chart, mirrored_rows, parse_rows
from tesselath.pattern.expressions import Dimension, Expression, parse_expression
from tesselath.pattern.pattern import (
    ChartRule,
    Courses,
    Must,
    Pattern,
    PieceItem,
    PointRule,
    RandomLengths,
    RingsRule,
    Size,
    StripItem,
)
from tesselath.pattern.pattern_faults import PatternFaults
from tesselath.pattern.pattern_models import (
    PatternModel,
    PieceModel,
    RandomModel,
    RingsPolygonModel,
    SizeModel,
    StripModel,
    family_of,
)
from tesselath.pattern.sizes import (
    RESERVED,
    dimensions_of,
    outside_limits,
    parse_literal,
    parse_measure,
)

__all__ = ["PatternReader"]


class PatternReader(PatternFaults):
    """Turns a checked model into values, gathering every fault with its place."""

    def __init__(self, file_name: str, lines: Mapping[str, int]) -> None:
        super().__init__(file_name, lines)
        self.known: dict[str, Dimension] = {}

    def pattern(self, model: PatternModel, *, name: str, path: str) -> Pattern:
        """Build the pattern, checking every name and dimension."""
        sizes = tuple(self._size(key, size) for key, size in model.size.items())
        labels = [size.label for size in sizes if size.label]
        for label in sorted({label for label in labels if labels.count(label) > 1}):
            self.complain("size", label, "Two sizes have this label; labels are told apart.")
        for size in sizes:
            if size.label in model.size and size.label != size.name:
                rule = "This label is the short name of another size."
                self.complain(f"size.{size.name}.label", size.label, rule)
        self.known = dict(dimensions_of(sizes))
        derived = tuple(self._derived(key, value) for key, value in model.derive.items())
        musts = []
        for i, must in enumerate(model.must, 1):
            self._check(f"must.{i}.that", must.that, None)
            musts.append(Must(must.that, must.say.rstrip("."), self.place(f"must.{i}")))
        strips = tuple(self._strip(f"strip.{i}", s) for i, s in enumerate(model.strip, 1))
        pieces = tuple(self._piece(f"piece.{i}", p) for i, p in enumerate(model.piece, 1))
        steps = None
        if model.repeat:
            for i, step in enumerate(model.repeat.steps, 1):
                self._point(f"repeat.steps.{i}", step, {})
            steps = model.repeat.steps
        courses = self._courses(model)
        tones = tuple(model.tone.names) if model.tone else ()
        chart, rings = self._chart(model, tones), self._rings(model)
        self._one_kind(model)
        if model.tone and model.tone.rule:
            loops = {loop for item in strips + pieces for loop, _ in item.times}
            names = ["a", "b", "item", "row", "piece", "ring", "side", *sorted(loops)]
            self._check("tone.rule", model.tone.rule, 0, dict.fromkeys(names, 0))
        if len(set(tones)) < len(tones):
            self.complain("tone.names", None, "Two tones have the same name.")
        family = model.family or family_of(model)
        return Pattern(
            name=name,
            title=model.title,
            note=model.note,
            family=family,
            sizes=sizes,
            derived=tuple(d for d in derived if d),
            musts=tuple(musts),
            strips=strips,
            pieces=pieces,
            steps=steps,
            courses=courses,
            chart=chart,
            rings=rings,
            tones=tones,
            rule=model.tone.rule if model.tone else None,
            path=path,
            places=tuple((key, self.place(key)) for key in self.lines),
        )

    def _one_kind(self, model: PatternModel) -> None:
        """Ask that a pattern is made of something, and of one kind of thing."""
        items = model.strip or model.piece
        if not (items or model.courses or model.chart or model.rings):
            rule = "A pattern needs a strip, a piece, courses, a chart or rings."
            self.complain("strip", None, rule)
        made = {
            "strips": items or model.repeat,
            "courses": model.courses,
            "a chart": model.chart,
            "rings": model.rings,
        }
        kinds = [name for name, used in made.items() if used]
        if len(kinds) > 1:
            here = ", ".join(kinds)
            rule = f"A pattern has one of strips, courses, a chart, rings; here are {here}."
            self.complain("title", None, rule)

    def _size(self, key: str, model: SizeModel) -> Size:
        place = f"size.{key}"
        read: dict[str, tuple[str, float]] = {}
        for part in ("value", "least", "most"):
            written = getattr(model, part)
            if written is None:
                continue
            try:
                read[part] = parse_literal(written)
            except MeasureError as error:
                self.complain(f"{place}.{part}", written, str(error))
        # 0 alone may be of any kind; the others tell which.
        kinds = list(dict.fromkeys(kind for kind, value in read.values() if value))
        kind = kinds[0] if kinds else read.get("value", ("number", 0.0))[0]
        if len(kinds) > 1:
            rule = "value, least and most must be of one kind; a length carries its unit."
            self.complain(place, None, rule)
        self._name(place, key)
        size = Size(
            name=key,
            kind=kind,
            value=read.get("value", (kind, 0.0))[1],
            least=read["least"][1] if "least" in read else None,
            most=read["most"][1] if "most" in read else None,
            whole=model.whole,
            label=model.label,
            wood=model.wood,
        )
        rule = outside_limits(size, size.value)
        if rule and "value" in read and len(kinds) < 2:
            self.complain(f"{place}.value", model.value, rule)
        if size.wood and size.kind != "length":
            self.complain(f"{place}.wood", None, "Only a length can be a piece's own measure.")
        return size

    def _name(self, place: str, key: str) -> None:
        if not key.isidentifier() or not key.isascii():
            self.complain(place, key, "A name is letters, digits and _, and begins with a letter.")
        elif key in RESERVED:
            self.complain(place, key, "This name means something already; choose another.")

    def _derived(self, key: str, written: str | float) -> tuple[str, Expression] | None:
        place = f"derive.{key}"
        self._name(place, key)
        if key in self.known:
            self.complain(place, key, "This name is taken by a size or an entry above.")
        try:
            expression = parse_measure(written) or parse_expression(written)
            self.known[key] = expression.dimension(self.known)
        except PatternError as error:
            self.complain(place, None, str(error))
            self.known[key] = None
            return None
        return key, expression

    def _check(
        self,
        key: str,
        expression: Expression,
        dimension: float | None,
        more: Mapping[str, Dimension] | None = None,
    ) -> None:
        """Check names and dimension; ``dimension`` None lets any pass."""
        try:
            found = expression.dimension({**self.known, **(more or {})})
        except PatternError as error:
            self.complain(key, None, str(error))
            return
        if dimension is None or found is None or abs(found - dimension) < 1e-9:  # a power, not mm
            return
        if dimension == 1:
            rule = "A length is meant here, and this comes out as a plain number or an area."
            self.complain(key, expression.text, rule, 'Use sizes, or write "1 in" or "25 mm".')
        else:
            rule = "A plain number or an angle is meant here, not a length."
            self.complain(key, expression.text, rule, "Divide by another length.")

    def _point(self, key: str, point: PointRule, more: Mapping[str, Dimension]) -> None:
        for value in point:
            self._check(key, value, 1, more)

    def _loops(self, key: str, times: Mapping[str, Expression]) -> dict[str, Dimension]:
        loops: dict[str, Dimension] = {}
        for name, count in times.items():
            self._name(f"{key}.times", name)
            if name in self.known or name in loops:
                rule = "This name is taken by a size, a derived value or another loop."
                self.complain(f"{key}.times", name, rule)
            self._check(f"{key}.times", count, 0, loops)
            loops[name] = 0
        return loops

    def _item(self, key: str, model: StripModel | PieceModel) -> dict[str, Dimension]:
        loops = self._loops(key, model.times)
        self._check(f"{key}.turn", model.turn, 0, loops)
        if model.only:
            self._check(f"{key}.only", model.only, None, loops)
        if model.tone:
            self._check(f"{key}.tone", model.tone, 0, {**loops, "a": 0, "b": 0})
        return loops

    def _strip(self, key: str, model: StripModel) -> StripItem:
        loops = self._item(key, model)
        self._point(f"{key}.from", model.from_, loops)
        if model.to is not None:
            self._point(f"{key}.to", model.to, loops)
            if model.length is not None or model.toward is not None:
                self.complain(key, None, "A strip has either to, or toward and length, not both.")
        elif model.length is None:
            self.complain(key, None, "A strip needs to, or a length (with toward).")
        else:
            self._check(f"{key}.length", model.length, 1, loops)
        toward = model.toward or parse_expression(0)
        self._check(f"{key}.toward", toward, 0, loops)
        self._check(f"{key}.width", model.width, 1, loops)
        for cut in model.cuts:
            self._check(f"{key}.cuts", cut, 0, loops)
        return StripItem(
            start=model.from_,
            end=model.to,
            toward=toward,
            length=model.length,
            width=model.width,
            cuts=model.cuts,
            times=tuple(model.times.items()),
            only=model.only,
            turn=model.turn,
            tone=model.tone,
            place=self.place(key),
        )

    def _piece(self, key: str, model: PieceModel) -> PieceItem:
        loops = self._item(key, model)
        for point in model.points:
            self._point(f"{key}.points", point, loops)
        self._check(f"{key}.grain", model.grain, 0, loops)
        if model.width:
            self._check(f"{key}.width", model.width, 1, loops)
        return PieceItem(
            points=tuple(model.points),
            grain=model.grain,
            width=model.width,
            times=tuple(model.times.items()),
            only=model.only,
            turn=model.turn,
            tone=model.tone,
            place=self.place(key),
        )

    def _courses(self, model: PatternModel) -> Courses | None:
        courses = model.courses
        if courses is None:
            return None
        row: dict[str, Dimension] = {"row": 0}
        self._check("courses.height", courses.height, 1)
        self._check("courses.first", courses.first, 1, row)
        for length in courses.lengths:
            self._check("courses.lengths", length, 1, row)
        if bool(courses.lengths) == (courses.random is not None):
            rule = "Courses have either lengths or random."
            self.complain("courses", None, rule, 'Write lengths = ["L"].')
        return Courses(
            courses.height,
            courses.laid,
            courses.first,
            tuple(courses.lengths),
            self._random(courses.random),
            self.place("courses"),
        )

    def _random(self, model: RandomModel | None) -> RandomLengths | None:
        if model is None:
            return None
        self._check("courses.random.seed", model.seed, 0)
        for name in ("least", "most", "stagger", "step"):
            if (written := getattr(model, name)) is not None:
                self._check(f"courses.random.{name}", written, 1)
        return RandomLengths(model.seed, model.least, model.most, model.stagger, model.step)

    def _chart(self, model: PatternModel, tones: tuple[str, ...]) -> ChartRule | None:
        chart = model.chart
        if chart is None:
            return None
        self._point("chart.cell", chart.cell, {})
        try:
            rows = parse_rows(chart.rows, self.place("chart.rows"))
            whole = mirrored_rows(rows, chart.mirror)
            join_chart(whole, join=chart.join, repeat=chart.repeat, place=self.place("chart.rows"))
        except PatternError as error:
            self.faults += error.faults
            return None
        letters: dict[str, int] = {}
        for drawn, tone in model.tone.letters.items() if model.tone else ():
            if tone not in tones:
                near = get_close_matches(tone, tones, n=1)
                remedy = f"Did you mean {near[0]}?" if near else f"There are {', '.join(tones)}."
                self.complain("tone.letters", tone, "There is no such tone in tone.names.", remedy)
                continue
            for letter in drawn:
                if letters.setdefault(letter, tones.index(tone)) != tones.index(tone):
                    self.complain("tone.letters", letter, "This letter has two tones.")
        bare = sorted(set("".join(rows)) - set(letters) - {" "})
        if bare:
            rule = f"No tone is given for {' '.join(bare)}."
            self.complain("tone.letters", None, rule, 'Add for example letters = { A = "dark" }.')
        return ChartRule(
            rows,
            chart.cell,
            chart.join,
            chart.mirror,
            chart.repeat,
            tuple(sorted(letters.items())),
            self.place("chart"),
        )

    def _rings(self, model: PatternModel) -> RingsRule | None:
        rings = model.rings
        if rings is None:
            return None
        for width in rings.widths:
            self._check("rings.widths", width, 1)
        self._check("rings.count", rings.count, 0)
        around = "zone"
        points: tuple[PointRule, ...] = ()
        sides = across = None
        if isinstance(rings.around, RingsPolygonModel):
            around, sides, across = "polygon", rings.around.sides, rings.around.across
            self._check("rings.around", sides, 0)
            self._check("rings.around", across, 1)
        elif isinstance(rings.around, list):
            around, points = "points", tuple(rings.around)
            for point in points:
                self._point("rings.around", point, {})
            if len(points) < 3:
                self.complain("rings.around", None, "An outline has three corners or more.")
        return RingsRule(
            around,
            points,
            sides,
            across,
            tuple(rings.widths),
            rings.count,
            rings.corner,
            self.place("rings"),
        )
