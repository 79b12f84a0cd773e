"""Flatness of a probed face."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from inspections.metrology.cloud import Cloud, cloud, has_distinct
from inspections.metrology.fits import facing, fit_plane, plain
from inspections.metrology.numbers import FloatArray, Points, point_array
from inspections.metrology.plate_proof import is_least_in_cone, settle
from inspections.metrology.plate_search import Found, search
from inspections.metrology.plate_zone import CONE
from inspections.metrology.proof import Proof, prove


@dataclass(frozen=True)
class Flatness:
    """Two parallel planes that enclose all points.

    Attributes
    ----------
    deviation : float
        Their distance, in the unit of the points.
    normal : tuple of 3 floats
        Unit normal, its greatest component positive.
    offset : float
        ``normal . p`` of the plane midway between them.
    high, low : tuple of int
        Row numbers, from 0, of the points on the plane farther along `normal` and on the other one.
    proof : Proof or None
        For the minimum zone; a least-squares deviation is no minimum and has none.
    """

    deviation: float
    normal: tuple[float, ...]
    offset: float
    high: tuple[int, ...]
    low: tuple[int, ...]
    proof: Proof | None

    @property
    def touching(self) -> tuple[int, ...]:
        """Row numbers of all points on either plane, ascending."""
        return tuple(sorted({*self.high, *self.low}))


def flatness(points: Points, method: Literal["minimum_zone", "least_squares"] = "minimum_zone") -> Flatness:
    """Flatness deviation, perpendicular to the face however it lies in its coordinates.

    Minimum zone: min over unit normals n of (max n.p - min n.p), the distance of the closest two parallel
    planes that hold every point between them. Least squares: the same spread along the normal of the
    orthogonal least-squares plane; never smaller.

    Parameters
    ----------
    points : array_like, shape (n, 3), n >= 4
        Any unit of length. Order and repeated points do not matter.
    method : {"minimum_zone", "least_squares"}

    Returns
    -------
    Flatness
        The minimum-zone deviation carries its proof; where the proof is certified, the deviation is exact for
        the coordinates given (to 1e-12 of itself, also for a face that lies tilted or far from the origin).

    Raises
    ------
    ValueError
        For bad numbers, fewer than 4 different points, points along one line, or points that are not like a
        plate: their least zone would lean 30 degrees or more from the least-squares plane, so it is the
        thickness of the cloud in another direction and no flatness.

    Notes
    -----
    The minimum is global in the cone by construction: the least zone of a few points (all candidates tried)
    bounds it below, the zone of all points along the same normal bounds it above, and both meet. The contacts
    are then settled in whole-number arithmetic.

    References
    ----------
    ISO 1101:2017, 17.3 (flatness zone); ISO 12781-1:2011 (minimum zone and least-squares reference planes);
    ASME Y14.5.1M-1994, 6.4.2.

    Examples
    --------
    A face twisted by 0.02 mm, each corner 0.01 mm up or down:

    >>> result = flatness([(0, 0, "0.01"), (90, 0, "-0.01"), (90, 90, "0.01"), (0, 90, "-0.01")])
    >>> result.deviation, result.normal, result.high, result.low
    (0.02, (0.0, 0.0, 1.0), (0, 2), (1, 3))
    >>> result.proof.certified
    True
    """
    if method not in ("minimum_zone", "least_squares"):
        raise ValueError(f"flatness: the method is minimum_zone or least_squares, not {method!r}.")
    array = point_array(points, 3, 4, "face point")
    if method == "least_squares":
        return _least_squares(array)
    return _minimum_zone(array)


def _least_squares(points: FloatArray) -> Flatness:
    _refuse_three(points)
    plane = fit_plane(points)
    normal = np.array(plane.normal)
    heights = (points - np.array(plane.point)) @ normal
    high, low = int(heights.argmax()), int(heights.argmin())
    middle = float((heights[high] + heights[low]) / 2 + np.array(plane.point) @ normal)
    return Flatness(float(heights[high] - heights[low]), plane.normal, middle, (high,), (low,), None)


def _minimum_zone(points: FloatArray) -> Flatness:
    face = cloud(points, "face point")
    found = search(face)
    if found.upper <= face.rounding or len(points) <= 12:
        _refuse_three(points)
    if found.on_rim:
        raise ValueError(
            f"face point: these points are not like a plate: their narrowest zone leans {CONE:g} degrees or "
            "more from the fitted plane. No flatness is given; measure more of the face, or check for a wrong "
            "coordinate."
        )
    settled = settle(points, face, found)
    if settled is None:
        return _unsettled(points, face, found)
    lower = settled.width if is_least_in_cone(face, settled) else found.lower - face.rounding
    normal = facing(settled.normal)
    sign = 1.0 if normal is settled.normal else -1.0
    high, low = (settled.high, settled.low) if sign > 0 else (settled.low, settled.high)
    proof = prove(lower, settled.width, tuple(sorted({*high, *low})), 2 * face.rounding)
    return Flatness(settled.width, plain(normal), sign * settled.offset + 0.0, high, low, proof)


def _unsettled(points: FloatArray, face: Cloud, found: Found) -> Flatness:
    """More points touch than can be told apart by their rounded coordinates: a flat face, seen finely."""
    normal = facing(found.normal)
    low, high, width = face.extremes(normal)
    middle = float((points[high] + points[low]) @ normal) / 2
    touching = tuple(sorted({high, low, *found.holders}))
    proof = prove(max(0.0, found.lower - face.rounding), width + face.rounding, touching, 4 * face.rounding)
    return Flatness(width, plain(normal), middle, (high,), (low,), proof)


def _refuse_three(points: FloatArray) -> None:
    if not has_distinct(points, 4):
        raise ValueError(
            "face point: fewer than 4 different points; three always lie in a plane, measure more of the face."
        )
