"""The contacts of a ring in whole-number arithmetic: its centre is a ratio, its width two square roots."""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import hypot, isqrt
from typing import NamedTuple

from inspections.metrology.candidates import pairs_of
from inspections.metrology.exact_zone import Whole

_SHIFT = 200
"""Bits that the square roots carry behind the point."""


class ExactCenter(NamedTuple):
    """The centre ``(x / below, y / below)``, in whole-number coordinates; `below` is positive."""

    x: int
    y: int
    below: int

    def square(self, point: Whole) -> int:
        """Squared distance times ``below ** 2``."""
        return (self.below * point[0] - self.x) ** 2 + (self.below * point[1] - self.y) ** 2

    def length(self, square: int) -> Fraction:
        """The distance itself, short of the truth by less than 2**-200."""
        return Fraction(isqrt(square << (2 * _SHIFT)), self.below << _SHIFT)

    def ring(self, points: Iterable[Whole]) -> Fraction:
        """Farthest less nearest distance."""
        squares = [self.square(point) for point in points]
        return self.length(max(squares)) - self.length(min(squares))

    def place(self, scale: int) -> tuple[float, float]:
        """Coordinates in the unit of the points, each rounded once."""
        return self.x / (self.below * scale), self.y / (self.below * scale)


def least_ring_near(
    points: Sequence[Whole], scale: int, near: Sequence[float], within: float
) -> ExactCenter | None:
    """Centre of the least ring of a few points, among those `within` of a float centre it refines."""
    best: tuple[Fraction, ExactCenter] | None = None
    for center in _centers(points):
        x, y = center.place(scale)
        if hypot(x - near[0], y - near[1]) > within:
            continue
        width = center.ring(points)
        if best is None or width < best[0]:
            best = width, center
    return best and best[1]


def _centers(points: Sequence[Whole]) -> Iterable[ExactCenter]:
    """Crossings of the bisectors of two pairs: c . (q - p) = (q.q - p.p) / 2."""
    pairs = pairs_of(len(points))
    bisectors = []
    for i, j in zip(pairs.first.tolist(), pairs.second.tolist(), strict=True):
        (px, py), (qx, qy) = points[i], points[j]
        bisectors.append((qx - px, qy - py, qx * qx + qy * qy - px * px - py * py))
    for one, other in zip(pairs.one.tolist(), pairs.other.tolist(), strict=True):
        (ax, ay, a), (bx, by, b) = bisectors[one], bisectors[other]
        below = 2 * (ax * by - ay * bx)
        if below:
            sign = 1 if below > 0 else -1
            yield ExactCenter(sign * (a * by - b * ay), sign * (b * ax - a * bx), sign * below)
