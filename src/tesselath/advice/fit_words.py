"""Words: what a fit proposes and why, as a maker would say it.

Comes in: candidates. Goes out: what to do, and what it gains, in short sentences.
"""

from __future__ import annotations

from collections.abc import Sequence

from tesselath.advice.notes import Note
from tesselath.design import Design
from tesselath.fit import LEAST_THIN, Candidate, Change, is_on_tape, strip_width
from tesselath.measure import ALIKE, show_angle, show_number

__all__ = ["describe_changes", "describe_reasons", "list_heading", "note_shift", "show_exact"]

_STILL_THIN = "a piece is still under half a strip thick"
_STILL_SHORT = "a piece still has less than a strip on the fence"

#: What changes by less than this, in strips, is not told.
_HAIR = 0.02


def describe_changes(given: Design, candidate: Candidate) -> str:
    """Say what to do for a layout.

    Parameters
    ----------
    given : Design
        The design as it is.

    Returns
    -------
    str
        What to do, one clause a change, without a full stop.
    """
    keys = {change.key: change for change in candidate.changes}
    told = []
    if keys.keys() & {"opening.width", "opening.depth"}:
        size = candidate.design.opening
        assert size.width is not None
        assert size.depth is not None
        unit = given.units
        told.append(
            f"make the opening {given.show_plain(size.width).removesuffix(f' {unit}')} x "
            f"{given.show_plain(size.depth)}"
        )
    width = strip_width(candidate.design) or 0.0
    others = (change for change in candidate.changes if not change.key.startswith("opening."))
    told += [_told(change, given, width) for change in others]
    return ", ".join(told)


def _told(change: Change, design: Design, width: float) -> str:
    """One clause for a change."""
    if isinstance(change.value, tuple):
        return _shifted(change.value, design)
    match change.key.split("."):
        case ["border", number, _]:
            name = "the border" if len(design.borders) == 1 else f"border {number}"
            return f"make {name} {show_exact(change.value, design)} wide"
        case ["field", "angle"]:
            return f"turn the pattern to {show_angle(change.value)}"
        case ["strips", "width"] | ["field", "set", "w"]:
            return _ripped(change.value, design)
        case ["field", "set", name]:
            size = design.field.filling.pattern.size(name)
            label = size.label if size is not None and size.label else name
            if change.kind == "number":
                long = change.value * width
                beside = f" ({design.show_plain(long)})" if "in widths" in label else ""
                return f"{label} {show_number(change.value)}{beside}"
            return f"{label} {show_exact(change.value, design)}"
        case _:
            raise KeyError(change.key)


def _ripped(width: float, design: Design) -> str:
    """Rip the strips; off the marks, ten side by side are easier to measure than one."""
    now = strip_width(design)
    verb = "rip the strips to" if now is None or width < now else "take strips of"
    told = f"{verb} {show_exact(width, design)}"
    if is_on_tape(width, design.tape):
        return told
    return f"{told} (ten side by side measure {design.show_plain(10 * width)})"


def _shifted(shift: tuple[float, float], design: Design) -> str:
    """Move the pattern from where it lies unshifted."""
    ways = []
    for value, (more, less) in zip(shift, (("right", "left"), ("back", "forward")), strict=True):
        if abs(value) > ALIKE:
            ways.append(f"{design.show_plain(abs(value))} {more if value > 0 else less}")
    return (
        f"move the pattern {' and '.join(ways)} from the centre" if ways else "centre the pattern"
    )


def describe_reasons(given: Candidate, candidate: Candidate) -> tuple[str, ...]:
    """Say what a layout gains against the design as given, and what it costs.

    Parameters
    ----------
    given, candidate : Candidate
        The design as given, and the layout.
    """
    old, new = given.score, candidate.score
    told = _gained(given, candidate)
    if not new.holds:
        told.append(_STILL_THIN if new.thin < LEAST_THIN else _STILL_SHORT)
    if new.parts != old.parts:
        told.append(f"{new.parts} parts instead of {old.parts}")
    else:
        told.append(f"{new.parts} parts as before")
    for alike, before, said in ((new, old, "alike"), (old, new, "no longer alike")):
        sides = _alike_here_only(alike.alike, before.alike)
        if sides:
            told.append(f"{' and '.join(sides)} {said}")
    if abs(new.waste - old.waste) >= 0.01:
        told.append(f"{_percent(new.waste)} falls off instead of {_percent(old.waste)}")
    if new.by_hand != old.by_hand:
        told.append(f"parts at angles this saw is not set to: {new.by_hand}, was {old.by_hand}")
    return tuple(told)


def _gained(given: Candidate, candidate: Candidate) -> list[str]:
    """What comes out whole, and how the smallest measures have grown or shrunk."""
    design, old, new = given.design, given.score, candidate.score
    told = []
    if new.cut == 0 and old.cut:
        told.append("every piece is whole")
    elif candidate.promise:
        told.append(candidate.promise)
    # A strip that is ripped takes its pieces with it: only what changes in strips is told.
    if abs(new.thin - old.thin) > _HAIR:
        told += _grown("thinnest piece", old.thinnest, new.thinnest, design)
    if abs(min(new.short, 3.0) - min(old.short, 3.0)) > _HAIR:
        told += _grown("shortest edge on the fence", old.shortest, new.shortest, design)
    return told


def _alike_here_only(here: Sequence[bool], there: Sequence[bool]) -> list[str]:
    """The pairs of edges that are alike in one layout and not in the other."""
    sides = zip(("left and right", "front and back"), here, there, strict=True)
    return [side for side, one, other in sides if one and not other]


def _grown(what: str, old: float, new: float, design: Design) -> list[str]:
    """A measure that has grown or shrunk by what the tape can show."""
    before, after = (design.show_plain(value) for value in (old, new))
    if before == after:
        return []
    verb = "grows" if new > old else "shrinks"
    return [f"{what} {verb} from {before.removesuffix(f' {design.units}')} to {after}"]


def note_shift(design: Design, *, asked: object) -> tuple[Note, ...]:
    """Say where the fit has put the pattern, where the design leaves that to it."""
    shift = design.field.filling.shift
    if asked != "best" or isinstance(shift, str):
        return ()
    told = _shifted(shift, design).replace("move the pattern", "The fit moves the pattern")
    return (Note("shift", f"{told.replace('centre the', 'The fit centres the')}."),)


def list_heading(keep: str, design: Design) -> str:
    """Name a list of layouts."""
    if keep == "strip":
        width = strip_width(design)
        told = "" if width is None else f" of {show_exact(width, design)}"
        return f"Keep the strips{told}, cut the lengths and make the opening to suit"
    return "Keep the opening, rip the strips and cut the lengths to suit"


def show_exact(mm: float, design: Design) -> str:
    """Print a length to the tape; off its marks in decimals, with the nearest mark beside it."""
    near = design.show_plain(mm)
    if is_on_tape(mm, design.tape):
        return near
    if design.units == "mm":
        return f"{show_number(mm, decimals=2)} mm"
    return f"{show_number(mm / 25.4, decimals=3)} in ({near.removesuffix(' in')})"


def _percent(share: float) -> str:
    return f"{show_number(100 * share, decimals=0)} %"
