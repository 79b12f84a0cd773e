"""One figure: a size, a distance, an angle."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from inspections.forms.numbers import NumberField
from inspections.forms.readings.sheet import Figure, Sheet


class FigureSheet(Sheet):
    """``{"value": "2.5012", "unit": "in"}``"""

    template = "figure.html"

    def fields(self) -> dict[str, forms.Field]:
        lower = self.measuring.due(self.measuring.first).lower
        may_be_negative = lower is not None and Decimal(lower) <= 0
        return {"value": NumberField(label=_("Reading"), signed=may_be_negative)}

    def read(self, data: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
        return self.only(self.with_unit({"value": data["value"]}, data))

    def initial(self, raws: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
        raw = raws[self.measuring.first.code]
        return {"value": raw["value"], **({"unit": raw["unit"]} if "unit" in raw else {})}

    def figures(self, data: Mapping[str, Any]) -> list[Figure]:
        return [Figure("value", data["value"], *self.limits())]
