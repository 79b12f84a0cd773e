"""What the temperatures read since the last pass say about the next arc."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Protocol

from .procedures import Procedure
from .temperatures import in_fahrenheit

__all__ = ["FRESH", "LONGEST_ARC", "Release", "Said", "Temperature", "release"]

FRESH = datetime.timedelta(minutes=5)
"""How long a reading lets an arc start: after that the joint has cooled on."""
LONGEST_ARC = datetime.timedelta(minutes=10)
"""How long one pass may burn: so much older a reading may be where only the end of the arc is known."""


class Said(StrEnum):
    """What the temperatures say."""

    RELEASED = "released"
    NOTHING_ASKED = "nothing_asked"
    NOT_READ = "not_read"
    READ_ELSEWHERE = "read_elsewhere"
    TOO_OLD = "too_old"
    TOO_COLD = "too_cold"
    TOO_HOT = "too_hot"
    LOW_END_OPEN = "low_end_open"
    HIGH_END_OPEN = "high_end_open"


class Temperature(Protocol):
    """A reading, or with ``crayon`` "above" or "below" what a crayon of that temperature said."""

    @property
    def value(self) -> str: ...
    @property
    def unit(self) -> str: ...
    @property
    def crayon(self) -> str: ...
    @property
    def place(self) -> str: ...
    @property
    def done_at(self) -> datetime.datetime: ...


@dataclass(frozen=True, slots=True)
class Release:
    """`by` is the temperature that decided, the newest one that was looked at; `said` what follows."""

    said: Said
    by: Temperature | None = None

    @property
    def is_free(self) -> bool:
        """Whether the arc may start, as far as temperature goes."""
        return self.said in {Said.RELEASED, Said.NOTHING_ASKED}


def release(
    procedure: Procedure,
    temperatures: Sequence[Temperature],
    at: datetime.datetime,
    *,
    is_multipass: bool,
    is_first: bool,
    end_known_only: bool = False,
) -> Release:
    """Whether the temperatures read since the last pass let an arc start at a moment.

    A figure decides alone. Crayons bound from one side each: the one of the least preheat melted, and the one
    of the greatest interpass did not. The newest of each side counts; what a later one contradicts is void.
    Before the first pass only the least preheat has to be shown, at any place; a weld that is not laid in
    several passes has no greatest interpass. `end_known_only`: `at` is the end of the arc.
    """
    unit = procedure.temperature_unit
    least = None if procedure.preheat_least is None else in_fahrenheit(procedure.preheat_least, unit)
    most = None
    if is_multipass and procedure.interpass_greatest is not None:
        most = in_fahrenheit(procedure.interpass_greatest, unit)
    if least is None and (most is None or is_first):
        return Release(Said.NOTHING_ASKED)
    if not temperatures:
        return Release(Said.NOT_READ)
    there = [one for one in temperatures if is_first or one.place == procedure.measured_at]
    if not there:
        return Release(Said.READ_ELSEWHERE, temperatures[-1])
    oldest = at - FRESH - (LONGEST_ARC if end_known_only else datetime.timedelta(0))
    fresh = sorted((one for one in there if one.done_at >= oldest), key=lambda one: one.done_at)
    if not fresh:
        return Release(Said.TOO_OLD, there[-1])
    above, below, is_figure = _bounds(fresh)
    newest = fresh[-1]
    # A crayon that did not melt says below its temperature, so at the least preheat it is too cold already.
    if least is not None and below is not None and (below < least if is_figure else below <= least):
        return Release(Said.TOO_COLD, newest)
    if most is not None and above is not None and (above > most if is_figure else above >= most):
        return Release(Said.TOO_HOT, newest)
    if least is not None and (above is None or above < least):
        return Release(Said.LOW_END_OPEN, newest)
    if most is not None and not is_first and (below is None or below > most):
        return Release(Said.HIGH_END_OPEN, newest)
    return Release(Said.RELEASED, newest)


def _bounds(in_time: Sequence[Temperature]) -> tuple[Fraction | None, Fraction | None, bool]:
    """At least, at most, in °F, and whether the newest is a figure, which says both."""
    above: Fraction | None = None
    below: Fraction | None = None
    for one in in_time:
        found = in_fahrenheit(one.value, one.unit)
        if not one.crayon:
            above = below = found
        elif one.crayon == "above":
            above = found
            below = None if below is not None and below <= found else below
        else:
            below = found
            above = None if above is not None and above >= found else above
    return above, below, not in_time[-1].crayon
