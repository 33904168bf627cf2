"""Measures as makers write them: lengths, angles, shares, times and temperatures.

Comes in: a text such as ``24 1/8 in`` or ``2' 3"``, or a bare number of the file's units. Goes out:
mm, degrees, a share of 1, seconds or degrees Celsius, exact until the last step. Refuses: with one
sentence, whatever could be read in two ways (a comma, a number without a unit where one is asked
for) or in none. The message names no place; who reads a file adds it.

What is printed again comes from ``tape``; its functions are at hand here as well::

    24 1/8 in   24-1/8 in   24⅛"   2 ft 1/8 in   2' 0 1/8"   612 mm   61.2 cm   0.612 m
"""

from __future__ import annotations

import re
from fractions import Fraction
from unicodedata import decomposition

from tesselath.errors import Fault, MeasureError
from tesselath.measure.tape import show_number

__all__ = [
    "parse_angle",
    "parse_duration",
    "parse_exact_length",
    "parse_length",
    "parse_share",
    "parse_temperature",
]

_INCH = Fraction(254, 10)
_LENGTH_UNITS = {
    **dict.fromkeys(("in", "in.", "inch", "inches", '"'), _INCH),
    **dict.fromkeys(("ft", "ft.", "foot", "feet", "'"), 12 * _INCH),
    **dict.fromkeys(("mm", "mm.", "millimetre", "millimetres"), Fraction(1)),
    **dict.fromkeys(("cm", "cm.", "centimetre", "centimetres"), Fraction(10)),
    **dict.fromkeys(("m", "metre", "metres"), Fraction(1000)),
}
_ANGLE_UNITS = dict.fromkeys(("deg", "deg.", "degree", "degrees", "°"), Fraction(1))
_SHARE_UNITS = dict.fromkeys(("%", "percent", "per cent"), Fraction(1, 100))
_TIME_UNITS = {
    **dict.fromkeys(("s", "sec", "sec.", "second", "seconds"), Fraction(1)),
    **dict.fromkeys(("min", "min.", "minute", "minutes"), Fraction(60)),
    **dict.fromkeys(("h", "hr", "hour", "hours"), Fraction(3600)),
}
_CELSIUS, _FAHRENHEIT = Fraction(1), Fraction(5, 9)
_HEAT_UNITS = {
    **dict.fromkeys(("c", "°c", "° c", "deg c", "celsius"), _CELSIUS),
    **dict.fromkeys(("f", "°f", "° f", "deg f", "fahrenheit"), _FAHRENHEIT),
}
_UNITS_OF = {
    "length": "Write in, ft, mm, cm or m.",
    "angle": "Write deg, or nothing.",
    "share": "Write %, or nothing.",
    "time": "Write s, min or h.",
    "temperature": "Write C or F.",
}
_HOW = 'Write it like "24 1/8 in", "2 ft 1/8 in" or "612 mm".'

#: Nothing on a top is longer than a kilometre [mm]; a slip of the keyboard may be.
_LONGEST = 1_000_000
#: The most characters a measure can sensibly have.
_MOST_TEXT = 60

_TERM = re.compile(
    r"""\s*(?:
        (?P<whole>\d+) (?:\s+|-\s?) (?P<top>\d+)\s?/\s?(?P<bottom>\d+)   # 24 1/8 or 24-1/8
      | (?P<over>\d+)\s?/\s?(?P<under>\d+)                               # 1/8
      | (?P<plain>\d+\.\d*|\.\d+|\d+)                                    # 24, 24.125 or .5
    )\s*(?P<unit>"|'|°\s?[a-z]*|%|deg\ [cf]|per\ cent|[a-z]+\.?)?\s*""",
    re.VERBOSE | re.ASCII,
)
_MARKS = str.maketrans(
    {
        **dict.fromkeys("⁄∕", "/"),  # fraction slash, division slash
        **dict.fromkeys("−–‐‑﹣", "-"),
        **dict.fromkeys("′’‘ʹ´`", "'"),
        **dict.fromkeys("″“”„ʺ〃", '"'),
        "º": "°",  # the raised letter beside the degree sign on many keyboards
        **dict.fromkeys("\u200b\u2060\ufeff", ""),
    }
)


def parse_length(value: object, *, units: str | None = None, signed: bool = False) -> float:
    """Read a length off the maker's file.

    Source: one inch is exactly 25.4 mm (international yard and pound agreement, 1959).

    Parameters
    ----------
    value : str or int or float
        What was written, such as ``"24 1/8 in"``.
    units : {"in", "mm"} or None
        What a number without a unit means; None when every length must carry its unit
        (0 alone needs none).
    signed : bool
        Whether it may be negative, as a point or a shift may.

    Returns
    -------
    float
        The length [mm].

    Raises
    ------
    MeasureError
        If it cannot be read, or could be read in two ways.

    Examples
    --------
    >>> parse_length("24 1/8 in")
    612.775
    >>> parse_length("54 1/2", units="in") == parse_length("4' 6½″")
    True
    """
    return float(parse_exact_length(value, units=units, signed=signed))


