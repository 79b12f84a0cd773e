"""Places on a clock face, for the drawing that says where the next reading is taken."""

from __future__ import annotations

import math
from dataclasses import dataclass

RADIUS = 40


@dataclass(frozen=True)
class Place:
    """A place on the dial, in its own units: the middle is at 0, 0, the rim 40 away, y down as SVG has it."""

    number: int
    x: float
    y: float
    label_x: float
    label_y: float
    hour: str


def places(count: int) -> list[Place]:
    """``count`` places in even steps of one turn, the first at 12 o'clock, going clockwise.

    >>> [(place.x, place.y, place.hour) for place in places(4)]
    [(0.0, -40.0, '12'), (40.0, 0.0, '3'), (0.0, 40.0, '6'), (-40.0, 0.0, '9')]
    """
    return [_place(number, count) for number in range(count)]


def _place(number: int, count: int) -> Place:
    angle = math.tau * number / count
    across, down = math.sin(angle), -math.cos(angle)
    hour = number * 12 / count
    return Place(
        number,
        _tidy(RADIUS * across),
        _tidy(RADIUS * down),
        _tidy((RADIUS + 17) * across),
        _tidy((RADIUS + 17) * down),
        str(int(hour) or 12) if hour == int(hour) else "",
    )


def _tidy(value: float) -> float:
    return round(value, 2) + 0.0
