"""The errors a maker may meet, by who can put them right.

Comes in: the place, what was written, the rule, and what would do. Goes out: one exception whose
text is one clear sentence per fault.

Every message follows one grammar, so that all of them read alike::

    hall-table.toml, line 9, border.width: "0 mm". A border must be wider than 0.
    ^ place                                ^ wrote  ^ rule                  + what would do
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = [
    "DesignError",
    "Fault",
    "MeasureError",
    "OutputError",
    "PatternError",
    "SawError",
    "TesselathError",
]


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong, and how to put it right.

    Parameters
    ----------
    place : str
        File, line and key, as far as they are known.
    wrote : str or None
        What was written there; None when nothing was.
    rule : str
        The rule it breaks, a sentence.
    remedy : str
        What would do, a sentence; may be empty.
    """

    place: str
    wrote: str | None
    rule: str
    remedy: str = ""

    def __str__(self) -> str:
        """Say the fault in one line."""
        head = f"{self.place}: " if self.place else ""
        wrote = "" if self.wrote is None else f'"{self.wrote}". '
        tail = f" {self.remedy}" if self.remedy else ""
        return f"{head}{wrote}{self.rule}{tail}"


class TesselathError(Exception):
    """Base of every error that is meant for the maker.

    Parameters
    ----------
    faults : str or Fault or iterable of Fault
        What is wrong, in the order of the file.
    """

    #: What the command line answers: 1 the work cannot be done as asked, 2 the file is unreadable.
    exit_status = 1

    def __init__(self, faults: str | Fault | Iterable[Fault]) -> None:
        if isinstance(faults, str):
            faults = [Fault("", None, faults)]
        elif isinstance(faults, Fault):
            faults = [faults]
        self.faults: tuple[Fault, ...] = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class MeasureError(TesselathError, ValueError):
    """A length or an angle that cannot be read; put right at the tape or in the file."""


class DesignError(TesselathError, ValueError):
    """A design that cannot be read or made; put right in the design file."""


class PatternError(TesselathError, ValueError):
    """A pattern that cannot be read or laid; put right in the pattern file."""


class SawError(TesselathError, ValueError):
    """A piece that cannot be cut from the stock or at the saw as they are described."""


class OutputError(TesselathError, OSError):
    """A file that cannot be written; put right on the disk or on the command line."""

    exit_status = 2
