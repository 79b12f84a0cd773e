"""What an indicator over a V-block sees of a part that is not round."""

import math
from fractions import Fraction

from inspections.metrology.numbers import Number, exact

BLIND = 1e-9
"""A gain below it is zero but for rounding: the set-up does not see that wave."""


def v_block_gain(lobes: int, v_angle: Number = 90) -> float:
    """Reading per radius when a part turns in a V-block and the indicator stands on the bisector above it.

    G(n) = 1 + M(n),  M(n) = cos(n (90° + a/2)) / sin(a/2)

    Derivation. Let the radius of the turning part be R + e(t), small e, t counted from the indicator above
    the block. The two flanks of the V (angle a between them) touch at t = ±(90° + a/2), where their normals
    make the angle 90° - a/2 with the vertical. A centre that moves up by h leaves a flank by h sin(a/2), and
    the part fills that gap by e at the contact. With both flanks touching (the sideways move drops out)

        h sin(a/2) = (e(90° + a/2) + e(-90° - a/2)) / 2,

    and the indicator shows e(0) + h. For e(t) = cos(n (t - s)), the sum of the two contacts is
    2 cos(ns) cos(n (90° + a/2)), so the reading is cos(ns) G(n): the wave in its own phase, times G(n).

    Parameters
    ----------
    lobes : int, >= 1
        n, waves per turn.
    v_angle : Number, 0 < a <= 180
        Angle between the flanks, degrees; 180 is a flat plate, over which the diameter is read.

    Raises
    ------
    ValueError
        For a number of lobes below one or an angle out of its range.

    References
    ----------
    Derived above. ISO 4292:1985 (roundness by two and three points, symmetrical setting) tabulates
    its magnitude.

    Examples
    --------
    >>> [round(v_block_gain(2, angle), 12) + 0.0 for angle in (90, 60)]
    [1.0, 0.0]
    >>> round(v_block_gain(3, 60), 12)
    3.0
    """
    return 1.0 + support_lift(lobes, v_angle)


def support_lift(lobes: int, v_angle: Number = 90) -> float:
    """M(n) of `v_block_gain`: how far the part's axis is lifted by n lobes of the supported section."""
    if isinstance(lobes, bool) or not isinstance(lobes, int) or lobes < 1:
        raise ValueError("lobes: give a whole number of waves per turn, 1 or more.")
    half = math.radians(float(checked_v_angle(v_angle)) / 2)
    return math.cos(lobes * (math.pi / 2 + half)) / math.sin(half)


def checked_v_angle(v_angle: Number) -> Fraction:
    """The angle of a V-block in degrees; ValueError unless above 0 and up to 180."""
    angle = exact(v_angle, "angle of the V-block")
    if not 0 < angle <= 180:
        raise ValueError("angle of the V-block: it is the angle between the flanks, above 0° and up to 180°.")
    return angle
