"""What stored cool-downs teach about the joints of a shop, and the passes of a joint about that joint."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .curve import CoolingCurve, is_warm
from .memory import JointMemory
from .prior import DEFAULT_PRIOR, CoolingPrior, pass_class
from .readings import Observation, Place, TemperatureReading
from .template import Vector
from .update import Noise, by_readings, seen

__all__ = ["CooledPass", "learn", "remember"]

LEAST_JOINTS = 10
_PSEUDO_PASSES = 8
"""How many cool-downs the prior that one starts from counts for, in each class. A guess, not fitted."""
_ROUNDS = 12


@dataclass(frozen=True, slots=True)
class CooledPass:
    """The stored readings of one pass.

    Attributes
    ----------
    pass_number : int >= 1
    ambient_c : float
    readings : tuple of TemperatureReading and CrayonBound
        With the check reading before the next arc.
    """

    pass_number: int
    ambient_c: float
    readings: tuple[Observation, ...]


def remember(passes: Sequence[CooledPass], prior: CoolingPrior = DEFAULT_PRIOR) -> JointMemory:
    """What the passes of one joint, in their order, tell about its next one.

    Raises `ValueError` for passes that do not follow one another (one may be missing, none come twice).

    >>> two = [CooledPass(n, 20.0, (TemperatureReading(2, 250),)) for n in (1, 2)]
    >>> remember(two).passes
    2
    >>> remember(two[::-1])
    Traceback (most recent call last):
    ...
    ValueError: Passes of a joint follow one another: pass 1 comes after pass 2 here.
    """
    memory, last = JointMemory.of_a_new_joint(prior), 0
    for one in passes:
        if one.pass_number <= last:
            raise ValueError(
                f"Passes of a joint follow one another: pass {one.pass_number} comes after pass {last} here."
            )
        last = one.pass_number
        memory = CoolingCurve.fit(
            one.readings, pass_number=last, ambient_c=one.ambient_c, prior=prior, memory=memory
        ).remembered()
    return memory


def learn(joints: Sequence[Sequence[CooledPass]], prior: CoolingPrior = DEFAULT_PRIOR) -> CoolingPrior:
    """A prior from the stored joints of a shop, one kind of joint at a time.

    By class of pass, expectation and maximisation in turn: x and V of each pass under N(m, C), then
    m = (8 m₀ + Σ x) / (8 + n), C = (8 C₀ + 8 (m₀ - m)(m₀ - m)ᵀ + Σ [V + (x - m)(x - m)ᵀ]) / (8 + n).

    Parameters
    ----------
    joints : sequence of joints, each its passes
        Thermometer readings at the stop point, above the air's temperature, count; passes without one are
        left out.
    prior : CoolingPrior
        m₀ and C₀, counted as 8 passes in each class.

    Returns
    -------
    CoolingPrior
        `prior` itself below ten joints with such readings: three already centre it, but its bounds are then
        too narrow (86 to 92 of 100 where they say 90; simulated).

    Raises
    ------
    ValueError
        For passes counted from below 1.

    References
    ----------
    A. P. Dempster, N. M. Laird, D. B. Rubin, J. R. Stat. Soc. B 39 (1977); from memory.

    Examples
    --------
    >>> learn([]) is DEFAULT_PRIOR
    True
    >>> read = (TemperatureReading(1, 270), TemperatureReading(5, 190))
    >>> joint = [CooledPass(number, 20.0, read) for number in (1, 2, 3)]
    >>> learn([joint] * 10).joints
    10
    """
    noise = Noise(3.0, 0.1)
    usable = [[one for one in joint if _at_stop(one, noise)] for joint in joints]
    usable = [joint for joint in usable if joint]
    if len(usable) < LEAST_JOINTS:
        return prior
    means, covariances = [], []
    for of in range(3):
        passes = [one for joint in usable for one in joint if pass_class(one.pass_number) == of]
        mean, spread = _learned(passes, prior.mean(of), prior.covariance(of), noise)
        means.append(tuple(map(float, mean)))
        covariances.append(tuple(tuple(map(float, row)) for row in spread))
    return CoolingPrior(tuple(means), tuple(covariances), len(usable))


def _learned(
    passes: Sequence[CooledPass], first_mean: Vector, first_spread: Vector, noise: Noise
) -> tuple[Vector, Vector]:
    what = [seen(_at_stop(one, noise), one.ambient_c, noise) for one in passes]
    mean, spread = first_mean, first_spread
    for _ in range(_ROUNDS):
        found = [by_readings(mean, spread, one, noise) for one in what]
        total = _PSEUDO_PASSES + len(found)
        centre = (_PSEUDO_PASSES * first_mean + sum(x for x, _ in found)) / total
        apart = first_mean - centre
        spread = _PSEUDO_PASSES * (first_spread + np.outer(apart, apart))
        spread = (spread + sum(left + np.outer(x - centre, x - centre) for x, left in found)) / total
        spread, mean = (spread + spread.T) / 2, centre
    return mean, spread


def _at_stop(one: CooledPass, noise: Noise) -> list[tuple[float, float, Place]]:
    return [
        (each.minutes, each.value_c, each.place)
        for each in one.readings
        if isinstance(each, TemperatureReading)
        and each.place == "stop"
        and is_warm(each, one.ambient_c, noise)
    ]
