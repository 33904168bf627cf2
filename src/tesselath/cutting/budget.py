"""The budget of a search, in steps of work and not in seconds.

Comes in: how many steps may be taken. Goes out: how many are left.

A step is one cell of a table, or as much work as that, and takes about a nanosecond on a plain
machine. Steps are counted and never timed, so that a slow machine gives the same plan as a fast
one, only later.
"""

from __future__ import annotations

__all__ = ["BILLION", "Budget"]

#: Steps of about one second of work.
BILLION = 1_000_000_000


class Budget:
    """How much work a search may still do.

    Parameters
    ----------
    steps : float
        The steps allowed [count].
    """

    __slots__ = ("left",)

    def __init__(self, steps: float) -> None:
        #: Steps not yet taken; below 0 once the last piece of work went beyond.
        self.left = int(steps)

    def spend(self, steps: float) -> None:
        """Take steps off the budget [count]."""
        self.left -= int(steps)

    @property
    def is_spent(self) -> bool:
        """Whether nothing is left."""
        return self.left <= 0
