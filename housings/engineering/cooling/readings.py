"""What is read off a cooling joint: a temperature, or on which side of it a crayon says it is."""

from dataclasses import dataclass
from typing import Literal, TypeAlias, get_args

from ..quantities import Quantity, number

__all__ = ["CrayonBound", "Observation", "Place", "TemperatureReading"]

Place: TypeAlias = Literal["stop", "beside", "away", "opposite"]
"""Where a joint is read.

- ``stop``: where the arc stopped, on the weld or within 15 mm of its middle: the hottest point, and the only
  one whose reading releases the next arc;
- ``beside``: at the same side of the joint, about 25 mm (1 in) from the middle of the weld;
- ``away``: at the same side, about 75 mm (3 in) from it;
- ``opposite``: on the weld, half way round.
"""

_LOWEST_C, _HIGHEST_C = -60, 1600


def _checked(minutes: Quantity, degrees: Quantity, what: str, place: str) -> tuple[float, float]:
    since = number(minutes, "minutes since the end of the arc")
    if since < 0:
        raise ValueError("minutes since the end of the arc: time does not run backwards.")
    value = number(degrees, what)
    if not _LOWEST_C <= value <= _HIGHEST_C:
        raise ValueError(f"{what}: {value:g} °C is no temperature of a joint that cools.")
    if place not in get_args(Place):
        raise ValueError(f"place: “{place}” is none of {', '.join(get_args(Place))}.")
    return since, value


@dataclass(frozen=True, slots=True)
class TemperatureReading:
    """One reading of a thermometer.

    Attributes
    ----------
    minutes : float >= 0
        Since the END of the arc, not since somebody tapped.
    value_c : float, -60 to 1600 °C
    place : Place

    Raises
    ------
    ValueError
        For what is no number or cannot be.

    Examples
    --------
    >>> TemperatureReading("2.5", 231)
    TemperatureReading(minutes=2.5, value_c=231.0, place='stop')
    >>> TemperatureReading(-1, 231)
    Traceback (most recent call last):
    ...
    ValueError: minutes since the end of the arc: time does not run backwards.
    """

    minutes: float
    value_c: float
    place: Place = "stop"

    def __init__(self, minutes: Quantity, value_c: Quantity, place: Place = "stop") -> None:
        since, value = _checked(minutes, value_c, "temperature", place)
        object.__setattr__(self, "minutes", since)
        object.__setattr__(self, "value_c", value)
        object.__setattr__(self, "place", place)


@dataclass(frozen=True, slots=True)
class CrayonBound:
    """What a crayon says: the joint is at least as hot as it melts at, or colder.

    Attributes
    ----------
    minutes : float >= 0
        Since the end of the arc.
    crayon_c : float, -60 to 1600 °C
        What the crayon melts at, as printed on it.
    melted : bool
        True: above. False: below.
    place : Place

    Raises
    ------
    ValueError
        For what is no number or cannot be.

    Examples
    --------
    >>> CrayonBound(3, "204", melted=False).place
    'stop'
    """

    minutes: float
    crayon_c: float
    melted: bool
    place: Place = "stop"

    def __init__(self, minutes: Quantity, crayon_c: Quantity, melted: bool, place: Place = "stop") -> None:
        since, value = _checked(minutes, crayon_c, "crayon", place)
        if not isinstance(melted, bool):
            raise ValueError("melted: say whether the crayon melted or not.")
        object.__setattr__(self, "minutes", since)
        object.__setattr__(self, "crayon_c", value)
        object.__setattr__(self, "melted", melted)
        object.__setattr__(self, "place", place)


Observation: TypeAlias = TemperatureReading | CrayonBound
"""Either of the two."""
