"""Preheat that a published method advises; the shop's qualified procedure decides."""

import math
from dataclasses import dataclass

from .quantities import Quantity, number

__all__ = ["PreheatAdvice", "preheat_advice"]

_RANGES = (
    ("carbon equivalent CET", "%", 0.2, 0.5),
    ("thickness", "mm", 10.0, 90.0),
    ("hydrogen", "ml/100 g", 1.0, 20.0),
    ("heat input", "kJ/mm", 0.5, 4.0),
)
_GREATEST_YIELD = 1000.0


@dataclass(frozen=True, slots=True)
class PreheatAdvice:
    """What the method advises.

    Attributes
    ----------
    temperature_c : float or None
        Least preheat, °C; None where the method does not reach. Below shop temperature it asks for none.
    reason : str
        Why there is none, as a sentence; empty with a temperature.
    """

    temperature_c: float | None
    reason: str


def preheat_advice(
    cet: Quantity,
    thickness_mm: Quantity,
    hydrogen_ml: Quantity,
    heat_input_kj_mm: Quantity,
    yield_mpa: Quantity | None = None,
) -> PreheatAdvice:
    """Least preheat against cold cracks, by method B.

    Tp = 697 CET + 160 tanh(d/35) + 62 HD^0.35 + (53 CET - 32) Q - 328   (°C)

    Parameters
    ----------
    cet : Quantity, percent
        `carbon_equivalent(…, "CET")` of the worse of the two steels.
    thickness_mm : Quantity
        d, of the plate or tube wall.
    hydrogen_ml : Quantity
        HD, diffusible hydrogen of the weld metal, ml per 100 g.
    heat_input_kj_mm : Quantity
        Q, net: with the efficiency of the process taken off.
    yield_mpa : Quantity, optional
        Yield strength of the steel; the method ends at 1000 N/mm².

    Returns
    -------
    PreheatAdvice
        Outside the range for which the method was made it advises nothing and says why.

    Raises
    ------
    ValueError
        For what is no number.

    References
    ----------
    EN 1011-2:2001 + A1:2003, C.3.

    Examples
    --------
    >>> round(preheat_advice("0.4225", "12.7", 3, 1).temperature_c, 1)
    103.6
    >>> preheat_advice("0.61", "12.7", 3, 1).reason
    'carbon equivalent CET is 0.61 %; the method was made for 0.2 to 0.5 %.'
    """
    given = (cet, thickness_mm, hydrogen_ml, heat_input_kj_mm)
    values = [number(value, row[0]) for value, row in zip(given, _RANGES, strict=True)]
    for value, (name, unit, least, most) in zip(values, _RANGES, strict=True):
        if not least <= value <= most:
            return PreheatAdvice(
                None, f"{name} is {value:g} {unit}; the method was made for {least:g} to {most:g} {unit}."
            )
    if yield_mpa is not None and number(yield_mpa, "yield strength") > _GREATEST_YIELD:
        return PreheatAdvice(None, "The yield strength is above 1000 N/mm², where the method ends.")
    carbon, thickness, hydrogen, heat = values
    wanted = (
        697 * carbon + 160 * math.tanh(thickness / 35) + 62 * hydrogen**0.35 + (53 * carbon - 32) * heat - 328
    )
    return PreheatAdvice(wanted, "")
