"""The command line: reads a design, plans it, writes the folder, and says what came of it.

Comes in: arguments. Goes out: files, a summary (or JSON), an exit status: 0 done, 1 the design
cannot be made as asked, 2 wrong usage or an unreadable file. Refuses: with one sentence a fault,
never with a traceback.
"""

from __future__ import annotations

import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from tesselath.commands.answers import json_option, print_json, read_only, says_what_is_wrong
from tesselath.commands.compare_command import compare
from tesselath.commands.fit_command import fit
from tesselath.commands.movement_command import movement
from tesselath.commands.prove_command import prove
from tesselath.commands.refit_command import refit
from tesselath.commands.woods_command import woods
from tesselath.errors import Fault, OutputError

if TYPE_CHECKING:
    from tesselath.plan import Plan

__all__ = ["main"]


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96})
@click.version_option(package_name="tesselath", message="tesselath %(version)s")
def main() -> None:
    """Lay out a field of wood strips in a framed panel: map, cut list, saw set-ups, sticks.

    \b
    begin     write a short design file to fill in
    plan      the main job: from a design to a numbered map and a cut list
    fit       layouts without slivers, ranked with reasons
    refit     measured again: plan the rest round the pieces that are cut
    compare   two designs side by side, or a plan and its earlier self
    patterns  list the patterns, or explain one
    prove     prove that a pattern tiles, or say where it does not
    movement  what the seasons do to a top, and what gap to leave
    woods     list the woods and how much each moves
    gallery   draw every pattern
    """


@main.command(epilog="Example: tesselath begin hall-table.toml --pattern running-bond")
@click.argument("design", type=click.Path(path_type=Path), metavar="DESIGN.toml")
@click.option("--pattern", default=None, help="The pattern of the field.")
@click.option("--width", default=None, help='The opening from left to right, "54 1/2 in".')
@click.option("--depth", default=None, help="The opening from front to back.")
@click.option("--units", type=click.Choice(["in", "mm"]), default="in", help="Inches or mm.")
@click.option("--name", default=None, help="What the piece is called.")
@click.option("--pattern-file", is_flag=True, help="Write a pattern to start from instead.")
@click.option("--force", is_flag=True, help="Replace a file of that name.")
@json_option
@says_what_is_wrong
def begin(
    design: Path,
    *,
    pattern: str | None,
    width: str | None,
    depth: str | None,
    units: str,
    name: str | None,
    pattern_file: bool,
    force: bool,
    as_json: bool,
) -> None:
    """Write a short commented design file to fill in, or a pattern file."""
    from tesselath.design import starter_design
    from tesselath.files import write_file
    from tesselath.pattern import starter_pattern

    if design.suffix.lower() != ".toml":
        rule = "A design or pattern file ends in .toml."
        raise OutputError(Fault(str(design), None, rule, f"Try {design.name}.toml."))
    title = name or design.stem.replace("-", " ").capitalize()
    if pattern_file:
        text, then = starter_pattern(title), f"tesselath prove {design}"
    else:
        chosen: dict[str, Any] = {"pattern": pattern} if pattern else {}
        text = starter_design(units=units, width=width, depth=depth, name=title, **chosen)
        then = f"tesselath plan {design}"
    write_file(design, text, force=force)
    if as_json:
        print_json({"written": str(design)})
    else:
        click.echo(f"Wrote {design}. Change what you like, then: {then}")


@main.command(epilog="Example: tesselath plan hall-table.toml --into hall-table-plan")
@click.argument("design", type=click.Path(path_type=Path), metavar="DESIGN.toml")
@click.option("--into", type=click.Path(path_type=Path), help="The folder; beside the design.")
@click.option("--only", default=None, metavar="NAME,...", help="Some of the files only.")
@click.option("--force", is_flag=True, help="Write into a folder that no plan made.")
@click.option(
    "--spoiled", default=None, metavar="17,31", help="Say how spoiled pieces are made again."
)
@json_option
@says_what_is_wrong
def plan(
    design: Path,
    *,
    into: Path | None,
    only: str | None,
    force: bool,
    spoiled: str | None,
    as_json: bool,
) -> None:
    """Plan a top: the numbered map, the cut list, saw set-ups, sticks and what to buy.

    With --spoiled nothing is written; DESIGN.toml may then be a plan folder as well.
    """
    if spoiled is not None:
        _rescue(design, spoiled, as_json=as_json)
        return
    wanted = read_only(only)
    from tesselath.design import read_design
    from tesselath.files import write_folder
    from tesselath.output import summarise, write_outputs
    from tesselath.plan import plan_design, plan_tables

    made = plan_design(read_design(design))
    folder = into if into is not None else design.with_name(f"{design.stem}-plan")
    files = write_outputs(made, wanted)
    changes = _changed(folder, made)
    write_folder(files, into=folder, force=force)
    if as_json:
        tables = plan_tables(made)
        print_json(
            {
                "folder": str(folder),
                "files": sorted(files),
                "name": tables["name"],
                "totals": tables["totals"],
                "bounds": tables["bounds"],
                "orders": tables["orders"],
                "notes": tables["notes"],
                "changes": list(changes),
            }
        )
        return
    click.echo(summarise(made))
    if changes:
        click.echo("  changed since the plan that was here:")
    for line in changes:
        click.echo(textwrap.fill(line, 96, initial_indent="  - ", subsequent_indent="    "))
    click.echo(f"Wrote {folder}: {', '.join(sorted(files))}")


