"""Forms about the people of the shop."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shopqc.forms import KeyedForm
from shopqc.people import ROLES
from shopqc.secret import Secret


class PersonForm(KeyedForm):
    """Somebody's name, roles and secrets."""

    badge = forms.CharField(
        label=_("Badge"),
        help_text=_("What the badge's code says, or a short name."),
        max_length=30,
    )
    stamp = forms.CharField(
        label=_("Stamp number"),
        help_text=_("Under this the person stands in the record book; it never changes."),
        max_length=12,
    )
    name = forms.CharField(label=_("Name"), max_length=120)
    roles = forms.MultipleChoiceField(
        label=_("Roles"), required=False, choices=list(ROLES.items()), widget=forms.CheckboxSelectMultiple
    )
    credential = forms.CharField(
        label=_("Credential"),
        help_text=_("Such as a license or certificate as engineer or inspector, with its number."),
        required=False,
        max_length=200,
    )
    pin = forms.CharField(
        label=_("PIN"),
        help_text=_("4 to 8 digits, for registered devices."),
        required=False,
        max_length=20,
        widget=forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )
    password = forms.CharField(
        label=_("Password"),
        help_text=_(
            "10 characters or more, for the desk. Who is only a station worker signs in with the PIN."
        ),
        required=False,
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )


class ChangePersonForm(PersonForm):
    """The same for somebody who is there already: what is left empty stays as it is."""

    badge = None  # type: ignore[assignment]
    stamp = None  # type: ignore[assignment]
    is_active = forms.BooleanField(label=_("works here"), required=False)
    drop_pin = forms.BooleanField(label=_("take the PIN away"), required=False)
    drop_password = forms.BooleanField(label=_("take the password away"), required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["pin"].label, self.fields["password"].label = _("New PIN"), _("New password")
        self.order_fields(
            ["name", "roles", "credential", "is_active", "pin", "drop_pin", "password", "drop_password"]
        )

    @property
    def inputs(self) -> dict[str, Any]:
        """What the operation is told; a secret only if a new one is given or it is taken away."""
        cleaned = self.cleaned_data
        told = {name: cleaned[name] for name in ("name", "roles", "credential", "is_active")}
        for secret in ("pin", "password"):
            if cleaned[secret] or cleaned[f"drop_{secret}"]:
                told[secret] = Secret(cleaned[secret])
        return told
