"""A closed profile: measured points about a rough centre, with the nearest and farthest from any centre."""

from typing import NamedTuple

import numpy as np

from inspections.metrology.candidates import IndexArray
from inspections.metrology.circle_fit import centred, least_squares_circle
from inspections.metrology.cloud import rounding_of
from inspections.metrology.numbers import FloatArray

_CHUNK = 65_536


class Loop(NamedTuple):
    """Points of a profile, ready to be asked for their extremes.

    Attributes
    ----------
    around : ndarray, shape (2, n)
        Coordinates from the least-squares centre.
    center : ndarray, shape (2,)
        That centre.
    radius : float
        Radius of the least-squares circle.
    rounding : float
        What the rounding of the coordinates may add to any distance.
    """

    around: FloatArray
    center: FloatArray
    radius: float
    rounding: float

    @property
    def reach(self) -> float:
        """How far from the least-squares centre other centres are looked for: one radius."""
        return self.radius

    def extremes(self, center: FloatArray) -> tuple[int, int, float, float]:
        """Rows of the nearest and the farthest point from `center`, and their distances."""
        near = far = 0
        least, greatest = np.inf, -np.inf
        x, y = center.tolist()
        for start in range(0, self.around.shape[1], _CHUNK):
            squares = (self.around[0, start : start + _CHUNK] - x) ** 2
            squares += (self.around[1, start : start + _CHUNK] - y) ** 2
            i, j = int(squares.argmin()), int(squares.argmax())
            if squares[i] < least:
                near, least = start + i, float(squares[i])
            if squares[j] > greatest:
                far, greatest = start + j, float(squares[j])
        return near, far, least**0.5, greatest**0.5

    def near_extremes(self, center: FloatArray, within: float) -> IndexArray:
        """Rows of all points no farther than `within` from the nearest or the farthest distance."""
        distances = np.sqrt((self.around[0] - center[0]) ** 2 + (self.around[1] - center[1]) ** 2)
        rows = (distances >= distances.max() - within) | (distances <= distances.min() + within)
        return np.flatnonzero(rows)


def loop(points: FloatArray) -> Loop:
    """Bring points, shape (n, 2), to their least-squares centre (to a millionth of the radius)."""
    around = points.T.copy()
    origin = centred(around)
    center, radius = least_squares_circle(around, 1e-6)
    around -= center[:, None]
    return Loop(around, origin + center, radius, rounding_of(points))
