"""Forecasts for recorded joints as a shop would have made them, against what the joints then did."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.interpolate import CubicSpline

from housings.engineering import (
    DEFAULT_PRIOR,
    CooledPass,
    CoolingCurve,
    CoolingPrior,
    CrayonBound,
    TemperatureReading,
    window,
)

from .air import Array
from .joints import ELSEWHERE_MINUTES, LIMITS, MINUTES, CoolDown

Observation = TemperatureReading | CrayonBound
READING_SD, CLOCK_SD = 3.0, 0.1


@cache
def _log_rise(stop: tuple[float, ...], air: float) -> CubicSpline:
    return CubicSpline(MINUTES, np.log(np.array(stop) - air))


class Bench:
    """Somebody who reads cooling joints with a thermometer, crayons and a clock, none of them exact."""

    def __init__(self, seed: int, reading_sd: float = READING_SD, clock_sd: float = CLOCK_SD) -> None:
        self.dice = np.random.default_rng(seed)
        self.reading_sd, self.clock_sd = reading_sd, clock_sd

    def truth(self, one: CoolDown, minutes: float) -> float:
        """Temperature where the arc stopped."""
        return one.air + float(np.exp(_log_rise(tuple(one.stop), one.air)(max(minutes, MINUTES[0]))))

    def reads(self, one: CoolDown, minutes: float) -> TemperatureReading:
        at = minutes + self.clock_sd * self.dice.standard_normal()
        return TemperatureReading(
            minutes, self.truth(one, at) + self.reading_sd * self.dice.standard_normal()
        )

    def tries(self, one: CoolDown, minutes: float, crayon: float) -> CrayonBound:
        shown = self.reads(one, minutes).value_c
        return CrayonBound(minutes, crayon, shown >= crayon)

    def reads_elsewhere(self, one: CoolDown, minutes: float, place: str) -> TemperatureReading:
        true = getattr(one, place)[ELSEWHERE_MINUTES.index(minutes)]  # type: ignore[arg-type]  # a whole minute
        return TemperatureReading(minutes, true + self.reading_sd * self.dice.standard_normal(), place)  # type: ignore[arg-type]  # one of them

    def checks(self, one: CoolDown) -> TemperatureReading:
        """The reading that releases the next arc."""
        minutes, true = one.check
        return TemperatureReading(minutes, true + self.reading_sd * self.dice.standard_normal())


@dataclass(frozen=True)
class Forecast:
    """One crossing: which pass, what it was, and what was said."""

    number: int
    true: float
    read_until: float
    median: float
    low: float
    high: float
    announced: float


@dataclass
class Told:
    """Forecasts of openings or closings, those that still lay ahead, and how good they were."""

    all: list[Forecast]

    def of(self, chosen: Callable[[Forecast], bool]) -> Told:
        return Told([one for one in self.all if chosen(one)])

    @property
    def first(self) -> Told:
        return self.of(lambda one: one.number == 1)

    @property
    def later(self) -> Told:
        return self.of(lambda one: one.number > 1)

    def _column(self, name: str) -> Array:
        return np.array([getattr(one, name) for one in self.all])

    def within(self, share: float) -> float:
        """Part of the forecasts whose error is at most that share of the wait."""
        true = self._column("true")
        return float(np.mean(np.abs(self._column("median") - true) <= share * true))

    def error(self, part: float) -> float:
        """The relative error that so many stay below."""
        true = self._column("true")
        return float(np.quantile(np.abs(self._column("median") - true) / true, part))

    @property
    def covered(self) -> float:
        true = self._column("true")
        return float(np.mean((self._column("low") <= true) & (true <= self._column("high"))))

    @property
    def announced_early(self) -> float:
        """Part of the announced openings more than a minute before the true one."""
        return float(np.mean(self._column("true") - self._column("announced") > 1))

    @property
    def closed_before(self) -> float:
        """Part of the announced closings after the true one."""
        return float(np.mean(self._column("announced") > self._column("true")))

    def __str__(self) -> str:
        return (
            f"{len(self.all)} cases, within 15/20/25 %: {self.within(0.15):.0%}/{self.within(0.2):.0%}/"
            f"{self.within(0.25):.0%}, error median/90 %: {self.error(0.5):.0%}/{self.error(0.9):.0%}, "
            f"90 % bounds hold in {self.covered:.0%}"
        )


Reader = Callable[[Bench, CoolDown], Sequence[Observation]]


def at_minutes(*minutes: float) -> Reader:
    """A thermometer at the stop point at some minutes after the arc."""
    return lambda bench, one: [bench.reads(one, each) for each in minutes]


def told(
    joints: Sequence[Sequence[CoolDown]],
    reader: Reader,
    limits: tuple[int, int] = (204, 121),
    *,
    prior: CoolingPrior = DEFAULT_PRIOR,
    remembers: bool = True,
    checks: Callable[[Bench, CoolDown], Sequence[Observation]] = lambda bench, one: [bench.checks(one)],
    bench: Bench | None = None,
) -> tuple[Told, Told]:
    """Openings and closings of all passes of some joints, as far as they lay ahead of the last reading."""
    who = bench or Bench(11)
    openings: list[Forecast] = []
    closings: list[Forecast] = []
    for joint in joints:
        memory = None
        for one in joint:
            read = list(reader(who, one))
            curve = fit(one, read, prior, memory)
            seen = window(curve, limits[1], limits[0])
            until = max(each.minutes for each in read)
            for limit, kept, announced in zip(
                limits, (openings, closings), (seen.opens_by, seen.closes), strict=True
            ):
                true = one.crossings[LIMITS.index(limit)]
                if true is None or true < until + 0.25:
                    continue
                found = curve.crossing(limit)
                assert announced is not None
                kept.append(Forecast(one.number, true, until, found.median, found.low, found.high, announced))
            if remembers:
                memory = fit(one, [*read, *checks(who, one)], prior, memory).remembered()
    return Told(openings), Told(closings)


def fit(one: CoolDown, read: Sequence[Observation], prior: CoolingPrior, memory: object) -> CoolingCurve:
    return CoolingCurve.fit(
        read,
        pass_number=one.number,
        ambient_c=one.air,
        prior=prior,
        memory=memory,  # type: ignore[arg-type]  # a JointMemory or None
    )


def logged(joints: Sequence[Sequence[CoolDown]], bench: Bench) -> list[list[CooledPass]]:
    """Cool-downs as a shop stores them to learn from: read at 1, 2, 3, 5, 8 and 12 minutes."""
    return [
        [
            CooledPass(one.number, one.air, tuple(bench.reads(one, at) for at in (1, 2, 3, 5, 8, 12)))
            for one in joint
        ]
        for joint in joints
    ]
