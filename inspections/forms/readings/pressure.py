"""A pressure log: how the pressure in the closed housing went, with how warm it was."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.functional import cached_property
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.forms.numbers import NumberField
from inspections.forms.readings.rows import Column, Rows
from inspections.forms.readings.table import TableSheet
from inspections.forms.readings.wrong import Wrong

COLUMNS = (
    Column("minutes", gettext_lazy("minutes"), signed=False),
    Column("pressure", gettext_lazy("pressure, psi"), signed=False),
    Column("warmth", gettext_lazy("temperature"), optional=True),
)
TIMES_OFFERED = 6


class PressureSheet(TableSheet):
    """``{"minutes": […], "pressures": […], "temperatures": […], "air_pressure": "14.7", …}``"""

    template = "pressure.html"
    columns = COLUMNS

    @cached_property
    def rows(self) -> Rows:
        label = _("Or paste the log, one time a line: minutes, pressure, temperature")
        return Rows(COLUMNS, label, "", TIMES_OFFERED, gettext_lazy("Time"))

    def fields(self) -> dict[str, forms.Field]:
        made = dict(self.rows.fields())
        made["warmth_unit"] = forms.ChoiceField(
            label=_("Temperatures in"), choices=[("F", "°F"), ("C", "°C")], required=False
        )
        made["air_pressure"] = NumberField(
            label=_("Pressure of the air outside, psi"),
            required=False,
            help_text=_("14.7 is taken if it stays empty."),
        )
        return made

    def read(self, data: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
        rows = self.rows.read(data)
        if len(rows) < 2:
            raise Wrong(self.rows.first_name, _("Type minutes and pressure at the start and at the end."))
        raw: dict[str, Any] = {
            "minutes": [row[0] for row in rows],
            "pressures": [row[1] for row in rows],
            "unit": "psi",
        }
        if len(rows[0]) == len(COLUMNS):
            raw["temperatures"] = [row[2] for row in rows]
            raw["temperature_unit"] = data.get("warmth_unit") or "F"
        if data.get("air_pressure"):
            raw["air_pressure"] = data["air_pressure"]
        return self.only(raw)

    def initial(self, raws: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
        raw = raws[self.measuring.first.code]
        lists = [raw[name] for name in ("minutes", "pressures", "temperatures") if name in raw]
        made: dict[str, Any] = self.rows.initial([list(row) for row in zip(*lists, strict=True)])
        if "temperature_unit" in raw:
            made["warmth_unit"] = raw["temperature_unit"]
        if "air_pressure" in raw:
            made["air_pressure"] = raw["air_pressure"]
        return made
