"""Leak rate of a closed volume from the fall of its pressure, with the temperature taken out."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from inspections.metrology.numbers import FloatArray, Number
from inspections.metrology.readings import reading, readings, same_length

STANDARD_PRESSURE = 101_325.0
"""Pa, one atmosphere."""

_RISK = 0.05
_CROWDED = 1e-6
_ROUNDING = 64 * float(np.finfo(np.float64).eps)


@dataclass(frozen=True)
class LeakRate:
    """What a closed volume loses.

    Attributes
    ----------
    rate : float
        Pa m³/s at `temperature`; a loss is positive.
    standard_uncertainty : float or None
        Of the rate, from the scatter of the readings about the line; None with two readings.
    detectable : float or None
        The least true rate that such readings find with 95 %, when a rate that is not there is reported in 5
        % of tests; None with two readings.
    steady : bool or None
        Whether the rate stays the same over the test: no bend of the line that chance does not explain (5 %
        level). None with fewer than four readings, or
        with readings crowded at two moments.
    temperature : float
        K, of the first reading: what all pressures were brought to.
    """

    rate: float
    standard_uncertainty: float | None
    detectable: float | None
    steady: bool | None
    temperature: float


def leak_rate(
    pressures: Iterable[Number], temperatures: Iterable[Number], times: Iterable[Number], volume: Number
) -> LeakRate:
    """Leak rate by pressure decay.

    Q = -V d(p T1 / T) / dt. With two readings Q = V (p1 - p2 T1 / T2) / (t2 - t1); with more, the slope is
    that of the least-squares line, and its uncertainty s / sqrt(sum (t - tm)²), s² = rest² / (n - 2). The
    least detectable rate is 2 t95(n - 2) u.

    Parameters
    ----------
    pressures : list of n >= 2 Number
        Absolute, Pa: gauge pressure plus the air pressure of the day.
    temperatures : list of n Number
        Of the gas, K.
    times : list of n Number
        s, ascending.
    volume : Number, > 0
        V, m³; taken as rigid.

    Raises
    ------
    ValueError
        Fewer than two readings, lists of different length, pressures or temperatures not above zero, times
        that do not ascend, a volume not above zero.

    References
    ----------
    40 CFR 1065.644 (vacuum-decay leak rate); EN 1779:1999, technique D (pressure change); L. A. Currie, Anal.
    Chem. 40 (1968) 586 (detection limit).

    Examples
    --------
    >>> round(leak_rate([308168, 307823], [293.15, 293.15], [0, 60], "0.005").rate, 5)
    0.02875
    """
    p, kelvin, t = (
        readings(values, what, at_least=2)
        for values, what in ((pressures, "pressure"), (temperatures, "temperature"), (times, "time"))
    )
    same_length("leak test", pressures=len(p), temperatures=len(kelvin), times=len(t))
    size = reading(volume, "volume")
    if size <= 0:
        raise ValueError("volume: it must be above zero; give m³.")
    if min(p) <= 0:
        raise ValueError(
            "pressure: absolute pressures are above zero; add the air pressure to a gauge reading."
        )
    if min(kelvin) <= 0:
        raise ValueError("temperature: give kelvin, which is above zero: degrees Celsius and 273.15.")
    if min(np.diff(t)) <= 0:
        raise ValueError("time: each reading must be later than the one before it.")
    referred = p * (kelvin[0] / kelvin)
    slope, u = _line(t, referred)
    freedom = len(t) - 2
    return LeakRate(
        -size * slope,
        None if u is None else size * u,
        None if u is None else size * 2 * float(stdtrit(freedom, 1 - _RISK)) * u,
        _steady(t, referred),
        float(kelvin[0]),
    )


def standard_flow(
    rate: Number | LeakRate, reference_temperature: Number, gas_temperature: Number | None = None
) -> float:
    """A leak rate as standard cubic centimetres per minute at 101,325 Pa and a stated temperature.

    q = 6e7 Q / p0 · T0 / T: the same amount of gas, had it the pressure p0 and the temperature T0.

    Parameters
    ----------
    rate : Number or LeakRate
        Q, Pa m³/s.
    reference_temperature : Number, > 0
        T0, K; 273.15, 293.15 and 294.26 are all in use and differ by up to 8 %: state it with the result.
    gas_temperature : Number, > 0, optional
        T at which Q counts the gas. Default: that of the `LeakRate`, or T0 for a plain number.

    Raises
    ------
    ValueError
        For temperatures not above zero.

    References
    ----------
    NIST SP 811 (2008), B.8 (factors).

    Examples
    --------
    >>> round(standard_flow("0.0287282", "273.15"), 4)
    17.0115
    """
    standard = reading(reference_temperature, "reference temperature")
    flow = rate.rate if isinstance(rate, LeakRate) else reading(rate, "leak rate")
    if gas_temperature is not None:
        gas = reading(gas_temperature, "gas temperature")
    else:
        gas = rate.temperature if isinstance(rate, LeakRate) else standard
    if standard <= 0 or gas <= 0:
        raise ValueError("reference temperature: give kelvin, which is above zero, such as 293.15.")
    return flow / STANDARD_PRESSURE * (standard / gas) * 6e7


def _line(t: FloatArray, y: FloatArray) -> tuple[float, float | None]:
    """Slope of the least-squares line and its standard uncertainty."""
    x, rise = t - t.mean(), y - y[0]
    spread = float(x @ x)
    slope = float(x @ rise) / spread
    if len(t) == 2:
        return slope, None
    rest = rise - rise.mean() - slope * x
    return slope, math.sqrt(float(rest @ rest) / (len(t) - 2) / spread)


def _steady(t: FloatArray, y: FloatArray) -> bool | None:
    """Two-sided t test of the bend: the part of t² that is square to a line."""
    if len(t) < 4:
        return None
    x = (t - t.mean()) / (t[-1] - t[0])
    line = np.column_stack((np.ones_like(x), x))
    bend = x**2 - line @ np.linalg.lstsq(line, x**2, rcond=None)[0]
    # Readings crowded at two moments leave a bend unseen, however many they are.
    if float(bend @ bend) <= _CROWDED * len(t):
        return None
    rise = y - y[0]
    rest = rise - line @ np.linalg.lstsq(line, rise, rcond=None)[0]
    size = float(bend @ rest) / float(bend @ bend)
    left = rest - size * bend
    # Rounding of the pressures alone must not look like a bend of a perfect line.
    noise = max(math.sqrt(float(left @ left) / (len(t) - 3)), _ROUNDING * float(np.abs(y).max()))
    doubt = noise / math.sqrt(float(bend @ bend))
    return abs(size) <= float(stdtrit(len(t) - 3, 1 - _RISK / 2)) * doubt
