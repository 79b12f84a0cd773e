"""How much colder a joint is elsewhere than where the arc stopped."""

import math
from dataclasses import dataclass

from .readings import Place

__all__ = ["elsewhere"]

_FADES_MINUTES = 3.0


@dataclass(frozen=True, slots=True)
class _Offset:
    """ln rise at the stop - ln rise at a place, = lasting + fading exp(-t/3), with a spread built alike."""

    lasting: float
    fading: float
    spread: float
    fading_spread: float


_OFFSETS: dict[Place, _Offset] = {
    "stop": _Offset(0, 0, 0, 0),
    "beside": _Offset(0.03, 0.25, 0.03, 0.10),
    "away": _Offset(0.15, 0.90, 0.10, 0.30),
    "opposite": _Offset(0.00, 0.40, 0.04, 0.20),
}


def elsewhere(place: Place, minutes: float) -> tuple[float, float]:
    """What to add to ln(T - Ta) read at a place to have it at the stop point, and the spread of that.

    >>> elsewhere("stop", 2)
    (0.0, 0.0)
    """
    offset, left = _OFFSETS[place], math.exp(-minutes / _FADES_MINUTES)
    return offset.lasting + offset.fading * left, math.hypot(offset.spread, offset.fading_spread * left)
