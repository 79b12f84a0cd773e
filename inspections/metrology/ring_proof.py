"""Refines a ring to its exact contacts and proves it: no other centre within reach gives a narrower one."""

from typing import NamedTuple

import numpy as np

from inspections.metrology.contacts import least_pull
from inspections.metrology.exact_ring import ExactCenter, least_ring_near
from inspections.metrology.exact_zone import whole
from inspections.metrology.loop import Loop
from inspections.metrology.numbers import FloatArray
from inspections.metrology.ring_search import FoundRing
from inspections.metrology.ring_zone import rings

_MOST_NEAR = 2_000
_MOST_HOLDERS = 8
_NEAR = 1e-6


class SettledRing(NamedTuple):
    """An exact ring of all points: width, centre, radii, rows on the outer and the inner circle."""

    width: float
    center: tuple[float, float]
    outer_radius: float
    inner_radius: float
    outer: tuple[int, ...]
    inner: tuple[int, ...]


def settle_ring(points: FloatArray, loop: Loop, found: FoundRing) -> SettledRing | None:
    """The ring whose contacts hold in exact arithmetic, or ``None`` if they cannot be told apart.

    Starting with the points that define the found ring, the exactly extreme points of all that could be
    extreme join them until none sticks out.
    """
    holders = list(found.holders)
    near = (found.center + loop.center).tolist()
    while len(holders) <= _MOST_HOLDERS:
        center = least_ring_near(*whole(points[holders]), near, _NEAR * loop.radius)
        if center is None:
            return None
        _, scale = whole(points[holders])
        place = np.array(center.place(scale)) - loop.center
        touching = loop.near_extremes(place, 2 * loop.rounding)
        if len(touching) > _MOST_NEAR:
            return None
        rows = sorted({*holders, *touching.tolist()})
        coordinates, finer = whole(points[rows])
        center = _finer(center, finer // scale)
        squares = {row: center.square(point) for row, point in zip(rows, coordinates, strict=True)}
        far, close = max(squares.values()), min(squares.values())
        if {far, close} <= {squares[row] for row in holders}:
            return SettledRing(
                float((center.length(far) - center.length(close)) / finer),
                center.place(finer),
                float(center.length(far) / finer),
                float(center.length(close) / finer),
                tuple(row for row in rows if squares[row] == far),
                tuple(row for row in rows if squares[row] == close),
            )
        holders = list({*holders, max(rows, key=squares.__getitem__), min(rows, key=squares.__getitem__)})
    return None


def _finer(center: ExactCenter, times: int) -> ExactCenter:
    return ExactCenter(center.x * times, center.y * times, center.below)


def is_least_within_reach(loop: Loop, found: FoundRing, settled: SettledRing) -> bool:
    """Whether contacts, candidates and edge together forbid a narrower ring about any centre within reach.

    With unit vectors u to the outer and v to the inner contacts, let s be the least over all directions f of
    the greatest (v - u).f. Moving the centre by h adds at least s h - h^2 / (2 (r - h)) to the ring, which is
    not negative up to h = 2 s r / (1 + 2 s). Beyond that, every other candidate and the edge must be wider.
    """
    if settled.width == 0.0:
        return True
    if settled.inner_radius == 0.0:
        return False
    place = np.array(settled.center) - loop.center
    outer = loop.around[:, list(settled.outer)] - place[:, None]
    inner = loop.around[:, list(settled.inner)] - place[:, None]
    pulls = (inner / settled.inner_radius)[:, :, None] - (outer / settled.outer_radius)[:, None, :]
    hold = least_pull(pulls.reshape(2, -1))
    held = 2 * hold * settled.inner_radius / (1 + 2 * hold)
    needed = settled.width + 2 * loop.rounding
    working = list(dict.fromkeys((*found.rows, *settled.outer[:3], *settled.inner[:3])))
    candidates = rings(loop.around[:, working], loop.reach)
    if candidates is None or found.rim < needed:
        return False
    elsewhere = np.hypot(*(candidates.centers - place[:, None])) > held / 2
    return bool((candidates.widths[elsewhere] >= needed).all())
