"""The loss of pressure of a closed housing over a stated time, with the temperature taken out."""

from __future__ import annotations

import dataclasses
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
from inspections.verdicts.typed import as_text, need, significant

# Pa in one pound-force per square inch, by the definitions of pound, inch and standard gravity.
PSI = Fraction("0.45359237") * Fraction("9.80665") / Fraction("0.0254") ** 2
PASCALS = {"psi": PSI, "kPa": Fraction(1000)}
AIR_PRESSURE = "101325"  # Pa, where nobody has read the air's
KELVIN = Fraction("273.15")
SHOP_WARM = Fraction(20) + KELVIN
# Half width of what the air inside may have warmed or cooled if nobody has read it, °C: 1 °F either way.
DRIFT = 5 / 9
# Half width of a temperature that was read, against others read by the same thermometer, °C: half of 1 °F.
READ = 5 / 18
# Liters. The loss of pressure does not depend on it, only the flow does.
VOLUME = "18"
STANDARD = Fraction("293.15")  # K


def pressure_loss(asked: Asked, raw: Mapping[str, Any]) -> Judged:
    """``{"minutes": […], "pressures": […], "temperatures": […]?, "temperature_unit"?, "air_pressure"?}``.

    Pressures are above the air's, in psi or kPa. The loss is that of the least-squares line through what the
    pressures would have been at the first temperature. ``rate`` and ``detectable`` are the same as a flow, in
    cubic centimeters a minute at 20 °C and 101,325 Pa, if the plan names the volume in liters.
    """
    need(
        raw,
        "minutes",
        "pressures",
        optional=["temperatures", "temperature_unit", "air_pressure", "unit"],
    )
    typed = raw.get("unit", asked.unit)
    if typed not in PASCALS or asked.unit not in PASCALS:
        raise ValueError("A pressure is given in psi or kPa.")
    to_pa = PASCALS[typed]
    limits, asked = asked, _gauge_in(asked)
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
    volume = exact(asked.parameters.get("volume", VOLUME), "The volume") / 1000
    if over <= 0:
        raise ValueError("The time over which the loss is stated must be above zero.")
    found = metrology.leak_rate(
        [value * PASCALS[asked.unit] + air for value in shown],
        [SHOP_WARM] * len(minutes) if kelvins is None else kelvins,
        [minute * 60 for minute in minutes],
        volume,
    )
    seconds, unit_pa = float(over * 60), float(PASCALS[asked.unit])
    loss = found.rate * seconds / float(volume) / unit_pa
    lasted = float(minutes[-1] - minutes[0])
    stretch = float(over) / lasted
    parts = doubt.gauge(asked, math.sqrt(2) * stretch)
    if found.standard_uncertainty:
        scatter = found.standard_uncertainty * seconds / float(volume) / unit_pa
        parts.append(metrology.Contribution(scatter, name="scatter"))
    warmth = DRIFT if kelvins is None else math.sqrt(2) * READ
    swing = (float(shown[0]) + float(air) / unit_pa) * warmth / float(SHOP_WARM)
    parts += doubt.within(swing * stretch, "temperature")
    known = "volume" in asked.parameters

    def flow(rate: float | None) -> str | None:
        return significant(metrology.standard_flow(rate, STANDARD)) if known and rate is not None else None

    detail = {
        "rate": flow(found.rate),
        "detectable": flow(found.detectable),
        "steady": found.steady,
        "readings": len(minutes),
        "over_minutes": str(asked.parameters.get("over_minutes", "5")),
        "temperature_known": kelvins is not None,
    }
    return computed(limits, loss, parts, detail)


def _temperatures(raw: Mapping[str, Any], count: int) -> list[Fraction] | None:
    if not raw.get("temperatures"):
        if "temperatures" in raw and not isinstance(raw["temperatures"], list):
            raise ValueError("Temperatures are a list, one for each pressure.")
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
    return reading.number(raw["air_pressure"], "The air's pressure") * to_pa


def _gauge_in(asked: Asked) -> Asked:
    """The figures of the gauge in the unit of the characteristic."""
    theirs = asked.basis.get("gauge_unit")
    if theirs not in PASCALS or theirs == asked.unit:
        return asked
    turned = {
        name: as_text(exact(asked.basis.get(name) or "0", name) * PASCALS[theirs] / PASCALS[asked.unit])
        for name in ("gauge_uncertainty", "offset")
    }
    return dataclasses.replace(asked, basis={**asked.basis, **turned})
