"""Least-squares circle: the sum of squared distances from the circle is least."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from inspections.metrology.directions import plain
from inspections.metrology.numbers import FloatArray, Points, point_array

_FLAT = 1e-6
"""Spread across as a part of the spread along, below which points lie along a line."""
_FAR = 1e7
"""A centre so many times farther off than the points is on its way to a straight line."""
_STEPS = 200
_TINY = 1e-10
"""Steps below this part of the radius only shrink until rounding takes over."""
_NOTICED = 1e-9
"""A growth of the sum of squares that is more than its rounding."""
_RIDGE = 1e-13
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
    center, step, before = _start(around), np.zeros(2), _Step(np.zeros(2), 1.0, np.inf, np.inf)
    for _ in range(_STEPS):
        now = _step(around, center)
        if now.misfit > before.misfit + _NOTICED * now.squares:
            # Too long a step: go half of it.
            step = step / 2
            center = center - step
            continue
        length, last = float(np.hypot(*now.move)), float(np.hypot(*step))
        step, before = now.move, now
        center = center + step
        # Once tiny, a step that no longer shrinks is rounding alone.
        if length <= tolerance * now.radius or _TINY * now.radius >= length >= last / 2:
            return center, now.radius
        if float(np.hypot(*center)) > _FAR * float(np.abs(around).max()):
            break
    raise ValueError(
        "circle point: the points lie along a line as much as on a circle, so they show no center."
    )


class _Step(NamedTuple):
    """Newton's move of the centre, the radius about where it leads; sum of (d - r)^2 and of d^2 before it."""

    move: FloatArray
    radius: float
    misfit: float
    squares: float


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


def _step(around: FloatArray, center: FloatArray) -> _Step:
    n, far, away, units = around.shape[1], 0.0, np.zeros(2), np.zeros(2)
    squares, near, spread, spread_near = 0.0, 0.0, np.zeros((2, 2)), np.zeros((2, 2))
    for x, y in _chunks(around):
        away_x, away_y = x - center[0], y - center[1]
        distances = np.sqrt(away_x * away_x + away_y * away_y)
        far += float(distances.sum())
        squares += float(distances @ distances)
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
    # Far from the minimum the full curvature may not be positive; the firm part never is negative.
    if np.linalg.eigvalsh(bent)[0] > 0.1 * np.linalg.eigvalsh(firm)[0] + _RIDGE * n:
        curvature = bent
    else:
        curvature = firm + _RIDGE * n * np.eye(2)
    move = np.linalg.solve(curvature, away - radius * units)
    return _Step(move, radius - float(units @ move) / n, squares - far * radius, squares)


def _chunks(around: FloatArray) -> Iterator[FloatArray]:
    for start in range(0, around.shape[1], _CHUNK):
        yield around[:, start : start + _CHUNK]
