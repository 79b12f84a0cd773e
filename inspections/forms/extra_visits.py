"""Forms that change the way of one housing."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from housings.engineering.stations import STATIONS
from housings.models import Visit
from inspections.forms.keyed import KeyedForm, words_field


class AddVisitForm(KeyedForm):
    """An extra station, and where in the way it comes."""

    why = words_field(gettext_lazy("Why"), rows=2)

    def __init__(self, ahead: Iterable[Visit], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        stations = [
            (code, _(station.name))
            for code, station in STATIONS.items()
            if station.optional and not station.after_sign_off
        ]
        self.fields["station"] = forms.ChoiceField(label=_("Extra station"), choices=stations)
        self.fields["before"] = forms.ChoiceField(
            label=_("When"),
            required=False,
            choices=[
                ("", _("next")),
                *(
                    (str(visit.number), _("before %(station)s") % {"station": _(visit.at.name)})
                    for visit in ahead
                ),
            ],
        )
        self.order_fields(["station", "before", "why"])

    def inputs(self) -> dict[str, Any]:
        """What `add_visit` takes, besides the housing."""
        data = self.cleaned_data
        before = int(data["before"]) if data["before"] else None
        return {"station": data["station"], "why": data["why"], "before": before}


class DropVisitForm(KeyedForm):
    """A visit that is not made, and why."""

    visit = forms.IntegerField(widget=forms.HiddenInput, min_value=1)
    why = words_field(gettext_lazy("Why"), rows=2)
