"""Signing off, and what is done to a certificate afterwards."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.forms.keyed import KeyedForm, words_field
from shopqc.models import Device


class SignForm(KeyedForm):
    """The secret, asked for once more."""

    secret = forms.CharField(
        max_length=200,
        strip=False,
        error_messages={"required": gettext_lazy("Signing takes your secret once more.")},
    )

    def __init__(self, device: Device | None, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        attrs = {"autocomplete": "off" if device else "current-password"}
        if device:
            attrs["inputmode"] = "numeric"
        self.fields["secret"].widget = forms.PasswordInput(attrs=attrs)
        self.fields["secret"].label = _("Your PIN") if device else _("Your password")

    def was_wrong(self, wait_seconds: int) -> None:
        """Say that the secret was wrong and how long to wait. That was an answer: it has used up the key."""
        self._renew_key()
        self.status = 403
        words = _("The secret is not right. Nothing was signed.")
        if wait_seconds:
            words += " " + _("The next try is taken in %(seconds)d seconds.") % {"seconds": wait_seconds}
        self.add_error("secret", words)


class RevokeForm(KeyedForm):
    """Why a certificate is revoked."""

    why = words_field(
        gettext_lazy("Why is it revoked?"),
        help_text=gettext_lazy("This stands on the certificate's public page, so write it for the customer."),
    )


class AnswerForm(KeyedForm):
    """What answers the question about a certificate."""

    why = words_field(
        gettext_lazy("What answers it?"),
        help_text=gettext_lazy(
            "Such as: measured again, and by whom; or what the customer was told. This stands on the "
            "certificate's public page, so write it for the customer."
        ),
    )


class AgainForm(KeyedForm):
    """Nothing but the key: try once more to make a certificate's file."""
