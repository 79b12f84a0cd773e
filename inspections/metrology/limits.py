"""Limits of one characteristic: a lower one, an upper one, or both."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from inspections.metrology.numbers import Number, exact

LimitPair: TypeAlias = Sequence[Number | None]
"""``(lower, upper)``; None leaves that side free."""


@dataclass(frozen=True)
class Limits:
    """A closed range of exact numbers; None leaves that side free."""

    lower: Fraction | None
    upper: Fraction | None

    def contain(self, value: Fraction) -> bool:
        """Whether the value lies inside. A value equal to a limit does (ASTM E29, absolute method)."""
        return (self.lower is None or self.lower <= value) and (self.upper is None or value <= self.upper)

    def moved_in(self, by: Fraction) -> "Limits":
        """Each limit moved towards the inside; a negative amount moves them out."""
        return Limits(
            None if self.lower is None else self.lower + by,
            None if self.upper is None else self.upper - by,
        )

    def margin(self, value: Fraction) -> Fraction:
        """How far the value is inside the nearer limit; negative outside. At least one limit is set."""
        rooms = []
        if self.lower is not None:
            rooms.append(value - self.lower)
        if self.upper is not None:
            rooms.append(self.upper - value)
        return min(rooms)


def read_limits(limits: LimitPair | Limits, what: str) -> Limits:
    """The limits somebody handed over.

    Parameters
    ----------
    limits : pair of Number or None
        Lower, upper.
    what : str
        What they limit, for the sentence of a refusal: ``"size"``.

    Raises
    ------
    ValueError
        If it is not a pair, an entry is no number, or the lower is above the upper.

    Examples
    --------
    >>> read_limits((None, "0.004"), "flatness")
    Limits(lower=None, upper=Fraction(1, 250))
    """
    if isinstance(limits, Limits):
        return limits
    if isinstance(limits, str | bytes) or not isinstance(limits, Sequence) or len(limits) != 2:
        raise ValueError(f"{what} limits: give a pair of lower and upper limit; None leaves one side free.")
    lower, upper = (
        None if limit is None else exact(limit, f"{side} limit of {what}")
        for side, limit in zip(("lower", "upper"), limits, strict=True)
    )
    if lower is not None and upper is not None and lower > upper:
        raise ValueError(
            f"{what} limits: the lower limit {limits[0]} is above the upper limit {limits[1]}; "
            "they may be swapped."
        )
    return Limits(lower, upper)
