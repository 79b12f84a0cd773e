"""What readings make of an expected cool-down: the step from before to after."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .places import elsewhere
from .readings import Place
from .template import Vector, log_rise, sensitivity, slope

__all__ = ["Noise", "Seen", "by_readings", "seen", "spread_of"]

_FORM = 0.006
"""How far the form itself is off, of ln(T - Ta) (simulated joints)."""
_STEPS = 4
_FARTHEST = 4.0
"""Standard deviations of any of its numbers beyond which a cool-down is not believed."""


@dataclass(frozen=True, slots=True)
class Noise:
    """How well a joint is read: standard deviations of the thermometer or crayon, °C, and the clock, min."""

    degrees: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Seen:
    """Temperatures as ln(T - Ta) at the stop point, each (n,).

    Attributes
    ----------
    minutes, levels : (n,)
    spread : (n,)
        Standard deviation of the levels by the thermometer and the place; the clock's comes with the slope.
    """

    minutes: Vector
    levels: Vector
    spread: Vector


def seen(read: Sequence[tuple[float, float, Place]], ambient_c: float, noise: Noise) -> Seen:
    """Minutes, °C above ambient and places, put in terms of the curve."""
    offsets = [elsewhere(place, minutes) for minutes, _, place in read]
    rises = np.array([value - ambient_c for _, value, _ in read])
    added, doubts = np.array(offsets).T if offsets else (np.zeros(0), np.zeros(0))
    spread = np.sqrt((noise.degrees / rises) ** 2 + _FORM**2 + doubts**2)
    return Seen(np.array([minutes for minutes, _, _ in read]), np.log(rises) + added, spread)


def spread_of(x: Vector, what: Seen, noise: Noise) -> Vector:
    """Standard deviation of each level, with the clock's share. x (..., 4) gives (..., n)."""
    by_clock = slope(x[..., None, :], what.minutes) * noise.minutes
    result: Vector = np.sqrt(what.spread**2 + by_clock**2)
    return result


def by_readings(mean: Vector, spread: Vector, what: Seen, noise: Noise) -> tuple[Vector, Vector]:
    """Mean (4,) and covariance (4, 4) of a cool-down after its readings (iterated Gauss-Newton step).

    K = C Jᵀ (J C Jᵀ + R)⁻¹, x = m + K (y - f(x) - J (m - x)), V = (I - K J) C
    """
    if what.minutes.size == 0:
        return mean, spread
    widest = _FARTHEST * np.sqrt(np.diag(spread))
    x = mean
    for _ in range(_STEPS):
        by, gain = _gain(x, spread, what, noise)
        x = mean + gain @ (what.levels - log_rise(x, what.minutes) - by @ (mean - x))
        x = np.clip(x, mean - widest, mean + widest)
        x[3] = max(x[3], 0.0)  # a spot hotter than its surroundings never makes the joint warmer later
    by, gain = _gain(x, spread, what, noise)
    left = spread - gain @ by @ spread
    return x, (left + left.T) / 2


def _gain(x: Vector, spread: Vector, what: Seen, noise: Noise) -> tuple[Vector, Vector]:
    by = sensitivity(x, what.minutes)
    across = by @ spread
    total = across @ by.T + np.diag(spread_of(x, what, noise) ** 2)
    return by, np.asarray(np.linalg.solve(total, across).T, dtype=np.float64)
