"""How much a steel hardens beside a weld, as one number from its composition."""

import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

from .quantities import Quantity, number

__all__ = ["Formula", "carbon_equivalent"]

Formula = Literal["IIW", "CET", "Pcm"]

# One over the divisor of each element; carbon counts whole.
_WEIGHTS: Mapping[str, Mapping[str, Fraction]] = {
    "IIW": {
        "C": Fraction(1),
        "Mn": Fraction(1, 6),
        "Cr": Fraction(1, 5),
        "Mo": Fraction(1, 5),
        "V": Fraction(1, 5),
        "Ni": Fraction(1, 15),
        "Cu": Fraction(1, 15),
    },
    "CET": {
        "C": Fraction(1),
        "Mn": Fraction(1, 10),
        "Mo": Fraction(1, 10),
        "Cr": Fraction(1, 20),
        "Cu": Fraction(1, 20),
        "Ni": Fraction(1, 40),
    },
    "Pcm": {
        "C": Fraction(1),
        "Si": Fraction(1, 30),
        "Mn": Fraction(1, 20),
        "Cu": Fraction(1, 20),
        "Cr": Fraction(1, 20),
        "Ni": Fraction(1, 60),
        "Mo": Fraction(1, 15),
        "V": Fraction(1, 10),
        "B": Fraction(5),
    },
}
_SYMBOLS = """
    H He Li Be B C N O F Ne Na Mg Al Si P S Cl Ar K Ca Sc Ti V Cr Mn Fe Co Ni Cu Zn Ga Ge As Se Br Kr
    Rb Sr Y Zr Nb Mo Tc Ru Rh Pd Ag Cd In Sn Sb Te I Xe Cs Ba La Ce Pr Nd Sm Eu Gd Tb Dy Ho Er Tm Yb Lu
    Hf Ta W Re Os Ir Pt Au Hg Tl Pb Bi
"""
_ELEMENTS = frozenset(_SYMBOLS.split())


def carbon_equivalent(composition: Mapping[str, Quantity], formula: Formula = "CET") -> float:
    """Carbon equivalent of a steel, in percent by mass.

    - IIW: C + Mn/6 + (Cr + Mo + V)/5 + (Ni + Cu)/15
    - CET: C + (Mn + Mo)/10 + (Cr + Cu)/20 + Ni/40
    - Pcm: C + Si/30 + (Mn + Cu + Cr)/20 + Ni/60 + Mo/15 + V/10 + 5 B

    Parameters
    ----------
    composition : mapping of chemical symbol to percent by mass, 0 to 100
        Carbon has to be named; what is left out counts as none. Other elements are allowed and do not count.
    formula : {"IIW", "CET", "Pcm"}

    Raises
    ------
    ValueError
        No carbon, an unknown symbol, a percentage outside 0 to 100, a sum over 100, an unknown formula.

    References
    ----------
    IIW doc. IX-535-67 (IIW); EN 1011-2:2001, C.3.2.1 (CET); Ito and Bessyo 1968 (Pcm).

    Examples
    --------
    >>> nominal_4130 = {"C": "0.305", "Mn": "0.50", "Si": "0.25", "Cr": "0.95", "Mo": "0.20"}
    >>> [round(carbon_equivalent(nominal_4130, formula), 4) for formula in ("IIW", "CET", "Pcm")]
    [0.6183, 0.4225, 0.3992]
    """
    if formula not in _WEIGHTS:
        raise ValueError(f"There is no formula “{formula}”; there are {', '.join(_WEIGHTS)}.")
    percent = {}
    for symbol, value in composition.items():
        if symbol not in _ELEMENTS:
            raise ValueError(f"“{str(symbol)[:20]}” is no chemical symbol.")
        percent[symbol] = number(value, f"percent of {symbol}")
        if not 0 <= percent[symbol] <= 100:
            raise ValueError(f"percent of {symbol}: it lies between 0 and 100.")
    if "C" not in percent:
        raise ValueError("The composition names no carbon.")
    total = math.fsum(percent.values())
    if total > 100 * (1 + 1e-9):
        raise ValueError(f"The composition adds up to {total:.2f} percent.")
    return math.fsum(float(weight) * percent.get(symbol, 0.0) for symbol, weight in _WEIGHTS[formula].items())
