"""Spelling: counts and lists as they are said, American words for British, the nearest word.

Comes in: a word as a maker wrote it. Goes out: the word as this program spells it, or the known
word most like it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from difflib import get_close_matches

__all__ = ["british", "counted", "in_english", "listed", "nearest", "show_numbers"]

_VARIANTS = (
    (r"miter", "mitre"),
    (r"color", "colour"),
    (r"gray", "grey"),
    (r"center", "centre"),
    (r"license", "licence"),
    # Not the ends of diameter and perimeter.
    (r"\b(milli|centi|)meter", r"\1metre"),
)


def british(word: str) -> str:
    """Give a word's British spelling.

    Parameters
    ----------
    word : str
        A word or a few, in lower case.

    Returns
    -------
    str
        The same, as this program spells it.

    Examples
    --------
    >>> british("largest_miter"), british("cubic meter"), british("diameter")
    ('largest_mitre', 'cubic metre', 'diameter')
    """
    for american, here in _VARIANTS:
        word = re.sub(american, here, word)
    return word


#: What American readers spell otherwise, in words that the program prints.
_AMERICAN = (
    (r"\b([Mm])itred\b", r"\1itered"),
    (r"\b([Mm])itre", r"\1iter"),
    (r"\b([Cc])olour", r"\1olor"),
    (r"\b([Gg])rey\b", r"\1ray"),
    (r"\b([Cc])entred\b", r"\1entered"),
    (r"\b([Cc])entre", r"\1enter"),
    (r"\b([Ll])icence", r"\1icense"),
    (r"\b([Ll])evell", r"\1evel"),
    (r"\b([Pp])ractis", r"\1ractic"),
    (r"([Mm])etres?\b", lambda found: found[0].replace("tre", "ter")),
)


def in_english(words: str, english: str) -> str:
    """Spell words of the program's own for the readers of a design.

    Parameters
    ----------
    words : str
        Words in British spelling; names that a maker gave are best left out.
    english : {"US", "UK"}
        Whose spelling is wanted.

    Examples
    --------
    >>> in_english("Mitre from the centre line, millimetres", "US")
    'Miter from the center line, millimeters'
    >>> in_english("Mitre from the centre line", "UK")
    'Mitre from the centre line'
    """
    if english == "US":
        for here, there in _AMERICAN:
            words = re.sub(here, there, words)
    return words


def nearest(word: str, known: Iterable[str]) -> str:
    """Find the known word most like one that is not known.

    Returns
    -------
    str
        The nearest; empty when none is near.

    Examples
    --------
    >>> nearest("witdh", ["width", "depth"]), nearest("zzz", ["width"])
    ('width', '')
    """
    close = get_close_matches(word, sorted(known), n=1, cutoff=0.6)
    return close[0] if close else ""


def counted(n: int, one: str, many: str | None = None) -> str:
    """Print a count with its noun.

    Examples
    --------
    >>> counted(1, "piece"), counted(3, "piece"), counted(2, "batch", "batches")
    ('1 piece', '3 pieces', '2 batches')
    """
    return f"{n} {one if n == 1 else many or one + 's'}"


def listed(words: Sequence[str]) -> str:
    """Print a list as it is said.

    Examples
    --------
    >>> listed(["walnut", "maple", "ash"])
    'walnut, maple and ash'
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def show_numbers(numbers: Sequence[int]) -> str:
    """Print piece numbers with runs drawn together.

    Source: common practice.

    Examples
    --------
    >>> show_numbers([1, 2, 3, 7, 9, 10])
    '1-3 7 9 10'
    """
    runs: list[list[int]] = []
    for n in numbers:
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    words = []
    for run in runs:
        words += [f"{run[0]}-{run[-1]}"] if len(run) > 2 else [str(n) for n in run]
    return " ".join(words)
