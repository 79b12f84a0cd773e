"""Straightness of a measured profile."""

from typing import Literal

import numpy as np

from inspections.metrology.cloud import has_distinct
from inspections.metrology.fits import fit_line
from inspections.metrology.line_zone import narrowest_strip
from inspections.metrology.numbers import Points, point_array
from inspections.metrology.zone import Zone, least_zone, zone_along


def straightness(points: Points, method: Literal["minimum_zone", "least_squares"] = "minimum_zone") -> Zone:
    """Straightness deviation of a profile in its plane, perpendicular to the line.

    Minimum zone: the distance of the closest two parallel lines with every point between them. Least squares:
    the spread across the orthogonal least-squares line; never smaller.

    Parameters
    ----------
    points : array_like, shape (n, 2), n >= 3
        Place along the line and height, in one unit of length.
    method : {"minimum_zone", "least_squares"}

    Returns
    -------
    Zone
        ``.deviation``, ``.normal``, ``.offset``, ``.touching``; the minimum zone carries its ``.proof``.

    Raises
    ------
    ValueError
        For bad numbers, fewer than 3 different points, or points that are not like a line: their least zone
        would lean 30 degrees or more from the least-squares line.

    References
    ----------
    ISO 1101:2017, 17.2 (straightness zone); ISO 12780-1:2011 (minimum zone and least-squares reference
    lines).

    Examples
    --------
    >>> result = straightness([(0, 0), (50, "0.02"), (100, "0.01")])
    >>> round(result.deviation, 9), result.touching
    (0.015, (0, 1, 2))
    """
    if method not in ("minimum_zone", "least_squares"):
        raise ValueError(f"straightness: the method is minimum_zone or least_squares, not {method!r}.")
    array = point_array(points, 2, 3, "profile point")
    if not has_distinct(array, 3):
        raise ValueError(
            "profile point: fewer than 3 different points; two always lie on a line, so measure more places."
        )
    if method == "least_squares":
        line = fit_line(array)
        across = np.array((-line.direction[1], line.direction[0]))
        return zone_along(array, np.array(line.point), across if across[1] > 0 else -across)
    return least_zone(array, narrowest_strip, "profile point", "line")
