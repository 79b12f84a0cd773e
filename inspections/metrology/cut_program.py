"""The linear programs behind the face cut: the shallowest plane that cleans a face within its limits."""

import math
from typing import NamedTuple

import numpy as np
from scipy.optimize import linprog

from inspections.metrology.numbers import FloatArray

_STEPS = 30
_SETTLED = 1e-12
_SOLVER = 1e-6
"""What the solver may miss a limit by, as a part of the roughness of the face."""


class Range(NamedTuple):
    """A closed range; infinite where it is free."""

    low: float
    high: float

    def clip(self, value: float) -> float:
        """The value, or the end of the range it is beyond."""
        return min(max(value, self.low), self.high)


FREE = Range(-math.inf, math.inf)


class CutLimits(NamedTuple):
    """What the cut must keep to: deepest cut per point, shape (n,); distance; pitch and yaw in radians."""

    deepest: FloatArray
    distance: Range
    pitch: Range
    yaw: Range


class CutPlane(NamedTuple):
    """A plane at `distance` from A-B, turned by pitch and yaw (radians), and the depth cut at each point."""

    distance: float
    pitch: float
    yaw: float
    depths: FloatArray
    miss: float


def shallowest(points: FloatArray, limits: CutLimits) -> CutPlane | None:
    """The plane that cleans every point and whose deepest cut is least; None if no plane keeps the limits.

    In a frame turned about A-B by the plane's own pitch, distances and depths square to A-B are linear in the
    plane's three numbers. The frame is turned until the plane has no pitch left in it.
    """
    pitch = limits.pitch.clip(_slope(points))
    lacking = 0.0
    for _ in range(_STEPS):
        turned = about_axis(points, -pitch)
        lacking, slope_along, slope_up = _program(turned, limits, pitch)
        pitch = limits.pitch.clip(pitch + math.atan(slope_up))
        if abs(slope_up) <= _SETTLED:
            break
    turned = about_axis(points, -pitch)
    tolerance = _SOLVER * _roughness(turned)
    if lacking > tolerance:
        return None
    heights = turned[:, 2] - slope_along * turned[:, 0]
    # As little as cleans the lowest point; more only where the distance asks for it.
    distance = min(float(heights.min()), limits.distance.high)
    return CutPlane(distance, pitch, -math.atan(slope_along), heights - distance, tolerance)


def about_axis(points: FloatArray, angle: float) -> FloatArray:
    """Points turned about x, y towards z, by an angle in radians."""
    x, y, z = points.T
    c, s = math.cos(angle), math.sin(angle)
    return np.column_stack((x, c * y - s * z, s * y + c * z))


def _program(turned: FloatArray, limits: CutLimits, pitch: float) -> tuple[float, float, float]:
    """What the limits lack, and the slopes along A-B and up of the best plane z = c + s x + t y.

    Two programs: the first finds the least by which depth and distance must be overstepped together, the
    second the shallowest plane that oversteps them by no more.
    """
    x, y, z = turned.T
    base, high = float(z.min()), _roughness(turned)
    long, wide = (float(np.abs(part).max()) or 1.0 for part in (x, y))
    # Unknowns c, s, t, deepest h, overstepping v; all lengths and slopes scaled to the roughness.
    plane = np.column_stack((np.ones_like(x), x / long, y / wide))
    none, one = np.zeros((len(x), 1)), np.ones((len(x), 1))
    heights = (z - base) / high
    held = np.isfinite(limits.deepest)
    rows = np.vstack(
        (
            np.hstack((plane, none, none)),
            np.hstack((-plane, -one, none)),
            np.hstack((-plane, none, -one))[held],
            [[1.0, 0.0, 0.0, 0.0, -1.0], [-1.0, 0.0, 0.0, 0.0, -1.0]],
        )
    )
    most = np.concatenate(
        (
            heights,
            -heights,
            (limits.deepest / high - heights)[held],
            [(limits.distance.high - base) / high, (base - limits.distance.low) / high],
        )
    )
    known = np.isfinite(most)
    slopes = [
        (math.tan(-limits.yaw.high) * long / high, math.tan(-limits.yaw.low) * long / high),
        (_tangent(limits.pitch.low - pitch) * wide / high, _tangent(limits.pitch.high - pitch) * wide / high),
    ]
    bounds = [(None, None), *slopes, (0.0, None), (0.0, None)]
    lacking = _solve([0, 0, 0, 0, 1], rows[known], most[known], bounds)[4]
    bounds[4] = (0.0, lacking)
    _, along, up, _, _ = _solve([0, 0, 0, 1, 0], rows[known], most[known], bounds)
    return lacking * high, along * high / long, up * high / wide


def _solve(
    cost: list[int], rows: FloatArray, most: FloatArray, bounds: list[tuple[float | None, float | None]]
) -> list[float]:
    found = linprog(cost, A_ub=rows, b_ub=most, bounds=bounds, method="highs")
    if found.x is None:
        raise ValueError(f"face cut: no plane could be worked out ({found.message}); check the points.")
    return [float(value) for value in found.x]


def _slope(points: FloatArray) -> float:
    """Pitch of the least-squares plane, to begin with."""
    table = np.column_stack((np.ones(len(points)), points[:, :2]))
    return math.atan(float(np.linalg.lstsq(table, points[:, 2], rcond=None)[0][2]))


def _roughness(points: FloatArray) -> float:
    """Height from the lowest to the highest point, or the length unit for a face without any."""
    return float(np.ptp(points[:, 2])) or 1.0


def _tangent(angle: float) -> float:
    """Infinite from a right angle on: no bound."""
    return math.tan(angle) if abs(angle) < math.pi / 2 else math.copysign(math.inf, angle)
