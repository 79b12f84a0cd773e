"""Circular runout of one section, and what its cause is as far as the set-up lets it be seen."""

import cmath
import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Literal, get_args

import numpy as np

from inspections.metrology.harmonics import resolved, wave_at, waves
from inspections.metrology.numbers import FloatArray, Number
from inspections.metrology.readings import reading, reading_list, same_length
from inspections.metrology.v_block import BLIND, checked_v_angle, support_lift, v_block_gain

Section = Literal["turning", "in_v_block", "rolled_elsewhere"]

ECCENTRIC, OVAL = 1, 2


@dataclass(frozen=True)
class CircularRunout:
    """Runout of one section. What the set-up cannot see is None, never a guess.

    Attributes
    ----------
    fim : Fraction
        Full indicator movement: the greatest reading minus the least, exactly as read.
    eccentricity : float or None
        Distance of the section's centre from the axis it turns about.
    high_angle : float or None
        Where the centre is off, degrees in [0, 360), counted as the angles were handed in.
    ovality : float or None
        Greatest minus least diameter of the two-lobed part of the form: four times its amplitude.
    residual : float or None
        Greatest minus least of what eccentricity and ovality, as far as they are given, leave of the
        readings. In a V-block each order of lobes stands in it with its own gain.
    """

    fim: Fraction
    eccentricity: float | None
    high_angle: float | None
    ovality: float | None
    residual: float | None


def circular_runout(
    readings: Iterable[Number],
    angles: Iterable[Number] | None = None,
    section: Section = "turning",
    v_angle: Number = 90,
) -> CircularRunout:
    """Runout of one section from indicator readings over a full turn.

    The readings are fitted by m(a) = m0 + c1 cos(a - p1) + c2 cos 2(a - p2). Divided by the gains of the
    set-up, eccentricity = c1 / g1 and ovality = 4 c2 / g2:

    - turning: about the axis itself (centres, bearings): g1 = g2 = 1.
    - in_v_block: the section lies in the V-block under the indicator, which stands on the bisector:
      gn = 1 + cos(n (90° + v/2)) / sin(v/2), so g1 = 0: no eccentricity can be seen, at any angle.
    - rolled_elsewhere: V-blocks at other sections: g1 = 1 (those sections have no first wave about their
      own centres). Their ovality lifts the axis and mixes with that of this section, unless the lift is
      zero, as at 90°: then g2 = 1, else no ovality can be told.

    To first order in eccentricity over radius: a round section off by e adds a second wave of e²/(4R).

    Parameters
    ----------
    readings : list of Number, length n >= 2
        Positive away from the axis. Two are enough for the runout (greatest and least seen); three, with
        no gap above 180°, for the eccentricity; five, with no gap above 90°, for the ovality.
    angles : list of Number, length n, optional
        Degrees, ascending, within one turn. Default: even steps, the first reading not repeated at its end.
    section : {"turning", "in_v_block", "rolled_elsewhere"}
    v_angle : Number, 0 < v <= 180
        Angle of the V-block, degrees.

    Raises
    ------
    ValueError
        Too few or too many readings, lists of different length, angles doubled, out of order or over more
        than one turn, an unknown section, a bad angle of the V-block, a reading that is no number.

    References
    ----------
    ISO 1101:2017, 17.15 (circular run-out); Whitehouse, Handbook of Surface and Nanometrology (harmonics of
    a section); `v_block_gain` for the gains.

    Examples
    --------
    >>> found = circular_runout(["0.003", "0.001", "-0.003", "-0.001"])
    >>> found.fim
    Fraction(3, 500)
    >>> round(found.eccentricity, 6), round(found.high_angle, 2), found.ovality
    (0.003162, 18.43, None)
    """
    exact_readings = reading_list(readings, "reading", at_least=2)
    where = _angles(angles, len(exact_readings))
    gains = _gains(section, v_angle)
    fim = max(exact_readings) - min(exact_readings)

    # About the first reading: an indicator far from its zero must not cost digits.
    values = np.array([reading(value - exact_readings[0], "reading") for value in exact_readings])
    told = resolved(where, OVAL)
    found = waves(values, where, told)
    seen = {n: found[n] / gain for n in range(1, told + 1) if (gain := gains[n]) is not None}
    offset, oval = seen.get(ECCENTRIC), seen.get(OVAL)
    return CircularRunout(
        fim,
        None if offset is None else abs(offset),
        _direction(offset, float(fim)),
        None if oval is None else 4 * abs(oval),
        _residual(values, where, {n: found[n] for n in seen}, told),
    )


def _angles(angles: Iterable[Number] | None, count: int) -> FloatArray:
    if angles is None:
        return np.asarray(np.arange(count) * (360.0 / count), dtype=np.float64)
    degrees = reading_list(angles, "angle")
    same_length("runout", readings=count, angles=len(degrees))
    for place, (before, after) in enumerate(pairwise(degrees), start=2):
        if after <= before:
            raise ValueError(
                f"angle {place}: {float(after):g}° does not come after {float(before):g}°; "
                "give ascending angles, each once."
            )
    if degrees[-1] - degrees[0] >= 360:
        raise ValueError("angle: the angles span more than one turn; leave out the repeated reading at 360°.")
    return np.array([reading(angle, "angle") for angle in degrees])


def _gains(section: str, v_angle: Number) -> dict[int, float | None]:
    checked_v_angle(v_angle)
    match section:
        case "turning":
            return {ECCENTRIC: 1.0, OVAL: 1.0}
        case "in_v_block":
            oval = v_block_gain(OVAL, v_angle)
            return {ECCENTRIC: None, OVAL: oval if abs(oval) > BLIND else None}
        case "rolled_elsewhere":
            undisturbed = abs(support_lift(OVAL, v_angle)) <= BLIND
            return {ECCENTRIC: 1.0, OVAL: 1.0 if undisturbed else None}
    raise ValueError(f"section: {section!r} is unknown; choose one of {', '.join(get_args(Section))}.")


def _direction(offset: complex | None, scale: float) -> float | None:
    """Where the centre is off; a centre on the axis but for rounding has no direction."""
    if offset is None or abs(offset) <= 1e-12 * scale:
        return None
    return math.degrees(cmath.phase(offset)) % 360.0 % 360.0


def _residual(
    values: FloatArray, where: FloatArray, explained: dict[int, complex], told: int
) -> float | None:
    # As many unknowns as readings leave nothing over, whatever the form is.
    if not explained or len(values) <= 2 * told + 1:
        return None
    rest = values - sum(wave_at(wave, n, where) for n, wave in explained.items())
    return float(np.ptp(rest))
