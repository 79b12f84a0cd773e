"""The least ring of few points: the closest two concentric circles with all of them between.

In the cell of one farthest and one nearest point the ring's width has no minimum, nor has it one along the
edge between two cells (its second derivatives are negative there). So a minimum lies where two bisectors of
point pairs cross: the centre of a circle through three points, or one that has two points equally far
outside and two inside. The width about *any* centre is an upper bound; all crossings are tried.
"""

import math
from typing import NamedTuple

import numpy as np

from inspections.metrology.candidates import IndexArray, pairs_of
from inspections.metrology.numbers import FloatArray

_PARALLEL = 1e-12
_RIM_ANGLES = np.arange(720) * (2 * math.pi / 720)
RIM = np.stack((np.cos(_RIM_ANGLES), np.sin(_RIM_ANGLES)))
"""Unit vectors to 720 places on a circle; between them a centre is at most pi/720 away."""


class Rings(NamedTuple):
    """All candidate centres, shape (2, m), the ring widths about them, and which candidate is least."""

    centers: FloatArray
    widths: FloatArray
    candidates: IndexArray
    best: int

    @property
    def width(self) -> float:
        """The least width."""
        return float(self.widths[self.best])

    @property
    def center(self) -> FloatArray:
        """Its centre."""
        return self.centers[:, self.best]


def rings(around: FloatArray, reach: float) -> Rings | None:
    """Rings of `around`, shape (2, k), about all candidate centres within `reach` of the origin."""
    pairs = pairs_of(around.shape[1])
    first, second = around[:, pairs.first], around[:, pairs.second]
    across = second - first
    lengths = np.hypot(across[0], across[1])
    offsets = ((second + first) * across).sum(axis=0) / 2
    a, b = across[:, pairs.one], across[:, pairs.other]
    crossing = a[0] * b[1] - a[1] * b[0]
    distinct = np.abs(crossing) > _PARALLEL * lengths[pairs.one] * lengths[pairs.other]
    kept = np.flatnonzero(distinct)
    a, b, crossing = a[:, kept], b[:, kept], crossing[kept]
    at, bt = offsets[pairs.one[kept]], offsets[pairs.other[kept]]
    centers = np.stack((at * b[1] - bt * a[1], bt * a[0] - at * b[0])) / crossing
    within = np.flatnonzero((centers * centers).sum(axis=0) <= reach * reach)
    if not len(within):
        return None
    centers = centers[:, within]
    widths = ring_widths(around, centers)
    return Rings(centers, widths, kept[within], int(widths.argmin()))


def holders_of(found: Rings, count: int) -> tuple[int, ...]:
    """Places of the three or four points whose bisectors cross at the least ring's centre."""
    pairs = pairs_of(count)
    candidate = int(found.candidates[found.best])
    ends = (
        (pairs.first[pair], pairs.second[pair]) for pair in (pairs.one[candidate], pairs.other[candidate])
    )
    return tuple(sorted({int(point) for end in ends for point in end}))


def ring_widths(around: FloatArray, centers: FloatArray) -> FloatArray:
    """Farthest less nearest distance about each centre."""
    squares = (around[0][:, None] - centers[0]) ** 2 + (around[1][:, None] - centers[1]) ** 2
    return np.asarray(np.sqrt(squares.max(axis=0)) - np.sqrt(squares.min(axis=0)))
