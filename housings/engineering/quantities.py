"""Numbers as people hand them over, read once: finite, and within what they can be."""

import math
from decimal import Decimal
from fractions import Fraction
from typing import TypeAlias

__all__ = ["Quantity", "above_zero", "number"]

Quantity: TypeAlias = str | int | float | Decimal | Fraction
"""A number, or its decimal text with a point."""


def number(value: Quantity, what: str) -> float:
    """A finite number.

    Raises `ValueError` with a sentence that names `what`.

    >>> number("0.250", "wall")
    0.25
    >>> number("thick", "wall")
    Traceback (most recent call last):
    ...
    ValueError: wall: “thick” is no number.
    """
    try:
        found = float("none" if isinstance(value, bool) else value)
    except (TypeError, ValueError, OverflowError):
        raise ValueError(f"{what}: “{str(value)[:40]}” is no number.") from None
    if not math.isfinite(found):
        raise ValueError(f"{what}: it has to be finite.")
    return found


def above_zero(value: Quantity, what: str) -> float:
    """A finite number above zero."""
    found = number(value, what)
    if found <= 0:
        raise ValueError(f"{what}: it has to be above zero.")
    return found
