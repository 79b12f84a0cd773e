"""Refines a zone to its exact contacts and proves it: no other normal of the cone gives a narrower one."""

import math
from typing import NamedTuple

import numpy as np

from inspections.metrology.cloud import Cloud
from inspections.metrology.exact_zone import ExactZone, along, dot, narrowest_near, over_length, whole
from inspections.metrology.numbers import FloatArray
from inspections.metrology.plate_search import Found
from inspections.metrology.plate_zone import CONE

_MOST_NEAR = 2_000
_MOST_HOLDERS = 10
_MARGIN = 1e-6


class Settled(NamedTuple):
    """An exact zone of all points: width, normal, mid-plane offset; rows on the high and on the low plane."""

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
    normal = found.normal
    while len(holders) <= _MOST_HOLDERS:
        near = sorted({*holders, *cloud.near_extremes(normal, 2 * cloud.rounding)})
        if len(near) > _MOST_NEAR:
            return None
        coordinates, scale = whole(points[near])
        position = {row: place for place, row in enumerate(near)}
        zone = narrowest_near([coordinates[position[row]] for row in holders], normal.tolist())
        if zone is None:
            return None
        full = along(zone.normal, coordinates)
        if (full.low, full.high) == (zone.low, zone.high):
            return _described(full, near, [dot(full.normal, point) for point in coordinates], scale)
        heights = {row: dot(zone.normal, coordinates[position[row]]) for row in near}
        holders += [
            row
            for row in (min(near, key=heights.__getitem__), max(near, key=heights.__getitem__))
            if row not in holders
        ]
    return None


def _described(zone: ExactZone, near: list[int], heights: list[int], scale: int) -> Settled:
    square = zone.square
    unit = np.array([over_length(part, square, 1) for part in zone.normal])
    return Settled(
        over_length(zone.high - zone.low, square, scale),
        unit,
        over_length(zone.high + zone.low, square, 2 * scale),
        tuple(row for row, height in zip(near, heights, strict=True) if height == zone.high),
        tuple(row for row, height in zip(near, heights, strict=True) if height == zone.low),
    )


def is_least_in_cone(cloud: Cloud, settled: Settled) -> bool:
    """Whether the contacts alone forbid a narrower zone anywhere in the cone.

    Let s be the least over all directions f in the plane of the greatest (high - low).f over contact pairs.
    A zone whose normal leans by t is then at least w cos t + s sin t wide, which is at least w for all
    t <= 2 atan(s / w). That must reach from the found normal to the far side of the cone.
    """
    if settled.width == 0.0:
        return True
    cosine = abs(float(settled.normal @ cloud.frame[:, 2]))
    farthest = math.radians(CONE) + math.acos(min(1.0, cosine))
    hold = _least_reach(_differences(cloud, settled))
    return 2 * math.atan2(hold, settled.width) >= farthest * (1 + _MARGIN)


def _differences(cloud: Cloud, settled: Settled) -> FloatArray:
    """High minus low contacts, seen along the normal, shape (2, pairs)."""
    across = cloud.frame[:, 0] - (cloud.frame[:, 0] @ settled.normal) * settled.normal
    across /= np.linalg.norm(across)
    axes = np.stack((across, np.cross(settled.normal, across)))
    high = axes @ cloud.centred[:, list(settled.high)]
    low = axes @ cloud.centred[:, list(settled.low)]
    return (high[:, :, None] - low[:, None, :]).reshape(2, -1)


def _least_reach(differences: FloatArray) -> float:
    """Distance from the origin to the rim of the polygon these vectors span; 0 if it is not inside."""
    edges = differences[:, None, :] - differences[:, :, None]
    lengths = np.hypot(edges[0], edges[1])
    size = float(np.abs(differences).max())
    pairs = lengths > _MARGIN * size
    outward = np.stack((edges[1][pairs], -edges[0][pairs])) / lengths[pairs]
    starts = np.repeat(differences[:, :, None], differences.shape[1], axis=2)[:, pairs]
    reach = (outward * starts).sum(axis=0)
    supporting = (outward.T @ differences <= reach[:, None] + 1e-9 * size).all(axis=1)
    return max(0.0, float(reach[supporting].min()) - 1e-9 * size) if supporting.any() else 0.0
