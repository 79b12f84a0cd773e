"""How the joints of the shop cool: what is stored of a joint, as the arithmetic of cooling takes it.

What is kept from one asking to the next is kept under everything it was computed from (`_curve_after`), so it
can never be out of date.
"""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from housings.engineering.cooling import (
    DEFAULT_PRIOR,
    CooledPass,
    CoolingCurve,
    CoolingPrior,
    CrayonBound,
    JointMemory,
    Observation,
    TemperatureReading,
    Window,
    window,
    windows_to_come,
)
from housings.engineering.procedures import Procedure
from housings.engineering.temperatures import in_fahrenheit
from housings.models import CoolingLearned, JointTemperature, WeldPass

# Of the air round the joint, °C. It hardly matters: 10 °C more or less change the opening by nothing.
AIR_C = 20.0
# Colder than the air by less than this is still read as warm as the air, not as a mistake.
_COLDER_AT_MOST = 3.0
# Where the stop is not, and nobody has said how far away: kept, and not fitted.
_FITTED_PLACES = frozenset({"stop", "beside", "away"})
# A procedure without a greatest interpass temperature is open at once; no joint is hotter than this.
_NO_LIMIT_C = 1500.0
_KEPT = 8192


@dataclass(frozen=True)
class Forecast:
    """How a joint cools after its last pass, and when it may be welded again.

    ``ended_at`` is the end of that arc, from which the minutes of curve and window count. ``window`` is
    ``None`` where the procedure sets no temperature.
    """

    ended_at: datetime.datetime
    curve: CoolingCurve
    window: Window | None
    is_simulated: bool

    def moment(self, minutes: float) -> datetime.datetime:
        """The moment so many minutes after the end of the arc."""
        return self.ended_at + datetime.timedelta(minutes=minutes)


def celsius(value: str | Decimal, unit: str) -> float:
    """A temperature in °C, for the forecast only: what releases is compared exactly, as it was typed."""
    return float((in_fahrenheit(value, unit) - 32) * 5 / 9)


def priors() -> dict[str, CoolingPrior]:
    """What was learned of each kind of joint, by kind; one query."""
    return {row.kind: CoolingPrior.from_json(row.prior) for row in CoolingLearned.objects.all()}


def cooled_passes(
    passes: Sequence[WeldPass], temperatures: Sequence[JointTemperature]
) -> tuple[CooledPass, ...]:
    """The passes of one joint, in their order, each with what was read after it and before the next.

    A temperature that came together with the next pass and without a time of its own says that the arc was
    released, and not when it was read: it is left out.
    """
    found = []
    after: dict[int, list[JointTemperature]] = defaultdict(list)
    for one in temperatures:
        after[one.after_pass].append(one)
    for weld, following in zip(passes, [*passes[1:], None], strict=True):
        read = [one for one in after[weld.number] if _is_between(one, weld, following)]
        observed = sorted(
            (one for one in (_observed(t, weld) for t in read) if one is not None),
            key=lambda one: one.minutes,
        )
        coldest = min((one.value_c for one in observed if isinstance(one, TemperatureReading)), default=AIR_C)
        air = min(AIR_C, coldest + _COLDER_AT_MOST)
        fitted = [one for one in observed if not (isinstance(one, CrayonBound) and one.crayon_c <= air)]
        found.append(CooledPass(weld.number, air, tuple(fitted)))
    return tuple(found)


def _is_between(read: JointTemperature, weld: WeldPass, following: WeldPass | None) -> bool:
    if read.record_position < weld.record_position or read.done_at < weld.done_at:
        return False
    if read.place not in _FITTED_PLACES:
        return False
    if following is None:
        return True
    begun = following.begun_at or following.done_at
    return read.done_at <= begun and (following.begun_at is not None or read.done_at < following.done_at)


def _observed(read: JointTemperature, weld: WeldPass) -> Observation | None:
    # Stored moments are all of one zone, UTC, in which no clock is changed.
    minutes = (read.done_at - weld.done_at).total_seconds() / 60
    return _observation(minutes, read.value, read.unit, read.crayon, read.place)


