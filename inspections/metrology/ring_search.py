"""The least ring of any number of points by cutting planes, and what bounds it at the edge of the search."""

import math
from typing import NamedTuple

import numpy as np

from inspections.metrology.loop import Loop
from inspections.metrology.numbers import FloatArray
from inspections.metrology.ring_zone import RIM, Rings, holders_of, ring_widths, rings

_KEPT = 8
_ROUNDS = 200
_RIM_ROUNDS = 20


class FoundRing(NamedTuple):
    """Where the search ended.

    `candidates`: the rings of the working points `rows`; `upper`, `center`: the ring of all points and its
    centre from the loop's; `holders`: rows that define or touch it; `rim`: lower bound of the ring width
    about every centre at the edge of the search.
    """

    candidates: Rings
    rows: list[int]
    upper: float
    center: FloatArray
    holders: tuple[int, ...]
    rim: float

    @property
    def lower(self) -> float:
        """No centre within reach gives a narrower ring."""
        return min(self.candidates.width, self.rim, self.upper)


def search_ring(loop: Loop) -> FoundRing:
    """Raise the lower bound until it meets the upper one, then look along the edge of the search.

    The ring of a subset about any centre is at most as wide as that of all points.

    Raises
    ------
    ValueError
        If no centre within reach is a candidate: the points show no circle.
    """
    rows = _start(loop)
    dropping = True
    previous, upper, upper_center = -np.inf, np.inf, np.zeros(2)
    holders: tuple[int, ...] = ()
    for _ in range(_ROUNDS):
        found = _candidates(loop, rows)
        near, far, least, greatest = loop.extremes(found.center)
        if greatest - least < upper:
            upper, upper_center = greatest - least, found.center
            holders = tuple({*(rows[place] for place in holders_of(found, len(rows))), near, far})
        if (near in rows and far in rows) or upper - found.width <= 1e-14 * upper:
            break
        dropping = dropping and found.width > previous
        previous = found.width
        if dropping and len(rows) > _KEPT:
            rows = _tightest(rows, loop, found.center)
        rows += [row for row in (near, far) if row not in rows]
    return FoundRing(found, rows, upper, upper_center, holders, _rim(loop, rows, upper))


def _candidates(loop: Loop, rows: list[int]) -> Rings:
    found = rings(loop.around[:, rows], loop.reach)
    if found is None:
        raise ValueError("circle point: the points show no center; measure all around the circle.")
    return found


def _start(loop: Loop) -> list[int]:
    """All points if they are few; else the extremes about five centres and along the axes."""
    count = loop.around.shape[1]
    if count <= _KEPT:
        return list(range(count))
    near, far, least, greatest = loop.extremes(np.zeros(2))
    rows = [near, far]
    for step in np.array([[1, 0], [-1, 0], [0, 1], [0, -1]]) * ((greatest - least) / 4):
        rows += loop.extremes(step)[:2]
    rows += [int(row) for row in (*loop.around.argmin(axis=1), *loop.around.argmax(axis=1))]
    return list(dict.fromkeys(rows))


def _tightest(rows: list[int], loop: Loop, center: FloatArray) -> list[int]:
    distances = np.hypot(*(loop.around[:, rows] - center[:, None]))
    slack = np.minimum(distances.max() - distances, distances - distances.min())
    return [rows[place] for place in np.argsort(slack, kind="stable")[:_KEPT]]


def _rim(loop: Loop, rows: list[int], upper: float) -> float:
    """Least ring width about 720 centres on the edge, less what it can change between them.

    Moving the centre by s changes no distance by more than s, so the ring by no more than 2 s. Where the
    working points leave it too narrow, the extremes of all points about that centre join them.
    """
    edge = RIM * loop.reach
    between = 2 * loop.reach * math.pi / RIM.shape[1]
    rows = list(rows)
    bound = -math.inf
    for _ in range(_RIM_ROUNDS):
        widths = ring_widths(loop.around[:, rows], edge)
        least = int(widths.argmin())
        bound = float(widths[least]) - between
        fresh = [row for row in loop.extremes(edge[:, least])[:2] if row not in rows]
        if bound > upper or not fresh:
            break
        rows += fresh
    return bound
