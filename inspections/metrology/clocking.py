"""How a pattern of holes is turned against axis A-B."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from inspections.metrology.numbers import Number, Points, point_array
from inspections.metrology.pattern import fit_pattern


@dataclass(frozen=True)
class Clocking:
    """The turn of a pattern about its middle.

    Attributes
    ----------
    angle : float
        Degrees from where A-B says the pattern should be, counterclockwise positive, in (-180, 180].
    slip : float
        How far that turn alone moves the hole farthest from the pattern's middle, along its circle.
    """

    angle: float
    slip: float


def clocking(
    nominal: Points,
    actual: Points,
    axis: Sequence[Number] = (1, 0),
    method: Literal["minimax", "least_squares"] = "least_squares",
) -> Clocking:
    """Turn of a hole pattern against A-B.

    The pattern's own turn (`fit_pattern`) less the angle of A-B in the coordinates of the holes as measured.

    Parameters
    ----------
    nominal : array_like, shape (n, 2), n >= 2
        Drawn holes, x along A-B from left to right, seen onto the face.
    actual : array_like, shape (n, 2)
        Holes as made, same order, in any frame of the face's plane, seen from the same side.
    axis : 2 Number
        Direction of A-B, left to right, in the frame of `actual`.
    method : {"least_squares", "minimax"}

    Raises
    ------
    ValueError
        As `fit_pattern`; a direction of zero.

    References
    ----------
    ISO 5458:2018 (pattern); ISO 5459:2011 (second datum that locks the turn).

    Examples
    --------
    >>> found = clocking([(1, 0), (0, 1), (-1, 0)], [(0, 1), (-1, 0), (0, -1)])
    >>> round(found.angle, 9)
    90.0
    """
    fit = fit_pattern(nominal, actual, method=method)
    along = point_array([axis], 2, 1, "direction of A-B")[0]
    if not along.any():
        raise ValueError("direction of A-B: it is zero; give its two coordinates in the plane of the face.")
    angle = _within_half_turn(fit.rotation - math.degrees(math.atan2(along[1], along[0])))
    holes = point_array(nominal, 2, 2, "nominal hole")
    reach = float(np.hypot(*(holes - holes.mean(axis=0)).T).max())
    return Clocking(angle, math.radians(angle) * reach)


def _within_half_turn(angle: float) -> float:
    wrapped = math.remainder(angle, 360.0)
    return 180.0 if wrapped == -180.0 else wrapped + 0.0
