"""Sizes: what a design sets of a pattern, checked against its limits and made ready to lay.

Comes in: a pattern, what the design says, the strip width and the gap. Goes out: the value of every
name the pattern's expressions may use. Refuses: unknown sizes, wrong kinds, values outside their
limits, relations that do not hold.
"""

from __future__ import annotations

import keyword
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from math import isfinite, pi

from tesselath.errors import Fault, MeasureError, PatternError
from tesselath.measure import SLACK, parse_angle, parse_length, show_length, show_number
from tesselath.pattern.expressions import Dimension, Expression, constant
from tesselath.pattern.functions import FUNCTIONS
from tesselath.pattern.pattern import Pattern, Size

__all__ = [
    "RESERVED",
    "SettingFault",
    "check_settings",
    "dimensions_of",
    "outside_limits",
    "parse_literal",
    "parse_measure",
    "settle_sizes",
    "show_size",
]

#: Names that mean something already and may not be a size or a derived value.
RESERVED = frozenset(
    {*FUNCTIONS, "pi", "zone_width", "zone_depth", "a", "b", "item", "row", "piece", "ring", "side"}
) | frozenset(keyword.kwlist)

_KINDS = {"length": 'a length such as "3/4 in" or "19 mm"', "angle": 'an angle such as "30 deg"'}


@dataclass(frozen=True, slots=True)
class SettingFault:
    """One size that a design sets wrongly; the design file adds the place."""

    key: str
    wrote: str
    rule: str
    remedy: str = ""


def parse_literal(written: object) -> tuple[str, float]:
    """Read a size as a pattern or a design writes it; its kind is told by how it is written.

    >>> parse_literal("1 in"), parse_literal("30 deg"), parse_literal("1/2")
    (('length', 25.4), ('angle', 30.0), ('number', 0.5))
    """
    if isinstance(written, bool) or not isinstance(written, str | int | float):
        raise MeasureError("A length, an angle or a number is meant here.")
    if isinstance(written, int | float):
        number = float(written) if abs(written) < 1e15 else float("inf")
        if not isfinite(number):
            raise MeasureError("The number is not finite or far too large.")
        return "number", number
    text = written.strip()
    try:
        return "number", float(Fraction(text))
    except (ValueError, ZeroDivisionError, OverflowError):
        pass
    if any(text.endswith(unit) for unit in ("deg", "deg.", "degree", "degrees", "°")):
        return "angle", parse_angle(text)
    return "length", parse_length(text, units=None)


def check_settings(
    pattern: Pattern, raw: Mapping[str, object]
) -> tuple[dict[str, float], list[SettingFault]]:
    """Check the sizes a design sets, by short name or by label.

    Parameters
    ----------
    raw : mapping of str to object
        What the design wrote; lengths carry their unit.

    Returns
    -------
    tuple
        The values by short name [mm, degrees or count], and every fault.

    Raises
    ------
    MeasureError
        Never: what cannot be read is among the faults.
    """
    values: dict[str, float] = {}
    faults: list[SettingFault] = []
    names = [size.name for size in pattern.sizes]
    labels = [size.label for size in pattern.sizes if size.label]
    for key, written in raw.items():
        size = pattern.size(key)
        wrote = str(written)
        if size is None:
            near = get_close_matches(key, names + labels, n=1)
            has = ", ".join(f"{s.name} ({s.label})" if s.label else s.name for s in pattern.sizes)
            remedy = f"Did you mean {near[0]}?" if near else ""
            rule = f"The pattern {pattern.name} has no such size; it has {has or 'none'}."
            faults.append(SettingFault(key, wrote, rule, remedy))
            continue
        if size.name in values:
            rule = f"The size {size.name} is set twice, by name and by label."
            faults.append(SettingFault(key, wrote, rule))
            continue
        try:
            kind, value = parse_literal(written)
        except MeasureError as error:
            faults.append(SettingFault(key, wrote, str(error)))
            continue
        if kind == "number" and (value == 0.0 or size.kind == "angle"):
            kind = size.kind
        if kind != size.kind:
            meant = _KINDS.get(size.kind, "a plain number")
            remedy = f'Write "{wrote} in" or "{wrote} mm".' if size.kind == "length" else ""
            faults.append(SettingFault(key, wrote, f"{size.name} is {meant}.", remedy))
            continue
        rule = outside_limits(size, value)
        if rule:
            faults.append(SettingFault(key, wrote, rule))
            continue
        values[size.name] = value
    return values, faults


