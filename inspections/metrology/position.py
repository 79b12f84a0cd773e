"""Position of a hole: the diameter of the smallest zone about the true place that holds its axis."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, TypeAlias

from inspections.metrology.exact_vectors import Vector, across, dot, root, root_ratio, scaled, vector
from inspections.metrology.limits import LimitPair, Limits, read_limits
from inspections.metrology.numbers import Number, exact

Material = Literal["rfs", "mmc"]
Coordinates: TypeAlias = Sequence[Number]


@dataclass(frozen=True)
class HolePosition:
    """Position of one hole against its zone.

    Attributes
    ----------
    deviation : float
        Diameter of the smallest zone, centred on the true place, that holds the axis.
    deviation_squared : Fraction
        Its square, exact: what the verdict stands on.
    bonus : Fraction
        What the actual size adds to the tolerance, between zero and the size tolerance.
    allowed : Fraction
        Diameter of the zone: tolerance and bonus.
    passes : bool
        The axis is in its zone, its rim included, and the size, if given, is in its limits.
    size_passes : bool or None
        The size alone; None if none was given.
    """

    deviation: float
    deviation_squared: Fraction
    bonus: Fraction
    allowed: Fraction
    passes: bool
    size_passes: bool | None


def hole_position(
    nominal: Coordinates,
    actual: Coordinates,
    tolerance: Number,
    axis: Coordinates | None = None,
    actual_axis: Coordinates | None = None,
    projected: Number | None = None,
    thread: bool = False,
    size: Number | None = None,
    size_limits: LimitPair | None = None,
    material: Material = "rfs",
) -> HolePosition:
    """True position of a hole, decided in exact arithmetic on squares.

    With d = actual - nominal and the unit vector n along the true axis, the deviation is 2 |d - (d.n) n|:
    only what is square to the axis counts. With a projected zone of height h, the axis a of the hole leaves
    the zone's far end at d + a h / (a.n), and the worse of the two ends counts. At MMC a plain hole gains
    the bonus of its size over the smallest permitted one, at most the size tolerance.

    Parameters
    ----------
    nominal, actual : 2 or 3 Number
        True and measured place of the axis, at the face from which the zone is projected. Two coordinates lie
        in the plane square to the axis.
    tolerance : Number, >= 0
        Diameter of the zone; zero is usual with "mmc" only.
    axis : 3 Number
        True direction of the hole, any length; needed with 3 coordinates.
    actual_axis : 3 Number, optional
        Measured direction of the hole out of the face (of a gauge screwed in, for a thread), any length; with
        2 coordinates its third runs along the true axis.
    projected : Number, > 0, optional
        Height h of the projected zone.
    thread : bool
        A threaded hole centres its screw whatever its size: no bonus.
    size : Number, optional
        Actual mating size. `size_limits` : (lower, upper), needed with it.
    material : {"rfs", "mmc"}
        Regardless of feature size, or maximum material condition.

    Raises
    ------
    ValueError
        For coordinates of different number, a missing or zero axis, an actual axis across the true one, a
        projected height without the actual axis or the reverse, a negative tolerance, "mmc" of a plain hole
        without size and both limits, swapped limits.

    References
    ----------
    ASME Y14.5-2018, 10.3 (position), 10.4.2 (projected zone); ISO 1101:2017, 17.12; ISO 10578.

    Examples
    --------
    >>> hole_position((0, 0), ("0.003", "0.004"), "0.010").passes
    True
    >>> found = hole_position((0, 0), (3, 4), 9, size="8.5", size_limits=(8, 9), material="mmc")
    >>> found.deviation, found.allowed, found.passes
    (10.0, Fraction(19, 2), False)
    """
    zone = exact(tolerance, "position tolerance")
    if zone < 0:
        raise ValueError("position tolerance: it is the diameter of a zone and cannot be negative.")
    if material not in ("rfs", "mmc"):
        raise ValueError(f"material condition: {material!r} is unknown; choose rfs or mmc.")
    squared = 4 * max(_squares(nominal, actual, axis, actual_axis, projected))
    limits, actual_size = _size(size, size_limits)
    bonus = _bonus(actual_size, limits) if material == "mmc" and not thread else Fraction(0)
    allowed = zone + bonus
    fits = None if actual_size is None or limits is None else limits.contain(actual_size)
    return HolePosition(
        root(squared), squared, bonus, allowed, squared <= allowed**2 and fits is not False, fits
    )


def _squares(
    nominal: Coordinates,
    actual: Coordinates,
    axis: Coordinates | None,
    actual_axis: Coordinates | None,
    projected: Number | None,
) -> list[Fraction]:
    """Squared distances from the true axis at the face and, with a projected zone, at its far end."""
    true = vector(nominal, "nominal place of the hole", (2, 3))
    place = vector(actual, "actual place of the hole", (2, 3))
    if len(true) != len(place):
        raise ValueError(
            f"place of the hole: {len(true)} nominal but {len(place)} actual coordinates; "
            "give as many of each."
        )
    along = _true_axis(axis, len(true))
    offset = across(_in_space([a - b for a, b in zip(place, true, strict=True)]), along)
    squares = [dot(offset, offset)]
    if (projected is None) != (actual_axis is None):
        raise ValueError(
            "projected zone: give both its height and the measured direction of the hole's axis."
        )
    if projected is not None and actual_axis is not None:
        height = exact(projected, "height of the projected zone")
        if height <= 0:
            raise ValueError("height of the projected zone: it must be above zero.")
        lean = vector(actual_axis, "measured axis of the hole", (3,))
        rise = dot(lean, along)
        if rise <= 0 or 2 * rise**2 < dot(lean, lean) * dot(along, along):
            raise ValueError(
                "measured axis of the hole: it must point out of the face, within 45° of the true axis; "
                "check its signs."
            )
        # |along| is irrational for most directions. Then the sum below is too, and can equal no typed limit,
        # so the 60 correct digits decide rightly; a rational length is exact.
        reach = height * root_ratio(dot(along, along)) / rise
        far = [o + s for o, s in zip(offset, scaled(across(lean, along), reach), strict=True)]
        squares.append(dot(far, far))
    return squares


def _true_axis(axis: Coordinates | None, coordinates: int) -> Vector:
    if axis is None:
        if coordinates == 3:
            raise ValueError("axis: the true direction of the hole is needed with three coordinates.")
        return [Fraction(0), Fraction(0), Fraction(1)]
    along = vector(axis, "axis", (3,))
    if coordinates == 2 and (along[0] != 0 or along[1] != 0):
        raise ValueError("axis: two coordinates lie square to the axis, which then is (0, 0, 1); give three.")
    if not any(along):
        raise ValueError("axis: its direction is zero; give the true direction of the hole.")
    return along


def _in_space(place: Vector) -> Vector:
    return place if len(place) == 3 else [*place, Fraction(0)]


def _size(size: Number | None, size_limits: LimitPair | None) -> tuple[Limits | None, Fraction | None]:
    if (size is None) != (size_limits is None):
        raise ValueError("hole size: give both the actual size and its limits, or neither.")
    if size is None or size_limits is None:
        return None, None
    return read_limits(size_limits, "hole size"), exact(size, "hole size")


def _bonus(size: Fraction | None, limits: Limits | None) -> Fraction:
    if size is None or limits is None or limits.lower is None or limits.upper is None:
        raise ValueError("hole size: maximum material needs the actual size and both of its limits.")
    return min(max(size - limits.lower, Fraction(0)), limits.upper - limits.lower)
