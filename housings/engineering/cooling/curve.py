"""How one joint cools after one pass, and when it comes down to a temperature."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from ..quantities import Quantity, above_zero, number
from .crayons import by_crayons, moments, quantiles
from .memory import JointMemory
from .prior import DEFAULT_PRIOR, CoolingPrior
from .readings import CrayonBound, Observation, TemperatureReading
from .template import Vector, first_minute_below, log_rise, sensitivity, slope
from .update import Noise, Seen, by_readings, seen, spread_of

__all__ = ["CoolingCurve", "Crossing", "Temperature", "is_warm"]

_Z_90, _Z_75 = 1.6449, 0.6745
_UNLIKE = 4.0
"""A reading this many standard deviations from what was expected is asked about."""
_COLD = 3.0


@dataclass(frozen=True, slots=True)
class Temperature:
    """A forecast temperature where the arc stopped, °C; 90 of 100 such joints lie from low to high."""

    median: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Crossing:
    """When a joint comes down to a temperature, minutes since the end of the arc.

    Attributes
    ----------
    median, low, high : float
        90 of 100 such joints cross from low to high. 0: it was never hotter. ``inf``: the air is as warm.
    q75 : float
        75 of 100 have crossed by then.
    """

    median: float
    low: float
    high: float
    q75: float


@dataclass(frozen=True, slots=True, eq=False)
class CoolingCurve:
    """The cool-down after one pass, with its doubt. Made by `CoolingCurve.fit`.

    Attributes
    ----------
    ambient_c : float
    pass_number : int
    readings : tuple
        What it was fitted to, by time.
    mean : (4,)
        The four numbers of `template`.
    covariance : (4, 4)
    doubts : tuple of str
        Readings unlike what this joint could be expected to do, one sentence each. They are in the fit.
    """

    ambient_c: float
    pass_number: int
    readings: tuple[Observation, ...]
    mean: Vector
    covariance: Vector
    doubts: tuple[str, ...]
    _memory: JointMemory = field(repr=False)
    _expected: tuple[Vector, Vector] = field(repr=False)
    _draws: tuple[Vector, Vector] | None = field(repr=False)

    @classmethod
    def fit(
        cls,
        readings: Sequence[Observation],
        *,
        pass_number: int,
        ambient_c: Quantity,
        prior: CoolingPrior = DEFAULT_PRIOR,
        memory: JointMemory | None = None,
        reading_sd_c: Quantity = 3,
        clock_sd_min: Quantity = "0.1",
    ) -> "CoolingCurve":
        """Fit the cool-down after one pass.

        x ~ N(m, P) before; after the thermometer's readings N(x, V) by four Gauss-Newton steps (`update`),
        then weighed by the crayons (`crayons`).

        Parameters
        ----------
        readings : sequence of TemperatureReading and CrayonBound
            In any order; the check reading before the next arc belongs to them. None at all gives what is
            expected. Those not at the stop point count with the spread of their place (`places`), and
            release nothing. Those within three standard deviations of the air's temperature are not fitted:
            the joint has cooled down, and when it did so they no longer tell.
        pass_number : int >= 1
        ambient_c : Quantity
            Of the air round the joint, °C.
        prior : CoolingPrior
        memory : JointMemory, optional
            Of the earlier passes of this joint; without it the joint is new.
        reading_sd_c, clock_sd_min : Quantity > 0
            How well it is read: standard deviations, °C and minutes.

        Raises
        ------
        ValueError
            For a pass below 1, what is no number, a joint colder than the air, and a crayon that melts in it.

        References
        ----------
        The form: plane source in a bar with loss (H. S. Carslaw and J. C. Jaeger, Conduction of Heat in
        Solids, 2nd ed., 1959, 4.2 and 10.2; from memory) and a hot spot; tried on simulated joints only.

        Examples
        --------
        >>> read = [TemperatureReading(1, 262), TemperatureReading(2, 231)]
        >>> curve = CoolingCurve.fit(read, pass_number=5, ambient_c=20)
        >>> when = curve.crossing(204)
        >>> [round(one, 1) for one in (when.low, when.median, when.q75, when.high)]
        [2.9, 3.5, 3.8, 4.3]
        """
        ambient = number(ambient_c, "temperature of the air")
        noise = Noise(above_zero(reading_sd_c, "reading_sd_c"), above_zero(clock_sd_min, "clock_sd_min"))
        ordered = tuple(sorted(readings, key=lambda one: (one.minutes, repr(one))))
        for one in ordered:
            _above_the_air(one, ambient, noise)
        memory = memory or JointMemory.of_a_new_joint(prior)
        expected = memory.expects(prior, pass_number)
        read = [
            one for one in ordered if isinstance(one, TemperatureReading) and is_warm(one, ambient, noise)
        ]
        crayons = [one for one in ordered if isinstance(one, CrayonBound)]
        what = seen([(one.minutes, one.value_c, one.place) for one in read], ambient, noise)
        doubts = _unlike(read, what, expected, noise)
        mean, spread = by_readings(*expected, what, noise)
        draws = None
        if crayons:
            bounds = seen([(one.minutes, one.crayon_c, one.place) for one in crayons], ambient, noise)
            draws = by_crayons(mean, spread, bounds, np.array([one.melted for one in crayons]), noise)
            if draws is None:
                doubts += (
                    "The crayons contradict the readings or one another: they were left out. Look again.",
                )
            else:
                mean, spread = moments(*draws)
        return cls(ambient, pass_number, ordered, mean, spread, doubts, memory, expected, draws)

    def temperature_c(self, minutes: Quantity) -> Temperature:
        """Forecast temperature at the stop point, so many minutes (>= 0) after the end of the arc.

        >>> expected = CoolingCurve.fit([], pass_number=5, ambient_c=20).temperature_c(4)
        >>> round(expected.low), round(expected.median), round(expected.high)
        (147, 207, 295)
        """
        since = number(minutes, "minutes since the end of the arc")
        if since < 0:
            raise ValueError("minutes since the end of the arc: time does not run backwards.")
        if self._draws is not None:
            x, weight = self._draws
            levels = quantiles(log_rise(x, since), weight, (0.5, 0.05, 0.95))
        else:
            level = float(log_rise(self.mean, since))
            doubt = _Z_90 * self._level_sd(since)
            levels = [level, level - doubt, level + doubt]
        return Temperature(*(self.ambient_c + math.exp(one) for one in levels))

    def crossing(self, limit_c: Quantity) -> Crossing:
        """When the stop point comes down to a temperature.

        Solves f(t) = ln(L - Ta) by Newton's method; r is the doubt of f over slope and t: bounds
        t exp(∓1.645 r), 75 % quantile t exp(0.674 r). With crayons: quantiles of the weighed draws.

        Parameters
        ----------
        limit_c : Quantity
            °C.

        Raises
        ------
        ValueError
            For what is no number.
        """
        limit = number(limit_c, "limit")
        if limit <= self.ambient_c:
            return Crossing(math.inf, math.inf, math.inf, math.inf)
        level = math.log(limit - self.ambient_c)
        if self._draws is not None:
            x, weight = self._draws
            return Crossing(*quantiles(first_minute_below(x, level), weight, (0.5, 0.05, 0.95, 0.75)))
        median = float(first_minute_below(self.mean, level))
        fall = -float(slope(self.mean, median))
        doubt = self._level_sd(median) / fall
        if median == 0:
            # Expected to be below from the start: along the tangent there it was below some time before.
            start = (float(log_rise(self.mean, 0)) - level) / fall
            return Crossing(0.0, 0.0, max(0.0, start + _Z_90 * doubt), max(0.0, start + _Z_75 * doubt))
        ratio = min(doubt / max(median, 0.5), 4.0)
        return Crossing(
            median,
            median * math.exp(-_Z_90 * ratio),
            median * math.exp(_Z_90 * ratio),
            median * math.exp(_Z_75 * ratio),
        )

    def remembered(self) -> JointMemory:
        """The joint's memory with this pass: for its next pass, once the check reading is in."""
        if not self.readings:
            return self._memory
        return self._memory.after(self._expected, (self.mean, self.covariance))

    def _level_sd(self, minutes: float) -> float:
        by = sensitivity(self.mean, minutes)
        return math.sqrt(max(0.0, float(by @ self.covariance @ by)))


