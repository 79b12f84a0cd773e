"""Diameters of a journal or a bore at named places, read directly or compared with a master."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.functional import cached_property
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.forms.numbers import NumberField
from inspections.forms.readings.sheet import Figure, Sheet
from inspections.forms.readings.wrong import Wrong

# Two sections, each across two directions: taper and ovality both show (common practice, no source).
PLACES = (
    gettext_lazy("outer, 12 o'clock"),
    gettext_lazy("outer, 3 o'clock"),
    gettext_lazy("inner, 12 o'clock"),
    gettext_lazy("inner, 3 o'clock"),
    gettext_lazy("middle, 12 o'clock"),
    gettext_lazy("middle, 3 o'clock"),
)
MOST_PLACES = 12
FEWEST = 2
COMPARED = "compared"


class DiametersSheet(Sheet):
    """``{"values": […]}``, or against a master ``{"differences": […]}``."""

    template = "diameters.html"

    @property
    def asks_master(self) -> bool:  # type: ignore[override]
        return self.compared

    @cached_property
    def least(self) -> int:
        return max(self.measuring.least(FEWEST), FEWEST)

    @cached_property
    def places(self) -> list[Any]:
        count = min(max(self.least, 4), MOST_PLACES)
        further = [_("place %(number)d") % {"number": n} for n in range(len(PLACES) + 1, count + 1)]
        return [*PLACES[:count], *further]

    @cached_property
    def names(self) -> list[str]:
        return [f"across_{number}" for number in range(1, len(self.places) + 1)]

    def fields(self) -> dict[str, forms.Field]:
        return {
            name: NumberField(label=str(place).capitalize(), signed=self.compared, required=False)
            for name, place in zip(self.names, self.places, strict=True)
        }

    @property
    def compared(self) -> bool:
        """Whether differences from a master are typed instead of diameters."""
        return self.way == COMPARED

    @classmethod
    def way_of(cls, raws: Mapping[str, Mapping[str, Any]]) -> str:
        return COMPARED if any("differences" in raw for raw in raws.values()) else ""

    @property
    def rows(self) -> list[forms.BoundField]:
        return [self.form[name] for name in self.names]

    def read(self, data: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
        typed = [data[name] for name in self.names if data.get(name)]
        if len(typed) < self.least:
            said = _("%(count)d places were read; at least %(least)d are needed.")
            empty = next((name for name in self.names if not data.get(name)), self.names[0])
            raise Wrong(empty, said % {"count": len(typed), "least": self.least})
        name = "differences" if self.compared else "values"
        return self.only(self.with_unit({name: typed}, data))

    def initial(self, raws: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
        raw = raws[self.measuring.first.code]
        typed = raw.get("differences") or raw.get("values") or []
        made: dict[str, Any] = dict(zip(self.names, typed, strict=False))
        return {**made, **({"unit": raw["unit"]} if "unit" in raw else {})}

    def figures(self, data: Mapping[str, Any]) -> list[Figure]:
        if self.compared:
            return []
        return [Figure(name, data[name], *self.limits()) for name in self.names if data.get(name)]
