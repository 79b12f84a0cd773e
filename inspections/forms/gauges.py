"""Gauges and other equipment: putting one on file, changing it, its checks, what was found wrong."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.forms.keyed import KeyedForm, words_field
from inspections.forms.numbers import NumberField, parse_rows
from inspections.gauge_figures import DESCRIPTION, PAIRS
from inspections.metrology.equipment import KINDS, UNITS, kind_of
from inspections.models import Gauge
from inspections.verdicts import LENGTHS

CONSTANT_LABELS = {
    "size": gettext_lazy("Size of the master"),
    "diameter": gettext_lazy("Diameter of the bar"),
    "bore": gettext_lazy("Bore of the bar, if it is a tube"),
    "supports": gettext_lazy("Where its two supports are"),
    "ends": gettext_lazy("Where its two ends are"),
    "straightness": gettext_lazy("How far it is from straight"),
    "v_angle": gettext_lazy("Angle of the V, in degrees"),
}


def kind_choices() -> list[tuple[str, Any]]:
    """The kinds of equipment, in the order of their table."""
    return [(kind.code, _(kind.name)) for kind in KINDS.values()]


def unit_choices() -> list[tuple[str, str]]:
    """Blank, and every unit that something reads in."""
    units = [unit for unit in UNITS if unit not in {"F", "C"}]
    return [("", _("as usual for its kind")), *((unit, unit) for unit in units)]


def _day(label: Any, **kwargs: Any) -> forms.DateField:
    return forms.DateField(
        label=label,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "invalid": gettext_lazy("Write the day as year-month-day, such as 2031-03-09."),
            "required": gettext_lazy("Say on which day."),
        },
        **kwargs,
    )


class PairField(forms.CharField):
    """Two numbers, left and right; its value is a list of text, empty if nothing was typed."""

    def __init__(self, **kwargs: Any) -> None:
        attrs = {"autocomplete": "off", "class": "input-number", "spellcheck": "false"}
        super().__init__(widget=forms.TextInput(attrs=attrs), max_length=100, **kwargs)

    def prepare_value(self, value: Any) -> Any:
        return "; ".join(map(str, value)) if isinstance(value, list | tuple) else value

    def clean(self, value: Any) -> Any:
        text: str = super().clean(value)
        if not text:
            return []
        rows = parse_rows(text, [_("left"), _("right")])
        if len(rows) != 1:
            raise ValidationError(_("Write two numbers, left and right, such as -27; 27."))
        return [str(one) for one in rows[0]]


def constant_fields(names: Iterable[str]) -> dict[str, forms.Field]:
    """A field for each figure that the geometry of a piece of equipment needs."""
    fields: dict[str, forms.Field] = {}
    for name in names:
        if name in PAIRS:
            hint = _("Left and right, on the scale of the stations, such as -27; 27.")
            fields[name] = PairField(label=CONSTANT_LABELS[name], required=False, help_text=hint)
        else:
            fields[name] = NumberField(label=CONSTANT_LABELS[name], required=False)
    return fields


class _Described(KeyedForm):
    """What is known of a gauge besides its code."""

    kind = forms.ChoiceField(label=gettext_lazy("What it is"), choices=kind_choices)
    name = forms.CharField(
        label=gettext_lazy("Name"),
        max_length=80,
        required=False,
        help_text=gettext_lazy("Empty: the name of its kind."),
    )
    place = forms.CharField(label=gettext_lazy("Where it is kept"), max_length=80, required=False)
    unit = forms.ChoiceField(label=gettext_lazy("Unit"), choices=unit_choices, required=False)
    uncertainty = NumberField(
        label=gettext_lazy("Uncertainty"),
        required=False,
        help_text=gettext_lazy(
            "Expanded, k = 2, in the gauge's unit, from its last check. Empty: what is usual for its kind."
        ),
    )
    lowest = NumberField(
        label=gettext_lazy("Lowest it reads"),
        required=False,
        signed=True,
        help_text=gettext_lazy("Empty: any figure is taken."),
    )
    highest = NumberField(label=gettext_lazy("Highest it reads"), required=False, signed=True)
    calibration_due = _day(gettext_lazy("Next check due"), required=False)

    places: Mapping[str, str] = {f"constants/{name}": name for name in CONSTANT_LABELS}

    def _words(self) -> dict[str, Any]:
        names = ("kind", "name", "place", "lowest", "highest")
        return {name: str(self.cleaned_data[name]) for name in names}


class GaugeForm(_Described):
    """A gauge that comes on file: its kind and its code are enough."""

    code = forms.CharField(
        label=gettext_lazy("Code"),
        max_length=20,
        help_text=gettext_lazy("As it stands on the gauge, and in the code that is scanned."),
        error_messages={"required": gettext_lazy("Give it a code.")},
        widget=forms.TextInput(attrs={"class": "input-code", "autocomplete": "off", "autofocus": True}),
    )

    field_order = ("kind", "code")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["kind"].required = False
        self.fields["calibration_due"].help_text = _("Empty: as long from today as is usual for its kind.")

    @property
    def asked(self) -> list[forms.BoundField]:
        """What nobody can assume."""
        return [self["kind"], self["code"]]

    @property
    def assumed(self) -> list[forms.BoundField]:
        """What is as usual for its kind unless somebody says otherwise."""
        return [field for field in self.visible_fields() if field.name not in {"kind", "code"}]

    @property
    def assumed_is_open(self) -> bool:
        """Whether something was typed there or is wrong, so that it must be seen."""
        return any(field.errors or field.data for field in self.assumed)

    def inputs(self) -> dict[str, Any]:
        """What `add_gauge` takes."""
        data = self.cleaned_data
        due = data["calibration_due"]
        return {
            **self._words(),
            "code": data["code"],
            "unit": data["unit"] or None,
            "uncertainty": str(data["uncertainty"]) or None,
            "calibration_due": due.isoformat() if due else None,
        }


class ChangeGaugeForm(_Described):
    """A gauge that is on file; ``seen_position`` is the place in its record that the page showed."""

    seen_position = forms.IntegerField(widget=forms.HiddenInput, min_value=0, max_value=2**31 - 1)

    def __init__(self, gauge: Gauge, *args: Any, **kwargs: Any) -> None:
        described = {name: getattr(gauge, name) for name in DESCRIPTION if name != "constants"}
        initial = {**described, **gauge.constants, "seen_position": gauge.record_position}
        super().__init__(*args, initial=initial, **kwargs)
        self.constants = kind_of(gauge.kind).constants
        self.fields |= constant_fields(self.constants)
        unit = self.fields["unit"]
        assert isinstance(unit, forms.ChoiceField)
        # Whatever unit it came on file with stays.
        if gauge.unit not in {value for value, _label in unit_choices()}:
            unit.choices = [*unit_choices(), (gauge.unit, gauge.unit)]
        self.fields["calibration_due"].help_text = _("Empty: it is not checked by date.")

    def inputs(self) -> dict[str, Any]:
        """What `change_gauge` takes, besides the gauge."""
        data = self.cleaned_data
        usual = kind_of(data["kind"])
        unit = data["unit"] or usual.unit
        constants: dict[str, Any] = {name: data[name] for name in self.constants if data[name]}
        if "diameter" in constants and unit in LENGTHS:
            constants["unit"] = unit
        due = data["calibration_due"]
        changes = {
            **self._words(),
            "name": data["name"] or str(usual.name),
            "unit": unit,
            "uncertainty": str(data["uncertainty"]) or usual.uncertainty,
            "calibration_due": due.isoformat() if due else None,
        }
        if self.constants:
            changes["constants"] = constants
        return {"changes": changes, "seen_position": data["seen_position"]}


class _Checked(KeyedForm):
    done_on = _day(gettext_lazy("Checked on"))
    reference = forms.CharField(
        label=gettext_lazy("Against what"),
        max_length=80,
        required=False,
        help_text=gettext_lazy("The master, or the number of the outside certificate."),
    )
    note = words_field(gettext_lazy("What was seen"), required=False, rows=2)

    def _words(self) -> dict[str, Any]:
        data = self.cleaned_data
        return {
            "done_on": data["done_on"].isoformat(),
            "reference": data["reference"],
            "note": data["note"],
        }


class CalibrationForm(_Checked):
    """A check of a gauge against something better, which found it right."""

    due_on = _day(
        gettext_lazy("Next check due"),
        required=False,
        help_text=gettext_lazy("Empty: as usual for its kind."),
    )
    uncertainty = NumberField(
        label=gettext_lazy("Uncertainty found"),
        help_text=gettext_lazy("Expanded, k = 2, in the gauge's unit."),
        error_messages={
            "required": gettext_lazy("Say which uncertainty the check found; zero if none was worked out.")
        },
    )

    field_order = ("done_on", "due_on", "uncertainty")

    def inputs(self) -> dict[str, Any]:
        """What `record_calibration` takes, besides the gauge."""
        due = self.cleaned_data["due_on"]
        return {
            **self._words(),
            "due_on": due.isoformat() if due else None,
            "uncertainty": str(self.cleaned_data["uncertainty"]),
        }


class WrongForm(_Checked):
    """A check that found a gauge wrong. ``seen`` is the digest of what was shown before it is recorded."""

    error_offset = NumberField(label=gettext_lazy("It reads too much by"), required=False, signed=True)
    error_scale = NumberField(
        label=gettext_lazy("And by this part of what is true"),
        required=False,
        signed=True,
        help_text=gettext_lazy("-0.12: it shows 88 where 100 is true. 0.002: it shows 100.2 there."),
    )
    seen = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)

    field_order = ("done_on", "error_offset", "error_scale")

    def __init__(self, gauge: Gauge, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.constants = kind_of(gauge.kind).constants
        self.fields["error_offset"].help_text = _(
            "What it shows less what is true, in its unit (%(unit)s); a minus where it reads too little."
        ) % {"unit": gauge.unit}
        found = constant_fields(self.constants)
        for name, field in found.items():
            field.help_text = _("As it really is; on file: %(value)s.") % {
                "value": PairField(label="").prepare_value(gauge.constants.get(name, _("nothing")))
            }
        self.fields |= found
        # What a master or a bar is, is not read from it.
        if self.constants:
            del self.fields["error_offset"], self.fields["error_scale"]
            self.order_fields(["done_on", *self.constants])

    places: Mapping[str, str] = {f"constants/{name}": name for name in CONSTANT_LABELS}

    def inputs(self) -> dict[str, Any]:
        """What `record_calibration` takes, besides the gauge and what was seen."""
        data = self.cleaned_data
        return {
            **self._words(),
            "found_right": False,
            "error_offset": str(data.get("error_offset") or "0"),
            "error_scale": str(data.get("error_scale") or "0"),
            "constants": {name: data[name] for name in self.constants if data[name]},
        }


class WhyForm(KeyedForm):
    """Why a gauge is withdrawn, or taken into use again."""

    why = words_field(gettext_lazy("Why?"), rows=2)