def is_warm(one: TemperatureReading, ambient: float, noise: Noise) -> bool:
    """Whether a reading tells more than that the joint has cooled down: three standard deviations of it."""
    return one.value_c - ambient >= _COLD * noise.degrees


def _above_the_air(one: Observation, ambient: float, noise: Noise) -> None:
    if isinstance(one, TemperatureReading) and one.value_c <= ambient - _COLD * noise.degrees:
        raise ValueError(
            f"{one.value_c:g} °C at {one.minutes:g} min: a joint that cools is not colder than the air"
            f" ({ambient:g} °C). Look again at both."
        )
    if isinstance(one, CrayonBound) and one.crayon_c <= ambient:
        raise ValueError(
            f"crayon {one.crayon_c:g} °C: it would melt in the air of the shop ({ambient:g} °C)."
        )


def _unlike(
    read: Sequence[TemperatureReading], what: Seen, expected: tuple[Vector, Vector], noise: Noise
) -> tuple[str, ...]:
    if not read:
        return ()
    mean, spread = expected
    by = sensitivity(mean, what.minutes)
    doubt = np.sqrt(np.sum((by @ spread) * by, axis=1) + spread_of(mean, what, noise) ** 2)
    far = np.abs(what.levels - log_rise(mean, what.minutes)) > _UNLIKE * doubt
    return tuple(
        f"{one.value_c:g} °C at {round(one.minutes, 1):g} min is unlike this joint: look again at the"
        " temperature (°C or °F), the minutes and the place."
        for one, is_far in zip(read, far, strict=True)
        if is_far
    )
