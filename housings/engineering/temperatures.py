"""Temperatures of a joint as typed: compared exactly, and asked about if the other unit was likely meant."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Literal

__all__ = [
    "COLDEST_F",
    "HOTTEST_F",
    "fits_in_other_unit",
    "in_fahrenheit",
    "looks_like_other_unit",
    "read_temperature",
]

Unit = Literal["F", "C"]
# Colder than any shop; hotter than steel that is still solid (common practice, no source).
COLDEST_F, HOTTEST_F = Fraction(-60), Fraction(2800)
_NUMBER = re.compile(r"[+-]?[0-9]{1,4}(\.[0-9]{1,3})?")
# A joint is hardly read above this. After an arc it takes more than ten minutes to come down to 250 °F,
# so that in this time it is never as cold as 150 °F (common practice, no source).
HOT_F, COLD_F, MINUTES_STILL_WARM = 700, 150, 10


def in_fahrenheit(value: str | Decimal | Fraction, unit: str) -> Fraction:
    """A temperature in °F, exactly.

    >>> in_fahrenheit("120", "C")
    Fraction(248, 1)
    """
    figure = Fraction(value)
    return figure if unit == "F" else figure * 9 / 5 + 32


def read_temperature(value: object, unit: object) -> Fraction:
    """A typed temperature in °F.

    Raises `ValueError` with a sentence for what is no number, has no unit, or is no temperature of a joint.
    """
    if unit not in ("F", "C"):
        raise ValueError("Say whether it is °F or °C.")
    if not isinstance(value, str) or not _NUMBER.fullmatch(value.strip()):
        raise ValueError("A temperature is a number such as 310.")
    found = in_fahrenheit(value.strip(), str(unit))
    if not COLDEST_F <= found <= HOTTEST_F:
        raise ValueError(f"No joint is at {value.strip()} °{unit}.")
    return found


def looks_like_other_unit(value: str, unit: str, minutes_since_arc: float | None) -> bool:
    """Whether a reading is unlikely as typed and likely in the other unit; a crayon is not asked about.

    >>> looks_like_other_unit("400", "C", None), looks_like_other_unit("120", "F", 2)
    (True, True)
    >>> looks_like_other_unit("300", "F", 2), looks_like_other_unit("120", "F", 60)
    (False, False)
    """
    as_typed = in_fahrenheit(value, unit)
    other = in_fahrenheit(value, "C" if unit == "F" else "F")
    if unit == "C":
        return as_typed > HOT_F and other <= HOT_F
    is_warm = minutes_since_arc is not None and minutes_since_arc <= MINUTES_STILL_WARM
    return is_warm and as_typed < COLD_F <= other


def fits_in_other_unit(
    value: str, unit: str, asked_in: str, least: Decimal | None, greatest: Decimal | None
) -> bool:
    """Whether a reading in another unit than its procedure's is too hot, and fits it in the procedure's.

    ``least`` and ``greatest`` in the unit ``asked_in``; ``None`` leaves a side free, and without a greatest
    nothing is asked.

    >>> fits_in_other_unit("300", "C", "F", Decimal(250), Decimal(400))
    True
    >>> fits_in_other_unit("150", "C", "F", Decimal(250), Decimal(400))
    False
    """
    if unit == asked_in or greatest is None:
        return False
    top, same = in_fahrenheit(greatest, asked_in), in_fahrenheit(value, asked_in)
    bottom = COLDEST_F if least is None else in_fahrenheit(least, asked_in)
    return in_fahrenheit(value, unit) > top and bottom <= same <= top