@lru_cache(maxsize=_KEPT)
def _observation(minutes: float, value: str, unit: str, crayon: str, place: str) -> Observation | None:
    try:
        if crayon:
            return CrayonBound(minutes, celsius(value, unit), crayon == "above", place)  # type: ignore[arg-type]
        return TemperatureReading(minutes, celsius(value, unit), place)  # type: ignore[arg-type]
    except ValueError:  # no temperature of a joint that cools; it stays on record all the same
        return None


def forecast(
    passes: Sequence[WeldPass],
    temperatures: Sequence[JointTemperature],
    procedure: Procedure | None,
    prior: CoolingPrior | None = None,
) -> Forecast | None:
    """How a joint cools after its last pass; ``None`` before the first."""
    if not passes:
        return None
    last = passes[-1]
    curve = _curve_after(cooled_passes(passes, temperatures), prior or DEFAULT_PRIOR)
    opens = window_of(curve, procedure) if procedure else None
    simulated = any(one.simulated for one in temperatures)
    return Forecast(last.done_at, curve, opens, simulated)


def window_of(curve: CoolingCurve, procedure: Procedure) -> Window | None:
    """Between which temperatures of the procedure a joint is, and when; ``None`` if it sets none."""
    limits = limits_c(procedure)
    if limits == (None, None):
        return None
    least, greatest = limits
    return _window(
        curve, curve.ambient_c if least is None else least, _NO_LIMIT_C if greatest is None else greatest
    )


def limits_c(procedure: Procedure) -> tuple[float | None, float | None]:
    """Least preheat and greatest interpass temperature in °C."""
    unit = procedure.temperature_unit
    given = (procedure.preheat_least, procedure.interpass_greatest)
    least, greatest = (None if value is None else celsius(value, unit) for value in given)
    return least, greatest


def windows_ahead(
    curve: CoolingCurve | None, number: int, missing: int, procedure: Procedure, prior: CoolingPrior
) -> tuple[tuple[float, float | None], ...]:
    """What is expected after the next passes of a joint, as `WaitingJoint.then` takes it.

    ``curve``: after its last pass, ``None`` before the first. ``number``: of its next pass. ``missing``: how
    many it still needs. Empty where the next is the last, and where the limits let no joint be welded.
    """
    if missing < 2:
        return ()
    limits = limits_c(procedure)
    if limits == (None, None):
        return ((0.0, None),)
    least, greatest = limits
    memory = None if curve is None else _remembered(curve)
    return _windows_ahead(
        number,
        number + missing - 2,
        AIR_C if least is None else least,
        _NO_LIMIT_C if greatest is None else greatest,
        prior,
        memory,
    )


@lru_cache(maxsize=_KEPT)
def _windows_ahead(
    first: int, last: int, least: float, greatest: float, prior: CoolingPrior, memory: JointMemory | None
) -> tuple[tuple[float, float | None], ...]:
    try:
        return windows_to_come(first, last, AIR_C, least, greatest, prior=prior, memory=memory)
    except ValueError:  # limits the wrong way round, or an air as warm as the greatest
        return ()


@lru_cache(maxsize=_KEPT)
def _remembered(curve: CoolingCurve) -> JointMemory:
    return curve.remembered()


@lru_cache(maxsize=_KEPT)
def _memory_of(passes: tuple[CooledPass, ...], prior: CoolingPrior) -> JointMemory:
    if not passes:
        return JointMemory.of_a_new_joint(prior)
    return _curve_after(passes, prior).remembered()


@lru_cache(maxsize=_KEPT)
def _curve_after(passes: tuple[CooledPass, ...], prior: CoolingPrior) -> CoolingCurve:
    """The cool-down after the last of the passes, with what the earlier ones told of the joint."""
    *earlier, last = passes
    return CoolingCurve.fit(
        last.readings,
        pass_number=last.pass_number,
        ambient_c=last.ambient_c,
        prior=prior,
        memory=_memory_of(tuple(earlier), prior),
    )


@lru_cache(maxsize=_KEPT)
def _window(curve: CoolingCurve, least: float, greatest: float) -> Window | None:
    """The window; ``None`` for limits the wrong way round, which are not published."""
    return window(curve, least, greatest) if least < greatest else None


def prior_of(kind: str, learned: Mapping[str, CoolingPrior]) -> CoolingPrior:
    """What is expected of a kind of joint: learned in this shop, or the default."""
    return learned.get(kind, DEFAULT_PRIOR)
