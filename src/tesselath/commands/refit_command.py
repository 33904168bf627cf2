"""The command that plans the rest of a top round the pieces that are cut.

Comes in: the design as measured now, the plan of before, which pieces are cut. Goes out: a new plan
folder and a summary, or JSON. Refuses: what is no plan of this version, numbers that it does not
have, a design of another layout.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from tesselath.commands.answers import json_option, print_json, read_only, says_what_is_wrong
from tesselath.errors import Fault, OutputError

__all__ = ["read_numbers", "refit"]


@click.command(epilog="Example: tesselath refit hall-table.toml --from hall-table-plan --cut inner")
@click.argument("design", type=click.Path(path_type=Path), metavar="DESIGN.toml")
@click.option(
    "--from",
    "plan",
    type=click.Path(path_type=Path),
    required=True,
    metavar="PLAN.json",
    help="The plan they were cut from, or its folder.",
)
@click.option(
    "--cut",
    required=True,
    metavar="1-40,55",
    help="The pieces that are cut; inner and edge stand for all of those.",
)
@click.option(
    "--moved",
    default="0,0",
    metavar="RIGHT,BACK",
    help="How far what is cut lies off its place, from the centre of the opening as it is now.",
)
@click.option("--into", type=click.Path(path_type=Path), help="The folder; beside the design.")
@click.option("--only", default=None, metavar="NAME,...", help="Some of the files only.")
@click.option("--force", is_flag=True, help="Write into a folder that holds something else.")
@json_option
@says_what_is_wrong
def refit(
    design: Path,
    *,
    plan: Path,
    cut: str,
    moved: str,
    into: Path | None,
    only: str | None,
    force: bool,
    as_json: bool,
) -> None:
    """Plan the rest anew for the measured opening; pieces already cut keep outline and number.

    Write what you have measured into DESIGN.toml first. What is cut and no longer fits is named,
    with what it is over by and what can be done. The new plan goes into a folder of its own, by
    its file name with -refit; the plan of before stays as it is.
    """
    from tesselath.design import read_design
    from tesselath.files import write_folder
    from tesselath.output import summarise, write_outputs
    from tesselath.plan import plan_tables, read_plan_json
    from tesselath.revise import refit_plan

    wanted = read_only(only)
    folder = into if into is not None else design.with_name(f"{design.stem}-refit")
    tables = read_plan_json(plan / "plan.json" if plan.is_dir() else plan)
    before = plan if plan.is_dir() else plan.parent
    if before.resolve() == folder.resolve() and not force:
        raise OutputError(
            Fault(
                str(folder),
                None,
                "The plan of before lies in this folder; it stays as it is.",
                "Choose another with --into, or replace it with --force.",
            )
        )
    read = read_design(design)
    off = _read_moved(moved, read.units)
    made = refit_plan(read, tables, read_numbers(cut, tables), moved=off)
    files = write_outputs(made, wanted)
    write_folder(files, into=folder, force=force)
    if as_json:
        told = plan_tables(made)
        print_json(
            {
                "folder": str(folder),
                "files": sorted(files),
                "name": told["name"],
                "refit": told["refit"],
                "stages": told["stages"],
                "totals": told["totals"],
                "bounds": told["bounds"],
                "notes": told["notes"],
            }
        )
        return
    click.echo(summarise(made))
    click.echo(f"Wrote {folder}: {', '.join(sorted(files))}")


def read_numbers(text: str, tables: Mapping[str, Any]) -> tuple[int, ...]:
    """Read piece numbers as makers write them.

    >>> read_numbers("1-3, 7 5", {"stages": []})
    (1, 2, 3, 5, 7)
    """
    stages = {row["stage"]: row["numbers"] for row in tables.get("stages", ())}
    found: set[int] = set()
    # "3 - 7" is one run, "3 7" are two numbers.
    for word in re.sub(r"\s*[-\u2013]\s*", "-", text).replace(",", " ").split():
        first, _, last = word.partition("-")
        if word in stages:
            found.update(stages[word])
        elif _is_number(first) and (word == first or _is_number(last)):
            low, high = int(first), int(last or first)
            if low > high:
                raise click.UsageError(f'--cut: "{word}". A run goes from the lower number up.')
            found.update(_run(low, high, tables))
        else:
            also = f", or {' or '.join(stages)}" if stages else ""
            raise click.UsageError(
                f'--cut: "{word}". Piece numbers are meant, as in 1-40,55{also}.'
            )
    if not found:
        raise click.UsageError(f'--cut: "{text}". Say which pieces are cut, as in 1-40,55.')
    return tuple(sorted(found))


def _is_number(word: str) -> bool:
    return word.isascii() and word.isdigit() and len(word) <= 9


def _run(low: int, high: int, tables: Mapping[str, Any]) -> Sequence[int]:
    """The numbers of a run; of one far beyond the plan, no more than shows that."""
    most = max((row["number"] for row in tables.get("pieces", ())), default=high)
    return range(low, min(high, max(most, low) + 1) + 1)


def _read_moved(text: str, units: str) -> tuple[float, float]:
    """Read how far the glued field lies off its place [mm]."""
    from tesselath.errors import MeasureError
    from tesselath.measure import parse_length

    words = text.split(",")
    if len(words) != 2:
        raise click.UsageError(f'--moved: "{text}". Two lengths are meant, as in 1/32,-1/16.')
    try:
        right, back = (parse_length(word.strip(), units=units, signed=True) for word in words)
    except MeasureError as error:
        raise click.UsageError(f"--moved: {error}") from None
    return right, back
