"""Uncertainty of a measured value, from the contributions to it."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeAlias

from scipy.special import stdtrit

from inspections.metrology.numbers import Number, exact
from inspections.metrology.readings import reading

_CERTAIN = 1e9
"""Degrees of freedom above which Student's distribution is the normal one to all digits that matter."""


@dataclass(frozen=True)
class Contribution:
    """One input to an uncertainty budget.

    Attributes
    ----------
    standard_uncertainty : Number, >= 0
        u, in the unit of the input.
    sensitivity : Number
        c, change of the result per change of the input.
    degrees_of_freedom : Number, >= 1, or math.inf
        How well u itself is known: n - 1 for n repeated readings, infinity for a bound that is certain.
    name : str
        What it is, for people.
    """

    standard_uncertainty: Number
    sensitivity: Number = 1
    degrees_of_freedom: Number = math.inf
    name: str = ""

    @classmethod
    def rectangular(cls, half_width: Number, sensitivity: Number = 1, name: str = "") -> "Contribution":
        """Anywhere within plus or minus `half_width`, each place as likely: u = a / sqrt 3 (GUM 4.3.7).

        For the last digit of a display, give half a digit step.

        >>> round(Contribution.rectangular("0.0005").standard_uncertainty, 9)
        0.000288675
        """
        width = float(exact(half_width, "half width"))
        if width < 0:
            raise ValueError("half width: it cannot be negative.")
        return cls(width / math.sqrt(3), sensitivity, math.inf, name)


Budget: TypeAlias = Iterable[Contribution | Number]


@dataclass(frozen=True)
class Uncertainty:
    """What a budget comes to.

    Attributes
    ----------
    standard_uncertainty : float
        Combined standard uncertainty uc, in the unit of the result.
    degrees_of_freedom : float
        Effective degrees of freedom; infinite if every contribution is.
    coverage_factor : float
        k, Student's t for the level, at the effective degrees of freedom cut down to a whole number.
    expanded_uncertainty : float
        U = k uc.
    shares : tuple of float
        Part of the variance that each contribution makes, in the order given; they add up to 1.
    """

    standard_uncertainty: float
    degrees_of_freedom: float
    coverage_factor: float
    expanded_uncertainty: float
    shares: tuple[float, ...]


def combine(budget: Budget, level: Number = "0.9545") -> Uncertainty:
    """Combine independent contributions by the law of propagation of uncertainty.

    uc² = sum (ci ui)²,  nu_eff = uc⁴ / sum ((ci ui)⁴ / nu_i)  (Welch-Satterthwaite),  U = t_level(nu_eff) uc

    Parameters
    ----------
    budget : list of (Contribution or Number)
        A plain number is a standard uncertainty with sensitivity 1 and certain. Inputs that depend on one
        another are not covered: join them into one contribution first.
    level : Number, 0 < level < 1
        Probability that the interval is to cover; 0.9545 is k = 2 for a normal spread.

    Raises
    ------
    ValueError
        An empty budget, a negative uncertainty, degrees of freedom below 1, a level outside 0 to 1.

    References
    ----------
    JCGM 100:2008 (GUM), 5.1.2 (combination), G.4.1 (effective degrees of freedom), G.6.4.

    Examples
    --------
    >>> total = combine([Contribution("0.0003", degrees_of_freedom=9), "0.0004"])
    >>> total.standard_uncertainty, round(total.degrees_of_freedom, 1), round(total.coverage_factor, 2)
    (0.0005, 69.4, 2.04)
    """
    parts = [_read(entry, place) for place, entry in enumerate(budget, start=1)]
    if not parts:
        raise ValueError("uncertainty budget: it is empty; give at least one contribution.")
    confidence = float(exact(level, "level of confidence"))
    if not 0 < confidence < 1:
        raise ValueError("level of confidence: give a probability between 0 and 1, such as 0.9545.")
    combined = math.hypot(*(size for size, _ in parts))
    shares = tuple((size / combined) ** 2 if combined else 0.0 for size, _ in parts)
    # In shares of the variance the formula neither over- nor underflows.
    doubt = sum(share**2 / freedom for share, (_, freedom) in zip(shares, parts, strict=True))
    freedom = 1 / doubt if doubt > 0 else math.inf
    factor = coverage_factor(freedom, confidence)
    return Uncertainty(combined, freedom, factor, factor * combined, shares)


def coverage_factor(degrees_of_freedom: float, level: float) -> float:
    """Student's t that covers `level` on both sides together, at whole degrees of freedom (GUM G.4.2, G.6.4).

    >>> round(coverage_factor(16.7, 0.99), 2)
    2.92
    """
    # 16 computed as 15.999999999 is 16.
    whole = math.floor(min(degrees_of_freedom, _CERTAIN) * (1 + 1e-12))
    return float(stdtrit(whole, (1 + level) / 2))


def _read(entry: Contribution | Number, place: int) -> tuple[float, float]:
    """|c u| and the degrees of freedom of one entry."""
    part = entry if isinstance(entry, Contribution) else Contribution(entry)
    what = f"contribution {place}" + (f" ({part.name})" if part.name else "")
    u = exact(part.standard_uncertainty, f"{what}, standard uncertainty")
    c = exact(part.sensitivity, f"{what}, sensitivity")
    if u < 0:
        raise ValueError(f"{what}: a standard uncertainty cannot be negative.")
    if part.degrees_of_freedom == math.inf:
        return abs(reading(c * u, what)), math.inf
    freedom = exact(part.degrees_of_freedom, f"{what}, degrees of freedom")
    if freedom < 1:
        raise ValueError(f"{what}: degrees of freedom must be 1 or more; n readings have n - 1.")
    return abs(reading(c * u, what)), float(freedom)
