"""Spelling: American words for British ones, and the nearest known word.

Comes in: a word as a maker wrote it. Goes out: the word as this program spells it, or the
known word most like it. Refuses: nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from difflib import get_close_matches

__all__ = ["british", "nearest"]

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

    Raises
    ------
    ValueError
        Never.

    Examples
    --------
    >>> british("largest_miter"), british("cubic meter"), british("diameter")
    ('largest_mitre', 'cubic metre', 'diameter')
    """
    for american, here in _VARIANTS:
        word = re.sub(american, here, word)
    return word


def nearest(word: str, known: Iterable[str]) -> str:
    """Find the known word most like one that is not known.

    Parameters
    ----------
    word : str
        What was written.
    known : iterable of str
        The known words.

    Returns
    -------
    str
        The nearest; empty when none is near.

    Raises
    ------
    ValueError
        Never.

    Examples
    --------
    >>> nearest("witdh", ["width", "depth"]), nearest("zzz", ["width"])
    ('width', '')
    """
    close = get_close_matches(word, sorted(known), n=1, cutoff=0.6)
    return close[0] if close else ""
