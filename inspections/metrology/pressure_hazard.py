"""What air under pressure can do: the energy it holds and the force on a cover."""

import math

from inspections.metrology.numbers import Number
from inspections.metrology.readings import reading


def stored_energy(pressure: Number, volume: Number, ambient: Number, gamma: Number = "1.4") -> float:
    """Energy that a gas gives up when it bursts out to the air pressure, isentropic.

    E = p V / (g - 1) · (1 - (pa / p)^((g - 1) / g))

    Parameters
    ----------
    pressure : Number
        p, absolute, Pa.
    volume : Number, > 0
        V, m³.
    ambient : Number, > 0
        pa, absolute, Pa.
    gamma : Number, > 1
        Ratio of specific heats: 1.4 for air and nitrogen, 1.67 for argon.

    Returns
    -------
    float
        Joule; zero at the air pressure.

    Raises
    ------
    ValueError
        For a pressure below the ambient one, a volume or an ambient pressure not above zero, gamma not above
        1.

    References
    ----------
    ASME PCC-2-2008, article 5.1, appendix II (which rounds the exponent to 0.286).

    Examples
    --------
    >>> round(stored_energy("1101000", 1, "101000"))
    1361560
    """
    p, air = reading(pressure, "pressure"), reading(ambient, "ambient pressure")
    size, ratio = reading(volume, "volume"), reading(gamma, "ratio of specific heats")
    if air <= 0 or size <= 0:
        raise ValueError("ambient pressure and volume: both must be above zero.")
    if p < air:
        raise ValueError("pressure: it is below the ambient pressure; give the absolute pressure inside.")
    if ratio <= 1:
        raise ValueError("ratio of specific heats: it is above 1 for every gas; 1.4 for air.")
    exponent = (ratio - 1) / ratio
    # expm1: at a few psi the bracket is a small difference of numbers near one.
    return p * size / (ratio - 1) * -math.expm1(exponent * math.log(air / p))


def thrust(pressure: Number, diameter: Number) -> float:
    """Force of a pressure on a round cover or plug: F = p pi d² / 4.

    Parameters
    ----------
    pressure : Number, >= 0
        Above the air pressure (gauge): Pa with metres gives newton, psi with inches gives pound-force.
    diameter : Number, >= 0
        Of the sealed area.

    Raises
    ------
    ValueError
        For a negative pressure or diameter.

    References
    ----------
    Definition of pressure.

    Examples
    --------
    >>> round(thrust(5, 10))
    393
    """
    p, d = reading(pressure, "pressure"), reading(diameter, "diameter")
    if p < 0 or d < 0:
        raise ValueError("pressure and diameter: neither can be negative; the pressure is above the air's.")
    return p * d * d * math.pi / 4
