"""The contacts of a zone in whole-number arithmetic: tilt and distance from the origin cost no digits.

A float64 is a whole number times a power of two. Coordinates brought to one such power make normals and
heights whole numbers: comparisons are exact, and the one square root is rounded once.
"""

from collections.abc import Iterable, Sequence
from math import isqrt
from operator import mul

from inspections.metrology.candidates import pairs_of
from inspections.metrology.numbers import FloatArray

Whole = tuple[int, ...]
_NEAR = 1e-6
"""1 - cosine (about 1.4 mrad) within which an exact normal belongs to the float normal it refines."""


def whole(points: FloatArray) -> tuple[list[Whole], int]:
    """Points as whole numbers over one power of two, which is returned beside them.

    >>> import numpy as np
    >>> whole(np.array([[0.5, 3.0]]))
    ([(1, 6)], 2)
    """
    ratios = [[value.as_integer_ratio() for value in row] for row in points.tolist()]
    scale = max(bottom for row in ratios for _, bottom in row)
    return [tuple(top * (scale // bottom) for top, bottom in row) for row in ratios], scale


def dot(a: Whole, b: Whole) -> int:
    """Inner product."""
    return sum(map(mul, a, b))


def narrowest_near(points: Sequence[Whole], near: Sequence[float]) -> Whole | None:
    """Normal of the least zone of a few points, among those that agree with the unit vector `near`."""
    best: tuple[int, int, Whole] | None = None
    for normal in _normals(points):
        square = dot(normal, normal)
        if not square:
            continue
        length = isqrt(square << 80)
        cosine = sum((part << 40) / length * unit for part, unit in zip(normal, near, strict=True))
        if abs(cosine) < 1 - _NEAR:
            continue
        heights = [dot(normal, point) for point in points]
        width = max(heights) - min(heights)
        # Widths compare as their squares, cross-multiplied.
        if best is None or width * width * best[1] < best[0] * square:
            best = width * width, square, normal if cosine > 0 else tuple(-part for part in normal)
    return best and best[2]


def over_length(amount: int, square: int, scale: int) -> float:
    """``amount / (sqrt(square) * scale)``, rounded once.

    >>> over_length(1, 2, 1), over_length(-6, 9, 4)
    (0.7071067811865476, -0.5)
    """
    # The shift makes the whole-number root at least 80 bits long, so that cutting it off changes nothing.
    shift = max(0, 80 + square.bit_length() // 2 - abs(amount).bit_length())
    root = isqrt(((amount * amount) << (2 * shift)) // square)
    value = root / (scale << shift)
    return -value if amount < 0 else value


def _normals(points: Sequence[Whole]) -> Iterable[Whole]:
    """Perpendicular to one pair of points in the plane, to two pairs in space."""
    pairs = pairs_of(len(points))
    edges = [
        tuple(y - x for x, y in zip(points[i], points[j], strict=True))
        for i, j in zip(pairs.first.tolist(), pairs.second.tolist(), strict=True)
    ]
    if len(points[0]) == 2:
        yield from ((-y, x) for x, y in edges)
        return
    for one, other in zip(pairs.one.tolist(), pairs.other.tolist(), strict=True):
        a, b = edges[one], edges[other]
        yield (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
