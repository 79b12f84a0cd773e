"""Forms about the shop itself: its words, its choices, its rules."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from shopqc.forms import KeyedForm
from shopqc.models import Shop


class ShopForm(KeyedForm):
    """The shop's own words and choices."""

    name = forms.CharField(label=_("Name of the shop"), max_length=120)
    address = forms.CharField(
        label=_("Address"),
        help_text=_("As it stands on traveler and certificate."),
        required=False,
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    paper = forms.ChoiceField(
        label=_("Paper"), widget=forms.RadioSelect, choices=[("letter", _("Letter")), ("a4", "A4")]
    )
    length_unit = forms.ChoiceField(
        label=_("Lengths are typed in"),
        help_text=_("What a form begins with; each reading can still say another unit."),
        widget=forms.RadioSelect,
        choices=[("in", _("inches")), ("mm", _("millimeters"))],
    )
    temperature_unit = forms.ChoiceField(
        label=_("Temperatures are typed in"),
        widget=forms.RadioSelect,
        choices=[("F", "°F"), ("C", "°C")],
    )
    serial_prefix = forms.CharField(
        label=_("Prefix of serials"),
        help_text=_("One to three capital letters. Housings that are released already keep their serial."),
        max_length=3,
        widget=forms.TextInput(attrs={"class": "input-code", "autocapitalize": "characters"}),
    )
    certificate_series = forms.CharField(label=_("Series of certificates"), max_length=12)
    decision_rule = forms.ChoiceField(
        label=_("When a reading is near its limit"),
        widget=forms.RadioSelect,
        choices=[
            ("simple", _("decide by the limit alone; how good the gauge is stands beside it")),
            ("guarded", _("leave room for all of the gauge's uncertainty: in between it cannot be told")),
            ("guarded_95", _("leave room so that 95 of 100 such decisions are right")),
        ],
    )

    continuity_months = forms.CharField(
        label=_("Months a welder may go without using a process"),
        help_text=_("Whole calendar months; afterwards the qualification is out of continuity."),
        max_length=3,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )
    fire_watch_minutes = forms.CharField(
        label=_("Minutes of fire watch after the last arc"),
        help_text=_("As your procedure and local rules ask; 30 at least."),
        max_length=4,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )

    @classmethod
    def of(cls, shop: Shop) -> ShopForm:
        """The form as the shop stands."""
        return cls(initial={name: getattr(shop, name) for name in SHOP_FIELDS})

    def changes_to(self, shop: Shop) -> dict[str, str | int]:
        """What is other than the shop has it."""
        return {
            name: self.cleaned_data[name]
            for name in SHOP_FIELDS
            if self.cleaned_data[name] != str(getattr(shop, name))
        }


SHOP_FIELDS = (
    "name",
    "address",
    "paper",
    "length_unit",
    "temperature_unit",
    "serial_prefix",
    "certificate_series",
    "decision_rule",
    "continuity_months",
    "fire_watch_minutes",
)


class RuleForm(KeyedForm):
    """One rule, and whether it shall be in use."""

    rule = forms.CharField(widget=forms.HiddenInput, max_length=60)
    in_use = forms.TypedChoiceField(
        widget=forms.HiddenInput, choices=[("yes", "yes"), ("no", "no")], coerce=lambda word: word == "yes"
    )
