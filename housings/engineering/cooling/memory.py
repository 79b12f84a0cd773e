"""What the passes of one joint told about that joint, so that its next pass is known better."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from .prior import CoolingPrior, pass_class
from .template import Vector

__all__ = ["JointMemory"]

_OF_THE_JOINT = 0.7
"""Share of the variance between passes that stays with the joint (wall, snout, fixture); the rest is the pass
(heat input). A guess, not fitted."""


@dataclass(frozen=True, slots=True)
class JointMemory:
    """How the passes of one joint differ from the mean of their class.

    x of a pass = mean of its class + D + e, with D ~ N(shift, covariance) of the joint and e of the pass.
    It belongs to the prior that it was begun with: with another prior, fold the passes again (`remember`).

    Attributes
    ----------
    shift : 4 numbers
        Mean of D.
    covariance : 4 by 4 numbers
    passes : int
        How many passes it remembers.
    """

    shift: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    passes: int = 0

    @classmethod
    def of_a_new_joint(cls, prior: CoolingPrior) -> "JointMemory":
        """Nothing is remembered yet."""
        return cls((0.0,) * 4, _rows(_OF_THE_JOINT * prior.covariance(2)))

    def expects(self, prior: CoolingPrior, pass_number: int) -> tuple[Vector, Vector]:
        """Mean (4,) and covariance (4, 4) of the next cool-down before it is read."""
        of = pass_class(pass_number)
        spread = np.array(self.covariance) + (1 - _OF_THE_JOINT) * prior.covariance(of)
        return prior.mean(of) + np.array(self.shift), spread

    def after(self, expected: tuple[Vector, Vector], found: tuple[Vector, Vector]) -> "JointMemory":
        """With one more pass: what was expected of it and what its readings made of that.

        G = C_D P⁻¹, D += G (x - m), C_D -= G (P - V) Gᵀ
        """
        (mean, spread), (x, left) = expected, found
        before = np.array(self.covariance)
        gain = np.linalg.solve(spread, before).T
        shift = np.array(self.shift) + gain @ (x - mean)
        covariance = before - gain @ (spread - left) @ gain.T
        return JointMemory(tuple(map(float, shift)), _rows((covariance + covariance.T) / 2), self.passes + 1)

    def to_json(self) -> dict[str, Any]:
        """Plain data that `from_json` reads back exactly."""
        return {
            "shift": list(self.shift),
            "covariance": [list(row) for row in self.covariance],
            "passes": self.passes,
        }

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> "JointMemory":
        """Read what `to_json` wrote. Raises `ValueError` for anything else."""
        try:
            shift, covariance = (
                tuple(map(float, data["shift"])),
                _rows(np.array(data["covariance"], dtype=float)),
            )
            passes = int(data["passes"])
        except (KeyError, TypeError) as error:
            raise ValueError("This is no stored memory of a joint.") from error
        if np.shape(shift) != (4,) or np.shape(covariance) != (4, 4) or not np.all(np.isfinite(covariance)):
            raise ValueError("This is no stored memory of a joint.")
        return cls(shift, covariance, passes)


def _rows(matrix: Vector) -> tuple[tuple[float, ...], ...]:
    return tuple(tuple(map(float, row)) for row in matrix)
