"""Forms about one person's qualifications, uses of a process, and doubts."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from housings.engineering.procedure_figures import POSITIONS
from housings.engineering.procedures import PROCESSES
from housings.engineering.qualifications import BACKINGS, LEVELS, METHODS, WELD_TYPES
from housings.models import Qualification
from housings.operations.welders import LONGEST_NAME, LONGEST_REFERENCE, LONGEST_TEXT, LONGEST_WHAT
from shopqc.forms import KeyedForm
from shopqc.refusals import Reason
from shopqc.uploads import DocumentField, KeepsDocuments

PROCESS_CHOICES = [(code, format_lazy("{} ({})", _(words), code)) for code, words in PROCESSES.items()]


def _day(label: Any, help_text: Any = "", *, required: bool = True) -> forms.DateField:
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(label=label, help_text=help_text, required=required, widget=widget)


def _number(label: Any) -> forms.CharField:
    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "class": "input-number"})
    return forms.CharField(label=label, required=False, max_length=30, widget=widget)


def _why(label: Any, help_text: Any = "") -> forms.CharField:
    widget = forms.Textarea(attrs={"rows": 2})
    return forms.CharField(label=label, help_text=help_text, max_length=LONGEST_TEXT, widget=widget)


class _Qualification(KeepsDocuments, KeyedForm):
    """What every qualification has, whatever it is for."""

    reference = forms.CharField(
        label=_("Reference"), help_text=_("As its record is called."), max_length=LONGEST_REFERENCE
    )
    tested_on = _day(_("Tested on"))
    valid_until = _day(_("Valid until"), _("Empty if its record names no end."), required=False)
    examiner = forms.CharField(label=_("Examined by"), required=False, max_length=LONGEST_NAME)
    document = DocumentField(label=_("Its record"), required=False)

    def told(self, kind: str, ranges: dict[str, Any]) -> dict[str, Any]:
        """What the operation is told, besides for whom; ``ranges`` is what the qualification covers."""
        said = self.cleaned_data
        until = said["valid_until"]
        return {
            "kind": kind,
            "reference": said["reference"],
            "ranges": ranges,
            "tested_on": said["tested_on"].isoformat(),
            "valid_until": until.isoformat() if until else None,
            "examiner": said["examiner"],
            "document": said["document"],
        }

    def say(self, reasons: Iterable[Reason]) -> None:
        # A figure of a range has a field of its own here: /ranges/thickness/least.
        super().say(
            reason.at("/" + reason.field.removeprefix("/ranges/").replace("/", "_"))
            if reason.field and reason.field.startswith("/ranges/")
            else reason
            for reason in reasons
        )


class WeldingForm(_Qualification):
    """A welder's qualification."""

    process = forms.ChoiceField(label=_("Process"), choices=PROCESS_CHOICES)
    joints = forms.MultipleChoiceField(
        label=_("For"),
        choices=[(code, _(words)) for code, words in WELD_TYPES.items()],
        widget=forms.CheckboxSelectMultiple,
    )
    positions = forms.MultipleChoiceField(
        label=_("Positions by ISO 6947"),
        choices=[(code, code) for code in POSITIONS],
        widget=forms.CheckboxSelectMultiple,
    )
    thickness_least = _number(_("Wall, at least, in"))
    thickness_most = _number(_("Wall, at most, in"))
    diameter_least = _number(_("Outside diameter, at least, in"))
    diameter_most = _number(_("Outside diameter, at most, in"))
    backing = forms.ChoiceField(
        label=_("Root"),
        choices=[(code, _(words)) for code, words in BACKINGS.items()],
        widget=forms.RadioSelect,
    )
    filler_groups = forms.CharField(
        label=_("Filler groups"),
        help_text=_("Several with commas, such as F6; empty = any."),
        required=False,
        max_length=120,
    )
    tacks_only = forms.BooleanField(label=_("for tack welds only"), required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        last = ["tested_on", "valid_until", "examiner", "document"]
        self.order_fields(["reference", *(name for name in type(self).declared_fields if name not in last)])

    @property
    def inputs(self) -> dict[str, Any]:
        said = self.cleaned_data
        found: dict[str, Any] = {name: said[name] for name in ("process", "joints", "positions", "backing")}
        for name in ("thickness", "diameter"):
            sides = {side: said[f"{name}_{side}"] for side in ("least", "most") if said[f"{name}_{side}"]}
            if sides:
                found[name] = sides
        if groups := [word.strip() for word in said["filler_groups"].split(",") if word.strip()]:
            found["filler_groups"] = groups
        if said["tacks_only"]:
            found["tacks_only"] = True
        return self.told(Qualification.WELDING, found)


class TestingForm(_Qualification):
    """A tester's qualification for one method."""

    method = forms.ChoiceField(
        label=_("Method"),
        choices=[(code, format_lazy("{} ({})", _(words), code)) for code, words in METHODS.items()],
    )
    level = forms.ChoiceField(label=_("Level by ISO 9712"), choices=[(level, level) for level in LEVELS])

    @property
    def inputs(self) -> dict[str, Any]:
        covered = {name: self.cleaned_data[name] for name in ("method", "level")}
        return self.told(Qualification.TESTING, covered)


class UseForm(KeyedForm):
    """That somebody used a process on a day."""

    process = forms.ChoiceField(label=_("Process"), choices=PROCESS_CHOICES)
    used_on = _day(_("Used on"))
    what = forms.CharField(
        label=_("What was welded"),
        help_text=_("Weld passes that are recorded here count by themselves."),
        max_length=LONGEST_WHAT,
    )

    @property
    def inputs(self) -> dict[str, Any]:
        said = self.cleaned_data
        return {"process": said["process"], "used_on": said["used_on"].isoformat(), "what": said["what"]}


class DoubtForm(KeyedForm):
    """A doubt about somebody's welding."""

    process = forms.ChoiceField(
        label=_("About"), required=False, choices=[("", _("every process")), *PROCESS_CHOICES]
    )
    why = _why(_("Why"), _("It suspends them until it is answered."))

    @property
    def inputs(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in ("process", "why")}


class AnswerForm(KeyedForm):
    """The answer to a doubt."""

    doubt = forms.IntegerField(widget=forms.HiddenInput, min_value=1, max_value=2**31 - 1)
    answer = _why(_("What was found"), _("Afterwards they may weld again."))

    @property
    def inputs(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in ("doubt", "answer")}


class EndForm(KeyedForm):
    """A qualification that is withdrawn."""

    qualification = forms.IntegerField(widget=forms.HiddenInput, min_value=1, max_value=2**31 - 1)
    why = _why(_("Why it is withdrawn"))

    @property
    def inputs(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in ("qualification", "why")}
