"""Whether a gauge is good enough for the limits it is to decide on."""

import math
from dataclasses import dataclass
from fractions import Fraction

from inspections.metrology.limits import LimitPair, Limits, read_limits
from inspections.metrology.numbers import Number, exact
from inspections.metrology.uncertainty import Uncertainty


@dataclass(frozen=True)
class Adequacy:
    """How much of the room between the limits the gauge's doubt uses up.

    Attributes
    ----------
    span : Fraction or None
        Room between the limits; with an upper limit alone, from zero to it. None: it cannot be told.
    share : Fraction or None
        Part of the room that the guard bands take, one at each limit. 0.18 reads "18 % of the limit".
    percent : int or None
        The share in whole percent, rounded up: never better than it is.
    ratio : Fraction or None
        1 / share, "5.6 to 1". None if there is no room to speak of or no doubt at all.
    enough : bool or None
        Whether the ratio reaches the one asked for.
    """

    span: Fraction | None
    share: Fraction | None
    percent: int | None
    ratio: Fraction | None
    enough: bool | None


def adequate(gauge: Number | Uncertainty, limits: LimitPair | Limits, least_ratio: Number = 4) -> Adequacy:
    """Compare a gauge's expanded uncertainty U with the limits.

    Two limits: share = 2 U / (upper - lower), and 1 / share is the test uncertainty ratio. An upper limit
    alone (form, runout, position, leak: values that cannot fall below zero): share = U / upper. A lower limit
    alone, or an upper one not above zero, leaves no room to compare with: None, not a guess.

    Parameters
    ----------
    gauge : Number >= 0 or Uncertainty
        U of the whole measurement (gauge, hand, temperature) in the unit of the limits, or a result of
        `combine`.
    limits : pair of (Number or None)
    least_ratio : Number > 0
        What counts as enough; 4 to 1 is common practice.

    Raises
    ------
    ValueError
        No limit, swapped limits, a negative uncertainty, a ratio not above zero.

    References
    ----------
    ANSI/NCSL Z540.3-2006, 3.11 (test uncertainty ratio: span over twice the 95 % uncertainty); JCGM 106:2012,
    7.6 (measurement capability index).

    Examples
    --------
    >>> adequate("0.0002", ("2.4990", "2.4995")).percent
    80
    >>> adequate("0.0005", (None, "0.004")).ratio
    Fraction(8, 1)
    """
    doubt = exact(
        gauge.expanded_uncertainty if isinstance(gauge, Uncertainty) else gauge, "expanded uncertainty"
    )
    if doubt < 0:
        raise ValueError("expanded uncertainty: it cannot be negative; give half the width of the interval.")
    wanted = exact(least_ratio, "least ratio")
    if wanted <= 0:
        raise ValueError("least ratio: it must be above zero; common is 4.")
    span, sides = _room(read_limits(limits, "value"))
    if span is None:
        return Adequacy(None, None, None, None, None)
    if span == 0:
        return Adequacy(span, None, None, None, doubt == 0)
    share = sides * doubt / span
    ratio = 1 / share if share else None
    return Adequacy(span, share, math.ceil(100 * share), ratio, share * wanted <= 1)


def _room(limits: Limits) -> tuple[Fraction | None, int]:
    match limits:
        case Limits(lower=None, upper=None):
            raise ValueError("value limits: both sides are free; give one limit.")
        case Limits(lower=Fraction() as lower, upper=Fraction() as upper):
            return upper - lower, 2
        case Limits(lower=None, upper=Fraction() as upper) if upper > 0:
            return upper, 1
    return None, 0
