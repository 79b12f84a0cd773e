"""Forms about one housing."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from housings import states
from housings.engineering.work_details import DetailField, DetailKind, fields_of
from housings.operations.suppliers import LONGEST_REFERENCE, LONGEST_SUPPLIER
from housings.work_words import UNITS
from shopqc.forms import KeyedForm
from shopqc.refusals import KINDS
from shopqc.uploads import DocumentField, KeepsDocuments


class HousingForm(KeyedForm):
    """What every form of a housing's page carries: how far the page had read the housing's record."""

    seen_position = forms.IntegerField(widget=forms.HiddenInput, required=False, min_value=0)

    @property
    def inputs(self) -> dict[str, Any]:
        """What the operation is told."""
        own = {"sent_key", "seen_position"}
        return {name: value for name, value in self.cleaned_data.items() if name not in own}


class StationForm(HousingForm):
    """A step at a station."""

    station = forms.CharField(widget=forms.HiddenInput, max_length=40)


class DescribesWork(KeepsDocuments, HousingForm):
    """A form with the fields by which the work of a station is described, if it has any."""

    described: tuple[DetailField, ...] = ()

    def describe(self, station: str) -> None:
        """Add the fields of a station; units begin with what ``initial`` says."""
        self.described = fields_of(station)
        for field in self.described:
            self.fields[field.name] = _detail(field)
            if len(field.units) > 1:
                units = [(unit, UNITS.get(unit, unit)) for unit in field.units]
                self.fields[field.unit_name] = forms.ChoiceField(
                    label=_("Unit"), choices=units, required=False, initial=self._unit(field)
                )
        self.remember_documents()

    def _unit(self, field: DetailField) -> str:
        wanted = (self.initial.get("length_unit"), self.initial.get("temperature_unit"))
        return next((unit for unit in wanted if unit in field.units), field.units[0])

    @property
    def details(self) -> dict[str, str]:
        """What was said of the work; units only beside a figure."""
        said = {field.name: self.cleaned_data.get(field.name) or "" for field in self.described}
        return {name: value for name, value in said.items() if value} | {
            field.unit_name: self.cleaned_data[field.unit_name]
            for field in self.described
            if said[field.name] and self.cleaned_data.get(field.unit_name)
        }

    @property
    def inputs(self) -> dict[str, Any]:
        names = {name for field in self.described for name in (field.name, field.unit_name)}
        names |= {f"{name}_kept" for name in self.document_names}
        plain = {name: value for name, value in super().inputs.items() if name not in names}
        return {**plain, "details": self.details}

    @property
    def rows(self) -> list[tuple[Any, Any]]:
        """Each visible field, with the field of its unit or ``None``."""
        units = {field.unit_name for field in self.described}
        return [
            (field, self[f"{field.name}_unit"] if f"{field.name}_unit" in self.fields else None)
            for field in self.visible_fields()
            if field.name not in units
        ]


def _detail(field: DetailField) -> forms.Field:
    shared: dict[str, Any] = {"label": _(field.label), "help_text": _(field.hint) if field.hint else ""}
    match field.kind:
        case DetailKind.CHOICE if len(field.choices) < 4:
            return forms.ChoiceField(
                choices=[(code, _(words)) for code, words in field.choices],
                widget=forms.RadioSelect,
                required=False,
                **shared,
            )
        case DetailKind.CHOICE:
            return forms.ChoiceField(
                choices=[("", "—"), *((code, _(words)) for code, words in field.choices)],
                required=False,
                **shared,
            )
        case DetailKind.FILE:
            return DocumentField(tables=True, required=False, label=_(field.label))
        case DetailKind.NUMBER:
            widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
            return forms.CharField(widget=widget, required=False, max_length=20, **shared)
    return forms.CharField(required=False, max_length=200, **shared)


class WorkDoneForm(DescribesWork, StationForm):
    """The work at a station is done."""

    note = forms.CharField(
        label=_("Note"),
        help_text=_("What the next one should know."),
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.describe(str(self["station"].value() or ""))
        self.order_fields([*(n for n in self.fields if n != "note"), "note"])

    @property
    def inputs(self) -> dict[str, Any]:
        return {**super().inputs, "seen_position": self.cleaned_data["seen_position"]}


class WhyForm(HousingForm):
    """A step that needs a reason."""

    why = forms.CharField(label=_("Why"), max_length=2000, widget=forms.Textarea(attrs={"rows": 3}))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["why"].error_messages["required"] = str(KINDS["reason_needed"].sentence)


class ReleaseForm(WhyForm):
    """Letting one hold go."""

    hold = forms.IntegerField(widget=forms.HiddenInput)


class SendForm(StationForm):
    """It goes to a supplier."""

    supplier = forms.CharField(label=_("Supplier"), max_length=LONGEST_SUPPLIER)
    reference = forms.CharField(
        label=_("Our order there, or their number"), required=False, max_length=LONGEST_REFERENCE
    )
    expected_on = forms.DateField(
        label=_("Expected back"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        input_formats=["%Y-%m-%d"],
    )

    @property
    def inputs(self) -> dict[str, Any]:
        day = self.cleaned_data["expected_on"]
        return {**super().inputs, "expected_on": day.isoformat() if day else None}


class BackForm(DescribesWork):
    """It came back from a supplier."""

    condition = forms.CharField(
        label=_("How it came back"),
        help_text=_("What you see: dents, scale, missing caps, or that all is well."),
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    conformity = DocumentField(label=_("The supplier's certificate of conformity"), required=False)
    work_done = forms.BooleanField(
        label=_("The work was done there; what it moves is measured again"), required=False, initial=True
    )
    station = forms.CharField(widget=forms.HiddenInput, max_length=40)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.describe(str(self["station"].value() or ""))

    @property
    def inputs(self) -> dict[str, Any]:
        inputs = super().inputs
        del inputs["station"]
        return inputs


class ConformityForm(KeepsDocuments, HousingForm):
    """The supplier's certificate, when it came later."""

    stay = forms.IntegerField(widget=forms.HiddenInput)
    conformity = DocumentField(label=_("The supplier's certificate of conformity"), required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if not self.errors and not data["conformity"] and not data["conformity_kept"]:
            self.add_error("conformity", _("Choose the file first."))
        return data

    @property
    def inputs(self) -> dict[str, Any]:
        return {"stay": self.cleaned_data["stay"], "conformity": self.cleaned_data["conformity"]}


class FloorForm(forms.Form):
    """What narrows the list of housings."""

    HELD, LATE, AWAY = "held", "late", "away"

    words = forms.CharField(label=_("Serial, order or reference"), required=False, max_length=60)
    which = forms.ChoiceField(
        label=_("Which"),
        required=False,
        choices=[
            ("", _("all")),
            (HELD, _("held")),
            (LATE, _("late")),
            (AWAY, _("away at a supplier")),
            *states.HOUSING_WORDS.items(),
        ],
    )
