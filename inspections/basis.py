"""The figures a reading is judged with besides what was typed: frozen with it, so it can be judged again."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from inspections.models import Characteristic, Gauge
from inspections.verdicts import INCH_IN_MM, LENGTHS, as_text


def basis_of(
    characteristic: Characteristic,
    gauge: Gauge | None,
    equipment: Mapping[str, Gauge],
    setup: Mapping[str, Any],
    temperature: Mapping[str, str] | None,
) -> dict[str, Any]:
    """The basis of a reading, as plain JSON.

    Keys: ``gauge_uncertainty`` (expanded, k = 2, in the unit of the characteristic; where that is no length,
    in the gauge's own, ``gauge_unit``), ``offset`` and ``scale`` (what the gauge reads wrong, as far as that
    is known), ``part_c`` and ``air_c`` (°C as text or None),
    ``settled``, ``part_offset`` and ``thermometer_uncertainty`` (°C), ``master`` and ``bar`` (their figures,
    or None).
    """
    unit = characteristic.unit
    return {
        "gauge_uncertainty": in_unit_of(gauge, gauge.uncertainty, unit) if gauge else "0",
        "gauge_unit": gauge.unit if gauge else "",
        "offset": "0",
        "scale": "0",
        "part_c": celsius(temperature),
        "air_c": celsius(setup.get("air")),
        "settled": bool(setup.get("settled")),
        "part_offset": "0",
        "thermometer_uncertainty": _thermometer(equipment.get("thermometer")),
        "master": _master(equipment.get("master"), unit),
        "bar": _bar(equipment.get("bar")),
    }


def in_unit_of(gauge: Gauge, figure: str, unit: str) -> str:
    """A figure in a gauge's unit, in the unit of what it measures; as it is where that is no other length."""
    value = Fraction(figure)
    if {gauge.unit, unit} <= LENGTHS and gauge.unit != unit:
        return as_text(value / INCH_IN_MM if gauge.unit == "mm" else value * INCH_IN_MM)
    return figure


def celsius(temperature: Mapping[str, str] | None) -> str | None:
    """``{"value": "68", "unit": "F"}`` in °C, as text."""
    if not temperature:
        return None
    value = Fraction(Decimal(str(temperature["value"])))
    return as_text((value - 32) * Fraction(5, 9) if temperature["unit"] == "F" else value)


def _thermometer(thermometer: Gauge | None) -> str:
    """Its uncertainty in °C; one that nobody named counts nothing here: the engine has its own doubt."""
    if thermometer is None:
        return "0"
    value = Fraction(thermometer.uncertainty)
    return as_text(value * Fraction(5, 9) if thermometer.unit in {"F", "°F"} else value)


def _master(master: Gauge | None, unit: str) -> dict[str, str] | None:
    if master is None:
        return None
    return {
        "code": master.code,
        "size": in_unit_of(master, str(master.constants["size"]), unit),
        "uncertainty": in_unit_of(master, master.uncertainty, unit),
    }


def _bar(bar: Gauge | None) -> dict[str, Any] | None:
    return None if bar is None else {"code": bar.code, **bar.constants}
