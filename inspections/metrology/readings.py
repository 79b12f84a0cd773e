"""Lists of readings as somebody takes them by hand or a gauge sends them: exact, bounded in number."""

from collections.abc import Iterable
from fractions import Fraction

import numpy as np

from inspections.metrology.numbers import FloatArray, Number, exact, exact_list

MOST = 20_000
"""Readings in one list. A full turn at a reading every minute of arc is 21,600: more is a wrong file."""

SMALLEST = Fraction(1, 10**60)
"""No quantity of a shop is smaller, unless it is zero."""


def reading_list(
    values: Iterable[Number], what: str, at_least: int = 1, at_most: int = MOST
) -> list[Fraction]:
    """Exact readings, refused by count before they are read one by one.

    Raises
    ------
    ValueError
        Too few, too many, not a list, or an entry that is no number.

    Examples
    --------
    >>> reading_list(["0.001", 0.002], "reading", at_least=2)
    [Fraction(1, 1000), Fraction(1, 500)]
    """
    refuse_many(values, what, at_most)
    return exact_list(values, what, at_least)


def reading(value: Number, what: str) -> float:
    """A number as a float; what is too small to be measured is zero, so that no product of it underflows.

    Raises
    ------
    ValueError
        If `exact` refuses it.
    """
    number = exact(value, what)
    return float(number) if abs(number) >= SMALLEST else 0.0


def readings(values: Iterable[Number], what: str, at_least: int = 1, at_most: int = MOST) -> FloatArray:
    """`reading_list` as floats, each as `reading` reads it; shape (n,)."""
    exact_readings = reading_list(values, what, at_least, at_most)
    return np.array([reading(value, what) for value in exact_readings])


def refuse_many(values: object, what: str, at_most: int = MOST) -> None:
    """Refuse a list longer than anybody measures.

    Raises
    ------
    ValueError
        If it has a length and that is above `at_most`.
    """
    count = len(values) if hasattr(values, "__len__") else 0
    if count > at_most:
        raise ValueError(
            f"{what}: {count} given, at most {at_most} can be taken at once; hand over fewer, spread evenly."
        )


def same_length(what: str, **lengths: int) -> None:
    """Refuse lists of different length that belong together entry by entry.

    Raises
    ------
    ValueError
        Naming each list and its length.
    """
    if len(set(lengths.values())) > 1:
        given = ", ".join(f"{count} {name.replace('_', ' ')}" for name, count in lengths.items())
        raise ValueError(f"{what}: {given}; the lists must be equally long, one entry each per place.")
