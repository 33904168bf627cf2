"""The kinds of value that are words: choices, names, texts, colours, yes and no.

Comes in: what the file's reader found. Goes out: checked words, in this program's spelling.
Refuses: with one sentence, a word that is not known, naming the nearest that is.

These are marks on the fields of the design's models, as those of ``design_kinds`` are.

Each function takes the noun its messages begin with, and limits, and gives a ``Kind``. None of
them raises; a ``Kind`` raises ``MeasureError`` when it reads what it cannot take.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from tesselath.design.design import MixedLot
from tesselath.design.design_kinds import Kind, count, refusal, share
from tesselath.measure import SLACK, british, nearest

__all__ = ["choice", "colour", "flag", "named", "scalar", "text", "wood_or_lot"]

_LONGEST_TEXT = 200


def choice(*words: str, also: Mapping[str, str] | None = None) -> Kind:
    """Make the kind of one word of a list; case, hyphens and American spelling do not matter."""
    known = {**{_flat(word): word for word in words}, **(also or {})}

    def read(value: object, _units: str) -> str:
        found = known.get(_flat(value)) if isinstance(value, str) else None
        if found is None:
            near = nearest(british(_flat(value)), [_flat(word) for word in words])
            first = [known[near]] if near else []
            listed = [*first, *sorted(word for word in words if word not in first)]
            quoted = ", ".join(f'"{word}"' for word in listed)
            raise refusal(value, f"Only {_either(quoted)} may stand here.")
        return found

    return Kind(read, {"enum": list(words)})


def text(noun: str, *, empty: bool = False, longest: int = _LONGEST_TEXT) -> Kind:
    """Make the kind of a text on one line."""

    def read(value: object, _units: str) -> str:
        if not isinstance(value, str):
            raise refusal(value, f"{noun} is a text in quotes.")
        plain = value.strip()
        if not plain and not empty:
            raise refusal(value, f"{noun} cannot be empty.")
        if len(plain) > longest or not plain.isprintable():
            rule = f"{noun} stands on one line of at most {longest} letters."
            raise refusal(value, rule)
        return plain

    return Kind(read, {"type": "string"})


def named(noun: str) -> Kind:
    """Make the kind of a name that is printed on cards and drawings."""
    return text(noun, longest=40)


def colour() -> Kind:
    """Make the kind of a colour on a screen."""

    def read(value: object, _units: str) -> str:
        found = re.fullmatch(r"#(?:[0-9a-f]{3}){1,2}", str(value).strip().lower())
        if not found or not isinstance(value, str):
            rule = "A colour is # and six of the signs 0-9 and a-f."
            raise refusal(value, rule, 'Write it like "#5b4030".')
        plain = found[0]
        return plain if len(plain) == 7 else "#" + "".join(2 * sign for sign in plain[1:])

    return Kind(read, {"type": "string"})


def flag() -> Kind:
    """Make the kind of a yes or no."""

    def read(value: object, _units: str) -> bool:
        if not isinstance(value, bool):
            raise refusal(value, "Only true or false may stand here, without quotes.")
        return value

    return Kind(read, {"type": "boolean"})


def scalar(noun: str) -> Kind:
    """Make the kind of a value that is checked later: a text or a number."""

    def read(value: object, _units: str) -> str | int | float:
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise refusal(value, f"{noun} is a text in quotes or a number.")
        return value

    return Kind(read, {"type": ["string", "number"]})


def wood_or_lot() -> Kind:
    """Make the kind of a tone's wood: one name, or a mixed lot of several."""
    wood = named("A wood")
    seed = count("A seed", least=0, most=10**9)
    portion = share("A wood's share", most=1)

    def read(value: object, units: str) -> str | MixedLot:
        shares: list[float] = []
        number = 1
        if isinstance(value, dict):
            for key in sorted(set(value) - {"woods", "shares", "seed"}):
                rule = "A mixed lot has woods, shares and seed."
                raise refusal(key, rule, f"Leave {key} out.")
            number = seed.read(value.get("seed", 1), units)
            woods, given = value.get("woods", []), value.get("shares", [])
            woods = woods if isinstance(woods, list) else [woods]
            if not isinstance(given, list) or (given and len(given) != len(woods)):
                raise refusal(given, "A mixed lot has one share for each wood.")
            shares = [portion.read(part, units) for part in given]
            if shares and abs(sum(shares) - 1) > SLACK:
                raise refusal(given, "The shares of a mixed lot add up to 100 %.")
            value = woods
        if isinstance(value, list):
            if len(value) < 2:
                raise refusal(value, "A mixed lot has two woods or more.")
            woods = tuple(wood.read(name, units) for name in value)
            if len(set(woods)) < len(woods):
                raise refusal(value, "A mixed lot names each wood once.")
            return MixedLot(woods, tuple(shares) or (1 / len(woods),) * len(woods), number)
        if not isinstance(value, str):
            rule = "A tone's wood is a text in quotes, or a list of several."
            raise refusal(value, rule)
        found: str = wood.read(value, units)
        return found

    return Kind(read, {"type": ["string", "array", "object"]})


def _flat(value: object) -> str:
    """Take case, hyphens and American spelling out of a word."""
    return british(" ".join(re.sub(r"[-_]", " ", str(value).lower()).split()))


def _either(listed: str) -> str:
    head, _, last = listed.rpartition(", ")
    return f"{head} or {last}" if head else last
