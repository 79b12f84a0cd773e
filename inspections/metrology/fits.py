"""Least-squares plane and line: the sum of squared perpendicular distances is least."""

from dataclasses import dataclass

import numpy as np

from inspections.metrology.cloud import refuse_line
from inspections.metrology.directions import facing, plain
from inspections.metrology.numbers import FloatArray, Points, point_array


@dataclass(frozen=True)
class PlaneFit:
    """A plane through `point` (the centroid) with unit `normal`, its greatest component positive."""

    point: tuple[float, ...]
    normal: tuple[float, ...]


@dataclass(frozen=True)
class LineFit:
    """A line through `point` (the centroid) along unit `direction`, its greatest component positive."""

    point: tuple[float, ...]
    direction: tuple[float, ...]


def fit_plane(points: Points) -> PlaneFit:
    """Orthogonal least-squares plane.

    With the centroid c, the normal n minimises the sum of ((p - c) . n)^2: it is the right singular vector of
    the centred coordinates with the least singular value.

    Parameters
    ----------
    points : array_like, shape (n, 3), n >= 3
        Any unit of length.

    Raises
    ------
    ValueError
        For bad numbers, fewer than 3 points, points that coincide or lie along one line.

    References
    ----------
    ASME B89.4.10 (fit objective); Shakarji, J. Res. NIST 103 (1998) 633, section 4.

    Examples
    --------
    >>> fit_plane([(0, 0, 1), (2, 0, 1), (0, 2, 1), (2, 2, 1)])
    PlaneFit(point=(1.0, 1.0, 1.0), normal=(0.0, 0.0, 1.0))
    """
    array = point_array(points, 3, 3, "plane point")
    centre, axes, spread = principal(array)
    refuse_line(spread, "plane point")
    return PlaneFit(plain(centre), plain(facing(axes[2])))


def fit_line(points: Points) -> LineFit:
    """Orthogonal least-squares line in the plane or in space.

    Through the centroid, along the right singular vector of the centred coordinates with the greatest
    singular value.

    Parameters
    ----------
    points : array_like, shape (n, 2) or (n, 3), n >= 2
        Any unit of length.

    Raises
    ------
    ValueError
        For bad numbers, fewer than 2 points, or points with no direction of greatest spread.

    References
    ----------
    ASME B89.4.10 (fit objective); Shakarji, J. Res. NIST 103 (1998) 633, section 3.

    Examples
    --------
    >>> fit_line([(0, 1), (3, 1), (9, 1)])
    LineFit(point=(4.0, 1.0), direction=(1.0, 0.0))
    """
    dimension = 2 if _width(points) == 2 else 3
    array = point_array(points, dimension, 2, "line point")
    centre, axes, spread = principal(array)
    if spread[0] == 0.0:
        raise ValueError("line point: all points are the same; measure at places along the line.")
    if spread[0] - spread[1] <= 1e-9 * spread[0]:
        raise ValueError("line point: the points spread as far across as along; they show no line.")
    return LineFit(plain(centre), plain(facing(axes[0])))


def principal(points: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Centroid, principal directions as rows (greatest spread first), their singular values.

    A triangular factor first: its singular values are those of the points, at no loss of digits, and it
    has only as many rows as there are coordinates.
    """
    centre = points.mean(axis=0)
    centre = centre + (points - centre).mean(axis=0)
    triangle = np.linalg.qr(points - centre, mode="r")
    _, spread, axes = np.linalg.svd(triangle)
    return centre, axes, np.concatenate((spread, np.zeros(len(axes) - len(spread))))


def _width(points: Points) -> int:
    try:
        return len(points[0])
    except (TypeError, IndexError, KeyError):
        return 0
