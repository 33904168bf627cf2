"""Notes: doubts and cautions as data, one line per class of trouble.

Comes in: a code, a sentence, the pieces concerned. Goes out: a ``Note``.
Refuses: nothing. Every output shows the same notes.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Note"]


@dataclass(frozen=True, slots=True)
class Note:
    """One line of advice.

    ``code`` names the class of trouble; codes that begin with "caution" are the usual
    cautions, which every plan carries. ``numbers`` are the pieces concerned.
    """

    code: str
    text: str
    numbers: tuple[int, ...] = ()
