"""Where each key stands in a TOML file, for messages that name the line.

Comes in: the text of a file that the standard library has already read without a fault. Goes out:
for each key its line, its column and what was written there, keyed as in messages: ``field.set.w``,
and ``border.2.width`` for the second ``[[border]]``; the items of a list are counted from 1 as
well, ``opening.points.3``. It only looks for places; of a text it cannot follow it gives what it
found.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from contextlib import suppress
from dataclasses import dataclass, field

__all__ = ["KeyPlace", "find_lines", "find_places"]


@dataclass(frozen=True, slots=True)
class KeyPlace:
    """Where a key stands [count, from 1] and what was written; None for a table.

    ``begin`` and ``end`` bound the value in the text, its quotes included [count, from 0]; they
    are -1 where there is no value.
    """

    line: int
    column: int
    wrote: str | None = None
    begin: int = field(default=-1, repr=False, compare=False)
    end: int = field(default=-1, repr=False, compare=False)


def find_lines(text: str) -> dict[str, int]:
    r"""Find the line of every key and table.

    Source: the TOML 1.0 specification.

    Parameters
    ----------
    text : str
        The text of a TOML file.

    Returns
    -------
    dict of str to int
        The line of each key [count, from 1], in file order.

    Examples
    --------
    >>> find_lines("[field]\nset.w = 1\n[[border]]\nwidth = 2")
    {'field': 1, 'field.set': 2, 'field.set.w': 2, 'border': 3, 'border.1': 3, 'border.1.width': 4}
    """
    return {key: place.line for key, place in find_places(text).items()}


def find_places(text: str) -> dict[str, KeyPlace]:
    r"""Find the place of every key and table, with what was written there.

    Source: the TOML 1.0 specification.

    Parameters
    ----------
    text : str
        The text of a TOML file.

    Examples
    --------
    >>> find_places('[opening]\nwidth = "54 1/2"')["opening.width"]
    KeyPlace(line=2, column=1, wrote='54 1/2')
    """
    # A carriage return before a line's end counts as part of that end.
    scanner = _Scanner(text.replace("\r\n", "\n"))
    with suppress(_LostError, RecursionError):
        scanner.scan()
    return scanner.places


class _LostError(Exception):
    """The text is not what it should be."""


_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BLANK = re.compile(r"[ \t]*")
_BLANK_LINES = re.compile(r"(?:[ \t\n]|#[^\n]*)*")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}'
    r"|'''.*?'{3,5}"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'",
    re.DOTALL,
)
_PLAIN = re.compile(r"[^\s,\]}#][^,\]}#\n]*")


class _Scanner:
    """Walks once through the text, noting the place of each key it meets."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.places: dict[str, KeyPlace] = {}
        self.counts: dict[str, int] = {}
        self.starts = [0, *(found.end() for found in re.finditer("\n", text))]

    def scan(self) -> None:
        table = ""
        while True:
            self.skip(_BLANK_LINES)
            start = self.at
            if start >= len(self.text):
                return
            if self.take("[["):
                table = self.resolve(self.keys())
                self.note(table, start)
                self.counts[table] = self.counts.get(table, 0) + 1
                table = f"{table}.{self.counts[table]}"
                self.expect("]]")
                self.note(table, start)
            elif self.take("["):
                table = self.resolve(self.keys())
                self.expect("]")
                self.note(table, start)
            else:
                self.entry(table)

    def entry(self, table: str) -> None:
        """Walk over one ``key = value``."""
        start = self.at
        path = ".".join([table, *self.keys()] if table else self.keys())
        self.expect("=")
        self.skip(_BLANK)
        self.value(path, start)

    def value(self, path: str, start: int) -> None:
        """Walk over a value, noting the keys and items inside it."""
        begin = self.at
        self.note(path, start)
        if self.take("["):
            count = 0
            while self.skip(_BLANK_LINES) and not self.take("]"):
                count += 1
                self.value(f"{path}.{count}", self.at)
                self.skip(_BLANK_LINES)
                self.take(",")
            wrote = " ".join(self.text[begin : self.at].split())
        elif self.take("{"):
            while self.skip(_BLANK_LINES) and not self.take("}"):
                self.entry(path)
                self.skip(_BLANK_LINES)
                self.take(",")
            return
        elif found := _STRING.match(self.text, begin):
            self.at = found.end()
            quotes = 3 if found[0][:3] in ('"""', "'''") else 1
            wrote = found[0][quotes:-quotes]
        elif found := _PLAIN.match(self.text, begin):
            self.at = found.end()
            wrote = found[0].strip()
        else:
            raise _LostError
        first = self.places[path]
        end = begin + len(self.text[begin : self.at].rstrip())
        self.places[path] = KeyPlace(first.line, first.column, wrote, begin, end)

    def keys(self) -> list[str]:
        """Read a dotted key."""
        parts: list[str] = []
        while True:
            self.skip(_BLANK)
            if found := _BARE_KEY.match(self.text, self.at):
                parts.append(found[0])
            elif found := _STRING.match(self.text, self.at):
                parts.append(found[0][1:-1])
            else:
                raise _LostError
            self.at = found.end()
            self.skip(_BLANK)
            if not self.take("."):
                return parts

    def resolve(self, parts: list[str]) -> str:
        """Say which table a header means, counting those that come several times."""
        path = parts[0]
        for part in parts[1:]:
            if path in self.counts:
                path = f"{path}.{self.counts[path]}"
            path = f"{path}.{part}"
        return path

    def note(self, path: str, start: int) -> None:
        """Note a key's place, and that of the tables it makes by the way; the first counts."""
        line = bisect_right(self.starts, start)
        place = KeyPlace(line, start - self.starts[line - 1] + 1)
        above, *below = path.split(".")
        self.places.setdefault(above, place)
        for part in below:
            above = f"{above}.{part}"
            self.places.setdefault(above, place)

    def skip(self, what: re.Pattern[str]) -> bool:
        found = what.match(self.text, self.at)
        self.at = found.end() if found else self.at
        if self.at >= len(self.text) and what is not _BLANK_LINES:
            raise _LostError
        return self.at < len(self.text)

    def take(self, what: str) -> bool:
        if not self.text.startswith(what, self.at):
            return False
        self.at += len(what)
        return True

    def expect(self, what: str) -> None:
        if not self.take(what):
            raise _LostError
