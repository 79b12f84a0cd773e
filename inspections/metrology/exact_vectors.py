"""Vectors of exact numbers, and square roots of exact numbers."""

import math
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import TypeAlias

from inspections.metrology.numbers import Number, exact_list

Vector: TypeAlias = list[Fraction]

_DIGITS = 60


def vector(values: Iterable[Number], what: str, lengths: tuple[int, ...]) -> Vector:
    """Exact coordinates; ValueError unless their number is one of `lengths`."""
    parts = exact_list(values, what)
    if len(parts) not in lengths:
        wanted = " or ".join(str(length) for length in lengths)
        raise ValueError(f"{what}: {len(parts)} coordinates given, {wanted} needed.")
    return parts


def dot(a: Sequence[Fraction], b: Sequence[Fraction]) -> Fraction:
    """Inner product."""
    return sum((x * y for x, y in zip(a, b, strict=True)), Fraction(0))


def scaled(a: Sequence[Fraction], by: Fraction) -> Vector:
    """The vector times a number."""
    return [x * by for x in a]


def across(a: Sequence[Fraction], along: Sequence[Fraction]) -> Vector:
    """The part of `a` that is square to the direction `along`, which may have any length but zero."""
    share = dot(a, along) / dot(along, along)
    return [x - share * y for x, y in zip(a, along, strict=True)]


def root_ratio(square: Fraction) -> Fraction:
    """Square root, exact where it is rational, else right to 60 digits at least.

    Examples
    --------
    >>> root_ratio(Fraction(9, 4))
    Fraction(3, 2)
    """
    top, bottom = square.numerator, square.denominator
    if math.isqrt(top) ** 2 == top and math.isqrt(bottom) ** 2 == bottom:
        return Fraction(math.isqrt(top), math.isqrt(bottom))
    # sqrt(t / b) = sqrt(t b) / b, with so many decimal places that 60 digits are right.
    places = 10 ** (_DIGITS + len(str(bottom)))
    return Fraction(math.isqrt(top * bottom * places**2), bottom * places)


def root(square: Fraction) -> float:
    """Square root as the nearest float."""
    return float(root_ratio(square))
