"""The smallest circle around all points and the largest that fits inside them, each between two bounds."""

import math
from typing import NamedTuple

import numpy as np

from inspections.metrology.candidates import pairs_of
from inspections.metrology.loop import Loop
from inspections.metrology.numbers import FloatArray
from inspections.metrology.ring_zone import RIM

_ROUNDS = 200
_SECTORS = 12
_CENTER_TINY = 1e-12


class Bounded(NamedTuple):
    """A circle about `center` (from the loop's), its radius between two bounds, and the rows touching it."""

    center: FloatArray
    lower: float
    upper: float
    touching: tuple[int, ...]


def circumscribed(loop: Loop) -> Bounded:
    """The smallest circle that holds every point.

    It is held by two or three points. About any centre the farthest of a few points is at most as far as the
    farthest of all, so the best centre for a few bounds the radius below, and all points about it, above.
    """
    rows = list(dict.fromkeys((*loop.extremes(np.zeros(2))[:2], *_corners(loop))))
    best, best_center = math.inf, np.zeros(2)
    for _ in range(_ROUNDS):
        few = loop.around[:, rows]
        centers = np.hstack((_middles(few), _crossings(few)))
        radii = _distances(few, centers).max(axis=0)
        least = int(radii.argmin())
        _, far, _, radius = loop.extremes(centers[:, least])
        if radius < best:
            best, best_center = radius, centers[:, least]
        if far in rows or best - radii[least] <= loop.rounding:
            break
        # Points inside the circle do not hold it; the radius only grows, so none comes back in a ring.
        holding = _distances(few, centers[:, least : least + 1])[:, 0] >= radii[least] - loop.rounding
        rows = [*[row for row, holds in zip(rows, holding, strict=True) if holds][:8], far]
    touching = _touching(loop, best_center, best, outside=True)
    return Bounded(best_center, min(float(radii[least]), best), best, touching)


def inscribed(loop: Loop) -> Bounded:
    """The largest circle that holds no point inside, its centre within reach of the least-squares centre.

    It is held by three points around it. About any centre the nearest of a few points is at least as far as
    the nearest of all, so the best centre for a few bounds the radius above, and all points about it, below.

    Raises
    ------
    ValueError
        If the circle grows until the edge of the search: the points do not surround it.
    """
    rows = _nearest_by_sector(loop)
    edge = RIM * loop.reach
    best, best_center = -math.inf, np.zeros(2)
    for _ in range(_ROUNDS):
        few = loop.around[:, rows]
        centers = _crossings(few)
        centers = np.hstack((centers[:, np.hypot(*centers) <= loop.reach], edge))
        radii = _distances(few, centers).min(axis=0)
        most = int(radii.argmax())
        near, _, radius, _ = loop.extremes(centers[:, most])
        if radius > best:
            best, best_center = radius, centers[:, most]
        if near in rows or radii[most] - best <= loop.rounding:
            break
        rows.append(near)
    between = loop.reach * math.pi / RIM.shape[1]
    if np.hypot(*best_center) >= loop.reach * (1 - 1e-9):
        raise ValueError(
            "circle point: the points leave one side open, so no largest circle fits inside them."
        )
    upper = max(best, float(radii[most]), float(radii[-RIM.shape[1] :].max()) + between)
    return Bounded(best_center, best, upper, _touching(loop, best_center, best, outside=False))


def _corners(loop: Loop) -> list[int]:
    return [int(row) for row in (*loop.around.argmin(axis=1), *loop.around.argmax(axis=1))]


def _nearest_by_sector(loop: Loop) -> list[int]:
    sectors = np.floor(np.arctan2(loop.around[1], loop.around[0]) * (_SECTORS / (2 * math.pi)))
    squares = (loop.around * loop.around).sum(axis=0)
    rows = []
    for sector in np.unique(sectors):
        members = np.flatnonzero(sectors == sector)
        rows.append(int(members[squares[members].argmin()]))
    return rows


def _middles(few: FloatArray) -> FloatArray:
    pairs = pairs_of(few.shape[1])
    return (few[:, pairs.first] + few[:, pairs.second]) / 2


def _crossings(few: FloatArray) -> FloatArray:
    """Centres of the circles through three points each, shape (2, m)."""
    pairs = pairs_of(few.shape[1])
    triples = pairs.first[pairs.one] == pairs.first[pairs.other]
    one, other = pairs.one[triples], pairs.other[triples]
    corner = few[:, pairs.first[one]]
    a, b = few[:, pairs.second[one]] - corner, few[:, pairs.second[other]] - corner
    below = 2 * (a[0] * b[1] - a[1] * b[0])
    aa, bb = (a * a).sum(axis=0), (b * b).sum(axis=0)
    kept = np.abs(below) > _CENTER_TINY * np.sqrt(aa * bb)
    a, b, aa, bb, below, corner = a[:, kept], b[:, kept], aa[kept], bb[kept], below[kept], corner[:, kept]
    return np.asarray(corner + np.stack((b[1] * aa - a[1] * bb, a[0] * bb - b[0] * aa)) / below)


def _distances(few: FloatArray, centers: FloatArray) -> FloatArray:
    return np.asarray(np.hypot(few[0][:, None] - centers[0], few[1][:, None] - centers[1]))


def _touching(loop: Loop, center: FloatArray, radius: float, *, outside: bool) -> tuple[int, ...]:
    distances = _distances(loop.around, center[:, None])[:, 0]
    tight = 4 * loop.rounding
    rows = distances >= radius - tight if outside else distances <= radius + tight
    return tuple(int(row) for row in np.flatnonzero(rows))
