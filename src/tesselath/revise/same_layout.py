"""Same layout: whether a design still lays its pattern as an earlier plan did.

Comes in: a design, the tables of the earlier plan, the numbers of the pieces that are cut. Goes
out: nothing. Refuses: what pieces already cut cannot be fitted into.

Opening, clearance, frame, stock, saw and the width of the strips may be others; the pattern, its
turn, shift, mirror, gap and proportions may not.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from tesselath.design import Design
from tesselath.errors import DesignError, Fault, OutputError
from tesselath.field import show_layout
from tesselath.measure import ALIKE, ANGLE_ALIKE, SLACK, show_number
from tesselath.shape import as_outline

__all__ = ["check_same_layout"]

_CUT_FOR = "Pieces already cut fit only the layout they were cut for."


def check_same_layout(design: Design, tables: Mapping[str, Any], cut: Sequence[int]) -> None:
    """Refuse a design into which the pieces of an earlier plan cannot be fitted."""
    if not {"layout", "pattern", "gap"} <= set(tables):
        rule = "This plan does not tell how its pattern lies; an earlier version made it."
        raise OutputError(Fault(tables["name"], None, rule, "Plan the old design anew first."))
    _check_numbers(tables, cut)
    is_cut = [row for row in tables["pieces"] if row["number"] in set(cut) or "cut" in row]
    if not is_cut:
        return
    here = {
        "field",
        *(f"border-{n}" for n in range(1, len(design.borders) + 1)),
        *(f"medallion-{n}" for n in range(1, len(design.medallions) + 1)),
    }
    gone = sorted({row["zone"] for row in is_cut} - here)
    if gone:
        raise DesignError(
            Fault(
                design.place(gone[0].partition("-")[0]),
                None,
                f"Pieces of {gone[0]} are cut, and the design has no {gone[0]}.",
                "Leave it in the design.",
            )
        )
    if any(row["zone"] == "field" for row in is_cut):
        _check_field(design, tables)


def _check_numbers(tables: Mapping[str, Any], cut: Sequence[int]) -> None:
    numbers = {row["number"] for row in tables["pieces"]}
    unknown = [str(n) for n in dict.fromkeys(cut) if n not in numbers]
    if unknown:
        which = ", ".join(unknown[:8]) + (" and others" if len(unknown) > 8 else "")
        raise DesignError(
            f"The plan has no piece {which}; its pieces are {min(numbers)} to {max(numbers)}."
        )


def _check_field(design: Design, tables: Mapping[str, Any]) -> None:
    was, now = tables["layout"], show_layout(design, as_outline(tables["layout"]["edge"]))
    pattern = design.field.filling.pattern.name
    if tables["pattern"] != pattern:
        raise _other(
            design,
            "field.pattern",
            pattern,
            f"The plan is of another pattern, {tables['pattern']}.",
        )
    if abs(was["angle"] - now["angle"]) > ANGLE_ALIKE:
        raise _other(
            design,
            "field.angle",
            f"{show_number(now['angle'])} deg",
            f"The plan's pattern is turned by {show_number(was['angle'])}.",
        )
    if max(abs(a - b) for a, b in zip(was["shift"], now["shift"], strict=True)) > ALIKE:
        raise _other(
            design,
            "field.shift",
            None,
            "The plan's pattern is shifted otherwise.",
            "Say with --moved how far the pieces lie from their places.",
        )
    for key in ("mirror", "centre"):
        if was[key] != now[key]:
            raise _other(design, f"field.{key}", now[key], f'The plan was made with "{was[key]}".')
    if abs(tables["gap"] - design.strips.gap) > ALIKE:
        raise _other(
            design,
            "strips.gap",
            f"{show_number(design.strips.gap)} mm",
            f"The plan's gap is {show_number(tables['gap'])} mm.",
        )
    # The strips may be of another width; the proportions of the figure may not.
    names = sorted({*was["set"], *now["set"]} - {"w"})
    for name in names:
        a, b = was["set"].get(name), now["set"].get(name)
        if a is None or b is None or abs(a - b) > SLACK * max(1.0, abs(a)):
            raise _other(
                design, f"field.set.{name}", None, f"The plan's pattern has another {name}."
            )


def _other(
    design: Design, key: str, wrote: str | None, rule: str, remedy: str = _CUT_FOR
) -> DesignError:
    return DesignError(Fault(design.place(key), wrote, rule, remedy))
