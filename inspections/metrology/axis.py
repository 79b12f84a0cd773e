"""Axis A-B, from the left and the right snout journal: what everything on a housing is judged from."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from inspections.metrology.circle_fit import fit_circle
from inspections.metrology.directions import plain
from inspections.metrology.numbers import FloatArray, Number, Points, point_array

_STEPS = 50
_SETTLED = 1e-14


@dataclass(frozen=True)
class Axis:
    """A straight axis from a left to a right centre.

    Attributes
    ----------
    left, right : tuple of 3 floats
        Centres of the two journals.
    point : tuple of 3 floats
        Midway between them.
    direction : tuple of 3 floats
        Unit vector from left to right.
    length : float
        Between the centres.
    """

    left: tuple[float, ...]
    right: tuple[float, ...]
    point: tuple[float, ...]
    direction: tuple[float, ...]
    length: float

    @classmethod
    def through(cls, left: Sequence[Number], right: Sequence[Number]) -> "Axis":
        """The axis through two known centres.

        >>> Axis.through((-30, 0, 0), (30, 0, 0)).direction
        (1.0, 0.0, 0.0)
        """
        centres = point_array([left, right], 3, 2, "journal centre")
        span = centres[1] - centres[0]
        length = float(np.linalg.norm(span))
        if length == 0:
            raise ValueError("journal centre: left and right are in one place; they show no axis.")
        return cls(
            plain(centres[0]), plain(centres[1]), plain(centres.mean(axis=0)), plain(span / length), length
        )

    def distances(self, points: Points) -> FloatArray:
        """Distance of each point, shape (n, 3), from the axis: readings of a part that turns about it."""
        apart = point_array(points, 3, 1, "point") - np.array(self.point)
        return np.asarray(np.linalg.norm(np.cross(apart, np.array(self.direction)), axis=1))


def axis_from_journals(left: Points, right: Points) -> Axis:
    """Datum axis A-B as the line through the centres of two journals.

    Each centre is that of the least-squares circle of the journal's points, seen along the axis itself; found
    by turns of circle and axis until both stand still. Common datum A-B: both journals count alike.

    Parameters
    ----------
    left, right : array_like, shape (n, 3), n >= 3 each
        Points on the journal surfaces, around them as far as can be reached. Any unit.

    Raises
    ------
    ValueError
        For bad numbers, fewer than 3 points on a journal, points in a line, journals in one place, or
        journals so near to each other that no axis settles.

    References
    ----------
    ISO 5459:2011, 7 (common datum of two features); ASME B89.4.10 (least-squares circle).

    Examples
    --------
    >>> ring = [(0, 1, 0), (0, 0, 1), (0, -1, 0), (0, 0, -1)]
    >>> axis = axis_from_journals([(x - 10, y, z) for x, y, z in ring], [(x + 10, y, z) for x, y, z in ring])
    >>> axis.direction, round(axis.length, 12)
    ((1.0, 0.0, 0.0), 20.0)
    """
    journals = [
        point_array(points, 3, 3, f"{side} journal point")
        for side, points in (("left", left), ("right", right))
    ]
    axis = Axis.through(*(_means(points) for points in journals))
    for _ in range(_STEPS):
        centres = [_centre(points, np.array(axis.direction)) for points in journals]
        found = Axis.through(*centres)
        moved = np.abs(np.array(found.left + found.right) - np.array(axis.left + axis.right)).max()
        axis = found
        if moved <= _SETTLED * (axis.length + np.abs(np.concatenate(journals)).max()):
            return axis
    raise ValueError("journal point: no axis settles; the journals are too near to each other or too short.")


def square_to(direction: FloatArray) -> FloatArray:
    """Two unit vectors, as rows, that are square to a unit vector and to each other."""
    helper = np.zeros(3)
    helper[np.abs(direction).argmin()] = 1.0
    first = np.cross(direction, helper)
    first /= np.linalg.norm(first)
    return np.array([first, np.cross(direction, first)])


def _means(points: FloatArray) -> tuple[float, ...]:
    return plain(points.mean(axis=0))


def _centre(points: FloatArray, direction: FloatArray) -> tuple[float, ...]:
    """Centre of the circle seen along the direction, at the mean station of the points."""
    plane = square_to(direction)
    start = points.mean(axis=0)
    circle = fit_circle((points - start) @ plane.T)
    return plain(start + np.array(circle.center) @ plane)
