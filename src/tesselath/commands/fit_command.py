"""The command that looks for layouts without slivers.

Comes in: a design and what is kept. Goes out: layouts ranked with their reasons, or JSON; a picture
of them, or a new design file, where one is asked for. Refuses: a number that is not in the list, a
file that exists already.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from tesselath.commands.answers import json_option, print_json, says_what_is_wrong
from tesselath.output import wrapped

if TYPE_CHECKING:
    from tesselath.design import Design
    from tesselath.draw.maps import Top
    from tesselath.fit import Candidate, Fit

__all__ = ["fit"]


@click.command(epilog="Example: tesselath fit hall-table.toml --top 3")
@click.argument("design", type=click.Path(path_type=Path), metavar="DESIGN.toml")
@click.option(
    "--keep",
    type=click.Choice(["strip", "opening"]),
    default=None,
    help="What stays as it is: the strips' width, or the opening. Left out: both are tried, "
    "unless the opening was measured or its frame is made first.",
)
@click.option(
    "--top",
    type=click.IntRange(1, 14),
    default=5,
    show_default=True,
    help="How many layouts are listed.",
)
@click.option(
    "--apply",
    "number",
    type=click.IntRange(min=1),
    default=None,
    metavar="N",
    help="Write layout N as a new design file.",
)
@click.option(
    "--into",
    type=click.Path(path_type=Path, dir_okay=False),
    default=None,
    metavar="FILE.toml",
    help="The new file; beside the design, its name with -fit.",
)
@click.option(
    "--picture",
    type=click.Path(path_type=Path, dir_okay=False),
    default=None,
    metavar="FILE.svg",
    help="Draw the layouts on one sheet.",
)
@click.option("--force", is_flag=True, help="Replace a file of that name.")
@json_option
@says_what_is_wrong
def fit(
    design: Path,
    *,
    keep: str | None,
    top: int,
    number: int | None,
    into: Path | None,
    picture: Path | None,
    force: bool,
    as_json: bool,
) -> None:
    """Look for layouts without slivers, and rank them with reasons.

    Nothing gets thinner than in the design as it is. With --keep strip the opening or a border
    moves by two strips at most; with --keep opening the strips are ripped to suit.
    """
    from tesselath.design import read_design
    from tesselath.fit import fit_design

    if into is not None and number is None:
        raise click.UsageError("--into: say which layout is written, with --apply N.")
    target = None if number is None else _target(design, into)
    if picture is not None:
        _ask_for_suffix(picture, ".svg", "The picture is an SVG file; its name ends in .svg.")
    found = fit_design(read_design(design), keep=keep, top=top)
    if number is not None and target is not None:
        _apply(found, number, design, target, force=force)
    if picture is not None:
        _draw(found, picture, force=force)
    if as_json:
        print_json(
            {
                **_table(found),
                "written": None if target is None else str(target),
                "picture": None if picture is None else str(picture),
            }
        )
        return
    click.echo("\n".join(_sentences(found)))
    if picture is not None:
        click.echo(f"Drew them in {picture}.")
    if target is not None:
        click.echo(f"Wrote layout {number} as {target}. Next: tesselath plan {target}")
    elif found.candidates:
        click.echo(f"tesselath fit {design} --apply N writes one as a new design file.")


def _ask_for_suffix(path: Path, suffix: str, rule: str) -> None:
    from tesselath.errors import Fault, OutputError

    if path.suffix.lower() != suffix:
        raise OutputError(Fault(str(path), None, rule, f"Try {path.name}{suffix}."))


def _target(path: Path, into: Path | None) -> Path:
    """Name the new design file; never the design itself."""
    from tesselath.errors import Fault, OutputError

    target = into if into is not None else path.with_name(f"{path.stem}-fit.toml")
    _ask_for_suffix(target, ".toml", "A design file ends in .toml.")
    if target.resolve() == path.resolve():
        rule = "The design itself is never written over."
        raise OutputError(Fault(str(target), None, rule, "Choose another name with --into."))
    return target


def _apply(found: Fit, number: int, path: Path, target: Path, *, force: bool) -> None:
    """Write one layout as a new design file, once it can be read again."""
    from tesselath.advice import describe_changes
    from tesselath.design import parse_design
    from tesselath.errors import DesignError, Fault
    from tesselath.files import write_file
    from tesselath.fit import rewrite_design

    if number > len(found.candidates):
        count = len(found.candidates)
        there = "there is none" if count == 0 else f"there are {count}"
        raise DesignError(
            Fault(
                "--apply",
                str(number),
                f"There is no layout of this number; {there}.",
                "See the list without --apply; --top asks for more.",
            )
        )
    candidate = found.candidates[number - 1]
    given = found.given.design
    remark = f"Fitted from {path.name}: {describe_changes(given, candidate)}."
    text = rewrite_design(path.read_text(encoding="utf-8"), candidate.changes, given, remark=remark)
    # A pattern beside the design may not be beside the new file: that is found out here.
    parse_design(text, file_name=target.name, beside=target.parent)
    write_file(target, text, force=force)


def _sentences(found: Fit) -> list[str]:
    """Say what is there, and what could be."""
    from tesselath.advice import describe_changes, describe_reasons, list_heading

    given = found.given
    score, design = given.score, given.design
    lines = wrapped(
        f"{design.name} as it is: thinnest piece {design.show_plain(score.thinnest)}, shortest "
        f"edge on the fence {design.show_plain(score.shortest)}, {score.parts} parts"
        f"{_margins(given)}.",
        first="",
    )
    number = 0
    for one in found.lists:
        lines.append(f"{list_heading(one.keep, design)}:")
        if not one.candidates:
            lines += wrapped(f"none of {one.tried} layouts tried is better.", first="  ")
        for candidate in one.candidates:
            number += 1
            do = describe_changes(design, candidate)
            why = "; ".join(describe_reasons(given, candidate))
            lines += wrapped(f"{do[0].upper()}{do[1:]}: {why}.", first=f"  {number}. ")
    return lines


def _margins(given: Candidate) -> str:
    """Say which opposite margins carry the same pieces."""
    sides = [
        side
        for side, alike in zip(("left and right", "front and back"), given.score.alike, strict=True)
        if alike
    ]
    return f", {' and '.join(sides)} alike" if sides else ", no two margins alike"


def _draw(found: Fit, path: Path, *, force: bool) -> None:
    """Draw the design as it is and the layouts on one sheet."""
    from tesselath.advice import describe_changes, describe_reasons
    from tesselath.draw.maps import Shown, draw_fit
    from tesselath.draw.paper import write_svg
    from tesselath.files import write_file

    given = found.given
    score, design = given.score, given.design
    shown = [
        Shown(
            _top(design),
            "As it is",
            (f"thinnest piece {design.show_plain(score.thinnest)}, {score.parts} parts",),
        )
    ]
    for number, candidate in enumerate(found.candidates, 1):
        do = describe_changes(design, candidate)
        why = "; ".join(describe_reasons(given, candidate))
        shown.append(Shown(_top(candidate.design), f"Layout {number}", (do, why)))
    write_file(path, write_svg(draw_fit(shown, title=f"{design.name}: layouts")), force=force)


def _top(design: Design) -> Top:
    """What is seen of a design."""
    from tesselath.draw.maps import FrameLook, Top
    from tesselath.field import opening_outline
    from tesselath.fit import lay_out

    frame = design.frame
    look = None if frame is None else FrameLook(frame.width, frame.corner, frame.wood)
    pieces = lay_out(design).pieces
    return Top(design.name, opening_outline(design), pieces, (), look, design.woods)


def _table(found: Fit) -> dict[str, object]:
    """The fit as JSON: lengths in mm, angles in degrees."""
    from tesselath.advice import describe_changes, describe_reasons
    from tesselath.fit import write_value

    given = found.given
    lists, number = [], 0
    for one in found.lists:
        rows = []
        for candidate in one.candidates:
            number += 1
            rows.append(
                {
                    "number": number,
                    "do": describe_changes(given.design, candidate),
                    "reasons": list(describe_reasons(given, candidate)),
                    "changes": [
                        {
                            "key": c.key,
                            "kind": c.kind,
                            "written": write_value(c, given.design),
                            "value": list(c.value) if isinstance(c.value, tuple) else c.value,
                        }
                        for c in candidate.changes
                    ],
                    "score": _score(candidate),
                }
            )
        lists.append({"keep": one.keep, "tried": one.tried, "candidates": rows})
    return {"name": given.design.name, "given": _score(given), "lists": lists}


def _score(candidate: Candidate) -> dict[str, object]:
    score = candidate.score
    return {
        "holds": score.holds,
        "pieces": score.pieces,
        "parts": score.parts,
        "thinnest": score.thinnest,
        "shortest_edge": score.shortest,
        "thin_in_strips": score.thin,
        "short_in_strips": score.short,
        "left_right_alike": score.alike[0],
        "front_back_alike": score.alike[1],
        "cut": score.cut,
        "waste": score.waste,
    }
