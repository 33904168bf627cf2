"""The command that lists the patterns, or explains one.

Comes in: a name, or none. Goes out: lines or JSON.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from tesselath.commands.answers import json_option, print_json, says_what_is_wrong

if TYPE_CHECKING:
    pass

__all__ = ["patterns"]


@click.command(epilog="Example: tesselath patterns herringbone")
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
