"""Forms at a weld: what was found, how it was tested, how it was dug out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from housings.models import ProcedureRevision
from inspections.forms.keyed import KeyedForm, words_field
from inspections.metrology.weld_imperfections import GROUPS, IMPERFECTIONS
from inspections.models import Nonconformance
from inspections.operations.weld_repairs import HOURS, METHODS
from inspections.planning import weld_testing
from inspections.weld_findings import LONGEST_WHERE, MEASURES
from inspections.weld_words import STAGE_WORDS
from shopqc.operations.documents import BEGINNINGS

ROWS = 3
"""How many imperfections a form takes at once; more are named one look after the other."""
MEASURE_LABELS = {
    "size": gettext_lazy("Its height, depth or diameter"),
    "length": gettext_lazy("How much of the weld it takes"),
    "width": gettext_lazy("Width of the weld"),
    "throat": gettext_lazy("Throat of the weld, of a fillet"),
}


def figure(label: Any, *, required: bool = False) -> forms.CharField:
    """A number as it is typed; what it means is the operation's to judge."""
    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
    return forms.CharField(label=label, required=required, max_length=20, widget=widget)


def moment_field() -> forms.DateTimeField:
    """When it was, in the shop's time; empty = now."""
    return forms.DateTimeField(
        label=gettext_lazy("When was it?"),
        required=False,
        help_text=gettext_lazy("Empty for now."),
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
    )


def imperfections() -> list[tuple[str, Any]]:
    """Imperfections by words and number, in the groups of ISO 6520-1."""
    return [
        ("", _("choose")),
        *(
            (
                _(group),
                [
                    (one.number, f"{_(one.name)} ({one.number})")
                    for one in IMPERFECTIONS.values()
                    if one.group == group
                ],
            )
            for group in GROUPS.values()
        ),
    ]


class FindingsForm(KeyedForm):
    """Up to three imperfections with their sizes and places, a note, and when it was."""

    note = words_field(gettext_lazy("Say it in words"), required=False, rows=2)
    done_at = moment_field()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for row in range(ROWS):
            self.fields[f"number_{row}"] = forms.ChoiceField(
                label=_("What is it?"), required=False, choices=imperfections()
            )
            self.fields[f"unit_{row}"] = forms.ChoiceField(
                label=_("Measured in"), required=False, choices=[("mm", "mm"), ("in", "in")]
            )
            self.fields[f"where_{row}"] = forms.CharField(
                label=_("Where is it?"),
                required=False,
                max_length=LONGEST_WHERE,
                help_text=_("The hour of the clock seen from the end, or how far along."),
            )
            for name in MEASURES:
                self.fields[f"{name}_{row}"] = figure(MEASURE_LABELS[name])
        self.places = {
            **self.places,
            "findings": "number_0",
            **{
                f"findings/{index}/{name}": f"{name}_{row}"
                for index, row in enumerate(self._named())
                for name in ("number", "unit", "where", *MEASURES)
            },
        }

    def _named(self) -> list[int]:
        """The rows that name an imperfection, in order: what is empty is not sent."""
        if not self.is_bound:
            return list(range(ROWS))
        filled = ("number", "where", *MEASURES)
        return [row for row in range(ROWS) if any(self.data.get(f"{name}_{row}") for name in filled)]

    def rows(self) -> list[dict[str, forms.BoundField]]:
        """The fields of each imperfection, for the page."""
        names = ("number", "size", "unit", "where", "length", "width", "throat")
        return [{name: self[f"{name}_{row}"] for name in names} for row in range(ROWS)]

    def findings(self) -> list[dict[str, str]]:
        """What was typed of each imperfection."""
        data = self.cleaned_data
        return [
            {
                name: data[f"{name}_{row}"]
                for name in ("number", "unit", "where", *MEASURES)
                if data.get(f"{name}_{row}")
            }
            for row in self._named()
        ]

    def judged(self) -> dict[str, Any]:
        """What looks and tests have in common."""
        data = self.cleaned_data
        return {
            "findings": self.findings(),
            "note": data["note"],
            "done_at": data["done_at"].isoformat() if data["done_at"] else None,
        }


class LookForm(FindingsForm):
    """What somebody saw of a weld."""

    stage = forms.ChoiceField(
        label=gettext_lazy("What did you look at?"),
        choices=list(STAGE_WORDS.items()),
        widget=forms.RadioSelect,
    )
    hold = forms.BooleanField(
        label=gettext_lazy("If it is refused: hold the housing until the QC lead releases it"), required=False
    )


class NothingFoundForm(KeyedForm):
    """One tap: looked at, and nothing found."""

    stage = forms.ChoiceField(choices=list(STAGE_WORDS.items()), widget=forms.HiddenInput)


