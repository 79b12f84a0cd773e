"""Least-squares circle: the sum of squared distances from the circle is least."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from inspections.metrology.directions import plain
from inspections.metrology.numbers import FloatArray, Points, point_array

_FLAT = 1e-6
_STEPS = 200
_LEAST = 1e-200
_CHUNK = 8_192
"""Points taken at once: they stay in cache, and an inner product of them wakes no threads."""


@dataclass(frozen=True)
class CircleFit:
    """A circle about `center` with `radius`, in the unit of the points."""

    center: tuple[float, ...]
    radius: float


def fit_circle(points: Points) -> CircleFit:
    """Geometric least-squares circle.

    Minimises the sum of (|p - c| - r)^2 over the centre c and the radius r.

    Parameters
    ----------
    points : array_like, shape (n, 2), n >= 3
        Any unit of length.

    Raises
    ------
    ValueError
        For bad numbers, fewer than 3 points, or points along one line, which show no centre.

    References
    ----------
    W. Gander, G. H. Golub, R. Strebel, BIT 34 (1994) 558, section 3 (geometric fit); I. Kasa, IEEE Trans.
    Instrum. Meas. 25 (1976) 8 (starting circle).

    Examples
    --------
    >>> fit_circle([(3, 1), (1, 3), (-1, 1), (1, -1)])
    CircleFit(center=(1.0, 1.0), radius=2.0)
    """
    array = point_array(points, 2, 3, "circle point")
    around = array.T.copy()
    origin = centred(around)
    center, radius = least_squares_circle(around, 1e-15)
    return CircleFit(plain(origin + center), radius)


def centred(around: FloatArray) -> FloatArray:
    """Subtract from coordinates, shape (2, n), their mean, which is returned."""
    origin: FloatArray = around.mean(axis=1)
    around -= origin[:, None]
    return origin


def least_squares_circle(around: FloatArray, tolerance: float) -> tuple[FloatArray, float]:
    """Centre and radius for points about their centroid, shape (2, n), contiguous.

    The last Newton step was below `tolerance` of the radius. With d = |p - c| and unit vectors u from the
    centre, the sum over c alone (r is the mean of d) has the gradient -2 sum (d - r) u and half the Hessian
    sum uu' - n mean(u) mean(u)' + sum (d - r)/d (I - uu').
    """
    center = _start(around)
    for _ in range(_STEPS):
        step, radius = _step(around, center)
        center = center + step
        if float(np.hypot(step[0], step[1])) <= tolerance * radius:
            break
    return center, radius


def _start(around: FloatArray) -> FloatArray:
    """Centre of the algebraic fit: x^2 + y^2 - 2 c.p = constant, in least squares."""
    scatter, pulled = np.zeros((2, 2)), np.zeros(2)
    for x, y in _chunks(around):
        squares = x * x + y * y
        pulled += x @ squares, y @ squares
        off = x @ y
        scatter += (x @ x, off), (off, y @ y)
    less, more = np.linalg.eigvalsh(scatter)
    if less <= _FLAT**2 * more:
        raise ValueError(
            "circle point: the points are the same or lie along one line; measure around the circle."
        )
    return np.linalg.solve(scatter, pulled) / 2


def _step(around: FloatArray, center: FloatArray) -> tuple[FloatArray, float]:
    """Newton step of the centre, and the mean distance from the centre it leads to (to second order)."""
    n, far, away, units = around.shape[1], 0.0, np.zeros(2), np.zeros(2)
    spread, near, spread_near = np.zeros((2, 2)), 0.0, np.zeros((2, 2))
    for x, y in _chunks(around):
        away_x, away_y = x - center[0], y - center[1]
        distances = np.sqrt(away_x * away_x + away_y * away_y)
        far += float(distances.sum())
        away += away_x.sum(), away_y.sum()
        # A point on the centre has no direction: its unit vector becomes zero.
        inverse = 1.0 / np.maximum(distances, _LEAST)
        unit_x, unit_y = away_x * inverse, away_y * inverse
        units += unit_x.sum(), unit_y.sum()
        off = unit_x @ unit_y
        spread += (unit_x @ unit_x, off), (off, unit_y @ unit_y)
        near += float(inverse.sum())
        near_x, near_y = unit_x * inverse, unit_y * inverse
        off = near_x @ unit_y
        spread_near += (near_x @ unit_x, off), (off, near_y @ unit_y)
    radius = far / n
    firm = spread - np.outer(units, units) / n
    bent = firm + (n - radius * near) * np.eye(2) - (spread - radius * spread_near)
    # Far from the minimum the full curvature may not be positive; the firm part always is.
    curvature = bent if np.linalg.eigvalsh(bent)[0] > 0.1 * np.linalg.eigvalsh(firm)[0] else firm
    step = np.linalg.solve(curvature, away - radius * units)
    return step, radius - float(units @ step) / n


def _chunks(around: FloatArray) -> Iterator[FloatArray]:
    for start in range(0, around.shape[1], _CHUNK):
        yield around[:, start : start + _CHUNK]
