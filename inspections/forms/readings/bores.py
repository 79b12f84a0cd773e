"""Bores along one end, through which the ordered shaft must pass."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.functional import cached_property
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.forms.readings.rows import Column, Rows
from inspections.forms.readings.table import TableSheet
from inspections.forms.readings.wrong import Wrong

COLUMNS = (
    Column("z", gettext_lazy("station")),
    Column("x", gettext_lazy("off forward")),
    Column("y", gettext_lazy("off up")),
    Column("bore", gettext_lazy("bore"), signed=False),
)
BORES_OFFERED = 4


class BoresSheet(TableSheet):
    """``{"z": […], "x": […], "y": […], "bore": […]}``: where each bore's center is, and its diameter."""

    template = "table.html"
    columns = COLUMNS

    @cached_property
    def rows(self) -> Rows:
        label = _("Or paste the bores, one a line: station, off forward, off up, bore")
        return Rows(COLUMNS, label, "", BORES_OFFERED, gettext_lazy("Bore"))

    @property
    def legend(self) -> str:
        return _("Each bore along this end: how far its center is off the axis, and its diameter")

    @property
    def hint(self) -> str:
        shaft = self.measuring.first.parameters.get("shaft_diameter")
        return _("The shaft that goes through is %(size)s across.") % {"size": shaft} if shaft else ""

    def fields(self) -> dict[str, forms.Field]:
        return dict(self.rows.fields())

    def read(self, data: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
        rows = self.rows.read(data)
        if not rows:
            raise Wrong(self.rows.first_name, _("Type where each bore is and its diameter."))
        raw: dict[str, Any] = {c.name: [row[i] for row in rows] for i, c in enumerate(COLUMNS)}
        return {c.code: self.with_unit(raw, data) for c in self.measuring.characteristics}

    def initial(self, raws: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
        raw = next(iter(raws.values()))
        rows = [list(row) for row in zip(*(raw[column.name] for column in COLUMNS), strict=True)]
        return {**self.rows.initial(rows), **({"unit": raw["unit"]} if "unit" in raw else {})}
