"""Typed figures that look like a slip: the wrong unit, a decimal place off, the other sign, an angle doubled.

Nothing is refused here. What looks like a slip is asked about, because the person at the bench knows.
The bounds are chosen so that a part that is really bad is not asked about: common practice, no source.
"""

from collections.abc import Sequence
from fractions import Fraction

from inspections.metrology.numbers import Number, exact

__all__ = ["DOUBTS", "doubts_about", "instead_of"]

IN_FOR_MM, MM_FOR_IN, DECIMAL_SLIPPED, SIGN_TURNED, ANGLE_DOUBLED, TEN_TIMES_LAST = (
    "in_for_mm",
    "mm_for_in",
    "decimal_slipped",
    "sign_turned",
    "angle_doubled",
    "ten_times_last",
)
DOUBTS = (IN_FOR_MM, MM_FOR_IN, DECIMAL_SLIPPED, SIGN_TURNED, ANGLE_DOUBLED, TEN_TIMES_LAST)
MM = Fraction(254, 10)
# A figure this far outside, in widths of what is allowed, is no figure of a bad part but of a slip.
WIDTHS = 20
# ... but never nearer than this part of the nominal: 2.45 instead of 2.50 is a bad part.
NEAR = Fraction(1, 10)
TIMES = 10


def doubts_about(
    value: Number,
    lower: Number | None = None,
    upper: Number | None = None,
    nominal: Number | None = None,
    last: Sequence[Number] = (),
    *,
    unit: str = "in",
) -> list[str]:
    """Codes of the slips that would turn a figure that is far off into a likely one; empty for most.

    Parameters
    ----------
    value : Number
        As typed, in ``unit``; the limits, the nominal and ``last`` are in the same unit.
    lower, upper : Number, optional
        The limits; None = free on that side.
    nominal : Number, optional
    last : sequence of Number
        Figures of the same kind beside it or before it, such as the other places of a turn.
    unit : str
        "in" or "mm" for lengths, "°" for angles; others know neither slip of unit nor of angle.

    >>> doubts_about("63.5", "2.495", "2.505")
    ['in_for_mm']
    >>> doubts_about("2.48", "2.495", "2.505")
    []
    """
    typed = exact(value, "The figure")
    if typed == 0:
        return []
    low, high = (None if limit is None else exact(limit, "The limit") for limit in (lower, upper))
    middle = None if nominal is None else exact(nominal, "The nominal")
    if low is None and high is None and middle is None:
        return _beside(typed, [exact(other, "A figure") for other in last])
    beside = [exact(other, "A figure") for other in last]
    if _likely(typed, low, high, middle):
        return _turned(typed, low, high, unit) or _beside(typed, beside)
    found = [
        code
        for code in (IN_FOR_MM, MM_FOR_IN, DECIMAL_SLIPPED, SIGN_TURNED)
        for instead in [_instead(code, typed, low, high, middle, unit)]
        if instead is not None
    ]
    return found or _beside(typed, beside)


def instead_of(
    code: str,
    value: Number,
    lower: Number | None = None,
    upper: Number | None = None,
    nominal: Number | None = None,
    last: Sequence[Number] = (),
    *,
    unit: str = "in",
) -> Fraction | None:
    """What was most likely meant, in ``unit``, for a doubt that `doubts_about` named; None if nothing is."""
    typed = exact(value, "The figure")
    low, high = (None if limit is None else exact(limit, "The limit") for limit in (lower, upper))
    middle = None if nominal is None else exact(nominal, "The nominal")
    if code == ANGLE_DOUBLED:
        return typed / 2
    if code == TEN_TIMES_LAST:
        return _slipped_beside(typed, [exact(other, "A figure") for other in last])
    if code == SIGN_TURNED:
        return -typed
    return _instead(code, typed, low, high, middle, unit)


def _instead(
    code: str,
    typed: Fraction,
    low: Fraction | None,
    high: Fraction | None,
    middle: Fraction | None,
    unit: str,
) -> Fraction | None:
    match code:
        case "in_for_mm" if unit == "in":
            tried = [typed / MM]
        case "mm_for_in" if unit == "mm":
            tried = [typed * MM]
        case "decimal_slipped":
            tried = [typed * Fraction(10) ** power for power in (-1, 1, -2, 2, -3, 3)]
        case "sign_turned":
            tried = [-typed]
        case _:
            return None
    return next((other for other in tried if _fits(other, low, high, middle)), None)


def _likely(typed: Fraction, low: Fraction | None, high: Fraction | None, middle: Fraction | None) -> bool:
    """Whether a figure may be that of a part, good or bad."""
    reach = _reach(low, high, middle)
    if low is None and high is not None and middle is None:
        return abs(typed) <= high * WIDTHS
    if high is None and low is not None and middle is None:
        return low / TIMES <= typed <= low * WIDTHS
    center = _center(low, high, middle)
    return abs(typed - center) <= reach


def _fits(value: Fraction, low: Fraction | None, high: Fraction | None, middle: Fraction | None) -> bool:
    """Whether a figure is near enough to what is asked that it was most likely meant."""
    if low is None and high is not None and middle is None:
        return 0 <= value <= high * 2
    if high is None and low is not None and middle is None:
        return low / 2 <= value <= low * 4
    reach = _reach(low, high, middle)
    return abs(value - _center(low, high, middle)) <= min(reach, _width(low, high, middle) * 4)


def _turned(typed: Fraction, low: Fraction | None, high: Fraction | None, unit: str) -> list[str]:
    """Slips that stay near: the other sign, an angle between both sides instead of one side's."""
    if low is None or high is None or low <= typed <= high:
        return []
    found = [SIGN_TURNED] if low <= -typed <= high else []
    if unit == "°" and low + high != 0 and low <= typed / 2 <= high:
        found.append(ANGLE_DOUBLED)
    return found


def _beside(typed: Fraction, others: Sequence[Fraction]) -> list[str]:
    return [TEN_TIMES_LAST] if _slipped_beside(typed, others) is not None else []


def _slipped_beside(typed: Fraction, others: Sequence[Fraction]) -> Fraction | None:
    """A figure ten times all that stand beside it, and among them with its decimal a place on."""
    largest = max((abs(other) for other in others), default=Fraction(0))
    if largest == 0 or abs(typed) < TIMES * largest * Fraction(8, 10) or len(others) < 3:
        return None
    return typed / TIMES


def _center(low: Fraction | None, high: Fraction | None, middle: Fraction | None) -> Fraction:
    if middle is not None:
        return middle
    assert low is not None and high is not None
    return (low + high) / 2


def _width(low: Fraction | None, high: Fraction | None, middle: Fraction | None) -> Fraction:
    if low is not None and high is not None and high > low:
        return high - low
    return abs(middle or low or high or Fraction(1)) / 50


def _reach(low: Fraction | None, high: Fraction | None, middle: Fraction | None) -> Fraction:
    known = middle is not None or (low is not None and high is not None)
    center = _center(low, high, middle) if known else Fraction(0)
    return max(_width(low, high, middle) * WIDTHS, abs(center) * NEAR)
