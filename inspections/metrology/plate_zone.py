"""The least zone of few points in space: the closest two parallel planes with all of them between.

Along any great circle of normals the width is concave wherever the same two points stay extreme, so a
minimum inside the cone is held by 3 + 1 or 2 + 2 points, and its normal is perpendicular to two of their
connecting lines. The width at *any* normal is an upper bound, so trying all of these finds the minimum
without testing which of them are supporting planes.
"""

import math

import numpy as np

from inspections.metrology.candidates import pairs_of
from inspections.metrology.numbers import FloatArray
from inspections.metrology.zone_search import CONE, Narrowest

_COS, _SIN = math.cos(math.radians(CONE)), math.sin(math.radians(CONE))
_PARALLEL = 1e-11


def narrowest_plate(level: FloatArray) -> Narrowest:
    """The least width of `level`, shape (3, k), over the closed cone of half angle `CONE` about z."""
    pairs = pairs_of(level.shape[1])
    edges = level[:, pairs.second] - level[:, pairs.first]
    inside = _inside(level, edges)
    rim_normals = _rim_normals(edges)
    rim_widths = np.ptp(level.T @ rim_normals, axis=0)
    rim = int(rim_widths.argmin())
    if inside is None or rim_widths[rim] < inside.width:
        return Narrowest(float(rim_widths[rim]), rim_normals[:, rim], (), True)
    return inside


def _inside(level: FloatArray, edges: FloatArray) -> Narrowest | None:
    pairs = pairs_of(level.shape[1])
    a, b = edges[:, pairs.one], edges[:, pairs.other]
    normals = np.stack((a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]))
    lengths = np.sqrt((normals * normals).sum(axis=0))
    reach = np.sqrt((edges * edges).sum(axis=0))
    flat_enough = np.abs(normals[2]) >= _COS * lengths
    distinct = lengths > _PARALLEL * reach.max() * np.minimum(reach[pairs.one], reach[pairs.other])
    kept = np.flatnonzero(flat_enough & distinct)
    if not len(kept):
        return None
    normals = normals[:, kept] / lengths[kept]
    widths = np.ptp(level.T @ normals, axis=0)
    best = int(widths.argmin())
    one, other = pairs.one[kept[best]], pairs.other[kept[best]]
    holders = {int(point) for pair in (one, other) for point in (pairs.first[pair], pairs.second[pair])}
    return Narrowest(float(widths[best]), normals[:, best], tuple(sorted(holders)), False)


def _rim_normals(edges: FloatArray) -> FloatArray:
    """Directions on the cone's rim where the width can be least.

    With n(f) = (sin c cos f, sin c sin f, cos c), a difference d of two points has d.n(f) stationary at the
    bearing of d and opposite to it, and zero (two points change places as extreme) where
    cos(f - bearing) = -d_z cos c / (rho sin c).
    """
    across = np.hypot(edges[0], edges[1])
    bearing = np.arctan2(edges[1], edges[0])
    reached = np.abs(edges[2]) * _COS < across * _SIN
    turn = np.arccos(-edges[2][reached] * _COS / (across[reached] * _SIN))
    angles = np.concatenate((bearing, bearing + math.pi, bearing[reached] + turn, bearing[reached] - turn))
    return np.stack((_SIN * np.cos(angles), _SIN * np.sin(angles), np.full(len(angles), _COS)))