def parse_exact_length(
    value: object, *, units: str | None = None, signed: bool = False
) -> Fraction:
    """Read a length without any rounding.

    >>> parse_exact_length("1/3 in")
    Fraction(127, 15)
    """
    sign, terms = _read_terms(value, "length", _LENGTH_UNITS, how=_HOW)
    if sign == "-" and not signed:
        raise _refusal(value, "A length here cannot be negative.", "Leave the sign out.")
    total = _add_terms(value, terms, units)
    if total > _LONGEST:
        raise _refusal(value, "This is longer than a kilometre.", "Check the unit.")
    return -total if sign == "-" else total


def parse_angle(value: object) -> float:
    """Read an angle; a bare number is degrees.

    Parameters
    ----------
    value : str or int or float
        What was written, such as ``"45 deg"`` or ``22.5``.

    Returns
    -------
    float
        The angle [degrees].

    Raises
    ------
    MeasureError
        If it cannot be read, or is more than a full turn.

    Examples
    --------
    >>> parse_angle("22 1/2 deg"), parse_angle("-45°"), parse_angle(30)
    (22.5, -45.0, 30.0)
    """
    how = 'Write it like "45 deg".'
    sign, terms = _read_terms(value, "angle", _ANGLE_UNITS, how=how)
    if len(terms) > 1:
        raise _refusal(value, "This cannot be read as one angle.", how)
    angle = terms[0][0]
    if angle > 360:
        raise _refusal(value, "This is more than a full turn.", how)
    return float(-angle if sign == "-" else angle)


def parse_share(value: object) -> float:
    """Read a share, as per cent or as a part of 1.

    Parameters
    ----------
    value : str or int or float
        What was written, such as ``"10 %"`` or ``0.1``.

    Returns
    -------
    float
        The share, from 0 to 1.

    Raises
    ------
    MeasureError
        If it cannot be read or is not between nothing and all.

    Examples
    --------
    >>> parse_share("10 %"), parse_share(0.1)
    (0.1, 0.1)
    """
    how = 'Write it like "10 %".'
    sign, terms = _read_terms(value, "share", _SHARE_UNITS, how=how)
    if len(terms) > 1:
        raise _refusal(value, "This cannot be read as one share.", how)
    number, unit = terms[0]
    if sign == "-" or number * (unit or 1) > 1:
        likely = f'Write "{show_number(float(number))} %".' if unit is None and not sign else how
        raise _refusal(value, "A share lies between 0 and 1, or 0 % and 100 %.", likely)
    return float(number * (unit or 1))


def parse_duration(value: object) -> float:
    """Read a time, as on a glue bottle.

    Parameters
    ----------
    value : str or int or float
        What was written, such as ``"8 min"`` or ``"1 h 30 min"``.

    Returns
    -------
    float
        The time [s].

    Raises
    ------
    MeasureError
        If it cannot be read, is negative or carries no unit.

    Examples
    --------
    >>> parse_duration("8 min"), parse_duration("30 s"), parse_duration("1 h 30 min")
    (480.0, 30.0, 5400.0)
    """
    how = 'Write it like "8 min" or "30 s".'
    sign, terms = _read_terms(value, "time", _TIME_UNITS, how=how)
    if any(unit is None and number for number, unit in terms):
        raise _refusal(value, "A time carries its unit.", how)
    factors = [unit or Fraction(1) for _, unit in terms]
    if sign or factors != sorted(set(factors), reverse=True):
        raise _refusal(value, "This cannot be read as a time.", how)
    return float(sum(number * (unit or 1) for number, unit in terms))


def parse_temperature(value: object) -> float:
    """Read a temperature in degrees Celsius or Fahrenheit.

    Source: definition, C = (F - 32) 5/9.

    Parameters
    ----------
    value : str
        What was written, such as ``"21 C"`` or ``"70 F"``.

    Returns
    -------
    float
        The temperature [degrees Celsius].

    Raises
    ------
    MeasureError
        If it cannot be read or does not say which degrees it means.

    Examples
    --------
    >>> parse_temperature("21 C"), parse_temperature("68 °F")
    (21.0, 20.0)
    """
    how = 'Write it like "21 C" or "70 F".'
    sign, terms = _read_terms(value, "temperature", _HEAT_UNITS, how=how)
    number, unit = terms[0]
    if len(terms) > 1 or unit is None:
        raise _refusal(value, "A temperature says C or F.", how)
    number = -number if sign == "-" else number
    return float(number if unit == _CELSIUS else (number - 32) * _FAHRENHEIT)


