"""A set of measured points, centred, with its principal directions and its extremes along any direction."""

from typing import NamedTuple

import numpy as np

from inspections.metrology.candidates import IndexArray
from inspections.metrology.numbers import FloatArray

_CHUNK = 3_072
"""Columns per product: few enough that the linear algebra library wakes no threads for it."""
_THIN = 1e-6
_EPSILON = float(np.finfo(np.float64).eps)


class Cloud(NamedTuple):
    """Points in the plane or in space (d = 2 or 3), ready to be asked for their extremes.

    Attributes
    ----------
    centred : ndarray, shape (d, n)
        Coordinates from the centroid.
    frame : ndarray, shape (d, d)
        Columns: principal directions, greatest spread first; the last is the least-squares normal.
    spread : ndarray, shape (d,)
        Standard deviations along them.
    rounding : float
        What the rounding of the coordinates may add to any height.
    """

    centred: FloatArray
    frame: FloatArray
    spread: FloatArray
    rounding: float

    @property
    def normal(self) -> FloatArray:
        """Normal of the least-squares plane or line."""
        return self.frame[:, -1]

    def level(self, rows: list[int]) -> FloatArray:
        """Some points in the frame, shape (d, k): the last coordinate is the height over the fit."""
        return self.frame.T @ self.centred[:, rows]

    def extremes(self, normal: FloatArray) -> tuple[int, int, float]:
        """Row of the lowest and of the highest point along `normal`, and their difference in height."""
        low = high = 0
        least, greatest = np.inf, -np.inf
        for start in range(0, self.centred.shape[1], _CHUNK):
            heights = normal @ self.centred[:, start : start + _CHUNK]
            i, j = int(heights.argmin()), int(heights.argmax())
            if heights[i] < least:
                low, least = start + i, float(heights[i])
            if heights[j] > greatest:
                high, greatest = start + j, float(heights[j])
        return low, high, greatest - least

    def near_extremes(self, normal: FloatArray, within: float) -> IndexArray:
        """Rows of all points no farther than `within` from the highest or the lowest."""
        heights = np.empty(self.centred.shape[1])
        for start in range(0, len(heights), _CHUNK):
            np.dot(normal, self.centred[:, start : start + _CHUNK], out=heights[start : start + _CHUNK])
        near = (heights >= heights.max() - within) | (heights <= heights.min() + within)
        return np.flatnonzero(near)


def cloud(points: FloatArray) -> Cloud:
    """Centre points, shape (n, d), and find their frame."""
    centred = points.T.copy()
    centred -= centred.mean(axis=1)[:, None]
    scatter = np.zeros((len(centred), len(centred)))
    for start in range(0, len(points), _CHUNK):
        part = centred[:, start : start + _CHUNK]
        scatter += part @ part.T
    squares, vectors = np.linalg.eigh(scatter)
    spread = np.sqrt(np.maximum(squares[::-1], 0.0) / len(points))
    return Cloud(centred, vectors[:, ::-1], spread, rounding_of(points))


def rounding_of(points: FloatArray) -> float:
    """What rounding may add to a difference of coordinates: 8 units in the last place of the greatest."""
    return 8 * _EPSILON * max(float(points.max()), -float(points.min()))


def refuse_line(spread: FloatArray, what: str) -> None:
    """Refuse points in space that show no plane; `spread`: along the principal directions, greatest first.

    Raises
    ------
    ValueError
        If they coincide, or spread across no more than a millionth of what they spread along.
    """
    if spread[0] == 0.0:
        raise ValueError(f"{what}: all points are the same; measure at places spread over the face.")
    if spread[1] <= _THIN * spread[0]:
        raise ValueError(f"{what}: the points lie along one line; measure across the face as well.")


def has_distinct(points: FloatArray, count: int) -> bool:
    """Whether at least `count` of the rows differ from one another."""
    if len({*map(tuple, points[:32].tolist())}) >= count:
        return True
    for _ in range(count):
        if not len(points):
            return False
        points = points[(points != points[0]).any(axis=1)]
    return True
