"""Answers: how every command speaks, in sentences or in JSON, and with which exit status.

Comes in: what a command found, or an error of the program. Goes out: lines or JSON. Refuses: to
show a traceback for anything that the program itself has found wrong.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar

import click

from tesselath.errors import Fault, TesselathError

__all__ = ["json_option", "print_json", "read_only", "says_what_is_wrong"]

_Command = TypeVar("_Command", bound=Callable[..., Any])

#: The option that every command takes.
json_option = click.option("--json", "as_json", is_flag=True, help="Answer in JSON.")


def says_what_is_wrong(command: _Command) -> _Command:
    """Turn the program's own errors into sentences, or JSON, and an exit status."""

    @wraps(command)
    def run(*args: object, as_json: bool, **options: object) -> None:
        try:
            command(*args, as_json=as_json, **options)
        except TesselathError as error:
            if as_json:
                print_json({"errors": [_fault(f) for f in error.faults]})
            else:
                for fault in error.faults:
                    click.echo(str(fault), err=True)
            sys.exit(error.exit_status)

    return run  # type: ignore[return-value]


def print_json(value: object) -> None:
    """Print a value as JSON."""
    click.echo(json.dumps(value, ensure_ascii=False, indent=2))


def read_only(only: str | None) -> tuple[str, ...]:
    """Read the names that --only takes."""
    from tesselath.output import output_names, usual_names

    if only is None:
        return usual_names()
    names = [name.strip() for name in only.split(",") if name.strip()]
    known = output_names()
    for name in names:
        if name not in known:
            choices = ", ".join(known)
            raise click.UsageError(
                f'--only: "{name}". There is no such output; there are {choices}.'
            )
    return tuple(names)


def _fault(fault: Fault) -> dict[str, str | None]:
    return {
        "place": fault.place,
        "wrote": fault.wrote,
        "rule": fault.rule,
        "remedy": fault.remedy,
        "text": str(fault),
    }
