"""The largest straight cylinder that passes through a row of round openings."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from inspections.metrology.numbers import FloatArray
from inspections.metrology.proof import Proof, prove

_FIRST_DIRECTIONS = 8
_STEPS = 100
_AGREE = 1e-10
_TOLERANCE = {"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10}


class FreeCylinder(NamedTuple):
    """The largest cylinder: radius (negative if none passes), slope of its axis, bounds of the radius."""

    radius: float
    tilt: float
    proof: Proof


def largest_cylinder(stations: FloatArray, centres: FloatArray, radii: FloatArray) -> FreeCylinder:
    """Maximise over lines l the least of R_i - |o_i - l(z_i)|.

    |d| is the greatest of u.d over unit vectors u, so every u gives a linear bound from above. Programs with
    some of them are solved; each answer, looked at exactly, is a bound from below and names the next u.

    Parameters
    ----------
    stations : ndarray, shape (n,), ascending, n >= 2
    centres : ndarray, shape (n, 2)
    radii : ndarray, shape (n,)

    References
    ----------
    J. E. Kelley, J. SIAM 8 (1960) 703.
    """
    middle, narrow = centres.mean(axis=0), float(radii.min())
    size = float(np.abs(centres - middle).max() + np.ptp(radii))
    if size == 0.0:
        return FreeCylinder(narrow, 0.0, prove(narrow, narrow, tuple(range(len(stations)))))
    # All unknowns near one: places in `size`, stations from -1 to 1.
    half = float(np.ptp(stations)) / 2
    along = (stations - stations.mean()) / half
    places, wider = (centres - middle) / size, (radii - narrow) / size
    angles = np.arange(_FIRST_DIRECTIONS) * (2 * np.pi / _FIRST_DIRECTIONS)
    at = np.repeat(np.arange(len(along)), _FIRST_DIRECTIONS)
    towards = np.tile(np.column_stack((np.cos(angles), np.sin(angles))), (len(along), 1))
    lower, upper, best = -np.inf, np.inf, np.zeros((2, 2))
    for _ in range(_STEPS):
        line, bound = _outer(along, places, wider, at, towards)
        upper = min(upper, bound)
        apart = places - line[0] - np.outer(along, line[1])
        lengths = np.hypot(*apart.T)
        rooms = wider - lengths
        if rooms.min() > lower:
            lower, best = float(rooms.min()), line
        if upper - lower <= _AGREE:
            break
        short = np.flatnonzero((rooms < bound - _AGREE / 4) & (lengths > 0))
        at = np.concatenate((at, short))
        towards = np.vstack((towards, apart[short] / lengths[short, None]))
    rooms = wider - np.hypot(*(places - best[0] - np.outer(along, best[1])).T)
    touching = tuple(int(i) for i in np.flatnonzero(rooms <= lower + 1e-7))
    low, high = narrow + size * lower, narrow + size * max(upper, lower)
    proof = prove(low, high, touching, rounding=size * _AGREE)
    return FreeCylinder(low, size / half * float(np.hypot(*best[1])), proof)


def _outer(
    along: FloatArray, places: FloatArray, wider: FloatArray, at: NDArray[np.intp], towards: FloatArray
) -> tuple[FloatArray, float]:
    """Line (place, slope) and radius that are best for the bounds so far: u.l(z) + r <= R - u.(o - l)."""
    rows = np.column_stack((-towards, -towards * along[at, None], np.ones(len(at))))
    most = wider[at] - np.einsum("ij,ij->i", towards, places[at])
    found = linprog(
        [0, 0, 0, 0, -1], A_ub=rows, b_ub=most, bounds=(None, None), method="highs", options=_TOLERANCE
    )
    if found.x is None:
        raise ValueError(f"shaft clearance: no cylinder could be worked out ({found.message}).")
    return found.x[:4].reshape(2, 2), float(found.x[4])
