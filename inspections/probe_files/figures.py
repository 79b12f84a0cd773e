"""Figures as gauges and instruments write them: ``+0.0012 in``, ``  -.003``, ``0,05 mm``, ``1.25E-01``.

A decimal point or a decimal comma, never both and no separators of thousands: nobody can tell 1,234 from
1.234 later. What comes out is the same figure as plain decimal text with a point; no digit is lost or added.
"""

import re
from typing import NamedTuple

from inspections.probe_files.refusal import Unreadable, quoted

__all__ = ["UNITS", "Figure", "figure", "is_figure", "unit_named"]

LONGEST_FIGURE = 60
_DIGITS = r"[+-]?\s?(?:\d{1,15}(?:[.,]\d{0,15})?|[.,]\d{1,15})"
_POWER = r"[eE][+-]?\d{1,2}"
# A label such as "X ", "D1: " or "R=" before the number; a letter alone must not swallow an exponent's e.
_LABEL = r"[A-Za-z][A-Za-z0-9_]{0,9}(?:\s*[:=]\s*|\s+|(?=[+-]))"
_SAID = re.compile(rf"(?:{_LABEL})?({_DIGITS})({_POWER})?\s*([^\d\s.,+-][^\d.,+-]{{0,9}}\.?)?", re.ASCII)
# Instruments and office programs write a true minus, a dash, and other spaces.
_AS_TYPED = str.maketrans({"\u2212": "-", "\u2013": "-", "\u00a0": " ", "\u202f": " ", "\u2009": " "})

UNITS = {
    "in": ("in", "in.", "inch", "inches", "ins", '"', "\u2033", "''"),
    "mm": ("mm", "mm.", "millimeter", "millimeters", "millimetre", "millimetres"),
    "psi": ("psi", "psig", "lbf/in²"),
    "kPa": ("kpa",),
    "F": ("°f", "f", "degf", "deg f", "fahrenheit"),
    "C": ("°c", "c", "degc", "deg c", "celsius"),
    "°": ("°", "deg", "deg.", "degree", "degrees"),
    "min": ("min", "min.", "minute", "minutes"),
    "h": ("clock", "o'clock"),
}
# Units that instruments write and that are not taken, with what to choose instead.
_LENGTH, _PRESSURE = "mm or in", "psi or kPa"
_OTHERS = {
    **dict.fromkeys(("µm", "μm", "um", "cm", "m", "ft", "mil", "thou"), _LENGTH),
    **dict.fromkeys(("bar", "mbar", "hpa", "pa"), _PRESSURE),
    **dict.fromkeys(("s", "sec", "seconds"), "minutes"),
    "k": "°F or °C",
    "rad": "degrees",
}
_NAMES = {name: unit for unit, names in UNITS.items() for name in names}


class Figure(NamedTuple):
    """A figure as decimal text with a point, and the unit written beside it (``""``: none)."""

    text: str
    unit: str


def unit_named(written: str) -> str | None:
    """The unit that somebody wrote, such as ``"in"`` for ``"inches"``; None if it is no unit that is taken.

    Raises
    ------
    Unreadable
        It is a unit, but one in which nothing is taken here.
    """
    word = written.strip().casefold()
    if word in _NAMES:
        return _NAMES[word]
    if word in _OTHERS:
        sentence = f"{quoted(written)} is not taken as a unit; write the values in {_OTHERS[word]}."
        raise Unreadable(sentence, problem="unit")
    return None


def figure(written: str, decimal: str | None = None, *, exponents: bool = True) -> Figure:
    """One figure as an instrument writes it, with what stands round it.

    Parameters
    ----------
    written : str
        At most 60 characters. A short label before it (``X``, ``D1:``) says nothing and is left out.
    decimal : ``"."``, ``","`` or None
        The only decimal mark that may stand in it; None takes either.
    exponents : bool
        Whether ``1.25E-01`` is taken: instruments write it into files, hands that type it slip.

    Raises
    ------
    Unreadable
        It is no number, has a point and a comma, or carries a unit that is none.

    Examples
    --------
    >>> figure("+0.0012 in")
    Figure(text='0.0012', unit='in')
    >>> figure("  -.003")
    Figure(text='-0.003', unit='')
    >>> figure("0,05 mm")
    Figure(text='0.05', unit='mm')
    >>> figure("1.25E-03").text
    '0.00125'
    """
    tidy = written[: LONGEST_FIGURE + 1].translate(_AS_TYPED).strip()
    if not tidy:
        raise Unreadable("A number is missing.", problem="missing")
    if len(tidy) > LONGEST_FIGURE:
        raise Unreadable(f"{quoted(written)} is no number.", problem="no_number")
    said = _SAID.fullmatch(tidy)
    if said is None or (said[2] and not exponents):
        raise _what_is_wrong(tidy)
    digits, power, suffix = said.groups()
    if decimal and "".join(mark for mark in digits if mark in ".,") not in ("", decimal):
        other = "comma" if decimal == "." else "point"
        mark = "point" if decimal == "." else "comma"
        raise Unreadable(f"{quoted(tidy)} has a decimal {other}, and the rest of the file a decimal {mark}.")
    unit = unit_named(suffix) if suffix else ""
    if unit is None:
        raise Unreadable(f"{quoted(tidy)}: {quoted(suffix)} is no unit.", problem="unit")
    return Figure(_plain(digits.replace(",", ".").replace(" ", ""), int(power[1:]) if power else 0), unit)


def is_figure(written: str) -> bool:
    """Whether a cell is a number and nothing else (a unit beside it allowed, no label)."""
    tidy = written[: LONGEST_FIGURE + 1].translate(_AS_TYPED).strip()
    if not tidy or not (tidy[0] in "+-.," or (tidy[0].isascii() and tidy[0].isdigit())):
        return False
    return _SAID.fullmatch(tidy) is not None


def _what_is_wrong(tidy: str) -> Unreadable:
    if "." in tidy and "," in tidy:
        sentence = f"{quoted(tidy)} has a point and a comma. Write one of them, for the decimals only."
        return Unreadable(sentence, problem="two_marks")
    digits = sum(character.isdigit() for character in tidy)
    if digits and tidy.count(".") + tidy.count(",") > 1:
        sentence = f"{quoted(tidy)} has more than one decimal sign. Write no separators of thousands."
        return Unreadable(sentence, problem="more_marks")
    return Unreadable(f"{quoted(tidy)} is no number.", problem="no_number")


def _plain(digits: str, power: int) -> str:
    """Decimal text without plus, exponent, or a bare point: the digits moved, never computed."""
    sign = "-" if digits.startswith("-") else ""
    whole, _point, part = digits.lstrip("+-").partition(".")
    if power > 0:
        part = part.ljust(power, "0")
        whole, part = whole + part[:power], part[power:]
    elif power < 0:
        whole = whole.rjust(1 - power, "0")
        whole, part = whole[:power], whole[power:] + part
    whole = whole or "0"
    if power:
        whole = whole.lstrip("0") or "0"
    return f"{sign}{whole}.{part}" if part else sign + whole
