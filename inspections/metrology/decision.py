"""Pass, fail or undecided: a measured value, its limits, and how sure the measuring is."""

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, get_args

from inspections.metrology.limits import LimitPair, Limits, read_limits
from inspections.metrology.numbers import Number, exact

Rule = Literal["simple", "guarded", "guarded_95"]
Verdict = Literal["pass", "fail", "undecided"]

ONE_SIDED_95 = Fraction("1.645")
"""Standard normal quantile of 95 %, as ISO 14253-1:2017 rounds it."""

_FAR = 40
"""Standard deviations beyond which a normal tail is zero in double precision."""


@dataclass(frozen=True)
class Decision:
    """What a value means against its limits.

    Attributes
    ----------
    verdict : {"pass", "fail", "undecided"}
    guard_band : Fraction
        Width w by which each limit was moved, in the unit of the value; zero under the simple rule.
    probability : float
        Probability that the true value conforms, 0 to 1; without uncertainty it is 1 or 0.
    margin : Fraction
        Distance to the nearer limit, negative outside.
    acceptance : tuple of (Fraction or None)
        The range in which a value passes, ends included. If it is empty (lower above upper), this gauge
        can pass nothing.
    """

    verdict: Verdict
    guard_band: Fraction
    probability: float
    margin: Fraction
    acceptance: tuple[Fraction | None, Fraction | None]


def decide(
    value: Number,
    limits: LimitPair | Limits,
    expanded_uncertainty: Number = 0,
    k: Number = 2,
    rule: Rule = "simple",
) -> Decision:
    """Decide conformity of a measured value, in exact arithmetic.

    With the limits L <= y <= H, the expanded uncertainty U and the guard band w:

    - simple: w = 0. Pass if L <= y <= H, else fail. A value equal to its limit passes.
    - guarded: w = U. Pass if L + w <= y <= H - w; fail if y < L - w or y > H + w; else undecided.
    - guarded_95: the same with w = 1.645 U / k, so that one side is right with at least 95 %.

    The probability of conformance is Phi((H - y) / u) - Phi((L - y) / u), u = U / k, for a normal spread.

    Parameters
    ----------
    value : Number
        As measured: nothing is rounded before it is judged (ASTM E29, absolute method).
    limits : pair of (Number or None)
        Lower, upper; None = free on that side. One limit at least.
    expanded_uncertainty : Number, >= 0
        U, in the unit of the value.
    k : Number, > 0
        Its coverage factor.
    rule : {"simple", "guarded", "guarded_95"}

    Raises
    ------
    ValueError
        No limit at all, swapped limits, a negative uncertainty, k not above zero, an unknown rule, a value
        that is no number.

    References
    ----------
    JCGM 106:2012, 7.3 (probability of conformance), 8.2 (simple acceptance), 8.3 (guard bands);
    ISO 14253-1:2017, 5 (decision rules); ASTM E29-13, absolute method.

    Examples
    --------
    >>> decide("2.4995", ("2.4990", "2.4995")).verdict
    'pass'
    >>> decide("2.4995", ("2.4990", "2.4995"), expanded_uncertainty="0.0001", rule="guarded").verdict
    'undecided'
    >>> decide(3, (None, 2), expanded_uncertainty="0.5", rule="guarded_95").verdict
    'fail'
    """
    measured = exact(value, "value")
    within = read_limits(limits, "value")
    if within.lower is None and within.upper is None:
        raise ValueError("value limits: both sides are free, so nothing can be decided; give one limit.")
    uncertainty = exact(expanded_uncertainty, "expanded uncertainty")
    if uncertainty < 0:
        raise ValueError("expanded uncertainty: it cannot be negative; give half the width of the interval.")
    factor = exact(k, "coverage factor k")
    if factor <= 0:
        raise ValueError("coverage factor k: it must be above zero; common is 2.")
    band = _guard_band(rule, uncertainty, factor)
    accepted = within.moved_in(band)
    return Decision(
        _verdict(measured, accepted, within.moved_in(-band)),
        band,
        _conformance(measured, within, uncertainty / factor),
        within.margin(measured),
        (accepted.lower, accepted.upper),
    )


def _guard_band(rule: str, uncertainty: Fraction, factor: Fraction) -> Fraction:
    match rule:
        case "simple":
            return Fraction(0)
        case "guarded":
            return uncertainty
        case "guarded_95":
            return ONE_SIDED_95 * uncertainty / factor
    raise ValueError(f"decision rule: {rule!r} is unknown; choose one of {', '.join(get_args(Rule))}.")


def _verdict(measured: Fraction, accepted: Limits, possible: Limits) -> Verdict:
    if accepted.contain(measured):
        return "pass"
    return "undecided" if possible.contain(measured) else "fail"


def _conformance(measured: Fraction, within: Limits, u: Fraction) -> float:
    if u == 0:
        return float(within.contain(measured))
    above = _FAR if within.upper is None else _steps(within.upper - measured, u)
    below = _FAR if within.lower is None else _steps(measured - within.lower, u)
    # Both terms small when the value is outside: subtract tails, not numbers near one.
    if below < 0:
        return _normal(below) - _normal(-above)
    return _normal(above) - _normal(-below)


def _normal(x: float) -> float:
    """Standard normal distribution function, right in its lower tail too."""
    return math.erfc(-x / math.sqrt(2)) / 2


def _steps(distance: Fraction, u: Fraction) -> float:
    """Distance in standard uncertainties, kept where a float can hold it."""
    return float(min(max(distance / u, Fraction(-_FAR)), Fraction(_FAR)))
