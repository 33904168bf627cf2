"""Measures as they are printed: to the marks of the maker's tape.

Comes in: mm, degrees, mm2, and the finest mark the maker reads. Goes out: text such as ``24 1/8
in`` or ``612.5 mm``, and the error made by rounding. Refuses: a tape whose marks are not a whole
part of an inch, where inches are printed.

Everything here rounds half up by size, so that -x prints as x with a sign, and no value
prints as -0. Feet are not used: a stop is set in inches.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor, isfinite

from tesselath.errors import MeasureError
from tesselath.measure.tolerances import ALIKE, ON_THE_LINE, SLACK

__all__ = [
    "FINEST",
    "rounding_error",
    "run_unit",
    "show_angle",
    "show_area",
    "show_both",
    "show_change",
    "show_length",
    "show_number",
    "show_run",
]

#: What movement is printed to, by units [mm].
FINEST = {"in": 25.4 / 64, "mm": 0.1}

_INCH = Fraction(254, 10)
#: What the other unit is read to, where both are printed: its usual tape [mm].
_OTHER_TAPE = {"in": 25.4 / 32, "mm": 0.5}


def show_length(mm: float, *, tape: float, units: str, up: bool = False, unit: bool = True) -> str:
    """Print a length to the maker's tape.

    Source: half up is common shop practice (ASTM E29 would send an exact half to the even mark).
    A length within a millionth of a mm of a mark, or of the half way, counts as on it.

    Parameters
    ----------
    mm : float
        The length [mm].
    tape : float
        The finest mark of the tape [mm].
    units : {"in", "mm"}
        The units to print in.
    up : bool
        Round up to the next mark, as for edge pieces that are trimmed or fitted.
    unit : bool
        Whether the unit is printed; a table may name it once at its head.

    Returns
    -------
    str
        The length, with its fraction reduced.

    Raises
    ------
    MeasureError
        If the tape's mark is not a whole part of an inch, where inches are printed.

    Examples
    --------
    >>> show_length(612.775, tape=25.4 / 32, units="in")
    '24 1/8 in'
    >>> show_length(25.24, tape=25.4 / 64, units="in"), show_length(612.3, tape=0.5, units="mm")
    ('1 in', '612.5 mm')
    >>> show_length(100.1, tape=1.0, units="mm", up=True)
    '101 mm'
    """
    marks = _read_marks(mm, tape=tape, units=units, up=up)
    value = abs(marks) * _mark(tape, units)
    sign = "-" if marks < 0 else ""
    tail = f" {units}" if unit else ""
    if units == "mm":
        return f"{sign}{show_number(value, decimals=3)}{tail}"
    whole, part = divmod(value, 1)
    fraction = f"{part.numerator}/{part.denominator}" if part else ""
    number = " ".join(text for text in (str(whole) if whole or not part else "", fraction) if text)
    return f"{sign}{number}{tail}"


def show_both(mm: float, *, tape: float, units: str, up: bool = False) -> str:
    """Print a length in the maker's units, with the other unit beside it.

    Parameters
    ----------
    mm : float
        The length [mm].
    tape : float
        The finest mark of the tape [mm].
    units : {"in", "mm"}
        The maker's units.
    up : bool
        Round up to the next mark.

    Returns
    -------
    str
        Both lengths, the other one to 1/32 in or 0.5 mm.

    Raises
    ------
    MeasureError
        As for `show_length`.

    Examples
    --------
    >>> show_both(612.775, tape=25.4 / 32, units="in")
    '24 1/8 in (613 mm)'
    """
    other = "mm" if units == "in" else "in"
    beside = show_length(mm, tape=_OTHER_TAPE[other], units=other, up=up)
    return f"{show_length(mm, tape=tape, units=units, up=up)} ({beside})"


def rounding_error(mm: float, *, tape: float, units: str, up: bool = False) -> float:
    """Say how much longer the printed length is than the true one.

    Parameters
    ----------
    mm : float
        The length [mm].
    tape : float
        The finest mark of the tape [mm].
    units : {"in", "mm"}
        The units it is printed in.
    up : bool
        Whether it is rounded up.

    Returns
    -------
    float
        Printed less true [mm]; negative when it prints short.

    Raises
    ------
    MeasureError
        As for `show_length`.

    Examples
    --------
    >>> rounding_error(0.6875 * 25.4, tape=25.4 / 16, units="in")
    0.0
    >>> round(rounding_error(612.3, tape=0.5, units="mm"), 6)
    0.2
    """
    printed = _read_marks(mm, tape=tape, units=units, up=up) * _mark(tape, units)
    return float(printed * _INCH if units == "in" else printed) - mm


def show_angle(angle: float, *, decimals: int = 2, unit: bool = True) -> str:
    """Print an angle as a saw's scale can be read.

    Parameters
    ----------
    angle : float
        The angle [degrees].
    decimals : int
        At most this many [count].
    unit : bool
        Whether the degree sign is printed.

    Examples
    --------
    >>> show_angle(22.5), show_angle(31.6069), show_angle(-0.001, unit=False)
    ('22.5°', '31.61°', '0')
    """
    return f"{show_number(angle, decimals=decimals)}{'°' if unit else ''}"


def show_area(mm2: float, *, units: str) -> str:
    """Print an area as it is bought and spread.

    Parameters
    ----------
    mm2 : float
        The area [mm2].
    units : {"in", "mm"}
        The maker's units.

    Returns
    -------
    str
        Square feet, or square inches below one; or square metres.

    Examples
    --------
    >>> show_area(54 * 20 * 645.16, units="in"), show_area(600 * 400, units="mm")
    ('7.5 sq ft', '0.24 m²')
    """
    if units == "mm":
        return f"{show_number(mm2 / 1e6, decimals=3)} m²"
    inches = mm2 / 645.16
    if abs(inches) < 144:
        return f"{show_number(inches, decimals=1)} sq in"
    return f"{show_number(inches / 144, decimals=2)} sq ft"


def run_unit(units: str) -> tuple[float, str]:
    """Give the unit in which stick is counted, its length [mm] and its name: foot or metre."""
    return (304.8, "ft") if units == "in" else (1000.0, "m")


def show_run(mm: float, *, units: str) -> str:
    """Print a length of stick [mm] in feet or metres, without the unit.

    Examples
    --------
    >>> show_run(3048.0, units="in"), show_run(1234.0, units="mm")
    ('10', '1.23')
    """
    unit, name = run_unit(units)
    return show_number(mm / unit, decimals=1 if name == "ft" else 2)


def show_number(value: float | Fraction, *, decimals: int = 3) -> str:
    """Print a number plainly: no exponent, no trailing zeros, no -0, the same everywhere.

    Parameters
    ----------
    decimals : int
        At most this many [count].

    Raises
    ------
    ValueError
        If it is not finite.

    Examples
    --------
    >>> show_number(2.5000), show_number(0.0005), show_number(-0.0001), show_number(1e7)
    ('2.5', '0.001', '0', '10000000')
    """
    if not isfinite(value):
        raise ValueError(f"{value} is not a number to print")
    scale = 10**decimals
    steps = floor(abs(Fraction(value)) * scale + Fraction(1, 2) + Fraction(SLACK))
    whole, part = divmod(steps, scale)
    tail = f".{part:0{decimals}d}".rstrip("0") if part else ""
    return f"{'-' if value < 0 and steps else ''}{whole}{tail}"


def _read_marks(mm: float, *, tape: float, units: str, up: bool) -> int:
    """Count the tape's marks nearest to a length, or the next ones up."""
    mark = _mark(tape, units) * (_INCH if units == "in" else 1)
    marks = abs(Fraction(mm)) / mark
    slack = Fraction(ON_THE_LINE) / mark
    count = ceil(marks - slack) if up else floor(marks + Fraction(1, 2) + slack)
    return -count if mm < 0 else count