def _changed(folder: Path, made: Plan) -> tuple[str, ...]:
    """Say what changes against the plan that a folder holds; nothing where none can be read."""
    from tesselath.plan import plan_tables, read_plan_json
    from tesselath.revise import changed_since

    if not (folder / "plan.json").is_file():
        return ()
    try:
        return changed_since(read_plan_json(folder / "plan.json"), plan_tables(made))
    except (OutputError, LookupError, TypeError, ValueError, AttributeError):
        return ()  # somebody else's file of that name, or an older version's


def _rescue(design: Path, spoiled: str, *, as_json: bool) -> None:
    """Answer from which spare or leftover each spoiled piece is cut again."""
    from dataclasses import asdict

    from tesselath.design import read_design
    from tesselath.plan import plan_design, plan_tables, read_plan_json
    from tesselath.revise import describe_rescue, rescue_pieces

    numbers = _numbers(spoiled)
    tables = (
        read_plan_json(design / "plan.json")
        if design.is_dir()
        else plan_tables(plan_design(read_design(design)))
    )
    answers = rescue_pieces(tables, numbers)
    if as_json:
        print_json({"spoiled": [asdict(answer) for answer in answers]})
    else:
        for answer in answers:
            click.echo(describe_rescue(answer, tables))


def _numbers(text: str) -> list[int]:
    """Read piece numbers and runs of them, as the tables print them: 17,31 or 40-42."""
    numbers: list[int] = []
    for word in text.replace(",", " ").split():
        first, dash, last = word.partition("-")
        run = [first, last if dash else first]
        if not all(end.isdecimal() and len(end) < 8 for end in run) or int(run[0]) > int(run[1]):
            raise click.UsageError(
                f'--spoiled: "{word}". Piece numbers are meant, as in 17,31 or 40-42.'
            )
        numbers += range(int(run[0]), int(run[1]) + 1)
    if not numbers:
        raise click.UsageError(f'--spoiled: "{text}". Piece numbers are meant, as in 17,31.')
    return numbers


@main.command(epilog="Example: tesselath patterns herringbone")
@click.argument("name", required=False)
@json_option
@says_what_is_wrong
def patterns(name: str | None, *, as_json: bool) -> None:
    """List the patterns, or explain one with its sizes and tones."""
    from tesselath.pattern import find_pattern, list_patterns, pattern_names

    if as_json:
        found = [find_pattern(n) for n in ([name] if name else pattern_names())]
        print_json({"patterns": [_pattern_row(pattern) for pattern in found]})
    elif name:
        from tesselath.output import describe_pattern

        click.echo(describe_pattern(find_pattern(name)))
    else:
        listed = list_patterns()
        widest = max(len(pattern.name) for pattern in listed)
        for pattern in listed:
            click.echo(f"{pattern.name:{widest}}  {pattern.note or pattern.title}")
        click.echo("\ntesselath patterns NAME explains one.")


def _pattern_row(pattern: Any) -> dict[str, object]:
    return {
        "name": pattern.name,
        "title": pattern.title,
        "note": pattern.note,
        "family": pattern.family,
        "fills": pattern.fills,
        "sizes": [
            {
                "name": s.name,
                "label": s.label,
                "kind": s.kind,
                "value": s.value,
                "least": s.least,
                "most": s.most,
                "whole": s.whole,
                "wood": s.wood,
            }
            for s in pattern.sizes
        ],
        "tones": list(pattern.tones),
        "path": pattern.path,
    }


@main.command(epilog="Example: tesselath gallery --into gallery --only herringbone,chevron")
@click.option("--into", type=click.Path(path_type=Path), required=True, help="The folder.")
@click.option("--only", default=None, metavar="NAME,...", help="Some patterns or examples only.")
@json_option
@says_what_is_wrong
def gallery(*, into: Path, only: str | None, as_json: bool) -> None:
    """Draw every pattern and every example: SVG, PNG, a contact sheet and a page."""
    from tesselath.commands.gallery import (
        draw_gallery,
        render_png,
        render_sheet,
        write_index,
    )
    from tesselath.files import examples_folder

    names = None if only is None else {name.strip() for name in only.split(",")}
    pictures = list(draw_gallery(examples=examples_folder(), only=names))
    try:
        into.mkdir(parents=True, exist_ok=True)
        for picture in pictures:
            (into / f"{picture.name}.svg").write_text(picture.svg, encoding="utf-8")
            width = {"map": 1400, "example": 800}.get(picture.kind, 400)
            (into / f"{picture.name}.png").write_bytes(render_png(picture.svg, width_px=width))
        if names is None:
            shown = [p for p in pictures if p.kind != "map" and p.name != "crowded-tray"]
            (into / "sheet.png").write_bytes(render_sheet(shown, columns=9, width_px=1600))
            (into / "index.html").write_text(write_index(pictures), encoding="utf-8")
    except OSError as error:
        reason = error.strerror or "unknown reason"
        raise OutputError(Fault(str(into), None, f"This cannot be written ({reason}).")) from None
    if as_json:
        print_json({"folder": str(into), "pictures": [p.name for p in pictures]})
    else:
        click.echo(f"Drew {len(pictures)} pictures into {into}.")


main.add_command(prove)
main.add_command(compare)
main.add_command(movement)
main.add_command(refit)
main.add_command(woods)
main.add_command(fit)
