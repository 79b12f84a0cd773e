"""Forms about the devices at which a PIN works."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from shopqc.forms import KeyedForm


class DeviceForm(KeyedForm):
    """This browser as a device of the shop."""

    name = forms.CharField(
        label=_("Name of this device"),
        help_text=_("Such as the bench it stands at."),
        max_length=60,
    )


class RevokeDeviceForm(KeyedForm):
    device = forms.IntegerField(widget=forms.HiddenInput)
