"""Writing a fit: the maker's own file with a few values changed, everything else as it stands.

Comes in: the text of a design file and changes. Goes out: the new text: comments, order and
spelling kept, a value put in the place of the old one, a missing key beside its kin. Refuses: a
text in which a key cannot be found or placed.

    width = "54"     # measured twice        width = "54 1/16 in"     # measured twice
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from tesselath.design import Design
from tesselath.errors import DesignError, Fault
from tesselath.files import KeyPlace, find_places
from tesselath.fit.fit_change import Change, write_value

__all__ = ["rewrite_design"]

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def rewrite_design(text: str, changes: Sequence[Change], design: Design, *, remark: str) -> str:
    """Change values in the text of a design file.

    Parameters
    ----------
    design : Design
        The design as it stands in the text.
    remark : str
        One line that is put first, as a comment.

    Raises
    ------
    DesignError
        If a key cannot be placed in the text.
    """
    text = text.removeprefix("\ufeff").replace("\r\n", "\n")
    for change in _as_keys(changes, design, text):
        text = _put(text, *change)
    return f"# {remark}\n{text}"


def _as_keys(changes: Sequence[Change], design: Design, text: str) -> list[tuple[str, str]]:
    """Give the keys as they stand in the file, by label or as an overall size, and their texts."""
    places = find_places(text)
    found: list[tuple[str, str]] = []
    for change in changes:
        key = change.key
        if key.startswith("field.set."):
            key = _written_size(key.removeprefix("field.set."), design, places)
        if key.startswith("opening.") and "opening.overall" in places and design.frame is not None:
            assert not isinstance(change.value, tuple)
            key = "opening.overall.1" if key == "opening.width" else "opening.overall.2"
            change = Change(key, change.value + 2 * design.frame.width)  # noqa: PLW2901
        found.append((key, write_value(change, design)))
    return found


def _written_size(name: str, design: Design, places: dict[str, KeyPlace]) -> str:
    """The key of a size as the maker wrote it: its short name or its label."""
    size = design.field.filling.pattern.size(name)
    label = f"field.set.{size.label}" if size is not None and size.label else ""
    return label if label in places else f"field.set.{name}"


def _put(text: str, key: str, value: str) -> str:
    """Put one value into the text."""
    places = find_places(text)
    place = places.get(key)
    if place is not None and place.end > place.begin >= 0:
        return text[: place.begin] + value + text[place.end :]
    table, _, name = key.rpartition(".")
    name = name if _BARE.fullmatch(name) else f'"{name}"'
    kin = _kin(table, places)
    if kin is not None:
        return _beside(text, kin[1], kin[0], f"{name} = {value}")
    header = re.search(rf"^[ \t]*\[[ \t]*{re.escape(table)}[ \t]*\][^\n]*", text, re.MULTILINE)
    if header is not None:
        return f"{text[: header.end()]}\n{name} = {value}{text[header.end() :]}"
    if table == "field.set":
        return _put_set(text, f"{name} = {value}")
    if "." in table:
        raise DesignError(
            Fault(
                key,
                None,
                "This key cannot be placed in the file.",
                "Write it into the file yourself.",
            )
        )
    return f"{text.rstrip()}\n\n[{table}]\n{name} = {value}\n"


def _put_set(text: str, entry: str) -> str:
    """Set a size where the design sets none: under the pattern's name."""
    places = find_places(text)
    return _beside(text, places["field.pattern"], "field.pattern", f"set.{entry}")


def _kin(table: str, places: dict[str, KeyPlace]) -> tuple[str, KeyPlace] | None:
    """The last key that stands directly in a table."""
    found = [
        (key, place)
        for key, place in places.items()
        if place.end >= 0 and key.rpartition(".")[0] == table
    ]
    return found[-1] if found else None


def _beside(text: str, kin: KeyPlace, key: str, entry: str) -> str:
    """Put an entry after its kin: on a line of its own, or within the same braces."""
    start = text.rfind("\n", 0, kin.begin) + 1
    head = text[start : kin.begin]
    if "{" in head:
        return f"{text[: kin.end]}, {entry}{text[kin.end :]}"
    # What stands before the last name of a dotted key is kept: field.pattern, set."strip width".
    written = head.split("=")[0].rstrip()
    last = key.rpartition(".")[2]
    prefix = re.sub(rf'(["\']?){re.escape(last)}\1$', "", written)
    line_end = text.find("\n", kin.end)
    line_end = len(text) if line_end < 0 else line_end
    return f"{text[:line_end]}\n{prefix}{entry}{text[line_end:]}"
