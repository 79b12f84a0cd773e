"""The face as axis A-B sees it: how far off, how parallel, how turned."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from inspections.metrology.axis import Axis
from inspections.metrology.cloud import has_distinct
from inspections.metrology.directions import plain
from inspections.metrology.fits import fit_plane
from inspections.metrology.numbers import FloatArray, Number, Points, point_array
from inspections.metrology.straightness import straightness

_SQUARE = 1e-6


@dataclass(frozen=True)
class FaceToAxis:
    """A face against axis A-B.

    Attributes
    ----------
    distance : float
        From A-B to the face, square to A-B, at the station of the face's middle.
    yaw : float
        Degrees between face and A-B; positive if the face's outward normal leans to the right journal.
    rise : float
        How much farther from A-B the face is at its right end than at its left: -tan(yaw) times its length.
    parallelism : float
        Width of the narrowest zone, parallel to A-B, that holds all points; never below the flatness.
    pitch : float or None
        Degrees about A-B from the second datum to the outward normal, right-handed about left to right; None
        without a second datum.
    normal : tuple of 3 floats
        Unit normal of the face, outward from A-B.
    """

    distance: float
    yaw: float
    rise: float
    parallelism: float
    pitch: float | None
    normal: tuple[float, ...]


def face_to_axis(points: Points, axis: Axis, second: Sequence[Number] | None = None) -> FaceToAxis:
    """Where a face stands against A-B.

    With the least-squares plane of unit normal m and middle c, and A-B through a along the unit vector d:
    e = (m - (m.d) d) made a unit, distance = m.(c - a - ((c - a).d) d) / (m.e), yaw = asin(m.d),
    pitch = atan2((s x e).d, s.e) with the second datum s made square to d.

    Parameters
    ----------
    points : array_like, shape (n, 3), n >= 3
        Points of the face, same frame and unit as the axis.
    axis : Axis
    second : 3 Number, optional
        Direction in which the face looks at zero pitch: what the second datum (such as the brackets at ride
        attitude) says is straight ahead. Its part along A-B does not count.

    Raises
    ------
    ValueError
        For bad numbers, points in a line, a face that is square to A-B or holds it, a second datum along A-B.

    References
    ----------
    ISO 1101:2017, 17.8 (parallelism to a datum axis); ASME Y14.5-2018, 9.3.

    Examples
    --------
    >>> face = [(-4, -3, 5), (4, -3, 5), (4, 3, 5), (-4, 3, 5)]
    >>> found = face_to_axis(face, Axis.through((-30, 0, 0), (30, 0, 0)), second=(0, 0, 1))
    >>> found.distance, found.yaw, found.pitch
    (5.0, 0.0, 0.0)
    """
    array = point_array(points, 3, 3, "face point")
    plane = fit_plane(array)
    middle, normal, along = np.array(plane.point), np.array(plane.normal), np.array(axis.direction)
    out = middle - np.array(axis.point)
    out -= (out @ along) * along
    if normal @ out < 0:
        normal = -normal
    lean = float(normal @ along)
    level = normal - lean * along
    steepness = float(np.linalg.norm(level))
    if steepness <= _SQUARE:
        raise ValueError(
            "face point: the face is square to A-B; it has no distance from it. Check the frame."
        )
    ahead = level / steepness
    distance = float(normal @ out) / steepness
    if distance <= _SQUARE * float(np.ptp(array, axis=0).max()):
        raise ValueError("face point: A-B lies in the face, so there is no outside; check the frame.")
    stations = array @ along
    length = float(np.ptp(stations))
    side = np.cross(ahead, along)
    seen = (array - middle) @ np.column_stack((side, ahead))
    return FaceToAxis(
        distance,
        math.degrees(math.atan2(lean, steepness)),
        -lean / steepness * length,
        _zone_width(seen),
        None if second is None else _pitch(second, along, ahead),
        plain(normal),
    )


def _zone_width(seen: FloatArray) -> float:
    """Narrowest strip of the face seen along A-B; two lines parallel to A-B always lie in one plane."""
    return straightness(seen).deviation if has_distinct(seen, 3) else 0.0


def _pitch(second: Sequence[Number], along: FloatArray, ahead: FloatArray) -> float:
    datum = point_array([second], 3, 1, "second datum")[0]
    size = float(np.linalg.norm(datum))
    datum = datum - (datum @ along) * along
    if float(np.linalg.norm(datum)) <= _SQUARE * size or size == 0:
        raise ValueError("second datum: it runs along A-B and cannot say what turns about it.")
    return math.degrees(math.atan2(float(np.cross(datum, ahead) @ along), float(datum @ ahead)))
