"""What may be put in: one reading of numbers and of point lists for the whole package."""

import re
from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import chain
from numbers import Integral
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Number: TypeAlias = str | Decimal | int | Fraction | float
FloatArray: TypeAlias = NDArray[np.float64]
Points: TypeAlias = FloatArray | Sequence[Sequence[Number]] | NDArray[Any]

LARGEST = 10**30
"""No length, pressure or time of a shop comes near it; beyond it products of coordinates would overflow."""

_NUMBER_TEXT = re.compile(r"[+-]?(\d{1,80}(\.\d{0,80})?|\.\d{1,80})([eE][+-]?\d{1,3})?", re.ASCII)


def exact(value: Number, what: str) -> Fraction:
    """The exact value that somebody typed or a program handed over.

    Parameters
    ----------
    value : str, Decimal, int, Fraction or float
        Text is read as a plain decimal number with a point, exponent allowed. A float means its shortest
        decimal text: ``0.1`` is one tenth, as typed, not the binary number beside it.
    what : str
        What the number is, as the sentence of a refusal names it: ``"bore diameter"``.

    Raises
    ------
    ValueError
        For a bool, NaN, an infinity, text that is no number, another type, a magnitude above 1e30.

    Examples
    --------
    >>> exact("0.1", "depth") == exact(0.1, "depth") == Fraction(1, 10)
    True
    >>> exact("0,1", "depth")
    Traceback (most recent call last):
    ...
    ValueError: depth: '0,1' is not a number; type digits with a decimal point, such as 12.705.
    """
    text = _decimal_text(value)
    if text is None:
        number = _whole_or_ratio(value)
        if number is None:
            raise ValueError(
                f"{what}: {_shown(value)} is not a number; give a decimal number such as 12.705."
            )
    else:
        text = text.strip()
        if text.lower().lstrip("+-") in {"nan", "snan", "inf", "infinity"}:
            raise ValueError(f"{what}: {text} is not a measured value; leave it out or measure it again.")
        if _NUMBER_TEXT.fullmatch(text) is None:
            raise ValueError(
                f"{what}: {_shown(value)} is not a number; type digits with a decimal point, such as 12.705."
            )
        number = Fraction(text)
    if abs(number) > LARGEST:
        raise ValueError(
            f"{what}: the value is greater than 1e30 and cannot be a measurement; check the entry."
        )
    return number


def exact_list(values: Iterable[Number], what: str, at_least: int = 1) -> list[Fraction]:
    """Exact values of a list or one-dimensional array; a refusal names the entry by its place from 1.

    Raises
    ------
    ValueError
        If it is not a list, has fewer than `at_least` entries, or an entry is refused by `exact`.

    Examples
    --------
    >>> exact_list(["1.5", 2], "reading")
    [Fraction(3, 2), Fraction(2, 1)]
    """
    if isinstance(values, str | bytes) or not isinstance(values, Iterable):
        raise ValueError(f"{what}: give a list of numbers, not {_shown(values)}.")
    numbers = [exact(value, f"{what} {place}") for place, value in enumerate(values, start=1)]
    if len(numbers) < at_least:
        raise ValueError(f"{what}: {len(numbers)} given, at least {at_least} needed.")
    return numbers


def point_array(points: Points, dimension: int, at_least: int, what: str) -> FloatArray:
    """Points as a checked float64 array.

    Parameters
    ----------
    points : array_like, shape (n, dimension)
        Arrays of floats or integers are checked as a whole (1,000,000 rows take milliseconds); lists may
        hold any `Number`, each rounded once to the nearest float64.
    dimension, at_least : int
        Coordinates per point; least number of points.
    what : str
        What a point is, for the refusal: ``"face point"``.

    Returns
    -------
    ndarray, shape (n, dimension)
        May be the array that was handed in: never written to.

    Raises
    ------
    ValueError
        For a wrong shape, too few points, or a coordinate refused by `exact`.
    """
    if isinstance(points, np.ma.MaskedArray):
        raise ValueError(
            f"{what}: a masked array hides values; hand over only the points that were measured."
        )
    if isinstance(points, np.ndarray) and points.dtype.kind in "fiu":
        array = _checked_shape(points, dimension, what).astype(np.float64, copy=False)
    else:
        array = _array_from_rows(points, dimension, what)
    if len(array) < at_least:
        raise ValueError(f"{what}: {len(array)} given, at least {at_least} needed.")
    # Two reductions see everything: NaN survives both, and so does the greatest magnitude.
    least, greatest = float(array.min()), float(array.max())
    if not (least >= -float(LARGEST) and greatest <= float(LARGEST)):
        _refuse_first(array, what)
    return array


def _decimal_text(value: object) -> str | None:
    """Text that is the value exactly, for the types that have one."""
    if isinstance(value, str):
        return value
    if isinstance(value, float):
        return float.__repr__(value)
    if isinstance(value, np.floating):
        return str(value)
    if isinstance(value, Decimal):
        return format(value, "e") if value.is_finite() else str(value)
    return None


def _whole_or_ratio(value: object) -> Fraction | None:
    if isinstance(value, bool | np.bool_):
        return None
    if isinstance(value, Integral | Fraction):
        return Fraction(value)
    return None


def _shown(value: object) -> str:
    shown = repr(value)
    return shown if len(shown) <= 40 else shown[:37] + "..."


def _checked_shape(array: NDArray[Any], dimension: int, what: str) -> NDArray[Any]:
    if array.ndim != 2 or array.shape[1] != dimension:
        raise ValueError(
            f"{what}: an array of shape {array.shape} was given; needed is one row per point "
            f"with {dimension} coordinates each."
        )
    return array


def _array_from_rows(points: Any, dimension: int, what: str) -> FloatArray:
    if isinstance(points, str | bytes | dict) or not isinstance(points, Iterable):
        raise ValueError(f"{what}: give a list of points, not {_shown(points)}.")
    rows = points.tolist() if isinstance(points, np.ndarray) else list(points)
    for place, row in enumerate(rows, start=1):
        if isinstance(row, str | bytes) or not hasattr(row, "__len__") or len(row) != dimension:
            raise ValueError(f"{what} {place}: {dimension} coordinates needed, {_shown(row)} given.")
    if not set(map(type, chain.from_iterable(rows))) <= {float}:
        rows = [
            [float(exact(value, f"{what} {place}, coordinate {k}")) for k, value in enumerate(row, start=1)]
            for place, row in enumerate(rows, start=1)
        ]
    return np.array(rows, dtype=np.float64).reshape(len(rows), dimension)


def _refuse_first(array: FloatArray, what: str) -> None:
    row, column = np.argwhere(~(np.abs(array) <= float(LARGEST)))[0].tolist()
    exact(float(array[row, column]), f"{what} {row + 1}, coordinate {column + 1}")
