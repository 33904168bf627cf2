"""The command that lists the woods, or tells all that is known of one.

Comes in: a name, or none. Goes out: a table or JSON, each figure with its source. Refuses: a wood
that is not in the table, naming the nearest that is.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from tesselath.commands.answers import json_option, print_json, says_what_is_wrong

if TYPE_CHECKING:
    from tesselath.wood import Figure, Wood

__all__ = ["woods"]

#: What each figure is called, and how it is printed.
_FIGURES = (
    ("radial", "change across the grain, radial", "{:.5f} for 1 % of moisture"),
    ("tangential", "change across the grain, tangential", "{:.5f} for 1 % of moisture"),
    ("radial_shrinkage", "shrinkage green to ovendry, radial", "{:.1f} %"),
    ("tangential_shrinkage", "shrinkage green to ovendry, tangential", "{:.1f} %"),
    ("specific_gravity", "specific gravity at 12 % moisture", "{:.2f}"),
)


@click.command(epilog="Example: tesselath woods cherry")
@click.argument("name", nargs=-1)
@json_option
@says_what_is_wrong
def woods(name: tuple[str, ...], *, as_json: bool) -> None:
    """List the built-in woods and how much each moves, or tell all that is known of one."""
    from tesselath.wood import find_wood, known_woods, nearest_wood

    wanted = " ".join(name)
    found = known_woods()
    if wanted:
        wood = find_wood(wanted)
        if wood is None:
            from tesselath.errors import DesignError, Fault

            near = nearest_wood(wanted)
            hint = f"Did you mean {near}? " if near else ""
            remedy = f"{hint}tesselath woods lists them; a design may add its own in [woods.NAME]."
            raise DesignError(Fault("", wanted, "This wood is not built in.", remedy))
        found = (wood,)
    if as_json:
        print_json({"woods": [_row(wood) for wood in found]})
    elif wanted:
        click.echo("\n".join(_tell(found[0])))
    else:
        click.echo("\n".join(_table(found)))


def _row(wood: Wood) -> dict[str, object]:
    figures = {key: getattr(wood, key) for key, _, _ in _FIGURES}
    return {
        "name": wood.name,
        "scientific": wood.scientific,
        "kind": wood.kind,
        "aliases": list(wood.aliases),
        **{key: None if f is None else f.value for key, f in figures.items()},
        "sources": {
            key: {"confidence": f.confidence, "source": f.source}
            for key, f in figures.items()
            if f is not None
        },
    }


def _tell(wood: Wood) -> list[str]:
    lines = [f"{wood.name}  ({wood.scientific}, {wood.kind})"]
    if wood.aliases:
        lines.append(f"  also called {', '.join(wood.aliases)}")
    for key, what, form in _FIGURES:
        figure: Figure | None = getattr(wood, key)
        if figure is None:
            lines.append(f"  {what}: not known")
        else:
            lines.append(f"  {what}: {form.format(figure.value)}")
            lines.append(f"      {figure.confidence}: {figure.source}")
    change = wood.tangential
    if change is not None:
        percent = 600 * change.value
        lines.append(
            f"  flat-sawn, from 6 to 12 % of moisture it grows by {percent:.1f} % across the grain"
        )
    return lines


def _table(found: tuple[Wood, ...]) -> list[str]:
    wide = max(len(wood.name) for wood in found)
    lines = [f"{'':{wide}}   radial  tangential  gravity"]
    for wood in found:
        cells = [_cell(wood.radial, 5), _cell(wood.tangential, 5), _cell(wood.specific_gravity, 2)]
        lines.append(f"{wood.name:{wide}}  {cells[0]:>8} {cells[1]:>9} {cells[2]:>9}".rstrip())
    return [
        *lines,
        "",
        "radial, tangential: the change for 1 % of moisture as a share of the size; gravity: at",
        "12 %; * from memory. tesselath woods NAME gives every source.",
    ]


def _cell(figure: Figure | None, decimals: int) -> str:
    if figure is None:
        return "- "
    return f"{figure.value:.{decimals}f}{'*' if figure.confidence == 'recalled' else ' '}"
