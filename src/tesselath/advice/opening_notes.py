"""What a seasoned maker says of an opening: how well it was measured, how it runs off, its curves.

Comes in: the design, the opening as solved, its tapers. Goes out: notes.

Six readings of a four-sided opening are one too many. What they miss each other by tells that
something is wrong, and never what: every reading could be the one. A short side hardly moves the
diagonals, so an error in one hides; it is measured twice.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from tesselath.advice.notes import Note
from tesselath.design import Design
from tesselath.field import EdgeTaper
from tesselath.shape import CHORD, DIAGONALS, SIDES, MeasuredOpening, Outline

__all__ = ["note_opening", "say_edge"]

#: More than three marks of the tape in all is no longer reading error: 3 standard deviations.
_MOST_MARKS = 3.0

#: A taper of more than this share of a strip shows beside strips parallel to it; own choice.
_SHOWS = 0.25

_Show = Callable[[float], str]


def note_opening(
    design: Design,
    *,
    opening: Outline,
    measured: MeasuredOpening | None,
    tapers: Sequence[EdgeTaper],
    strip: float,
) -> tuple[Note, ...]:
    """Say what is to be known of an opening before anything is cut to it.

    One standard deviation of a reading is taken as a mark of the tape.

    Parameters
    ----------
    opening : array (n, 2)
        The clear area inside the frame [mm].
    measured : MeasuredOpening or None
        The opening as it comes out of its readings, if it was measured.
    tapers : sequence of EdgeTaper
        How its edges run off; empty where it was not measured.
    strip : float
        The width of the strips [mm].
    """
    show = design.show
    notes = [] if measured is None else [_readings(design, measured, show)]
    if any(edge.wide_end for edge in tapers):
        notes.append(_taper(design, tapers, strip, show))
    return (*notes, *_curves(design, opening))


def _readings(design: Design, measured: MeasuredOpening, show: _Show) -> Note:
    """Tell how far six readings miss each other, or what the sixth should read."""
    read = design.opening.measured
    short = _short_sides(measured)
    twice = f"Measure the short sides ({short}) twice: the diagonals hardly feel an error there."
    if measured.misclosure is None or measured.off is None:
        missing = next(key for key in DIAGONALS if key not in read)
        return Note(
            "opening-measured",
            "Four sides and one diagonal fix the opening, and nothing checks them. The other "
            f"diagonal, {_words(missing)}, should read {show(measured.fitted[missing])}: try it "
            f"with the tape before anything is cut. {twice}",
        )
    most = max(abs(read[key] - measured.fitted[key]) for key in read)
    if abs(measured.misclosure) > _MOST_MARKS * design.tape:
        return Note(
            "opening-misread",
            f"The six readings of the opening do not agree: by the sides and one diagonal, the "
            f"other should read {show(read[DIAGONALS[1]] - measured.off)}, and it reads "
            f"{show(read[DIAGONALS[1]])}. That is more than the tape explains, so one of the six "
            f"is wrong; which one, they cannot tell. Measure all six again before anything is "
            f"cut. {twice}",
        )
    return Note(
        "opening-measured",
        f"The six readings of the opening agree as well as the tape can tell; they are evened out, "
        f"none by more than {_fine(most, design)}. {twice}",
    )


def _fine(mm: float, design: Design) -> str:
    """Print a length finer than the tape."""
    shown, least = (f"{mm / 25.4:.3f}", "0.001") if design.units == "in" else (f"{mm:.1f}", "0.1")
    return f"{shown if float(shown) else least} {design.units}"


def _short_sides(measured: MeasuredOpening) -> str:
    a, b, c, d = (measured.fitted[side] for side in SIDES)
    return "left and right" if a + c >= b + d else "front and back"


def _words(key: str) -> str:
    return key.replace("_", " ")


def _taper(design: Design, tapers: Sequence[EdgeTaper], strip: float, show: _Show) -> Note:
    """Tell edge by edge how the opening runs off, and who takes it up."""
    edges = "; ".join(say_edge(edge, show) for edge in tapers if edge.wide_end)
    worst = max(tapers, key=lambda edge: round(edge.taper, 6))
    if worst.wide is None:
        text = (
            f"The opening is out of square, and the field is cut to it: {edges}. "
            "A border would take it up."
        )
        beside = strip
    else:
        widest = design.show_plain(max(edge.wide or 0.0 for edge in tapers), up=True)
        text = (
            "The opening is out of square; the outermost border takes it up, and the field inside "
            f"is square. Its strips are ripped {widest} wide; cut the pieces with parallel edges, "
            f"then plane the outer edge to the line: {edges}."
        )
        beside = design.borders[0].width
    if worst.taper > _SHOWS * beside:
        text += (
            f" {worst.taper / beside:.0%} of a strip's width at the {worst.name} will show, beside "
            "strips parallel to it more than beside slanting ones."
        )
    return Note("opening-taper", text)


def say_edge(edge: EdgeTaper, show: _Show) -> str:
    """Say how an edge runs off.

    >>> say_edge(EdgeTaper("front", 1000.0, -0.1, 2.0, "right"), lambda mm: f"{mm:g} mm")
    'front 2 mm farther out at the right'
    """
    if edge.wide is None or edge.narrow is None:
        return f"{edge.name} {show(edge.taper)} farther out at the {edge.wide_end}"
    wide_end, narrow_end = edge.wide_end, _OTHER[edge.wide_end]
    return (
        f"{edge.name} {show(edge.wide)} at the {wide_end}, {show(edge.narrow)} at the {narrow_end}"
    )


_OTHER = {"left": "right", "right": "left", "front": "back", "back": "front"}


def _curves(design: Design, opening: Outline) -> list[Note]:
    """Tell that curves are drawn as chords, and what that asks of the bench."""
    size = design.opening
    if not (size.oval or size.corner_radius):
        return []
    what = "The oval is" if size.oval else "The rounded corners are"
    off = f"{CHORD / 25.4:.3f} in" if design.units == "in" else f"{CHORD:.1f} mm"
    text = (
        f"{what} drawn with straight chords, {len(opening)} corners in all, nowhere more than "
        f"{off} inside the true curve. Lay edge pieces on, mark them from a template of the "
        "opening, saw outside the line and sand to it."
    )
    if any(border.corner != "mitre" for border in design.borders):
        text += " A border that follows a curve is joined half-way round it, whatever its corner."
    return [Note("opening-curved", text)]
