"""Figures in pictures: as many digits as the gauge gave, and enlargements that are round numbers."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

MOST_PLACES = 15
# The digits of an angle say how far a reading of its lengths turns it, not how long they are.
ANGLE_PLACES = 2
INCH_IN_MM = Fraction(254, 10)
# An inch figure read in millimeters needs two places more to lose nothing, and one less the other way.
PLACES_ADDED = {("mm", "in"): 2, ("in", "mm"): -1}


def shown(value: str, places: int, lower: str | None, upper: str | None) -> str:
    """A value with ``places`` places, and as many more as it takes to stand on its own side of the limits.

    >>> shown("0.00503", 3, None, "0.005")
    '0.00503'
    >>> shown("0.25", 4, None, "0.3")
    '0.2500'
    """
    exact = Decimal(value)
    for count in range(max(places, 0), MOST_PLACES + 1):
        rounded = exact.quantize(Decimal(1).scaleb(-count))
        if _side(rounded, lower, upper) == _side(exact, lower, upper):
            return format(rounded if rounded else abs(rounded), "f")
    return value


def _side(value: Decimal, lower: str | None, upper: str | None) -> tuple[bool, bool]:
    return (
        lower is not None and value < Decimal(lower),
        upper is not None and value > Decimal(upper),
    )


def places_of(kind: str, quantity: str, raw: Mapping[str, Any], unit: str) -> int:
    """How many places a value is worth, in its own unit: those its gauge gave, or an angle's own.

    ``raw``: the reading as it was typed, numbers as text.
    """
    match kind, quantity:
        case ("end_alignment", _) | ("face_to_axis", "pitch"):
            return ANGLE_PLACES
        case "pressure_loss", _:
            raw = {"pressures": raw.get("pressures", [])}
        case _:
            raw = {name: value for name, value in raw.items() if name != "angles"} | {
                "unit": raw.get("unit", "")
            }
    most = max((len(text.partition(".")[2]) for text in _texts(raw.values())), default=0)
    return max(0, most + PLACES_ADDED.get((str(raw.get("unit", "")), unit), 0))


def _texts(values: Iterable[Any]) -> Iterable[str]:
    for value in values:
        if isinstance(value, str):
            yield value
        elif isinstance(value, list):
            yield from _texts(value)


def figure(value: float, places: int) -> str:
    """A figure for the eye, without a negative zero."""
    text = f"{value:.{min(max(places, 0), 9)}f}"
    return text.lstrip("-") if not any(c in "123456789" for c in text) else text


def factor_of(raw: Mapping[str, Any], unit: str) -> float:
    """What a typed length is multiplied by to be in ``unit``."""
    match raw.get("unit", unit), unit:
        case "mm", "in":
            return float(1 / INCH_IN_MM)
        case "in", "mm":
            return float(INCH_IN_MM)
    return 1.0


def enlargement(room: float, length: float) -> float:
    """The largest round factor (1, 2, 5, 10, 20 …) by which ``length`` still fits into ``room``.

    >>> enlargement(100, 0.3)
    200.0
    >>> enlargement(100, 0)
    1.0
    """
    if not length > 0 or not room > 0:
        return 1.0
    power = math.floor(math.log10(room / length))
    for step in (5.0, 2.0, 1.0):
        if step * 10.0**power * length <= room * (1 + 1e-9):
            return float(step * 10.0**power)
    return float(10.0**power)


def times(factor: float) -> str:
    """An enlargement in words' digits: 200, 0.5.

    >>> times(200.0), times(0.5)
    ('200', '0.5')
    """
    return f"{factor:.0f}" if factor >= 1 else f"{factor:.3g}"
