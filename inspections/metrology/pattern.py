"""A pattern of holes as made, laid over the pattern as drawn."""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from inspections.metrology.cloud import has_distinct, rounding_of
from inspections.metrology.numbers import FloatArray, Points, point_array
from inspections.metrology.pattern_moves import Moves
from inspections.metrology.pattern_search import Best, least_worst
from inspections.metrology.proof import Proof, prove

_MOST = 10_000
_APART = 1e-30
"""Holes nearer than this lie in one place; products of smaller lengths would vanish."""


@dataclass(frozen=True)
class PatternFit:
    """The move that lays a drawn pattern over the made one, and what remains hole by hole.

    Attributes
    ----------
    rotation : float
        Degrees, counterclockwise positive, about the origin of the coordinates.
    shift : tuple of 2 floats
        In the unit of the points: ``actual = scale * R(rotation) nominal + shift + rest``.
    scale : float
        1 unless it was set free.
    rest : tuple of (float, float)
        What remains of each hole, actual less laid-over nominal.
    worst : float
        The greatest length of a rest; twice it is the smallest zone diameter that holds all holes.
    proof : Proof or None
        For the minimax fit: bounds of `worst` and the holes that share it. Least squares has none.
    """

    rotation: float
    shift: tuple[float, float]
    scale: float
    rest: tuple[tuple[float, float], ...]
    worst: float
    proof: Proof | None


def fit_pattern(
    nominal: Points,
    actual: Points,
    method: Literal["minimax", "least_squares"] = "minimax",
    scale: bool = False,
) -> PatternFit:
    """How a pattern of holes is turned and shifted as a whole, and what is left of each hole.

    Minimax: min over rotation and shift of max |actual_i - (R nominal_i + t)|, the move that any single-axis
    correction of the whole pattern could reach at best. Least squares: the sum of the squares is least.

    Parameters
    ----------
    nominal, actual : array_like, shape (n, 2), 2 <= n <= 10,000
        Hole centres, drawn and made, in the same order and unit.
    method : {"minimax", "least_squares"}
    scale : bool
        Whether the pattern may also grow or shrink as a whole (heat, shrinkage).

    Returns
    -------
    PatternFit
        A minimax fit that is not ``proof.certified`` is a move found, with `worst` between the bounds.

    Raises
    ------
    ValueError
        For bad numbers, lists of different length, fewer than 2 or more than 10,000 holes, holes that all
        lie in one place, or made holes that show no direction.

    Notes
    -----
    The bound needs no trust in the search: for any weights of the holes the least weighted mean square is
    known in closed form over all moves, and no worst hole can be below it. At the minimum, with the weights
    of the holes that share the worst rest, it equals the worst rest.

    References
    ----------
    S. Umeyama, IEEE Trans. PAMI 13 (1991) 376 (closed form of the weighted least-squares move); ASME
    Y14.5.1M-1994, 5.3 (pattern as a whole inside its zones).

    Examples
    --------
    Four holes turned by a quarter of a degree, one of them 0.04 mm too far out:

    >>> drawn = [(40, 0), (0, 40), (-40, 0), (0, -40)]
    >>> turn = math.radians(0.25)
    >>> made = [(x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn))
    ...         for x, y in drawn]
    >>> made[0] = tuple(1.001 * part for part in made[0])
    >>> fit = fit_pattern(drawn, made)
    >>> round(fit.rotation, 6), round(fit.worst, 6), fit.proof.certified
    (0.25, 0.02, True)
    """
    if method not in ("minimax", "least_squares"):
        raise ValueError(f"pattern: the method is minimax or least_squares, not {method!r}.")
    drawn = point_array(nominal, 2, 2, "nominal hole")
    made = point_array(actual, 2, 2, "actual hole")
    if len(drawn) != len(made):
        raise ValueError(
            f"pattern: {len(drawn)} nominal and {len(made)} actual holes; give one actual for each nominal."
        )
    if len(drawn) > _MOST:
        raise ValueError(f"pattern: {len(drawn)} holes are more than one pattern has; split it.")
    if not has_distinct(drawn, 2) or float(np.ptp(drawn, axis=0).max()) < _APART:
        raise ValueError("nominal hole: all holes lie in one place, so no rotation can be told.")
    q, m = drawn.mean(axis=0), made.mean(axis=0)
    holes, targets = (drawn - q).T, (made - m).T
    start = _least_squares(holes, targets, scale)
    moved = _times(start, holes)
    misses = moved - targets
    unit = float(np.hypot(*misses).max())
    rounding = max(rounding_of(drawn), rounding_of(made))
    if method == "least_squares" or unit <= rounding:
        touching = tuple(range(len(drawn)))
        proof = prove(0.0, unit, touching, rounding) if method == "minimax" else None
        return _described(start, m - _apply(start, q), -misses, unit, scale, proof)
    moves = Moves(moved / unit, misses / unit, scale)
    best = least_worst(moves, np.zeros(moves.size))
    if best.worst - best.lower > 1e-9 * best.worst and not scale:
        best = _from_all_round(moves, best)
    _, rest = moves.after(best.move)
    factor = start * (1 + moves.factor(best.move))
    shift = m + best.move[-2:] * unit - _apply(factor, q)
    proof = prove(best.lower * unit, best.worst * unit, best.active, rounding)
    return _described(factor, shift, -rest * unit, best.worst * unit, scale, proof)


def _least_squares(holes: FloatArray, targets: FloatArray, scaled: bool) -> complex:
    """The factor (turn, and growth if free) of the least-squares move of centred holes."""
    dot = float((holes * targets).sum())
    cross = float((holes[0] * targets[1] - holes[1] * targets[0]).sum())
    length = math.hypot(dot, cross)
    spread = float((holes * holes).sum())
    if length <= 1e-12 * math.sqrt(spread * float((targets * targets).sum())) or length == 0.0:
        raise ValueError(
            "actual hole: the holes as made show no direction of the pattern; check their order."
        )
    return complex(dot, cross) / (spread if scaled else length)


def _times(factor: complex, points: FloatArray) -> FloatArray:
    x, y = points
    return np.stack((factor.real * x - factor.imag * y, factor.imag * x + factor.real * y))


def _apply(factor: complex, point: FloatArray) -> FloatArray:
    return _times(factor, point[:, None])[:, 0]


def _from_all_round(moves: Moves, best: Best) -> Best:
    """Where the bound is loose (misses as large as the pattern), try other turns too."""
    for turn in np.linspace(-math.pi, math.pi, 36, endpoint=False):
        start = np.zeros(moves.size)
        start[0] = turn * moves.radius
        found = least_worst(moves, start)
        if found.worst < best.worst:
            best = found._replace(lower=max(best.lower, found.lower))
    return best


def _described(
    factor: complex, shift: FloatArray, rest: FloatArray, worst: float, scaled: bool, proof: Proof | None
) -> PatternFit:
    return PatternFit(
        math.degrees(math.atan2(factor.imag, factor.real)),
        (float(shift[0]), float(shift[1])),
        abs(factor) if scaled else 1.0,
        tuple((float(x) + 0.0, float(y) + 0.0) for x, y in rest.T),
        worst,
        proof,
    )
