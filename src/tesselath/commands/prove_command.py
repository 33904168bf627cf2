"""The command that proves a pattern.

Comes in: the name of a pattern or a path, and how often to try. Goes out: sentences or JSON, a
drawing of the fault where one is asked for, and the exit status: 0 it holds, 1 it does not.
Refuses: what ``prove`` refuses.
"""

from __future__ import annotations

import sys
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tesselath.commands.answers import json_option, print_json, says_what_is_wrong

if TYPE_CHECKING:
    from tesselath.pattern import Pattern
    from tesselath.prove import Proof, TilingFault

__all__ = ["prove"]

_WIDTH = 96


@click.command(epilog="Example: tesselath prove herringbone --rounds 20")
@click.argument("pattern", metavar="PATTERN")
@click.option(
    "--rounds",
    type=click.IntRange(0, 1000),
    default=8,
    show_default=True,
    help="At how many sizes beside its own it is tried.",
)
@click.option(
    "--seed",
    type=click.IntRange(min=0),
    default=1,
    show_default=True,
    help="Another number tries other sizes.",
)
@click.option(
    "--draw",
    type=click.Path(path_type=Path, dir_okay=False),
    default=None,
    metavar="FILE.svg",
    help="Draw the place where it fails.",
)
@click.option("--force", is_flag=True, help="Replace a drawing of that name.")
@json_option
@says_what_is_wrong
def prove(
    pattern: str, *, rounds: int, seed: int, draw: Path | None, force: bool, as_json: bool
) -> None:
    """Prove that a pattern tiles, or say which condition fails and where.

    PATTERN is the name of a shipped pattern, or a file of your own, my-own.toml. It is tried at
    its own sizes and at others within their limits, straight and turned, with and without a gap.
    """
    from tesselath.pattern import find_pattern
    from tesselath.prove import prove_pattern

    found = find_pattern(pattern)
    proof = prove_pattern(found, rounds=rounds, seed=seed)
    drawn = _draw(proof, draw, force=force) if draw is not None else None
    if as_json:
        print_json({**_table(proof), "seed": seed, "drawing": drawn})
    else:
        click.echo("\n".join(_sentences(found, proof)))
        if draw is not None:
            click.echo(f"Drew the place in {drawn}." if drawn else "There is no fault to draw.")
    if not proof.holds:
        sys.exit(1)


def _draw(proof: Proof, path: Path, *, force: bool) -> str | None:
    """Draw the first fault that has a place; None when there is none."""
    from tesselath.draw.maps import draw_fault, may_be_drawn
    from tesselath.draw.paper import write_svg
    from tesselath.errors import Fault, OutputError
    from tesselath.files import write_file

    if path.suffix.lower() != ".svg":
        rule = "The drawing is an SVG file; its name ends in .svg."
        raise OutputError(Fault(str(path), None, rule, f"Try {path.name}.svg."))
    fault = next((fault for fault in proof.faults if may_be_drawn(fault)), None)
    if fault is None:
        return None
    write_file(path, write_svg(draw_fault(fault, title=proof.title)), force=force)
    return str(path)


def _sentences(pattern: Pattern, proof: Proof) -> list[str]:
    """Say what came of it, one paragraph a finding."""
    lines = [_verdict(proof)]
    if proof.faults:
        for fault in proof.faults:
            lines += _wrapped(f"{fault.kind}: {_where(fault)}{fault.text}", first="  ")
            lines += [f"    {line}" for line in _details(pattern, proof, fault)]
        return lines
    lines += _wrapped(_tried(proof), first="  ")
    if proof.cover is not None:
        lines += _wrapped(_covered(proof), first="  ")
    if proof.repeat is not None:
        lines += _wrapped(_repeats(proof), first="  ")
    lines += _wrapped(_symmetry(proof), first="  ")
    for note in proof.notes:
        lines += _wrapped(note, first="  ")
    return lines


def _verdict(proof: Proof) -> str:
    if not proof.holds:
        return f"{proof.name}: does not hold."
    if proof.stands_alone:
        return f"{proof.name}: holds. It stands alone; no piece lies on another."
    return f"{proof.name}: holds. It fills any opening without a gap or an overlap."


def _tried(proof: Proof) -> str:
    sizes = _count(proof.sizes_tried - 1, "other") if proof.sizes_tried > 1 else ""
    text = f"Tried at its own sizes{f' and at {sizes} within their limits' if sizes else ''}"
    if proof.openings:
        text += (
            f", in {_count(proof.openings, 'opening')}, straight and turned, with and without a gap"
        )
    return f"{text}; {proof.points:,} points looked at one by one."


def _covered(proof: Proof) -> str:
    from tesselath.measure import show_area

    cover = proof.cover
    assert cover is not None
    text = (
        f"At its own sizes {_count(cover.pieces, 'piece')} cover "
        f"{show_area(cover.area, units='in')} within {_length(cover.width)} by "
        f"{_length(cover.depth)}; what lies round them stays bare."
    )
    if cover.holes:
        text += f" {_count(cover.holes, 'place')} within, {show_area(cover.bare, units='in')}, too."
    return text


