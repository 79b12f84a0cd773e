"""Typed figures that look like a slip, as questions with two answers; each of them is recorded."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _

from inspections.forms.readings.sheet import Figure, Sheet
from inspections.metrology.plausibility import IN_FOR_MM, MM_FOR_IN, doubts_about, instead_of
from inspections.verdicts import LENGTHS, as_text, in_unit

# Says that every figure was looked at: a table of holes may be asked about many times.
ALL = "*"
# Between a figure and its unit no line is broken.
CLOSE = "\u00a0"


@dataclass(frozen=True)
class Doubt:
    """One figure that looks like a slip: what was typed, and what was perhaps meant.

    ``changes``: what the form's fields would hold instead. ``token``: says that this figure was looked at.
    """

    field: str
    label: str
    code: str
    typed: str
    meant: str
    changes: Mapping[str, str]

    @property
    def token(self) -> str:
        return f"{self.field}={self.typed}"

    @property
    def question(self) -> str:
        facts = {"typed": self.typed, "meant": self.meant, "place": self.label}
        return _("%(place)s: you typed %(typed)s. Did you mean %(meant)s?") % facts


def doubts_of(sheet: Sheet, data: Mapping[str, Any], confirmed: Iterable[str] = ()) -> list[Doubt]:
    """What of a form that could be read should be asked about; ``confirmed`` are tokens already answered."""
    looked_at = set(confirmed)
    if ALL in looked_at:
        return []
    unit = data.get("unit") or sheet.measuring.unit
    found = (_doubt(sheet, figure, unit) for figure in sheet.figures(data) if figure.typed)
    return [doubt for doubt in found if doubt is not None and doubt.token not in looked_at]


def _doubt(sheet: Sheet, figure: Figure, unit: str) -> Doubt | None:
    lower, upper, nominal = (
        _in(limit, sheet.measuring.unit, unit) for limit in (figure.lower, figure.upper, figure.nominal)
    )
    codes = doubts_about(figure.typed, lower, upper, nominal, figure.others, unit=unit)
    if not codes:
        return None
    code = codes[0]
    instead = instead_of(code, figure.typed, lower, upper, nominal, figure.others, unit=unit)
    if instead is None:
        return None
    other_unit = {IN_FOR_MM: "mm", MM_FOR_IN: "in"}.get(code)
    label = str(sheet.form.fields[figure.field].label)
    if other_unit and "unit" in sheet.form.fields:
        changes, meant = {"unit": other_unit}, f"{figure.typed}{CLOSE}{other_unit}"
    else:
        text = as_text(instead)
        changes, meant = {figure.field: text}, f"{text}{CLOSE}{unit}".strip()
    return Doubt(figure.field, label, code, f"{figure.typed}{CLOSE}{unit}".strip(), meant, changes)


def _in(limit: str | None, from_unit: str, to_unit: str) -> Fraction | None:
    if limit is None:
        return None
    if from_unit == to_unit or from_unit not in LENGTHS:
        return Fraction(limit)
    return in_unit(limit, from_unit, to_unit)
