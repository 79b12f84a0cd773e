"""Figures as they were typed, as exact numbers, and back as decimal text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from inspections.metrology.numbers import exact

INCH_IN_MM = Fraction(254, 10)
LENGTHS = frozenset({"in", "mm"})
MOST_POINTS = 2000
MOST_DIGITS = 40
# In inches, millimeters or degrees: beyond it a key was held down, and figures no longer fit a Decimal.
LARGEST = 10**9


def as_typed(raw: Any) -> Any:
    """A raw reading with every number as the text it was typed as, which is how it is kept."""
    match raw:
        case str():
            return raw
        case bool() | None:
            raise ValueError(f"{raw} is no reading.")
        case int() | Decimal():
            return format(raw, "f") if isinstance(raw, Decimal) else str(raw)
        case dict():
            return {str(name): as_typed(value) for name, value in raw.items()}
        case list() | tuple():
            return [as_typed(value) for value in raw]
    raise ValueError(f"{raw} is no reading.")


def in_unit(value: Any, typed_unit: str | None, unit: str) -> Fraction:
    """A typed length in the unit of the characteristic; 1 in = 25.4 mm exactly."""
    typed = exact(value, "The reading")
    if abs(typed) > LARGEST:
        raise ValueError("A number is far too large for a measurement; check what was typed.")
    match (unit if typed_unit is None else typed_unit, unit):
        case (given, wanted) if given == wanted:
            return typed
        case ("mm", "in"):
            return typed / INCH_IN_MM
        case ("in", "mm"):
            return typed * INCH_IN_MM
    raise ValueError(f"{str(typed_unit)[:20]} cannot be turned into {unit}.")


def as_text(value: Fraction) -> str:
    """A value as decimal text: exact if it ends within 15 places, else 12 significant digits."""
    scaled = value * 10**15
    if scaled.denominator == 1:
        # By digits: Decimal would round what has more of them than its context.
        digits = f"{abs(scaled.numerator):016d}"
        return tidy(f"{'-' if scaled < 0 else ''}{digits[:-15]}.{digits[-15:]}")
    return significant(float(value))


def significant(value: float) -> str:
    """A float as decimal text of 12 significant digits, without an exponent."""
    return tidy(format(Decimal(format(value, ".11e")), "f"))


def tidy(text: str) -> str:
    """Decimal text without zeros that say nothing."""
    return text.rstrip("0").rstrip(".") if "." in text else text


def need(raw: Mapping[str, Any], *names: str, optional: Sequence[str] = ()) -> None:
    """Refuse a raw reading that lacks a key of its kind or has one of another kind."""
    missing = [name for name in names if name not in raw]
    unknown = [name for name in raw if name not in {*names, *optional}]
    if missing:
        raise ValueError(f"{', '.join(missing)} is missing.")
    if unknown:
        raise ValueError(f"{', '.join(unknown)} does not belong to a reading of this kind.")
