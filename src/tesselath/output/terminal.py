"""Terminal: sentences broken into lines that a terminal shows.

Comes in: a sentence. Goes out: its lines.
"""

from __future__ import annotations

import textwrap

__all__ = ["WIDTH", "wrapped"]

#: The longest line that a command prints [characters].
WIDTH = 96


def wrapped(text: str, *, first: str = "  - ") -> list[str]:
    """Break a sentence between words, the lines after the first under its own beginning.

    Parameters
    ----------
    first : str
        What stands before it.

    Returns
    -------
    list of str
        The lines; a word with a hyphen stays whole.

    Examples
    --------
    >>> wrapped("Part M has more than two cuts.")
    ['  - Part M has more than two cuts.']
    """
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=first,
        subsequent_indent=" " * max(len(first), 2),
        break_on_hyphens=False,
    )
