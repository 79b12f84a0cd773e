"""Holes: one center, or all of a pattern in one table with the drawn center beside each."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.functional import cached_property
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.forms.numbers import NumberField
from inspections.forms.readings.points import XY
from inspections.forms.readings.rows import MOST_ROWS, Rows
from inspections.forms.readings.sheet import Figure, Sheet
from inspections.forms.readings.wrong import Wrong


class CenterSheet(Sheet):
    """``{"x": "…", "y": "…"}``: the measured center of one hole."""

    template = "center.html"

    def fields(self) -> dict[str, forms.Field]:
        return {
            "x": NumberField(label=_("x of the center"), signed=True),
            "y": NumberField(label=_("y of the center"), signed=True),
        }

    @property
    def drawn(self) -> tuple[str, str]:
        parameters = self.measuring.first.parameters
        return parameters["nominal_x"], parameters["nominal_y"]

    def read(self, data: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
        return self.only(self.with_unit({"x": data["x"], "y": data["y"]}, data))

    def initial(self, raws: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
        raw = raws[self.measuring.first.code]
        return {name: raw[name] for name in ("x", "y", "unit") if name in raw}

    def figures(self, data: Mapping[str, Any]) -> list[Figure]:
        return [
            Figure(axis, data[axis], nominal=nominal)
            for axis, nominal in zip(("x", "y"), self.drawn, strict=True)
        ]


class HolesSheet(Sheet):
    """``{"holes": [["x", "y"], …]}``: every hole of a pattern, in the order they are drawn."""

    template = "holes.html"

    @cached_property
    def drawn(self) -> list[list[str]]:
        return list(self.measuring.first.parameters.get("centers", ()))

    @cached_property
    def rows(self) -> Rows:
        count = min(len(self.drawn), MOST_ROWS)
        return Rows(XY, _("Or paste x and y of each hole, one hole a line"), "", count, gettext_lazy("Hole"))

    def fields(self) -> dict[str, forms.Field]:
        return dict(self.rows.fields())

    @property
    def table(self) -> list[tuple[list[forms.BoundField], list[str]]]:
        """The two fields of each hole, and its drawn center."""
        return [
            ([self.form[self.rows.name(column, number)] for column in XY], center)
            for number, center in enumerate(self.drawn[: self.rows.count], start=1)
        ]

    @property
    def pasted(self) -> forms.BoundField:
        return self.form[self.rows.list_name]

    def read(self, data: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
        holes = self.rows.read(data)
        if not holes:
            raise Wrong(self.rows.first_name, _("Type x and y of each hole."))
        if len(holes) != len(self.drawn):
            said = _("%(count)d holes were given; %(drawn)d are drawn. Give every hole, in the drawn order.")
            raise Wrong(self._where(data, holes), said % {"count": len(holes), "drawn": len(self.drawn)})
        return self.only(self.with_unit({"holes": holes}, data))

    def _where(self, data: Mapping[str, Any], holes: list[list[str]]) -> str:
        """The first hole without a center, or the list if it was pasted."""
        for number in range(1, self.rows.count + 1):
            name = self.rows.name(XY[0], number)
            if not data.get(name) and not (data.get(self.rows.list_name) or "").strip():
                return name
        return self.rows.list_name

    def initial(self, raws: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
        raw = raws[self.measuring.first.code]
        unit = {"unit": raw["unit"]} if "unit" in raw else {}
        return {**self.rows.initial(raw["holes"]), **unit}

    def figures(self, data: Mapping[str, Any]) -> list[Figure]:
        return [
            Figure(name, data[name], nominal=nominal)
            for number, center in enumerate(self.drawn[: self.rows.count], start=1)
            for column, nominal in zip(XY, center, strict=True)
            if data.get(name := self.rows.name(column, number))
        ]
