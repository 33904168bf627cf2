"""What makers and their programs rely on: commands, options, files, columns and keys stay.

The list in tests/data/contract.json only grows: what is new is added, nothing is taken away.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import click
import pytest

from tesselath.commands import main
from tesselath.commands.cli import COMMANDS
from tesselath.design import read_design
from tesselath.design.design_schema import design_schema
from tesselath.files import examples_folder
from tesselath.files.folder import FILE_NAMES
from tesselath.output import output_names, write_outputs
from tesselath.pattern import pattern_models
from tesselath.plan import plan_design

DATA = Path(__file__).parents[1] / "data"
CONTRACT = json.loads((DATA / "contract.json").read_text("utf-8"))

#: Together these have borders, a measured opening, a trimmed field, boards and offcuts.
EXAMPLES = ("hall-table", "window-seat", "dining-table")


@cache
def written(example: str) -> dict[str, str]:
    """The tables and plan.json of an example, by file name."""
    folder = examples_folder()
    assert folder is not None
    plan = plan_design(read_design(folder / example / "design.toml"))
    names = ("parts", "pieces", "setups", "sticks", "shopping", "glue-up")
    files = write_outputs(plan, names)
    return {name: text for name, text in files.items() if isinstance(text, str)}


def key_paths(value: Any, path: str = "") -> Iterator[str]:
    """Every key of nested tables, with dots between; entries of a list are all alike."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield f"{path}{key}"
            yield from key_paths(inner, f"{path}{key}.")
    elif isinstance(value, list):
        for inner in value:
            yield from key_paths(inner, path)


def schema_paths(schema: dict[str, Any]) -> set[str]:
    """The keys of every table that a JSON Schema defines, as table.key."""
    tables = {"": schema, **schema.get("$defs", {})}
    return {
        f"{name}.{key}" for name, table in tables.items() for key in table.get("properties", {})
    }


@pytest.mark.parametrize("name", sorted(CONTRACT["commands"]))
def test_a_command_still_takes_its_options(name: str) -> None:
    command = main.get_command(click.Context(main), name)
    assert command is not None
    taken = {word for option in command.params for word in (*option.opts, option.name)}
    assert taken >= set(CONTRACT["commands"][name])


def test_the_list_of_commands_says_of_each_what_its_help_says_first() -> None:
    for name, sentence in COMMANDS.items():
        command = main.get_command(click.Context(main), name)
        assert command is not None
        first, _, _ = (command.help or "").partition("\n\n")
        assert " ".join(first.split()) == sentence


def test_every_output_is_still_known_by_its_name() -> None:
    assert set(output_names()) >= set(CONTRACT["outputs"])


def test_every_file_of_a_plan_folder_is_still_known() -> None:
    assert {*FILE_NAMES, "figures"} >= set(CONTRACT["files"])


@pytest.mark.parametrize("name", sorted(CONTRACT["columns"]))
def test_a_table_still_has_its_columns(name: str) -> None:
    heads = [next(csv.reader(io.StringIO(written(example)[name]))) for example in EXAMPLES]
    assert all(set(head) >= set(CONTRACT["columns"][name]) for head in heads)


def test_a_plan_still_has_its_keys() -> None:
    found = {path for e in EXAMPLES for path in key_paths(json.loads(written(e)["plan.json"]))}
    assert found >= set(CONTRACT["plan.json"])


def test_design_and_pattern_files_still_take_their_keys() -> None:
    assert schema_paths(json.loads(design_schema())) >= set(CONTRACT["design"])
    models = [m for m in vars(pattern_models).values() if hasattr(m, "model_fields")]
    keys = {field.alias or key for m in models for key, field in m.model_fields.items()}
    assert keys >= set(CONTRACT["pattern"])
