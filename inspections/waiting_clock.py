"""Since when a joint is cold, and until when it waits before it may be tested.

Cold cracks come late, so a procedure names hours between the cold joint and its test. What counts here is
when things happened, not their place in the record: hours are of the clock.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_DOWN, Decimal

from housings.engineering.procedures import Procedure
from housings.engineering.temperatures import in_fahrenheit
from housings.models import Joint, JointTemperature
from housings.weld_queries import JointState
from inspections.planning.near_welds import are_near
from inspections.weld_queries import WeldRecord

COLD_AFTER = datetime.timedelta(hours=2, minutes=30)
"""How long a joint takes to shop temperature at most, where nobody has read it: computed, one-dimensional
conduction in a 4 in tube with 1/2 in wall, the heaviest that is welded here, emissivity 0.8."""
COLD_AFTER_SLOW = datetime.timedelta(hours=12)
"""The same where the procedure keeps it from cooling fast, under a blanket or held hot: until next morning
(common practice, no source)."""

# A place 3 in away is colder than the weld, and "other" may be anywhere: neither says that the weld is cold.
TELLING = frozenset({"stop", "start", "beside"})
_HOUR = Decimal(3600)


@dataclass(frozen=True)
class Waiting:
    """The clock of one joint before its test.

    ``heated_at`` and ``heated_by``: when, and by a weld of which joint (its name), it was warm last.
    ``cold_at``: since when it is cold, or will be at the latest; ``is_read``: a reading said so.
    ``hours`` as the procedure names them, ``until`` the end of them.
    """

    joint: Joint
    heated_at: datetime.datetime
    heated_by: str
    cold_at: datetime.datetime
    is_read: bool
    hours: Decimal
    until: datetime.datetime

    def is_over(self, at: datetime.datetime) -> bool:
        """Whether the hours have passed at a moment; at their end they have."""
        return at >= self.until

    def waited(self, at: datetime.datetime) -> str:
        """Hours since it was cold, rounded down to hundredths; below zero is zero."""
        return hours_between(self.cold_at, at)


def hours_between(start: datetime.datetime, end: datetime.datetime) -> str:
    """Hours from one moment to another, rounded down to hundredths; zero if the end comes first."""
    waited = end.astimezone(datetime.UTC) - start.astimezone(datetime.UTC)
    whole = waited.days * 86400 + waited.seconds
    return str(max(Decimal(whole) / _HOUR, Decimal(0)).quantize(Decimal("0.01"), ROUND_DOWN))


def waiting_of(record: WeldRecord, state: JointState) -> Waiting | None:
    """The clock of a joint; ``None`` if its procedure names no hours or nothing was welded on it yet."""
    asked = [one for one in record.procedures_of(state) if one.waiting_hours is not None]
    if not asked or not _ends_of_arcs(record, state):
        return None
    procedure = max(asked, key=lambda one: one.waiting_hours or 0)
    hours = procedure.waiting_hours or Decimal(0)
    heated_at, heated_by = max(
        (
            (ended, near.joint.name)
            for near in record.states
            if are_near(state.joint, near.joint)
            for ended in _ends_of_arcs(record, near)
        ),
        key=lambda pair: pair[0],
    )
    cold_at, is_read = _cold_at(heated_at, _telling(state), procedure)
    until = cold_at + datetime.timedelta(microseconds=int(hours * _HOUR * 10**6))
    return Waiting(state.joint, heated_at, heated_by, cold_at, is_read, hours, until)


def _ends_of_arcs(record: WeldRecord, state: JointState) -> list[datetime.datetime]:
    """When it was welded; where its passes are not on record, when the work of its station was done."""
    passes = [entry.done_at for entry in state.passes]
    return passes or [entry.done_at for entry in record.work_at_station(state.joint)]


def _telling(state: JointState) -> list[JointTemperature]:
    return sorted((one for one in state.temperatures if one.place in TELLING), key=lambda one: one.done_at)


def _cold_at(
    heated_at: datetime.datetime, readings: Iterable[JointTemperature], procedure: Procedure
) -> tuple[datetime.datetime, bool]:
    """Since when it is cold: the first reading that says so after the last that said no, else a bound."""
    warm_at, cold_at = heated_at, None
    for one in readings:
        if one.done_at < heated_at:
            continue
        said = says_cold(one, procedure)
        if said is False:
            warm_at, cold_at = one.done_at, None
        elif said and cold_at is None:
            cold_at = one.done_at
    if cold_at:
        return cold_at, True
    return warm_at + (COLD_AFTER_SLOW if procedure.slow_cooling else COLD_AFTER), False


def says_cold(one: JointTemperature, procedure: Procedure) -> bool | None:
    """Whether a reading says that the joint is cold, or that it is not; ``None`` if it says neither."""
    if procedure.cold_below is None:
        return None
    value = in_fahrenheit(one.value, one.unit)
    cold = in_fahrenheit(procedure.cold_below, procedure.temperature_unit)
    if one.crayon == "below":
        # It did not melt, so the joint is colder than the crayon's temperature.
        return True if value <= cold else None
    if one.crayon == "above":
        return False if value >= cold else None
    return value < cold
