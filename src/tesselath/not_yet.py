"""What a design may already say and this version does not build yet.

Comes in: a design as checked, and one with every key left out. Goes out: a complaint for each
thing that is used. Refuses: nothing itself.

The table is the only place that knows what is not yet supported: once a thing is built, its
row goes, and nothing else changes. What the models check of these keys they check already.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tesselath.design_faults import Complaint
from tesselath.design_models import DesignModel

__all__ = ["find_unsupported"]

#: Key, what it is about, and the value that is meant where not every value is.
_NOT_YET: tuple[tuple[str, str, object], ...] = (
    ("medallion.*.shift", "A medallion whose shift the fit chooses", "best"),
)


def find_unsupported(model: DesignModel, *, plain: DesignModel) -> list[Complaint]:
    """Name what a design uses and this version does not build yet.

    Parameters
    ----------
    model : DesignModel
        The design.
    plain : DesignModel
        A design in the same units that leaves every key out.

    Returns
    -------
    list of Complaint
        One for each thing used.

    Raises
    ------
    ValueError
        Never.
    """
    complaints: list[Complaint] = []
    for key, what, only in _NOT_YET:
        usual = dict(_values(plain, key))
        for path, value in _values(model, key):
            if value == usual.get(path) or value in (None, [], False):
                continue
            if only is tuple and not isinstance(value, tuple):
                continue
            if isinstance(only, str) and value != only:
                continue
            rule = f"{what} is not yet supported."
            # Once is enough, however many borders there are, or sides of a measured opening.
            if all(rule != known.rule for known in complaints):
                complaints.append(Complaint(path, rule, "Leave it out."))
    return complaints


def _values(model: DesignModel, key: str) -> Iterator[tuple[str, Any]]:
    """Find the values a key stands for; a star stands for every entry."""
    found: list[tuple[str, Any]] = [("", model)]
    for part in key.split("."):
        step: list[tuple[str, Any]] = []
        for path, value in found:
            if value is None:
                continue
            if part == "*":
                items = value.items() if isinstance(value, dict) else enumerate(value, 1)
                step += [(f"{path}.{name}", item) for name, item in items]
            else:
                step.append((f"{path}.{part}".lstrip("."), getattr(value, part)))
        found = step
    yield from found
