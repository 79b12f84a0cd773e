"""Cool-downs weighed by crayons: each only says on which side of its temperature the joint is."""

from functools import cache

import numpy as np
from scipy.special import log_ndtr, ndtri

from .template import Vector, log_rise
from .update import Noise, Seen, spread_of

__all__ = ["by_crayons", "moments", "quantiles"]

_DRAWS = 1024


@cache
def _even_draws() -> Vector:
    """Standard normal points in four dimensions, (1024, 4), spread evenly and always the same.

    The additive recurrence whose steps are powers of the root of r⁵ = r + 1.
    """
    root = 1.0
    for _ in range(60):
        root = (1 + root) ** 0.2
    steps = root ** -np.arange(1.0, 5.0)
    draws: Vector = ndtri((0.5 + np.outer(np.arange(1, _DRAWS + 1), steps)) % 1)
    draws.setflags(write=False)
    return draws


def by_crayons(
    mean: Vector, spread: Vector, what: Seen, melted: Vector, noise: Noise
) -> tuple[Vector, Vector] | None:
    """Draws (1024, 4) of a cool-down and their weights (1024,), which add up to 1.

    Parameters
    ----------
    mean, spread : (4,), (4, 4)
        The cool-down after what thermometers said.
    what : Seen
        The crayons' temperatures.
    melted : (n,) of bool

    Weight = product over the crayons of Φ(± (f(t) - ln(X - Ta)) / s). The draws are made three times, each
    about what the one before found, so that a narrow bound still leaves many of them. None where the
    crayons leave nothing: they contradict one another or the thermometer.
    """
    root = np.linalg.cholesky(spread)
    centre, width, draws = mean, root, _even_draws()
    for turn in range(3):
        x = centre + draws @ width.T
        x[:, 3] = np.maximum(x[:, 3], 0.0)
        from_mean = np.linalg.solve(root, (x - mean).T)
        log_weight = -0.5 * np.sum(from_mean**2, axis=0) + 0.5 * np.sum(draws**2, axis=1)
        sure = (log_rise(x[:, None, :], what.minutes) - what.levels) / spread_of(x, what, noise)
        likely = np.sum(log_ndtr(np.where(melted, sure, -sure)), axis=1)
        log_weight += likely
        weight = np.exp(log_weight - log_weight.max())
        weight /= weight.sum()
        if turn == 2:
            break
        centre, found = moments(x, weight)
        width = np.linalg.cholesky(1.3 * found + 0.02 * spread)
    return None if float(weight @ likely) < -6 - len(melted) else (x, weight)


def moments(x: Vector, weight: Vector) -> tuple[Vector, Vector]:
    """Mean and covariance of weighted draws."""
    centre = weight @ x
    apart = x - centre
    return centre, (apart * weight[:, None]).T @ apart


def quantiles(values: Vector, weight: Vector, shares: tuple[float, ...]) -> list[float]:
    """The values below which given shares of the weight lie."""
    order = np.argsort(values, kind="stable")
    below = np.cumsum(weight[order]) - weight[order] / 2
    return [float(np.interp(share, below, values[order])) for share in shares]
