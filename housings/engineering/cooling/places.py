"""How much colder a joint is elsewhere than where the arc stopped."""

import math
from dataclasses import dataclass

from .readings import Place

__all__ = ["elsewhere"]

_FADES_MINUTES = 2.0


@dataclass(frozen=True, slots=True)
class _Offset:
    """ln rise at the stop - ln rise at a place, = lasting + fading exp(-t/2), with a spread built alike."""

    lasting: float
    fading: float
    spread: float
    fading_spread: float


# Means of simulated joints (tubes of 3.5 and 4 in, an arc that goes round) and about twice their spread,
# because nobody measured how well people find these places.
_OFFSETS: dict[Place, _Offset] = {
    "stop": _Offset(0, 0, 0, 0),
    "beside": _Offset(0.035, 0.10, 0.03, 0.06),
    "away": _Offset(0.17, 0.75, 0.08, 0.20),
    "opposite": _Offset(0.00, 0.21, 0.02, 0.10),
}


def elsewhere(place: Place, minutes: float) -> tuple[float, float]:
    """What to add to ln(T - Ta) read at a place to have it at the stop point, and the spread of that.

    >>> elsewhere("stop", 2)
    (0.0, 0.0)
    """
    offset, left = _OFFSETS[place], math.exp(-minutes / _FADES_MINUTES)
    return offset.lasting + offset.fading * left, math.hypot(offset.spread, offset.fading_spread * left)
