"""The command for the main job: from a design to a folder with everything the bench needs.

Comes in: a design file, or a plan folder where pieces are spoiled. Goes out: a plan folder and a
summary, or JSON.
"""

from __future__ import annotations

import textwrap
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tesselath.commands.answers import json_option, print_json, read_only, says_what_is_wrong
from tesselath.errors import OutputError

if TYPE_CHECKING:
    from tesselath.plan import Plan

__all__ = ["plan"]


@click.command(epilog="Example: tesselath plan hall-table.toml --into hall-table-plan")
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
