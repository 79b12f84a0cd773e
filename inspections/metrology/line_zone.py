"""The least zone of few points in the plane: the closest two parallel lines with all of them between.

The width as a function of direction is concave wherever the same two points stay extreme, so the minimum
inside the cone is perpendicular to the line through two points; all pairs are tried.
"""

import math

import numpy as np

from inspections.metrology.candidates import pairs_of
from inspections.metrology.numbers import FloatArray
from inspections.metrology.zone_search import CONE, Narrowest

_COS, _SIN = math.cos(math.radians(CONE)), math.sin(math.radians(CONE))


def narrowest_strip(level: FloatArray) -> Narrowest:
    """The least width of `level`, shape (2, k), over normals within `CONE` of y."""
    pairs = pairs_of(level.shape[1])
    edges = level[:, pairs.second] - level[:, pairs.first]
    lengths = np.hypot(edges[0], edges[1])
    kept = np.flatnonzero((lengths > 0.0) & (np.abs(edges[0]) >= _COS * lengths))
    inside = np.stack((-edges[1][kept], edges[0][kept])) / lengths[kept]
    normals = np.hstack((inside, [[_SIN, -_SIN], [_COS, _COS]]))
    widths = np.ptp(level.T @ normals, axis=0)
    best = int(widths.argmin())
    if best >= len(kept):
        return Narrowest(float(widths[best]), normals[:, best], (), True)
    pair = kept[best]
    holders = (int(pairs.first[pair]), int(pairs.second[pair]))
    return Narrowest(float(widths[best]), normals[:, best], holders, False)
