"""The form that asks who it is."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shopqc.models import Device


class SignInForm(forms.Form):
    """Who it is: a badge, and a PIN at a registered device or a password at a desk."""

    badge = forms.CharField(
        label=_("Badge"),
        max_length=30,
        widget=forms.TextInput(
            attrs={"autocomplete": "username", "autofocus": True, "data-scan": True, "spellcheck": "false"}
        ),
    )
    pin = forms.CharField(
        label=_("PIN"),
        required=False,
        max_length=20,
        widget=forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )
    password = forms.CharField(
        label=_("Password"),
        required=False,
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )
    next = forms.CharField(required=False, max_length=500, widget=forms.HiddenInput)

    def __init__(self, *args: Any, device: Device | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if device is None:
            self.fields["pin"].help_text = _(
                "Works at a registered device only, and this one is not registered."
            )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        given = [name for name in ("pin", "password") if cleaned.get(name)]
        if not given and not self.errors:
            self.add_error("pin", _("Type the PIN, or the password below."))
        if len(given) == 2:
            self.add_error("password", _("Give the PIN or the password, not both."))
        return cleaned
