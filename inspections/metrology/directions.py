"""Unit vectors as results show them."""

import numpy as np

from inspections.metrology.numbers import FloatArray


def facing(direction: FloatArray) -> FloatArray:
    """The same direction with its greatest component positive (the first of equals)."""
    return direction if direction[np.abs(direction).argmax()] > 0 else -direction


def plain(vector: FloatArray) -> tuple[float, ...]:
    """A tuple of Python floats, with no negative zero."""
    return tuple(float(part) + 0.0 for part in vector)
