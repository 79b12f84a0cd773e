"""Lengths brought to 20 °C, and the doubt that is left.

Part and scale are steel, 11.5e-6 per °C, each known to 1e-6. What counts is the difference between them: a
steel scale as warm as the part reads right (ISO 1).
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import NamedTuple

from inspections.metrology import Contribution
from inspections.metrology.numbers import exact
from inspections.verdicts.asked import Asked
from inspections.verdicts.typed import LENGTHS

STEEL = Fraction(115, 10_000_000)
DOUBT_OF_STEEL = 1e-6
REFERENCE = 20
# Half widths in °C of what nobody has measured.
SETTLED, SCALE_UNKNOWN, NOTHING_KNOWN, THERMOMETER = 1.0, 5.0, 10.0, 1.0


class Referred(NamedTuple):
    """A length at 20 °C, and what its temperature leaves in doubt."""

    length: Fraction
    parts: list[Contribution]


def at_20(asked: Asked, length: Fraction, against_master: bool = False) -> Referred:
    """A length as measured, brought to 20 °C as far as temperatures are known.

    - settled: part and scale are within 1 °C of each other; nothing is corrected.
    - part and air known: L (1 + a (air - 20)) / (1 + a (part - 20)), the scale being as warm as the air.
    - only the part known: the scale is at 20 °C within 5 °C.
    - nothing known: nothing is corrected, and part and scale may differ by 10 °C.

    ``against_master``: a steel master takes the place of the scale; in a settled shop it is as warm as the
    part, and nothing is left of the temperature.
    """
    if asked.unit not in LENGTHS:
        return Referred(length, [])
    per_degree = abs(float(length * STEEL))
    part, air = _known(asked, "part_c", "part_offset"), _known(asked, "air_c")
    if asked.basis.get("settled"):
        if against_master:
            return Referred(length, [])
        off = 0.0 if part is None else abs(float(part) - REFERENCE)
        parts = [Contribution(per_degree * SETTLED / math.sqrt(3), name="temperature")]
        if off:
            doubt = abs(float(length)) * off * DOUBT_OF_STEEL * math.sqrt(2)
            parts.append(Contribution(doubt, name="expansion"))
        return Referred(length, parts)
    if part is None:
        return Referred(length, [Contribution(per_degree * NOTHING_KNOWN / math.sqrt(3), name="temperature")])
    scale = Fraction(REFERENCE) if air is None else air
    referred = length * (1 + STEEL * (scale - REFERENCE)) / (1 + STEEL * (part - REFERENCE))
    of_part = _of_thermometer(asked)
    of_scale = SCALE_UNKNOWN / math.sqrt(3) if air is None else of_part
    off = math.hypot(float(part) - REFERENCE, float(scale) - REFERENCE)
    return Referred(
        referred,
        [
            Contribution(per_degree * math.hypot(of_part, of_scale), name="temperature"),
            Contribution(abs(float(length)) * off * DOUBT_OF_STEEL, name="expansion"),
        ],
    )


def _known(asked: Asked, name: str, offset: str = "") -> Fraction | None:
    value = asked.basis.get(name)
    if value is None:
        return None
    shown = exact(str(value), "The temperature")
    return shown - exact(str(asked.basis.get(offset) or "0"), "The thermometer's error") if offset else shown


def _of_thermometer(asked: Asked) -> float:
    """Standard uncertainty of a temperature, °C."""
    stated = float(exact(str(asked.basis.get("thermometer_uncertainty") or "0"), "The thermometer"))
    return stated / 2 if stated else THERMOMETER / math.sqrt(3)
