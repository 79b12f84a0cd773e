"""Forms to raise a nonconformance, to file a concession, to decide."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from housings.engineering.stations import STATIONS
from inspections.forms.keyed import KeyedForm, words_field
from inspections.models import Characteristic, Reading
from inspections.models.nonconformances import DECISIONS, DEFECTS
from shopqc.operations.documents import BEGINNINGS


class ProblemForm(KeyedForm):
    """What somebody saw."""

    what = words_field(gettext_lazy("What is wrong, and where?"))
    defect = forms.ChoiceField(
        label=gettext_lazy("Is it one of these?"),
        choices=list(DEFECTS.items()),
        initial="other",
        widget=forms.RadioSelect,
        help_text=gettext_lazy("The first three are always major."),
    )
    hold = forms.BooleanField(
        label=gettext_lazy("Hold the housing where it is until the QC lead releases it"), required=False
    )

    def __init__(self, characteristics: Iterable[Characteristic], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        choices = [("", _("nothing that is measured here")), *((c.code, c.name) for c in characteristics)]
        self.fields["characteristic"] = forms.ChoiceField(
            label=_("Does it belong to a reading?"),
            choices=choices,
            required=False,
            help_text=_(
                "Choose it if a reading cannot be decided with the gauge; the reading is meant then."
            ),
        )
        self.order_fields(["what", "defect", "characteristic", "hold"])


class ConcessionForm(KeyedForm):
    """The customer's written concession, as a file."""

    document = forms.FileField(
        label=gettext_lazy("The customer's concession"),
        help_text=gettext_lazy("PDF, JPEG or PNG, at most 10 MB."),
        widget=forms.FileInput(attrs={"accept": ",".join(BEGINNINGS)}),
        error_messages={
            "required": gettext_lazy("Choose the file first."),
            "empty": gettext_lazy("The file is empty."),
        },
    )


def kind_of(content: bytes) -> str:
    """The kind of a document, from how it begins; empty if it is none that is taken."""
    return next((kind for kind, begins in BEGINNINGS.items() if content.startswith(begins)), "")


class DecisionForm(KeyedForm):
    """What is decided about a nonconformance."""

    decision = forms.ChoiceField(
        label=gettext_lazy("Decision"),
        choices=list(DECISIONS.items()),
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Choose one.")},
    )
    stations = forms.MultipleChoiceField(
        label=gettext_lazy("Where it is reworked or repaired"),
        choices=[(code, station.name) for code, station in STATIONS.items() if not station.after_sign_off],
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy("They are visited in this order."),
    )
    reason = words_field(gettext_lazy("Why is this right?"))
    concession = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)

    def __init__(self, replacing: Sequence[tuple[Reading, str]], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.fields["replaced_by"] = forms.ChoiceField(
            label=_("For an entry error: the right reading"),
            choices=[("", _("none")), *((str(reading.pk), words) for reading, words in replacing)],
            required=False,
        )
        self.order_fields(["decision", "stations", "replaced_by", "reason"])

    def inputs(self) -> dict[str, Any]:
        """What `dispose` takes, besides housing and number."""
        data = self.cleaned_data
        return {
            "decision": data["decision"],
            "reason": data["reason"],
            "stations": data["stations"],
            "replaced_by": data["replaced_by"] or None,
            "concession": data["concession"],
        }
