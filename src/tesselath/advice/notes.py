"""Notes: doubts and cautions as data, one line per class of trouble.

Comes in: what the stages found. Goes out: notes, each with the pieces it concerns; codes that begin
with "caution" are the usual cautions, which every plan carries.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from tesselath.design import Design, Filling
from tesselath.field import Piece
from tesselath.measure import ALIKE, counted, show_angle, show_area
from tesselath.parts import Part, numbers_of
from tesselath.shape import Outline, area, thickness
from tesselath.stock import NARROWEST_RIP, SHORTEST_RIP

__all__ = ["Note", "find_notes", "usual_width"]

_INCH = 25.4

#: With fewer strips than this across the short side a motif cannot be read; common practice.
_FEWEST_ACROSS = 5


@dataclass(frozen=True, slots=True)
class Note:
    """One line of advice.

    ``code`` names the class of trouble; codes that begin with "caution" are the usual
    cautions, which every plan carries. ``numbers`` are the pieces concerned.
    """

    code: str
    text: str
    numbers: tuple[int, ...] = ()


def find_notes(
    design: Design,
    *,
    pieces: Sequence[Piece],
    parts: Sequence[Part],
    field: Outline,
    tones: Sequence[str],
    vanished: int,
    split: int,
    uncovered_area: float,
    alike: int = 0,
    may_move: bool = True,
) -> tuple[Note, ...]:
    """Gather what a seasoned maker would say of a plan, one line a class.

    Source: common practice, where no other is named beside a figure.

    Parameters
    ----------
    pieces, parts : sequence
        What is to be cut.
    field : array (n, 2)
        The outline of the strips [mm].
    tones : sequence of str
        The tones the patterns use.
    vanished, split : int
        Strips of which the gap left nothing, or several parts [count].
    uncovered_area : float
        What no strip covers [mm2].
    alike : int
        Pairs of one wood of a mixed lot that lie side by side [count].
    may_move : bool
        Whether the pattern may still be laid otherwise; not where some of it is cut.

    Returns
    -------
    tuple of Note
        Troubles first, then the usual cautions.
    """
    show = design.show
    notes = [
        *_layout_notes(
            design, pieces, parts, field, show, vanished, split, uncovered_area, may_move
        ),
        *_lot_notes(alike),
        *_tool_notes(design, parts, show),
        *_stock_notes(design, tones),
    ]
    return tuple(notes)


_Show = Callable[[float], str]


_INSTEAD = "tesselath fit looks for what removes them."
_NOW = "Cut such a piece by hand, to its place as measured."


def _layout_notes(
    design: Design,
    pieces: Sequence[Piece],
    parts: Sequence[Part],
    field: Outline,
    show: _Show,
    vanished: int,
    split: int,
    uncovered_area: float,
    may_move: bool,
) -> list[Note]:
    notes = []
    width = usual_width(design, parts)
    thin = [(thickness(p.outline), p) for p in pieces]
    slivers = [(t, p) for t, p in thin if t < width / 2 - ALIKE]
    if slivers:
        least, worst = min(slivers, key=lambda s: (round(s[0], 3), s[1].number))
        notes.append(
            Note(
                "sliver",
                f"{counted(len(slivers), 'piece is', 'pieces are')} thinner than half a strip. The "
                f"thinnest, piece {worst.number} ({_where(worst.outline, field)}), is "
                f"{show(least)}. {_INSTEAD if may_move else _NOW}",
                tuple(p.number for _, p in slivers),
            )
        )
    short_side = float(np.min(np.ptp(np.asarray(field), axis=0)))
    if width and short_side / width < _FEWEST_ACROSS:
        across = short_side / width
        notes.append(
            Note(
                "coarse",
                f"Only {across:.1f} strips fit across the short side; the motif is too "
                "coarse to be read. Take narrower strips.",
            )
        )
    if vanished:
        notes.append(
            Note(
                "vanished",
                f"{counted(vanished, 'sliver', 'slivers')} at the edge would be "
                "narrower than the gap and are left out; the gap is wider there.",
            )
        )
    if split:
        notes.append(
            Note(
                "split",
                f"The gap parts {counted(split, 'piece', 'pieces')} in two; each part is "
                "a piece of its own.",
            )
        )
    if uncovered_area > 1e-6 * area(field):
        least_shown = 64.516 if design.units == "in" else 1000.0  # 0.1 sq in, 0.001 m²
        bare = f"{show_area(uncovered_area, units=design.units)} of the field are"
        if uncovered_area < least_shown:
            bare = f"Under {show_area(least_shown, units=design.units)} of the field is"
        notes.append(
            Note(
                "uncovered",
                f"{bare} covered by no strip; the map crosses "
                f"{'it' if uncovered_area < least_shown else 'them'} out.",
            )
        )
    return notes


def _lot_notes(alike: int) -> list[Note]:
    if not alike:
        return []
    pairs = counted(alike, "pair of one wood lies", "pairs of one wood lie")
    return [
        Note(
            "alike",
            f"In the mixed lot {pairs} side by side; more woods, other shares or another "
            "seed make it fewer.",
        )
    ]


def _tool_notes(design: Design, parts: Sequence[Part], show: _Show) -> list[Note]:
    notes = []
    ripped = [p for p in parts if p.ripped]
    if ripped:
        widths = sorted({round(p.width, 3) for p in ripped}, reverse=True)
        count = sum(p.count for p in ripped)
        notes.append(
            Note(
                "rip",
                f"{counted(count, 'piece comes', 'pieces come')} from sticks ripped narrower "
                f"({', '.join(dict.fromkeys(map(show, widths)))}). Rip the stick full length, "
                f"before crosscutting; never rip a piece under {show(SHORTEST_RIP)}.",
                numbers_of(ripped),
            )
        )
    narrow = [p for p in ripped if p.width < NARROWEST_RIP - ALIKE]
    if narrow:
        notes.append(
            Note(
                "too-narrow-to-rip",
                f"{_parts(narrow)} narrower than "
                f"{show(NARROWEST_RIP)}: plane or knife, or move the layout.",
                numbers_of(narrow),
            )
        )
    steep = [p for p in parts if p.too_steep and p.handling != "make up"]
    if steep:
        notes.append(
            Note(
                "steep",
                f"{_parts(steep, 'has', 'have')} a cut steeper than the saw's "
                f"{show_angle(design.saw.largest_mitre)}: not at the mitre saw as it stands. "
                "Cut the blank square, mark the run over the width (setups.csv) and saw by hand "
                "or with a taper sled; the complement with the piece square to the fence only "
                "clamped in a carrier, on a piece 12 in (305 mm) or longer.",
                numbers_of(steep),
            )
        )
    dented = [p for p in parts if any(c.op == "notch" for c in p.cuts)]
    if dented:
        notes.append(
            Note(
                "another-saw",
                f"{_parts(dented, 'has', 'have')} a notch: band, scroll or "
                "coping saw, never the mitre saw.",
                numbers_of(dented),
            )
        )
    corners = [
        p
        for p in parts
        if p.handling == "mark and hand saw"
        and p not in dented
        and p not in steep
        and not p.off_list
    ]
    if corners:
        notes.append(
            Note(
                "corner-cuts",
                f"{_parts(corners, 'has', 'have')} more than two cuts: cut the "
                "blank square, mark the rest from the map, saw by hand and shoot to the line.",
                numbers_of(corners),
            )
        )
    made_up = [p for p in parts if p.handling == "make up"]
    if made_up:
        notes.append(
            Note(
                "made-up",
                f"{_parts(made_up)} wider than a strip: glue them up from "
                "several strips or cut them from a board.",
                numbers_of(made_up),
            )
        )
    far = [p for p in parts if p.handling != "make up" and p.on_fence > design.saw.stop_reach]
    if far:
        notes.append(
            Note(
                "stop-reach",
                f"{_parts(far)} longer than the stop reaches "
                f"({show(design.saw.stop_reach)}); mark them with a rod.",
                numbers_of(far),
            )
        )
    return notes


def _stock_notes(design: Design, tones: Sequence[str]) -> list[Note]:
    notes = []
    bare = [tone for tone in tones if tone not in design.tones]
    if bare:
        notes.append(
            Note(
                "tone-as-wood",
                f"[tones] says no wood for {', '.join(bare)}; the name of the "
                "tone is taken for a wood.",
            )
        )
    rings = [
        n
        for n, f in _fillings(design)
        if f.pattern.rings is not None and f.angle and f.pattern.rings.around == "zone"
    ]
    if rings:
        notes.append(
            Note(
                "angle-unused",
                f"Rings laid round their zone are not turned; the angle of "
                f"{', '.join(rings)} has no effect.",
            )
        )
    if design.strips.width is not None and design.field.filling.pattern.size("w") is None:
        notes.append(
            Note(
                "derived-width",
                f"The pattern {design.field.filling.pattern.name} works out its "
                "own strip width; [strips] width is not used for it.",
            )
        )
    return notes


def _fillings(design: Design) -> list[tuple[str, Filling]]:
    """What fills each zone that has a pattern."""
    found = [("field", design.field.filling)]
    found += [(f"border.{n}", b.filling) for n, b in enumerate(design.borders, 1) if b.filling]
    return found + [(f"medallion.{n}", m.filling) for n, m in enumerate(design.medallions, 1)]


def usual_width(design: Design, parts: Sequence[Part]) -> float:
    """The width of the strip that most of the pieces come from, which stands for "a strip"."""
    counts: dict[float, int] = {}
    for part in parts:
        width = round(part.strip_width or part.width, 2)
        counts[width] = counts.get(width, 0) + part.count
    commonest = max(counts.items(), key=lambda wc: (wc[1], wc[0]), default=None)
    return commonest[0] if commonest else design.strips.width or 0.0


def _where(outline: Outline, field: Outline) -> str:
    """Say in words where in the field a piece lies."""
    x, y = outline.mean(axis=0)
    box = np.ptp(np.asarray(field), axis=0)
    middle = (field.max(axis=0) + field.min(axis=0)) / 2
    right, back = (x - middle[0]) / box[0], (y - middle[1]) / box[1]
    words = []
    if abs(back) > 1 / 3:
        words.append("back" if back > 0 else "front")
    if abs(right) > 1 / 3:
        words.append("right" if right > 0 else "left")
    return " ".join(words) if words else "near the middle"


def _parts(parts: Sequence[Part], one: str = "is", many: str = "are") -> str:
    """Name the parts as the subject of a sentence."""
    marks = [part.mark for part in parts]
    if len(marks) == 1:
        return f"Part {marks[0]} {one}"
    listed = ", ".join(marks) if len(marks) <= 12 else ", ".join(marks[:12]) + " and others"
    return f"Parts {listed} {many}"
