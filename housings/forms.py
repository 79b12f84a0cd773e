"""Forms about one housing."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from housings import states
from shopqc.forms import KeyedForm
from shopqc.refusals import KINDS


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


class WorkDoneForm(StationForm):
    """The work at a station is done."""

    note = forms.CharField(
        label=_("Note"),
        help_text=_("What the next one should know."),
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

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


class FloorForm(forms.Form):
    """What narrows the list of housings."""

    HELD, LATE = "held", "late"

    words = forms.CharField(label=_("Serial, order or reference"), required=False, max_length=60)
    which = forms.ChoiceField(
        label=_("Which"),
        required=False,
        choices=[("", _("all")), (HELD, _("held")), (LATE, _("late")), *states.HOUSING_WORDS.items()],
    )
