"""Prove: tries a pattern at many sizes and says that it tiles, or what fails and where.

Comes in: a pattern. Goes out: a ``Proof``. Refuses: patterns that cannot be laid at their own
sizes, or that would never come to an end, each with one sentence.

At every size three things are looked at: one repeat as it is written (area, overlaps, bare
places), openings as a maker gets them (laid, clipped, straight and turned, with and without a
gap), and points picked by chance, each of which must lie in exactly one piece. A figure that
stands alone has no repeat; there no piece may lie on another, and the proof says what it covers.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from random import Random

import numpy as np

from tesselath.errors import PatternError
from tesselath.field import cell_steps, find_repeat, pattern_symmetry
from tesselath.measure import show_number
from tesselath.pattern import Pattern
from tesselath.prove.proof import KINDS, Cover, Proof, RepeatFigures, TilingFault
from tesselath.prove.prove_figure import check_figure
from tesselath.prove.prove_opening import check_opening
from tesselath.prove.prove_repeat import POINTS, check_repeat
from tesselath.prove.trials import draw_settings, refuse_endless, settle_trial, trial_openings
from tesselath.shape import as_outline

__all__ = ["prove_pattern"]

Settings = Mapping[str, float]

#: After so many pieces no further sizes are tried; the proof says how many there were.
_MOST_PIECES = 20_000

#: The opening that the repeat and the figure are looked at in: about 24 by 15 in.
_BOX = (610.0, 381.0)


def prove_pattern(pattern: Pattern, *, rounds: int = 8, seed: int = 1) -> Proof:
    """Prove that a pattern tiles, or say which condition fails and where.

    Parameters
    ----------
    rounds : int
        At how many sizes beside its own it is tried [count].
    seed : int
        Which sizes these are; the same seed gives the same proof.

    Returns
    -------
    Proof
        What was tried and what came of it.

    Notes
    -----
    That strips of the right area without an overlap fill the plane
    follows from the repeat being periodic; see ``prove_repeat``.

    Examples
    --------
    >>> from tesselath.pattern import find_pattern
    >>> proof = prove_pattern(find_pattern("herringbone"), rounds=1)
    >>> proof.tiles, proof.group, proof.group_with_tones
    (True, 'pgg', 'p2')
    """
    rng = Random(seed)
    tried: list[Settings] = [{}]
    while len(tried) <= rounds and pattern.sizes:
        settings = draw_settings(pattern, rng)
        if settings is None:
            break
        tried.append(settings)
    tally = _Tally()
    for number, chosen in enumerate(tried):
        if number and tally.pieces > _MOST_PIECES:
            break
        tally.sizes += 1
        found = _prove_sizes(pattern, chosen, rng=Random(1000 * seed + number), tally=tally)
        tally.add(_in_words(pattern, chosen, found))
    faults = [replace(fault, breaks=_breakers(pattern, fault, seed)) for fault in tally.faults()]
    values = settle_trial(pattern, {}, gap=0.0, box=_BOX)
    assert values is not None
    one = two = None
    if pattern.fills and not faults:
        one = pattern_symmetry(pattern, values)
        two = pattern_symmetry(pattern, values, tones=True) if pattern.tones else None
    return Proof(
        name=pattern.name,
        title=pattern.title,
        stands_alone=not pattern.fills,
        sizes_tried=tally.sizes,
        openings=tally.openings,
        points=tally.points,
        faults=tuple(faults),
        repeat=_repeat_figures(pattern, values),
        cover=tally.cover,
        group=one.group if one else None,
        group_with_tones=two.group if two else None,
        notes=tuple(_notes(pattern, tally, rounds)),
    )


@dataclass(slots=True)
class _Tally:
    """What has been tried so far, and what was found."""

    sizes: int = 0
    openings: int = 0
    points: int = 0
    pieces: int = 0
    cover: Cover | None = None
    found: dict[str, TilingFault] = field(default_factory=dict)

    def add(self, faults: Sequence[TilingFault]) -> None:
        """Keep the first fault of each kind, and count the sizes at which it shows."""
        for kind in {fault.kind: None for fault in faults}:
            if kind in self.found:
                self.found[kind] = replace(self.found[kind], found=self.found[kind].found + 1)
            else:
                self.found[kind] = next(fault for fault in faults if fault.kind == kind)

    def faults(self) -> list[TilingFault]:
        return [self.found[kind] for kind in KINDS if kind in self.found]


def _prove_sizes(
    pattern: Pattern, settings: Settings, *, rng: Random, tally: _Tally
) -> list[TilingFault]:
    """Look at everything at one set of sizes; what goes wrong with other sizes is a fault."""
    try:
        refuse_endless(pattern, settings)
        return _look(pattern, settings, rng, tally)
    except PatternError as error:
        if not settings:
            raise
        fault = error.faults[0]
        text = fault.rule if fault.wrote is None else f'"{fault.wrote}": {fault.rule}'
        return [TilingFault("refused", text, fault.place)]


def _look(pattern: Pattern, settings: Settings, rng: Random, tally: _Tally) -> list[TilingFault]:
    """Look at the repeat or the figure, and only if nothing is wrong there at openings."""
    trials = trial_openings(pattern, settings, rng=rng, every=not settings)
    for gap in (0.0, max(trial.gap for trial in trials)):
        faults = _look_as_written(pattern, settings, gap, rng, tally)
        if faults:
            return faults
    for trial in trials:
        values = settle_trial(pattern, settings, gap=trial.gap, box=trial.box, softly=True)
        if values is None:
            continue  # a relation of the pattern rules this opening out
        found, pieces = check_opening(pattern, values, trial, rng=rng)
        faults += found
        tally.pieces += pieces
        tally.points += POINTS
        tally.openings += 1
    return faults


def _look_as_written(
    pattern: Pattern, settings: Settings, gap: float, rng: Random, tally: _Tally
) -> list[TilingFault]:
    """Look at the repeat, or the figure, as the file has it, with a gap added where it says so."""
    width, depth = _BOX
    zone = as_outline(np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * (width / 2, depth / 2))
    values = settle_trial(pattern, settings, gap=gap, box=_BOX, softly=bool(gap))
    if values is None:
        return []
    faults: list[TilingFault] = []
    if cell_steps(pattern, values) is not None:
        faults, strips = check_repeat(pattern, values, zone=zone, rng=rng)
        tally.pieces += strips
        tally.points += POINTS
    elif not pattern.fills:
        faults, cover = check_figure(pattern, values, zone=zone)
        tally.pieces += cover.pieces
        tally.cover = tally.cover or cover
    where = f"a gap of {show_number(gap)} mm" if gap else ""
    return [replace(fault, opening=where) for fault in faults]


def _in_words(
    pattern: Pattern, settings: Settings, faults: Sequence[TilingFault]
) -> list[TilingFault]:
    """Add the sizes at which faults were found."""
    all_sizes = tuple((s.name, settings.get(s.name, s.value)) for s in pattern.sizes)
    return [replace(f, settings=all_sizes, by_default=not settings) for f in faults]


def _breakers(pattern: Pattern, fault: TilingFault, seed: int) -> tuple[str, ...]:
    """Name the sizes each of which, set by itself as it was, brings a fault about."""
    if fault.by_default:
        return ()
    names = []
    for name, value in fault.settings:
        size = pattern.size(name)
        if size is None or value == size.value:
            continue
        alone = {name: value}
        if settle_trial(pattern, alone, gap=0.0, box=_BOX, softly=True) is None:
            continue
        found = _prove_sizes(pattern, alone, rng=Random(seed), tally=_Tally())
        if any(other.kind == fault.kind for other in found):
            names.append(name)
    return tuple(names)


def _repeat_figures(pattern: Pattern, values: Mapping[str, float]) -> RepeatFigures | None:
    repeat = find_repeat(pattern, values) if pattern.fills else None
    if repeat is None:
        return None
    (ax, ay), (bx, by) = repeat.steps
    return RepeatFigures(repeat.steps, len(repeat.outlines), abs(ax * by - ay * bx))


def _notes(pattern: Pattern, tally: _Tally, rounds: int) -> list[str]:
    notes = []
    if pattern.sizes and tally.sizes <= rounds:
        notes.append(
            f"Only {tally.sizes} of {rounds + 1} sizes were tried: the pattern is large, or its "
            "relations leave little choice."
        )
    if tally.openings == 0 and not tally.found:
        notes.append("No opening was tried: a relation of the pattern rules them all out.")
    if pattern.rings is not None and pattern.fills:
        notes.append("Once the count of its rings is used up, the middle stays bare.")
    return notes
