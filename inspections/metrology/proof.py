"""The proof that a minimum is the minimum: kept with the result, so that it can be checked and printed."""

from dataclasses import dataclass

AGREEMENT = 1e-12
"""Bounds that differ by no more than this part of the result count as equal."""


@dataclass(frozen=True)
class Proof:
    """Two bounds that enclose the true minimum, and the points that hold it.

    Attributes
    ----------
    lower : float
        No permitted solution is smaller (a few of the points already force this much).
    upper : float
        The solution found is not larger (all points were evaluated).
    touching : tuple of int
        Row numbers, from 0, of the points that fix the solution.
    certified : bool
        Whether the bounds agree: to 1e-12 of the result, or to the rounding of the coordinates handed in if
        that is coarser than the result itself. Without it the result is a value found, not the minimum.

    Examples
    --------
    >>> Proof(lower=0.25, upper=0.25, touching=(0, 3, 5, 6), certified=True).gap
    0.0
    """

    lower: float
    upper: float
    touching: tuple[int, ...]
    certified: bool

    @property
    def gap(self) -> float:
        """How far the bounds are apart, in the unit of the result."""
        return self.upper - self.lower


def prove(lower: float, upper: float, touching: tuple[int, ...], rounding: float = 0.0) -> Proof:
    """Judge two bounds of a length.

    Parameters
    ----------
    rounding : float
        Absolute difference that the rounding of the input alone explains.
    """
    certified = abs(upper - lower) <= max(AGREEMENT * upper, rounding)
    # Bounds that meet may cross by a unit in the last place, and no length is below zero.
    return Proof(min(max(lower, 0.0), upper), upper, touching, certified)