def _mark(tape: float, units: str) -> Fraction:
    """Give the tape's finest mark, exactly, in the units printed."""
    if not tape > 0:
        raise MeasureError("The finest mark of a tape is more than 0.")
    if units == "mm":
        return Fraction(repr(float(tape)))
    parts = round(25.4 / tape)
    if parts < 1 or abs(25.4 / parts - tape) * parts > ALIKE:
        raise MeasureError("A tape in inches has its marks at a whole part of an inch, as 1/32.")
    return Fraction(1, parts)


def show_change(mm: float, *, units: str) -> str:
    """Print a change of size to the nearest 1/64 in or 0.1 mm.

    Source: common practice.

    Parameters
    ----------
    mm : float
        The change [mm]; its sign is left out.
    units : {"in", "mm"}
        The maker's units.

    Returns
    -------
    str
        The change; what rounds to nothing is said to be under the finest mark.

    Examples
    --------
    >>> show_change(0.756, units="in"), show_change(0.756, units="mm")
    ('1/32 in', '0.8 mm')
    >>> show_change(0.1, units="in")
    'under 1/64 in'
    """
    tape = FINEST[units]
    if abs(mm) < tape / 2:
        return f"under {show_length(tape, tape=tape, units=units)}"
    return show_length(abs(mm), tape=tape, units=units)
