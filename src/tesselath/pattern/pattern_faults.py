"""What is wrong with a pattern file, in the words of the house.

Comes in: what was found, with its key. Goes out: faults with file, line, key, rule and what would
do.
"""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any

from pydantic import ValidationError

from tesselath.errors import Fault
from tesselath.pattern.pattern_models import PatternModel, PieceModel, SizeModel, StripModel

__all__ = ["PatternFaults"]

_PLAIN = {
    "bool_type": "true or false is meant here",
    "string_type": "A text in quotes is meant here",
    "list_type": "A list in square brackets is meant here",
    "tuple_type": "A pair in square brackets is meant here",
    "dict_type": "A table is meant here",
    "model_type": "A table is meant here",
    "too_short": "The list is too short",
    "too_long": "The list is too long",
    "string_too_short": "This text may not be empty",
}


class PatternFaults:
    """Gathers what is wrong with a pattern file, each fault with its place."""

    def __init__(self, file_name: str, lines: Mapping[str, int]) -> None:
        self.file_name = file_name
        self.lines = lines
        self.faults: list[Fault] = []

    def place(self, key: str) -> str:
        """Say where a key stands, by the nearest table above it that has a line."""
        parts = key.split(".")
        for n in range(len(parts), 0, -1):
            line = self.lines.get(".".join(parts[:n]))
            if line is not None:
                return f"{self.file_name}, line {line}, {key}"
        return f"{self.file_name}, {key}"

    def complain(self, key: str, wrote: object, rule: str, remedy: str = "") -> None:
        written = None if wrote is None else str(wrote)
        self.faults.append(Fault(self.place(key), written, rule, remedy))

    def complaints(self, error: ValidationError) -> list[Fault]:
        """Put pydantic's findings into the words of the house."""
        for found in error.errors(include_url=False):
            steps = [str(s + 1) if isinstance(s, int) else s for s in found["loc"]]
            key = ".".join(step for step in steps if step not in ("str", "int", "float"))
            wrote = found.get("input")
            shown = None if isinstance(wrote, dict | list) else wrote
            kind = found["type"]
            if kind == "missing":
                self.complain(key, None, f"{steps[-1]} is needed here.")
            elif kind == "extra_forbidden":
                self.complain(key, shown, *self._unknown(steps))
            elif kind == "value_error":
                self.complain(key, None, str(found["ctx"]["error"]))
            elif kind == "literal_error":
                self.complain(key, shown, f"Only {found['ctx']['expected']} may stand here.")
            else:
                self.complain(key, shown, f"{_PLAIN.get(kind, 'That is not what is meant here')}.")
        return self.in_order()

    def in_order(self) -> list[Fault]:
        """Give every fault once, in the order of the file."""
        unique = {(f.place, f.wrote, f.rule): f for f in reversed(self.faults)}
        return sorted(unique.values(), key=self._order)

    def _order(self, fault: Fault) -> tuple[int, str]:
        words = fault.place.split(", ")
        line = words[1].removeprefix("line ") if len(words) > 1 else "0"
        return (int(line) if line.isdigit() else 0, fault.place)

    def _unknown(self, steps: list[str]) -> tuple[str, str]:
        if "chart" in steps[:-1] and steps[-1] in ("size", "derive", "strip"):
            return "This stands inside [chart].", "Put sizes above the first table in brackets."
        model: Any = {
            "size": SizeModel,
            "strip": StripModel,
            "piece": PieceModel,
        }.get(steps[0] if len(steps) > 1 else "", PatternModel)
        if len(steps) > 1 and model is PatternModel:
            field = PatternModel.model_fields.get(steps[0])
            found = getattr(field, "annotation", None)
            for choice in getattr(found, "__args__", (found,)):
                if hasattr(choice, "model_fields"):
                    model = choice
        known = sorted(f.alias or name for name, f in model.model_fields.items())
        near = get_close_matches(steps[-1], known, n=1)
        remedy = f"Did you mean {near[0]}?" if near else f"There are {', '.join(known)}."
        return "There is no such key here.", remedy
