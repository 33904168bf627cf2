"""The command that writes a design file, or a pattern file, to start from.

Comes in: a path. Goes out: a file. Refuses: a path that is no .toml, a file that is there already.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from tesselath.commands.answers import json_option, print_json, says_what_is_wrong
from tesselath.errors import Fault, OutputError

if TYPE_CHECKING:
    pass

__all__ = ["begin"]


@click.command(epilog="Example: tesselath begin hall-table.toml --pattern running-bond")
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
