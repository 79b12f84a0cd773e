"""High and low of a surface that is known at points: where it lies above a level, as lines of hatching."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from inspections.pictures.drawing import number, polyline, ring

FloatArray = NDArray[np.float64]

STEP = 6.5
"""Distance of the lines of hatching, in units of the drawing."""
ALONG = 4.0
"""Distance of the places along a line where the height is asked."""
NEIGHBORS = 8
POWER = 3.0


@dataclass(frozen=True)
class Outline:
    """What of the sheet is surface: inside `hull` (corners in order, convex), outside the hole in it.

    `hole`: center x, y and radius; radius 0 without one. `radius`: of a round hull about the same center,
    whose corners need not be asked; else 0.
    """

    hull: FloatArray
    hole: tuple[float, float, float]
    radius: float = 0.0

    @property
    def path(self) -> str:
        """The outer edge."""
        x, y, _hole = self.hole
        return ring((x, y), self.radius) if self.radius > 0 else polyline(self.hull) + "Z"

    def holds(self, places: FloatArray) -> NDArray[np.bool_]:
        """Which of the places, shape (n, 2), are surface."""
        x, y, hole = self.hole
        far = np.hypot(places[:, 0] - x, places[:, 1] - y)
        inside = far >= hole
        if self.radius > 0:
            return np.asarray(inside & (far <= self.radius))
        for corner, following in zip(self.hull, np.roll(self.hull, -1, axis=0), strict=True):
            edge = following - corner
            inside &= edge[0] * (places[:, 1] - corner[1]) - edge[1] * (places[:, 0] - corner[0]) >= 0
        return inside


def hatching(points: FloatArray, heights: FloatArray, level: float, outline: Outline) -> str:
    """Level lines of ink over all that lies above ``level``, as one path.

    Between the points the height is their mean, weighted by the inverse cube of the distance (Shepard), so
    that at each point it is the one that was measured.

    Parameters
    ----------
    points : shape (n, 2), units of the drawing
    heights : shape (n,), level : in one unit, whatever it is
    """
    low, high = outline.hull.min(axis=0), outline.hull.max(axis=0)
    rows = np.arange(low[1] + STEP / 2, high[1], STEP)
    columns = np.arange(low[0], high[0] + ALONG, ALONG)
    places = np.stack(np.meshgrid(columns, rows), axis=-1).reshape(-1, 2)
    if len(places) == 0:
        return ""
    surface = outline.holds(places)
    above = np.full(len(places), -np.inf)
    above[surface] = _between(points, heights, places[surface]) - level
    return "".join(
        _segments(columns, y, row) for y, row in zip(rows, above.reshape(len(rows), -1), strict=True)
    )


def _between(points: FloatArray, heights: FloatArray, places: FloatArray) -> FloatArray:
    count = min(NEIGHBORS, len(points))
    far, near = cKDTree(points).query(places, k=count)
    far, near = far.reshape(len(places), count), near.reshape(len(places), count)
    weights = 1 / np.maximum(far, 1e-6) ** POWER
    return np.asarray((weights * heights[near]).sum(axis=1) / weights.sum(axis=1))


def _segments(columns: FloatArray, y: float, above: FloatArray) -> str:
    """The stretches of one line that lie above, their ends where the height crosses the level."""
    inside = above > 0
    if not inside.any():
        return ""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], inside, [False])).astype(np.int8)))
    found = []
    for begin, end in zip(edges[::2], edges[1::2] - 1, strict=True):
        left = _crossing(columns, above, begin, begin - 1)
        right = _crossing(columns, above, end, end + 1)
        if right - left >= 1:
            found.append(f"M{number(left)} {number(y)}H{number(right)}")
    return "".join(found)


def _crossing(columns: FloatArray, above: FloatArray, inner: int, outer: int) -> float:
    """Where between a place above and its neighbor below the level is met."""
    if not 0 <= outer < len(columns) or not np.isfinite(above[outer]):
        return float(columns[inner])
    share = above[inner] / (above[inner] - above[outer])
    return float(columns[inner] + share * (columns[outer] - columns[inner]))
