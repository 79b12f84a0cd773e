"""A zone between two parallel planes or lines: as found by least squares, or least and proven."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from inspections.metrology.cloud import Cloud, cloud, refuse_line
from inspections.metrology.directions import facing, plain
from inspections.metrology.numbers import FloatArray
from inspections.metrology.proof import Proof, prove
from inspections.metrology.zone_proof import is_least_in_cone, settle
from inspections.metrology.zone_search import CONE, Found, Narrowest, search


@dataclass(frozen=True)
class Zone:
    """Two parallel planes (lines) that enclose all points.

    Attributes
    ----------
    deviation : float
        Their distance, in the unit of the points.
    normal : tuple of floats
        Unit normal, its greatest component positive.
    offset : float
        ``normal . p`` of the plane (line) midway between them.
    high, low : tuple of int
        Row numbers, from 0, of the points on the side farther along `normal` and on the other one.
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
        """Row numbers of all points on either side, ascending."""
        return tuple(sorted({*self.high, *self.low}))


def zone_along(points: FloatArray, point: FloatArray, normal: FloatArray) -> Zone:
    """The zone across a given normal; `point` is any point near the middle."""
    heights = (points - point) @ normal
    high, low = int(heights.argmax()), int(heights.argmin())
    middle = float((heights[high] + heights[low]) / 2 + point @ normal)
    return Zone(float(heights[high] - heights[low]), plain(normal), middle, (high,), (low,), None)


def least_zone(
    points: FloatArray, narrowest: Callable[[FloatArray], Narrowest], what: str, shape: str
) -> Zone:
    """The least zone over the cone about the least-squares normal, with its proof.

    Raises
    ------
    ValueError
        If points in space lie along one line, or the least zone leans as far as the cone permits: the points
        are not like a `shape`.
    """
    around = cloud(points)
    if len(around.spread) == 3:
        refuse_line(around.spread, what)
    found = search(around, narrowest)
    if found.on_rim:
        raise ValueError(
            f"{what}: these points are not like a {shape}: their narrowest zone leans {CONE:g} degrees or "
            f"more from the fitted {shape}, so no deviation is given; measure more places, or look for a "
            "wrong coordinate."
        )
    settled = settle(points, around, found)
    if settled is None:
        return _unsettled(points, around, found)
    lower = settled.width if is_least_in_cone(around, settled) else found.lower - around.rounding
    touching = tuple(sorted({*settled.high, *settled.low}))
    proof = prove(lower, settled.width, touching, 2 * around.rounding)
    normal = facing(settled.normal)
    if normal is settled.normal:
        offset, high, low = settled.offset, settled.high, settled.low
    else:
        offset, high, low = -settled.offset, settled.low, settled.high
    return Zone(settled.width, plain(normal), offset + 0.0, high, low, proof)


def _unsettled(points: FloatArray, around: Cloud, found: Found) -> Zone:
    """More points touch than rounded coordinates can tell apart: a flat face, seen finely."""
    normal = facing(found.normal)
    low, high, width = around.extremes(normal)
    middle = float(np.add(points[high], points[low]) @ normal) / 2
    touching = tuple(sorted({high, low, *found.holders}))
    rounding = around.rounding
    proof = prove(found.lower - rounding, width + rounding, touching, 4 * rounding)
    return Zone(width, plain(normal), middle, (high,), (low,), proof)
