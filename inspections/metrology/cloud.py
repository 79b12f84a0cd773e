"""A set of measured points, centred, with its principal directions and its extremes along any direction."""

from typing import NamedTuple

import numpy as np

from inspections.metrology.numbers import FloatArray

_CHUNK = 65_536
"""Columns per product: stays in cache, and no thread pool is woken for it."""
_EPSILON = float(np.finfo(np.float64).eps)
_SMALLEST = 1e-30


class Cloud(NamedTuple):
    """Points of a face, ready to be asked for their extremes.

    Attributes
    ----------
    centred : ndarray, shape (3, n)
        Coordinates from the centroid.
    frame : ndarray, shape (3, 3)
        Columns: longest and second principal direction, normal of the least-squares plane.
    spread : ndarray, shape (3,)
        Standard deviations along them.
    rounding : float
        What the rounding of the coordinates may add to any height.
    """

    centred: FloatArray
    frame: FloatArray
    spread: FloatArray
    rounding: float

    def level(self, rows: list[int]) -> FloatArray:
        """Some points in the frame, shape (3, k): z is the height over the least-squares plane."""
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

    def near_extremes(self, normal: FloatArray, within: float) -> list[int]:
        """Rows of all points no farther than `within` from the highest or the lowest."""
        heights = normal @ self.centred
        near = (heights >= heights.max() - within) | (heights <= heights.min() + within)
        return [int(row) for row in np.flatnonzero(near)]


def cloud(points: FloatArray, what: str) -> Cloud:
    """Centre points, shape (n, 3), and find their frame.

    Raises
    ------
    ValueError
        If they coincide or lie along one line, so that no plane is determined.
    """
    centred = points.T.copy()
    centred -= centred.mean(axis=1)[:, None]
    squares, vectors = np.linalg.eigh(centred @ centred.T)
    if squares[2] <= _SMALLEST**2:
        raise ValueError(f"{what}: all points are the same; measure at places spread over the face.")
    if squares[1] <= 1e-12 * squares[2]:
        raise ValueError(f"{what}: the points lie along one line; measure across the face as well.")
    greatest = (
        float(np.abs(points).max()) if len(points) < _CHUNK else float(max(points.max(), -points.min()))
    )
    spread = np.sqrt(np.maximum(squares[::-1], 0.0) / len(points))
    return Cloud(centred, vectors[:, ::-1], spread, 8 * _EPSILON * greatest)


def has_distinct(points: FloatArray, count: int) -> bool:
    """Whether at least `count` of the rows differ from one another."""
    for _ in range(count):
        if not len(points):
            return False
        points = points[(points != points[0]).any(axis=1)]
    return True
