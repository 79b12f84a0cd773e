"""The contacts of a zone in whole-number arithmetic, so that tilt and distance from the origin cost no digits.

A float64 is a whole number times a power of two. Coordinates brought to one such power make normals and
heights whole numbers: comparisons are exact, and the one square root is rounded once.
"""

from collections.abc import Iterable, Sequence
from itertools import combinations
from math import isqrt
from typing import NamedTuple

from inspections.metrology.numbers import FloatArray

Whole = tuple[int, int, int]
NEAR = 1e-6
"""Cosine distance (about 1.4 mrad) within which an exact normal belongs to the float normal it refines."""


class ExactZone(NamedTuple):
    """A normal of whole numbers with the height range of some points along it (heights times its length)."""

    normal: Whole
    low: int
    high: int

    @property
    def square(self) -> int:
        """Squared length of the normal."""
        return dot(self.normal, self.normal)

    def narrower_than(self, other: "ExactZone") -> bool:
        """Compare the widths themselves: squares, cross-multiplied."""
        return (self.high - self.low) ** 2 * other.square < (other.high - other.low) ** 2 * self.square


def whole(points: FloatArray) -> tuple[list[Whole], int]:
    """Points as whole numbers over one power of two, which is returned beside them."""
    ratios = [[value.as_integer_ratio() for value in row] for row in points.tolist()]
    scale = max(bottom for row in ratios for _, bottom in row)
    rows = [(top_x * (scale // x), top_y * (scale // y), top_z * (scale // z))
            for (top_x, x), (top_y, y), (top_z, z) in ratios]  # fmt: skip
    return rows, scale


def dot(a: Whole, b: Whole) -> int:
    """Inner product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def along(normal: Whole, points: Iterable[Whole]) -> ExactZone:
    """The zone of `points` across `normal`."""
    heights = [dot(normal, point) for point in points]
    return ExactZone(normal, min(heights), max(heights))


def narrowest_near(points: Sequence[Whole], near: Sequence[float]) -> ExactZone | None:
    """The least zone of a few points whose normal agrees with the unit vector `near` within `NEAR`."""
    best: ExactZone | None = None
    for normal in _normals(points):
        length = isqrt(dot(normal, normal))
        cosine = sum(part / length * unit for part, unit in zip(normal, near, strict=True)) if length else 0.0
        if abs(cosine) < 1 - NEAR:
            continue
        if cosine < 0:
            normal = (-normal[0], -normal[1], -normal[2])
        zone = along(normal, points)
        if best is None or zone.narrower_than(best):
            best = zone
    return best


def over_length(amount: int, square: int, scale: int) -> float:
    """``amount / (sqrt(square) * scale)``, rounded once."""
    # The shift makes the whole-number root at least 80 bits long, so that cutting it off changes nothing.
    shift = max(0, 80 + square.bit_length() // 2 - abs(amount).bit_length())
    root = isqrt(((amount * amount) << (2 * shift)) // square)
    value = root / (scale << shift)
    return -value if amount < 0 else value


def _normals(points: Sequence[Whole]) -> Iterable[Whole]:
    edges = [
        ({i, j}, (b[0] - a[0], b[1] - a[1], b[2] - a[2]))
        for (i, a), (j, b) in combinations(enumerate(points), 2)
    ]
    for (ends, a), (others, b) in combinations(edges, 2):
        shared = ends & others
        if not shared or shared == {min(ends)} == {min(others)}:
            yield (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
