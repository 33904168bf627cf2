"""The command line: which commands there are; each is loaded only when it is asked for.

Comes in: arguments. Goes out: files, a summary (or JSON), an exit status: 0 done, 1 the design
cannot be made as asked, 2 wrong usage or an unreadable file. Refuses: with one sentence a fault,
never with a traceback.
"""

from __future__ import annotations

from importlib import import_module

import click

__all__ = ["COMMANDS", "main"]

#: Each command with the first sentence of its help, so that none need be loaded to list them.
COMMANDS = {
    "begin": "Write a short commented design file to fill in, or a pattern file.",
    "compare": (
        "Put two designs side by side: pieces, parts, cuts, set-ups, sticks, thinnest, cost."
    ),
    "fit": "Look for layouts without slivers, and rank them with reasons.",
    "gallery": "Draw every pattern and every example: SVG, PNG, a contact sheet and a page.",
    "movement": (
        "Say what the seasons do to a strip, a row, the field and the frame, and what gap to leave."
    ),
    "patterns": "List the patterns, or explain one with its sizes and tones.",
    "plan": "Plan a top: the numbered map, the cut list, saw set-ups, sticks and what to buy.",
    "prove": "Prove that a pattern tiles, or say which condition fails and where.",
    "refit": (
        "Plan the rest anew for the measured opening; pieces already cut keep outline and number."
    ),
    "woods": "List the built-in woods and how much each moves, or tell all that is known of one.",
}


class _Commands(click.Group):
    """The commands, each in a module of its own that is loaded when it is wanted."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's own
        return sorted(COMMANDS)

    def get_command(
        self,
        ctx: click.Context,  # noqa: ARG002 - click's own
        cmd_name: str,
    ) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = import_module(f"tesselath.commands.{cmd_name}_command")
        command: click.Command = getattr(module, cmd_name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        room = formatter.width - 6 - max(map(len, COMMANDS))
        named = [click.Command(name, help=COMMANDS[name]) for name in self.list_commands(ctx)]
        with formatter.section("Commands"):
            formatter.write_dl([(str(c.name), c.get_short_help_str(room)) for c in named])


@click.group(
    cls=_Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96}
)
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
