"""The command that holds two designs against each other, or a plan against its earlier self.

Comes in: two designs, plan folders or plan.json files. Goes out: a table or JSON, what changed in
sentences, and a picture of both where one is asked for. Refuses: what is no design and no plan of
this version.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from tesselath.commands.answers import json_option, print_json, says_what_is_wrong
from tesselath.output import wrapped

if TYPE_CHECKING:
    from tesselath.revise import ComparedRow

__all__ = ["compare", "read_tables"]


@click.command(epilog="Example: tesselath compare hall-table.toml hall-table-plan")
@click.argument("a", type=click.Path(path_type=Path), metavar="A")
@click.argument("b", type=click.Path(path_type=Path), metavar="B")
@click.option(
    "--picture",
    type=click.Path(path_type=Path, dir_okay=False),
    default=None,
    metavar="FILE.svg",
    help="Draw both tops at one scale.",
)
@click.option("--force", is_flag=True, help="Replace a picture of that name.")
@json_option
@says_what_is_wrong
def compare(a: Path, b: Path, *, picture: Path | None, force: bool, as_json: bool) -> None:
    """Put two designs side by side: pieces, parts, cuts, set-ups, sticks, thinnest, cost.

    A and B are designs (my-table.toml), plan folders or plan.json files; a design beside the
    folder that was planned from it before says what has changed since.
    """
    from tesselath.revise import compare_plans, describe_changes

    before, after = read_tables(a), read_tables(b)
    names = _names(a, b, before, after)
    rows = compare_plans(before, after)
    same_top = before.get("pattern") == after.get("pattern")
    changes = describe_changes(before, after) if same_top else ()
    if picture is not None:
        _draw(before, after, names, picture, force=force)
    if as_json:
        print_json(
            {
                "a": {"name": before["name"], "mark": before["mark"]},
                "b": {"name": after["name"], "mark": after["mark"]},
                "rows": [
                    {
                        "key": r.key,
                        "what": r.what,
                        "kind": r.kind,
                        "a": r.before,
                        "b": r.after,
                        "change": r.change,
                        "differs": r.differs,
                    }
                    for r in rows
                ],
                "changes": list(changes),
                "picture": None if picture is None else str(picture),
            }
        )
        return
    click.echo("\n".join(_table(rows, names, (before, after))))
    if same_top:
        click.echo("from A to B:")
        for text in changes or ["Nothing has changed."]:
            click.echo("\n".join(wrapped(text)))
    if picture is not None:
        click.echo(f"Drew both in {picture}.")


def read_tables(path: Path) -> dict[str, Any]:
    """Read a plan from its folder or its plan.json, or plan a design."""
    from tesselath.design import read_design
    from tesselath.plan import plan_design, plan_tables, read_plan_json

    if path.is_dir():
        return read_plan_json(path / "plan.json")
    if path.suffix.lower() == ".json":
        return read_plan_json(path)
    return dict(plan_tables(plan_design(read_design(path))))


def _names(a: Path, b: Path, before: dict[str, Any], after: dict[str, Any]) -> tuple[str, str]:
    """Call each by its design's name; by its file where both have one name."""
    if before["name"] != after["name"]:
        return before["name"], after["name"]
    marks = "" if before["mark"] == after["mark"] else ", mark {}"
    name = before["name"]
    first, second = (name + marks.format(tables["mark"]) for tables in (before, after))
    return (f"{first} ({a.name})", f"{second} ({b.name})") if a.name != b.name else (first, second)


def _table(
    rows: Sequence[ComparedRow],
    names: tuple[str, str],
    plans: tuple[dict[str, Any], dict[str, Any]],
) -> list[str]:
    """Lay the figures out in columns; what is the same in both is not marked."""
    from tesselath.revise import show_change, show_value

    lines = [f"A: {names[0]}", f"B: {names[1]}"]
    cells = [
        (
            row.what,
            show_value(row.before, row.kind, plans[0]),
            show_value(row.after, row.kind, plans[1]),
            show_change(row, plans[1]),
        )
        for row in rows
    ]
    cells.insert(0, ("", "A", "B", "change"))
    wide = [max(len(cell[n]) for cell in cells) for n in range(4)]
    for what, first, second, change in cells:
        line = f"  {what:{wide[0]}}  {first:>{wide[1]}}  {second:>{wide[2]}}  {change:>{wide[3]}}"
        lines.append(line.rstrip())
    return lines


def _draw(
    before: dict[str, Any],
    after: dict[str, Any],
    names: tuple[str, str],
    path: Path,
    *,
    force: bool,
) -> None:
    from tesselath.draw.maps import draw_comparison
    from tesselath.draw.paper import write_svg
    from tesselath.errors import Fault, OutputError
    from tesselath.files import write_file

    if path.suffix.lower() != ".svg":
        rule = "The picture is an SVG file; its name ends in .svg."
        raise OutputError(Fault(str(path), None, rule, f"Try {path.name}.svg."))
    write_file(path, write_svg(draw_comparison(before, after, names=names)), force=force)
