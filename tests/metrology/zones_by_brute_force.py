"""Slow and obvious: the least zone of a few points in rational arithmetic, every candidate tried."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import combinations
from math import isqrt

Vector = tuple[Fraction, ...]


def exactly(points: Sequence[Sequence[float]]) -> list[Vector]:
    """The binary values themselves."""
    return [tuple(Fraction(float(value)) for value in row) for row in points]


def least_width(points: Sequence[Sequence[float]], axis: Sequence[float], cosine: float) -> float:
    """Least width over all normals perpendicular to two point differences (one in the plane) near `axis`."""
    rows = exactly(points)
    least: Fraction | None = None
    for normal in _normals(rows):
        square = _dot(normal, normal)
        if square == 0 or abs(float(_dot(normal, exactly([axis])[0]))) < cosine * float(square) ** 0.5:
            continue
        heights = [_dot(normal, row) for row in rows]
        width = (max(heights) - min(heights)) ** 2 / square
        least = width if least is None else min(least, width)
    assert least is not None
    return root(least)


def root(square: Fraction) -> float:
    """Square root of a fraction, rounded once."""
    digits = 1 << 400
    return float(Fraction(isqrt(square.numerator * digits**2 // square.denominator), digits))


def _normals(rows: list[Vector]) -> Iterator[Vector]:
    edges = [tuple(y - x for x, y in zip(a, b, strict=True)) for a, b in combinations(rows, 2)]
    if len(rows[0]) == 2:
        yield from ((-edge[1], edge[0]) for edge in edges)
        return
    for a, b in combinations(edges, 2):
        yield (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def _dot(a: Vector, b: Vector) -> Fraction:
    return sum((x * y for x, y in zip(a, b, strict=True)), Fraction(0))
