"""Readings from an alignment bar along both ends, from which camber and toe of each come."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.functional import cached_property
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.forms.readings.rows import Column, Rows
from inspections.forms.readings.sheet import Sheet
from inspections.forms.readings.wrong import Wrong

STATION = Column("z", gettext_lazy("station"))
FORWARD = Column("x", gettext_lazy("forward"))
UP = Column("y", gettext_lazy("up"))
ROLLED_FORWARD = Column("rolled_x", gettext_lazy("forward, rolled"), optional=True)
ROLLED_UP = Column("rolled_y", gettext_lazy("up, rolled"), optional=True)
STATIONS_OFFERED = 6
ROLLED = "rolled"


class BarSheet(Sheet):
    """``{"z": […], "x": […], "y": […]}``, with ``rolled_x`` and ``rolled_y`` read after a roll of 180°.

    Stations left of the center are negative; the same list serves camber and toe of both ends.
    """

    template = "bar.html"
    supports = ("bar", "v_blocks")
    asks_bar = True

    @property
    def rolled(self) -> bool:
        """Whether it was rolled and read once more: the form then asks for both."""
        return self.way == ROLLED

    @classmethod
    def way_of(cls, raws: Mapping[str, Mapping[str, Any]]) -> str:
        return ROLLED if any("rolled_x" in raw for raw in raws.values()) else ""

    @cached_property
    def rows(self) -> Rows:
        columns: tuple[Column, ...] = (STATION, FORWARD, UP)
        if self.rolled:
            columns += (ROLLED_FORWARD, ROLLED_UP)
        label = _("Or paste the readings, one station a line: %(columns)s") % {
            "columns": ", ".join(str(column.label) for column in columns)
        }
        return Rows(columns, label, "", STATIONS_OFFERED, gettext_lazy("Station"))

    @property
    def hint(self) -> str:
        return _("Stations left of the center are minus. Away from you is forward.")

    def fields(self) -> dict[str, forms.Field]:
        return dict(self.rows.fields())

    @property
    def table(self) -> list[list[forms.BoundField]]:
        return [
            [self.form[self.rows.name(column, number)] for column in self.rows.columns]
            for number in range(1, self.rows.count + 1)
        ]

    @property
    def pasted(self) -> forms.BoundField:
        return self.form[self.rows.list_name]

    def read(self, data: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
        rows = self.rows.read(data)
        if not rows:
            raise Wrong(self.rows.first_name, _("Type station, forward and up, two stations or more an end."))
        names = [column.name for column in self.rows.columns][: len(rows[0])]
        raw: dict[str, Any] = {name: [row[i] for row in rows] for i, name in enumerate(names)}
        return {c.code: self.with_unit(raw, data) for c in self.measuring.characteristics}

    def initial(self, raws: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
        raw = next(iter(raws.values()))
        names = [column.name for column in self.rows.columns if column.name in raw]
        rows = [list(row) for row in zip(*(raw[name] for name in names), strict=True)]
        return {**self.rows.initial(rows), **({"unit": raw["unit"]} if "unit" in raw else {})}