def _repeats(proof: Proof) -> str:
    from tesselath.measure import show_area, show_number

    repeat = proof.repeat
    assert repeat is not None
    ways = " and ".join(
        f"({', '.join(show_number(v, decimals=2) for v in step)})" for step in repeat.steps
    )
    return (
        f"One repeat has {_count(repeat.pieces, 'strip')} and "
        f"{show_area(repeat.area, units='in')}; it is moved by {ways} mm."
    )


def _symmetry(proof: Proof) -> str:
    from tesselath.field import GROUP_WORDS

    if proof.stands_alone:
        return ""
    if proof.group is None:
        return "Nothing repeats, so there is no wallpaper group."
    text = f"Symmetry of the outlines: {proof.group}, {GROUP_WORDS[proof.group]}."
    if proof.group_with_tones:
        text += f" With its tones: {proof.group_with_tones}, {GROUP_WORDS[proof.group_with_tones]}."
    return text


def _where(fault: TilingFault) -> str:
    return f"{fault.place}: " if "," in fault.place else ""


def _details(pattern: Pattern, proof: Proof, fault: TilingFault) -> list[str]:
    """Say where, at which sizes, how often, and which size alone does it."""
    from tesselath.measure import show_area

    lines = []
    if fault.at is not None:
        zero = "opening's middle" if fault.opening.startswith("an ") else "pattern's origin"
        x, y = (_length(value) for value in fault.at)
        place = f"at x {x}, y {y} from the {zero}"
        if fault.pieces:
            place += (
                f", {'between' if len(fault.pieces) > 1 else 'at'} {' and '.join(fault.pieces)}"
            )
        if fault.area:
            place += f": {show_area(fault.area, units='in')}"
        lines += _wrapped(place)
    if fault.opening:
        word = "in" if fault.opening.startswith("an ") else "with"
        lines += _wrapped(f"{word} {fault.opening}")
    if fault.settings:
        sizes = ", ".join(f"{name} = {_size(pattern, name, v)}" for name, v in fault.settings)
        lines += _wrapped(f"{'its own sizes' if fault.by_default else 'sizes'}: {sizes}")
    often = f"found at {fault.found} of {_count(proof.sizes_tried, 'set')} of sizes"
    if not fault.by_default:
        often += ", not at its own"
    if fault.breaks:
        often += f"; {' or '.join(fault.breaks)} alone brings it about"
    return [*lines, often]


def _size(pattern: Pattern, name: str, value: float) -> str:
    from tesselath.measure import show_number
    from tesselath.pattern import show_size

    size = pattern.size(name)
    if size is None or size.kind == "number":
        return show_number(value)
    if size.kind == "angle":
        return f"{show_number(value)} deg"
    return show_size(size, value) if value == size.value else f"{show_number(value)} mm"


def _length(value: float) -> str:
    from tesselath.measure import show_number

    inches, mm = show_number(value / 25.4, decimals=3), show_number(value, decimals=2)
    return f"{inches} in ({mm} mm)"


def _count(number: int, noun: str) -> str:
    return f"{number:,} {noun}{'' if number == 1 else 's'}"


def _wrapped(text: str, *, first: str = "") -> list[str]:
    """Break a line between words, but never within "a = 0"."""
    lines = textwrap.wrap(
        text.replace(" = ", "\xa0=\xa0"),
        _WIDTH - 4,
        initial_indent=first,
        subsequent_indent=first + "  " if first else "",
        break_on_hyphens=False,
    )
    return [line.replace("\xa0", " ") for line in lines]


def _table(proof: Proof) -> dict[str, object]:
    """The proof as JSON: lengths in mm, areas in mm2."""
    repeat, cover = proof.repeat, proof.cover
    return {
        "pattern": proof.name,
        "title": proof.title,
        "holds": proof.holds,
        "tiles": proof.tiles,
        "stands_alone": proof.stands_alone,
        "sizes_tried": proof.sizes_tried,
        "openings": proof.openings,
        "points": proof.points,
        "repeat": None
        if repeat is None
        else {
            "steps": [list(step) for step in repeat.steps],
            "pieces": repeat.pieces,
            "area": repeat.area,
            "pieces_per_area": repeat.pieces / repeat.area,
        },
        "cover": None
        if cover is None
        else {
            "pieces": cover.pieces,
            "area": cover.area,
            "width": cover.width,
            "depth": cover.depth,
            "holes": cover.holes,
            "bare": cover.bare,
        },
        "group": proof.group,
        "group_with_tones": proof.group_with_tones,
        "faults": [_fault(fault) for fault in proof.faults],
        "notes": list(proof.notes),
    }


def _fault(fault: TilingFault) -> dict[str, object]:
    return {
        "kind": fault.kind,
        "text": fault.text,
        "place": fault.place,
        "sizes": dict(fault.settings),
        "own_sizes": fault.by_default,
        "at": None if fault.at is None else list(fault.at),
        "pieces": list(fault.pieces),
        "area": fault.area,
        "share": fault.share,
        "opening": fault.opening or None,
        "found": fault.found,
        "breaks": list(fault.breaks),
        "outlines": [part.tolist() for part in fault.parts[:20]],
    }
