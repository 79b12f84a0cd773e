"""What a form holds that corrects readings which were recorded."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from inspections.forms.readings.kinds import sheet_class_of
from inspections.measuring import Measuring


def _raws(measuring: Measuring) -> Mapping[str, Mapping[str, Any]]:
    return {c.code: measuring.replaces[c.pk].raw for c in measuring.characteristics}


def way_of(measuring: Measuring) -> str:
    """In which way the readings that are corrected had been entered."""
    return sheet_class_of(measuring).way_of(_raws(measuring))


def initial_of(measuring: Measuring) -> dict[str, Any]:
    """What was typed in them."""
    reading = measuring.replaces[measuring.first.pk]
    setup = dict(reading.setup)
    air = setup.pop("air", None) or {}
    sheet = sheet_class_of(measuring)(measuring, way=way_of(measuring))
    return {
        **setup,
        "gauge": reading.gauge.code if reading.gauge else "",
        "temperature": reading.temperature,
        "temperature_unit": reading.temperature_unit or air.get("unit") or "F",
        "air": air.get("value", ""),
        **sheet.initial(_raws(measuring)),
    }