def _add_terms(
    value: object, terms: list[tuple[Fraction, Fraction | None]], units: str | None
) -> Fraction:
    """Add up a length's parts: one measure, or feet and inches."""
    number, unit = terms[0]
    if len(terms) == 1:
        if unit is None and units is None:
            if number == 0:
                return Fraction(0)
            plain = _plain_text(value) if isinstance(value, str) else value
            likely = f'Write "{plain} in" or "{plain} mm".'
            raise _refusal(value, "A length here carries its unit.", likely)
        if unit is None:
            unit = _LENGTH_UNITS[units or ""]
        return number * unit
    rest, small = terms[1]
    if len(terms) > 2 or unit != 12 * _INCH or small not in (None, _INCH):
        raise _refusal(value, "This cannot be read as one length.", _HOW)
    return number * unit + rest * _INCH


def _read_terms(
    value: object, kind: str, known: dict[str, Fraction], *, how: str
) -> tuple[str, list[tuple[Fraction, Fraction | None]]]:
    """Split what was written into a sign and its numbers, each with its unit's factor."""
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise _refusal(value, f"{_article(kind)} is a number or a text.", how)
    if isinstance(value, int | float):
        return _read_number(value, kind, how=how)
    plain = _plain_text(value)
    if len(plain) > _MOST_TEXT:
        raise _refusal(value[:_MOST_TEXT], f"This is too long for {_article(kind).lower()}.", how)
    sign, rest = ("", plain) if plain[:1] not in ("-", "+") else (plain[0], plain[1:])
    terms: list[tuple[Fraction, Fraction | None]] = []
    at = 0
    while found := _TERM.match(rest, at):
        at = found.end()
        if rest.startswith("-", at) and not rest.startswith("-", at + 1):
            at += 1  # 2'-3"
        unit = (found["unit"] or "").replace("meter", "metre")
        number = _read_fraction(found, value, how=how)
        if unit and unit not in known:
            rule = f'The unit "{found["unit"]}" is not one for {_article(kind).lower()}.'
            raise _refusal(value, rule, _UNITS_OF[kind])
        terms.append((number, known[unit] if unit else None))
    if at == len(rest) and terms and not rest.endswith("-"):
        return sign, terms
    raise _unreadable(value, plain, kind, how=how)


def _read_number(
    value: float, kind: str, *, how: str
) -> tuple[str, list[tuple[Fraction, Fraction | None]]]:
    """Take a number as it was written: 0.1 is a tenth."""
    if not abs(value) < 1e15:  # infinite, not a number, or a slip of the keyboard
        wrote = "a very large number" if isinstance(value, int) else value
        raise _refusal(wrote, f"This number cannot be {_article(kind).lower()}.", how)
    number = Fraction(repr(value))
    return ("-" if number < 0 else "", [(abs(number), None)])


def _read_fraction(found: re.Match[str], value: str, *, how: str) -> Fraction:
    """Take a whole number, a decimal, a fraction, or a whole number with a fraction beside it."""
    bottom = int(found["bottom"] or found["under"] or 1)
    top = int(found["top"] or found["over"] or 0)
    if bottom == 0:
        raise _refusal(value, "A fraction cannot be over 0.", how)
    if found["whole"] and top >= bottom:
        raise _refusal(value, "The fraction beside a whole number is less than 1.", how)
    return Fraction(found["plain"] or found["whole"] or 0) + Fraction(top, bottom)


def _unreadable(value: str, plain: str, kind: str, *, how: str) -> MeasureError:
    """Say why a text is no measure: nothing is there, a comma, or something else."""
    if not plain:
        return _refusal(value, f"{_article(kind)} is missing here.", how)
    if "," in plain:
        rule = "A comma is not read, for it may mean a decimal or thousands."
        likely = f'Write "{plain.replace(",", ".")}".' if plain.count(",") == 1 else ""
        if re.search(r"\d,\d{3}(?!\d)", plain):
            likely = f'Write "{plain.replace(",", "")}", or a point for a decimal.'
        elif not re.search(r"\d,\d", plain):
            likely = "Leave it out."
        return _refusal(value, rule, likely)
    return _refusal(value, f"This cannot be read as {_article(kind).lower()}.", how)


def _plain_text(text: str) -> str:
    """Turn pasted fractions, primes, dashes and odd spaces into what a keyboard has."""
    out: list[str] = []
    raised = False
    for character in text[: 4 * _MOST_TEXT]:
        kind, *codes = decomposition(character).split() or [""]
        if kind not in ("<fraction>", "<super>", "<sub>", "<wide>") or character in "ºª":
            out.append(" " if character.isspace() else character)
            raised = False
            continue
        if kind == "<fraction>" or (kind == "<super>" and not raised):
            out.append(" ")  # 24⅛ is twenty-four and an eighth
        raised = kind == "<super>"
        out.extend(chr(int(code, 16)) for code in codes)
    plain = "".join(out).translate(_MARKS).replace("''", '"')
    return plain.strip().lower()


def _article(kind: str) -> str:
    return f"{'An' if kind[0] in 'aeiou' else 'A'} {kind}"


def _refusal(value: object, rule: str, remedy: str = "") -> MeasureError:
    wrote = value if isinstance(value, str) else str(value)[:_MOST_TEXT]
    return MeasureError(Fault("", wrote, rule, remedy))
