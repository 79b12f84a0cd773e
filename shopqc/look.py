"""The page that shows the look: every part of it once, with invented contents."""

from typing import Any

from django import forms
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy as _

STATIONS: list[dict[str, Any]] = [
    {"name": _("Jig"), "code": "jig", "state": "done", "note": ""},
    {"name": _("Tack"), "code": "tack", "state": "done", "note": ""},
    {"name": _("Truss"), "code": "truss", "state": "done", "note": _("2 visits")},
    {
        "name": _("Brackets and link tabs"),
        "code": "brackets",
        "state": "dropped",
        "note": _("not on this housing"),
    },
    {"name": _("Snouts"), "code": "snouts", "state": "done", "note": ""},
    {"name": _("Face and drill"), "code": "face_and_drill", "state": "here", "note": _("since 09:40")},
    {"name": _("Armor"), "code": "armor", "state": "ahead", "note": ""},
    {"name": _("Caps and fittings"), "code": "caps_and_fittings", "state": "ahead", "note": ""},
    {"name": _("Leak test"), "code": "leak_test", "state": "ahead", "note": ""},
    {"name": _("Final inspection"), "code": "final_inspection", "state": "ahead", "note": ""},
]
REASONS = [
    _("The face has 8 of 12 points."),
    _("Pilot bore: not measured yet."),
    _("The dial bore gauge 14 was due for calibration on 3 March."),
]


class SampleForm(forms.Form):
    """A form with each kind of field."""

    height = forms.DecimalField(
        label=_("Height of point 9"),
        help_text=_("As the indicator shows it, in inches."),
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )
    gauge = forms.ChoiceField(label=_("Gauge"), choices=[("", "—"), ("g14", _("Dial bore gauge 14"))])
    seen = forms.ChoiceField(
        label=_("Inside of the center section"),
        choices=[("clean", _("clean")), ("chips", _("chips or weld balls"))],
        widget=forms.RadioSelect,
    )
    hold = forms.BooleanField(label=_("Hold the housing"), required=False)
    words = forms.CharField(label=_("In words"), required=False, widget=forms.Textarea(attrs={"rows": 3}))


def look(request: HttpRequest) -> HttpResponse:
    """Show the design. Asks nothing of the database."""
    wrong = SampleForm({"height": "0.00l4", "gauge": "g14", "seen": "clean"})
    return render(
        request,
        "shopqc/look.html",
        {
            "stations": STATIONS,
            "reasons": REASONS,
            "form": wrong,
            "page": Paginator(range(120), 25).page(2),
            "states": ["pass", "fail", "undecided", "held", "open"],
        },
    )
