"""Gauges and their checks."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from inspections.forms.keyed import KeyedForm
from inspections.forms.numbers import NumberField

UNITS = [("in", _("in")), ("mm", _("mm")), ("°", _("°")), ("psi", _("psi")), ("°F", _("°F")), ("h", _("h"))]


def _day(label: Any, **kwargs: Any) -> forms.DateField:
    return forms.DateField(
        label=label,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "invalid": _("Write the day as year-month-day, such as 2031-03-09."),
            "required": _("Say on which day."),
        },
        **kwargs,
    )


class GaugeForm(KeyedForm):
    """A gauge that comes on file."""

    code = forms.CharField(
        label=_("Code"),
        max_length=20,
        help_text=_("As it stands on the gauge, and in the code that is scanned."),
        error_messages={"required": _("Give it a code.")},
        widget=forms.TextInput(attrs={"class": "input-code", "autocomplete": "off", "autofocus": True}),
    )
    name = forms.CharField(
        label=_("Name"), max_length=80, error_messages={"required": _("Say what it is called.")}
    )
    kind = forms.CharField(
        label=_("What kind of gauge"), max_length=40, required=False, help_text=_("Such as: micrometer.")
    )
    unit = forms.ChoiceField(label=_("Unit"), choices=UNITS)
    uncertainty = NumberField(
        label=_("Uncertainty"),
        required=False,
        help_text=_(
            "Expanded, k = 2, in the gauge's unit, from its last check. Not known: leave it empty; "
            "it is taken as zero."
        ),
    )
    calibration_due = _day(
        _("Next check due"), required=False, help_text=_("Empty: it is not checked by date.")
    )

    def inputs(self) -> dict[str, Any]:
        """What `add_gauge` takes."""
        data = self.cleaned_data
        due = data["calibration_due"]
        return {
            **{name: data[name] for name in ("code", "name", "kind", "unit")},
            "uncertainty": data["uncertainty"] or "0",
            "calibration_due": due.isoformat() if due else None,
        }


class CalibrationForm(KeyedForm):
    """A check of a gauge against something better."""

    done_on = _day(_("Checked on"))
    due_on = _day(_("Next check due"))
    uncertainty = NumberField(
        label=_("Uncertainty found"),
        help_text=_("Expanded, k = 2, in the gauge's unit."),
        error_messages={"required": _("Say which uncertainty the check found; zero if none was worked out.")},
    )
    reference = forms.CharField(
        label=_("Against what"),
        max_length=80,
        required=False,
        help_text=_("The master, or the number of the outside certificate."),
    )

    def inputs(self) -> dict[str, Any]:
        """What `record_calibration` takes, besides the gauge."""
        data = self.cleaned_data
        return {
            "done_on": data["done_on"].isoformat(),
            "due_on": data["due_on"].isoformat(),
            "uncertainty": data["uncertainty"],
            "reference": data["reference"],
        }
