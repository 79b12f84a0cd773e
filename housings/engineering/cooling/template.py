"""The form that every cool-down of a joint follows, with four numbers of its own.

ln(T - Ta) = a - 1/2 ln(1 + t/t0) - t/tau + eta exp(-t/1.2)

T is the temperature where the arc stopped, Ta that of the air, t minutes since the end of the arc. The first
three terms are heat that was laid down in a plane and runs off along a bar which loses some to the air (a
plane source in a fin); the last is the hot spot left where the arc, which went round, stopped.
A curve is the vector x = (a, ln t0, ln tau, eta).

The 1.2 minutes were found on simulated joints (steel tubes of 3.5 and 4 in, walls of 3/8 and 1/2 in); other
joints need another figure.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["Vector", "first_minute_below", "log_rise", "sensitivity", "slope"]

Vector: TypeAlias = NDArray[np.float64]

_SPOT_MINUTES = 1.2


def log_rise(x: Vector, minutes: ArrayLike) -> Vector:
    """ln(T - Ta), with T and Ta in °C.

    Parameters
    ----------
    x : (..., 4)
    minutes : broadcasts with (...)

    Examples
    --------
    >>> x = np.array([5.53, 1.8, 4.3, 0.22])
    >>> (20 + np.exp(log_rise(x, [0, 4, 15]))).round()
    array([334., 207., 130.])
    """
    t = np.asarray(minutes, dtype=float)
    start = np.exp(x[..., 1])
    result: Vector = (
        x[..., 0]
        - 0.5 * np.log1p(t / start)
        - t * np.exp(-x[..., 2])
        + x[..., 3] * np.exp(-t / _SPOT_MINUTES)
    )
    return result


def slope(x: Vector, minutes: ArrayLike) -> Vector:
    """Change of ln(T - Ta) with time, 1/min; shapes as for `log_rise`. Never above zero where eta >= 0."""
    t = np.asarray(minutes, dtype=float)
    result: Vector = (
        -0.5 / (np.exp(x[..., 1]) + t)
        - np.exp(-x[..., 2])
        - x[..., 3] / _SPOT_MINUTES * np.exp(-t / _SPOT_MINUTES)
    )
    return result


def sensitivity(x: Vector, minutes: ArrayLike) -> Vector:
    """How ln(T - Ta) changes with each of the four numbers, (n, 4) for x of (4,) and n minutes."""
    t = np.asarray(minutes, dtype=float)
    return np.stack(
        [
            np.ones_like(t),
            0.5 * t / (np.exp(x[1]) + t),
            t * np.exp(-x[2]),
            np.exp(-t / _SPOT_MINUTES),
        ],
        axis=-1,
    )


def first_minute_below(x: Vector, level: ArrayLike) -> Vector:
    """When ln(T - Ta) has come down to a level, minutes; 0 where it was never above.

    Parameters
    ----------
    x : (..., 4) with eta >= 0
    level : broadcasts with (...)

    The curve falls and is convex, so a step of Newton's method from its left side always falls short of the
    crossing: starting at 0 it can neither overshoot nor lose the crossing, and no bracket is needed.
    Tolerance: 1e-9 of the level.

    Examples
    --------
    >>> float(first_minute_below(np.array([5.53, 1.8, 4.3, 0.22]), np.log(204 - 20)).round(3))
    4.216
    """
    target = np.asarray(level, dtype=float)
    t = np.zeros(np.broadcast_shapes(x.shape[:-1], target.shape))
    for _ in range(200):
        above = log_rise(x, t) - target
        if not np.any(above > 1e-9):
            break
        t = np.where(above > 1e-9, t - above / slope(x, t), t)
    return t
