"""Refines a zone to its exact contacts and proves it: no other normal of the cone gives a narrower one."""

import math
from typing import NamedTuple

import numpy as np

from inspections.metrology.cloud import Cloud
from inspections.metrology.contacts import least_pull
from inspections.metrology.exact_zone import Whole, dot, narrowest_near, over_length, whole
from inspections.metrology.numbers import FloatArray
from inspections.metrology.zone_search import CONE, Found

_MOST_NEAR = 2_000
_MOST_HOLDERS = 10


class Settled(NamedTuple):
    """An exact zone of all points: width, normal, mid-plane offset; rows on the high and on the low side."""

    width: float
    normal: FloatArray
    offset: float
    high: tuple[int, ...]
    low: tuple[int, ...]


def settle(points: FloatArray, cloud: Cloud, found: Found) -> Settled | None:
    """The zone whose contacts hold in exact arithmetic, or ``None`` if they cannot be told apart.

    Starting with the points that define the found normal, the exactly extreme points of all that could be
    extreme join them until none sticks out.
    """
    holders = list(found.holders)
    while len(holders) <= _MOST_HOLDERS:
        normal = narrowest_near(whole(points[holders])[0], found.normal.tolist())
        if normal is None:
            return None
        unit = _unit(normal)
        near = cloud.near_extremes(unit, 2 * cloud.rounding)
        if len(near) > _MOST_NEAR:
            return None
        rows = sorted({*holders, *near.tolist()})
        coordinates, scale = whole(points[rows])
        heights = {row: dot(normal, point) for row, point in zip(rows, coordinates, strict=True)}
        high, low = max(heights.values()), min(heights.values())
        if {high, low} <= {heights[row] for row in holders}:
            square = dot(normal, normal)
            return Settled(
                over_length(high - low, square, scale),
                unit,
                over_length(high + low, square, 2 * scale),
                tuple(row for row in rows if heights[row] == high),
                tuple(row for row in rows if heights[row] == low),
            )
        holders = list({*holders, max(rows, key=heights.__getitem__), min(rows, key=heights.__getitem__)})
    return None


def _unit(normal: Whole) -> FloatArray:
    square = dot(normal, normal)
    return np.array([over_length(part, square, 1) for part in normal])


def is_least_in_cone(cloud: Cloud, settled: Settled) -> bool:
    """Whether the contacts alone forbid a narrower zone anywhere in the cone.

    Let s be the least over all directions f across the normal of the greatest (high - low).f over contact
    pairs. A zone whose normal leans by t is at least w cos t + s sin t wide, which is at least w for all
    t <= 2 atan(s / w). That must reach from the found normal to the far side of the cone.
    """
    if settled.width == 0.0:
        return True
    lean = math.acos(min(1.0, abs(float(settled.normal @ cloud.normal))))
    reach = 2 * math.atan2(least_pull(_across(cloud, settled)), settled.width)
    return reach >= (math.radians(CONE) + lean) * (1 + 1e-6)


def _across(cloud: Cloud, settled: Settled) -> FloatArray:
    """High minus low contacts as seen along the normal, shape (d - 1, pairs)."""
    if len(settled.normal) == 2:
        x, y = settled.normal.tolist()
        axes = np.array([[y, -x]])
    else:
        x, y, z = settled.normal.tolist()
        # Two unit vectors perpendicular to the normal and to each other, without a special case (Duff et
        # al., J. Computer Graphics Techniques 6 (2017) 1).
        sign = math.copysign(1.0, z)
        a = -1.0 / (sign + z)
        b = x * y * a
        axes = np.array([[1.0 + sign * x * x * a, sign * b, -sign * x], [b, sign + y * y * a, -y]])
    high = axes @ cloud.centred[:, list(settled.high)]
    low = axes @ cloud.centred[:, list(settled.low)]
    return (high[:, :, None] - low[:, None, :]).reshape(len(axes), -1)
