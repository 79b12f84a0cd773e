"""Lengths at the reference temperature: steel measured warm is not as long as it says."""

import math
from dataclasses import dataclass
from fractions import Fraction

from inspections.metrology.numbers import Number, exact

REFERENCE_TEMPERATURE = Fraction(20)
"""Degrees Celsius (68 °F) at which every length on a drawing holds (ISO 1)."""

ABSOLUTE_ZERO = Fraction("-273.15")


@dataclass(frozen=True)
class ReferredLength:
    """A length brought to 20 °C.

    Attributes
    ----------
    length : Fraction
        At 20 °C, in the unit handed in.
    change : Fraction
        What was added: negative for a part measured warm.
    standard_uncertainty : float
        What the doubt about temperature and expansion adds to the uncertainty of the length.
    """

    length: Fraction
    change: Fraction
    standard_uncertainty: float


def at_reference_temperature(
    length: Number,
    temperature: Number,
    expansion: Number,
    u_temperature: Number = 0,
    u_expansion: Number = 0,
) -> ReferredLength:
    """Bring a length to the reference temperature of 20 °C.

    L20 = L / (1 + a (T - 20)),  u² = (L20 a uT)² + (L20 (T - 20) ua)²

    The measuring scale is taken to be right at its own temperature; a steel scale as warm as a steel part
    needs no correction.

    Parameters
    ----------
    length : Number
        L, as measured at the temperature T, any unit.
    temperature : Number
        T, degrees Celsius.
    expansion : Number
        a, linear expansion per degree Celsius: about 11.5e-6 for steel.
    u_temperature, u_expansion : Number, >= 0
        Standard uncertainties of T and a.

    Raises
    ------
    ValueError
        For a temperature below absolute zero, an expansion that would leave no length, a negative
        uncertainty.

    References
    ----------
    ISO 1:2022 (reference temperature); JCGM 100:2008, H.1 (model of a length with temperature).

    Examples
    --------
    >>> referred = at_reference_temperature("60", "31.1", "11.7e-6", u_temperature="0.5")
    >>> round(float(referred.change), 4), round(referred.standard_uncertainty, 5)
    (-0.0078, 0.00035)
    """
    measured, warm = exact(length, "length"), exact(temperature, "temperature")
    rate = exact(expansion, "linear expansion")
    doubts = (
        exact(u_temperature, "uncertainty of the temperature"),
        exact(u_expansion, "uncertainty of the linear expansion"),
    )
    if warm < ABSOLUTE_ZERO:
        raise ValueError("temperature: it is below absolute zero; give degrees Celsius.")
    if min(doubts) < 0:
        raise ValueError("uncertainty of temperature or expansion: it cannot be negative.")
    growth = rate * (warm - REFERENCE_TEMPERATURE)
    # Metals expand by a few per cent at most before they melt; more is a slip of a unit.
    if abs(growth) > Fraction(1, 10):
        raise ValueError("linear expansion: the length would change by more than a tenth; check the units.")
    referred = measured / (1 + growth)
    doubt = math.hypot(
        float(referred * rate * doubts[0]), float(referred * (warm - REFERENCE_TEMPERATURE) * doubts[1])
    )
    return ReferredLength(referred, referred - measured, doubt)
