"""Units that gauges and thermometers send with their figures, such as ``0,05 mm``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from inspections.forms.numbers import Typed, unit_said

if TYPE_CHECKING:
    from inspections.forms.readings.form import ReadingForm

WARM = ("F", "C")
# The fields of temperatures, each with the field that says their unit.
TEMPERATURES = {"temperature": "temperature_unit", "air": "temperature_unit"}
WARMTH = "warmth"


def taken(data: dict[str, Any], form: ReadingForm) -> dict[str, str]:
    """Put the units that were sent into ``data``; what does not fit, by field."""
    wrong = _temperatures(data)
    typed = {
        name: number for name in form.raw_fields if isinstance(number := data.get(name), Typed) and number
    }
    warmth = [name for name in typed if name.startswith(WARMTH)]
    lengths = {name: number for name, number in typed.items() if name not in warmth}
    if not any(number.unit for number in lengths.values()):
        return wrong
    chosen = data.get("unit") or form.measuring.unit
    try:
        unit = unit_said(lengths.values(), chosen)
    except ValidationError as error:
        first = next(name for name, number in lengths.items() if number.unit)
        return {**wrong, first: str(error.message)}
    if "unit" in form.fields:
        data["unit"] = unit
    return wrong


def _temperatures(data: dict[str, Any]) -> dict[str, str]:
    """A thermometer that says °C is believed, whatever unit stands beside its field."""
    said = {
        name: number.unit
        for name in TEMPERATURES
        if isinstance(number := data.get(name), Typed) and number.unit
    }
    wrong = {
        name: _("%(unit)s is no unit of a temperature.") % {"unit": unit}
        for name, unit in said.items()
        if unit not in WARM
    }
    if wrong or not said:
        return wrong
    silent = [name for name in TEMPERATURES if data.get(name) and name not in said]
    if len(set(said.values())) > 1 or (silent and data.get("temperature_unit") not in said.values()):
        name = next(iter(said))
        return {name: _("Part and air are in two units. Say both in °F or both in °C.")}
    data["temperature_unit"] = next(iter(said.values()))
    return {}
