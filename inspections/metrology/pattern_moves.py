"""How a pattern may move: turned and shifted, or scaled as well; what that does to each hole's distance."""

import math
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from inspections.metrology.numbers import FloatArray


class Nearby(NamedTuple):
    """Misses e, shape (2, n); how each unknown moves them, (size, 2, n); second derivative along the turn."""

    misses: FloatArray
    slopes: FloatArray
    bend: FloatArray

    @property
    def squares(self) -> FloatArray:
        """Squared misses f, shape (n,)."""
        return np.asarray((self.misses * self.misses).sum(axis=0))

    @property
    def gradients(self) -> FloatArray:
        """Gradients of f, shape (size, n)."""
        return np.asarray(2 * (self.slopes * self.misses).sum(axis=1))

    def curvature(self, weights: FloatArray) -> FloatArray:
        """Weighted sum of the Hessians of f, shape (size, size)."""
        flat = self.slopes.reshape(len(self.slopes), -1)
        sum_of = 2 * (flat * np.tile(weights, 2)) @ flat.T
        sum_of[0, 0] += 2 * float(self.bend @ weights)
        return np.asarray(sum_of)


@dataclass(frozen=True)
class Moves:
    """Moves of a pattern about its centre, lengths measured in `unit` (the size of what remains).

    Attributes
    ----------
    holes : ndarray, shape (2, n)
        The pattern where least squares puts it, about its centre.
    misses : ndarray, shape (2, n)
        From each actual hole to that place.
    scaled : bool
        Whether the size of the pattern is free too.

    Notes
    -----
    An unknown x holds the turn times the pattern's radius, with `scaled` the growth times the radius, then
    the shift: so all of them are lengths of the order of the misses.
    """

    holes: FloatArray
    misses: FloatArray
    scaled: bool

    @cached_property
    def radius(self) -> float:
        """Distance of the farthest hole from the centre."""
        return float(np.hypot(*self.holes).max())

    @property
    def size(self) -> int:
        """Number of unknowns."""
        return 4 if self.scaled else 3

    def factor(self, x: FloatArray) -> complex:
        """One plus this complex number, times the pattern, plus the shift, is the pattern after the move.

        Without the one, small moves keep their digits. A pattern that may grow moves linearly; one that may
        not turns by the exact rotation.
        """
        turn = float(x[0]) / self.radius
        if self.scaled:
            return complex(float(x[1]) / self.radius, turn)
        return complex(-2 * math.sin(turn / 2) ** 2, math.sin(turn))

    def after(self, x: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Holes after the move, and their misses."""
        less_one = self.factor(x)
        grown, turned = less_one.real, less_one.imag
        moved = np.stack(
            (
                grown * self.holes[0] - turned * self.holes[1],
                turned * self.holes[0] + grown * self.holes[1],
            )
        )
        return self.holes + moved, self.misses + moved + x[-2:, None]

    def near(self, x: FloatArray) -> "Nearby":
        """Squared misses and their derivatives about x."""
        holes, misses = self.after(x)
        ones, zeros = np.ones(holes.shape[1]), np.zeros(holes.shape[1])
        about = self.holes if self.scaled else holes
        columns = [np.stack((-about[1], about[0])) / self.radius]
        if self.scaled:
            columns.append(about / self.radius)
        columns += [np.stack((ones, zeros)), np.stack((zeros, ones))]
        bend = zeros if self.scaled else -(misses * holes).sum(axis=0) / self.radius**2
        return Nearby(misses, np.stack(columns), bend)

    def lower_bound(self, x: FloatArray, weights: FloatArray) -> float:
        """No permitted move whatever brings the worst miss below this.

        The worst squared miss is at least any weighted mean of squared misses, and the least weighted mean
        over all turns and shifts is known in closed form: with weighted-centred holes q and misses e,
        a = sum w e.e, b = sum w (q x e), d = sum w q.e, K = sum w q.q - d, it is
        a - 2 b^2 / (K + sqrt(K^2 + b^2)); with free size a - (b^2 + d^2) / sum w q.q.
        """
        weights = np.maximum(weights, 0.0)
        if not weights.any():
            return 0.0
        weights = weights / weights.sum()
        holes, misses = self.after(x)
        q = holes - (holes @ weights)[:, None]
        e = misses - (misses @ weights)[:, None]
        a = float((e * e).sum(axis=0) @ weights)
        b = float((q[0] * e[1] - q[1] * e[0]) @ weights)
        d = float((q * e).sum(axis=0) @ weights)
        spread = float((q * q).sum(axis=0) @ weights)
        if self.scaled:
            gain = (b * b + d * d) / spread if spread else 0.0
        elif spread > d:
            gain = 2 * b * b / (spread - d + math.hypot(spread - d, b))
        else:
            gain = 2 * (math.hypot(spread - d, b) - (spread - d))
        return math.sqrt(max(0.0, a - gain))
