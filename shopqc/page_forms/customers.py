"""The form of a customer."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from shopqc.forms import KeyedForm


class CustomerForm(KeyedForm):
    """For whom housings are built."""

    code = forms.CharField(
        label=_("Short name"),
        help_text=_("Order systems name the customer by it."),
        max_length=20,
    )
    name = forms.CharField(label=_("Name"), max_length=120)
    email = forms.EmailField(label=_("E-mail"), required=False, max_length=254)