class WeldTestForm(FindingsForm):
    """How a weld was tested, by whom, and what was found."""

    method = forms.ChoiceField(
        label=gettext_lazy("Method"),
        choices=[(code, f"{_(name)} ({code})") for code, name in weld_testing.METHODS.items()],
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Choose one.")},
    )
    tester = forms.CharField(
        label=gettext_lazy("Who tested it?"),
        max_length=80,
        help_text=gettext_lazy("A stamp of this shop, or the name of somebody from outside."),
    )
    tester_level = forms.ChoiceField(
        label=gettext_lazy("Level"),
        choices=[("2", "2"), ("3", "3"), ("1", "1")],
        help_text=gettext_lazy("Of the certificate for this method (ISO 9712)."),
    )
    certificate = forms.CharField(
        label=gettext_lazy("Number of the certificate, of somebody from outside"),
        required=False,
        max_length=60,
    )
    certified_until = forms.DateField(
        label=gettext_lazy("Good until"), required=False, widget=forms.DateInput(attrs={"type": "date"})
    )
    batch = forms.CharField(
        label=gettext_lazy("Batch of the penetrant or the particles"), required=False, max_length=60
    )
    light = forms.ChoiceField(
        label=gettext_lazy("Light"),
        required=False,
        choices=[("", gettext_lazy("not said")), *weld_testing.LIGHTS.items()],
    )
    equipment = forms.CharField(label=gettext_lazy("Equipment"), required=False, max_length=60)
    demagnetised = forms.ChoiceField(
        label=gettext_lazy("Demagnetised afterwards? (magnetic particles)"),
        required=False,
        choices=[("", gettext_lazy("not said")), ("yes", gettext_lazy("yes")), ("no", gettext_lazy("no"))],
    )
    report = forms.FileField(
        label=gettext_lazy("The report"),
        required=False,
        help_text=gettext_lazy("PDF, JPEG or PNG, at most 10 MB."),
        widget=forms.FileInput(attrs={"accept": ",".join(BEGINNINGS)}),
        error_messages={"empty": gettext_lazy("The file is empty.")},
    )
    FIGURES: Mapping[str, Any] = {
        "illuminance": gettext_lazy("White light at the surface"),
        "irradiance": gettext_lazy("Ultraviolet light at the surface (UV-A)"),
        "dwell": gettext_lazy("Dwell of the penetrant"),
        "developing": gettext_lazy("Developing time"),
        "surface_temperature": gettext_lazy("Surface temperature"),
        "field": gettext_lazy("Magnetic field"),
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, label in self.FIGURES.items():
            self.fields[name] = figure(f"{label}, {weld_testing.FIGURES[name]}")
        hows = (*self.FIGURES, "batch", "light", "equipment", "demagnetised")
        self.places = {**self.places, **{f"how/{name}": name for name in hows}, "document": "report"}

    def inputs(self) -> dict[str, Any]:
        """What `test_weld` takes besides housing, joint, verdict and document."""
        data = self.cleaned_data
        asked = weld_testing.fields_of(data["method"])
        until = data["certified_until"]
        return {
            **self.judged(),
            "method": data["method"],
            "tester": data["tester"],
            "tester_level": data["tester_level"],
            "certificate": data["certificate"],
            "certified_until": until.isoformat() if until else None,
            "how": {name: data[name] for name in asked if data.get(name)},
        }


class RepairForm(KeyedForm):
    """How a weld was dug out, and for which nonconformance."""

    places = {f"how/{name}": name for name in ("method", "depth", "length", "unit", "hour")}

    method = forms.ChoiceField(
        label=gettext_lazy("How was it dug out?"), choices=list(METHODS.items()), initial="grinding"
    )
    depth = figure(gettext_lazy("Depth"), required=True)
    length = figure(gettext_lazy("Length"), required=True)
    unit = forms.ChoiceField(label=gettext_lazy("Measured in"), choices=[("in", "in"), ("mm", "mm")])
    hour = forms.ChoiceField(
        label=gettext_lazy("Hour of the clock, seen from the end"),
        required=False,
        choices=[("", gettext_lazy("not said")), *((hour, hour) for hour in HOURS)],
    )

    def __init__(
        self, about: Iterable[Nonconformance], procedures: Iterable[ProcedureRevision], **kwargs: Any
    ) -> None:
        super().__init__(**kwargs)
        self.fields["nonconformance"] = forms.TypedChoiceField(
            label=_("For which nonconformance?"),
            coerce=int,
            choices=[(found.number, f"{found.number}: {found.what[:80]}") for found in about],
        )
        self.fields["procedure"] = forms.TypedChoiceField(
            label=_("Procedure for the repair"),
            coerce=int,
            required=False,
            empty_value=None,
            choices=[(one.pk, str(one)) for one in procedures] or [("", _("none reaches this joint"))],
        )
        self.order_fields(["nonconformance", "method", "depth", "length", "unit", "hour", "procedure"])

    def inputs(self) -> dict[str, Any]:
        """What `begin_repair` takes besides housing and joint."""
        data = self.cleaned_data
        how = {name: data[name] for name in ("method", "depth", "length", "unit", "hour") if data[name]}
        return {
            "nonconformance": data["nonconformance"],
            "procedure": data["procedure"],
            "how": how,
        }
