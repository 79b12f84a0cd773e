"""Roundness of a probed circle."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from inspections.metrology.bounding_circles import Bounded, circumscribed, inscribed
from inspections.metrology.circle_fit import fit_circle
from inspections.metrology.cloud import has_distinct
from inspections.metrology.directions import plain
from inspections.metrology.loop import loop
from inspections.metrology.numbers import FloatArray, Points, point_array
from inspections.metrology.proof import Proof, prove
from inspections.metrology.ring_proof import is_least_within_reach, settle_ring
from inspections.metrology.ring_search import search_ring

Method = Literal["minimum_zone", "least_squares", "minimum_circumscribed", "maximum_inscribed"]


@dataclass(frozen=True)
class Ring:
    """Two concentric circles that enclose all points.

    Attributes
    ----------
    deviation : float
        Difference of their radii, in the unit of the points.
    center : tuple of 2 floats
        Their centre.
    radius : float
        Of the reference circle: midway between both for the minimum zone, the fitted circle for least
        squares, the outer circle if circumscribed, the inner one if inscribed.
    outer, inner : tuple of int
        Row numbers, from 0, of the points on the outer and on the inner circle.
    proof : Proof or None
        Bounds of the deviation for the minimum zone, of the radius for the circumscribed and the inscribed
        circle; least squares has none.
    """

    deviation: float
    center: tuple[float, ...]
    radius: float
    outer: tuple[int, ...]
    inner: tuple[int, ...]
    proof: Proof | None

    @property
    def touching(self) -> tuple[int, ...]:
        """Row numbers of all points on either circle, ascending."""
        return tuple(sorted({*self.outer, *self.inner}))


def roundness(points: Points, method: Method = "minimum_zone") -> Ring:
    """Roundness deviation about a reference circle's centre: greatest less least radius.

    Minimum zone: the centre about which that difference is least. Least squares: the geometric least-squares
    circle. Minimum circumscribed: the smallest circle around all points (a shaft's gauge ring). Maximum
    inscribed: the largest circle inside all points (a bore's gauge plug).

    Parameters
    ----------
    points : array_like, shape (n, 2), n >= 4
        Any unit of length.
    method : {"minimum_zone", "least_squares", "minimum_circumscribed", "maximum_inscribed"}

    Raises
    ------
    ValueError
        For bad numbers, fewer than 4 different points, points along one line, points that show no centre, or
        for the inscribed circle points that leave one side open.

    Notes
    -----
    Centres are compared within one radius of the least-squares centre (farther out, two circles become two
    parallel lines, which say nothing of a circle). Within, the minimum is global: a few points with all
    candidate centres tried bound it below, all points bound it above; where ``proof.certified``, both meet.

    References
    ----------
    ISO 1101:2017, 17.4; ISO 12181-1:2011 (the four reference circles).

    Examples
    --------
    >>> oval = [(10.02, 0), (0, 10), (-10.02, 0), (0, -10), (7.08, 7.08)]
    >>> ring = roundness(oval)
    >>> round(ring.deviation, 9), ring.proof.certified
    (0.02, True)
    """
    methods = ("minimum_zone", "least_squares", "minimum_circumscribed", "maximum_inscribed")
    if method not in methods:
        raise ValueError(f"roundness: the method is one of {', '.join(methods)}, not {method!r}.")
    array = point_array(points, 2, 4, "circle point")
    if not has_distinct(array, 4):
        raise ValueError(
            "circle point: fewer than 4 different points; three always lie on a circle; measure more places."
        )
    if method == "minimum_zone":
        return _minimum_zone(array)
    if method == "least_squares":
        circle = fit_circle(array)
        return _about(array, np.array(circle.center), circle.radius)
    return _bounding(array, method)


def _minimum_zone(points: FloatArray) -> Ring:
    profile = loop(points)
    found = search_ring(profile)
    settled = settle_ring(points, profile, found)
    rounding = profile.rounding
    if settled is None:
        near, far, least, greatest = profile.extremes(found.center)
        touching = tuple(sorted({near, far, *found.holders}))
        proof = prove(found.lower - rounding, greatest - least + rounding, touching, 4 * rounding)
        middle = (greatest + least) / 2
        return Ring(greatest - least, plain(found.center + profile.center), middle, (far,), (near,), proof)
    if is_least_within_reach(profile, found, settled):
        lower = settled.width
    else:
        lower = found.lower - rounding
    touching = tuple(sorted({*settled.outer, *settled.inner}))
    return Ring(
        settled.width,
        settled.center,
        (settled.outer_radius + settled.inner_radius) / 2,
        settled.outer,
        settled.inner,
        prove(lower, settled.width, touching, 2 * rounding),
    )


def _about(points: FloatArray, center: FloatArray, radius: float) -> Ring:
    distances = np.hypot(*(points - center).T)
    far, near = int(distances.argmax()), int(distances.argmin())
    return Ring(float(distances[far] - distances[near]), plain(center), radius, (far,), (near,), None)


def _bounding(points: FloatArray, method: Method) -> Ring:
    profile = loop(points)
    outside = method == "minimum_circumscribed"
    bounded: Bounded = circumscribed(profile) if outside else inscribed(profile)
    near, far, least, greatest = profile.extremes(bounded.center)
    proof = prove(bounded.lower, bounded.upper, bounded.touching, 2 * profile.rounding)
    outer, inner = (bounded.touching, (near,)) if outside else ((far,), bounded.touching)
    radius = greatest if outside else least
    return Ring(greatest - least, plain(bounded.center + profile.center), radius, outer, inner, proof)