def outside_limits(size: Size, value: float) -> str:
    """Say in a sentence which limit of a size a value breaks; empty when it breaks none."""
    name = f"{size.name} ({size.label})" if size.label else size.name
    if size.least is not None and value < size.least - SLACK:
        return f"{name} must be at least {show_size(size, size.least)}."
    if size.most is not None and value > size.most + SLACK:
        return f"{name} must be at most {show_size(size, size.most)}."
    if size.whole and abs(value - round(value)) > SLACK:
        return f"{name} must be a whole number."
    return ""


def show_size(size: Size, value: float) -> str:
    """Print a value of a size in words; lengths in both units."""
    if size.kind == "length":
        inches = show_length(value, tape=25.4 / 64, units="in")
        return f"{inches} ({show_number(value, decimals=1)} mm)"
    return f"{show_number(value)} deg" if size.kind == "angle" else show_number(value)


def settle_sizes(
    pattern: Pattern,
    settings: Mapping[str, float],
    *,
    strip_width: float | None,
    gap: float,
    zone_width: float,
    zone_depth: float,
) -> dict[str, float]:
    """Give the value of every name a pattern's expressions may use.

    Parameters
    ----------
    settings : mapping of str to float
        The sizes the design sets, by short name [mm, degrees or count].
    strip_width : float or None
        The width of the design's strips, which stands for w unless that is set [mm].
    gap : float
        The designed space between pieces, added to every size that is a piece's own [mm].
    zone_width, zone_depth : float
        The box of the zone along the pattern's own axes [mm].

    Returns
    -------
    dict of str to float
        Sizes, derived values, the zone's box and pi.

    Raises
    ------
    PatternError
        If a value lies outside its limits or a relation does not hold.
    """
    values = {"pi": pi, "zone_width": zone_width, "zone_depth": zone_depth}
    for size in pattern.sizes:
        value = settings.get(size.name)
        if value is None:
            from_strips = size.name == "w" and strip_width is not None
            value = strip_width if from_strips and strip_width is not None else size.value
            rule = outside_limits(size, value) if from_strips else ""
            if rule:
                wrote = show_size(size, value)
                remedy = f"Set w for the pattern {pattern.name}, or choose another."
                raise PatternError(Fault("strips.width", wrote, rule, remedy))
        values[size.name] = value + gap if size.wood else value
    for name, expression in pattern.derived:
        values[name] = expression.number(values)
    for must in pattern.musts:
        if must.that.number(values) == 0.0:
            remedy = f"Change the sizes of the pattern {pattern.name}."
            raise PatternError(Fault(must.place, must.that.text, f"{must.say}.", remedy))
    return values


def dimensions_of(pattern_sizes: tuple[Size, ...]) -> dict[str, Dimension]:
    """Give the dimension of each size and of the names every expression knows."""
    dimensions: dict[str, Dimension] = {"pi": 0, "zone_width": 1, "zone_depth": 1}
    for size in pattern_sizes:
        dimensions[size.name] = 1 if size.kind == "length" else 0
    return dimensions


def parse_measure(written: str | float) -> Expression | None:
    """Read a derived value that is a measure such as "1/8 in"; None when it is arithmetic."""
    if not isinstance(written, str):
        return None
    try:
        kind, value = parse_literal(written)
    except MeasureError:
        return None
    dimension = {"length": 1, "angle": 0}.get(kind)
    return None if dimension is None else constant(value, text=written, dimension=dimension)
