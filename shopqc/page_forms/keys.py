"""Forms about the keys of other programs."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shopqc.forms import KeyedForm
from shopqc.models import Customer, Person
from shopqc.people import SCOPES


class KeyForm(KeyedForm):
    """What another program may do, and for whom it stands."""

    name = forms.CharField(label=_("Name"), help_text=_("Which program will use it."), max_length=60)
    scopes = forms.MultipleChoiceField(
        label=_("It may"), required=False, choices=list(SCOPES.items()), widget=forms.CheckboxSelectMultiple
    )
    customer = forms.ChoiceField(
        label=_("It sees"),
        required=False,
        help_text=_("A customer's own order system sees that customer's alone."),
    )
    stamp = forms.ChoiceField(
        label=_("It acts for"),
        required=False,
        help_text=_("What needs a person's role is done in this name."),
    )
    expires_on = forms.DateField(
        label=_("Ends after"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        customers = [(c.code, c.name) for c in Customer.objects.order_by("name")]
        people = [
            (p.stamp, f"{p.name} ({p.stamp})") for p in Person.objects.filter(is_active=True).order_by("name")
        ]
        for name, first, choices in (
            ("customer", _("all customers"), customers),
            ("stamp", _("nobody"), people),
        ):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            field.choices = [("", first), *choices]


class RevokeKeyForm(KeyedForm):
    key_prefix = forms.CharField(widget=forms.HiddenInput, max_length=12)
