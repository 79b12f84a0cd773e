"""The pilot bore as axis A-B sees it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from inspections.metrology.axis import Axis, square_to
from inspections.metrology.circle_fit import fit_circle
from inspections.metrology.directions import plain
from inspections.metrology.fits import fit_plane
from inspections.metrology.numbers import FloatArray, Number, Points, point_array

_ONE_DEPTH = 0.05
_SQUARE = 1e-6


@dataclass(frozen=True)
class PilotToAxis:
    """The pilot bore against axis A-B.

    Attributes
    ----------
    offset : float
        Distance between the bore's axis and A-B, signed: positive towards (outward normal) x (left to right),
        which is up when the face looks at you and the right journal is on your right.
    station : float
        Where along A-B they are nearest, from the middle between the journals, positive to the right.
    radius : float
        Of the bore (least squares).
    center : tuple of 3 floats
        On the bore's axis, at the mean depth of the points.
    """

    offset: float
    station: float
    radius: float
    center: tuple[float, ...]


def pilot_to_axis(points: Points, axis: Axis, normal: Sequence[Number] | None = None) -> PilotToAxis:
    """How far the pilot bore is from being centred on A-B.

    The bore is the least-squares circle of its points seen along `normal` n; with its centre c, A-B through a
    along d and u = n x d made a unit: offset = (c - a).u.

    Parameters
    ----------
    points : array_like, shape (n, 3), n >= 3
        On the wall of the bore, same frame and unit as the axis.
    axis : Axis
    normal : 3 Number, optional
        Direction of the bore out of the face: the face's normal. Without it the points must be one ring at
        one depth, whose own plane is taken, and out is away from A-B.

    Raises
    ------
    ValueError
        For bad numbers, points in a line, a bore along A-B, points at several depths without a normal.

    References
    ----------
    ASME Y14.5-2018, 10.3 (position from a datum axis); ASME B89.4.10 (least-squares circle).

    Examples
    --------
    >>> ring = [(4, 0.002, 5), (-4, 0.002, 5), (0, 4.002, 5), (0, -3.998, 5)]
    >>> found = pilot_to_axis(ring, Axis.through((-30, 0, 0), (30, 0, 0)), normal=(0, 0, 1))
    >>> round(found.offset, 12), round(found.station, 12), round(found.radius, 12)
    (0.002, 0.0, 4.0)
    """
    array = point_array(points, 3, 3, "pilot bore point")
    along = np.array(axis.direction)
    out = _direction(array, axis) if normal is None else _unit(normal)
    plane = square_to(out)
    middle = array.mean(axis=0)
    circle = fit_circle((array - middle) @ plane.T)
    if normal is None and float(np.ptp(array @ out)) > _ONE_DEPTH * circle.radius:
        raise ValueError(
            "pilot bore point: the points lie at several depths; hand over the face's normal as the bore's "
            "direction."
        )
    center = middle + np.array(circle.center) @ plane
    across = np.cross(out, along)
    size = float(np.linalg.norm(across))
    if size <= _SQUARE:
        raise ValueError("pilot bore: it runs along A-B; check the frame or the normal.")
    apart = center - np.array(axis.point)
    # Nearest points of two lines: a + s d and c - t n differ along u = n x d only.
    station = float(np.cross(out, apart) @ across) / size**2
    return PilotToAxis(float(apart @ across) / size, station, circle.radius, plain(center))


def _direction(array: FloatArray, axis: Axis) -> FloatArray:
    plane = fit_plane(array)
    normal = np.array(plane.normal)
    return normal if normal @ (np.array(plane.point) - np.array(axis.point)) >= 0 else -normal


def _unit(normal: Sequence[Number]) -> FloatArray:
    given = point_array([normal], 3, 1, "normal")[0]
    size = float(np.linalg.norm(given))
    if size == 0:
        raise ValueError("normal: its direction is zero; give the direction of the bore out of the face.")
    return np.asarray(given / size)
