"""The least zone of any number of points by cutting planes: few points bound it below, all of them above."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from inspections.metrology.cloud import Cloud
from inspections.metrology.numbers import FloatArray

CONE = 30.0
"""Greatest angle in degrees between a zone's normal and that of the least-squares plane or line."""

_KEPT = 8
"""Working points kept; more are dropped by slack while the lower bound still rises."""
_ROUNDS = 200


class Narrowest(NamedTuple):
    """The least zone of few points over the closed cone about the last axis of their frame.

    `holders`: places of the points that define its unit `normal`; `on_rim`: it leans as far as it may.
    """

    width: float
    normal: FloatArray
    holders: tuple[int, ...]
    on_rim: bool


class Found(NamedTuple):
    """Where the search ended.

    `lower`: least width of the working points; `upper`: width of all points along `normal`; `holders`: rows
    of the points that define the normal or are extreme along it; `on_rim`: as of the last working points.
    """

    lower: float
    upper: float
    normal: FloatArray
    holders: tuple[int, ...]
    on_rim: bool


def search(cloud: Cloud, narrowest: Callable[[FloatArray], Narrowest]) -> Found:
    """Raise the lower bound until it meets the upper one.

    The width of a subset along any normal is at most that of all points. So the least width of the working
    points, which `narrowest` finds over the whole cone, is a lower bound; the width of all points along that
    same normal is an upper bound; the points that stick out there join the working points.
    """
    rows = _start(cloud)
    dropping = True
    previous, upper, upper_normal = -np.inf, np.inf, cloud.normal
    holders: tuple[int, ...] = ()
    for _ in range(_ROUNDS):
        level = cloud.level(rows)
        least = narrowest(level)
        normal = cloud.frame @ least.normal
        low, high, width = cloud.extremes(normal)
        if width < upper:
            upper, upper_normal = width, normal
            holders = tuple({*(rows[place] for place in least.holders), low, high})
        if (low in rows and high in rows) or upper - least.width <= 1e-14 * upper:
            break
        dropping = dropping and least.width > previous
        previous = least.width
        if dropping and len(rows) > _KEPT:
            rows = _tightest(rows, level, least)
        rows += [row for row in (low, high) if row not in rows]
    return Found(min(least.width, upper), upper, upper_normal, holders, least.on_rim)


def _start(cloud: Cloud) -> list[int]:
    """All points if they are few; else the extremes along the fitted normal and normals beside it."""
    dimension, count = cloud.centred.shape
    if count <= _KEPT:
        return list(range(count))
    low, high, width = cloud.extremes(cloud.normal)
    rows = [low, high]
    for axis in range(dimension - 1):
        lean = cloud.frame[:, axis] * (width / (8 * cloud.spread[axis]))
        for leaning in (cloud.normal + lean, cloud.normal - lean):
            rows += cloud.extremes(leaning)[:2]
    if len(set(rows)) < 6:
        for axis in range(dimension - 1):
            rows += cloud.extremes(cloud.frame[:, axis])[:2]
    return list(dict.fromkeys(rows))


def _tightest(rows: list[int], level: FloatArray, least: Narrowest) -> list[int]:
    heights = least.normal @ level
    slack = np.minimum(heights.max() - heights, heights - heights.min())
    return [rows[place] for place in np.argsort(slack, kind="stable")[:_KEPT]]
