"""Flatness of a probed face."""

from typing import Literal

import numpy as np

from inspections.metrology.cloud import has_distinct
from inspections.metrology.fits import fit_plane
from inspections.metrology.numbers import Points, point_array
from inspections.metrology.plate_zone import narrowest_plate
from inspections.metrology.zone import Zone, least_zone, zone_along


def flatness(points: Points, method: Literal["minimum_zone", "least_squares"] = "minimum_zone") -> Zone:
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
    Zone
        ``.deviation``, ``.normal``, ``.offset``, ``.touching``; the minimum zone carries its ``.proof``.
        Where that is certified, the deviation is exact for the coordinates given (to 1e-12 of itself, also
        for a face that lies tilted or far from the origin).

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
    if not has_distinct(array, 4):
        raise ValueError(
            "face point: fewer than 4 different points; three always lie in a plane, so measure more places."
        )
    if method == "least_squares":
        plane = fit_plane(array)
        return zone_along(array, np.array(plane.point), np.array(plane.normal))
    return least_zone(array, narrowest_plate, "face point", "plate")
