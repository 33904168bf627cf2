"""The command that says what the seasons do to a top.

Comes in: a design. Goes out: sentences, or JSON in mm. Refuses: a solid slab in a fixed frame, with
how far it would move.
"""

from __future__ import annotations

from pathlib import Path

import click

from tesselath.commands.answers import json_option, print_json, says_what_is_wrong
from tesselath.output import wrapped

__all__ = ["movement"]


@click.command(epilog="Example: tesselath movement hall-table.toml")
@click.argument("design", type=click.Path(path_type=Path), metavar="DESIGN.toml")
@json_option
@says_what_is_wrong
def movement(design: Path, *, as_json: bool) -> None:
    """Say what the seasons do to a strip, a row, the field and the frame, and what gap to leave."""
    from tesselath.advice import describe_movement
    from tesselath.design import read_design
    from tesselath.plan import movement_tables, plan_design, thickness_table
    from tesselath.wood import balance_advice

    plan = plan_design(read_design(design))
    if as_json:
        tables = movement_tables(plan.movement)
        print_json({"name": plan.design.name, **tables, "thickness": thickness_table(plan.stack)})
        return
    click.echo(f"{plan.design.name}: movement")
    said = describe_movement(plan.design, plan.movement, plan.stack)
    for text in (*said, *balance_advice(plan.design, plan.movement)):
        click.echo("\n".join(wrapped(text)))
