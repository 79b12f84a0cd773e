"""Where the holes of a bolt circle should be."""

import math
from decimal import Decimal

__all__ = ["hole_centers"]

_TEN_THOUSANDTH = Decimal("0.0001")


def hole_centers(count: int, diameter: str, first_angle: float) -> tuple[tuple[str, str], ...]:
    """The nominal centers of equally spaced holes, as decimal text to a ten-thousandth.

    x_k = D/2 cos a_k, y_k = D/2 sin a_k with a_k = first angle + k * 360°/count, counted from x towards y.
    The origin is the center of the pilot bore, x runs along axis A-B to the right end, y up.

    Parameters
    ----------
    count : number of holes, 1 or more
    diameter : of the bolt circle, positive decimal text, any unit of length
    first_angle : degrees

    >>> hole_centers(4, "10", 0)
    (('5.0000', '0.0000'), ('0.0000', '5.0000'), ('-5.0000', '0.0000'), ('0.0000', '-5.0000'))
    """
    radius = float(Decimal(diameter)) / 2
    if count < 1 or not radius > 0:
        raise ValueError("A bolt circle has at least one hole and a diameter above zero.")
    angles = (math.radians(first_angle + index * 360 / count) for index in range(count))
    return tuple((_text(radius * math.cos(angle)), _text(radius * math.sin(angle))) for angle in angles)


def _text(length: float) -> str:
    rounded = Decimal(length).quantize(_TEN_THOUSANDTH)
    return f"{abs(rounded) if rounded.is_zero() else rounded:f}"
