"""The loss of pressure of a closed housing over a stated time, with the temperature taken out."""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from inspections import metrology
from inspections.metrology.numbers import exact
from inspections.verdicts.asked import Asked, Judged
from inspections.verdicts.engine_2 import doubt
from inspections.verdicts.engine_2 import raw as reading
from inspections.verdicts.engine_2.decided import computed
from inspections.verdicts.typed import need, significant

# Pa in one pound-force per square inch, by the definitions of pound, inch and standard gravity.
PSI = Fraction("0.45359237") * Fraction("9.80665") / Fraction("0.0254") ** 2
PASCALS = {"psi": PSI, "kPa": Fraction(1000)}
AIR_PRESSURE = "101325"  # Pa, where nobody has read the air's
KELVIN = Fraction("273.15")
SHOP_WARM = Fraction(20) + KELVIN
# Half width of what the air inside may have warmed or cooled if nobody has read it, °C: 1 °F either way.
DRIFT = 5 / 9


def pressure_loss(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"minutes": […], "pressures": […], "temperatures": […]?, "temperature_unit"?, "air_pressure"?}``.

    Pressures are above the air's, in psi. The loss is that of the least-squares line through what the
    pressures would have been at the first temperature.
    """
    need(
        raw,
        "minutes",
        "pressures",
        optional=["temperatures", "temperature_unit", "air_pressure", "unit"],
    )
    to_pa = PASCALS.get(raw.get("unit", asked.unit))
    if to_pa is None or asked.unit not in PASCALS:
        raise ValueError("A pressure is given in psi or kPa.")
    minutes = reading.plain(raw, "minutes", 2)
    shown = [
        doubt.true_figure(asked, value * to_pa / PASCALS[asked.unit])
        for value in reading.plain(raw, "pressures", 2)
    ]
    reading.same_length(minutes=minutes, pressures=shown)
    if any(value < 0 for value in shown):
        raise ValueError("A pressure above that of the air is not below zero.")
    kelvins = _temperatures(raw, len(minutes))
    air = _air_pressure(raw, to_pa)
    over = exact(asked.parameters.get("over_minutes", "5"), "The time of the test")
    volume = exact(asked.parameters.get("volume", "18"), "The volume") / 1000
    found = metrology.leak_rate(
        [value * PASCALS[asked.unit] + air for value in shown],
        [SHOP_WARM] * len(minutes) if kelvins is None else kelvins,
        [minute * 60 for minute in minutes],
        volume,
    )
    seconds, unit_pa = float(over * 60), float(PASCALS[asked.unit])
    loss = found.rate * seconds / float(volume) / unit_pa
    lasted = float(minutes[-1] - minutes[0])
    parts = doubt.gauge(asked, math.sqrt(2) * float(over) / lasted if lasted else 1.0)
    if kelvins is None:
        drift = (float(shown[0]) + float(air) / unit_pa) * DRIFT / float(SHOP_WARM)
        parts += doubt.within(drift * float(over) / lasted, "temperature of the air inside")
    flow = metrology.standard_flow(found.rate, KELVIN)
    detail = {
        "standard_cm3_min": significant(flow),
        "detectable": None
        if found.detectable is None
        else significant(found.detectable * seconds / float(volume) / unit_pa),
        "steady": found.steady,
        "readings": len(minutes),
        "over_minutes": str(asked.parameters.get("over_minutes", "5")),
        "temperature_known": kelvins is not None,
    }
    return computed(asked, loss, parts, detail)


def _temperatures(raw: Mapping[str, Any], count: int) -> list[Fraction] | None:
    if not raw.get("temperatures"):
        return None
    found = reading.plain(raw, "temperatures")
    if len(found) != count:
        raise ValueError(f"{len(found)} temperatures were given for {count} pressures.")
    match raw.get("temperature_unit"):
        case "F":
            found = [(value - 32) * Fraction(5, 9) for value in found]
        case "C":
            pass
        case _:
            raise ValueError("Say whether the temperatures are °F or °C.")
    return [value + KELVIN for value in found]


def _air_pressure(raw: Mapping[str, Any], to_pa: Fraction) -> Fraction:
    if not raw.get("air_pressure"):
        return Fraction(AIR_PRESSURE)
    return exact(raw["air_pressure"], "The air's pressure") * to_pa
