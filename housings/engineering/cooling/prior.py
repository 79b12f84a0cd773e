"""What is known of a cool-down before anything has been read."""

from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np

from .template import Vector

__all__ = ["DEFAULT_PRIOR", "CoolingPrior", "PassClass", "pass_class"]

PassClass: TypeAlias = int
"""0: the first pass of a joint; 1: the second and third; 2: all later ones, which start from a warm joint."""

_CLASSES = 3


def pass_class(pass_number: int) -> PassClass:
    """Which class a pass belongs to.

    >>> [pass_class(one) for one in (1, 2, 3, 4, 9)]
    [0, 1, 1, 2, 2]
    >>> pass_class(0)
    Traceback (most recent call last):
    ...
    ValueError: pass: passes of a joint are counted from 1.
    """
    if isinstance(pass_number, bool) or not isinstance(pass_number, int) or pass_number < 1:
        raise ValueError("pass: passes of a joint are counted from 1.")
    return 0 if pass_number == 1 else 1 if pass_number < 4 else 2


@dataclass(frozen=True, slots=True)
class CoolingPrior:
    """Mean and covariance of the four numbers of a cool-down, by class of pass.

    Attributes
    ----------
    means : three times 4 numbers
        a, ln t0, ln tau, eta: see `template`.
    covariances : three times 4 by 4 numbers
    joints : int
        How many joints of the shop it was learned from; 0 for the default.

    Raises
    ------
    ValueError
        For other shapes, or a covariance that is none.
    """

    means: tuple[tuple[float, ...], ...]
    covariances: tuple[tuple[tuple[float, ...], ...], ...]
    joints: int = 0

    def __post_init__(self) -> None:
        if np.shape(self.means) != (_CLASSES, 4) or np.shape(self.covariances) != (_CLASSES, 4, 4):
            raise ValueError("A prior has three classes of passes with four numbers each.")
        for covariance in self.covariances:
            spread = np.array(covariance)
            if not np.all(np.isfinite(spread)) or not np.allclose(spread, spread.T):
                raise ValueError("A covariance is finite and symmetric.")
            if np.linalg.eigvalsh(spread)[0] <= 0:
                raise ValueError("A covariance has a spread in every direction.")
        if not np.all(np.isfinite(self.means)):
            raise ValueError("The means of a prior are finite.")

    def mean(self, of: PassClass) -> Vector:
        """Mean of a class, (4,)."""
        return np.array(self.means[of])

    def covariance(self, of: PassClass) -> Vector:
        """Covariance of a class, (4, 4)."""
        return np.array(self.covariances[of])

    def to_json(self) -> dict[str, Any]:
        """Plain data that `from_json` reads back exactly.

        >>> CoolingPrior.from_json(DEFAULT_PRIOR.to_json()) == DEFAULT_PRIOR
        True
        """
        return {
            "means": [list(mean) for mean in self.means],
            "covariances": [[list(row) for row in covariance] for covariance in self.covariances],
            "joints": self.joints,
        }

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> "CoolingPrior":
        """Read what `to_json` wrote. Raises `ValueError` for anything else."""
        try:
            means = tuple(tuple(map(float, mean)) for mean in data["means"])
            covariances = tuple(
                tuple(tuple(map(float, row)) for row in covariance) for covariance in data["covariances"]
            )
            return cls(means, covariances, int(data["joints"]))
        except (KeyError, TypeError) as error:
            raise ValueError("This is no stored prior of cool-downs.") from error


def _diagonal(spread: tuple[float, ...]) -> tuple[tuple[float, ...], ...]:
    return tuple(
        tuple(sd**2 if row == column else 0.0 for column in range(4)) for row, sd in enumerate(spread)
    )


_WIDE = _diagonal((0.22, 0.40, 0.60, 0.12))

DEFAULT_PRIOR = CoolingPrior(
    means=((5.28, 1.60, 3.95, 0.22), (5.52, 1.65, 4.20, 0.22), (5.53, 1.80, 4.30, 0.22)),
    covariances=(_WIDE, _WIDE, _WIDE),
)
"""Before a shop has cool-downs of its own: simulated TIG joints of 3.5 and 4 in tubes, wide about them."""
